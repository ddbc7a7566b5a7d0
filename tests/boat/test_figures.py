"""The figures of the boat."""

from dataclasses import replace

import pytest
from cast import HARROWMERE, QUILLET

from garboard.boat.figures import (
    ballast_ratio,
    figures_of,
    froude_number,
    gross_tonnage_international,
    gross_tonnage_simplified,
    hull_speed_kn,
    metacentric_height_m,
)
from garboard.notebook.body import Boat


def test_the_simplified_tonnage_of_a_sailing_hull_with_and_without_its_keel() -> None:
    foot = 0.3048

    plain = gross_tonnage_simplified(40 * foot, 12.5 * foot, 6.0 * foot, sailing=True)
    with_keel = gross_tonnage_simplified(
        40 * foot, 12.5 * foot, 8.5 * foot, sailing=True, keel_in_depth=True
    )

    assert plain == pytest.approx(15.0)
    assert with_keel == pytest.approx(15.94, abs=0.005)


@pytest.mark.parametrize(("volume", "tonnage"), [(60, 14.13), (250, 61.99), (1000, 260.0)])
def test_the_international_tonnage_of_a_volume(volume: float, tonnage: float) -> None:
    assert gross_tonnage_international(volume) == pytest.approx(tonnage, abs=0.005)


def test_the_metacentric_height_of_a_decked_vessel() -> None:
    assert metacentric_height_m(8, 6, 0.78) == pytest.approx(1.082, abs=0.0005)


def test_at_hull_speed_the_froude_number_is_about_two_fifths() -> None:
    assert froude_number(hull_speed_kn(8.75), 8.75) == pytest.approx(0.399, abs=0.001)


def test_ballast_heavier_than_the_boat_is_refused() -> None:
    with pytest.raises(ValueError, match="outweighs"):
        ballast_ratio(6000, 5200)


def test_only_what_is_stated_gives_figures() -> None:
    named = {each.what for each in figures_of(Boat(name="Quillet", lwl_m=8.75))}

    assert named == {"hull speed"}


def test_a_motor_boat_has_no_capsize_screening() -> None:
    named = {each.what for each in figures_of(HARROWMERE)}

    assert "capsize screening" not in named
    assert "displacement/length ratio" in named


@pytest.mark.parametrize(
    "built",
    [
        replace(HARROWMERE, year=2008, speed="planing"),
        replace(HARROWMERE, year=2008, speed=None, rig="none", drive="sterndrive"),
    ],
)
def test_a_boat_that_planes_has_no_figure_made_for_one_that_does_not(built: Boat) -> None:
    named = {each.what for each in figures_of(built)}

    assert "displacement/length ratio" in named
    assert not named & {"hull speed", "motion comfort ratio", "Thames Measurement"}


def test_a_sailing_boat_with_an_outboard_keeps_her_hull_speed() -> None:
    assert "hull speed" in {each.what for each in figures_of(replace(QUILLET, drive="outboard", speed=None))}  # fmt: skip


@pytest.mark.parametrize(("year", "is_met"), [(1937, True), (1998, False), (None, False)])
def test_the_old_tonnage_is_told_of_an_old_boat_alone(year: int | None, is_met: bool) -> None:
    named = {each.what for each in figures_of(replace(QUILLET, year=year))}

    assert ("Thames Measurement" in named) == is_met


def test_every_figure_says_where_it_comes_from() -> None:
    figures = figures_of(replace(QUILLET, sail_area_m2=58.0, year=1965))

    assert len(figures) == 7
    assert all(each.source and each.formula for each in figures)
