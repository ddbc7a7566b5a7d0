"""An opinion of value with everything it rests on."""

from statistics import median, quantiles

from garboard.catalogue.naming import capital
from garboard.notebook.body import Comparable, Value
from garboard.notebook.money import shown
from garboard.report.document import Block, Column, Facts, Heading, Paragraph, Table, plain
from garboard.report.sections.case import Case
from garboard.report.sections.words import counted, day


def value(case: Case) -> tuple[Block, ...]:
    """Basis, comparables with their adjustments, spread, and the figures as found and after the work."""
    values = sorted(case.survey.of(Value), key=lambda entry: entry.body.condition)
    comparables = case.survey.of(Comparable)
    if not values and not comparables:
        return ()
    blocks: list[Block] = [Heading(level=1, text="Value", label="value")]
    for entry in values:
        body = entry.body
        pairs = [
            ("Basis", capital(body.basis)),
            ("Condition assumed", capital(body.condition)),
            ("Opinion", f"{shown(body.point_minor, body.currency)}, within {shown(body.low_minor, body.currency)} to {shown(body.high_minor, body.currency)}"),
            ("On", day(body.on)),
            ("Assuming", "; ".join(body.assumptions)),
            ("Reasoning", body.reasoning),
        ]  # fmt: skip
        blocks.append(
            Facts(
                pairs=tuple((t, plain(x)) for t, x in pairs if x),
                rests_on=(entry.id, *body.comparables),
            )
        )
    if comparables:
        blocks += _comparables(tuple(entry.body for entry in comparables), case)
    return tuple(blocks)


def adjusted(comparable: Comparable) -> int:
    """A comparable's price after its adjustments, in minor units."""
    return comparable.price_minor + sum(comparable.adjustments.values())


def _comparables(bodies: tuple[Comparable, ...], case: Case) -> list[Block]:
    rows = tuple(
        (
            plain(
                f"{body.described}{f', {body.year}' if body.year else ''}. {body.source}, {day(body.on)}"
            ),
            plain(f"{shown(body.price_minor, body.currency)} {body.kind}"),
            plain(
                "; ".join(
                    f"{what} {'+' if amount >= 0 else '−'}{shown(abs(amount), body.currency)}"
                    for what, amount in body.adjustments.items()
                )
            ),
            plain(shown(adjusted(body), body.currency)),
        )
        for body in bodies
    )
    table = Table(
        caption="Comparable boats and the adjustments that make them comparable",
        number=next(case.tables),
        columns=(
            Column(name="Comparable", share=2.6),
            Column(name="Price", align="right", share=1.3),
            Column(name="Adjustments", share=2.2),
            Column(name="Adjusted", align="right", share=1.2),
        ),
        rows=rows,
        label="table-comparables",
    )
    return [table, Paragraph(text=plain(spread(bodies)))]


def spread(bodies: tuple[Comparable, ...]) -> str:
    """How far the adjusted prices of comparables lie apart, and how much hangs on any one of them."""
    if len({body.currency for body in bodies}) > 1:
        return "The comparables are in several currencies; no common spread is given."
    currency = bodies[0].currency
    figures = sorted(adjusted(body) for body in bodies)
    words = f"Median of {counted(len(figures), 'adjusted comparable')}: {shown(round(median(figures)), currency)}"
    if len(figures) >= 4:
        low, _, high = quantiles(figures, n=4, method="inclusive")
        words += f"; the middle half lies between {shown(round(low), currency)} and {shown(round(high), currency)}"
    if len(figures) >= 3:
        without = [median(figures[:i] + figures[i + 1 :]) for i in range(len(figures))]
        swing = max(without) - min(without)
        words += (
            f". Leaving out any one moves the median by at most {shown(round(swing), currency)}"
        )
    asked = sum(body.kind == "asked" for body in bodies)
    if asked:
        words += f". {capital(counted(asked, 'price'))} of {len(bodies)} {'is' if asked == 1 else 'are'} asked, which is an upper hint, not a sale"
    return f"{words}."
