"""Metals in one wet contact: which gives way, how hard it is driven, and the areas of both."""

from garboard.catalogue.naming import capital
from garboard.methods.couples import CAUTION, Couple, area_ratio, areas_of, gap_of
from garboard.methods.couples import couples as couples_of
from garboard.methods.written import measure
from garboard.report.document import Block, Column, Paragraph, Table, Text, plain
from garboard.report.sections.case import Case


def couples(case: Case) -> list[Block]:
    """The couples that observations and lists of bare metal name."""
    found = couples_of(case.survey)
    if not found:
        return []
    table = Table(
        caption=(
            f"Metals together: the gap between them in the galvanic series (method "
            f"{case.methods['couples.gap_v'][0]}), and the area of the nobler for each part of the eaten"
        ),
        number=next(case.tables),
        columns=(
            Column(name="Metals", share=2.4),
            Column(name="Where", share=2.0),
            Column(name="Eaten", share=1.4),
            Column(name="Gap", align="right", share=1.2),
            Column(name="Areas", align="right", share=0.8),
            Column(name="Judged", share=1.2),
        ),
        rows=tuple(map(_row, found)),
        label="table-couples",
        rests_on=tuple(dict.fromkeys(used for each in found for used in each.used)),
    )
    untouched = (
        " Where no area is known the metals were named in an observation, and that the two touch in the same water is "
        "taken from it."
    )
    is_named = any(each.one_m2 is None for each in found)
    return [table, Paragraph(text=plain(f"{CAUTION}{untouched if is_named else ''}"), kind="small")]


def _row(couple: Couple) -> tuple[Text, ...]:
    gap, areas = gap_of(couple), areas_of(couple)
    # Of two metals that may both be eaten no ratio says which is the smaller.
    unknown = "not known" if couple.one_m2 is None else ""
    return (
        plain(capital(f"{couple.one} with {couple.other}")),
        plain(capital(couple.where)),
        plain(couple.eaten or "either"),
        plain(measure(gap.value, gap.uncertainty, gap.unit)),
        plain(f"{area_ratio(*areas):.3g} to 1" if areas else unknown),
        plain(gap.judged),
    )
