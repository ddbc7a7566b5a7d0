from math import asinh
from typing import Any

import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import ground_tackle
from garboard.methods.ground_tackle import (
    chain_mass_kg,
    chain_to_lift_m,
    customary_bower_kg,
    link_worn_pct,
    wind_load_n,
)
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Place, Reading, ReadingSet
from garboard.notebook.fold import fold

pulls = st.floats(1, 20_000)


def link(as_read: str, original: str = "10") -> ReadingSet:
    return ReadingSet(
        name="chain",
        quantity="diameter",
        unit="mm",
        instrument="calliper",
        readings=(
            Reading(place=Place(part="anchor-rode", number=1), as_read=as_read, original=original),
        ),
    )


def anchor(as_read: str) -> ReadingSet:
    return ReadingSet(
        name="ground tackle",
        quantity="mass",
        unit="kg",
        instrument="scale",
        readings=(Reading(place=Place(part="anchor", number=1), as_read=as_read),),
    )


def results(*bodies: Any, boat: Boat = QUILLET) -> tuple[Result, ...]:
    return ground_tackle.results(
        fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])
    )


@given(pulls, st.floats(1, 100), st.floats(0.5, 50))
def test_the_chain_that_just_lifts_hangs_in_a_catenary_over_the_depth(
    pull_n: float, weight_n_per_m: float, depth_m: float
) -> None:
    chain_m = chain_to_lift_m(pull_n, weight_n_per_m, depth_m)

    a = pull_n / weight_n_per_m
    assert (a**2 + chain_m**2) ** 0.5 - a == pytest.approx(depth_m, rel=1e-4)
    assert a * asinh(chain_m / a) <= chain_m * (1 + 1e-9)


@given(pulls, pulls)
def test_a_harder_pull_lifts_more_chain(one: float, other: float) -> None:
    less, more = sorted((one, other))

    assert chain_to_lift_m(less, 12, 6) <= chain_to_lift_m(more, 12, 6)


@given(st.floats(0, 100), st.floats(0, 60))
def test_twice_the_wind_pulls_four_times_as_hard(windage_m2: float, wind_m_per_s: float) -> None:
    pull = wind_load_n(windage_m2, wind_m_per_s)

    assert wind_load_n(windage_m2, 2 * wind_m_per_s) == pytest.approx(4 * pull)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="wire_mm is 0 or more; -1"):
        chain_mass_kg(-1)
    with pytest.raises(ValueError, match="weight_n_per_m is above zero"):
        chain_to_lift_m(1, 0, 1)
    with pytest.raises(ValueError, match="-1 was given"):
        wind_load_n(-1, 1)
    with pytest.raises(ValueError, match="made_mm is above zero"):
        link_worn_pct(0, 1)
    with pytest.raises(ValueError, match="6 to 18 m; 20 m"):
        customary_bower_kg(20)


@pytest.mark.parametrize(
    ("as_read", "verdict"),
    [("10.2", "within"), ("9.2", "within"), ("8.75", "at the limit"), ("8.0", "beyond")],
)
def test_a_link_is_judged_by_what_is_gone_of_it(as_read: str, verdict: str) -> None:
    (result,) = results(link(as_read))

    assert result.verdict == verdict


def test_a_link_of_unknown_make_cannot_be_judged() -> None:
    (result,) = results(link("8.5", ""))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert "made with" in result.caveats[0]


def test_an_anchor_is_set_beside_custom_and_not_judged() -> None:
    (result,) = results(anchor("16"))

    assert result.verdict == "not comparable"
    assert "15 to 20 kg" in result.caveats[0]


@pytest.mark.parametrize("boat", [Boat(name="Quillet"), Boat(name="Quillet", loa_m=24)])
def test_an_anchor_of_a_boat_outside_custom_cannot_be_set_beside_it(boat: Boat) -> None:
    (result,) = results(anchor("16"), boat=boat)

    assert result.verdict == "cannot say"
