"""The story of a reading: where it comes from, and what was made of it."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from cast import DAY, HARROWMERE, QUILLET, entry

from garboard.judgement.story import Story, story_of
from garboard.methods.library import results_of
from garboard.methods.moisture import moisture_maps
from garboard.notebook.body import (
    Conditions,
    Instrument,
    InstrumentCheck,
    Place,
    Reading,
    ReadingSet,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import fold

ASHORE = Conditions(lying="ashore", began=DAY, lifted=DAY - timedelta(days=20), air_c=15, humidity_pct=50, surface_c=15)  # fmt: skip
METER = Instrument(name="meter", described="a meter", quantity="moisture", unit="scale")
PLATE = InstrumentCheck(instrument="meter", on="check plate", when="before", expected=58, read=58)


def reading(value: str, station_m: float, level_m: float, part: str = "bottom-laminate", **more: Any) -> Reading:  # fmt: skip
    place = Place(part=part, side="port", station_m=station_m, level_m=level_m)
    return Reading(place=place, as_read=value, **more)


DRY = tuple(
    reading(str(12 + each % 3), 1 + each / 2, 0.6, "topside-laminate", reference=True)
    for each in range(12)
)
WET = tuple(reading("30", 4 + each / 4, -0.4) for each in range(4))
MOISTURE = ReadingSet(name="hull", quantity="moisture", unit="scale", instrument="meter", readings=(*DRY, *WET))  # fmt: skip


def told(number: int, *entries: Entry[Any]) -> Story:
    survey = fold(entries)
    (of,) = survey.of(ReadingSet)
    maps = {each.entry: each for each in moisture_maps(survey)}
    return story_of(survey, of, number, results_of(survey), maps.get(of.id))


def test_a_raised_reading_tells_all_that_bears_on_it() -> None:
    boat, conditions, meter, plate = entry(1, QUILLET), entry(2, ASHORE), entry(3, METER), entry(4, PLATE)  # fmt: skip

    story = told(13, boat, conditions, meter, plate, entry(5, MOISTURE))

    assert story.reading == WET[0]
    assert (story.instrument, story.checks, story.conditions) == (meter, (plate, None), conditions)
    assert story.judged is not None
    assert story.judged.judged == "much raised"
    assert story.area is not None
    assert story.area.readings == 4


def test_a_dry_reading_lies_in_no_area() -> None:
    story = told(1, entry(1, QUILLET), entry(2, ASHORE), entry(5, MOISTURE))

    assert story.area is None
    assert story.judged is not None
    assert story.judged.judged == "dry reference"


def test_what_was_not_recorded_is_told_as_missing() -> None:
    story = told(1, entry(5, MOISTURE))

    assert (story.instrument, story.checks, story.conditions) == (None, (None, None), None)


def test_a_correction_leaves_when_it_was_read() -> None:
    first = entry(5, MOISTURE)
    mended = entry(6, replace(MOISTURE, notes="deep"), replaces=(5,), at=DAY + timedelta(days=9))

    assert told(1, first, mended).read_at == first.at


def test_the_results_of_a_plate_are_those_of_its_metre() -> None:
    plates = tuple(
        reading(value, station_m, -0.4, "bottom-plate-thickness", original="6.0")
        for value, station_m in (("5.8", 3.2), ("5.7", 3.7), ("4.0", 7.2))
    )
    gauged = ReadingSet(name="bottom", quantity="thickness", unit="mm", instrument="gauge", readings=plates)  # fmt: skip

    story = told(1, entry(1, HARROWMERE), entry(2, gauged))

    places = {each.place.station_m for each in story.results if each.place}
    assert places
    assert all(station is not None and abs(station - 3.2) <= 0.5 for station in places)


def test_a_set_has_no_reading_beyond_its_last() -> None:
    with pytest.raises(ValueError, match="16 readings"):
        told(17, entry(5, MOISTURE))
