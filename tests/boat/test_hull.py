"""The schematic hull: places, areas and volumes that hold together, and honest words about what was assumed."""

from dataclasses import replace
from itertools import pairwise
from math import dist, isfinite

import pytest
from cast import HARROWMERE, QUILLET
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.boat.hull import Hull, hull_of, volume_of_displacement_m3
from garboard.boat.measure import areas, distance_along_skin_m
from garboard.notebook.body import Boat, Engine, Place

SLOOP, MOTOR_YACHT = hull_of(QUILLET), hull_of(HARROWMERE)
HULLS = (SLOOP, MOTOR_YACHT)
KEELS = (
    "bolted-iron", "bolted-lead", "encapsulated", "twin", "lifting", "long", "centreboard",
    "bulb-on-foil", "none", None,
)  # fmt: skip
RUDDERS = ("spade", "part-skeg", "full-skeg", "transom", "keel-hung", "twin", None)
DRIVES = ("shaft", "saildrive", "sterndrive", "outboard", "jet", "pod", None)


@st.composite
def boats(draw: st.DrawFn) -> Boat:
    """Boats of every kind the notebook can name, with particulars that some real boat could have."""
    length = draw(st.floats(3.0, 40.0))
    beam = length * draw(st.floats(0.15, 0.5))
    waterline = draw(st.none() | st.floats(0.7, 1.0).map(lambda share: share * length))
    return Boat(
        name="Quillet",
        loa_m=length,
        beam_m=beam,
        lwl_m=waterline,
        draught_m=draw(st.none() | st.floats(0.03, 0.3).map(lambda share: share * length)),
        displacement_kg=draw(st.none() | st.floats(2, 30).map(lambda each: each * length**2.4 / 3)),
        freeboard_m=draw(st.none() | st.floats(0.05, 0.2).map(lambda share: share * length)),
        chines=draw(st.none() | st.integers(0, 4)),
        keel=draw(st.sampled_from(KEELS)),
        rudder=draw(st.sampled_from(RUDDERS)),
        drive=draw(st.sampled_from(DRIVES)),
        rig=draw(st.sampled_from(("none", "sloop", "ketch", "yawl", "schooner", None))),
        hulls=draw(st.sampled_from((None, 1, 2, 3))),
        engines=draw(st.sampled_from(((), (Engine(described="diesel"),) * 2))),
        fitted=draw(st.sampled_from(((), ("bow-thruster",)))),
    )


@pytest.mark.parametrize(
    ("boat", "asks"),
    [
        (replace(QUILLET, loa_m=None), "state the length of hull"),
        (replace(QUILLET, beam_m=None), "state the beam"),
        (replace(QUILLET, loa_m=None, beam_m=None), "the length of hull and the beam"),
        (replace(QUILLET, lwl_m=11.0), "not longer than its hull"),
    ],
)
def test_what_is_missing_or_cannot_be_is_named(boat: Boat, asks: str) -> None:
    with pytest.raises(ValueError, match=asks):
        hull_of(boat)


def test_what_nobody_stated_is_said_to_be_assumed() -> None:
    said = " ".join(hull_of(Boat(name="Quillet", loa_m=10.2, beam_m=3.35)).assumptions)

    assert all(
        each in said for each in ("waterline", "freeboard", "draught", "for want of a weight")
    )


def test_what_was_stated_is_not_assumed() -> None:
    said = " ".join(hull_of(replace(QUILLET, freeboard_m=1.05)).assumptions)

    assert not any(each in said for each in ("freeboard was taken", "draught was taken", "long."))


@pytest.mark.parametrize("hull", HULLS)
def test_the_hull_floats_at_the_stated_weight(hull: Hull) -> None:
    assert hull.displacement_kg is not None
    assert volume_of_displacement_m3(hull) * 1025 == pytest.approx(hull.displacement_kg, rel=1e-3)


def test_a_weight_her_draught_cannot_carry_is_queried() -> None:
    hull = hull_of(replace(HARROWMERE, draught_m=0.4))

    assert any("deeper than the stated draught" in each for each in hull.assumptions)


def test_a_weight_too_small_for_the_hull_is_queried() -> None:
    hull = hull_of(replace(QUILLET, displacement_kg=52))

    assert any("less than this hull would displace" in each for each in hull.assumptions)


def test_a_stated_canoe_body_that_does_not_go_with_the_weight_is_queried() -> None:
    hull = hull_of(replace(QUILLET, canoe_draught_m=0.9))

    assert hull.canoe_draught_m == 0.9
    assert any("5200 kg is stated" in each for each in hull.assumptions)


@pytest.mark.parametrize("hull", HULLS)
def test_the_waterline_begins_and_ends_where_the_particulars_say(hull: Hull) -> None:
    start = hull.waterline_at_m

    assert hull.bottom(start) == pytest.approx(0, abs=1e-9)
    assert hull.bottom(start - 0.01) > 0 > hull.bottom(start + 0.01)


@pytest.mark.parametrize("hull", HULLS)
def test_the_greatest_beam_is_the_stated_one(hull: Hull) -> None:
    widest = max(hull.deck_half_breadth(hull.length_m * each / 200) for each in range(201))

    assert 2 * widest == pytest.approx(hull.beam_m, rel=1e-3)


@pytest.mark.parametrize("hull", HULLS)
def test_the_areas_are_what_such_boats_have(hull: Hull) -> None:
    found = areas(hull)
    length, beam = hull.waterline_m, hull.beam_m

    assert 0.5 * length * beam < found.canoe_body_m2 < 1.2 * length * beam
    assert found.underwater_m2 < found.antifouled_m2 < 1.2 * found.underwater_m2
    assert 0.7 * hull.length_m * beam < found.deck_m2 < hull.length_m * beam


@settings(deadline=None, max_examples=40)
@given(boats())
def test_any_boat_gives_a_hull_of_finite_positive_areas(boat: Boat) -> None:
    hull = hull_of(boat)

    found = areas(hull)

    numbers = (found.canoe_body_m2, found.antifouled_m2, found.topsides_m2, found.deck_m2)
    assert all(isfinite(each) and each > 0 for each in numbers)
    assert found.underwater_m2 >= found.canoe_body_m2


@settings(deadline=None, max_examples=40)
@given(boats(), st.floats(0, 1))
def test_every_section_climbs_from_the_centreline_to_the_sheer(boat: Boat, share: float) -> None:
    hull = hull_of(boat)

    section = hull.section(share * hull.length_m)

    assert section[0][0] == 0
    assert all(0 <= half <= hull.beam_m / 2 + 1e-9 for half, _ in section)
    assert all(a[1] <= b[1] + 1e-9 for a, b in pairwise(section))


@settings(deadline=None, max_examples=15)
@given(st.floats(0.3, 4.0), st.sampled_from((QUILLET, HARROWMERE)))
def test_areas_grow_with_the_square_of_the_size(size: float, boat: Boat) -> None:
    small = hull_of(replace(boat, canoe_draught_m=0.5, freeboard_m=1.1))
    large = hull_of(
        replace(
            boat,
            loa_m=(boat.loa_m or 0) * size,
            lwl_m=(boat.lwl_m or 0) * size,
            beam_m=(boat.beam_m or 0) * size,
            draught_m=(boat.draught_m or 0) * size,
            canoe_draught_m=0.5 * size,
            freeboard_m=1.1 * size,
        )
    )

    assert areas(large).canoe_body_m2 == pytest.approx(
        size**2 * areas(small).canoe_body_m2, rel=1e-6
    )
    assert areas(large).deck_m2 == pytest.approx(size**2 * areas(small).deck_m2, rel=1e-6)


@settings(deadline=None)
@given(
    st.sampled_from(HULLS),
    st.floats(0, 1),
    st.floats(0, 1),
    st.sampled_from(("port", "starboard")),
)
def test_a_place_is_found_again_from_its_point(
    hull: Hull, along: float, up: float, side: str
) -> None:
    station = along * hull.length_m
    reach = hull.reach(station)
    place = Place(
        part="hull-bottom",
        side="port" if side == "port" else "starboard",
        station_m=station,
        level_m=reach.foot_m + up * (reach.deck_m - reach.foot_m),
    )
    point = hull.point_of(place)

    again = hull.place(point, "hull-bottom")

    assert hull.point_of(again) == pytest.approx(point, abs=1e-6)
    if point[1] != 0:
        assert again.level_m == pytest.approx(place.level_m, abs=1e-6)
        assert again.side == side


@settings(deadline=None)
@given(st.sampled_from(HULLS), st.floats(0, 1), st.floats(-3, 3))
def test_the_nearest_point_is_always_on_the_hull(hull: Hull, along: float, level: float) -> None:
    for side in ("port", "starboard", "centre"):
        point = hull.nearest_point(along * hull.length_m * 1.2, level, side)

        assert hull.point_of(hull.place(point, "keel")) == pytest.approx(point, abs=1e-6)


def test_the_two_sides_mirror_each_other() -> None:
    station, port, height = SLOOP.point(4.0, -0.6, "port")

    assert SLOOP.point(4.0, -0.6, "starboard") == (station, -port, height)


def test_level_nought_is_the_lower_edge_of_the_boot_top() -> None:
    for hull in HULLS:
        station = hull.length_m / 2

        assert hull.point(station, 0.0)[2] == pytest.approx(hull.boot_top(station))


def test_on_the_centreline_a_level_is_plumb() -> None:
    _, across, height = SLOOP.point(4.8, -1.4, "centre")

    assert across == 0
    assert height == pytest.approx(SLOOP.boot_top(4.8) - 1.4)


def test_a_level_down_the_keel_is_reckoned_round_the_turn_of_the_skin() -> None:
    reach = SLOOP.reach(4.8)

    _, across, height = SLOOP.point(4.8, reach.keel_m - 0.5)

    assert across == 0
    assert height == pytest.approx(SLOOP.bottom(4.8) - 0.5)


@pytest.mark.parametrize(("station", "level"), [(-0.1, 0.0), (10.3, 0.0), (4.0, -9.0), (4.0, 9.0)])
def test_a_place_off_the_hull_is_refused_with_its_bounds(station: float, level: float) -> None:
    with pytest.raises(ValueError, match="not on it"):
        SLOOP.point(station, level)


def test_a_place_without_coordinates_has_no_point() -> None:
    with pytest.raises(ValueError, match="has not both"):
        SLOOP.point_of(Place(part="rudder", station_m=9.0))


@settings(deadline=None, max_examples=50)
@given(
    st.floats(1.5, 8.5),
    st.floats(1.5, 8.5),
    st.floats(-0.9, 0.9),
    st.floats(-0.9, 0.9),
    st.booleans(),
)
def test_the_way_along_the_skin_is_never_shorter_than_the_straight_line(
    first: float, second: float, low: float, high: float, across: bool
) -> None:
    one = Place(
        part="hull", side="port", station_m=first, level_m=max(low, SLOOP.reach(first).keel_m)
    )
    other = Place(
        part="hull",
        side="starboard" if across else "port",
        station_m=second,
        level_m=max(high, SLOOP.reach(second).keel_m),
    )

    along = distance_along_skin_m(SLOOP, one, other)

    assert along >= dist(SLOOP.point_of(one), SLOOP.point_of(other)) - 1e-9
    assert along == pytest.approx(distance_along_skin_m(SLOOP, other, one), rel=1e-9)


def test_up_and_down_a_section_the_distance_is_the_difference_of_levels() -> None:
    one = Place(part="hull", side="port", station_m=5.0, level_m=0.5)
    other = Place(part="hull", side="port", station_m=5.0, level_m=-1.0)

    assert distance_along_skin_m(SLOOP, one, other) == pytest.approx(1.5, rel=2e-3)


def test_from_side_to_side_the_tape_goes_under_the_keel() -> None:
    one = Place(part="hull", side="port", station_m=5.0, level_m=0.0)
    other = Place(part="hull", side="starboard", station_m=5.0, level_m=0.0)

    girth = distance_along_skin_m(SLOOP, one, other)

    assert girth == pytest.approx(-2 * SLOOP.reach(5.0).keel_m, rel=5e-3)


def test_one_chine_gives_a_section_of_two_straight_panels() -> None:
    assert len(MOTOR_YACHT.section(6.0)) == 3


def test_twin_engines_drive_a_propeller_on_either_side() -> None:
    propellers = [each for each in MOTOR_YACHT.appendages if each.kind == "propeller"]

    assert [each.offset_m > 0 for each in propellers] == [True]


def test_a_catamaran_is_drawn_as_one_of_her_hulls_and_says_so() -> None:
    hull = hull_of(replace(QUILLET, hulls=2, beam_m=6.0))

    assert hull.beam_m < 2
    assert any("One hull of 2" in each for each in hull.assumptions)
