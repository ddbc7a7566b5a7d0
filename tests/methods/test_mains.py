from typing import Any

import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import mains
from garboard.methods.mains import insulation_mohm, trip_limits, trip_ms
from garboard.methods.result import Result
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.fold import fold


def trip(as_read: str, scale: str = "5 × 30 mA", part: str = "ac-distribution") -> ReadingSet:
    return ReadingSet(
        name="residual-current device",
        quantity="time",
        unit="s",
        instrument="tester",
        scale=scale,
        readings=(Reading(place=Place(part=part), as_read=as_read),),
    )


def insulation(as_read: str, scale: str = "500 V", name: str = "insulation") -> ReadingSet:
    return ReadingSet(
        name=name,
        quantity="resistance",
        unit="ohm",
        instrument="tester",
        scale=scale,
        readings=(Reading(place=Place(part="ac-distribution"), as_read=as_read, to="earth"),),
    )


def results(*bodies: Any) -> tuple[Result, ...]:
    return mains.results(
        fold([entry(number, body) for number, body in enumerate((QUILLET, *bodies), 1)])
    )


@given(st.floats(0, 10), st.floats(0, 1e9))
def test_units_change_and_nothing_else(time_s: float, read_ohm: float) -> None:
    assert trip_ms(time_s) / 1000 == pytest.approx(time_s)
    assert insulation_mohm(read_ohm) * 1e6 == pytest.approx(read_ohm)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="-1 was given"):
        trip_ms(-1)
    with pytest.raises(ValueError, match="-1 was given"):
        insulation_mohm(-1)
    with pytest.raises(ValueError, match="3 times its rating"):
        trip_limits(3, is_selective=False)
    with pytest.raises(ValueError, match="must not trip at half"):
        trip_limits(0.5, is_selective=False)


@pytest.mark.parametrize(
    ("multiple", "is_selective", "limits"),
    [
        (1, False, [300]),
        (2, False, [150]),
        (5, False, [40]),
        (1, True, [500, 130]),
        (5, True, [150, 50]),
    ],
)
def test_the_limit_goes_by_multiple_and_type(
    multiple: float, is_selective: bool, limits: list[float]
) -> None:
    found = trip_limits(multiple, is_selective=is_selective)

    assert [each.limit for each in found] == limits


@pytest.mark.parametrize(
    ("as_read", "scale", "verdict"),
    [
        ("0.028", "5 × 30 mA", "within"),
        ("0.038", "5x", "at the limit"),
        ("0.062", "5 times", "beyond"),
        ("0.062", "1 ×", "within"),
        ("0.340", "1 ×", "beyond"),
        ("0.062", "1 ×, selective", "beyond"),
        ("0.210", "1 ×, selective", "within"),
        ("0.620", "1 ×, selective", "beyond"),
    ],
)
def test_a_trip_time_is_judged_at_its_multiple(as_read: str, scale: str, verdict: str) -> None:
    (result,) = results(trip(as_read, scale))

    assert result.verdict == verdict
    assert result.criterion is not None
    assert "have this checked" in result.criterion.say


@pytest.mark.parametrize(
    ("scale", "why"),
    [("", "was not noted"), ("0.5 ×", "must not trip at half"), ("3 ×", "No limit is held")],
)
def test_a_trip_time_without_a_limit_cannot_be_judged(scale: str, why: str) -> None:
    (result,) = results(trip("0.028", scale))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert why in result.caveats[0]


@pytest.mark.parametrize(
    ("as_read", "scale", "verdict"),
    [
        ("200000000", "500 V", "within"),
        ("1020000", "500 V", "at the limit"),
        ("600000", "500 V", "beyond"),
        ("600000", "250 V", "within"),
    ],
)
def test_insulation_is_judged_at_its_test_voltage(as_read: str, scale: str, verdict: str) -> None:
    (result,) = results(insulation(as_read, scale))

    assert result.verdict == verdict


@pytest.mark.parametrize("scale", ["", "1000 V"])
def test_insulation_at_another_voltage_cannot_be_judged(scale: str) -> None:
    (result,) = results(insulation("600000", scale))

    assert result.verdict == "cannot say"


def test_a_resistance_that_is_no_insulation_is_left_to_others() -> None:
    assert results(insulation("0.2", name="earth continuity")) == ()


def test_times_of_other_things_are_not_trip_times() -> None:
    assert results(trip("4", part="trial-cold-start")) == ()


def test_every_result_says_that_mains_kill() -> None:
    bodies = (trip("0.028"), trip("0.028", ""), insulation("600000"), insulation("1", ""))

    found = results(*bodies)

    assert len(found) == 4
    assert all(any("Mains voltage kills" in each for each in result.caveats) for result in found)
