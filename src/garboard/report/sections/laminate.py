"""The laminate: how long it would take to dry, drawn."""

from garboard.drawings.drying import drying_curve
from garboard.methods.drying import Drying, dryings, in_words
from garboard.report.document import Block, Drawing
from garboard.report.sections.case import Case


def drying(case: Case) -> list[Block]:
    """The drying of each laminate that stands above its dry reference."""
    return [_curve(each, n, case) for n, each in enumerate(dryings(case.survey), 1)]


def _curve(of: Drying, number: int, case: Case) -> Drawing:
    short, _, long = of.half_days
    return Drawing(
        svg=drying_curve(of),
        alt=f"Share of the water that has left against time, {of.name}: half after {in_words(short)} to {in_words(long)}.",
        caption=f"How long the laminate would take to dry, {of.name}: a range, never a date",
        number=next(case.figures),
        label=f"figure-drying-{number}",
        rests_on=of.used,
    )
