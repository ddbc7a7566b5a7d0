"""Readings of gear in one line each, and what a family makes of them."""

from collections.abc import Callable
from typing import Any

from cast import QUILLET, entry

from garboard.methods.result import Result
from garboard.notebook.body import Boat, Place, Quantity, Reading, ReadingSet, Side
from garboard.notebook.fold import Survey, fold

UNITS = {
    "length": "m", "angle": "deg", "revolutions": "rpm", "speed": "kn", "area": "cm²",
}  # fmt: skip


def read(
    quantity: Quantity,
    part: str,
    *values: float,
    original: float | None = None,
    words: str = "",
    side: Side | None = None,
    number: int | None = None,
    scale: str = "",
    instrument: str = "",
) -> ReadingSet:
    """A set of readings at one place."""
    place = Place(part=part, side=side, number=number, words=words)
    return ReadingSet(
        name="set",
        quantity=quantity,
        unit=UNITS.get(quantity, "mm"),
        instrument=instrument,
        scale=scale,
        readings=tuple(
            Reading(
                place=place,
                as_read=f"{value:.9f}",
                original="" if original is None else f"{original:.9f}",
            )
            for value in values
        ),
    )


def survey_of(*bodies: Any, boat: Boat = QUILLET) -> Survey:
    """The survey that a boat and some bodies make."""
    return fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])


def results_of(
    results: Callable[[Survey], tuple[Result, ...]], *bodies: Any, boat: Boat = QUILLET
) -> dict[str, Result]:
    """The results of a family by what they say they are."""
    found = results(survey_of(*bodies, boat=boat))
    assert len({each.what for each in found}) == len(found)
    return {each.what: each for each in found}
