"""Readings as the rows of a table, in words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from garboard.catalogue.naming import capital, named
from garboard.desk.refusals import Wrong
from garboard.methods.written import signed
from garboard.methods.zone import skin_words
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.problem import Problem
from garboard.report.sections.words import counted, listed

COLUMNS: Mapping[str, str] = MappingProxyType(
    {
        "side": "Side",
        "number": "Which",
        "station_m": "Station, m",
        "level_m": "Level, m",
        "words": "Where",
        "to": "To",
        "original": "As built",
        "note": "Remark",
    }
)
"""The columns a table of readings may have besides value and part, with their headings."""

FIGURES = frozenset({"Which", "Station, m", "Level, m", "As built"})
"""The headings over numbers."""

_MOST_NAMED = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A reading as a table shows it; `number` is its place in the set, from 1."""

    number: int
    as_read: str
    part: str
    cells: tuple[str, ...]
    is_reference: bool


def described(of: ReadingSet) -> str:
    """What was read in a set, on what, with what; it is called by its name.

    >>> place = Place(part="topside-laminate")
    >>> described(ReadingSet(
    ...     name="a1", quantity="moisture", unit="scale", instrument="meter", mode="deep",
    ...     readings=(Reading(place=place, as_read="12"),)))
    'Moisture (deep), topside laminate, meter'
    """
    read = f"{capital(of.quantity)} ({of.mode})" if of.mode else capital(of.quantity)
    return ", ".join(filter(None, (read, parts_read(of), of.instrument)))


def parts_read(of: ReadingSet) -> str:
    """The parts that a set was read on, those that come first by name."""
    parts = list(dict.fromkeys(skin_words((r.place.part, None, None)) for r in of.readings))
    more = [counted(len(parts) - _MOST_NAMED, "more part")] if len(parts) > _MOST_NAMED else []
    return listed([*parts[:_MOST_NAMED], *more])


def columns_used(readings: Sequence[Reading]) -> tuple[str, ...]:
    """The columns that some reading fills."""
    return tuple(name for name in COLUMNS if any(_cell(each, name) for each in readings))


def rows_of(readings: Sequence[Reading]) -> tuple[Row, ...]:
    """The readings with a cell for each column that is used."""
    columns = columns_used(readings)
    return tuple(
        Row(
            number=number,
            as_read=signed(each.as_read),
            part=named(Place(part=each.place.part)),
            cells=tuple(_cell(each, name) for name in columns),
            is_reference=each.reference,
        )
        for number, each in enumerate(readings, 1)
    )


def refused_in(problem: Problem) -> tuple[int, str]:
    """Which reading of a set the notebook refused, from 1, and which field of it; 0 where it is no reading.

    >>> refused_in(Wrong(where="Reading set", what="99 scale cannot be", do="", reading=3, field="as_read"))
    (3, 'as_read')
    >>> refused_in(Problem(where="grid", what="it leads nowhere", do=""))
    (0, 'grid')
    """
    if isinstance(problem, Wrong):
        return problem.reading, problem.field
    return 0, problem.where


def _cell(reading: Reading, column: str) -> str:
    if column in ("to", "original", "note"):
        return str(getattr(reading, column))
    value = getattr(reading.place, column)
    if isinstance(value, float):
        return signed(f"{value:.2f}")
    return "" if value is None else str(value)
