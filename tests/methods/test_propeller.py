from math import pi, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods.propeller import (
    allowed_mm,
    blade_angle_deg,
    blade_play_mm,
    class_clearance_ratio,
    clearance_pct,
    departure_pct,
    pitch_from_drop_mm,
    pitch_uncertainty_pct,
    residual_g,
    spread_pct,
    uneven_deg,
)

sizes = st.floats(1, 5000)
scales = st.floats(0.01, 100)


@given(pitch_mm=sizes, radius_mm=sizes)
def test_the_angle_of_a_blade_gives_its_pitch_back(pitch_mm: float, radius_mm: float) -> None:
    angle = radians(blade_angle_deg(pitch_mm, radius_mm))

    assert 2 * pi * radius_mm * tan(angle) == pytest.approx(pitch_mm)


@given(pitch_mm=sizes, arc_deg=st.floats(1, 360))
def test_the_drop_of_a_known_pitch_gives_it_back(pitch_mm: float, arc_deg: float) -> None:
    assert pitch_from_drop_mm(pitch_mm * arc_deg / 360, arc_deg) == pytest.approx(pitch_mm)


@given(nominal=sizes, found=sizes, scale=scales)
def test_a_departure_in_per_cent_does_not_know_the_unit(
    nominal: float, found: float, scale: float
) -> None:
    assert departure_pct(scale * nominal, scale * found) == pytest.approx(
        departure_pct(nominal, found), abs=1e-6
    )


@given(st.lists(sizes, min_size=2, max_size=6), scales)
def test_blades_alike_have_no_spread_and_scale_changes_none(
    means: list[float], scale: float
) -> None:
    assert spread_pct([means[0]] * len(means)) == pytest.approx(0)
    assert spread_pct([scale * each for each in means]) == pytest.approx(spread_pct(means))


@given(nominal_mm=sizes, share_pct=st.floats(0, 10), least_mm=st.floats(0, 20))
def test_a_tolerance_is_never_less_than_its_least(
    nominal_mm: float, share_pct: float, least_mm: float
) -> None:
    assert allowed_mm(nominal_mm, share_pct, least_mm) >= least_mm


@given(st.integers(2, 7))
def test_blades_evenly_set_depart_by_nothing(blades: int) -> None:
    assert uneven_deg(360 / blades, blades) == 0


@given(mass_kg=st.floats(1, 100), radius_m=st.floats(0.1, 1), shaft_rpm=st.floats(100, 3000))
def test_a_coarser_class_never_allows_less_imbalance(
    mass_kg: float, radius_m: float, shaft_rpm: float
) -> None:
    allowed = [residual_g(mass_kg, radius_m, shaft_rpm, each) for each in ("s", "i", "ii", "iii")]

    assert allowed == sorted(allowed)


@given(gap_mm=st.floats(0, 500), diameter_mm=sizes)
def test_a_clearance_is_a_share_of_the_diameter(gap_mm: float, diameter_mm: float) -> None:
    assert clearance_pct(gap_mm, diameter_mm) * diameter_mm / 100 == pytest.approx(gap_mm)


def test_for_a_small_boat_the_least_percentage_of_the_ship_rule_governs() -> None:
    assert 1.2 * class_clearance_ratio(12, 0.4, 60) < 0.12


def test_a_worse_protractor_makes_a_worse_pitch() -> None:
    assert pitch_uncertainty_pct(25.4, 0.25, 20, 0.5) > pitch_uncertainty_pct(25.4, 0.25, 20, 0.2)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="400°"):
        pitch_from_drop_mm(10, 400)
    with pytest.raises(ValueError, match="pitch_mm is above zero; 0 was"):
        blade_angle_deg(0, 100)
    with pytest.raises(ValueError, match="-1 was given"):
        departure_pct(400, -1)
    with pytest.raises(ValueError, match="-2 %"):
        allowed_mm(400, -2)
    with pytest.raises(ValueError, match="two blades or more"):
        spread_pct((400,))
    with pytest.raises(ValueError, match="1 were given"):
        uneven_deg(120, 1)
    with pytest.raises(ValueError, match='not "iv"'):
        residual_g(25, 0.2, 1000, "iv")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="-3 was given"):
        clearance_pct(-3, 400)
    with pytest.raises(ValueError, match="readings of 0 mm or more"):
        blade_play_mm(())
    with pytest.raises(ValueError, match="at most 1"):
        class_clearance_ratio(12, 1.4, 60)
