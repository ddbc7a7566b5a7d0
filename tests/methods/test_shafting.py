import pytest
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods.shafting import (
    class_shaft_mm,
    fitted_mm,
    groove_mm,
    misalignment_um_per_mm,
    run_out_mm,
    shaft_by_propeller_mm,
    shaft_mm,
    spacing_diameters,
    strength_needed_mpa,
    torque_nm,
    wear_pct,
    whirl_length_m,
    whirl_ratio,
    whirl_rpm,
)

powers = st.floats(1, 1000)
turns = st.floats(100, 4000)
shafts = st.floats(15, 120)
scales = st.floats(0.1, 10)


@given(power_kw=powers, shaft_rpm=turns, torsion_mpa=st.floats(50, 700))
def test_the_strength_a_shaft_asks_for_is_the_one_it_was_sized_with(
    power_kw: float, shaft_rpm: float, torsion_mpa: float
) -> None:
    diameter_mm = shaft_mm(power_kw, shaft_rpm, torsion_mpa)

    assert strength_needed_mpa(power_kw, shaft_rpm, diameter_mm) == pytest.approx(torsion_mpa)


@given(power_kw=powers, shaft_rpm=turns, scale=scales)
def test_a_shaft_grows_with_the_cube_root_of_its_power(
    power_kw: float, shaft_rpm: float, scale: float
) -> None:
    ratio = shaft_mm(scale * power_kw, shaft_rpm, 480) / shaft_mm(power_kw, shaft_rpm, 480)

    assert ratio == pytest.approx(scale ** (1 / 3))


@given(power_kw=powers, shaft_rpm=turns, scale=scales)
def test_torque_knows_power_over_turns_only(
    power_kw: float, shaft_rpm: float, scale: float
) -> None:
    assert torque_nm(scale * power_kw, scale * shaft_rpm) == pytest.approx(
        torque_nm(power_kw, shaft_rpm)
    )


@given(power_kw=powers, shaft_rpm=turns)
def test_the_ship_rule_gives_nothing_for_strength_above_600(
    power_kw: float, shaft_rpm: float
) -> None:
    assert class_shaft_mm(power_kw, shaft_rpm, 900) == class_shaft_mm(power_kw, shaft_rpm, 600)


@given(shaft_rpm=turns, diameter_mm=shafts)
def test_a_shaft_of_the_whirling_length_whirls_at_those_turns(
    shaft_rpm: float, diameter_mm: float
) -> None:
    span_m = whirl_length_m(shaft_rpm, diameter_mm)

    assert whirl_rpm(span_m, diameter_mm) == pytest.approx(shaft_rpm)
    assert whirl_ratio(span_m, shaft_rpm, diameter_mm) == pytest.approx(1)


@given(span_m=st.floats(0.2, 5), diameter_mm=shafts, scale=scales)
def test_twice_the_span_whirls_at_a_quarter_of_the_turns(
    span_m: float, diameter_mm: float, scale: float
) -> None:
    assert whirl_rpm(scale * span_m, diameter_mm) * scale**2 == pytest.approx(
        whirl_rpm(span_m, diameter_mm)
    )


@given(clearance_mm=st.floats(0, 5), more=st.floats(0.01, 5), diameter_mm=shafts)
def test_more_clearance_is_more_wear(clearance_mm: float, more: float, diameter_mm: float) -> None:
    assert wear_pct(clearance_mm + more, diameter_mm) > wear_pct(clearance_mm, diameter_mm)


@given(st.lists(st.floats(-5, 5), min_size=2, max_size=12), st.floats(-3, 3))
def test_run_out_does_not_know_where_the_gauge_was_set_to_zero(
    readings: list[float], zero: float
) -> None:
    assert run_out_mm([each + zero for each in readings]) == pytest.approx(
        run_out_mm(readings), abs=1e-9
    )


@given(st.lists(st.floats(0, 3), min_size=2, max_size=8), st.floats(50, 300), scales)
def test_a_larger_flange_of_the_same_shape_is_as_much_out_of_line(
    gaps: list[float], flange_mm: float, scale: float
) -> None:
    assert misalignment_um_per_mm(
        [scale * each for each in gaps], scale * flange_mm
    ) == pytest.approx(misalignment_um_per_mm(gaps, flange_mm), abs=1e-9)


@given(original_mm=shafts, worn_mm=st.floats(0, 5))
def test_a_groove_is_half_of_what_the_diameter_lost(original_mm: float, worn_mm: float) -> None:
    assert groove_mm(original_mm, original_mm - worn_mm) == pytest.approx(worn_mm / 2, abs=1e-9)


def test_a_shaft_thicker_than_noted_has_no_groove() -> None:
    assert groove_mm(30, 30.1) == 0


def test_more_blades_ask_for_a_thicker_shaft() -> None:
    of = [shaft_by_propeller_mm(500, each, "high-strength stainless") for each in (2, 3, 4)]

    assert of == sorted(of)


@pytest.mark.parametrize("size_mm", [15.0, 47.0, 57.0, 80.0])
def test_a_clearance_that_nobody_published_is_not_made_up(size_mm: float) -> None:
    with pytest.raises(ValueError, match=f"{size_mm:g} mm"):
        fitted_mm(size_mm)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="power_kw is above zero; 0 was"):
        torque_nm(0, 1000)
    with pytest.raises(ValueError, match="5 blades"):
        shaft_by_propeller_mm(500, 5, "high-strength stainless")
    with pytest.raises(ValueError, match='"iron"'):
        shaft_by_propeller_mm(500, 3, "iron")
    with pytest.raises(ValueError, match="-1 was given"):
        wear_pct(-1, 30)
    with pytest.raises(ValueError, match="none was given"):
        run_out_mm(())
    with pytest.raises(ValueError, match="-2 was given"):
        groove_mm(30, -2)
    with pytest.raises(ValueError, match="two positions"):
        misalignment_um_per_mm((0.1,), 100)
    with pytest.raises(ValueError, match="span_m"):
        spacing_diameters(0, 30)
