"""The story of one reading: where it was taken, with what, in which circumstances, and what was made of it."""

from dataclasses import dataclass
from datetime import datetime

from garboard.methods.climate import conditions_for
from garboard.methods.instrument import Check, checks_round, stated
from garboard.methods.moisture import JudgedReading, MoistureMap, RaisedArea
from garboard.methods.result import Result
from garboard.notebook.body import Conditions, Instrument, Place, Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

# Plating is judged by the metre; its results lie in the middle of it.
_HALF_A_METRE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """A reading of a set with everything that bears on it.

    `number` is its place in the set, from 1; `checks` are the instrument's before and after; `judged` and `area` are
    those of moisture readings; `results` speak of the very place of the reading.
    """

    entry: Entry[ReadingSet]
    number: int
    reading: Reading
    read_at: datetime
    instrument: Entry[Instrument] | None
    checks: tuple[Check | None, Check | None]
    conditions: Entry[Conditions] | None
    judged: JudgedReading | None
    area: RaisedArea | None
    results: tuple[Result, ...]


def story_of(
    survey: Survey,
    entry: Entry[ReadingSet],
    number: int,
    results: tuple[Result, ...],
    moisture: MoistureMap | None,
) -> Story:
    """The story of one reading.

    Args:
        survey: The survey.
        entry: The set.
        number: Which reading of it, from 1.
        results: What the survey's readings mean.
        moisture: The map of the set, where it is one of moisture.

    Raises:
        ValueError: The set has no such reading.
    """
    if not 1 <= number <= len(entry.body.readings):
        raise ValueError(f"The set has {len(entry.body.readings)} readings and no number {number}.")
    reading = entry.body.readings[number - 1]
    judged = moisture.readings[number - 1] if moisture else None
    return Story(
        entry=entry,
        number=number,
        reading=reading,
        read_at=survey.done_at(entry),
        instrument=stated(survey, entry.body.instrument),
        checks=checks_round(survey, entry),
        conditions=conditions_for(survey, entry),
        judged=judged,
        area=_area(moisture, judged) if moisture and judged else None,
        results=tuple(
            each
            for each in results
            if entry.id in each.used and each.place and _is_of(each.place, reading.place)
        ),
    )


def judged_beside_dry(judged: JudgedReading) -> str:
    """How a moisture reading was judged, in words.

    >>> dry = Place(part="topside-laminate")
    >>> judged_beside_dry(JudgedReading(place=dry, as_read="12", value=12, judged="dry reference"))
    'part of the dry reference'
    """
    match judged.judged:
        case "dry reference":
            return "part of the dry reference"
        case "not judged":
            return "not judged: there is nothing to judge it by yet"
        case "not distinguished":
            return "not distinguished from the dry reference"
        case "raised" | "much raised":
            return f"{judged.judged} over the dry reference"


def _area(moisture: MoistureMap, judged: JudgedReading) -> RaisedArea | None:
    """The raised area that a raised reading lies in."""
    place = judged.place
    station_m, level_m = place.station_m, place.level_m
    if judged.judged not in ("raised", "much raised") or station_m is None or level_m is None:
        return None
    for each in moisture.areas:
        is_here = (each.part, each.side, each.number) == (place.part, place.side, place.number)
        along, up = each.stations_m, each.levels_m
        if is_here and along[0] <= station_m <= along[1] and up[0] <= level_m <= up[1]:
            return each
    return None


def _is_of(result: Place, reading: Place) -> bool:
    """Whether a result speaks of the place of a reading, or of the metre of the boat that it lies in."""
    same = ("part", "side", "number")
    if any(getattr(result, each) != getattr(reading, each) for each in same):
        return False
    if result.words and result.words != reading.words:
        return False
    if result.station_m is None or reading.station_m is None:
        return result.station_m == reading.station_m
    if result.level_m is None:
        return abs(result.station_m - reading.station_m) <= _HALF_A_METRE
    return (result.station_m, result.level_m) == (reading.station_m, reading.level_m)
