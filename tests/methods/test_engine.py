from dataclasses import replace
from typing import Any

import pytest
from cast import HARROWMERE, QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import engine
from garboard.methods.engine import (
    compression_spread_pct,
    hottest_c,
    power_from_fuel_kw,
    propeller_power_pct,
    revolutions_pct,
)
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Place, Reading, ReadingSet
from garboard.notebook.fold import fold

TRIAL = "trial-speed-and-power"


def read(
    quantity: Any,
    unit: str,
    *rows: tuple[str, str],
    part: str = TRIAL,
    name: str = "trial",
    **of: Any,
) -> ReadingSet:
    """A set of rows of words and number."""
    return ReadingSet(
        name=name,
        quantity=quantity,
        unit=unit,
        instrument="gauge",
        readings=tuple(
            Reading(
                place=Place(part=part, words=words, side=of.get("side")),
                as_read=as_read,
                original=of.get("original", ""),
            )
            for words, as_read in rows
        ),
    )


def compression(*pressures: str, side: Any = None) -> ReadingSet:
    rows = [(f"cylinder {number}", each) for number, each in enumerate(pressures, 1)]
    return read("pressure", "bar", *rows, part="engine-exterior", name="compression", side=side)


def turns(as_read: str, original: str = "3600") -> ReadingSet:
    return read("revolutions", "rpm", ("full throttle", as_read), original=original)


def results(*bodies: Any, boat: Boat = QUILLET) -> tuple[Result, ...]:
    return engine.results(
        fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])
    )


@given(st.lists(st.floats(1, 60), min_size=2, max_size=8), st.floats(0.1, 10))
def test_a_spread_is_the_same_by_any_gauge_that_is_in_proportion(
    pressures: list[float], factor: float
) -> None:
    spread = compression_spread_pct(pressures)

    assert 0 <= spread <= 100
    scaled = compression_spread_pct([each * factor for each in pressures])
    assert scaled == pytest.approx(spread, abs=1e-9)


@given(st.floats(0, 6000), st.floats(500, 6000))
def test_revolutions_come_back_from_their_share(reached_rpm: float, rated_rpm: float) -> None:
    off = revolutions_pct(reached_rpm, rated_rpm)

    assert rated_rpm * (1 + off / 100) == pytest.approx(reached_rpm, abs=1e-6)


@given(st.floats(0, 1), st.floats(2.5, 3))
def test_below_full_revolutions_a_displacement_hull_asks_for_least(
    ratio: float, exponent: float
) -> None:
    assert propeller_power_pct(ratio) <= propeller_power_pct(ratio, exponent) <= 100


@given(st.floats(0, 200))
def test_a_thriftier_engine_gives_more_from_the_same_fuel(fuel_l_per_h: float) -> None:
    thrifty = power_from_fuel_kw(fuel_l_per_h, 0.84, 0.20)

    assert thrifty >= power_from_fuel_kw(fuel_l_per_h, 0.84, 0.24)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="two cylinders or more"):
        compression_spread_pct((28.0,))
    with pytest.raises(ValueError, match="not all 0"):
        compression_spread_pct((0.0, 0.0))
    with pytest.raises(ValueError, match="rated_rpm is above zero"):
        revolutions_pct(1, 0)
    with pytest.raises(ValueError, match="-1 was given"):
        propeller_power_pct(-1)
    with pytest.raises(ValueError, match="density_kg_per_l is above zero"):
        power_from_fuel_kw(1, 0, 1)
    with pytest.raises(ValueError, match="no readings"):
        hottest_c(())


@pytest.mark.parametrize(
    ("pressures", "verdict", "criterion"),
    [
        (("28.1", "27.9", "28.0"), "within", "engine-compression"),
        (("28.1", "27.4", "27.9", "24.6"), "at the limit", "engine-compression"),
        (("28.1", "27.4", "27.9", "23.2"), "beyond", "engine-compression"),
        (("28.1", "27.4", "27.9", "18.0"), "beyond", "engine-compression-defer"),
    ],
)
def test_cylinders_are_judged_by_how_much_they_differ(
    pressures: tuple[str, ...], verdict: str, criterion: str
) -> None:
    (result,) = results(compression(*pressures))

    assert result.verdict == verdict
    assert result.criterion is not None
    assert result.criterion.id == criterion


def test_the_lowest_cylinder_is_named() -> None:
    (result,) = results(compression("28.1", "27.4", "24.6"))

    assert any("cylinder 3" in each for each in result.caveats)


def test_each_engine_is_compared_with_itself_alone() -> None:
    port = compression("28.0", "28.1", side="port")
    starboard = compression("24.0", "24.1", side="starboard")

    found = results(port, starboard, boat=HARROWMERE)

    assert [each.verdict for each in found] == ["within", "within"]
    assert [each.what for each in found] == [
        "spread of compression, engine port",
        "spread of compression, engine starboard",
    ]


def test_one_cylinder_alone_has_no_spread() -> None:
    (result,) = results(compression("28.1"))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert "two cylinders" in result.caveats[0]


@pytest.mark.parametrize(
    ("as_read", "verdict", "criterion"),
    [
        ("3620", "within", "engine-above-rated"),
        ("3560", "at the limit", "engine-below-rated"),
        ("3300", "beyond", "engine-below-rated"),
        ("3900", "beyond", "engine-above-rated"),
    ],
)
def test_revolutions_on_trial_are_judged_by_the_rated_ones(
    as_read: str, verdict: str, criterion: str
) -> None:
    (result,) = results(turns(as_read))

    assert result.verdict == verdict
    assert result.criterion is not None
    assert result.criterion.id == criterion


def test_of_several_steps_the_highest_is_judged() -> None:
    steps = read("revolutions", "rpm", ("slow", "1200"), ("half", "2400"), ("full", "3610"))
    with_rated = replace(
        steps, readings=tuple(replace(each, original="3600") for each in steps.readings)
    )

    (result,) = results(with_rated)

    assert result.value == pytest.approx(100 * 10 / 3600)


def test_revolutions_without_the_rated_ones_cannot_be_judged() -> None:
    (result,) = results(turns("3600", ""))

    assert result.verdict == "cannot say"
    assert "rated revolutions" in result.caveats[0]


@pytest.mark.parametrize(
    ("words", "as_read", "verdict"),
    [
        ("coolant, fresh water", "84", "within"),
        ("coolant, fresh water", "101", "beyond"),
        ("coolant, fresh water", "60", "beyond"),
        ("coolant, raw water", "60", "at the limit"),
        ("coolant, raw water", "84", "beyond"),
        ("exhaust elbow", "45", "within"),
        ("exhaust elbow", "96", "beyond"),
    ],
)
def test_a_temperature_is_judged_by_what_it_is_of(words: str, as_read: str, verdict: str) -> None:
    (result,) = results(read("temperature", "°C", (words, as_read)))

    assert result.verdict == verdict


def test_the_hottest_of_an_exhaust_counts() -> None:
    exhaust = read("temperature", "°C", ("hose", "45"), ("elbow", "93"), part="wet-exhaust")

    (result,) = results(exhaust)

    assert (result.value, result.verdict) == (93, "beyond")


def test_a_coolant_of_unknown_water_cannot_be_judged() -> None:
    (result,) = results(read("temperature", "°C", ("coolant", "84")))

    assert result.verdict == "cannot say"


def test_the_heat_of_other_things_is_left_to_others() -> None:
    assert results(read("temperature", "°C", ("alternator", "84"))) == ()


def test_power_from_fuel_is_given_with_its_doubt() -> None:
    (result,) = results(read("flow", "l/min", ("fuel, full throttle", "0.1")))

    assert result.value == pytest.approx(6 * 0.84 / 0.22)
    assert result.uncertainty == pytest.approx(0.12 * 6 * 0.84 / 0.22)
    assert result.verdict == "not comparable"


def test_power_from_an_unknown_fuel_cannot_be_told() -> None:
    fuel = read("flow", "l/min", ("fuel", "0.1"))

    (result,) = results(fuel, boat=replace(QUILLET, fuel=None))

    assert result.verdict == "cannot say"


def test_no_limit_of_the_trade_passes_judgement_alone() -> None:
    bodies = (compression("28", "20"), turns("3000"))

    for result in results(*bodies):
        assert result.criterion is not None
        assert "have this checked" in result.criterion.say
        assert any("engineer decides" in each for each in result.caveats)
