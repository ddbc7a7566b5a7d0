from typing import Any

import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import wiring
from garboard.methods.result import Result
from garboard.methods.wiring import (
    INSULATIONS_C,
    allowed_a,
    allowed_in_engine_space_a,
    awg_section_mm2,
    bundle_factor,
    copper_resistivity_ohm_mm2_per_m,
    drop_pct,
    drop_v,
    protection_pct,
    round_section_mm2,
    section_for_drop_mm2,
)
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.fold import fold

GAUGES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")


def read(
    quantity: Any, unit: str, as_read: str, original: str = "", part: str = "dc-wiring", **of: Any
) -> ReadingSet:
    return ReadingSet(
        name=of.get("name", "circuits"),
        quantity=quantity,
        unit=unit,
        instrument="meter",
        readings=(Reading(place=Place(part=part), as_read=as_read, original=original),),
    )


def volts(as_read: str, original: str = "", part: str = "dc-wiring") -> ReadingSet:
    return read("voltage", "V", as_read, original, part)


def results(*bodies: Any) -> tuple[Result, ...]:
    return wiring.results(
        fold([entry(number, body) for number, body in enumerate((QUILLET, *bodies), 1)])
    )


@given(st.floats(0.1, 300), st.floats(0.1, 60), st.floats(0.1, 3), st.floats(0, 100))
def test_the_section_for_a_drop_gives_that_drop(
    current_a: float, run_m: float, allowed_v: float, temperature_c: float
) -> None:
    section = section_for_drop_mm2(current_a, run_m, allowed_v, temperature_c)

    assert drop_v(current_a, run_m, section, temperature_c) == pytest.approx(allowed_v)


@given(st.floats(0, 150), st.floats(1, 40))
def test_a_warmer_conductor_loses_more(temperature_c: float, warmer_k: float) -> None:
    warm = copper_resistivity_ohm_mm2_per_m(temperature_c + warmer_k)

    assert warm > copper_resistivity_ohm_mm2_per_m(temperature_c)


@pytest.mark.parametrize("insulation_c", INSULATIONS_C)
def test_a_larger_conductor_may_carry_no_less(insulation_c: int) -> None:
    found = [allowed_a(each, insulation_c) for each in GAUGES]
    sections = [awg_section_mm2(each) for each in GAUGES]

    assert found == sorted(found)
    assert sections == sorted(sections)


@pytest.mark.parametrize("gauge", GAUGES)
def test_better_insulation_may_carry_no_less_and_an_engine_space_no_more(gauge: str) -> None:
    found = [allowed_a(gauge, each) for each in INSULATIONS_C]

    assert found == sorted(found)
    assert all(
        allowed_in_engine_space_a(gauge, each) <= allowed_a(gauge, each) for each in INSULATIONS_C
    )


@given(st.integers(1, 60))
def test_one_more_conductor_in_a_bundle_never_lets_any_carry_more(conductors: int) -> None:
    assert bundle_factor(conductors + 1) <= bundle_factor(conductors)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="300 °C was given"):
        copper_resistivity_ohm_mm2_per_m(300)
    with pytest.raises(ValueError, match="section_mm2 is above zero; 0"):
        drop_v(1, 1, 0)
    with pytest.raises(ValueError, match="run_m is 0 or more; -1"):
        drop_v(1, -1, 1)
    with pytest.raises(ValueError, match="allowed_v is above zero"):
        section_for_drop_mm2(1, 1, 0)
    with pytest.raises(ValueError, match="nominal_v is above zero"):
        drop_pct(1, 0)
    with pytest.raises(ValueError, match='not "11"'):
        allowed_a("11", 105)
    with pytest.raises(ValueError, match="not 100 °C"):
        allowed_a("10", 100)
    with pytest.raises(ValueError, match="0 was given"):
        bundle_factor(0)
    with pytest.raises(ValueError, match="allowed_a is above zero"):
        protection_pct(1, 0)
    with pytest.raises(ValueError, match="diameter_mm is above zero"):
        round_section_mm2(0)


def test_half_a_volt_lost_is_too_much_for_a_light_and_not_for_a_lamp_below() -> None:
    light, lamp = (
        results(volts("11.9", "12.5", part))[0]
        for part in ("navigation-lights", "interior-lighting")
    )

    assert light.value == pytest.approx(5)
    assert (light.verdict, lamp.verdict) == ("beyond", "within")


def test_the_nominal_voltage_is_told_from_the_battery() -> None:
    (result,) = results(volts("24.5", "25.1"))

    assert result.value == pytest.approx(100 * 0.6 / 24)


def test_a_drop_within_the_meters_doubt_of_its_limit_is_at_the_limit() -> None:
    (result,) = results(volts("12.14", "12.5", "navigation-lights"))

    assert result.verdict == "at the limit"


def test_a_voltage_higher_at_the_far_end_is_told() -> None:
    (result,) = results(volts("12.6", "12.5"))

    assert any("not of one moment" in each for each in result.caveats)


@pytest.mark.parametrize("original", ["", "0"])
def test_a_voltage_without_that_at_the_battery_cannot_be_judged(original: str) -> None:
    (result,) = results(volts("11.9", original))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert "at the battery" in result.caveats[0]


@pytest.mark.parametrize(
    ("rating", "verdict"), [("30", "within"), ("37.5", "within"), ("40", "beyond")]
)
def test_a_fuse_is_judged_by_what_its_conductor_may_carry(rating: str, verdict: str) -> None:
    (result,) = results(read("current", "A", rating, "25", name="fuse ratings"))

    assert result.verdict == verdict
    assert result.criterion is not None
    assert result.criterion.standing == "regulation"


def test_a_fuse_of_an_unknown_conductor_cannot_be_judged() -> None:
    (result,) = results(read("current", "A", "30", name="fuse ratings"))

    assert result.verdict == "cannot say"


def test_a_current_that_is_no_rating_is_not_judged_as_one() -> None:
    assert results(read("current", "A", "30", "25", name="loads")) == ()


@pytest.mark.parametrize(
    ("as_read", "verdict"), [("0.9", "beyond"), ("1.13", "at the limit"), ("1.8", "within")]
)
def test_a_conductor_is_judged_by_the_smallest_of_the_standard(as_read: str, verdict: str) -> None:
    (result,) = results(read("diameter", "mm", as_read))

    assert result.verdict == verdict


def test_a_conductor_that_reads_nothing_cannot_be_judged() -> None:
    (result,) = results(read("diameter", "mm", "0"))

    assert result.verdict == "cannot say"


def test_voltages_of_batteries_are_not_taken_for_drops() -> None:
    assert results(volts("12.5", "12.6", "lead-acid-battery")) == ()
