import math
from itertools import combinations
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from garboard.methods.comparison import (
    adjusted_chances,
    chance_of_as_many,
    median_deviation,
    pairs_above,
    rank_sum_chance,
    robust_spread,
    share_interval,
    shift,
)

steps = st.integers(-60, 60).map(lambda each: each / 4)
handfuls = st.lists(steps, min_size=2, max_size=14)
chances = st.lists(st.floats(0, 1), min_size=1, max_size=30)


@given(handfuls)
def test_the_median_deviation_is_scipys(readings: list[float]) -> None:
    assert median_deviation(readings) == pytest.approx(stats.median_abs_deviation(readings))


@given(handfuls, steps, st.sampled_from([0.25, 0.5, 2.0, 8.0]))
def test_the_spread_does_not_know_where_the_scale_begins_and_follows_its_step(
    readings: list[float], offset: float, factor: float
) -> None:
    moved = [offset + factor * each for each in readings]

    assert robust_spread(moved, factor) == pytest.approx(factor * robust_spread(readings, 1.0))


@given(handfuls, st.floats(1e3, 1e6))
def test_one_odd_reading_does_not_carry_the_spread_away(readings: list[float], odd: float) -> None:
    tame = [*readings, *readings, *readings]

    assert robust_spread([*tame, odd], 1.0) <= 1.4827 * (max(tame) - min(tame)) + 0.5


def test_equal_readings_leave_half_a_step() -> None:
    assert robust_spread([12.0] * 9, 0.2) == 0.1


def test_mostly_equal_readings_are_judged_by_their_quartiles() -> None:
    mostly = [10.0] * 5 + [14.0] * 4

    assert median_deviation(mostly) == 0
    assert robust_spread(mostly, 0.1) > 1


@given(handfuls, handfuls)
def test_the_rank_sum_is_scipys(readings: list[float], reference: list[float]) -> None:
    values = [*readings, *reference]
    is_exact = len(set(values)) == len(values) <= 30
    theirs = stats.mannwhitneyu(
        readings,
        reference,
        alternative="greater",
        method="exact" if is_exact else "asymptotic",
    )

    assert pairs_above(readings, reference) == theirs.statistic
    if len(set(values)) > 1:
        assert rank_sum_chance(readings, reference) == pytest.approx(theirs.pvalue, abs=1e-9)


@given(handfuls.flatmap(lambda each: st.tuples(st.just(each), st.permutations(each))), handfuls)
def test_the_order_of_reading_does_not_matter(
    orders: tuple[list[float], list[float]], reference: list[float]
) -> None:
    first, other = orders

    assert rank_sum_chance(first, reference) == rank_sum_chance(other, reference[::-1])
    assert shift(first, reference) == shift(other, reference[::-1])
    assert robust_spread(first, 1.0) == robust_spread(other, 1.0)


def test_the_exact_chance_is_that_of_all_ways_to_deal_the_readings() -> None:
    readings, reference = [5.0, 8.0, 9.0], [1.0, 6.0, 2.0, 7.0]
    values = [*readings, *reference]
    deals = [
        pairs_above(dealt, [each for each in values if each not in dealt])
        for dealt in map(list, combinations(values, 3))
    ]

    as_high = sum(each >= pairs_above(readings, reference) for each in deals)

    assert rank_sum_chance(readings, reference) == pytest.approx(as_high / len(deals))


def test_equal_readings_say_nothing() -> None:
    assert rank_sum_chance([3.0, 3.0], [3.0, 3.0, 3.0]) == 1.0


@given(handfuls, handfuls, steps, st.sampled_from([0.5, 2.0, 4.0]))
def test_the_shift_moves_and_stretches_with_the_readings(
    readings: list[float], reference: list[float], offset: float, factor: float
) -> None:
    value, low, high = shift(readings, reference)

    moved = shift(
        [factor * each + offset for each in readings], [factor * each for each in reference]
    )

    assert moved == pytest.approx(
        (factor * value + offset, factor * low + offset, factor * high + offset)
    )
    assert low <= value <= high


@given(handfuls, handfuls)
def test_the_shift_is_the_middle_of_all_differences_and_its_ends_are_ranked_among_them(
    readings: list[float], reference: list[float]
) -> None:
    differences = sorted(each - other for each in readings for other in reference)
    pairs, total = len(differences), len(readings) + len(reference)
    rank = max(
        1, math.floor(pairs / 2 - stats.norm.ppf(0.975) * math.sqrt(pairs * (total + 1) / 12))
    )

    found = shift(readings, reference)

    assert found == (median(differences), differences[rank - 1], differences[-rank])


@given(chances)
def test_the_adjusted_chances_are_scipys(found: list[float]) -> None:
    assert adjusted_chances(found) == pytest.approx(tuple(stats.false_discovery_control(found)))


@given(chances)
def test_adjusting_never_makes_a_chance_smaller_nor_changes_their_order(
    found: list[float],
) -> None:
    adjusted = adjusted_chances(found)

    assert all(b >= a - 1e-12 for a, b in zip(found, adjusted, strict=True))
    ordered = [b for _, b in sorted(zip(found, adjusted, strict=True))]
    assert ordered == sorted(ordered)


@given(st.integers(1, 200).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))))
def test_the_interval_of_a_share_is_scipys(counted: tuple[int, int]) -> None:
    theirs = stats.binomtest(*counted).proportion_ci(0.95, "exact")

    assert share_interval(*counted) == pytest.approx((theirs.low, theirs.high), abs=1e-9)


@given(st.integers(0, 80), st.integers(0, 60), st.floats(0.001, 0.999))
def test_the_chance_of_as_many_is_scipys(count: int, of: int, share: float) -> None:
    assert chance_of_as_many(count, of, share) == pytest.approx(
        stats.binom.sf(count - 1, of, share), rel=1e-8, abs=1e-12
    )


@pytest.mark.parametrize(
    ("count", "share"), [(1, 0.5), (8, 0.003), (250, 0.003), (1000, 0.5), (1970, 0.9)]
)
def test_the_chance_of_as_many_of_very_many_is_scipys(count: int, share: float) -> None:
    assert chance_of_as_many(count, 1970, share) == pytest.approx(
        stats.binom.sf(count - 1, 1970, share), rel=1e-8
    )


def test_a_count_beyond_the_whole_is_no_share() -> None:
    with pytest.raises(ValueError, match="5 of 4"):
        share_interval(5, 4)


@pytest.mark.parametrize("function", [rank_sum_chance, shift])
def test_nothing_cannot_be_compared(function: object) -> None:
    assert callable(function)
    with pytest.raises(ValueError, match="no reading"):
        function([], [1.0])


def test_a_scale_without_a_step_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero; 0"):
        robust_spread([1.0, 2.0], 0)
