"""The integrator on shapes whose areas and volumes are known."""

from collections.abc import Sequence
from math import cos, hypot, pi, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.boat.area import clipped, enclosed_m2, section_area_m2, skin_area_m2, volume_m3

Offset = tuple[float, float]
LENGTH, BEAM, DRAUGHT = 10.0, 3.0, 0.6


def wigley(length: float, beam: float, draught: float, station: float) -> Sequence[Offset]:
    """The parabolic hull y = B/2·(1 − X²)(1 − Z²); X from −1 to 1 along, Z from 0 at the waterline to 1."""
    along = 2 * station / length - 1
    depths = [sin(pi / 2 * each / 100) for each in range(100, -1, -1)]
    return [(beam / 2 * (1 - along**2) * (1 - z**2), -draught * z) for z in depths]


def test_the_parabolic_hull_has_four_ninths_of_its_box() -> None:
    volume = volume_m3(lambda at: wigley(LENGTH, BEAM, DRAUGHT, at), 0, LENGTH)

    assert volume == pytest.approx(4 / 9 * LENGTH * BEAM * DRAUGHT, rel=1e-3)


@pytest.mark.parametrize(
    ("length", "beam", "draught", "area"),
    [(10.0, 3.0, 0.6, 25.2009), (1.0, 0.1, 0.0625, 0.148791)],
)
def test_the_parabolic_hull_has_its_computed_wetted_area(
    length: float, beam: float, draught: float, area: float
) -> None:
    found = skin_area_m2(lambda at: wigley(length, beam, draught, at), 0, length)

    assert found == pytest.approx(area, rel=2e-4)


def sailing_body(station: float) -> Sequence[Offset]:
    """A fin-keel canoe body in closed form, 9.5 × 3.0 × 0.55 m, sections y = Y·(1 − (z/T)^2.2)."""
    along, widest, stern = station / 9.5, 0.56, 0.35
    if along <= widest:
        half = 1.5 * (1 - ((widest - along) / widest) ** 1.8)
    else:
        half = 1.5 * (1 - (1 - stern) * ((along - widest) / (1 - widest)) ** 2.2)
    draught = 0.55 * (1 - (abs(along - 0.5) / 0.5) ** 2)
    depths = [sin(pi / 2 * each / 160) for each in range(160, -1, -1)]
    return [(half * (1 - z**2.2), -draught * z) for z in depths]


def test_a_fin_keel_canoe_body_has_its_computed_volume_and_wetted_area() -> None:
    volume = volume_m3(sailing_body, 0, 9.5, stations=200)
    area = skin_area_m2(sailing_body, 0, 9.5, stations=300)

    assert volume == pytest.approx(5.875, abs=0.002)
    assert area == pytest.approx(22.4033, rel=5e-4)


def test_a_box_is_exact() -> None:
    def box(_: float) -> Sequence[Offset]:
        return [(0.0, -1.0), (2.0, -1.0), (2.0, 0.0)]

    assert volume_m3(box, 0, 5) == pytest.approx(20.0)
    assert skin_area_m2(box, 0, 5) == pytest.approx(2 * 5 * (2 + 1))


def test_a_cone_has_the_area_of_its_mantle() -> None:
    radius, height = 1.5, 4.0

    def cone(at: float) -> Sequence[Offset]:
        turns = [pi * each / 200 for each in range(201)]
        local = radius * at / height
        return [(local * sin(each), -local * cos(each)) for each in turns]

    area = skin_area_m2(cone, 0, height)
    volume = volume_m3(cone, 0, height, below_m=radius)

    assert area == pytest.approx(pi * radius * hypot(radius, height), rel=1e-4)
    assert volume == pytest.approx(pi * radius**2 * height / 3, rel=1e-3)


@settings(deadline=None, max_examples=25)
@given(st.floats(0.1, 20))
def test_areas_grow_with_the_square_of_the_size_and_volumes_with_the_cube(size: float) -> None:
    def scaled(at: float) -> Sequence[Offset]:
        return wigley(LENGTH * size, BEAM * size, DRAUGHT * size, at)

    small = skin_area_m2(lambda at: wigley(LENGTH, BEAM, DRAUGHT, at), 0, LENGTH, stations=10)
    large = skin_area_m2(scaled, 0, LENGTH * size, stations=10)
    volume = volume_m3(scaled, 0, LENGTH * size, stations=10)

    assert large == pytest.approx(small * size**2, rel=1e-9)
    assert volume == pytest.approx(
        volume_m3(lambda at: wigley(LENGTH, BEAM, DRAUGHT, at), 0, LENGTH, stations=10) * size**3,
        rel=1e-9,
    )


def test_a_section_cut_at_a_height_keeps_what_lies_below_it() -> None:
    section = [(0.0, -1.0), (1.0, 0.0), (1.0, 1.0)]

    assert clipped(section, float("-inf"), 0.5)[-1] == (1.0, 0.5)
    assert section_area_m2(section, below_m=0.5) == pytest.approx(2 * (0.5 + 0.5))


def test_the_area_inside_an_outline_does_not_depend_on_the_sense_of_turning() -> None:
    outline = [(0.0, 0.0), (3.0, 0.0), (0.0, 4.0)]

    assert enclosed_m2(outline) == enclosed_m2(reversed(outline)) == 6.0
