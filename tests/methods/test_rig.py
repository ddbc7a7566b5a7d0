from typing import Any

import pytest
from gear_readings import read, results_of, survey_of
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import rig
from garboard.methods.result import Result
from garboard.methods.rig import (
    breaking_kn,
    forestay_kn,
    margin_ratio,
    modulus_gpa,
    past_age_y,
    righting_moment_knm,
    shrouds_kn,
    tension_pct,
)

wires = st.floats(3, 14)
KGF_KN = 9.80665 / 1000


@given(thin_mm=st.integers(3, 14), more_mm=st.integers(1, 11))
def test_a_thicker_wire_is_the_stronger_one(thin_mm: int, more_mm: int) -> None:
    thick_mm = min(14, thin_mm + more_mm)

    assert thick_mm == thin_mm or breaking_kn(thick_mm) > breaking_kn(thin_mm)


@given(wires)
def test_a_compacted_strand_is_the_stronger_one(diameter_mm: float) -> None:
    assert breaking_kn(diameter_mm, "compacted") > breaking_kn(diameter_mm)


@pytest.mark.parametrize(("diameter_mm", "kgf"), [(3, 720), (4, 1285), (6, 2878)])
def test_the_curve_meets_the_figures_of_suppliers_within_what_makers_differ(
    diameter_mm: float, kgf: float
) -> None:
    assert breaking_kn(diameter_mm) == pytest.approx(kgf * KGF_KN, rel=0.005)


@given(st.floats(1, 500), st.floats(5, 25), st.floats(0, 3))
def test_an_inner_forestay_is_asked_for_less_than_one_to_the_masthead(
    moment_knm: float, hoist_m: float, freeboard_m: float
) -> None:
    inner = forestay_kn(moment_knm, hoist_m, freeboard_m, masthead=False)

    assert inner == pytest.approx(0.8 * forestay_kn(moment_knm, hoist_m, freeboard_m))


@given(st.floats(1, 500), st.floats(0.3, 4), st.floats(1, 3))
def test_a_wider_base_unloads_the_shrouds(
    moment_knm: float, half_width_m: float, wider: float
) -> None:
    assert shrouds_kn(moment_knm, half_width_m * wider) <= shrouds_kn(moment_knm, half_width_m)


@given(st.floats(0, 200), st.floats(0.1, 200))
def test_a_margin_times_the_load_is_the_strength(strength_kn: float, load_kn: float) -> None:
    assert margin_ratio(strength_kn, load_kn) * load_kn == pytest.approx(strength_kn)


def test_rod_is_due_before_wire() -> None:
    assert past_age_y(7, "rod") > 0 > past_age_y(7, "wire")


def test_twenty_millimetres_of_stretch_are_the_whole_breaking_load() -> None:
    assert tension_pct(20) == 100


def test_the_folding_rule_is_no_stiffer_than_steel() -> None:
    assert all(modulus_gpa(each, breaking_kn(each)) < 200 for each in range(3, 15))


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="16 mm"):
        breaking_kn(16)
    with pytest.raises(ValueError, match='"7x7"'):
        breaking_kn(6, "7x7")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="-1 was given"):
        tension_pct(-1)
    with pytest.raises(ValueError, match="righting_arm_m"):
        righting_moment_knm(6000, 0)
    with pytest.raises(ValueError, match="-2 was given"):
        forestay_kn(30, 14, -2)
    with pytest.raises(ValueError, match="half_width_m"):
        shrouds_kn(30, 0)
    with pytest.raises(ValueError, match="-3 was given"):
        margin_ratio(-3, 10)
    with pytest.raises(ValueError, match="-4 was given"):
        past_age_y(-4)


def results(*bodies: Any) -> dict[str, Result]:
    return results_of(rig.results, *bodies)


def test_the_strength_of_a_wire_is_told_and_not_judged() -> None:
    result = results(read("diameter", "wire-stay", 6, number=1))["strength of wire stay 1, new"]

    assert result.verdict == "not comparable"
    assert result.value == pytest.approx(28.26)
    assert any("certificate" in each for each in result.caveats)
    assert any("Nobody goes aloft" in each for each in result.caveats)


def test_a_wire_beyond_the_curve_cannot_say_and_why() -> None:
    result = results(read("diameter", "wire-stay", 18, number=1))["strength of wire stay 1, new"]

    assert result.verdict == "cannot say"
    assert "18 mm" in result.caveats[0]


def test_wires_without_an_age_ask_for_it() -> None:
    found = results(read("diameter", "wire-stay", 6, number=1))

    result = found["age of the standing rigging"]
    assert result.verdict == "cannot say"
    assert "The boat is of 1998" in result.caveats[0]


def test_without_a_reading_of_the_rig_nothing_is_said() -> None:
    assert rig.results(survey_of(read("play", "shaft-bracket", 0.8))) == ()
