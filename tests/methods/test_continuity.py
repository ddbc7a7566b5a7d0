from typing import Any

import pytest
from cast import DAY, QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import continuity
from garboard.methods.continuity import (
    between_ohm,
    bond_drop_mv,
    copper_lead_ohm,
    leakage_ma,
    without_leads_ohm,
)
from garboard.methods.result import Result
from garboard.notebook.body import Conditions, Instrument, Place, Reading, ReadingSet
from garboard.notebook.fold import fold

ohms = st.floats(0.001, 1e6)


def from_to(as_read: str, part: str = "anode", to: str = "propeller") -> Reading:
    return Reading(place=Place(part=part), as_read=as_read, to=to)


def measured(*readings: Reading, mode: str = "") -> ReadingSet:
    return ReadingSet(
        name="bonding",
        quantity="resistance",
        unit="ohm",
        instrument="meter",
        readings=readings,
        mode=mode,
    )


def results(*bodies: Any) -> tuple[Result, ...]:
    return continuity.results(
        fold([entry(number, body) for number, body in enumerate((QUILLET, *bodies), 1)])
    )


@given(voltage_v=st.floats(1, 300), resistance_ohm=ohms)
def test_a_leak_through_its_resistance_gives_the_voltage_back(
    voltage_v: float, resistance_ohm: float
) -> None:
    leak_ma = leakage_ma(voltage_v, resistance_ohm)

    assert bond_drop_mv(leak_ma / 1000, resistance_ohm) == pytest.approx(1000 * voltage_v)


@given(read_ohm=ohms, leads_ohm=ohms)
def test_leads_never_add_to_a_reading(read_ohm: float, leads_ohm: float) -> None:
    assert 0 <= without_leads_ohm(read_ohm, leads_ohm) <= read_ohm


@given(st.lists(ohms, min_size=1, max_size=4))
def test_a_pair_lies_between_its_readings(readings: list[float]) -> None:
    assert min(readings) * (1 - 1e-12) <= between_ohm(readings) <= max(readings) * (1 + 1e-12)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="-1 and 0"):
        without_leads_ohm(-1, 0)
    with pytest.raises(ValueError, match="-1 was given"):
        bond_drop_mv(1, -1)
    with pytest.raises(ValueError, match="0 mm²"):
        copper_lead_ohm(1, 0)
    with pytest.raises(ValueError, match="0 was given"):
        leakage_ma(12, 0)
    with pytest.raises(ValueError, match="0 ohm or more"):
        between_ohm(())


@pytest.mark.parametrize(
    ("as_read", "verdict", "criterion"),
    [
        ("0.1", "within", "continuity-bond"),
        ("1.1", "at the limit", "continuity-bond"),
        ("3", "beyond", "continuity-bond"),
        ("50", "beyond", "continuity-not-bonded"),
    ],
)
def test_a_bond_is_good_doubtful_bad_or_none(as_read: str, verdict: str, criterion: str) -> None:
    (result,) = results(measured(from_to(as_read)))

    assert result.verdict == verdict
    assert result.criterion is not None
    assert result.criterion.id == criterion
    assert result.what == "resistance from anode to propeller"


def test_a_bond_above_the_aim_tells_what_it_costs() -> None:
    (result,) = results(measured(from_to("0.5")))

    assert any("50 of about 200 mV" in each for each in result.caveats)


def test_both_ways_round_are_one_pair_and_averaged() -> None:
    (result,) = results(measured(from_to("0.2"), from_to("0.6", part="propeller", to="anode")))

    assert result.value == pytest.approx(0.4)
    assert not any("one way round" in each for each in result.caveats)


def test_one_way_round_is_told() -> None:
    (result,) = results(measured(from_to("0.2")))

    assert any("one way round" in each for each in result.caveats)


def test_a_reading_to_nowhere_cannot_be_judged() -> None:
    (result,) = results(measured(from_to("0.2", to="")))

    assert (result.verdict, result.value) == ("cannot say", None)


def test_afloat_an_ohmmeter_cannot_be_trusted() -> None:
    (result,) = results(measured(from_to("0.2")), Conditions(lying="afloat", began=DAY))

    assert result.verdict == "cannot say"
    assert "afloat" in result.caveats[0]


@pytest.mark.parametrize(
    ("as_read", "verdict", "criterion"),
    [
        ("50000", "within", "continuity-insulation"),
        ("5000", "beyond", "continuity-insulation"),
        ("500", "beyond", "continuity-insulation-fault"),
    ],
)
def test_of_insulation_the_high_resistance_is_the_good_one(
    as_read: str, verdict: str, criterion: str
) -> None:
    (result,) = results(measured(from_to(as_read, part="batteries", to="hull"), mode="insulation"))

    assert result.verdict == verdict
    assert result.criterion is not None
    assert result.criterion.id == criterion


def test_a_meter_with_four_leads_is_believed() -> None:
    meter = Instrument(
        name="meter", described="four-wire", quantity="resistance", unit="ohm", uncertainty=0.01
    )

    (result,) = results(meter, measured(from_to("1.1")))

    assert result.verdict == "beyond"


def test_every_result_carries_the_caution() -> None:
    (result,) = results(measured(from_to("0.2")))

    assert any("qualified marine electrician" in each for each in result.caveats)
