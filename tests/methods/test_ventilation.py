from typing import Any

import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import ventilation
from garboard.methods.result import Result
from garboard.methods.ventilation import (
    air_change_min,
    asked_pct,
    fixed_ventilation_mm2,
    petrol_blower_ft3_per_min,
    petrol_opening_in2,
    petrol_output_ft3_per_min,
)
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.fold import fold

volumes = st.floats(0.1, 2000)


def read(
    quantity: Any,
    unit: str,
    as_read: str,
    words: str,
    part: str = "petrol-space",
    original: str = "",
) -> ReadingSet:
    return ReadingSet(
        name="ventilation",
        quantity=quantity,
        unit=unit,
        instrument="rule",
        readings=(
            Reading(place=Place(part=part, words=words), as_read=as_read, original=original),
        ),
    )


def space(*sides: str) -> tuple[ReadingSet, ...]:
    """A petrol space of 1.5 × 1.0 × 1.0 m, by the sides that were measured."""
    return tuple(read("length", "m", "1.5" if each == "long" else "1.0", each) for each in sides)


WHOLE = space("long", "wide", "high")


def results(*bodies: Any) -> tuple[Result, ...]:
    return ventilation.results(
        fold([entry(number, body) for number, body in enumerate((QUILLET, *bodies), 1)])
    )


@given(st.floats(0, 30), st.floats(0, 30), st.integers(0, 20))
def test_one_more_person_asks_for_six_and_a_half_square_centimetres(
    unflued_kw: float, flued_kw: float, persons: int
) -> None:
    one_more = fixed_ventilation_mm2(unflued_kw, flued_kw, persons + 1)

    assert one_more - fixed_ventilation_mm2(unflued_kw, flued_kw, persons) == pytest.approx(650)


@given(volumes, volumes)
def test_a_larger_petrol_space_never_asks_for_less(one: float, other: float) -> None:
    small, large = sorted((one, other))

    assert 3.0 <= petrol_opening_in2(small) <= petrol_opening_in2(large)
    assert petrol_blower_ft3_per_min(small) <= petrol_blower_ft3_per_min(large)
    assert petrol_output_ft3_per_min(small) <= petrol_output_ft3_per_min(large)
    assert air_change_min(small) <= air_change_min(large)


@given(volumes)
def test_a_blower_is_rated_above_what_it_must_move_as_fitted(volume_ft3: float) -> None:
    assert petrol_blower_ft3_per_min(volume_ft3) > petrol_output_ft3_per_min(volume_ft3)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="persons is 0 or more; -1"):
        fixed_ventilation_mm2(1, 1, -1)
    for of_volume in (petrol_opening_in2, petrol_blower_ft3_per_min, petrol_output_ft3_per_min):
        with pytest.raises(ValueError, match="volume_ft3 is above zero; 0"):
            of_volume(0)
    with pytest.raises(ValueError, match="volume_m3 is above zero"):
        air_change_min(0)
    with pytest.raises(ValueError, match="asked is above zero"):
        asked_pct(1, 0)


@pytest.mark.parametrize(
    ("as_read", "verdict"), [("95", "within"), ("65", "at the limit"), ("45", "beyond")]
)
def test_a_fixed_opening_is_judged_by_the_area_asked_of_it(as_read: str, verdict: str) -> None:
    (result,) = results(read("area", "cm²", as_read, "low", "fixed-ventilation", "69.1"))

    assert result.verdict == verdict
    assert any("carbon monoxide" in each for each in result.caveats)


def test_a_fixed_opening_of_which_nothing_is_known_to_be_asked_cannot_be_judged() -> None:
    (result,) = results(read("area", "cm²", "45", "low", "fixed-ventilation"))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert "appliances' input" in result.caveats[0]


@pytest.mark.parametrize(
    ("as_read", "verdict"), [("120", "within"), ("76", "at the limit"), ("40", "beyond")]
)
def test_an_opening_of_a_petrol_space_is_judged_by_its_volume(as_read: str, verdict: str) -> None:
    (result,) = results(*WHOLE, read("area", "cm²", as_read, "exhaust duct"))

    assert result.verdict == verdict
    assert "76 cm² asked for by a space of 1.50 m³" in result.caveats[0]
    assert len(result.used) == 4


@pytest.mark.parametrize(("as_read", "verdict"), [("2000", "within"), ("500", "beyond")])
def test_a_blower_is_judged_by_what_leaves_it(as_read: str, verdict: str) -> None:
    (result,) = results(*WHOLE, read("flow", "l/min", as_read, "blower outlet"))

    assert result.verdict == verdict
    assert "900 L/min asked for" in result.caveats[0]


@pytest.mark.parametrize("sides", [(), ("long",), ("long", "wide")])
def test_a_petrol_space_not_measured_cannot_be_judged(sides: tuple[str, ...]) -> None:
    (result,) = results(*space(*sides), read("area", "cm²", "80", "exhaust duct"))

    assert result.verdict == "cannot say"
    assert "not all measured" in result.caveats[0]
    assert any("Petrol vapour explodes" in each for each in result.caveats)


def test_the_size_of_a_petrol_space_alone_is_no_result() -> None:
    assert results(*WHOLE) == ()
