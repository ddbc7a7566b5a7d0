import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.boat.hull import hull_of
from garboard.methods.patch import area_m2, holds
from garboard.methods.zone import between, levels_of, panel_of, point_of, shell_of, zone_words
from garboard.notebook.body import Boat, Place
from garboard.notebook.fold import fold

HULL = hull_of(QUILLET)

places = st.tuples(st.integers(0, 20).map(float), st.integers(-9, 9).map(float))


def test_the_bottom_ends_at_the_boot_top_and_the_topsides_begin_there() -> None:
    bottom, topsides = (
        levels_of((part, "port", None), HULL) for part in ("bottom-laminate", "topside-laminate")
    )

    assert bottom is not None
    assert topsides is not None
    assert bottom(5.0)[1] == topsides(5.0)[0] == 0
    assert bottom(5.0)[0] < 0 < topsides(5.0)[1]


def test_a_panel_goes_round_counter_clockwise() -> None:
    panel = panel_of(("topside-laminate", "starboard", None), HULL)

    assert panel is not None
    assert area_m2([panel]) > 5


@pytest.mark.parametrize("zone", [("rudder-blade", "port", None), ("bottom-laminate", None, None)])
def test_what_is_no_side_of_the_shell_has_no_panel(zone: tuple[str, None, None]) -> None:
    assert panel_of(zone, HULL) is None


def test_a_boat_without_dimensions_has_no_shell() -> None:
    assert shell_of(fold([entry(1, Boat(name="Quillet"))])) is None


def test_a_zone_is_named_in_the_catalogues_words() -> None:
    assert zone_words(("seacock", "port", 3)).endswith(", port 3")
    assert zone_words(("somewhere-else", None, None)) == "somewhere-else"


def test_a_place_needs_both_coordinates_to_be_a_point() -> None:
    assert point_of(Place(part="stem", station_m=0.2)) is None
    assert point_of(Place(part="stem", station_m=0.2, level_m=0.1)) == (0.2, 0.1)


@given(st.lists(places, min_size=3, max_size=12, unique=True))
def test_what_lies_between_holds_every_middle_of_two(points: list[tuple[float, float]]) -> None:
    ring = between(points)

    if len(ring) > 2:
        x, y = (sum(each) / len(points) for each in zip(*points, strict=True))
        assert area_m2([ring]) > 0
        assert holds(ring, (x, y))
