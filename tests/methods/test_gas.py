from dataclasses import replace
from typing import Any

import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import gas
from garboard.methods.gas import (
    LOWER_LIMIT_PCT,
    air_pct,
    flammable_pct,
    highest_ppm,
    leak_cm3_per_h,
    lost_mbar,
    moved_by_temperature_mbar,
    narrowest_mm,
    propane_to_lower_limit_kg,
    propane_vapour_m3,
)
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Place, Reading, ReadingSet
from garboard.notebook.fold import fold

pressures = st.floats(0, 200)


def read(
    quantity: Any, unit: str, as_read: str, part: str, words: str = "", original: str = ""
) -> ReadingSet:
    return ReadingSet(
        name="gas survey",
        quantity=quantity,
        unit=unit,
        instrument="gauge",
        readings=(
            Reading(place=Place(part=part, words=words), as_read=as_read, original=original),
        ),
    )


def pressed(as_read: str, original: str = "0.0370") -> ReadingSet:
    return read("pressure", "bar", as_read, "gas-pipe", original=original)


def air(as_read: str, words: str, part: str = "smells-on-boarding") -> ReadingSet:
    return read("concentration", "ppm", as_read, part, words)


def results(*bodies: Any, boat: Boat = QUILLET) -> tuple[Result, ...]:
    return gas.results(
        fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])
    )


@given(st.floats(0.01, 100), st.floats(-20, 50))
def test_the_mass_to_the_lower_limit_fills_that_share_of_the_space(
    space_m3: float, temperature_c: float
) -> None:
    mass_kg = propane_to_lower_limit_kg(space_m3, temperature_c)

    share = propane_vapour_m3(mass_kg, temperature_c) / space_m3
    assert 100 * share == pytest.approx(LOWER_LIMIT_PCT["propane"])


@given(pressures, pressures)
def test_a_fall_and_a_rise_are_each_others_opposite(one: float, other: float) -> None:
    assert lost_mbar(one, other) == -lost_mbar(other, one)


@given(pressures, st.floats(-20, 50), st.floats(0.01, 20))
def test_warming_raises_a_closed_system_as_much_as_cooling_lowers_it(
    pressure_mbar: float, temperature_c: float, change_k: float
) -> None:
    up = moved_by_temperature_mbar(pressure_mbar, temperature_c, change_k)

    assert up > 0
    assert moved_by_temperature_mbar(pressure_mbar, temperature_c, -change_k) == -up


@given(st.floats(0.1, 20), st.floats(0, 50), st.floats(1, 3600))
def test_twice_the_time_for_one_fall_is_half_the_leak(
    volume_l: float, lost: float, seconds: float
) -> None:
    leak = leak_cm3_per_h(volume_l, lost, seconds)

    assert leak_cm3_per_h(volume_l, lost, 2 * seconds) == pytest.approx(leak / 2)


@given(st.floats(0, 100), st.floats(0.5, 10))
def test_a_gas_at_its_lower_limit_is_at_a_hundred_per_cent(
    share: float, lower_limit_pct: float
) -> None:
    ppm = 10_000 * lower_limit_pct * share / 100

    assert flammable_pct(ppm, lower_limit_pct) == pytest.approx(share)
    assert air_pct(ppm) == pytest.approx(lower_limit_pct * share / 100)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="mass_kg is 0 or more; -1"):
        propane_vapour_m3(-1)
    with pytest.raises(ValueError, match="space_m3 is 0 or more; -1"):
        propane_to_lower_limit_kg(-1)
    with pytest.raises(ValueError, match="seconds is above zero; 0"):
        leak_cm3_per_h(1, 1, 0)
    with pytest.raises(ValueError, match="kelvin is above zero"):
        moved_by_temperature_mbar(37, -300, 1)
    with pytest.raises(ValueError, match="ppm is 0 or more"):
        flammable_pct(-1, 2.1)
    with pytest.raises(ValueError, match="-1 was given"):
        air_pct(-1)
    with pytest.raises(ValueError, match="one or more"):
        narrowest_mm(())
    with pytest.raises(ValueError, match=r"\(-1,\) were given"):
        highest_ppm((-1,))


@pytest.mark.parametrize(("as_read", "verdict"), [("0.0370", "at the limit"), ("0.0340", "beyond")])
def test_a_pressure_that_fell_is_for_the_gas_fitter(as_read: str, verdict: str) -> None:
    (result,) = results(pressed(as_read))

    assert result.verdict == verdict
    assert result.criterion is not None
    assert "registered gas fitter" in result.criterion.say
    assert any("3.6 mbar" in each for each in result.caveats)


def test_a_pressure_that_rose_tells_nothing() -> None:
    (result,) = results(pressed("0.0390"))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert "rose" in result.caveats[0]


def test_a_pressure_without_its_start_cannot_be_judged() -> None:
    (result,) = results(pressed("0.0370", ""))

    assert result.verdict == "cannot say"


def test_no_tightness_test_is_ever_called_good() -> None:
    assert all(results(pressed(each))[0].verdict != "within" for each in ("0.0371", "0.0370"))


@pytest.mark.parametrize(("as_read", "verdict"), [("25", "within"), ("12", "beyond")])
def test_a_locker_drain_has_a_least_bore(as_read: str, verdict: str) -> None:
    (result,) = results(read("diameter", "mm", as_read, "gas-locker"))

    assert result.verdict == verdict


def test_the_narrowest_place_of_a_drain_counts() -> None:
    wide = read("diameter", "mm", "25", "gas-locker", "inlet")
    narrow = read("diameter", "mm", "14", "gas-locker", "hose tail")

    (result,) = results(wide, narrow)

    assert result.value == 14
    assert len(result.used) == 2


def test_the_older_rule_for_drains_is_told_of_older_boats_alone() -> None:
    body = read("diameter", "mm", "12", "gas-locker")
    (old,), (new,) = results(body), results(body, boat=replace(QUILLET, year=2012))

    assert any("before 2000" in each for each in old.caveats)
    assert not any("before 2000" in each for each in new.caveats)


@pytest.mark.parametrize(
    ("as_read", "words", "verdict", "criterion"),
    [
        ("300", "propane, bilge", "within", "gas-flammable"),
        ("5000", "propane, bilge", "beyond", "gas-flammable"),
        ("3000", "hydrogen", "within", "gas-flammable"),
        ("209000", "oxygen, forepeak", "within", "gas-oxygen-low"),
        ("180000", "oxygen, forepeak", "beyond", "gas-oxygen-low"),
        ("250000", "oxygen, forepeak", "beyond", "gas-oxygen-high"),
        ("9", "carbon monoxide, saloon", "within", "gas-carbon-monoxide"),
        ("120", "CO, saloon", "beyond", "gas-carbon-monoxide"),
    ],
)
def test_air_is_judged_by_the_gas_in_it(
    as_read: str, words: str, verdict: str, criterion: str
) -> None:
    (result,) = results(air(as_read, words))

    assert result.verdict == verdict
    assert result.criterion is not None
    assert result.criterion.id == criterion


def test_the_highest_of_a_places_carbon_monoxide_counts() -> None:
    (result,) = results(air("5", "CO, saloon"), air("45", "CO, aft cabin"))

    assert result.value == 45


@pytest.mark.parametrize("words", ["", "petrol vapour"])
def test_a_gas_without_a_limit_here_cannot_be_judged(words: str) -> None:
    (result,) = results(air("300", words))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert "Which gas it was" in result.caveats[0]


def test_every_result_carries_the_caution() -> None:
    bodies = (
        pressed("0.0340"),
        pressed("0.039"),
        air("1", "CO"),
        air("1", ""),
        air("1", "propane"),
    )

    assert all(
        any("registered for gas" in each for each in result.caveats) for result in results(*bodies)
    )


def test_concentrations_of_oil_are_left_to_the_oil() -> None:
    assert results(air("60", "iron", "engine-oil-report")) == ()
