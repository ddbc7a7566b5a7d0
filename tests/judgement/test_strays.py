"""Strays: only what the drawn hull can tell is judged, with a hand's breadth to spare."""

import pytest
from cast import QUILLET

from garboard.boat.hull import hull_of
from garboard.catalogue.parts import catalogue
from garboard.judgement.strays import OVERHANG_M, SHELL, SLACK_M, stray
from garboard.notebook.body import Place, Side

HULL = hull_of(QUILLET)
MIDDLE = HULL.reach(5.0)


def off(part: str, station_m: float, level_m: float | None = None, side: Side = "port") -> str:
    """The field that is off, empty where none is."""
    found = stray(Place(part=part, side=side, station_m=station_m, level_m=level_m), HULL)
    return found.field if found else ""


@pytest.mark.parametrize(
    ("part", "station_m", "level_m", "field"),
    [
        ("bottom-laminate", HULL.length_m + SLACK_M - 0.01, None, ""),
        ("bottom-laminate", HULL.length_m + SLACK_M + 0.01, None, "station_m"),
        ("topside-laminate", -SLACK_M - 0.01, 0.2, "station_m"),
        ("bottom-laminate", 5.0, MIDDLE.foot_m, ""),
        ("bottom-laminate", 5.0, MIDDLE.foot_m - SLACK_M - 0.1, "level_m"),
        ("topside-laminate", 5.0, MIDDLE.sheer_m + SLACK_M - 0.01, ""),
        ("topside-laminate", 5.0, MIDDLE.sheer_m + SLACK_M + 0.1, "level_m"),
        ("bow-roller", -OVERHANG_M + 0.1, None, ""),
        ("bow-roller", -OVERHANG_M - 0.1, None, "station_m"),
        ("coachroof", 5.0, MIDDLE.deck_m + 1.0, ""),
        ("iron-keel", 5.0, MIDDLE.foot_m - 1.0, ""),
        ("iron-keel", 5.0, -40.0, "level_m"),
        ("mast-lower", 4.1, 9.0, ""),
        ("upperworks", 5.0, 9.0, ""),
    ],
)
def test_a_place_is_judged_by_what_the_drawing_can_tell_of_its_part(
    part: str, station_m: float, level_m: float | None, field: str
) -> None:
    assert off(part, station_m, level_m) == field


def test_on_the_centreline_levels_are_plumb() -> None:
    assert off("stem", 0.4, HULL.sheer(0.4) - HULL.boot_top(0.4), "centre") == ""
    assert off("stem", 5.0, -HULL.draught_m - 1.0, "centre") == "level_m"


def test_a_place_without_a_station_is_not_judged() -> None:
    assert stray(Place(part="stem", level_m=-40.0), HULL) is None


def test_the_parts_of_the_shell_are_parts_of_the_catalogue() -> None:
    assert set(catalogue().parts) >= SHELL
