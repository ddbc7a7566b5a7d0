import math
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from cast import QUILLET, entry, entry_id
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.boat.hull import hull_of
from garboard.methods.patch import Point, area_m2
from garboard.methods.sounding import (
    chance_on_square_grid,
    coverage_of,
    coverages,
    detectable_radius_m,
    patches,
    results,
    struck_share,
    unseen_radius_m,
)
from garboard.methods.zone import panel_of
from garboard.notebook.body import Boat, Place, Reading, ReadingSet, Sounding
from garboard.notebook.fold import Survey, fold

PANEL = ((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0))
FEW = settings(max_examples=10)

on_panel = st.tuples(st.floats(0, 2), st.floats(0, 1))
strikes = st.lists(on_panel, min_size=1, max_size=20)

# One letter a strike, a quarter of a metre apart: . sound, D dull, H hollow, _ not sounded.
HEARD: dict[str, Any] = {".": "sound", "D": "dull", "H": "hollow", "_": "not sounded"}
HOLLOW = """
    ..........
    ...DHD....
    ...HHD....
    ..........
"""


def struck(rows: str, part: str = "bottom-laminate") -> list[Sounding]:
    return [
        Sounding(
            place=Place(part=part, side="port", station_m=4 + 0.25 * x, level_m=-0.2 - 0.25 * y),
            heard=HEARD[mark],
        )
        for y, line in enumerate(rows.split())
        for x, mark in enumerate(line)
    ]


def survey(soundings: Sequence[Sounding], boat: Boat = QUILLET) -> Survey:
    return fold([entry(1, boat), *(entry(2 + n, each) for n, each in enumerate(soundings))])


# The geometry


@given(st.floats(0, 0.8), st.floats(0, 0.05), st.floats(0.1, 3))
def test_a_larger_patch_is_never_less_likely_to_be_struck(
    ratio: float, more: float, spacing_m: float
) -> None:
    less, greater = (
        chance_on_square_grid(each * spacing_m, spacing_m) for each in (ratio, ratio + more)
    )

    assert 0 <= less <= greater + 1e-12 <= 1 + 1e-12


@FEW
@given(st.floats(0.05, 0.75), st.integers(2, 5))
def test_strikes_on_an_even_grid_give_the_closed_form(ratio: float, across: int) -> None:
    # A grid with a rim of cells round the panel is a grid without an edge.
    grid = [(x + 0.5, y + 0.5) for x in range(-1, across + 1) for y in range(-1, across + 1)]
    panel = ((0.0, 0.0), (float(across), 0.0), (float(across), float(across)), (0.0, float(across)))

    share = struck_share(grid, panel, ratio)

    assert share == pytest.approx(chance_on_square_grid(ratio, 1.0), abs=0.006)


@FEW
@given(strikes, st.floats(0.05, 0.6), st.floats(0.01, 0.3))
def test_the_share_struck_grows_with_the_patch(
    found: list[Point], radius_m: float, more_m: float
) -> None:
    assert struck_share(found, PANEL, radius_m) <= struck_share(found, PANEL, radius_m + more_m)


@FEW
@given(strikes, on_panel)
def test_one_strike_more_never_makes_the_coverage_worse(found: list[Point], more: Point) -> None:
    together = [*found, more]

    assert struck_share(together, PANEL, 0.2) >= struck_share(found, PANEL, 0.2)
    assert detectable_radius_m(together, PANEL) <= detectable_radius_m(found, PANEL)
    assert unseen_radius_m(together, PANEL) <= unseen_radius_m(found, PANEL)


@FEW
@given(strikes)
def test_the_patch_struck_with_95_per_cent_is_struck_with_95_per_cent(found: list[Point]) -> None:
    radius_m = detectable_radius_m(found, PANEL)

    assert struck_share(found, PANEL, radius_m) == pytest.approx(0.95, abs=0.002)
    assert radius_m <= unseen_radius_m(found, PANEL)


@FEW
@given(strikes, st.sampled_from([0.5, 2.0, 10.0]), st.floats(-5, 5))
def test_the_size_found_stretches_with_the_panel(
    found: list[Point], factor: float, along: float
) -> None:
    moved = [(factor * x + along, factor * y) for x, y in found]
    panel = tuple((factor * x + along, factor * y) for x, y in PANEL)

    assert detectable_radius_m(moved, panel) == pytest.approx(
        factor * detectable_radius_m(found, PANEL), rel=0.01
    )


@FEW
@given(strikes.flatmap(lambda each: st.tuples(st.just(each), st.permutations(each))))
def test_the_order_of_striking_does_not_matter(orders: tuple[list[Point], list[Point]]) -> None:
    first, other = orders

    assert detectable_radius_m(first, PANEL) == detectable_radius_m(other, PANEL)


def test_strikes_in_one_corner_leave_the_far_corner_unseen() -> None:
    found = [(0.02 * x, 0.02 * y) for x in range(10) for y in range(10)]

    assert unseen_radius_m(found, PANEL) == math.dist((2.0, 1.0), (0.18, 0.18))


def test_without_a_strike_nothing_is_struck() -> None:
    assert struck_share([], PANEL, 0.3) == 0
    with pytest.raises(ValueError, match="Without a blow"):
        detectable_radius_m([], PANEL)
    with pytest.raises(ValueError, match="Without a blow"):
        unseen_radius_m([], PANEL)


def test_a_panel_without_area_is_refused() -> None:
    with pytest.raises(ValueError, match="holds no area"):
        struck_share([(0.0, 0.0)], ((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)), 0.1)


@pytest.mark.parametrize(("radius_m", "spacing_m"), [(-0.1, 1.0), (0.1, 0.0)])
def test_a_grid_that_cannot_be_is_refused(radius_m: float, spacing_m: float) -> None:
    with pytest.raises(ValueError, match="is not a case"):
        chance_on_square_grid(radius_m, spacing_m)


# Coverage of a boat


def even(step_m: float, side: Any = "port") -> list[Sounding]:
    panel = panel_of(("bottom-laminate", "port", None), hull_of(QUILLET))
    assert panel is not None
    low = min(y for _, y in panel)
    return [
        Sounding(
            place=Place(
                part="bottom-laminate",
                side=side,
                station_m=step_m * (x + 0.5),
                level_m=-step_m * (y + 0.5),
            ),
            heard="sound",
        )
        for x in range(math.ceil(10.2 / step_m))
        for y in range(math.ceil(-low / step_m))
    ]


def test_the_bottom_is_judged_over_the_schematic_shell() -> None:
    (found,) = coverages(survey(even(0.5)))

    assert found.is_shell
    # One side of the bottom of such a sloop, bare of its keel.
    assert 8 < found.area_m2 < 14
    assert found.area_m2 == pytest.approx(area_m2([found.panel]))


def test_sounding_the_whole_bottom_on_a_grid_finds_what_the_closed_form_says() -> None:
    (found,) = coverages(survey(even(0.4)))

    assert found.across_m == pytest.approx(2 * 0.599 * 0.4, rel=0.05)


def test_sounding_closer_finds_smaller_patches() -> None:
    (coarse,), (fine,) = coverages(survey(even(0.5))), coverages(survey(even(0.3)))

    assert fine.across_m < coarse.across_m
    assert f"{fine.across_m:.2f} m across" in fine.said


def test_the_curve_rises_from_nothing_to_certainty_through_95_per_cent() -> None:
    (found,) = coverages(survey(even(0.5)))

    shares = [share for _, share in found.curve]
    assert shares == sorted(shares)
    assert shares[0] == pytest.approx(0, abs=0.001)
    assert shares[-1] == pytest.approx(1, abs=0.001)
    below = max(size for size, share in found.curve if share < 0.95)
    above = min(size for size, share in found.curve if share >= 0.95)
    assert below <= found.across_m <= above


def test_each_side_has_its_own_coverage() -> None:
    found = coverages(survey([*even(0.5), *even(0.8, "starboard")]))

    assert [(each.side, each.how) for each in found] == [
        ("port", "sounded"),
        ("starboard", "sounded"),
    ]


def test_one_zone_alone_is_covered_as_it_is_among_all() -> None:
    seen = survey([*even(0.5), *even(0.8, "starboard")])
    port, _ = coverages(seen)

    assert coverage_of(seen, ("bottom-laminate", "port", None), "sounded") == port
    assert coverage_of(seen, ("topside-laminate", "port", None), "sounded") is None


def test_a_place_that_was_not_sounded_covers_nothing() -> None:
    sounded = struck(HOLLOW, part="foredeck")
    skipped = struck(HOLLOW.replace("H", "_").replace("D", "_"), part="foredeck")

    assert coverages(survey(skipped))[0].across_m > coverages(survey(sounded))[0].across_m - 1e-9
    assert len(coverages(survey(skipped))[0].strikes) == len(sounded) - 6


def test_a_part_without_a_shell_is_judged_between_its_soundings_and_says_so() -> None:
    (found,) = coverages(survey(struck(HOLLOW, part="foredeck")))

    assert not found.is_shell
    assert found.area_m2 == pytest.approx(9 * 0.25 * 3 * 0.25)
    assert any("beyond them nothing is known" in each for each in found.caveats)


def test_a_boat_without_dimensions_is_judged_between_its_soundings() -> None:
    (found,) = coverages(survey(struck(HOLLOW), boat=Boat(name="Quillet")))

    assert not found.is_shell


def test_moisture_readings_cover_too_but_not_their_dry_reference() -> None:
    rows = [
        Reading(place=each.place, as_read="13", reference=index == 0)
        for index, each in enumerate(even(0.5))
    ]
    body = ReadingSet(
        name="bottom",
        quantity="moisture",
        unit="scale units",
        instrument="meter 1",
        readings=tuple(rows),
    )

    (found,) = coverages(fold([entry(1, QUILLET), entry(2, body)]))

    assert found.how == "read with a moisture meter"
    assert len(found.strikes) == len(rows) - 1
    assert found.used == (entry_id(2),)


def test_struck_is_never_called_found() -> None:
    (found,) = coverages(survey(even(0.5)))

    assert any("Struck is not yet found" in each for each in found.caveats)


# Patches


def test_dull_and_hollow_soundings_that_hang_together_are_outlined_once() -> None:
    (found,) = patches(survey(struck(HOLLOW)))

    assert (found.hollow, found.dull) == (3, 3)
    assert found.area_m2 == pytest.approx(6 * 0.0625, rel=0.03)
    assert found.stations_m == (4.75, 5.25)


def oblong(rows: str) -> list[Sounding]:
    """Blows on a grid a metre wide along the hull and 0.2 m up and down."""
    return [
        replace(each, place=replace(each.place, station_m=2.0 + n % 4, level_m=-0.2 * (1 + n // 4)))
        for n, each in enumerate(struck(rows))
    ]


def test_neighbours_on_a_grid_that_is_wider_one_way_are_one_patch_whatever_was_heard() -> None:
    (found,) = patches(survey(oblong("....\n.DH.")))

    assert (found.dull, found.hollow, found.stations_m) == (1, 1, (3.0, 4.0))
    assert found.said.startswith("1 hollow and 1 dull over about ")
    # Halfway to the sound blows above, and to the next station on either side.
    assert found.area_m2 is not None
    assert 0.2 < found.area_m2 < 1.2


def test_blows_with_a_sound_one_between_them_are_not_one_patch() -> None:
    assert [each.is_lone for each in patches(survey(struck("D.H.\n....")))] == [True, True]


def test_a_blow_alone_has_no_outline_and_no_area() -> None:
    blows = struck("....\n.D..\n....")

    (found,) = patches(survey(blows))
    (result,) = (each for each in results(survey(blows)) if each.verdict == "beyond")

    assert (found.rings, found.area_m2) == ((), None)
    assert found.said == (
        "1 dull, station 4.2 m: one blow alone. How far it reaches was not found: sound around it."
    )
    assert (result.value, result.unit, result.verdict, result.judged) == (1, "blow", "beyond", "have this checked")  # fmt: skip
    assert "m²" not in result.what


def test_places_heard_sound_and_then_otherwise_have_no_area_and_say_so() -> None:
    again = struck("..........\n..DD......")
    again += [replace(each, heard="sound") for each in again if each.heard == "dull"]

    (found,) = patches(survey(again))
    (result,) = (each for each in results(survey(again)) if each.verdict == "beyond")

    assert (found.dull, found.area_m2) == (2, None)
    assert "2 dull, stations 4.5 to 4.8 m. Heard otherwise by other blows" in found.said
    assert (result.value, result.unit, result.judged) == (2, "blows", "have this checked")
    assert "at places also heard sound" in result.what


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 4), st.integers(0, 3), st.sampled_from(list(HEARD.values()))),
        min_size=1,
        max_size=25,
    ),
    st.sampled_from(["bottom-laminate", "foredeck"]),
)
def test_whatever_was_struck_however_often_there_is_a_result(
    blows: list[tuple[int, int, Any]], part: str
) -> None:
    soundings = [
        Sounding(
            place=Place(part=part, side="port", station_m=3 + 0.2 * x, level_m=-0.1 - 0.2 * y),
            heard=heard,
        )
        for x, y, heard in blows
    ]

    found = results(survey(soundings))

    assert bool(found) == any(each.heard != "not sounded" for each in soundings)
    assert all(each.said for each in patches(survey(soundings)))


def test_an_area_has_no_more_digits_than_its_blows_bear_out() -> None:
    blows = struck(HOLLOW)

    (found,) = patches(survey(blows))

    assert "over about 0.4 m²," in found.said
    assert [each.value for each in results(survey(blows))] == [0.4, None]


def test_a_patch_rests_on_the_soundings_in_it() -> None:
    soundings = struck(HOLLOW)
    (found,) = patches(survey(soundings))

    doubtful = {
        entry_id(2 + n) for n, each in enumerate(soundings) if each.heard in ("dull", "hollow")
    }
    assert set(found.used) == doubtful


def test_sound_soundings_make_no_patch() -> None:
    assert patches(survey(struck("....\n....\n...."))) == ()


# Results


def test_the_results_give_the_patch_found_and_the_patch_that_could_be_missed() -> None:
    coverage, patch = results(survey(struck(HOLLOW, part="foredeck")))

    assert (coverage.unit, coverage.verdict) == ("m across", "not comparable")
    assert coverage.uncertainty == pytest.approx(0.10)
    assert (patch.unit, patch.verdict) == ("m²", "beyond")
    assert "3 hollow and 3 dull" in patch.what


def test_soundings_without_positions_are_not_passed_over_in_silence() -> None:
    bare = Sounding(place=Place(part="rudder-blade"), heard="sound")

    (found,) = results(survey([bare]))

    assert (found.value, found.verdict, found.used) == (None, "cannot say", (entry_id(2),))
    assert "no station and level" in found.caveats[0]


@pytest.mark.parametrize("rows", ["...", "....\n....", ".........\n"])
def test_a_zone_struck_fewer_than_ten_times_gets_no_figure_and_says_why(rows: str) -> None:
    blows = struck(rows)

    (found,) = results(survey(blows))

    assert coverages(survey(blows)) == ()
    assert (found.value, found.verdict) == (None, "cannot say")
    assert re.fullmatch(
        rf"{len(blows)} blows in \d+\.\d m²: too few to say what was covered\.", found.caveats[0]
    )


def test_a_zone_read_too_thinly_with_a_moisture_meter_says_why_it_gets_no_figure() -> None:
    readings = tuple(Reading(place=each.place, as_read="20") for each in struck("...."))
    read = ReadingSet(
        name="bottom",
        quantity="moisture",
        unit="scale units",
        instrument="meter",
        readings=readings,
    )

    (found,) = results(fold([entry(1, QUILLET), entry(2, read)]))

    assert (found.value, found.verdict, found.used) == (None, "cannot say", (entry_id(2),))
    assert found.what.endswith("bottom laminate, port, read with a moisture meter")
    assert re.fullmatch(r"4 readings in \d+\.\d m²: too few .*", found.caveats[0])


@pytest.mark.parametrize("blows", [struck("............", part="foredeck"), struck(HOLLOW)])
def test_many_blows_in_a_line_or_in_one_corner_do_not_say_what_was_covered(
    blows: list[Sounding],
) -> None:
    found = results(survey(blows))[-1]

    assert found.verdict == "cannot say"
    assert "in a line or too much to one side" in found.caveats[0]


@pytest.mark.parametrize("step_m", [0.4, 0.6, 0.9, 1.2, 1.6, 2.2, 3.0])
def test_a_figure_for_coverage_is_never_of_the_size_of_the_zone(step_m: float) -> None:
    for found in coverages(survey(even(step_m))):
        assert len(found.strikes) >= 10
        assert math.pi / 4 * found.across_m**2 < 0.5 * found.area_m2


def test_a_dozen_blows_well_spread_are_enough() -> None:
    (found,) = coverages(survey(even(1.0)[::2]))

    assert len(found.strikes) == 11


def test_a_survey_without_soundings_says_nothing() -> None:
    assert results(fold([entry(1, QUILLET)])) == ()
