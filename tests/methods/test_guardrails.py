from dataclasses import replace
from typing import Any

import pytest
from cast import HARROWMERE, QUILLET
from gear_readings import read, results_of, survey_of
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import guardrails
from garboard.methods.guardrails import greatest, greatest_opening_mm, least
from garboard.methods.result import Result

values = st.lists(st.floats(0, 2000), min_size=1, max_size=6)
SMALL = replace(QUILLET, loa_m=7.2)


@given(values)
def test_every_reading_lies_between_the_least_and_the_greatest(readings: list[float]) -> None:
    assert all(least(readings) <= each <= greatest(readings) for each in readings)


@given(values)
def test_the_openings_together_reach_the_upper_line(heights: list[float]) -> None:
    opening = greatest_opening_mm(heights)

    assert max(heights) / len(heights) * (1 - 1e-9) <= opening <= max(heights)


def test_one_more_line_never_makes_the_opening_wider() -> None:
    assert greatest_opening_mm((610, 300)) <= greatest_opening_mm((610,))


@pytest.mark.parametrize("method", [least, greatest, greatest_opening_mm])
def test_nothing_and_less_than_nothing_are_refused(method: Any) -> None:
    with pytest.raises(ValueError, match="one reading or more"):
        method(())
    with pytest.raises(ValueError, match="-1"):
        method((-1,))


def results(*bodies: Any, boat: Any = QUILLET) -> dict[str, Result]:
    return results_of(guardrails.results, *bodies, boat=boat)


def criterion_of(result: Result) -> str:
    assert result.criterion is not None
    return result.criterion.id


@pytest.mark.parametrize(
    ("boat", "criterion", "verdict"),
    [(QUILLET, "guardrail-height", "beyond"), (SMALL, "guardrail-height-small", "within")],
)
def test_the_height_wanted_goes_by_the_length_of_the_boat(
    boat: Any, criterion: str, verdict: str
) -> None:
    found = results(read("length", "stanchion", 0.62, 0.55, side="port"), boat=boat)

    result = found["height of the upper line, port"]
    assert result.value == pytest.approx(550)
    assert criterion_of(result) == criterion
    assert result.verdict == verdict


def test_the_two_sides_are_judged_apart() -> None:
    found = results(
        read("length", "stanchion", 0.62, side="port"),
        read("length", "stanchion", 0.50, side="starboard"),
    )

    assert {what: each.verdict for what, each in found.items()} == {
        "height of the upper line, port": "within",
        "height of the upper line, starboard": "beyond",
    }


def test_a_wide_opening_between_two_lines_is_found() -> None:
    found = results(
        read("length", "guardrail", 0.66, side="port"),
        read("length", "guardrail", 0.24, side="port", words="intermediate line"),
    )

    result = found["opening between the lines, port"]
    assert result.value == pytest.approx(420)
    assert result.verdict == "beyond"
    assert found["height of the intermediate line, port"].verdict == "at the limit"


@pytest.mark.parametrize(
    ("part", "quantity", "value", "words", "criterion"),
    [
        ("stanchion", "length", 2.4, "spacing to the next", "stanchion-spacing"),
        ("guardrail", "length", 0.08, "deflection under 40 N", "guardrail-deflection"),
        (
            "guardrail",
            "length",
            0.15,
            "intermediate line, deflection under 40 N",
            "guardrail-deflection-intermediate",
        ),
        ("stanchion", "angle", -14, "", "stanchion-lean"),
        ("guardrail", "diameter", 3, "", "guardrail-wire-medium"),
    ],
)
def test_each_kind_of_reading_finds_its_own_limit(
    part: str, quantity: Any, value: float, words: str, criterion: str
) -> None:
    (result,) = results(read(quantity, part, value, words=words)).values()

    assert (result.verdict, criterion_of(result)) == ("beyond", criterion)


def test_a_longer_boat_needs_a_thicker_wire() -> None:
    (result,) = results(read("diameter", "guardrail", 4), boat=HARROWMERE).values()

    assert (criterion_of(result), result.verdict) == ("guardrail-wire-large", "beyond")


@pytest.mark.parametrize(
    "body", [read("length", "stanchion", 0.6), read("diameter", "guardrail", 4)]
)
def test_a_boat_of_unknown_length_cannot_be_judged(body: Any) -> None:
    (result,) = results(body, boat=replace(QUILLET, loa_m=None)).values()

    assert result.verdict == "cannot say"
    assert "length" in result.caveats[0]


def test_a_limit_of_racing_says_that_others_are_not_bound() -> None:
    (result,) = results(read("length", "stanchion", 0.55)).values()

    assert any("other boats are not bound" in each for each in result.caveats)
    assert any("no proof load" in each for each in result.caveats)


def test_without_a_reading_of_the_guardrails_nothing_is_said() -> None:
    assert guardrails.results(survey_of(read("play", "shaft-bracket", 0.8))) == ()
