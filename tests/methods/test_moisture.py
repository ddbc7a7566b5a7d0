from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from cast import DAY, QUILLET, entry, entry_id
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.methods.moisture import (
    MoistureMap,
    departure,
    false_alarm_share,
    moisture_maps,
    raised_by_accident,
    results,
)
from garboard.methods.patch import area_m2
from garboard.notebook.body import Conditions, Instrument, Place, Reading, ReadingSet
from garboard.notebook.fold import Survey, fold

FEW = settings(max_examples=15)
DRY = (12, 13, 12, 14, 13, 12, 15, 13, 12, 13, 14, 12)
HULL = (14, 16, 22, 25, 18, 13, 27, 30, 24, 19, 15, 21, 28, 17, 23, 26)
ASHORE = Conditions(
    lying="ashore",
    began=DAY,
    lifted=DAY - timedelta(days=20),
    air_c=15.0,
    humidity_pct=50.0,
    surface_c=15.0,
)

# One letter a reading a quarter of a metre apart: d dry, w wet, W soaked, as the meter shows them.
SHOWN = {"d": "13", "e": "12", "w": "20", "W": "30"}
WET_PATCH = """
    dedededede
    dewwwedede
    dewWwedede
    dedededede
"""
ONE_ODD = """
    dedededede
    dedwdedede
    dedededede
    dedededede
"""
SOAKED = """
    WwWwWwWwWw
    wWwWwWwWwW
"""


def dry(values: Sequence[float] = DRY) -> list[Reading]:
    return [
        Reading(
            place=Place(
                part="topside-laminate", side="port", station_m=1 + 0.5 * index, level_m=0.6
            ),
            as_read=f"{value:g}",
            reference=True,
        )
        for index, value in enumerate(values)
    ]


def bottom(rows: str) -> list[Reading]:
    return [
        Reading(
            place=Place(
                part="bottom-moisture",
                side="port",
                station_m=4 + 0.25 * x,
                level_m=-0.2 - 0.25 * y,
            ),
            as_read=SHOWN[mark],
        )
        for y, line in enumerate(rows.split())
        for x, mark in enumerate(line)
    ]


def unplaced(values: Sequence[float]) -> list[Reading]:
    return [Reading(place=Place(part="bottom-moisture"), as_read=f"{value:g}") for value in values]


def survey(
    readings: Sequence[Reading], conditions: Conditions | None = ASHORE, **changes: Any
) -> Survey:
    told = {"name": "bottom", "unit": "scale units", "instrument": "meter 1", **changes}
    body = ReadingSet(quantity="moisture", readings=tuple(readings), **told)
    recorded = [entry(2, conditions)] if conditions else []
    return fold([entry(1, QUILLET), *recorded, entry(9, body)])


def map_of(
    readings: Sequence[Reading], conditions: Conditions | None = ASHORE, **changes: Any
) -> MoistureMap:
    (found,) = moisture_maps(survey(readings, conditions, **changes))
    return found


# Readings repeated at one place


def test_raised_places_that_were_also_read_dry_have_no_area_and_still_a_place() -> None:
    read = survey([*dry(), *bottom("dddddddddd\nddWWdddddd"), *bottom("dddddddddd\ndddd")[12:]])

    (area,) = moisture_maps(read)[0].areas
    found = results(read)[-1]

    assert (area.readings, area.area_m2) == (2, None)
    assert area.about == "no area, as others at the same places are not raised"
    assert found.what.startswith("raised readings beside others that are not")
    assert found.place
    assert (found.place.station_m, found.place.level_m) == (4.62, -0.45)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 4), st.integers(0, 3), st.integers(5, 60)), min_size=1, max_size=25
    )
)
def test_whatever_was_read_however_often_there_is_a_result(
    read: list[tuple[int, int, int]],
) -> None:
    readings = [
        Reading(
            place=Place(
                part="bottom-moisture", side="port", station_m=3 + 0.2 * x, level_m=-0.1 - 0.2 * y
            ),
            as_read=str(value),
        )
        for x, y, value in read
    ]
    of = survey([*dry(), *readings])

    assert results(of)
    assert all(area.about for each in moisture_maps(of) for area in each.areas)


# The rule


readings = st.integers(0, 100)
references = st.lists(st.integers(0, 40), min_size=8, max_size=20)


@given(readings, references, st.integers(-50, 50), st.sampled_from([0.5, 2.0, 8.0]))
def test_the_departure_knows_neither_the_zero_nor_the_step_of_the_scale(
    reading: int, reference: list[int], offset: int, factor: float
) -> None:
    moved = departure(
        factor * reading + offset, [factor * each + offset for each in reference], factor
    )

    assert moved == pytest.approx(departure(reading, reference, 1.0))


@given(readings, references)
def test_a_higher_reading_departs_further(reading: int, reference: list[int]) -> None:
    assert departure(reading + 1, reference, 1.0) > departure(reading, reference, 1.0)


@pytest.mark.parametrize("references", [8, 10, 15, 20])
def test_the_share_of_false_alarms_is_that_of_simulated_dry_hulls(references: int) -> None:
    random = np.random.default_rng(20260512)
    drawn = random.standard_normal((20_000, references))
    middle = np.median(drawn, axis=1)
    spread = 1.4826 * np.median(abs(drawn - middle[:, None]), axis=1)

    share = np.mean(random.standard_normal(20_000) > middle + 3.5 * spread)

    assert false_alarm_share(references) == pytest.approx(share, abs=0.004)


@given(st.integers(0, 300), st.integers(6, 60))
def test_more_readings_and_a_smaller_reference_allow_for_more_accidents(
    count: int, size: int
) -> None:
    allowed = raised_by_accident(count, size)

    assert raised_by_accident(count + 10, size) >= allowed
    assert raised_by_accident(count, size + 1) <= allowed


def test_a_reference_of_five_is_no_reference() -> None:
    with pytest.raises(ValueError, match="5 readings is too small"):
        false_alarm_share(5)


# The map


def test_the_invented_hull_comes_out_as_worked_by_hand() -> None:
    found = map_of([*dry(), *unplaced(HULL)])

    assert found.reference is not None
    assert found.reference.median == 13
    assert found.reference.raised_above == pytest.approx(18.189, abs=0.0005)
    assert (found.raised, found.judged) == (10, 16)
    assert found.raised_share == pytest.approx((0.354, 0.848), abs=0.0005)
    assert found.shift == (9, 4, 12)


def test_without_a_dry_reference_nothing_is_comparable_and_the_way_out_is_said() -> None:
    found = map_of(bottom(WET_PATCH))

    assert found.verdict == "not comparable"
    assert "Read the topsides" in found.said
    assert {each.judged for each in found.readings} == {"not judged"}


def test_without_a_dry_reference_the_reading_that_stands_apart_is_said_and_not_judged() -> None:
    found = map_of(unplaced((14, 15, 13, 16, 14, 28)))

    assert found.verdict == "not comparable"
    assert found.apart.startswith("Of 6 readings 1 stands apart from the others: 28 at ")
    assert "median of all is 14.5 (scale units)" in found.apart
    assert found.said.endswith(found.apart)


@pytest.mark.parametrize("read", [(14, 15, 13, 16, 14, 17), (14, 15, 14, 28)])
def test_readings_much_alike_or_too_few_do_not_stand_apart(read: tuple[float, ...]) -> None:
    assert map_of(unplaced(read)).apart == ""


def test_a_small_dry_reference_is_not_judged_by() -> None:
    found = map_of([*dry(DRY[:7]), *bottom(WET_PATCH)])

    assert found.verdict == "cannot say"
    assert "7 readings, too few" in found.said


def test_a_dry_reference_of_two_laminates_is_not_judged_by() -> None:
    found = map_of([*dry([10, 11, 10, 11, 10, 20, 21, 20, 21, 20]), *bottom(WET_PATCH)])

    assert found.verdict == "cannot say"
    assert "may not be one dry laminate" in found.said


def test_a_low_scale_is_not_taken_for_a_scattered_reference() -> None:
    found = map_of([*dry([1, 2, 1, 3, 2, 1, 2, 3]), *unplaced([1, 2, 3])])

    assert found.verdict == "within"


def test_a_reference_alone_has_nothing_to_judge() -> None:
    assert map_of(dry()).verdict == "cannot say"


def test_a_dry_hull_is_not_distinguished_from_its_reference() -> None:
    found = map_of([*dry(), *bottom(WET_PATCH.replace("w", "d").replace("W", "e"))])

    assert found.verdict == "within"
    assert found.said.startswith("Not distinguished from the dry reference")
    assert found.areas == ()


def test_a_wet_patch_is_outlined_where_it_lies() -> None:
    (area,) = map_of([*dry(), *bottom(WET_PATCH)]).areas

    assert area.readings == 6
    assert area.stations_m == (4.5, 5.0)
    assert area.levels_m == pytest.approx((-0.7, -0.45))
    # Six readings that each speak for a square of a quarter of a metre.
    assert area.area_m2 == pytest.approx(6 * 0.0625, rel=0.03)
    assert area_m2(area.rings) == area.area_m2
    assert area.supported


def test_a_lone_reading_is_judged_and_not_outlined() -> None:
    found = map_of([*dry(), *bottom("W")])

    assert (found.raised, found.areas) == (1, ())
    assert found.readings[-1].chance == pytest.approx(false_alarm_share(len(DRY)))


def test_readings_far_above_the_reference_are_much_raised() -> None:
    found = map_of([*dry(), *bottom(WET_PATCH)])

    judged = {each.as_read: each.judged for each in found.readings if each.departure is not None}

    assert judged == {
        "12": "not distinguished",
        "13": "not distinguished",
        "20": "raised",
        "30": "much raised",
    }


def test_one_odd_reading_asks_to_be_read_again_and_accuses_nobody() -> None:
    found = map_of([*dry(), *bottom(ONE_ODD)])

    (area,) = found.areas
    assert not area.supported
    assert found.verdict == "within"
    assert any("Read again beside it" in each for each in found.caveats)


def test_a_soaked_hull_is_generally_raised() -> None:
    assert map_of([*dry(), *bottom(SOAKED)]).said.startswith("Generally raised")


def test_dry_hulls_are_seldom_called_raised_and_wet_ones_seldom_missed() -> None:
    random = np.random.default_rng(20260512)
    places = bottom(WET_PATCH)
    is_wet = [each.as_read in ("20", "30") for each in places]

    def called_raised(wetter: float) -> bool:
        values = random.normal(13, 1.3, len(places)) + wetter * np.array(is_wet)
        hull = [
            Reading(place=each.place, as_read=f"{value:.0f}")
            for each, value in zip(places, values, strict=True)
        ]
        return (
            map_of([*dry(np.round(random.normal(13, 1.3, 15)).tolist()), *hull]).verdict == "beyond"
        )

    assert sum(called_raised(0) for _ in range(60)) <= 6
    assert sum(called_raised(10) for _ in range(60)) >= 57


def test_the_two_sides_are_never_outlined_together() -> None:
    port = bottom(WET_PATCH)
    starboard = [
        Reading(
            place=Place(
                part="bottom-moisture",
                side="starboard",
                station_m=each.place.station_m,
                level_m=each.place.level_m,
            ),
            as_read=each.as_read,
        )
        for each in port
    ]

    areas = map_of([*dry(), *port, *starboard]).areas

    assert [each.side for each in areas] == ["port", "starboard"]
    assert areas[0].area_m2 == pytest.approx(areas[1].area_m2)


@FEW
@given(st.permutations([*dry(), *bottom(WET_PATCH)]))
def test_the_order_of_the_rows_does_not_change_the_map(rows: list[Reading]) -> None:
    expected, found = map_of([*dry(), *bottom(WET_PATCH)]), map_of(rows)

    assert (found.raised, found.said, found.shift) == (
        expected.raised,
        expected.said,
        expected.shift,
    )
    assert [each.area_m2 for each in found.areas] == pytest.approx(
        [each.area_m2 for each in expected.areas]
    )


@FEW
@given(st.integers(-9, 40), st.sampled_from([1, 2, 5]))
def test_another_scale_of_the_same_hull_gives_the_same_areas(offset: int, factor: int) -> None:
    moved = [
        Reading(
            place=each.place,
            as_read=str(int(each.as_read) * factor + offset),
            reference=each.reference,
        )
        for each in [*dry(), *bottom(WET_PATCH)]
    ]
    step = Instrument(
        name="meter 1",
        described="moisture meter",
        quantity="moisture",
        unit="scale units",
        resolution=factor,
    )
    body = ReadingSet(
        name="bottom",
        quantity="moisture",
        unit="scale units",
        instrument="meter 1",
        readings=tuple(moved),
    )

    (found,) = moisture_maps(fold([entry(1, QUILLET), entry(2, step), entry(9, body)]))

    expected = map_of([*dry(), *bottom(WET_PATCH)])
    assert [each.judged for each in found.readings] == [each.judged for each in expected.readings]
    assert found.areas[0].rings == expected.areas[0].rings


def test_readings_without_a_position_are_judged_but_not_mapped() -> None:
    found = map_of([*dry(), *unplaced(HULL)])

    assert found.areas == ()
    assert any("16 readings without station and level" in each for each in found.caveats)


def test_per_cent_is_not_printed_unless_the_users_own_calibration_says_so() -> None:
    rows = [*dry(), *bottom(WET_PATCH)]

    assert map_of(rows, unit="%").unit == "scale units"
    assert map_of(rows, unit="%", calibration="against oven-dried teak, 2026-01-10").unit == "%"


def test_a_rudder_that_reads_high_is_left_to_movement_and_sound() -> None:
    blade = [
        replace(each, place=replace(each.place, part="rudder-blade")) for each in bottom(WET_PATCH)
    ]

    of_blade = map_of([*dry(), *blade])

    assert any("movement and sound decide" in each for each in of_blade.caveats)
    assert not any("rudder" in each for each in map_of([*dry(), *bottom(WET_PATCH)]).caveats)


@pytest.mark.parametrize("unit", ["", "scale", "Scale "])
def test_a_unit_that_says_nothing_is_printed_as_scale_units(unit: str) -> None:
    assert map_of([*dry(), *bottom(WET_PATCH)], unit=unit).unit == "scale units"


def test_two_sets_keep_their_own_reference() -> None:
    with_reference = survey([*dry(), *bottom(WET_PATCH)])
    other = ReadingSet(
        name="deep mode",
        quantity="moisture",
        unit="scale units",
        instrument="meter 1",
        readings=tuple(bottom(WET_PATCH)),
    )

    found = moisture_maps(fold([*with_reference.entries, entry(10, other)]))

    assert [each.verdict for each in found] == ["beyond", "not comparable"]


# The circumstances


def caveats(conditions: Conditions | None, **changes: Any) -> str:
    return " ".join(map_of([*dry(), *bottom(WET_PATCH)], conditions, **changes).caveats)


def ashore(**changes: Any) -> Conditions:
    known: dict[str, Any] = {
        "lifted": DAY - timedelta(days=20),
        "air_c": 15.0,
        "humidity_pct": 50.0,
        "surface_c": 15.0,
        **changes,
    }
    return Conditions(lying="ashore", began=DAY, **known)


def test_high_readings_within_a_day_of_lift_out_wait() -> None:
    found = map_of([*dry(), *bottom(WET_PATCH)], ashore(lifted=DAY - timedelta(hours=5)))

    assert found.verdict == "cannot say"
    assert any("less than 24 hours" in each for each in found.caveats)
    assert found.areas


@pytest.mark.parametrize("level_m", [None, 1.2])
def test_a_deck_waits_for_no_lift_out_and_knows_no_antifouling(level_m: float | None) -> None:
    deck = [
        Reading(
            place=Place(part="deck-structure", side="port", station_m=4 + each, level_m=level_m),
            as_read="40",
        )
        for each in range(6)
    ]
    just_lifted = ashore(lifted=DAY - timedelta(hours=5), antifouling="copper, sound")

    found = map_of([*dry(), *deck], just_lifted)

    assert found.verdict == "beyond"
    assert not any("lift-out" in each or "Antifouling" in each for each in found.caveats)


def test_readings_corrected_a_week_later_were_still_read_too_soon() -> None:
    ashore_five_hours = entry(1, ashore(lifted=DAY - timedelta(hours=5)))
    wet = ReadingSet(
        name="hull",
        quantity="moisture",
        unit="scale",
        instrument="moisture meter",
        readings=(*dry(), *bottom(WET_PATCH)),
    )
    mended = entry(3, replace(wet, notes="deep mode"), replaces=(2,), at=DAY + timedelta(days=7))

    (found,) = moisture_maps(fold([ashore_five_hours, entry(2, wet), mended]))

    assert found.verdict == "cannot say"
    assert any("less than 24 hours" in each for each in found.caveats)


def test_low_readings_within_a_day_of_lift_out_tell_something() -> None:
    found = map_of(
        [*dry(), *bottom(WET_PATCH.replace("w", "d").replace("W", "e"))],
        ashore(lifted=DAY - timedelta(hours=5)),
    )

    assert found.verdict == "within"


def test_a_skin_at_the_dew_point_lets_high_readings_wait() -> None:
    assert map_of([*dry(), *bottom(WET_PATCH)], ashore(surface_c=2.0)).verdict == "cannot say"


def test_frost_lets_low_readings_wait_too() -> None:
    found = map_of([*dry(), *unplaced(DRY)], ashore(surface_c=-1.0, humidity_pct=20.0))

    assert found.verdict == "cannot say"
    assert any("frost" in each for each in found.caveats)


@pytest.mark.parametrize(
    ("conditions", "said"),
    [
        (None, "conditions were not recorded"),
        (ashore(lifted=None), "time since lift-out is not known"),
        (ashore(lifted=DAY - timedelta(days=4)), "4 days after lift-out; many hulls fall"),
        (ashore(rain_last_day=True), "rained"),
        (ashore(washed=False), "salt"),
        (ashore(antifouling="copper, sound"), "Antifouling: copper, sound."),
        (ashore(humidity_pct=90.0), "may have been damp"),
        (ashore(surface_c=None), "above the dew point is not known"),
    ],
)
def test_the_circumstances_stand_beside_the_readings(
    conditions: Conditions | None, said: str
) -> None:
    assert said in caveats(conditions)


def test_a_raised_area_says_in_the_meters_own_numbers_how_far_it_is_raised() -> None:
    area = results(survey([*dry(), *bottom(WET_PATCH)]))[-1]

    assert area.plainly == (
        "the moisture meter reads well above the readings taken as dry: median 20 against 13"
    )


def moved_to(part: str, level_m: float | None) -> list[Reading]:
    """The dry reference, read elsewhere."""
    place = Place(part=part, side="port", level_m=level_m)
    return [replace(each, place=place) for each in dry()]


@pytest.mark.parametrize(
    ("reference", "said"),
    [
        (moved_to("bottom-moisture", -0.3), ("marked as dry lie on the very part", "marked as dry lie below")),
        (moved_to("bottom-laminate", None), ("marked as dry lie below the waterline",)),
        ([*dry()[:11], *moved_to("bottom-laminate", -0.3)[:1]], ("1 of the 12 readings marked as dry lies below",)),
    ],
)  # fmt: skip
def test_a_reference_that_may_be_wet_itself_is_said(
    reference: list[Reading], said: tuple[str, ...]
) -> None:
    found = " ".join(map_of([*reference, *bottom(WET_PATCH)]).caveats)

    assert all(each in found for each in said)


def test_a_reference_on_the_topsides_raises_no_doubt() -> None:
    found = " ".join(map_of([*dry(), *bottom(WET_PATCH)]).caveats)

    assert "marked as dry" not in found


def test_reading_through_the_coating_is_said() -> None:
    assert "through the coating" in caveats(ASHORE, through_coating=True)


# The results


def test_the_results_count_shift_and_outline() -> None:
    count, moved, area = results(survey([*dry(), *bottom(WET_PATCH)]))

    assert (count.value, count.unit, count.verdict) == (6, "readings", "beyond")
    assert count.criterion is not None
    assert count.criterion.limit == raised_by_accident(40, 12)
    assert (moved.unit, moved.verdict) == ("scale units", "not comparable")
    assert area.verdict == "beyond"
    assert area.place is not None
    assert (area.place.part, area.place.side) == ("bottom-moisture", "port")


def test_every_result_rests_on_the_set_and_the_conditions() -> None:
    for each in results(survey([*dry(), *bottom(WET_PATCH)])):
        assert each.used == (entry_id(9), entry_id(2))


def test_what_cannot_be_said_has_no_value_and_a_reason() -> None:
    for each in results(survey(bottom(WET_PATCH))):
        assert each.value is None
        assert each.caveats


def test_a_lone_raised_place_is_at_the_limit() -> None:
    *_, area = results(survey([*dry(), *bottom(ONE_ODD)]))

    assert area.verdict == "at the limit"


def test_a_survey_without_moisture_readings_has_no_map() -> None:
    assert moisture_maps(fold([entry(1, QUILLET)])) == ()
