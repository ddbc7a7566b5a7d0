"""Guardrails: heights, openings, spacing, lean and give of lines and stanchions, and the wire they are made of.

What the entries hold, side telling port from starboard: "length" on `stanchion`, `pulpit` or `guardrail` is the height
of a line above the deck, of the lower one where "intermediate" is named; the distance of stanchions where "spacing" is
named; the give at mid-span under 40 N where "deflection" is named. "angle" on `stanchion` is its lean from the upright;
"diameter" on `guardrail` is the bare wire's. Readings of one side are judged together, by the worst. The limits are
those of racing; a boat that never races is not bound by them.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import Measured, judged, measured, unsaid
from garboard.methods.result import Result
from garboard.notebook.fold import Survey

CAUTION = "A firm pull by hand is no proof load; stand where a stanchion that gives cannot take you with it."
_RACING = (
    "A limit of racing: other boats are not bound by it, and the category sets it where it holds."
)
_DEFER = "The racing regulations in force, or ISO 15085 and the builder for the boat as sold."

# Standard uncertainties where no instrument states one, working figures.
_LENGTH_M = 0.005
_ANGLE_DEG = 1.0
_SIZE_MM = 0.05

_SMALL_M = 8.5
_MEDIUM_M = 13.0
_PARTS = ("stanchion", "pulpit", "guardrail")


@method(
    name="Least of several",
    what_for="The lowest line, or the thinnest wire, of a side.",
    symbols={"readings": "all in one unit", "result": "the same unit"},
    limits="The least that was read, not the least there is.",
    source="definition",
    standing="common practice",
    text="read",
    defer=_DEFER,
)
def least(readings: Sequence[float]) -> float:
    """The smallest reading.

    Args:
        readings: `(n,)`; one or more, 0 or more each.

    Returns:
        In the unit of the readings.

    Raises:
        ValueError: There is no reading, or one is negative.

    >>> least((612, 598, 605))
    598
    """
    _read(readings)
    return min(readings)


@method(
    name="Greatest of several",
    what_for="The widest spacing, the furthest lean or the softest line of a side.",
    symbols={"readings": "all in one unit", "result": "the same unit"},
    limits="The greatest that was read, not the greatest there is.",
    source="definition",
    standing="common practice",
    text="read",
    defer=_DEFER,
)
def greatest(readings: Sequence[float]) -> float:
    """The largest reading.

    Args:
        readings: `(n,)`; one or more, 0 or more each.

    Returns:
        In the unit of the readings.

    Raises:
        ValueError: There is no reading, or one is negative.

    >>> greatest((2.1, 2.3))
    2.3
    """
    _read(readings)
    return max(readings)


@method(
    name="Greatest opening",
    what_for="The widest gap between deck and lines that a person could slip through.",
    symbols={"heights_mm": "of the lines above the deck, mm", "result": "mm"},
    limits="Slack lines open further under weight.",
    source="definition",
    standing="common practice",
    text="read",
    defer=_DEFER,
)
def greatest_opening_mm(heights_mm: Sequence[float]) -> float:
    """The largest step from the deck upward, line by line.

    Args:
        heights_mm: `(n,)` mm; one or more, 0 or more each.

    Returns:
        mm.

    Raises:
        ValueError: There is no height, or one is negative.

    >>> greatest_opening_mm((610, 290))
    320
    """
    _read(heights_mm)
    return max(above - below for below, above in pairwise([0, *sorted(heights_mm)]))


def results(survey: Survey) -> tuple[Result, ...]:
    """Lines, stanchions and wire of each side, by the worst reading, as far as readings were taken of them."""
    lengths = [
        replace(each, value=1000 * each.value, uncertainty=1000 * each.uncertainty)
        for each in measured(survey, "length", *_PARTS, uncertainty=_LENGTH_M)
    ]
    spacing, give, height = _sorted_out(lengths)
    loa_m = survey.boat.loa_m if survey.boat else None
    return (
        *_of_heights(height, loa_m),
        *_worst(spacing, "greatest", "spacing of stanchions", "stanchion-spacing", per=1000),
        *_worst(
            _of(give, lower=False), "greatest", "give of the upper line", "guardrail-deflection"
        ),
        *_worst(
            _of(give, lower=True),
            "greatest",
            "give of the intermediate line",
            "guardrail-deflection-intermediate",
        ),
        *_worst(
            [
                replace(each, value=abs(each.value))
                for each in measured(survey, "angle", "stanchion", uncertainty=_ANGLE_DEG)
            ],
            "greatest",
            "lean of a stanchion",
            "stanchion-lean",
        ),
        *_of_wire(measured(survey, "diameter", "guardrail", uncertainty=_SIZE_MM), loa_m),
    )


def _sorted_out(
    lengths: Iterable[Measured],
) -> tuple[list[Measured], list[Measured], list[Measured]]:
    spacing, give, height = [], [], []
    for each in lengths:
        if "spacing" in each.named:
            spacing.append(each)
        elif "deflection" in each.named:
            give.append(each)
        else:
            height.append(each)
    return spacing, give, height


def _of(found: Iterable[Measured], *, lower: bool) -> list[Measured]:
    return [each for each in found if ("intermediate" in each.named) is lower]


def _of_heights(heights: Sequence[Measured], loa_m: float | None) -> Iterator[Result]:
    upper, lower = _of(heights, lower=False), _of(heights, lower=True)
    if loa_m is None and upper:
        why = "The boat's length is not stated, by which the height goes."
        yield unsaid("guardrails.least", "height of the upper line", "mm", upper, why, CAUTION)
    elif loa_m is not None:
        limit = "guardrail-height-small" if loa_m < _SMALL_M else "guardrail-height"
        yield from _worst(upper, "least", "height of the upper line", limit)
    yield from _worst(lower, "least", "height of the intermediate line", "guardrail-intermediate")
    for side, both in _sides([*upper, *lower]).items():
        if _of(both, lower=True) and _of(both, lower=False):
            low = min(each.value for each in _of(both, lower=True))
            high = max(each.value for each in _of(both, lower=False))
            yield judged(
                "guardrails.greatest_opening_mm",
                f"opening between the lines{side}",
                greatest_opening_mm((low, high)),
                both[0].uncertainty * 2**0.5,
                criteria()["guardrail-opening"],
                both,
                [
                    f"Lines at {low:.0f} and {high:.0f} mm, the lowest and the highest read.",
                    "560 mm for boats launched before 1993.",
                    _RACING,
                    CAUTION,
                ],
            )


def _of_wire(wires: Sequence[Measured], loa_m: float | None) -> Iterator[Result]:
    what = "wire of the guardrail"
    if wires and loa_m is None:
        why = "The boat's length is not stated, by which the wire goes."
        yield unsaid("guardrails.least", what, "mm", wires, why)
    elif loa_m is not None:
        size = "small" if loa_m < _SMALL_M else "medium" if loa_m <= _MEDIUM_M else "large"
        yield from _worst(wires, "least", what, f"guardrail-wire-{size}")


def _worst(
    found: Sequence[Measured], which: str, what: str, limit: str, *, per: float = 1.0
) -> Iterator[Result]:
    """The worst of each side against a limit; `per` takes the readings into the limit's unit."""
    for side, readings in _sides(found).items():
        values = [each.value / per for each in readings]
        value = least(values) if which == "least" else greatest(values)
        yield judged(
            f"guardrails.{which}",
            f"{what}{side}",
            value,
            readings[values.index(value)].uncertainty / per,
            criteria()[limit],
            [readings[values.index(value)], *readings],
            [f"The worst of {len(values)} read." if len(values) > 1 else "", _RACING, CAUTION],
        )


def _sides(found: Iterable[Measured]) -> dict[str, list[Measured]]:
    """The readings of each side, by the words that name it."""
    sides: dict[str, list[Measured]] = {}
    for each in found:
        side = each.place.side
        sides.setdefault(f", {side}" if side else "", []).append(each)
    return sides


def _read(readings: Sequence[float]) -> None:
    if not readings or min(readings) < 0:
        raise ValueError(
            f"It needs one reading or more, each 0 or more; {tuple(readings)} were given."
        )
