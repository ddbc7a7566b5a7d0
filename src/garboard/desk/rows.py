"""Readings as the rows of a table, in words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from garboard.catalogue.naming import named
from garboard.notebook.body import Place, Reading
from garboard.report.sections.words import signed

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A reading as a table shows it; `number` is its place in the set, from 1."""

    number: int
    as_read: str
    part: str
    cells: tuple[str, ...]
    is_reference: bool


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


def _cell(reading: Reading, column: str) -> str:
    if column in ("to", "original", "note"):
        return str(getattr(reading, column))
    value = getattr(reading.place, column)
    if isinstance(value, float):
        return signed(f"{value:.2f}")
    return "" if value is None else str(value)
