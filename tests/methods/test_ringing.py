import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import ive, jv

from garboard.methods.ringing import (
    bending_stiffness_nm,
    blow_share,
    contact_ms,
    damping_ratio,
    disbond_hz,
    disbond_spring_n_per_m,
    panel_hz,
    to_a_tenth_ms,
)

stiffnesses = st.floats(0.1, 1000)
masses = st.floats(0.5, 50)
radii = st.floats(5, 500)


def lowest_root(slope_or_moment: str) -> float:
    """λ² of a round plate's lowest mode from its characteristic equation, Poisson's ratio 0.3."""

    def clamped(x: float) -> float:
        return float(jv(0, x) * ive(1, x) + ive(0, x) * jv(1, x))

    def supported(x: float) -> float:
        return float(jv(1, x) / jv(0, x) + ive(1, x) / ive(0, x) - 2 * x / 0.7)

    wanted = clamped if slope_or_moment == "clamped" else supported
    low, high = (2.5, 3.5) if slope_or_moment == "clamped" else (2.0, 2.4)
    return float(brentq(wanted, low, high)) ** 2


@pytest.mark.parametrize("edge", ["clamped", "supported"])
def test_the_note_of_a_disc_solves_its_characteristic_equation(edge: str) -> None:
    note_hz = disbond_hz(1.0, 1.0, 1000.0, edge)  # type: ignore[arg-type]

    assert note_hz * 2 * np.pi == pytest.approx(lowest_root(edge), rel=1e-4)


@given(stiffness=stiffnesses, mass=masses, radius=radii)
def test_a_patch_of_twice_the_radius_sounds_two_octaves_lower(
    stiffness: float, mass: float, radius: float
) -> None:
    note = disbond_hz(stiffness, mass, radius)

    assert disbond_hz(stiffness, mass, 2 * radius) == pytest.approx(note / 4)
    assert disbond_hz(stiffness, mass, radius, "supported") < note


@given(stiffness=stiffnesses, mass=masses)
def test_higher_notes_of_a_panel_lie_above_its_lowest(stiffness: float, mass: float) -> None:
    lowest = panel_hz(stiffness, mass, 0.7, 0.5)

    assert panel_hz(stiffness, mass, 0.7, 0.5, 2, 1) > lowest
    assert panel_hz(stiffness, mass, 0.7, 0.5, 2, 2) == pytest.approx(4 * lowest)


@given(stiffness=stiffnesses, radius=radii)
def test_a_hammer_stays_longer_on_a_softer_place(stiffness: float, radius: float) -> None:
    rigid = contact_ms(0.03, 3e6)
    clamped, supported = (
        contact_ms(0.03, 3e6, disbond_spring_n_per_m(stiffness, radius, edge))
        for edge in ("clamped", "supported")
    )

    assert rigid < clamped < supported


@pytest.mark.parametrize("cycles", [0.1, 0.5, 0.594, 1.3, 2.2])
def test_the_spectrum_of_a_blow_is_that_of_a_half_sine(cycles: float) -> None:
    real, imaginary = (
        quad(lambda t, wave=wave: np.sin(np.pi * t) * wave(2 * np.pi * cycles * t), 0, 1)[0]
        for wave in (np.cos, np.sin)
    )

    assert blow_share(cycles) == pytest.approx(np.hypot(real, imaginary) / (2 / np.pi), abs=1e-9)


@given(damping=st.floats(0.001, 0.3), cycles=st.integers(1, 20))
def test_damping_is_found_again_from_the_decay_it_makes(damping: float, cycles: int) -> None:
    ratio = np.exp(-2 * np.pi * cycles * damping / np.sqrt(1 - damping**2))

    if ratio > 1e-200:
        assert damping_ratio(float(ratio), cycles) == pytest.approx(damping, rel=1e-9)


@given(damping=st.floats(0.001, 0.3), frequency=st.floats(50, 10_000))
def test_power_is_at_a_tenth_after_the_time_to_a_tenth(damping: float, frequency: float) -> None:
    seconds = to_a_tenth_ms(frequency, damping) / 1000

    assert np.exp(-2 * damping * 2 * np.pi * frequency * seconds) == pytest.approx(0.1)


def test_plates_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="0 mm"):
        bending_stiffness_nm(9, 0)
    with pytest.raises(ValueError, match="above zero"):
        disbond_hz(1, 0, 50)
    with pytest.raises(ValueError, match="welded"):
        disbond_hz(1, 1, 50, "welded")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="welded"):
        disbond_spring_n_per_m(1, 50, "welded")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="-1 was given"):
        contact_ms(0.03, 3e6, -1)
    with pytest.raises(ValueError, match="-1 was given"):
        blow_share(-1)
    with pytest.raises(ValueError, match="over 5"):
        damping_ratio(1.0, 5)
    with pytest.raises(ValueError, match="above zero"):
        panel_hz(1, 1, 0, 1)
    with pytest.raises(ValueError, match="above zero"):
        to_a_tenth_ms(0, 0.1)
