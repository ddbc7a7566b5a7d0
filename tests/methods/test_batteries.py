from typing import Any

import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import batteries
from garboard.methods.batteries import (
    charge_pct,
    charging_air_m3_per_h,
    drain_ma,
    hydrogen_l,
    of_six_cells_v,
    rated_pct,
    rest_voltage_v,
    vent_opening_cm2,
)
from garboard.methods.result import Result
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.fold import fold


def read(
    quantity: Any,
    unit: str,
    as_read: str,
    *,
    name: str = "batteries",
    part: str = "lead-acid-battery",
    original: str = "",
    words: str = "",
) -> ReadingSet:
    place = Place(part=part, number=1, words=words)
    return ReadingSet(
        name=name,
        quantity=quantity,
        unit=unit,
        instrument="meter",
        readings=(Reading(place=place, as_read=as_read, original=original),),
    )


def volts(as_read: str, name: str = "rest voltage", **of: Any) -> ReadingSet:
    return read("voltage", "V", as_read, name=name, **of)


def results(*bodies: Any) -> tuple[Result, ...]:
    return batteries.results(
        fold([entry(number, body) for number, body in enumerate((QUILLET, *bodies), 1)])
    )


@given(st.floats(0.1, 20), st.floats(0, 5))
def test_a_higher_rest_voltage_is_never_a_lower_charge(rest_v: float, more_v: float) -> None:
    assert 0 <= charge_pct(rest_v) <= charge_pct(rest_v + more_v) <= 100


@given(st.floats(11.9, 12.6), st.integers(1, 24))
def test_a_battery_of_other_cells_has_the_charge_of_one_of_six(rest_v: float, cells: int) -> None:
    assert charge_pct(rest_v * cells / 6, cells) == pytest.approx(charge_pct(rest_v), abs=1e-6)
    assert of_six_cells_v(rest_v * cells / 6, cells) == pytest.approx(rest_v)


@given(st.floats(1.12, 1.265))
def test_the_rule_of_density_and_the_customary_table_agree_within_an_eighth_of_full(
    specific_gravity: float,
) -> None:
    by_table = 100 * (specific_gravity - 1.12) / (1.265 - 1.12)

    assert charge_pct(rest_voltage_v(specific_gravity)) == pytest.approx(by_table, abs=12.5)


@given(st.integers(1, 24), st.floats(0, 30), st.floats(0, 1000))
def test_air_grows_with_cells_and_with_capacity(
    cells: int, gas_ma_per_ah: float, capacity_ah: float
) -> None:
    air = charging_air_m3_per_h(cells, gas_ma_per_ah, capacity_ah)

    assert charging_air_m3_per_h(2 * cells, gas_ma_per_ah, capacity_ah) == pytest.approx(2 * air)
    assert vent_opening_cm2(2 * air) == pytest.approx(2 * vent_opening_cm2(air))


@given(st.floats(-50, 100), st.floats(0.1, 50))
def test_warm_hydrogen_takes_more_room(temperature_c: float, warmer_k: float) -> None:
    assert hydrogen_l(1, 6, temperature_c + warmer_k) > hydrogen_l(1, 6, temperature_c)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match=r"2 and 6 were given"):
        rest_voltage_v(2)
    with pytest.raises(ValueError, match="rest_v is above zero"):
        charge_pct(0)
    with pytest.raises(ValueError, match="rated is above zero"):
        rated_pct(1, 0)
    with pytest.raises(ValueError, match="kelvin is above zero"):
        hydrogen_l(1, 1, -300)
    with pytest.raises(ValueError, match="capacity_ah is 0 or more"):
        charging_air_m3_per_h(6, 20, -1)
    with pytest.raises(ValueError, match="-1 was given"):
        vent_opening_cm2(-1)
    with pytest.raises(ValueError, match="cells is above zero"):
        of_six_cells_v(12, 0)


@pytest.mark.parametrize(
    ("as_read", "verdict"), [("12.65", "within"), ("12.30", "at the limit"), ("11.95", "beyond")]
)
def test_a_rested_battery_is_full_doubtful_or_empty(as_read: str, verdict: str) -> None:
    (result,) = results(volts(as_read))

    assert result.method == "batteries.charge_pct"
    assert result.verdict == verdict
    assert any("not the capacity" in each for each in result.caveats)


def test_a_flat_battery_is_not_taken_for_a_full_one_of_fewer_cells() -> None:
    (result,) = results(volts("6.4"))

    assert (result.value, result.verdict) == (0, "beyond")


def test_a_battery_rested_after_charging_is_taken_as_rested() -> None:
    (result,) = results(volts("12.65", name="rested six hours after charging"))

    assert result.method == "batteries.charge_pct"


def test_the_nominal_voltage_noted_tells_the_cells() -> None:
    (result,) = results(volts("6.33", original="6"))

    assert result.value == 100


@pytest.mark.parametrize(("as_read", "cells"), [("12.5", 6), ("25.0", 12), ("50", 24)])
def test_without_it_the_reading_tells_the_cells(as_read: str, cells: int) -> None:
    (result,) = results(volts(as_read))

    assert any(f"taken as {cells} cells" in each for each in result.caveats)


def test_a_gel_battery_is_said_to_read_higher() -> None:
    (result,) = results(volts("12.7", words="gel, house"))

    assert any("less full than this" in each for each in result.caveats)


@pytest.mark.parametrize(
    ("body", "why"),
    [
        (volts("12.5", name="batteries"), "was not noted"),
        (volts("13.3", part="lithium-battery"), "lithium"),
        (volts("-12.4"), "reads nothing"),
        (read("current", "A", "0.2"), "was not noted"),
        (read("capacity", "Ah", "70"), "rating on the case"),
        (read("current", "A", "400", name="conductance"), "rating on the case"),
    ],
)
def test_a_reading_that_tells_nothing_says_why(body: ReadingSet, why: str) -> None:
    (result,) = results(body)

    assert (result.verdict, result.value) == ("cannot say", None)
    assert why in result.caveats[0]


@pytest.mark.parametrize(
    ("as_read", "verdict", "criterion"),
    [
        ("14.2", "within", "batteries-charging-low"),
        ("13.2", "beyond", "batteries-charging-low"),
        ("15.6", "beyond", "batteries-charging-high"),
        ("31.2", "beyond", "batteries-charging-high"),
    ],
)
def test_a_charging_voltage_lies_between_its_limits(
    as_read: str, verdict: str, criterion: str
) -> None:
    (result,) = results(volts(as_read, name="charging"))

    assert result.verdict == verdict
    assert result.criterion is not None
    assert result.criterion.id == criterion


@pytest.mark.parametrize(("as_read", "verdict"), [("10.1", "within"), ("9.2", "beyond")])
def test_a_load_test_has_its_least_voltage(as_read: str, verdict: str) -> None:
    (result,) = results(volts(as_read, name="load test, 15 s"))

    assert result.verdict == verdict


@pytest.mark.parametrize(
    ("as_read", "verdict"), [("0.03", "within"), ("-0.03", "within"), ("0.4", "beyond")]
)
def test_a_drain_counts_whichever_way_the_clamp_sat(as_read: str, verdict: str) -> None:
    (result,) = results(read("current", "A", as_read, name="everything off"))

    assert result.verdict == verdict
    assert result.value == pytest.approx(drain_ma(float(as_read)))


@pytest.mark.parametrize(
    ("as_read", "verdict"), [("600", "beyond"), ("710", "at the limit"), ("810", "within")]
)
def test_between_seven_and_eight_tenths_of_its_cranking_a_battery_is_at_the_limit(
    as_read: str, verdict: str
) -> None:
    (result,) = results(read("current", "A", as_read, name="cranking", original="950"))

    assert result.verdict == verdict


def test_a_battery_of_little_capacity_is_to_be_checked() -> None:
    (result,) = results(read("capacity", "Ah", "70", original="110"))

    assert result.verdict == "beyond"
    assert result.criterion is not None
    assert "have this checked" in result.criterion.say


def test_every_result_warns_of_batteries() -> None:
    bodies = (volts("12.5"), read("capacity", "Ah", "70", original="110"))

    assert all(any("hydrogen" in each for each in result.caveats) for result in results(*bodies))
