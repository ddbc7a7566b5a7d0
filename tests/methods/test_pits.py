from typing import Any

import pytest
from cast import HARROWMERE, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import pits
from garboard.methods.panels import panels
from garboard.methods.pits import (
    mean_of_deepest_mm,
    pit_floor_mm,
    pit_share_pct,
    pitted_panels,
    pitting_factor,
)
from garboard.methods.result import Result
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.fold import Survey, fold

depths = st.floats(0, 20)
plates = st.floats(0.5, 40)


def at(part: str, station_m: float | None = 3.2, side: Any = "port") -> Place:
    return Place(part=part, side=side, station_m=station_m, level_m=-0.4)


def pitted(*as_read: str, original: str = "", **changes: Any) -> ReadingSet:
    place = at("hull-pits", **changes)
    return ReadingSet(
        name="pits",
        quantity="pit depth",
        unit="mm",
        instrument="pit gauge",
        readings=tuple(Reading(place=place, as_read=each, original=original) for each in as_read),
    )


def gauged(*as_read: str, **changes: Any) -> ReadingSet:
    place = at("bottom-plate-thickness", **changes)
    return ReadingSet(
        name="plate",
        quantity="thickness",
        unit="mm",
        instrument="gauge",
        readings=tuple(Reading(place=place, as_read=each, original="6.0") for each in as_read),
    )


def survey_of(*bodies: Any, boat: Any = HARROWMERE) -> Survey:
    return fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])


def found(about: str, *bodies: Any, boat: Any = HARROWMERE) -> Result:
    (result,) = (
        each for each in pits.results(survey_of(*bodies, boat=boat)) if each.what.startswith(about)
    )
    return result


@given(plate_mm=plates, depth_mm=depths)
def test_nothing_is_left_where_the_pit_is_deeper_than_the_plate(
    plate_mm: float, depth_mm: float
) -> None:
    left = pit_floor_mm(plate_mm, depth_mm)

    assert 0 <= left <= plate_mm
    assert (left == 0) == (depth_mm >= plate_mm)


@given(plate_mm=plates, depth_mm=depths)
def test_share_and_floor_make_up_the_plate(plate_mm: float, depth_mm: float) -> None:
    if depth_mm <= plate_mm:
        share = pit_share_pct(depth_mm, plate_mm)
        floor = pit_floor_mm(plate_mm, depth_mm)
        assert share + 100 * floor / plate_mm == pytest.approx(100)


@given(st.lists(depths, min_size=1, max_size=30))
def test_the_mean_of_the_deepest_lies_between_mean_and_deepest(found_mm: list[float]) -> None:
    mean = mean_of_deepest_mm(found_mm)

    assert sum(found_mm) / len(found_mm) <= mean + 1e-9
    assert mean <= max(found_mm) + 1e-9


def test_what_is_no_pit_is_refused() -> None:
    with pytest.raises(ValueError, match="in 0 mm"):
        pit_share_pct(1, 0)
    with pytest.raises(ValueError, match="-1 and 2"):
        pit_floor_mm(-1, 2)
    with pytest.raises(ValueError, match="above zero"):
        pitting_factor(1, 0)
    with pytest.raises(ValueError, match="none was given"):
        mean_of_deepest_mm(())


def test_a_pit_of_nearly_a_third_in_six_millimetres_is_a_quarter_passed_and_at_seventy() -> None:
    readings = pitted("1.8", original="6.0")

    assert found("local loss at", readings).value == pytest.approx(30)
    assert found("local loss at", readings).verdict == "beyond"
    assert found("plate left", readings).verdict == "at the limit"


def test_on_another_metal_pits_are_computed_and_not_judged() -> None:
    boat = type(HARROWMERE)(name="Quillet", material="grp")

    results = pits.results(survey_of(pitted("1.8", original="6.0"), boat=boat))

    assert [each.verdict for each in results] == ["not comparable", "not comparable", "cannot say"]


def test_the_plate_round_a_pit_is_found_under_another_part() -> None:
    (panel,) = pitted_panels(survey_of(pitted("1.0"), gauged("5.6", "5.4", station_m=3.6)))

    assert panel.original_mm == 6.0
    assert panel.plate_mm == pytest.approx(5.5)


@pytest.mark.parametrize("changes", [{"station_m": 5.0}, {"side": "starboard"}])
def test_a_plate_far_off_or_of_the_other_side_lends_nothing(changes: dict[str, Any]) -> None:
    result = found("deepest pit", pitted("1.0"), gauged("5.6", **changes))

    assert result.verdict == "cannot say"
    assert "1 mm" in result.caveats[0]


def test_a_pit_takes_from_what_the_plate_round_it_has_left() -> None:
    result = found("plate left", pitted("1.0"), gauged("5.0"))

    assert result.value == pytest.approx(100 * 4.0 / 6.0)
    assert "4.0 mm left" in result.caveats[0]


def test_pits_are_told_by_the_metre_they_lie_in() -> None:
    what = found("deepest pit", pitted("1.0", original="6.0")).what

    assert what.endswith("port, 3 to 4 m from the stem")


def test_an_original_taken_from_sound_plate_makes_what_is_left_less_sure() -> None:
    stated = found("plate left", pitted("1.0"), gauged("5.6", "5.4"))
    sound = ReadingSet(
        name="plate",
        quantity="thickness",
        unit="mm",
        instrument="gauge",
        readings=(
            *(Reading(place=at("bottom-plate-thickness"), as_read=each) for each in ("5.6", "5.4")),
            *(
                Reading(
                    place=at("bottom-plate-thickness", station_m=9.0), as_read=each, reference=True
                )
                for each in ("5.9", "6.1")
            ),
        ),
    )

    assumed = found("plate left", pitted("1.0"), sound)

    assert assumed.value == pytest.approx(stated.value)
    assert (assumed.uncertainty or 0) > (stated.uncertainty or 0)


def test_a_plate_not_gauged_is_taken_as_built_and_said() -> None:
    result = found("plate left", pitted("1.0", original="6.0"))

    assert any("not gauged" in each for each in result.caveats)


def test_pits_never_enter_the_mean_of_the_plate() -> None:
    (panel,) = panels(survey_of(pitted("3.0"), gauged("5.5")))

    assert panel.mean_mm == 5.5


def test_the_pitting_factor_is_computed_and_not_judged() -> None:
    result = found("pitting factor", pitted("1.0"), gauged("5.0"))

    assert result.value == pytest.approx(2.0)
    assert result.verdict == "not comparable"


def test_no_pitting_factor_where_the_plate_has_lost_almost_nothing() -> None:
    assert found("pitting factor", pitted("1.0"), gauged("5.9")).verdict == "cannot say"


def test_a_deep_pit_is_beyond_a_third() -> None:
    assert found("deepest pit of", pitted("3.0", original="6.0")).verdict == "beyond"


def test_many_pits_are_counted_and_the_ten_deepest_averaged() -> None:
    depths_mm = tuple(f"{each / 10:.1f}" for each in range(1, 13))

    result = found("deepest pit of", pitted(*depths_mm, original="6.0"))

    assert result.caveats[0] == (
        "12 pits measured, the deepest 1.2 mm; the ten deepest average 0.8 mm."
    )


def test_two_metres_with_pits_are_two_panels() -> None:
    survey = survey_of(pitted("1.0"), pitted("1.2", station_m=4.1))

    assert len(pitted_panels(survey)) == 2
