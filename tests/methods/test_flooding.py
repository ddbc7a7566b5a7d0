from typing import Any

import pytest
from cast import HARROWMERE, QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import flooding
from garboard.methods.flooding import (
    fill_time_s,
    flow_l_per_min,
    inflow_l_per_min,
    inflow_speed_m_per_s,
    opening_held_mm,
    pump_limit,
)
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Instrument, Place, Reading, ReadingSet
from garboard.notebook.fold import fold

bores = st.floats(1, 300)
depths = st.floats(0.01, 5)
coefficients = st.floats(0.1, 1)

INTAKE = Place(part="seacock", number=3, side="port", station_m=4.5, level_m=-0.5)


def bore(as_read: str, place: Place = INTAKE) -> ReadingSet:
    return ReadingSet(
        name="openings",
        quantity="diameter",
        unit="mm",
        instrument="calliper",
        readings=(Reading(place=place, as_read=as_read),),
    )


def flow(as_read: str, part: str = "electric-bilge-pump") -> ReadingSet:
    return ReadingSet(
        name="pumps",
        quantity="flow",
        unit="l/min",
        instrument="bucket",
        readings=(Reading(place=Place(part=part, number=1), as_read=as_read),),
    )


def results(*bodies: Any, boat: Boat = QUILLET) -> tuple[Result, ...]:
    return flooding.results(
        fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])
    )


@given(bores, depths, coefficients)
def test_the_opening_the_pumps_hold_lets_in_what_they_move(
    diameter_mm: float, depth_m: float, coefficient: float
) -> None:
    moved = inflow_l_per_min(diameter_mm, depth_m, coefficient)

    assert opening_held_mm(moved, depth_m, coefficient) == pytest.approx(diameter_mm)


@given(bores, depths, coefficients)
def test_four_times_the_depth_doubles_the_inflow_and_twice_the_bore_makes_it_four(
    diameter_mm: float, depth_m: float, coefficient: float
) -> None:
    inflow = inflow_l_per_min(diameter_mm, depth_m, coefficient)

    assert inflow_l_per_min(diameter_mm, 4 * depth_m, coefficient) == pytest.approx(2 * inflow)
    assert inflow_l_per_min(2 * diameter_mm, depth_m, coefficient) == pytest.approx(4 * inflow)


@given(bores, depths, st.floats(0.1, 20))
def test_filling_takes_twice_as_long_as_at_the_first_rate(
    diameter_mm: float, depth_m: float, plan_m2: float
) -> None:
    at_first_s = 60_000 * plan_m2 * depth_m / inflow_l_per_min(diameter_mm, depth_m)

    assert fill_time_s(diameter_mm, depth_m, plan_m2) == pytest.approx(2 * at_first_s)


@pytest.mark.parametrize(
    ("length_m", "limit"), [(6.0, 10), (6.01, 15), (11.99, 15), (12.0, 30), (24.0, 30)]
)
def test_the_flow_asked_of_a_pump_goes_by_the_length_of_the_hull(
    length_m: float, limit: float
) -> None:
    assert pump_limit(length_m).limit == limit


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="-1 was given"):
        inflow_speed_m_per_s(-1)
    with pytest.raises(ValueError, match="at most 1; 2"):
        inflow_l_per_min(38, 0.5, 2)
    with pytest.raises(ValueError, match="depth_m is above zero"):
        fill_time_s(38, 0, 1)
    with pytest.raises(ValueError, match="seconds is above zero"):
        flow_l_per_min(10, 0)
    with pytest.raises(ValueError, match="end at 24 m; 25 m"):
        pump_limit(25)


@pytest.mark.parametrize(
    ("as_read", "verdict"), [("14", "at the limit"), ("30", "within"), ("6", "beyond")]
)
def test_a_pump_is_judged_by_what_it_moved(as_read: str, verdict: str) -> None:
    (result,) = results(flow(as_read))

    assert result.verdict == verdict
    assert result.unit == "L/min"
    assert result.criterion is not None
    assert "have this checked" in result.criterion.say


def test_a_longer_boat_asks_more_of_the_same_pump() -> None:
    (short,), (long,) = results(flow("20")), results(flow("20"), boat=HARROWMERE)

    assert (short.verdict, long.verdict) == ("within", "beyond")


def test_a_pump_worked_by_hand_tells_the_strokes() -> None:
    (result,) = results(flow("20", "manual-bilge-pump"))

    assert any("45 strokes" in each for each in result.caveats)


@pytest.mark.parametrize(("length_m", "why"), [(None, "length of the hull"), (30, "24 m")])
def test_a_pump_of_a_boat_outside_the_limits_cannot_be_judged(
    length_m: float | None, why: str
) -> None:
    (result,) = results(flow("20"), boat=Boat(name="Quillet", loa_m=length_m))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert why in result.caveats[0]


def test_an_opening_tells_its_inflow_and_that_the_pumps_do_not_keep_up() -> None:
    pump, opening = results(bore("38"), flow("20"))

    assert pump.method == "flooding.flow_l_per_min"
    assert opening.verdict == "not comparable"
    assert opening.value is not None
    assert opening.value > 60
    assert opening.uncertainty == pytest.approx(opening.value * 0.15 / 3**0.5 / 0.6)
    assert any("20 L/min and do not keep up" in each for each in opening.caveats)
    assert len(opening.used) == 2


def test_an_opening_without_measured_pumps_says_so() -> None:
    (result,) = results(bore("38"))

    assert any("was not measured" in each for each in result.caveats)


def test_an_opening_above_the_water_lets_nothing_in_while_she_is_upright() -> None:
    (result,) = results(bore("38", Place(part="exhaust-outlet", station_m=5, level_m=0.4)))

    assert result.value == 0
    assert "heeled" in result.caveats[0]


@pytest.mark.parametrize(
    ("place", "boat", "why"),
    [
        (Place(part="seacock", number=3), QUILLET, "has a station and a level"),
        (INTAKE, Boat(name="Quillet"), "main dimensions"),
    ],
)
def test_an_opening_of_unknown_depth_cannot_be_judged(place: Place, boat: Boat, why: str) -> None:
    (result,) = results(bore("38", place), boat=boat)

    assert (result.verdict, result.value) == ("cannot say", None)
    assert why in result.caveats[0]


def test_the_instrument_tells_the_uncertainty_of_a_flow() -> None:
    bucket = Instrument(
        name="bucket", described="10 L, watch", quantity="flow", unit="l/min", uncertainty=0.1
    )

    (result,) = results(bucket, flow("14"))

    assert result.verdict == "beyond"


def test_every_result_carries_the_caution() -> None:
    assert all(
        any("not for damage" in each for each in result.caveats)
        for result in results(bore("38"), flow("20"))
    )


def test_a_survey_without_such_readings_has_no_results() -> None:
    assert results(bore("38", Place(part="propeller"))) == ()
