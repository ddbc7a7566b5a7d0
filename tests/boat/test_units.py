"""Either unit in and out, by definition."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garboard.boat.units import UNITS, converted, feet_and_inches, inches, read


@pytest.mark.parametrize(
    ("words", "unit", "expected"),
    [
        ("33 ft 6 in", "m", 10.2108),
        ("33' 5 1/2\"", "m", 10.1981),
        ("33ft6in", "m", 10.2108),
        ("10,20 m", "m", 10.20),
        ("10.20", "m", 10.20),
        ("5/8 in", "mm", 15.875),
        ("1 1/4 in", "mm", 31.75),
        ("−4 °F", "°C", -20.0),
        ("68F", "°C", 20.0),
        ("20 imp gal", "l", 90.9218),
        ("20 US gal", "l", 75.70823568),
        ("2 t", "kg", 2000.0),
        ("5 long tons", "lb", 11_200.0),
        ("1 m2", "ft²", 10.763910416709722),
        ("27 hp", "kW", 20.133896),
    ],
)
def test_a_quantity_is_read_in_the_unit_it_is_written_in(
    words: str, unit: str, expected: float
) -> None:
    value = read(words, unit)

    assert value == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("words", "unit", "because"),
    [
        ("1,250 kg", "kg", "thousands or as decimals"),
        ("20 gal", "l", "US or imperial"),
        ("3 tons", "kg", "metric, long or short"),
        ("abc", "m", "not a quantity"),
        ("", "m", "not one quantity"),
        ("3 m 2 m", "m", "not one quantity"),
        ("3 smoots", "m", "not a unit"),
        ("5 kg", "m", "kg measures mass and m measures length"),
    ],
)
def test_what_can_be_read_in_two_ways_is_asked_about(words: str, unit: str, because: str) -> None:
    with pytest.raises(ValueError, match=because):
        read(words, unit)


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(UNITS)), st.sampled_from(sorted(UNITS)))
def test_there_and_back_is_the_same_quantity(value: float, of: str, to: str) -> None:
    if UNITS[of].dimension != UNITS[to].dimension:
        return

    there_and_back = converted(converted(value, of, to), to, of)

    assert there_and_back == pytest.approx(value, rel=1e-9, abs=1e-6)


@given(st.floats(0, 200))
def test_feet_and_inches_are_within_half_a_step_of_the_length(length_m: float) -> None:
    words = feet_and_inches(length_m)

    assert abs(read(words, "m") - length_m) <= 0.0254 / 4 + 1e-12


@given(st.floats(0, 1000))
def test_inches_are_within_half_a_sixteenth_of_the_size(size_mm: float) -> None:
    words = inches(size_mm)

    assert abs(read(words, "mm") - size_mm) <= 25.4 / 32 + 1e-9


def test_twelve_inches_are_written_as_a_foot() -> None:
    assert feet_and_inches(0.3047, Fraction(1, 2)) == "1 ft 0 in"
