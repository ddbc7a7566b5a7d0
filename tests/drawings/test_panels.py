"""Panels of a map work both ways: a place is drawn at a point, and the point leads back to the place."""

from math import dist

import pytest
from cast import HARROWMERE, QUILLET
from hypothesis import given
from hypothesis import strategies as st

from garboard.boat.hull import Hull, hull_of
from garboard.drawings.panels import LOOKS, Look, Panel, found_on, nearest_on, panel_for
from garboard.drawings.svg import Point
from garboard.notebook.body import Place, Side

SLOOP, MOTOR_YACHT = hull_of(QUILLET), hull_of(HARROWMERE)
boats = pytest.mark.parametrize("hull", [SLOOP, MOTOR_YACHT], ids=["sloop", "motor yacht"])


def drawn_at(hull: Hull, panel: Panel, place: Place) -> Point | None:
    """Where a panel draws a place; None where it does not show it."""
    ((spot, _),), _ = found_on(hull, [(place, None)])
    return panel.at(spot) if panel.shows(spot) else None


def skin(station_share: float, level_share: float, side: Side, hull: Hull, *, deck: bool) -> Place:
    """A place somewhere on the skin, by shares of what there is of it."""
    station = round(station_share * hull.length_m, 2)
    reach = hull.reach(station)
    low, high = (reach.sheer_m, reach.deck_m) if deck else (reach.foot_m, reach.sheer_m)
    level = low + level_share * (high - low)
    return Place(part="hull", side=side, station_m=station, level_m=level)


shares = st.floats(0.02, 0.98)


@boats
@pytest.mark.parametrize("look", LOOKS)
@given(along=shares, up=shares)
def test_what_lies_under_a_drawn_place_is_that_place(
    look: Look, along: float, up: float, hull: Hull
) -> None:
    panel = panel_for(hull, look)
    side = panel.shows_side or "port"
    place = skin(along, up, side, hull, deck=look == "deck")
    at = drawn_at(hull, panel, place)

    found = panel.place_under(hull, at, "hull") if at else None

    if at:
        assert found is not None
        assert found.side == side
        again = drawn_at(hull, panel, found)
        assert again is not None
        # A centimetre of boat is a small part of a millimetre on the sheet.
        assert dist(at, again) < 0.012 * panel.frame.mm_per_m


@boats
@pytest.mark.parametrize("look", ["port-shell", "starboard-shell", "deck"])
@given(along=shares, up=shares)
def test_a_place_is_found_again_to_the_centimetre(
    look: Look, along: float, up: float, hull: Hull
) -> None:
    panel = panel_for(hull, look)
    place = skin(along, up, panel.shows_side or "starboard", hull, deck=look == "deck")
    at = drawn_at(hull, panel, place)
    assert at is not None

    found = panel.place_under(hull, at, "hull")

    assert found is not None
    assert found.station_m == place.station_m
    assert found.level_m == pytest.approx(place.level_m, abs=0.011)


def test_on_deck_port_lies_above_the_centreline_and_starboard_below_it() -> None:
    panel = panel_for(SLOOP, "deck")
    x, middle = panel.frame.at(5.0, 0.0)

    sides = [panel.place_under(SLOOP, (x, middle + away), "deck") for away in (-4.0, 4.0)]

    assert [each.side for each in sides if each] == ["port", "starboard"]


@pytest.mark.parametrize("look", LOOKS)
def test_nothing_lies_under_a_point_beside_the_boat(look: Look) -> None:
    assert panel_for(SLOOP, look).place_under(SLOOP, (80.0, 1.0), "hull") is None
    assert panel_for(SLOOP, look).place_under(SLOOP, (-30.0, 30.0), "hull") is None


def test_a_point_a_hair_outside_the_sheer_lies_on_it() -> None:
    panel = panel_for(SLOOP, "port-shell")
    sheer = SLOOP.reach(5.0).sheer_m
    x, y = panel.frame.at(5.0, sheer)

    found = panel.place_under(SLOOP, (x, y - 1.0), "topside-laminate")

    assert found is not None
    assert found.level_m == pytest.approx(sheer, abs=0.01)


def test_the_keel_is_met_in_profile_on_its_side_or_on_the_centreline() -> None:
    panel = panel_for(SLOOP, "port-profile")
    at = panel.frame.at(4.6, -1.2)

    flank = panel.place_under(SLOOP, at, "keel")
    plumb = panel.place_under(SLOOP, at, "keel", on_centreline=True)

    assert flank is not None
    assert plumb is not None
    assert (flank.side, plumb.side) == ("port", "centre")
    assert plumb.level_m == pytest.approx(-1.2 - SLOOP.boot_top(4.6), abs=0.01)
    assert drawn_at(SLOOP, panel, flank) == pytest.approx(at, abs=0.15)
    assert drawn_at(SLOOP, panel, plumb) == pytest.approx(at, abs=0.15)


def test_a_half_is_drawn_larger_and_shows_nothing_of_the_other() -> None:
    whole, half = panel_for(SLOOP, "port-shell"), panel_for(SLOOP, "port-shell-after")
    forward = Place(part="hull", side="port", station_m=1.0, level_m=0.2)

    assert half.frame.mm_per_m > 1.5 * whole.frame.mm_per_m
    assert drawn_at(SLOOP, half, forward) is None
    assert half.place_under(SLOOP, half.frame.at(1.0, 0.2), "hull") is None


def test_the_nearest_place_is_the_one_pointed_at() -> None:
    panel = panel_for(SLOOP, "port-shell")
    beside: tuple[tuple[Side, float], ...] = (("port", 4.0), ("port", 5.0), ("starboard", 5.05))
    places = [
        Place(part="hull", side=side, station_m=station, level_m=-0.2) for side, station in beside
    ]
    x, y = panel.frame.at(5.05, -0.2)

    assert nearest_on(SLOOP, places, (x, y), [panel]) == 1
    assert nearest_on(SLOOP, places, (x, y + 10), [panel]) is None
    assert nearest_on(SLOOP, [], (x, y), [panel]) is None
