"""The readings and what they mean: maps and tables, a family at a time."""

from garboard.methods.moisture import moisture_maps
from garboard.methods.result import Result
from garboard.methods.sounding import coverages
from garboard.report.document import (
    Block,
    Column,
    Heading,
    Paragraph,
    Span,
    Table,
    Text,
    plain,
)
from garboard.report.sections.case import Case
from garboard.report.sections.words import capital, measure


def readings(case: Case) -> tuple[Block, ...]:
    """All families that have readings."""
    families = (
        ("Moisture", _moisture(case), ("moisture", "climate")),
        ("Soundings", _soundings(case), ("sounding",)),
    )
    blocks: list[Block] = []
    for name, drawn, modules in families:
        table = _results(case, name, modules)
        if drawn or table:
            blocks += [Heading(level=2, text=name), *drawn, *table]
    if not blocks:
        return ()
    return (
        Heading(level=1, text="Readings and what they mean", label="readings", new_page=True),
        *blocks,
    )


def _moisture(case: Case) -> list[Block]:
    blocks: list[Block] = []
    for each in moisture_maps(case.survey):
        blocks.append(Heading(level=3, text=f"Readings {each.name}"))
        blocks.append(Paragraph(text=plain(each.said), rests_on=each.used))
    return blocks


def _soundings(case: Case) -> list[Block]:
    return [Paragraph(text=plain(each.said), rests_on=each.used) for each in coverages(case.survey)]


def _results(case: Case, name: str, modules: tuple[str, ...]) -> list[Block]:
    found = [r for r in case.results if r.method.split(".")[0] in modules]
    if not found:
        return []
    return [
        Table(
            caption=f"{name}: results",
            number=next(case.tables),
            columns=(
                Column(name="What", share=3.0),
                Column(name="Value", align="right", share=1.3),
                Column(name="Judged", share=1.0),
                Column(name="Method", align="right", share=0.6),
            ),
            rows=tuple(_row(result, case) for result in found),
            rests_on=tuple(dict.fromkeys(each for result in found for each in result.used)),
        )
    ]


def _row(result: Result, case: Case) -> tuple[Text, ...]:
    number, _ = case.methods[result.method]
    return (
        plain(capital(result.what)),
        plain(measure(result.value, result.uncertainty, result.unit)),
        plain(result.verdict),
        (Span(text=str(number), to="table-methods"),),
    )
