from typing import Any

import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from garboard.methods import blisters
from garboard.methods.blisters import (
    blistered_pct,
    count_interval,
    density_per_tenth_m2,
    flaking_quantity,
    flaking_size,
    rust_degree,
    rust_rating,
    size_class,
)
from garboard.methods.result import Result
from garboard.notebook.body import Observation, Place
from garboard.notebook.fold import fold

percents = st.floats(0, 100)
sizes = st.floats(0.01, 100)


def observed(seen: str, **measured: Any) -> Observation:
    place = Place(part="bottom-gelcoat", side="starboard", station_m=3.4, level_m=-0.85)
    return Observation(place=place, seen=seen, **measured)


def results(*bodies: Any) -> tuple[Result, ...]:
    return blisters.results(
        fold([entry(number, body) for number, body in enumerate((QUILLET, *bodies), 1)])
    )


def only(seen: str, **measured: Any) -> Result:
    (found,) = results(observed(seen, **measured))
    return found


@given(st.integers(0, 400))
def test_the_interval_of_a_count_is_that_of_chi_squared(count: int) -> None:
    low, high = count_interval(count)

    assert low == pytest.approx(stats.chi2.ppf(0.025, 2 * count) / 2 if count else 0, abs=1e-6)
    assert high == pytest.approx(stats.chi2.ppf(0.975, 2 * count + 2) / 2, rel=1e-6)


@given(count=st.integers(0, 1000), area=st.floats(0.01, 10))
def test_a_patch_of_twice_the_area_holds_half_the_density(count: int, area: float) -> None:
    once, twice = density_per_tenth_m2(count, area), density_per_tenth_m2(count, 2 * area)

    assert once == pytest.approx(2 * twice)


@given(count=st.integers(0, 1000), across=sizes, area=st.floats(0.01, 10))
def test_blisters_of_twice_the_size_lift_four_times_the_area(
    count: int, across: float, area: float
) -> None:
    once, twice = blistered_pct(count, across, area), blistered_pct(count, 2 * across, area)

    assert twice == pytest.approx(4 * once)


@given(percents, percents)
def test_more_rust_never_has_a_better_degree_or_rating(one: float, other: float) -> None:
    less, more = sorted((one, other))

    assert rust_degree(less) <= rust_degree(more)
    assert rust_rating(less) >= rust_rating(more)
    assert flaking_quantity(less) <= flaking_quantity(more)


@given(sizes, sizes)
def test_a_larger_blister_or_flake_never_has_a_smaller_class(one: float, other: float) -> None:
    less, more = sorted((one, other))

    assert size_class(less) <= size_class(more)
    assert flaking_size(less) <= flaking_size(more)


@pytest.mark.parametrize(
    ("share", "degree"), [(0.05, "Ri 1"), (0.5, "Ri 2"), (1, "Ri 3"), (8, "Ri 4"), (45, "Ri 5")]
)
def test_the_share_of_a_degree_has_that_degree(share: float, degree: str) -> None:
    assert rust_degree(share) == degree


def test_the_best_and_the_worst_rating_are_ten_and_nought() -> None:
    assert (rust_rating(0), rust_rating(100)) == (10, 0)


@pytest.mark.parametrize("pct", [-1, 101])
def test_shares_beyond_a_surface_are_refused(pct: float) -> None:
    for scale in (rust_degree, rust_rating, flaking_quantity):
        with pytest.raises(ValueError, match=f"{pct} was given"):
            scale(pct)


def test_counts_and_sizes_out_of_range_are_refused() -> None:
    with pytest.raises(ValueError, match="-1 was given"):
        count_interval(-1)
    with pytest.raises(ValueError, match="0 m²"):
        density_per_tenth_m2(1, 0)
    with pytest.raises(ValueError, match="0 m²"):
        blistered_pct(1, 1, 0)
    with pytest.raises(ValueError, match="0 mm"):
        size_class(0)
    with pytest.raises(ValueError, match="0 mm"):
        flaking_size(0)


def test_blisters_in_a_patch_become_a_density_with_its_interval() -> None:
    found = only("blisters 2 to 13 mm across", count=46, length_mm=380, width_mm=260)

    assert found.value == pytest.approx(46 / 0.0988 / 10)
    assert found.verdict == "not comparable"
    assert found.caveats[1].startswith("Up to 13 mm across, size S4 to S5 of ISO 4628-2")
    assert blisters.CAUTION in found.caveats


def test_one_size_has_one_class() -> None:
    found = only("blisters 6 mm across", count=17, length_mm=300, width_mm=300)

    assert "size S5" in found.caveats[1]
    assert "0.53 %" in found.caveats[2]


def test_blisters_without_a_size_are_counted_all_the_same() -> None:
    found = only("blisters", count=3, length_mm=300, width_mm=300)

    assert found.value is not None
    assert "not noted" in found.caveats[1]


@pytest.mark.parametrize(
    "measured",
    [{}, {"count": 5}, {"length_mm": 300, "width_mm": 300}, {"count": 5, "length_mm": 9}],
)
def test_blisters_without_a_count_or_a_patch_have_no_density(measured: dict[str, Any]) -> None:
    found = only("blisters 6 mm across", **measured)

    assert found.verdict == "cannot say"
    assert "frame" in found.caveats[0]


def test_a_count_of_none_has_an_upper_end() -> None:
    found = only("blisters looked for in a frame", count=0, length_mm=500, width_mm=200)

    assert found.value == 0
    assert "0.0 to 3.7" in found.caveats[0]


def test_what_is_no_blister_says_nothing() -> None:
    assert results(observed("no large blisters seen"), observed("scratch", count=3)) == ()
