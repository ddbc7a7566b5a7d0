from typing import Any, get_args

import pytest
from cast import HARROWMERE, QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import lights
from garboard.methods.lights import Light, asked_range_nmi, intensity_cd, range_nmi
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Examination, Place
from garboard.notebook.fold import fold

LIGHTS = get_args(Light)


def seen(extent: Any = "whole", part: str = "navigation-lights") -> Examination:
    return Examination(place=Place(part=part), extent=extent, how=("look", "operate"))


def results(*bodies: Any) -> tuple[Result, ...]:
    return lights.results(fold([entry(number, body) for number, body in enumerate(bodies, 1)]))


@given(st.floats(0.05, 15))
def test_a_range_comes_back_from_its_intensity(range_: float) -> None:
    assert range_nmi(intensity_cd(range_)) == pytest.approx(range_, rel=1e-6)


@given(st.sampled_from(LIGHTS), st.floats(1, 80), st.floats(1, 80))
def test_a_longer_boat_is_never_asked_for_less(light: Light, one: float, other: float) -> None:
    shorter, longer = sorted((one, other))

    assert asked_range_nmi(light, shorter) <= asked_range_nmi(light, longer)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    bow: Any = "bow"

    with pytest.raises(ValueError, match="range_nmi is above zero; 0"):
        intensity_cd(0)
    with pytest.raises(ValueError, match="seen_cd is above zero; 0"):
        range_nmi(0)
    with pytest.raises(ValueError, match="length_m is above zero"):
        asked_range_nmi("side", 0)
    with pytest.raises(ValueError, match='not "bow"'):
        asked_range_nmi(bow, 10)


def test_examined_lights_are_given_the_ranges_asked_of_them() -> None:
    found = results(QUILLET, seen())

    assert [each.value for each in found] == [2, 1, 2, 2]
    assert {each.verdict for each in found} == {"not comparable"}
    assert all("cd" in each.caveats[0] for each in found)


def test_a_boat_of_twelve_metres_is_asked_for_more() -> None:
    assert [each.value for each in results(HARROWMERE, seen())] == [3, 2, 2, 2]


def test_lights_of_a_boat_of_unknown_length_cannot_be_told() -> None:
    found = results(Boat(name="Quillet"), seen())

    assert {each.verdict for each in found} == {"cannot say"}
    assert all("length" in each.caveats[0] for each in found)


@pytest.mark.parametrize("body", [seen("not fitted"), seen(part="interior-lighting")])
def test_lights_nobody_looked_at_have_no_results(body: Examination) -> None:
    assert results(QUILLET, body) == ()
