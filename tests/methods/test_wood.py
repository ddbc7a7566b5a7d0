from typing import Any

import pytest
from cast import DAY, QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import wood
from garboard.methods.result import Result
from garboard.methods.wood import (
    air_explains_pct,
    corrected_pct,
    corrected_uncertainty_pct,
    fastening_left_pct,
)
from garboard.notebook.body import Boat, Conditions, Place, Reading, ReadingSet
from garboard.notebook.fold import fold

CARVEL = Boat(name="Quillet", material="carvel", year=1962)
temperatures = st.floats(-10, 45)


def read(*as_read: str, species: str = "oak", part: str = "timbers-and-floors") -> ReadingSet:
    place = Place(part=part, side="port")
    return ReadingSet(
        name="frames",
        quantity="moisture",
        unit="%",
        instrument="pin meter",
        calibration=species,
        readings=tuple(Reading(place=place, as_read=each) for each in as_read),
    )


def drawn(*pairs: tuple[str, str]) -> ReadingSet:
    return ReadingSet(
        name="fastenings",
        quantity="diameter",
        unit="mm",
        instrument="calliper",
        readings=tuple(
            Reading(
                place=Place(part="plank-fastenings", number=number), as_read=least, original=new
            )
            for number, (least, new) in enumerate(pairs, 1)
        ),
    )


def day(**changes: Any) -> Conditions:
    given_ = {"air_c": 20.0, "humidity_pct": 65.0, "surface_c": 20.0, **changes}
    return Conditions(lying="ashore", began=DAY, **given_)


def results(*bodies: Any, boat: Boat = CARVEL) -> tuple[Result, ...]:
    return wood.results(
        fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])
    )


def only(*bodies: Any, boat: Boat = CARVEL) -> Result:
    (found,) = results(*bodies, boat=boat)
    return found


@given(air=st.floats(0, 45), damp=st.floats(5, 94))
def test_damper_air_explains_more_moisture(air: float, damp: float) -> None:
    assert 0 < air_explains_pct(air, damp) < air_explains_pct(air, damp + 1) < 30


@given(reading=st.floats(7, 30), colder=temperatures)
def test_cold_wood_holds_more_than_a_meter_says(reading: float, colder: float) -> None:
    assert corrected_pct(reading, colder) >= corrected_pct(reading, colder + 5)


@given(st.floats(7, 30))
def test_at_twenty_degrees_a_reading_is_given_back(reading: float) -> None:
    assert corrected_pct(reading, 20) == pytest.approx(reading, abs=0.03)


@given(reading=st.floats(7, 30), slope=st.floats(0.5, 1.5), offset=st.floats(-3, 3))
def test_the_species_is_taken_out_of_the_corrected_reading(
    reading: float, slope: float, offset: float
) -> None:
    plain = corrected_pct(reading, 10)

    assert corrected_pct(reading, 10, slope, offset) == pytest.approx((plain - offset) / slope)


@given(original=st.floats(1, 20), share=st.floats(0, 1))
def test_a_fastening_holds_by_the_square_of_its_diameter(original: float, share: float) -> None:
    assert fastening_left_pct(original, share * original) == pytest.approx(100 * share**2)


def test_a_species_not_known_adds_to_the_doubt() -> None:
    assert corrected_uncertainty_pct(5, False) > corrected_uncertainty_pct(5, True)


def test_arguments_out_of_range_are_refused() -> None:
    with pytest.raises(ValueError, match="99 %"):
        air_explains_pct(20, 99)
    with pytest.raises(ValueError, match="80 °C"):
        corrected_pct(15, 80)
    with pytest.raises(ValueError, match="7 of 6 mm"):
        fastening_left_pct(6, 7)


def test_dry_frames_are_within_and_the_highest_reading_speaks() -> None:
    found = only(day(), read("11", "13", "12"))

    assert found.value == pytest.approx(13, abs=0.03)
    assert found.verdict == "within"
    assert "highest of 3" in found.caveats[0]


def test_wet_frames_are_beyond_the_threshold_of_decay() -> None:
    found = only(day(), read("26"))

    assert found.verdict == "beyond"
    assert found.criterion is not None
    assert found.criterion.id == "wood-decay"
    assert "exceeds it by 14" in found.caveats[1]


def test_timber_above_saturation_is_held_to_that() -> None:
    found = only(day(), read("45"))

    assert found.criterion is not None
    assert found.criterion.id == "wood-saturation"
    assert any("guide only" in each for each in found.caveats)


def test_a_reading_near_twenty_is_at_the_limit() -> None:
    assert only(day(), read("20")).verdict == "at the limit"


def test_timber_as_wet_as_its_air_is_said_to_be_so() -> None:
    found = only(day(), read("12"))

    assert any("no more than that" in each for each in found.caveats)


def test_cold_wood_is_corrected_by_its_own_temperature_before_that_of_the_air() -> None:
    found = only(day(surface_c=10.0), read("15"))

    assert found.value == pytest.approx(16.11, abs=0.02)


def test_without_a_temperature_nothing_is_corrected() -> None:
    found = only(day(air_c=None, surface_c=None), read("26"))

    assert found.verdict == "cannot say"
    assert "26 %" in found.caveats[0]


def test_air_not_recorded_is_said() -> None:
    found = only(day(humidity_pct=None), read("26"))

    assert any("humidity were not recorded" in each for each in found.caveats)


def test_a_species_not_noted_is_said() -> None:
    found = only(day(), read("12", species=""))

    assert any("species" in each for each in found.caveats)


def test_no_wood_reading_says_that_there_is_no_rot() -> None:
    assert wood.DEFER in only(day(), read("8")).caveats


def test_a_meter_on_a_plastic_boat_reads_no_wood() -> None:
    assert results(day(), read("26"), boat=QUILLET) == ()


def test_the_worst_fastening_drawn_speaks_and_the_others_are_counted() -> None:
    found = only(drawn(*[("5.8", "6.0")] * 7, ("3.0", "6.0")))

    assert found.value == pytest.approx(25)
    assert found.place is not None
    assert found.place.number == 8
    assert "1 of 8" in found.caveats[0]


def test_eight_sound_ones_leave_more_than_a_third_open() -> None:
    assert "37 %" in only(drawn(*[("6.0", "6.0")] * 8)).caveats[0]


def test_fastenings_without_their_original_cannot_be_judged() -> None:
    assert only(drawn(("5.0", ""))).verdict == "cannot say"


def test_diameters_of_other_things_are_left_alone() -> None:
    shaft = ReadingSet(
        name="shaft",
        quantity="diameter",
        unit="mm",
        instrument="calliper",
        readings=(Reading(place=Place(part="propeller-shaft"), as_read="29.9"),),
    )

    assert results(shaft) == ()
