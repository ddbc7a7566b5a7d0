from collections.abc import Callable
from math import inf, isinf, sqrt
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods.uncertainty import (
    Chance,
    Input,
    combined_u,
    effective_freedom,
    expanded_u,
    judged_freedom,
    propagated,
    rectangular_u,
    resolution_u,
    shortest_interval,
    simulated,
    symmetric_interval,
    triangular_u,
)

SEED = 1907

parts = st.floats(0.001, 1000)
signed = parts | parts.map(lambda each: -each)

# JCGM 100:2008, H.1: an end gauge compared with a standard, nm.
GAUGE = (
    Input(estimate=50_000_623, uncertainty=25, freedom=18),
    Input(estimate=215, uncertainty=9.7, freedom=25.6),
    Input(estimate=0, uncertainty=0.58e-6, freedom=50),
    Input(estimate=-0.1, uncertainty=0.41),
    Input(estimate=11.5e-6, uncertainty=1.2e-6),
    Input(estimate=0, uncertainty=0.029, freedom=2),
)
# JCGM 101:2008, 9.3: a mass compared in air, mg.
MASS = (
    Input(estimate=100_000, uncertainty=0.050),
    Input(estimate=1.234, uncertainty=0.020),
    Input(estimate=1.2, uncertainty=rectangular_u(0.1), shape="rectangular"),
    Input(estimate=8000, uncertainty=rectangular_u(1000), shape="rectangular"),
    Input(estimate=8000, uncertainty=rectangular_u(50), shape="rectangular"),
)


def chance() -> Chance:
    return Random(SEED)


def gauge_nm(
    standard: float, longer: float, spread: float, off: float, swell: float, warmer: float
) -> float:
    return standard + longer - standard * (spread * off + swell * warmer)


def mass_mg(reference: float, added: float, air: float, weighed: float, standard: float) -> float:
    return (reference + added) * (1 + (air - 1.2) * (1 / weighed - 1 / standard)) - 100_000


def added(*values: float) -> float:
    return sum(values)


def squares(x: float, y: float) -> float:
    return x * x + y * y


def test_the_end_gauge_of_the_guide_comes_out_to_first_order() -> None:
    outcome = propagated(gauge_nm, GAUGE, share=0.99)

    assert outcome.value == pytest.approx(50_000_838)
    assert outcome.uncertainty == pytest.approx(31.71, abs=0.01)
    assert outcome.freedom == pytest.approx(16.66, abs=0.01)
    assert outcome.high - outcome.value == pytest.approx(92.62, abs=0.02)


def test_the_end_gauge_drawn_shows_what_the_first_order_leaves_out() -> None:
    outcome = simulated(gauge_nm, GAUGE, chance=chance())

    assert outcome.uncertainty == pytest.approx(33.91, abs=0.3)


@pytest.mark.parametrize(
    ("shape", "width"), [("normal", 3.92), ("rectangular", 2 * sqrt(3) * (2 - 0.6**0.25))]
)
def test_the_sum_of_four_alike_has_its_known_interval(shape: str, width: float) -> None:
    inputs = [Input(estimate=0, uncertainty=1, shape=shape)] * 4  # type: ignore[arg-type]

    outcome = simulated(added, inputs, chance=chance())

    assert outcome.uncertainty == pytest.approx(2, abs=0.02)
    assert outcome.high == pytest.approx(width, abs=0.04)
    assert outcome.low == pytest.approx(-width, abs=0.04)


def test_the_sum_of_three_and_one_far_wider_rectangle_is_nearly_that_rectangle() -> None:
    one = Input(estimate=0, uncertainty=1, shape="rectangular")
    wide = Input(estimate=0, uncertainty=10, shape="rectangular")

    outcome = simulated(added, [one, one, one, wide], chance=chance())

    assert outcome.uncertainty == pytest.approx(sqrt(103), abs=0.1)
    assert outcome.high == pytest.approx(17.02, abs=0.1)


def test_the_mass_of_the_supplement_is_understated_by_the_law_and_not_by_the_draw() -> None:
    by_law = propagated(mass_mg, MASS)
    drawn = simulated(mass_mg, MASS, chance=chance(), shortest=True)

    assert by_law.uncertainty == pytest.approx(0.0539, abs=0.0001)
    assert drawn.value == pytest.approx(1.2341, abs=0.001)
    assert drawn.uncertainty == pytest.approx(0.0755, abs=0.001)
    assert (drawn.low, drawn.high) == pytest.approx((1.084, 1.383), abs=0.005)


@pytest.mark.parametrize("x", [0.0, 0.05])
def test_the_power_of_the_supplement_has_its_exact_mean_and_uncertainty(x: float) -> None:
    u = 0.005
    inputs = [Input(estimate=x, uncertainty=u), Input(estimate=0, uncertainty=u)]

    outcome = simulated(squares, inputs, chance=chance())

    assert outcome.value == pytest.approx(x**2 + 2 * u**2, rel=0.01)
    assert outcome.uncertainty == pytest.approx(sqrt(4 * x**2 * u**2 + 4 * u**4), rel=0.02)


def test_a_power_of_zero_has_no_first_order_and_an_interval_from_zero_when_drawn() -> None:
    inputs = [Input(estimate=0, uncertainty=0.005)] * 2

    by_law = propagated(squares, inputs)
    drawn = simulated(squares, inputs, chance=chance(), shortest=True)

    assert by_law.uncertainty == 0
    assert drawn.low == pytest.approx(0, abs=1e-7)
    assert drawn.high == pytest.approx(149.8e-6, abs=1.5e-6)


def test_correlated_inputs_are_drawn_together() -> None:
    inputs = [Input(estimate=0, uncertainty=0.005)] * 2

    outcome = simulated(squares, inputs, chance=chance(), correlations={(0, 1): 0.9})

    exact = 2 * 0.005**2 * sqrt(1 + 0.9**2)
    assert outcome.uncertainty == pytest.approx(exact, rel=0.02)


def test_the_same_seed_gives_the_same_outcome() -> None:
    first = simulated(mass_mg, MASS, chance=chance(), draws=500)

    assert simulated(mass_mg, MASS, chance=chance(), draws=500) == first


@pytest.mark.parametrize(("shape", "factor"), [("triangular", 1.0), ("student", sqrt(10 / 8))])
def test_a_shape_is_drawn_with_its_own_scatter(shape: str, factor: float) -> None:
    one = Input(estimate=5, uncertainty=2, freedom=10, shape=shape)  # type: ignore[arg-type]

    outcome = simulated(added, [one], chance=chance())

    assert outcome.value == pytest.approx(5, abs=0.05)
    assert outcome.uncertainty == pytest.approx(2 * factor, rel=0.02)


@given(st.lists(signed, min_size=1, max_size=6))
def test_a_straight_sum_combines_as_the_law_says(components: list[float]) -> None:
    inputs = [Input(estimate=1, uncertainty=abs(each)) for each in components]

    assert propagated(added, inputs).uncertainty == pytest.approx(combined_u(components))


@given(st.lists(signed, min_size=1, max_size=6), st.data())
def test_the_effective_freedom_lies_between_the_least_and_all_together(
    components: list[float], data: st.DataObject
) -> None:
    size = len(components)
    freedoms = data.draw(st.lists(st.floats(1, 100), min_size=size, max_size=size))

    found = effective_freedom(components, freedoms)

    assert min(freedoms) * (1 - 1e-9) <= found <= sum(freedoms) * (1 + 1e-9)


@given(signed, signed, st.floats(-1, 1))
def test_a_correlation_moves_the_sum_between_difference_and_sum_of_the_parts(
    one: float, other: float, coefficient: float
) -> None:
    matrix = ((1.0, coefficient), (coefficient, 1.0))

    found = combined_u((one, other), matrix)

    edges = sorted((abs(one + other), abs(one - other)))
    assert edges[0] - 1e-3 <= found <= edges[1] + 1e-3


@given(st.floats(0, 100))
def test_bounds_are_worth_less_the_more_their_middle_is_likely(half_width: float) -> None:
    assert triangular_u(half_width) <= rectangular_u(half_width)
    assert resolution_u(2 * half_width) == pytest.approx(rectangular_u(half_width))


@given(parts, st.floats(1, 200), st.floats(0.5, 0.99))
def test_fewer_degrees_of_freedom_widen_the_interval(
    uncertainty: float, freedom: float, share: float
) -> None:
    assert expanded_u(uncertainty, freedom, share) >= expanded_u(uncertainty, inf, share)


@given(st.lists(st.floats(-1000, 1000), min_size=2, max_size=200), st.floats(0.05, 0.95))
def test_the_shortest_interval_is_never_the_wider(draws: list[float], share: float) -> None:
    low, high = symmetric_interval(draws, share)
    short_low, short_high = shortest_interval(draws, share)

    assert short_high - short_low <= high - low
    held = sum(1 for each in draws if short_low <= each <= short_high)
    assert held >= share * len(draws) - 1


def test_freedom_of_nothing_uncertain_is_infinite() -> None:
    assert isinf(effective_freedom((0.0, 0.0), (3, 4)))
    assert isinf(effective_freedom((1.0,), (inf,)))


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (lambda: rectangular_u(-1), "-1 was given"),
        (lambda: combined_u((1, 2), ((1,),)), "2 parts need"),
        (lambda: effective_freedom((1,), (0,)), "above zero"),
        (lambda: effective_freedom((1, 2), (5,)), "2 parts"),
        (lambda: judged_freedom(0), "0 was given"),
        (lambda: expanded_u(-1), "-1 and 0.95"),
        (lambda: expanded_u(1, inf, 1), "1 and 1 were given"),
        (lambda: symmetric_interval((1,)), "two draws or more"),
        (lambda: shortest_interval((1, 2), 0), "2 and 0 were given"),
        (lambda: propagated(added, ()), "none was given"),
        (lambda: propagated(added, [Input(estimate=0, uncertainty=-1)]), "0, -1 and inf"),
        (
            lambda: propagated(
                added, [Input(estimate=0, uncertainty=1)] * 2, correlations={(0, 0): 0.5}
            ),
            "0.5 of 0 and 0",
        ),
        (
            lambda: simulated(
                added, [Input(estimate=0, uncertainty=1, shape="student")], chance=chance()
            ),
            "needs its degrees of freedom",
        ),
        (
            lambda: simulated(added, [Input(estimate=0, uncertainty=1)], chance=chance(), draws=1),
            "two draws or more; 1",
        ),
        (
            lambda: simulated(
                added,
                [Input(estimate=0, uncertainty=1, shape="rectangular")] * 2,
                chance=chance(),
                correlations={(0, 1): 0.5},
            ),
            "normal shape",
        ),
        (
            lambda: simulated(
                added,
                [Input(estimate=0, uncertainty=1)] * 3,
                chance=chance(),
                correlations={(0, 1): 1.0, (1, 2): 1.0, (0, 2): -1.0},
            ),
            "contradict each other",
        ),
    ],
)
def test_what_cannot_be_is_refused_with_its_value(ask: Callable[[], object], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        ask()
