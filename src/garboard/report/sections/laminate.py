"""The laminate: how long it would take to dry, and recorded strikes beside their references, drawn."""

from garboard.drawings.drying import drying_curve
from garboard.drawings.spectra import strike_spectrum
from garboard.methods.drying import Drying, dryings, in_words
from garboard.methods.recordings import SUGGESTS, RecordedStrike, recorded_strikes
from garboard.methods.strikes import DEFER
from garboard.methods.zone import place_words
from garboard.report.document import Block, Drawing, Paragraph, plain
from garboard.report.sections.case import Case

# Spectra printed; the others stand in the table.
_MOST_SPECTRA = 2


def drying(case: Case) -> list[Block]:
    """The drying of each laminate that stands above its dry reference."""
    return [_curve(each, n, case) for n, each in enumerate(dryings(case.survey), 1)]


def strikes(case: Case) -> list[Block]:
    """The spectra of the recorded strikes that differ from their references, the farthest first."""
    found = recorded_strikes(case.survey, case.sounds)
    if not any(each.found.distance_db is not None for each in found):
        return []
    differing = [each for each in found if each.found.heard not in ("as reference", "not judged")]
    differing.sort(key=lambda each: -(each.found.distance_db or 0.0))
    drawn = differing[:_MOST_SPECTRA]
    others = f" The {len(drawn)} farthest of {len(differing)} that differ are drawn." if len(differing) > len(drawn) else ""  # fmt: skip
    return [
        Paragraph(
            text=plain(
                "How far the sound of a strike lies from that of strikes on like structure known to be good, in "
                f"decibels over thirds of an octave.{others} {SUGGESTS} {DEFER}"
            ),
            kind="small",
        ),
        *(_spectrum(each, n, case) for n, each in enumerate(drawn, 1)),
    ]


def _spectrum(of: RecordedStrike, number: int, case: Case) -> Drawing:
    where = place_words(of.place)
    return Drawing(
        svg=strike_spectrum(of.found),
        alt=f"Spectrum of the recorded strike at {where} beside those of {len(of.found.references)} reference strikes. {of.found.said}",
        caption=f"Recorded strike at {where}",
        number=next(case.figures),
        label=f"figure-strike-{number}",
        rests_on=of.used,
    )


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
