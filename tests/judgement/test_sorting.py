"""Photographs are proposed a place by the clock, and a clock that is wrong is found by where its photographs fit."""

import random
from datetime import datetime, timedelta
from typing import Any

import pytest
from cast import DAY, entry

from garboard.judgement.sorting import Trace, choices, clock_offset, traces_of
from garboard.notebook.body import (
    Conditions,
    Examination,
    Limitation,
    Observation,
    Place,
    Reading,
    ReadingSet,
    Sounding,
)
from garboard.notebook.fold import Survey, fold

RUDDER = Place(part="rudder-blade")
KEEL = Place(part="keel-joint", side="port", station_m=4.2, words="forward end")
COCK = Place(part="seacock", side="starboard", number=3)
SLOW = timedelta(hours=1, minutes=3)


def after(minutes: float) -> datetime:
    return DAY + timedelta(minutes=minutes)


def survey(*recorded: tuple[float, Any]) -> Survey:
    return fold(entry(n, body, at=after(minutes)) for n, (minutes, body) in enumerate(recorded, 1))


def reasons(taken_minutes: float, of: Survey) -> list[str]:
    return [each.reason for each in choices(after(taken_minutes), traces_of(of))]


def test_the_nearest_in_time_is_proposed_first_with_its_reason() -> None:
    recorded = survey(
        (0, Examination(place=RUDDER, extent="whole")),
        (9, Sounding(place=KEEL, heard="dull")),
        (30, Observation(place=COCK, seen="a weep")),
    )

    assert reasons(2, recorded) == [
        "2 minutes after rudder blade was examined",
        "7 minutes before keel-to-hull joint, port, was sounded",
    ]


@pytest.mark.parametrize(
    ("body", "reason"),
    [
        (Limitation(place=RUDDER, not_reached="its heel", reasons=("chocks-or-strap-in-way",)), "less than a minute before rudder blade was noted as not reached"),
        (ReadingSet(name="r", quantity="gap", unit="mm", instrument="rule", readings=(Reading(place=COCK, as_read="2"),)), "less than a minute before seacock, starboard 3, was read"),
        (Observation(place=KEEL, seen="open"), "less than a minute before keel-to-hull joint, port, was observed"),
    ],
)  # fmt: skip
def test_everything_recorded_at_a_place_counts(body: Any, reason: str) -> None:
    assert reasons(-0.3, survey((0, body))) == [reason]


def test_a_place_is_proposed_once_without_its_coordinates() -> None:
    recorded = survey((0, Sounding(place=KEEL, heard="dull")), (1, Sounding(place=KEEL, heard="dull")))  # fmt: skip

    (choice,) = choices(after(0), traces_of(recorded))

    assert choice.place == Place(part="keel-joint", side="port")


def test_no_more_than_three_places_are_proposed() -> None:
    places = [Place(part="seacock", number=number) for number in range(1, 9)]
    recorded = survey(*((n, Examination(place=each, extent="whole")) for n, each in enumerate(places)))  # fmt: skip

    assert [each.place.number for each in choices(after(4.1), traces_of(recorded))] == [5, 6, 4]


def test_what_was_done_long_before_says_nothing() -> None:
    assert reasons(11, survey((0, Examination(place=RUDDER, extent="whole")))) == []


def test_a_part_that_is_not_fitted_was_not_photographed() -> None:
    assert reasons(0, survey((0, Examination(place=RUDDER, extent="not fitted")))) == []


def test_what_was_typed_in_the_evening_says_nothing_of_where_somebody_stood() -> None:
    visit = Conditions(lying="ashore", began=after(0), ended=after(240))
    recorded = survey(
        (0, visit),
        (60, Examination(place=RUDDER, extent="whole")),
        (600, Examination(place=COCK, extent="whole")),
    )

    assert [trace.place for trace in traces_of(recorded)] == [RUDDER]


def test_an_earlier_survey_of_the_boat_does_not_count() -> None:
    recorded = survey(
        (-60 * 24 * 400, Examination(place=COCK, extent="whole")),
        (0, Examination(place=RUDDER, extent="whole")),
    )

    assert [trace.place for trace in traces_of(recorded)] == [RUDDER]


def a_day(rng: random.Random, photos: int, traces: int, share: float) -> tuple[list[Trace], list[tuple[datetime, Place | None]]]:  # fmt: skip
    """Four hours: entries here and there, and a share of the photographs taken about when one was made."""
    times = sorted(rng.uniform(0, 240) for _ in range(traces))
    parts = [Place(part="rudder-blade", number=1 + n % 300) for n in range(traces)]
    made = [Trace(at=after(minutes), place=place, done="") for minutes, place in zip(times, parts, strict=True)]  # fmt: skip
    taken: list[tuple[datetime, Place | None]] = []
    for _ in range(photos):
        near = rng.choice(times) + rng.gauss(-0.3, 0.7)
        at = near if rng.random() < share else rng.uniform(0, 240)
        taken.append((after(at) - SLOW, None))
    return made, taken


@pytest.mark.parametrize(("photos", "traces"), [(80, 60), (400, 120)])
def test_a_slow_clock_is_found_to_within_a_minute_and_a_half(photos: int, traces: int) -> None:
    for seed in range(5):
        made, taken = a_day(random.Random(seed), photos, traces, 0.75)

        found = clock_offset(taken, made)

        assert found is not None
        assert abs(found.offset - SLOW) < timedelta(seconds=90)
        assert found.sure == "clear"
        assert found.beside > 0.7 * photos


def test_photographs_that_have_nothing_to_do_with_the_entries_are_never_called_clear() -> None:
    sure = []
    for seed in range(30):
        made, taken = a_day(random.Random(seed), 60, 60, 0)
        found = clock_offset(taken, made)
        sure.append(found and found.sure)

    assert sure.count("clear") == 0
    assert sure.count("likely") <= 3


def test_a_few_photographs_sorted_by_hand_settle_what_a_steady_run_of_entries_cannot() -> None:
    parts = ("rudder-blade", "keel-joint", "seacock", "hatch", "stanchion")
    traces = [Trace(at=after(n), place=Place(part=parts[n // 48]), done="") for n in range(240)]
    moments = [after(10 * n + 5) for n in range(24)]
    blind = [(at - SLOW, None) for at in moments]
    placed = [(at - SLOW, traces[10 * n + 5].place) for n, at in enumerate(moments)]

    unsure, sure = clock_offset(blind, traces), clock_offset(placed, traces)

    assert unsure is not None
    assert unsure.sure == "unsure"
    assert sure is not None
    assert abs(sure.offset - SLOW) <= timedelta(minutes=8)


def test_a_clock_that_is_right_is_left_as_it_is() -> None:
    traces = [Trace(at=after(10 * n), place=RUDDER, done="") for n in (0, 1, 3, 7, 12)]

    found = clock_offset([(trace.at, None) for trace in traces], traces)

    assert found is not None
    assert (found.offset, found.beside, found.photos) == (timedelta(0), 5, 5)


def test_a_camera_that_forgot_the_year_is_found_too() -> None:
    made, taken = a_day(random.Random(3), 80, 60, 0.8)
    years = timedelta(days=4000)

    found = clock_offset([(at - years, place) for at, place in taken], made)

    assert found is not None
    assert abs(found.offset - years - SLOW) < timedelta(seconds=90)


def test_without_photographs_or_entries_nothing_is_said() -> None:
    traces = [Trace(at=DAY, place=RUDDER, done="")]

    assert clock_offset([], traces) is None
    assert clock_offset([(DAY, None)], []) is None
    assert clock_offset([(DAY, COCK)], traces) is None
