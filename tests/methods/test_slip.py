from dataclasses import replace
from typing import Any

import pytest
from cast import HARROWMERE, QUILLET
from gear_readings import read, results_of
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import slip
from garboard.methods.result import Result
from garboard.methods.slip import (
    advance_kn,
    expected_slip_ratio,
    slip_ratio,
    slip_uncertainty_ratio,
    tip_speed_m_per_s,
)

turns = st.floats(100, 4000)
pitches = st.floats(100, 1000)
speeds = st.floats(0, 40)


@given(shaft_rpm=turns, pitch_mm=pitches)
def test_a_boat_as_fast_as_its_screw_has_no_slip(shaft_rpm: float, pitch_mm: float) -> None:
    assert slip_ratio(advance_kn(shaft_rpm, pitch_mm), shaft_rpm, pitch_mm) == pytest.approx(0)


@given(speed_kn=speeds, more=st.floats(0.1, 10), shaft_rpm=turns, pitch_mm=pitches)
def test_a_faster_boat_slips_less(
    speed_kn: float, more: float, shaft_rpm: float, pitch_mm: float
) -> None:
    assert slip_ratio(speed_kn + more, shaft_rpm, pitch_mm) < slip_ratio(
        speed_kn, shaft_rpm, pitch_mm
    )


@given(diameter_mm=pitches, shaft_rpm=turns, scale=st.floats(0.1, 10))
def test_tip_speed_grows_with_diameter_as_with_turns(
    diameter_mm: float, shaft_rpm: float, scale: float
) -> None:
    assert tip_speed_m_per_s(scale * diameter_mm, shaft_rpm) == pytest.approx(
        tip_speed_m_per_s(diameter_mm, scale * shaft_rpm)
    )


@given(st.floats(1, 60), st.floats(0.1, 10))
def test_less_slip_is_expected_of_a_faster_boat(speed_kn: float, more: float) -> None:
    assert expected_slip_ratio(speed_kn + more) < expected_slip_ratio(speed_kn)


def test_slip_known_exactly_has_no_uncertainty() -> None:
    assert slip_uncertainty_ratio(0.3, 0, 0, 0) == 0


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="-1 rpm"):
        advance_kn(-1, 400)
    with pytest.raises(ValueError, match="-2 was given"):
        slip_ratio(-2, 1000, 400)
    with pytest.raises(ValueError, match="-3 rpm"):
        tip_speed_m_per_s(400, -3)
    with pytest.raises(ValueError, match="speed_kn"):
        expected_slip_ratio(0)


def trial(
    speed_kn: float, *, rpm: float = 1000, boat: Any = HARROWMERE, words: str = "2000 rpm"
) -> dict[str, Result]:
    return results_of(
        slip.results,
        read("pitch", "propeller", 457.2),
        read("diameter", "propeller", 457.2),
        read("revolutions", "propeller-shaft", rpm, words="2000 rpm"),
        read("speed", "trial-speed-and-power", speed_kn, words=words),
        boat=boat,
    )


SLIP = "apparent slip of the propeller on propeller shaft, 2000 rpm"
TIPS = "tip speed of the propeller on propeller shaft"


def test_a_usual_slip_is_within_its_band() -> None:
    result = trial(10)[SLIP]

    assert result.value == pytest.approx(0.325, abs=0.0005)
    assert result.verdict == "within"


@pytest.mark.parametrize(
    ("speed_kn", "criterion"), [(5, "propeller-slip-motor-high"), (14, "propeller-slip-motor-low")]
)
def test_an_unusual_slip_asks_for_its_inputs_to_be_checked(speed_kn: float, criterion: str) -> None:
    result = trial(speed_kn)[SLIP]

    assert result.verdict == "beyond"
    assert result.criterion is not None
    assert result.criterion.id == criterion
    assert "checked" in result.criterion.say


def test_a_boat_faster_than_its_screw_has_a_wrong_input() -> None:
    assert any("inputs is wrong" in each for each in trial(16)[SLIP].caveats)


@pytest.mark.parametrize(
    ("boat", "kind"),
    [
        (QUILLET, "sailing"),
        (HARROWMERE, "motor"),
        (replace(HARROWMERE, speed="planing"), "planing"),
    ],
)
def test_the_usual_slip_goes_by_the_boat(boat: Any, kind: str) -> None:
    result = trial(10, boat=boat)[SLIP]

    assert result.criterion is not None
    assert kind in result.criterion.id


def test_a_speed_under_other_words_is_no_pair() -> None:
    result = trial(10, words="2400 rpm")[SLIP]

    assert result.verdict == "cannot say"
    assert "same words" in result.caveats[0]


def test_turns_without_pitch_and_diameter_cannot_say_and_why() -> None:
    found = results_of(slip.results, read("revolutions", "propeller-shaft", 1000))

    assert {each.verdict for each in found.values()} == {"cannot say"}
    assert all(each.caveats for each in found.values())


def test_fast_tips_ask_for_a_look_at_the_blades() -> None:
    result = trial(10, rpm=2500)[TIPS]

    assert result.verdict == "beyond"
    assert result.value == pytest.approx(59.8, abs=0.1)


def test_without_turns_of_the_shaft_nothing_is_said() -> None:
    assert results_of(slip.results, read("speed", "trial-speed-and-power", 6)) == {}
