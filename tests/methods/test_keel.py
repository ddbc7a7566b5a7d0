from dataclasses import replace
from math import pi
from typing import Any

import pytest
from cast import QUILLET
from gear_readings import read, results_of, survey_of
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import keel
from garboard.methods.keel import (
    class_bolt_mm,
    diameter_loss_pct,
    equal_load_n,
    grounding_force_n,
    keel_moment_nm,
    loads_by_arm_n,
    root_couple_n,
    section_left_ratio,
    stress_mpa,
    torque_nm,
    widest_gap_mm,
)
from garboard.methods.result import Result

arms = st.lists(st.floats(0.01, 0.6), min_size=1, max_size=14)
moments = st.floats(1, 1e6)


@given(moment_nm=moments, arms_m=arms)
def test_however_it_is_shared_the_bolts_carry_the_whole_moment(
    moment_nm: float, arms_m: list[float]
) -> None:
    equal = equal_load_n(moment_nm, arms_m)
    by_arm = loads_by_arm_n(moment_nm, arms_m)

    assert sum(equal * arm for arm in arms_m) == pytest.approx(moment_nm)
    assert sum(load * arm for load, arm in zip(by_arm, arms_m, strict=True)) == pytest.approx(
        moment_nm
    )


@given(moment_nm=moments, arms_m=arms)
def test_the_share_by_distance_is_the_harder_one(moment_nm: float, arms_m: list[float]) -> None:
    assert max(loads_by_arm_n(moment_nm, arms_m)) >= equal_load_n(moment_nm, arms_m) * (1 - 1e-9)


@given(moment_nm=moments, arm_m=st.floats(0.01, 0.6), bolts=st.integers(1, 12))
def test_bolts_in_one_row_share_alike_either_way(
    moment_nm: float, arm_m: float, bolts: int
) -> None:
    assert loads_by_arm_n(moment_nm, (arm_m,) * bolts) == pytest.approx(
        (equal_load_n(moment_nm, (arm_m,) * bolts),) * bolts
    )


@given(arms_m=arms, keel_kg=st.floats(100, 10_000), yield_mpa=st.floats(150, 900))
def test_a_bolt_of_the_class_diameter_is_stressed_to_half_its_yield_or_less(
    arms_m: list[float], keel_kg: float, yield_mpa: float
) -> None:
    size_mm = class_bolt_mm(keel_kg, 0.7, yield_mpa, arms_m)
    load_n = equal_load_n(keel_moment_nm(keel_kg, 0.7), arms_m)

    assert stress_mpa(load_n, pi * size_mm**2 / 4) <= yield_mpa / 2 * (1 + 1e-9)


@given(original_mm=st.floats(8, 60), loss_pct=st.floats(0, 100))
def test_the_section_left_goes_with_the_square_of_the_diameter_left(
    original_mm: float, loss_pct: float
) -> None:
    found_mm = original_mm * (1 - loss_pct / 100)

    assert diameter_loss_pct(original_mm, found_mm) == pytest.approx(loss_pct, abs=1e-9)
    assert section_left_ratio(loss_pct) == pytest.approx((found_mm / original_mm) ** 2, abs=1e-9)


@given(st.floats(500, 20_000), st.floats(0.5, 12), st.floats(0.05, 3))
def test_to_stop_in_half_the_way_takes_twice_the_force(
    displacement_kg: float, speed_kn: float, stopped_in_m: float
) -> None:
    assert grounding_force_n(displacement_kg, speed_kn, stopped_in_m / 2) == pytest.approx(
        2 * grounding_force_n(displacement_kg, speed_kn, stopped_in_m)
    )


def test_a_greased_bolt_needs_less_torque_for_the_same_preload() -> None:
    assert torque_nm(50_000, 20, 0.15) < torque_nm(50_000, 20, 0.2)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="keel_kg"):
        keel_moment_nm(0, 0.7)
    with pytest.raises(ValueError, match="-1 was given"):
        equal_load_n(-1, (0.2,))
    with pytest.raises(ValueError, match=r"\(0\.2, 0\)"):
        loads_by_arm_n(100, (0.2, 0))
    with pytest.raises(ValueError, match="-2 was given"):
        stress_mpa(-2, 245)
    with pytest.raises(ValueError, match="-3 was given"):
        diameter_loss_pct(20, -3)
    with pytest.raises(ValueError, match="101 was given"):
        section_left_ratio(101)
    with pytest.raises(ValueError, match="-4 was given"):
        torque_nm(-4, 20)
    with pytest.raises(ValueError, match="-5 was given"):
        grounding_force_n(5000, -5, 0.3)
    with pytest.raises(ValueError, match="-6 was given"):
        root_couple_n(-6, 1.2, 1.5)
    with pytest.raises(ValueError, match="gaps of 0 mm or more"):
        widest_gap_mm(())


def results(*bodies: Any, boat: Any = QUILLET) -> dict[str, Result]:
    return results_of(keel.results, *bodies, boat=boat)


def criterion_of(result: Result) -> str:
    assert result.criterion is not None
    return result.criterion.id


@pytest.mark.parametrize(
    ("found_mm", "verdict", "criterion"),
    [
        (19.5, "within", "keel-bolt-loss"),
        (18.0, "at the limit", "keel-bolt-loss"),
        (17.0, "beyond", "keel-bolt-loss"),
        (15.9, "beyond", "keel-bolt-loss"),
        (15.0, "beyond", "keel-bolt-stop"),
    ],
)
def test_a_wasted_bolt_is_judged_by_the_highest_limit_it_has_surely_passed(
    found_mm: float, verdict: str, criterion: str
) -> None:
    found = results(read("diameter", "keel-bolt", found_mm, original=20, number=4))

    result = found["loss of keel bolt 4"]
    assert (result.verdict, criterion_of(result)) == (verdict, criterion)


def test_a_bolt_of_unknown_size_cannot_have_lost_any() -> None:
    found = results(read("diameter", "keel-bolt", 19, number=4))

    assert found["loss of keel bolt 4"].verdict == "cannot say"


def keel_of(*rows: tuple[int, float, float], gravity: bool = True) -> list[Any]:
    bodies = [read("diameter", "keel-bolt", size, number=number) for number, size, _ in rows]
    bodies += [read("length", "keel-bolt", arm, number=number) for number, _, arm in rows]
    if gravity:
        bodies.append(read("length", "iron-keel", 0.75, words="centre of gravity below the joint"))
    return bodies


PAIRS = ((1, 17.66, 0.20), (2, 17.66, 0.04), (3, 17.66, 0.20), (4, 17.66, 0.04))
HEAVY = replace(QUILLET, ballast_kg=2000)


def test_both_shares_of_the_load_are_told_and_the_harder_one_judged() -> None:
    found = results(*keel_of(*PAIRS), boat=HEAVY)

    # Two pairs instead of four carry twice the load of each.
    result = found["stress of keel bolt 1"]
    assert result.value == pytest.approx(2 * 72.2, abs=0.2)
    assert any("125 MPa with equal shares" in each for each in result.caveats)
    assert (result.verdict, criterion_of(result)) == ("beyond", "keel-bolt-stress")


def test_the_limit_of_stress_only_asks_to_have_it_checked() -> None:
    result = results(*keel_of(*PAIRS), boat=HEAVY)["stress of keel bolt 1"]

    assert result.criterion is not None
    assert result.criterion.text == "memory"
    assert "have this checked" in result.criterion.say


@pytest.mark.parametrize(
    ("bodies", "boat", "why"),
    [
        (keel_of(*PAIRS), replace(QUILLET, ballast_kg=None), "ballast"),
        (keel_of(*PAIRS, gravity=False), QUILLET, "centre of gravity"),
        ([*keel_of(*PAIRS), read("length", "keel-bolt", 0.2, number=5)], QUILLET, "keel bolt 5"),
        (keel_of((1, 20, 0.2), (2, 20, 0.0)), QUILLET, "pressed edge itself"),
    ],
)
def test_a_stress_that_cannot_be_told_says_what_is_missing(
    bodies: list[Any], boat: Any, why: str
) -> None:
    result = results(*bodies, boat=boat)["stress of the keel bolts"]

    assert result.verdict == "cannot say"
    assert why in result.caveats[0]


def test_a_gap_of_the_joint_has_no_limit_and_is_told_with_its_place() -> None:
    result = results(read("gap", "keel-joint", 3.0, 1.3, 0.0))["widest gap of the keel joint"]

    assert (result.verdict, result.value) == ("not comparable", 3)
    assert "Open at 2 of 3 places" in result.caveats[0]


def test_every_result_carries_the_caution() -> None:
    found = results(
        *keel_of(*PAIRS), read("gap", "keel-joint", 1.0), boat=replace(QUILLET, ballast_kg=500)
    )

    assert all(
        any("Keep clear of a keel" in one for one in each.caveats) for each in found.values()
    )


def test_without_a_reading_of_the_keel_nothing_is_said() -> None:
    assert keel.results(survey_of(read("play", "shaft-bracket", 0.8))) == ()
