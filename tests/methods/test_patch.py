import math
from itertools import pairwise
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods.patch import (
    Nearest,
    Point,
    area_m2,
    groups,
    holds,
    middle,
    neighbours,
    outline,
    outlined_area_m2,
    spacing_m,
)

coordinates = st.integers(-12, 12).map(lambda each: each / 8)
places = st.tuples(coordinates, coordinates)
scattered = st.lists(places, min_size=1, max_size=12, unique=True)
levels = st.lists(st.floats(-2, 2), max_size=12).map(sorted)
reaches = st.floats(0.05, 5)

HOLE = """
    ooooo
    oxxxo
    oxoxo
    oxxxo
    ooooo
"""
CORNERS = """
    oooo
    oxoo
    ooxo
    oooo
"""


def points_of(rows: str, mark: str) -> list[Point]:
    lines = rows.split()
    return [
        (float(x), float(-y))
        for y, line in enumerate(lines)
        for x, each in enumerate(line)
        if each == mark
    ]


@given(scattered, places, reaches)
def test_the_nearest_place_is_the_nearest_of_all(
    points: list[Point], to: Point, reach_m: float
) -> None:
    by_asking_all = min(math.dist(to, each) for each in points)

    assert Nearest(points, reach_m).distance_m(to) == by_asking_all


@given(scattered, coordinates, levels, reaches)
def test_along_a_station_the_nearest_place_is_the_nearest_of_all(
    points: list[Point], station_m: float, levels_m: list[float], reach_m: float
) -> None:
    by_asking_all = [
        min(math.dist((station_m, level), each) for each in points) for level in levels_m
    ]

    found = Nearest(points, reach_m).distances_m(station_m, levels_m)

    assert found == pytest.approx(by_asking_all, rel=1e-12)


@given(scattered, coordinates, levels, reaches, st.floats(0.1, 2))
def test_a_distance_that_matters_is_right_and_another_is_not_given_for_one(
    points: list[Point], station_m: float, levels_m: list[float], reach_m: float, up_to_m: float
) -> None:
    nearest = Nearest(points, reach_m)

    found = nearest.distances_m(station_m, levels_m, up_to_m)

    for distance, true in zip(found, nearest.distances_m(station_m, levels_m), strict=True):
        assert distance == pytest.approx(true, rel=1e-12) if true <= up_to_m else distance > up_to_m


def test_no_place_is_infinitely_far() -> None:
    assert Nearest([], 1.0).distance_m((0.0, 0.0)) == math.inf
    assert Nearest([], 1.0).distances_m(0.0, [0.0, 1.0]) == [math.inf, math.inf]


@given(scattered, st.floats(0.1, 3))
def test_neighbours_are_all_within_the_link_and_none_beyond(
    points: list[Point], link_m: float
) -> None:
    by_asking_all = tuple(
        tuple(index for index, other in enumerate(points) if math.dist(point, other) <= link_m)
        for point in points
    )

    assert neighbours(points, link_m) == by_asking_all


@given(scattered, st.floats(0.1, 3))
def test_groups_share_out_all_places_and_lie_further_apart_than_the_link(
    points: list[Point], link_m: float
) -> None:
    found = groups(points, link_m)

    assert sorted(index for each in found for index in each) == list(range(len(points)))
    assert all(
        math.dist(points[a], points[b]) > link_m
        for each in found
        for other in found
        if each != other
        for a in each
        for b in other
    )


@given(scattered, st.floats(0.1, 3))
def test_no_group_falls_into_two(points: list[Point], link_m: float) -> None:
    for group in groups(points, link_m):
        reached = {group[0]}
        for _ in group:
            reached |= {
                each
                for each in group
                for other in reached
                if math.dist(points[each], points[other]) <= link_m
            }

        assert reached == set(group)


@given(scattered.filter(lambda each: len(each) > 1))
def test_the_outline_holds_its_own_places_and_none_of_the_others(points: list[Point]) -> None:
    inside, outside = points[::2], points[1::2]

    rings = outline(inside, outside, 0.4)

    # In a hole a place lies within two rings, so it is the odd count that is inside.
    assert all(sum(holds(ring, each) for ring in rings) % 2 == 0 for each in outside)
    alone = [each for each in inside if min(math.dist(each, other) for other in outside) > 0.2]
    assert all(sum(holds(ring, each) for ring in rings) % 2 == 1 for each in alone)


@given(scattered, coordinates, coordinates)
def test_the_area_does_not_depend_on_where_the_patch_lies(
    points: list[Point], along: float, up: float
) -> None:
    moved = [(x + along, y + up) for x, y in points]

    assert outlined_area_m2(moved, [], 0.5) == pytest.approx(outlined_area_m2(points, [], 0.5))


@given(scattered)
def test_more_clear_places_never_make_a_patch_larger(points: list[Point]) -> None:
    inside, outside = points[:1], points[1:]

    areas = [outlined_area_m2(inside, outside[:count], 0.8) for count in range(len(outside) + 1)]

    assert all(later <= earlier + 1e-9 for earlier, later in pairwise(areas))


def test_a_clear_place_in_the_middle_is_a_hole() -> None:
    rings = outline(points_of(HOLE, "x"), points_of(HOLE, "o"), math.sqrt(0.5))

    assert sorted(area_m2([ring]) > 0 for ring in rings) == [False, True]
    assert area_m2(rings) == pytest.approx(8.0, rel=0.02)


def test_a_patch_stops_at_the_edge_of_its_part() -> None:
    whole = outline([(0.0, 0.0)], [], 1.0)

    below = outline([(0.0, 0.0)], [], 1.0, lambda station_m: (-5.0, 0.1))

    assert max(y for ring in below for _, y in ring) == pytest.approx(0.1, abs=1e-6)
    assert area_m2(below) < 0.6 * area_m2(whole)


def test_squares_that_touch_at_a_corner_keep_their_areas() -> None:
    inside, outside = points_of(CORNERS, "x"), points_of(CORNERS, "o")

    assert area_m2(outline(inside, outside, math.sqrt(0.5))) == pytest.approx(2.0, rel=0.02)


def test_a_patch_reaches_its_own_places_beyond_a_schematic_edge() -> None:
    (ring,) = outline([(0.0, 0.0), (0.0, -0.5)], [], 0.3, lambda station_m: (-0.2, 1.0))

    assert min(y for _, y in ring) == pytest.approx(-0.5, abs=1e-6)


def test_nothing_has_no_outline() -> None:
    assert outline([], [(0.0, 0.0)], 1.0) == ()


def test_the_spacing_is_that_of_the_usual_neighbour() -> None:
    assert spacing_m([(0.4 * each, 0.0) for each in range(9)] + [(20.0, 0.0)]) == pytest.approx(0.4)


@given(st.lists(places, min_size=2, max_size=12))
def test_the_spacing_is_what_asking_all_gives(points: list[Point]) -> None:
    nearest = [
        min(math.dist(point, other) for other in (*points[:index], *points[index + 1 :]))
        for index, point in enumerate(points)
    ]

    assert spacing_m(points) == max(median(nearest), 0.05)


def test_one_place_has_no_spacing() -> None:
    with pytest.raises(ValueError, match="two places"):
        spacing_m([(0.0, 0.0)])


def test_the_middle_is_the_mean_place() -> None:
    assert middle([(0.0, 0.0), (4.0, -2.0)]) == (2.0, -1.0)
