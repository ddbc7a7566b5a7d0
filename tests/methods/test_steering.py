from typing import Any

import pytest
from gear_readings import read, results_of, survey_of
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import steering
from garboard.methods.result import Result
from garboard.methods.steering import (
    balance_ratio,
    bush_mm,
    class_stock_mm,
    pin_wear_pct,
    play_mm,
    rudder_force_n,
    rudder_torque_nm,
    stock_mm,
    stop_angle_deg,
    tip_play_mm,
)

plays = st.floats(0, 10)
lengths = st.floats(0.1, 3)
torques = st.floats(1, 5000)


@given(upper_mm=plays, lower_mm=plays, between_m=lengths)
def test_at_the_lower_bearing_a_blade_moves_by_that_bearing_alone(
    upper_mm: float, lower_mm: float, between_m: float
) -> None:
    assert tip_play_mm(upper_mm, lower_mm, between_m, 0) == lower_mm


@given(upper_mm=plays, lower_mm=plays, between_m=lengths, below_m=lengths, more=lengths)
def test_a_longer_blade_shows_no_less_play(
    upper_mm: float, lower_mm: float, between_m: float, below_m: float, more: float
) -> None:
    assert tip_play_mm(upper_mm, lower_mm, between_m, below_m + more) >= tip_play_mm(
        upper_mm, lower_mm, between_m, below_m
    )


@given(area_m2=lengths, aspect=lengths, speed_kn=st.floats(1, 30))
def test_twice_the_speed_is_four_times_the_force(
    area_m2: float, aspect: float, speed_kn: float
) -> None:
    assert rudder_force_n(area_m2, aspect, 2 * speed_kn) == pytest.approx(
        4 * rudder_force_n(area_m2, aspect, speed_kn)
    )


@given(force_n=torques, chord_m=lengths, balance=st.floats(0, 1))
def test_no_balance_takes_the_torque_below_that_of_a_tenth_of_the_chord(
    force_n: float, chord_m: float, balance: float
) -> None:
    assert rudder_torque_nm(force_n, chord_m, balance) >= 0.1 * force_n * chord_m * (1 - 1e-12)


@given(torque_nm=torques, bending_nm=torques, allowed_mpa=st.floats(20, 400), scale=st.floats(1, 8))
def test_a_stock_grows_with_the_cube_root_of_its_load(
    torque_nm: float, bending_nm: float, allowed_mpa: float, scale: float
) -> None:
    ratio = stock_mm(scale * torque_nm, scale * bending_nm, allowed_mpa) / stock_mm(
        torque_nm, bending_nm, allowed_mpa
    )

    assert ratio == pytest.approx(scale ** (1 / 3))


@given(torque_nm=torques, bending_nm=torques)
def test_the_ship_rule_is_the_same_formula_at_its_own_stress(
    torque_nm: float, bending_nm: float
) -> None:
    ours = stock_mm(torque_nm, bending_nm, 118)

    assert class_stock_mm(torque_nm, bending_nm) == pytest.approx(ours, rel=0.01)


@given(st.lists(plays, min_size=1, max_size=5))
def test_play_is_the_greatest_of_its_readings(readings: list[float]) -> None:
    assert all(play_mm(readings) >= each for each in readings)


@given(st.lists(st.floats(-60, 60), min_size=1, max_size=5))
def test_a_stop_angle_does_not_know_its_side(readings: list[float]) -> None:
    assert stop_angle_deg(readings) == stop_angle_deg([-each for each in readings])


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="-1 mm"):
        tip_play_mm(-1, 1, 0.6, 1.2)
    with pytest.raises(ValueError, match="0 mm or more"):
        play_mm(())
    with pytest.raises(ValueError, match="-2 was given"):
        pin_wear_pct(-2, 20)
    with pytest.raises(ValueError, match="stock_mm"):
        bush_mm(0)
    with pytest.raises(ValueError, match="none was given"):
        stop_angle_deg(())
    with pytest.raises(ValueError, match=r"0\.5 of 0\.45"):
        balance_ratio(0.5, 0.45)
    with pytest.raises(ValueError, match="speed_kn"):
        rudder_force_n(0.45, 2, 0)
    with pytest.raises(ValueError, match=r"1\.5 was given"):
        rudder_torque_nm(100, 0.4, 1.5)
    with pytest.raises(ValueError, match="-5"):
        stock_mm(-5, 0, 118)
    with pytest.raises(ValueError, match="-6 was given"):
        class_stock_mm(5, -6)


def results(*bodies: Any) -> dict[str, Result]:
    return results_of(steering.results, *bodies)


def criterion_of(result: Result) -> str:
    assert result.criterion is not None
    return result.criterion.id


@pytest.mark.parametrize(
    ("found_mm", "verdict"), [(0.6, "within"), (1.5, "at the limit"), (2.4, "beyond")]
)
def test_a_rudder_bush_is_worn_out_or_not(found_mm: float, verdict: str) -> None:
    result = results(read("play", "rudder-stock", found_mm))["play of the bearing, rudder stock"]

    assert (result.verdict, criterion_of(result)) == (verdict, "rudder-bush")


def test_a_stock_of_another_size_is_told_beside_the_limit() -> None:
    found = results(read("play", "rudder-stock", 0.6), read("diameter", "rudder-stock", 30))

    result = found["play of the bearing, rudder stock"]
    assert any("Stock of 30 mm, the limit that of 40 to 50 mm" in each for each in result.caveats)


def test_a_pintle_is_judged_against_its_own_pin() -> None:
    found = results(
        read("diameter", "rudder-hangings", 20, words="lower pair"),
        read("diameter", "rudder-hangings", 40, words="upper pair"),
        read("play", "rudder-hangings", 3, words="lower pair"),
    )

    result = found["play of the hangings, rudder hangings, lower pair"]
    assert result.value == pytest.approx(15)
    assert result.verdict == "beyond"


def test_a_pintle_without_its_pin_cannot_be_judged() -> None:
    result = results(read("play", "rudder-hangings", 3))["play of the hangings, rudder hangings"]

    assert result.verdict == "cannot say"
    assert "3 mm" in result.caveats[0]


@pytest.mark.parametrize(
    ("angle", "verdict"), [(32, "within"), (36, "at the limit"), (42, "beyond")]
)
def test_a_rudder_that_swings_too_far_asks_for_its_stops(angle: float, verdict: str) -> None:
    found = results(read("angle", "rudder-stops-and-tube", angle, side="port"))

    (result,) = found.values()
    assert (result.verdict, criterion_of(result)) == (verdict, "rudder-stop-angle")


def test_a_blade_with_too_much_ahead_of_its_stock_is_overbalanced() -> None:
    found = results(
        read("area", "rudder-blade", 4500),
        read("area", "rudder-blade", 1500, words="ahead of the stock"),
    )

    result = found["balance of rudder blade"]
    assert result.value == pytest.approx(1 / 3)
    assert result.verdict == "beyond"


def test_a_blade_measured_by_half_has_no_balance() -> None:
    result = results(read("area", "rudder-blade", 4500))["balance of rudder blade"]

    assert result.verdict == "cannot say"


@pytest.mark.parametrize("part", ["rudder-blade", "steering-linkage"])
def test_play_without_a_published_limit_is_told_and_not_judged(part: str) -> None:
    (result,) = results(read("play", part, 12)).values()

    assert (result.verdict, result.value) == ("not comparable", 12)
    assert "No limit is published" in result.caveats[0]


def test_play_of_the_rudder_carries_the_caution() -> None:
    (result,) = results(read("play", "rudder-stock", 0.6)).values()

    assert any("hands out of the gap" in each for each in result.caveats)


def test_without_a_reading_of_the_steering_nothing_is_said() -> None:
    assert steering.results(survey_of(read("play", "shaft-bracket", 0.8))) == ()
