"""Readings of gear, found by the part they were taken on, and the results made of them.

A reading is told from another of its part by the words of its place and the name of its set. Units are those the
notebook admits: mm for gaps, play, diameters, pitch and run-out, m for lengths, deg, rpm, kn, cm².
"""

from collections.abc import Sequence
from dataclasses import dataclass

from garboard.methods.campaign import latest
from garboard.methods.instrument import uncertainty_of
from garboard.methods.result import Criterion, Result, verdict_of
from garboard.notebook.body import Place, Quantity
from garboard.notebook.fold import Survey


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One reading of a thing, in the unit of its quantity, with its standard uncertainty and its set's scale.

    `named` holds the words of its place and the name of its set in small letters; `original` is as built or new.
    """

    entry: str
    place: Place
    value: float
    original: float | None
    uncertainty: float
    named: str
    scale: str = ""


def measured(
    survey: Survey, quantity: Quantity, *parts: str, uncertainty: float
) -> tuple[Measured, ...]:
    """The readings of a quantity on some parts, latest survey only, in the order they were read.

    Args:
        survey: The folded survey.
        quantity: Which quantity.
        parts: Ids of the parts.
        uncertainty: Standard uncertainty of a reading whose instrument states none, in its unit.
    """
    return tuple(
        Measured(
            entry=entry.id,
            place=reading.place,
            value=reading.value,
            original=float(reading.original) if reading.original else None,
            uncertainty=uncertainty_of(survey, entry.body.instrument, uncertainty),
            named=f"{reading.place.words} {entry.body.name}".casefold(),
            scale=entry.body.scale,
        )
        for entry in latest(survey, quantity)
        for reading in entry.body.readings
        if reading.place.part in parts
    )


def belonging(place: Place, found: Sequence[Measured]) -> Measured | None:
    """The one that goes with a place: of its side and number, else of none, else the only size there is.

    A size of nothing counts as not read.
    """
    sized = [each for each in found if each.value > 0]
    own = [each for each in sized if _which(each.place) == _which(place)]
    common = [each for each in sized if _which(each.place) == (None, None)]
    chosen = own or common
    if not chosen and len({each.value for each in sized}) == 1:
        chosen = sized
    return chosen[-1] if chosen else None


def judged(
    method: str,
    what: str,
    value: float,
    uncertainty: float,
    limit: Criterion,
    used: Sequence[Measured],
    caveats: Sequence[str],
) -> Result:
    """A value against a limit, at the place of the first reading it rests on, in the limit's unit."""
    return Result(
        method=method,
        what=what,
        value=value,
        unit=limit.unit,
        verdict=verdict_of(value, uncertainty, limit),
        used=_entries(used),
        uncertainty=uncertainty,
        criterion=limit,
        place=used[0].place,
        caveats=tuple(filter(None, caveats)),
    )


def unlimited(
    method: str,
    what: str,
    value: float,
    unit: str,
    uncertainty: float,
    used: Sequence[Measured],
    caveats: Sequence[str],
) -> Result:
    """A value that no limit holds for."""
    return Result(
        method=method,
        what=what,
        value=value,
        unit=unit,
        verdict="not comparable",
        used=_entries(used),
        uncertainty=uncertainty,
        place=used[0].place,
        caveats=tuple(filter(None, caveats)),
    )


def unsaid(method: str, what: str, unit: str, used: Sequence[Measured], *why: str) -> Result:
    """What readings were taken for and cannot give, with the reason."""
    return Result(
        method=method,
        what=what,
        value=None,
        unit=unit,
        verdict="cannot say",
        used=_entries(used),
        uncertainty_why="not computed",
        place=used[0].place,
        caveats=tuple(filter(None, why)),
    )


def surely_passed(value: float, uncertainty: float, *rising: Criterion) -> Criterion:
    """The last of several rising limits that a value is beyond for certain, else the first of them."""
    beyond = [each for each in rising if verdict_of(value, uncertainty, each) == "beyond"]
    return beyond[-1] if beyond else rising[0]


def gear_of(place: Place) -> Place:
    """A place with nothing but its part, side and number: which of several pieces of gear it lies on."""
    return Place(part=place.part, side=place.side, number=place.number)


def relative(reading: Measured, usual: float) -> float:
    """Relative standard uncertainty of a reading, `usual` where its instrument states none."""
    return reading.uncertainty / reading.value if reading.uncertainty and reading.value else usual


def above_zero(**given: float) -> None:
    """Refuse arguments that are not above zero, by their names.

    Raises:
        ValueError: One is not.
    """
    for name, value in given.items():
        if not value > 0:
            raise ValueError(f"{name} is above zero; {value:g} was given.")


def _entries(used: Sequence[Measured]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(each.entry for each in used))


def _which(place: Place) -> tuple[str | None, int | None]:
    return place.side, place.number
