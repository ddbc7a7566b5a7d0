import random
from statistics import quantiles

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from garboard.methods.gauge import GaugeDoubt
from garboard.methods.wastage import (
    coverage_factor,
    life_uncertainty_y,
    mean_loss_mm,
    mean_loss_uncertainty_mm,
    next_reading_y,
    rate_mm_per_y,
    rate_uncertainty_mm_per_y,
    remaining_life_y,
    shortest_life_y,
    wastage_of,
)

thicknesses = st.floats(0, 40, allow_nan=False)
years = st.floats(1, 40)
doubts = st.floats(0.01, 1)
pairs = st.lists(st.tuples(thicknesses, thicknesses), min_size=1, max_size=12)


def gauge(uncertainty_mm: float) -> GaugeDoubt:
    """A gauge never tried on a block, whose whole doubt its readings share."""
    return GaugeDoubt(reading_mm=uncertainty_mm, common_mm=uncertainty_mm)


@given(earlier_mm=thicknesses, now_mm=thicknesses, years=years)
def test_a_rate_over_its_years_gives_the_loss_back(
    earlier_mm: float, now_mm: float, years: float
) -> None:
    assert rate_mm_per_y(earlier_mm, now_mm, years) * years == pytest.approx(
        earlier_mm - now_mm, abs=1e-9
    )


@given(now_mm=thicknesses, required_mm=thicknesses, rate=st.floats(0.001, 1))
def test_a_life_is_never_negative(now_mm: float, required_mm: float, rate: float) -> None:
    assert remaining_life_y(now_mm, required_mm, rate) >= 0


@given(
    now_mm=thicknesses,
    required_mm=thicknesses,
    rate=st.floats(0.001, 1),
    now_u_mm=doubts,
    rate_u=doubts,
)
def test_the_shortest_life_never_exceeds_the_best_estimate(
    now_mm: float, required_mm: float, rate: float, now_u_mm: float, rate_u: float
) -> None:
    shortest = shortest_life_y(now_mm, now_u_mm, required_mm, rate, rate_u)

    assert shortest <= remaining_life_y(now_mm, required_mm, rate) + 1e-9


@given(pairs=pairs, years=years, earlier_u_mm=doubts, now_u_mm=doubts)
def test_more_places_never_make_the_gauges_doubt_smaller(
    pairs: list[tuple[float, float]], years: float, earlier_u_mm: float, now_u_mm: float
) -> None:
    earlier_mm, now_mm = zip(*pairs, strict=True)

    wastage = wastage_of(
        earlier_mm, now_mm, years, earlier=gauge(earlier_u_mm), now=gauge(now_u_mm)
    )

    alone = rate_uncertainty_mm_per_y(earlier_u_mm, now_u_mm, years)
    assert wastage.uncertainty_mm_per_y >= alone * (1 - 1e-9)
    assert wastage.upper_mm_per_y >= wastage.rate_mm_per_y
    assert wastage.shortest_y is None


@given(pairs=pairs, years=years, required_mm=thicknesses, earlier_u_mm=doubts, now_u_mm=doubts)
def test_a_best_estimate_is_given_only_where_the_loss_is_shown(
    pairs: list[tuple[float, float]],
    years: float,
    required_mm: float,
    earlier_u_mm: float,
    now_u_mm: float,
) -> None:
    earlier_mm, now_mm = zip(*pairs, strict=True)

    wastage = wastage_of(
        earlier_mm,
        now_mm,
        years,
        earlier=gauge(earlier_u_mm),
        now=gauge(now_u_mm),
        required_mm=required_mm,
    )

    assert (wastage.life_y is not None) == wastage.is_shown
    if wastage.life_y is not None and wastage.shortest_y is not None:
        assert wastage.shortest_y <= wastage.life_y + 1e-9


@given(loss_mm=st.floats(-2, 2), readings=st.lists(thicknesses, min_size=1, max_size=9))
def test_an_even_loss_is_its_own_mean(loss_mm: float, readings: list[float]) -> None:
    earlier = [each + loss_mm for each in readings]

    assert mean_loss_mm(earlier, readings) == pytest.approx(loss_mm, abs=1e-9)
    assert mean_loss_uncertainty_mm(earlier, readings, 0.1, 0.1) == pytest.approx(0.1)


@given(confidence=st.floats(0.55, 0.9999), freedom=st.floats(1, 1000))
def test_the_coverage_factor_is_students(confidence: float, freedom: float) -> None:
    assert coverage_factor(confidence, freedom) == pytest.approx(
        stats.t.ppf(confidence, freedom), rel=1e-7, abs=1e-7
    )


def test_with_endless_freedom_the_coverage_factor_is_the_normal_one() -> None:
    assert coverage_factor(0.95, float("inf")) == pytest.approx(1.6448536, abs=1e-6)


def test_the_lower_bound_lies_near_the_fifth_percentile_of_a_simulation() -> None:
    chance = random.Random(1)
    lives = []
    for _ in range(40_000):
        earlier, now = chance.gauss(5.80, 0.10), chance.gauss(5.35, 0.10)
        rate = (earlier - now) / 5
        if rate > 0:
            lives.append((now - 4.80) / rate)

    bound = shortest_life_y(5.35, 0.10, 4.80, 0.090, 0.1 * 2**0.5 / 5)

    assert bound == pytest.approx(quantiles(lives, n=20)[0], abs=0.25)


def test_few_scattered_places_raise_the_upper_rate_more_than_the_normal_factor() -> None:
    wastage = wastage_of((6.0, 6.0), (5.9, 4.9), 5, earlier=gauge(0.01), now=gauge(0.01))

    assert wastage.upper_mm_per_y > wastage.rate_mm_per_y + 5 * wastage.uncertainty_mm_per_y


def test_the_next_reading_is_never_more_than_ten_years_off() -> None:
    assert next_reading_y(60) == 10


@pytest.mark.parametrize("years", [0.0, -1.0])
def test_a_rate_without_time_is_refused(years: float) -> None:
    with pytest.raises(ValueError, match="needs time"):
        rate_mm_per_y(6, 5, years)
    with pytest.raises(ValueError, match="needs time"):
        rate_uncertainty_mm_per_y(0.1, 0.1, years)


def test_a_life_without_loss_is_refused() -> None:
    with pytest.raises(ValueError, match="needs a loss"):
        remaining_life_y(5, 4, 0)
    with pytest.raises(ValueError, match="needs a loss"):
        shortest_life_y(5, 0.1, 4, -1, 0.1)
    with pytest.raises(ValueError, match="needs a loss and time"):
        life_uncertainty_y(5, 0.1, 0, 0.1, 5)


def test_places_that_do_not_pair_are_refused() -> None:
    with pytest.raises(ValueError, match="2 earlier readings and 1 now"):
        mean_loss_mm((6, 6), (5,))
    with pytest.raises(ValueError, match="0 earlier readings and 0 now"):
        mean_loss_mm((), ())


def test_a_negative_life_and_a_confidence_of_one_are_refused() -> None:
    with pytest.raises(ValueError, match="-1 was given"):
        next_reading_y(-1)
    with pytest.raises(ValueError, match="not 1 and 3"):
        coverage_factor(1.0, 3)
