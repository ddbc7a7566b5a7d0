"""The views of the boat: every mark where it belongs, nothing over anything else."""

from itertools import combinations, pairwise
from math import dist
from xml.etree import ElementTree

import pytest
from cast import HARROWMERE, QUILLET
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.boat.hull import hull_of
from garboard.drawings import svg
from garboard.drawings.hull import Mark, View, hull_views, profile
from garboard.drawings.sheet import ROW_MM, Extent, fitting_scale, sheet_for, spread
from garboard.notebook.body import Boat, Place, Side

SVG = "{http://www.w3.org/2000/svg}"
BOATS = (QUILLET, HARROWMERE)

places = st.builds(
    Place,
    part=st.sampled_from(("hull-bottom", "rudder", "keel-joint")),
    side=st.sampled_from(("port", "starboard", "centre", None)),
    station_m=st.none() | st.floats(-5, 150),
    level_m=st.none() | st.floats(-20, 30),
)
many_marks = st.lists(places, max_size=40).map(
    lambda found: tuple(Mark(number=each, place=place) for each, place in enumerate(found, 1))
)


def mark(number: int, side: Side | None, station_m: float | None, level_m: float | None) -> Mark:
    """A mark on the hull bottom."""
    place = Place(part="hull-bottom", side=side, station_m=station_m, level_m=level_m)
    return Mark(number=number, place=place)


def drawn(view: View) -> ElementTree.Element:
    return ElementTree.fromstring(view.svg)


def rings(view: View) -> dict[str, tuple[float, float]]:
    """The call-outs of a view: their numbers, and where their rings stand."""
    found = [
        (float(each.get("cx", "")), float(each.get("cy", "")))
        for each in drawn(view).iter(f"{SVG}circle")
        if each.get("r") == "2"
    ]
    words = [
        each.text or ""
        for each in drawn(view).iter(f"{SVG}text")
        if each.get("font-weight") == "600"
    ]
    return dict(zip([each for each in words if each.isdigit()], found, strict=True))


def dots(view: View) -> list[tuple[float, float]]:
    """Where the leaders of a view end on the boat."""
    return [
        (float(each.get("cx", "")), float(each.get("cy", "")))
        for each in drawn(view).iter(f"{SVG}circle")
        if each.get("stroke") == svg.ACCENT
    ]


@pytest.mark.parametrize("boat", BOATS)
def test_every_view_is_well_formed_and_says_what_it_shows(boat: Boat) -> None:
    for view in hull_views(boat):
        root = drawn(view)

        assert root.findtext(f"{SVG}title") == f"{boat.name}: {view.title}"
        assert root.findtext(f"{SVG}desc") == view.alt
        assert any("Schematic" in (each.text or "") for each in root.iter(f"{SVG}text"))


@settings(deadline=None, max_examples=25)
@given(st.sampled_from(BOATS), many_marks)
def test_any_marks_give_well_formed_views_that_stay_on_the_sheet(
    boat: Boat, marks: tuple[Mark, ...]
) -> None:
    for view in hull_views(boat, marks):
        root = drawn(view)

        width, height = (float(each) for each in root.get("viewBox", "").split()[2:])
        assert "nan" not in view.svg
        for x, y in rings(view).values():
            assert 0 <= x <= width
            assert 0 <= y <= height


@settings(deadline=None, max_examples=25)
@given(many_marks)
def test_call_outs_of_a_profile_never_overlap(marks: tuple[Mark, ...]) -> None:
    view = profile(hull_of(QUILLET), marks, "starboard")

    found = rings(view).values()

    assert all(dist(one, other) >= ROW_MM - 0.01 for one, other in combinations(found, 2))


def test_the_bow_is_right_to_starboard_and_left_to_port() -> None:
    marks = (mark(1, "starboard", 1.0, 0.3), mark(2, "port", 1.0, 0.3))

    starboard, port, *_ = hull_views(QUILLET, marks)

    assert dots(starboard)[0][0] > 80 > dots(port)[0][0]
    assert "bow to the right" in starboard.title
    assert "bow to the left" in port.title


def test_a_mark_shows_on_its_own_side_only() -> None:
    starboard, port, *_ = hull_views(QUILLET, (mark(7, "port", 3.0, -0.4),))

    assert rings(starboard) == {}
    assert list(rings(port)) == ["7"]


def test_a_mark_on_the_centreline_shows_with_the_starboard_side() -> None:
    starboard, port, *_ = hull_views(QUILLET, (mark(3, "centre", 4.8, -1.4),))

    assert (list(rings(starboard)), list(rings(port))) == (["3"], [])


def test_a_mark_inboard_of_the_sheer_shows_in_the_plan() -> None:
    starboard, _, plan, *_ = hull_views(QUILLET, (mark(5, "starboard", 4.0, 1.9),))

    assert (list(rings(starboard)), list(rings(plan))) == ([], ["5"])


def test_a_mark_without_a_station_is_named_in_words() -> None:
    view = hull_views(QUILLET, (mark(9, None, None, None),))[0]

    assert rings(view) == {}
    assert "Without a place on the hull: 9." in view.alt
    assert any("Without a place" in (each.text or "") for each in drawn(view).iter(f"{SVG}text"))


def test_a_mark_stands_at_its_station_on_the_ruler() -> None:
    view = hull_views(QUILLET, (mark(1, "starboard", 4.0, -0.3),))[0]

    tick = next(
        float(each.get("x", "")) for each in drawn(view).iter(f"{SVG}text") if each.text == "4"
    )
    assert dots(view)[0][0] == pytest.approx(tick, abs=0.01)


def test_a_place_named_by_its_station_alone_gets_an_open_dot() -> None:
    view = hull_views(QUILLET, (mark(1, "starboard", 4.0, None),))[0]

    fills = [
        each.get("fill") for each in drawn(view).iter(f"{SVG}circle") if each.get("r") == "0.6"
    ]
    assert fills == [svg.PAPER]


def test_the_same_boat_and_marks_give_the_same_drawing() -> None:
    marks = (mark(1, "starboard", 4.0, -0.3), mark(2, "starboard", 4.0, -0.3))

    assert hull_views(QUILLET, marks) == hull_views(QUILLET, marks)


@pytest.mark.parametrize(("length_m", "scale"), [(10.2, 75), (13.6, 100), (5.0, 40), (1.0, 10)])
def test_the_scale_is_the_largest_customary_one_that_fits(length_m: float, scale: int) -> None:
    assert fitting_scale(length_m, 144) == scale


def test_a_boat_too_long_for_the_paper_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        fitting_scale(500, 144)


def test_more_call_outs_make_the_sheet_taller() -> None:
    extent = Extent(fore_m=0, aft_m=10, low_m=-2, top_m=1)

    heights = [sheet_for(extent, bow="right", above=each).height_mm for each in (0, 20, 40)]

    assert heights == sorted(set(heights))


@given(st.lists(st.floats(0, 100), max_size=15).map(sorted))
def test_spread_keeps_order_and_gap_and_leaves_alone_what_has_room(wanted: list[float]) -> None:
    found = spread(wanted, 5, 0, 100)

    assert all(b - a >= 5 - 1e-9 for a, b in pairwise(found))
    assert all(0 <= each <= 100 + 1e-9 for each in found)
    if all(b - a >= 5 for a, b in pairwise(wanted)):
        assert found == pytest.approx(wanted)
