from typing import Any

import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import oil
from garboard.methods.oil import PROPERTIES, bands, change_pct, per_100_h, trend_per_100_h
from garboard.methods.result import Result
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.fold import fold

amounts = st.floats(0, 1000)


def sample(
    words: str, as_read: str, original: str = "", part: str = "engine-oil-report"
) -> ReadingSet:
    return ReadingSet(
        name="used oil",
        quantity="concentration",
        unit="ppm",
        instrument="laboratory",
        readings=(
            Reading(place=Place(part=part, words=words), as_read=as_read, original=original),
        ),
    )


def viscosity(words: str, as_read: str, original: str = "") -> ReadingSet:
    place = Place(part="engine-oil-report", words=words)
    return ReadingSet(
        name="used oil",
        quantity="viscosity",
        unit="mm²/s",
        instrument="laboratory",
        readings=(Reading(place=place, as_read=as_read, original=original),),
    )


def results(*bodies: Any) -> tuple[Result, ...]:
    return oil.results(
        fold([entry(number, body) for number, body in enumerate((QUILLET, *bodies), 1)])
    )


@given(amounts, amounts, st.floats(1, 1000))
def test_wear_over_the_hours_gives_back_what_the_oil_took_up(
    found_ppm: float, new_ppm: float, hours: float
) -> None:
    rate = per_100_h(found_ppm, new_ppm, hours)

    assert new_ppm + rate * hours / 100 == pytest.approx(found_ppm, abs=1e-6)


@given(
    st.floats(-50, 50),
    st.floats(0, 100),
    st.lists(st.integers(0, 5000), min_size=3, max_size=9, unique=True),
)
def test_samples_on_a_line_have_its_slope(slope: float, start: float, hours: list[int]) -> None:
    rates = [start + slope * each / 100 for each in hours]

    assert trend_per_100_h(hours, rates) == pytest.approx(slope, abs=1e-6)


@given(st.floats(0.1, 100), st.floats(0.1, 100))
def test_a_change_comes_back_from_its_share(now: float, new: float) -> None:
    assert new * (1 + change_pct(now, new) / 100) == pytest.approx(now)


@pytest.mark.parametrize("of", [*PROPERTIES, "viscosity"])
def test_the_band_to_act_begins_no_lower_than_that_to_watch(of: str) -> None:
    watch, act = bands(of)

    assert watch.limit <= act.limit
    assert "have this checked" in watch.say


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="hours is above zero; 0"):
        per_100_h(1, 0, 0)
    with pytest.raises(ValueError, match="2 hours and 2 rates"):
        trend_per_100_h((1, 2), (1, 2))
    with pytest.raises(ValueError, match="at different hours"):
        trend_per_100_h((5, 5, 5), (1, 2, 3))
    with pytest.raises(ValueError, match="new is above zero"):
        change_pct(1, 0)
    with pytest.raises(ValueError, match='not for "tin"'):
        bands("tin")


@pytest.mark.parametrize(
    ("as_read", "said"),
    [("40", "Below the customary bands"), ("90", "at the next sample"), ("400", "an engineer")],
)
def test_an_oil_is_placed_in_its_band_and_never_judged(as_read: str, said: str) -> None:
    (result,) = results(sample("iron, 120 h", as_read))

    assert result.verdict == "not comparable"
    assert result.criterion is None
    assert result.value == pytest.approx(float(as_read) / 1.2)
    assert any(said in each for each in result.caveats)


def test_new_oil_is_taken_off() -> None:
    (result,) = results(sample("silicon, 100 hours", "14", "8"))

    assert result.value == pytest.approx(6)
    assert any("Below" in each for each in result.caveats)


def test_any_glycol_at_all_is_for_an_engineer() -> None:
    (result,) = results(sample("glycol, 100 h", "1"))

    assert any("glycol in the oil" in each and "engineer" in each for each in result.caveats)


@pytest.mark.parametrize(
    ("words", "why"),
    [("iron", "How many hours"), ("iron, 0 h", "How many hours"), ("tin, 100 h", "none of")],
)
def test_oil_without_hours_or_a_known_property_cannot_be_compared(words: str, why: str) -> None:
    (result,) = results(sample(words, "400"))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert why in result.caveats[0]


def test_without_hours_the_band_is_told_all_the_same() -> None:
    (result,) = results(sample("water", "3000"))

    assert any("more water than the 2000 ppm" in each for each in result.caveats)


def test_concentrations_elsewhere_are_no_oil() -> None:
    assert results(sample("iron, 100 h", "40", part="smells-on-boarding")) == ()


@pytest.mark.parametrize(
    ("as_read", "change", "said"),
    [
        ("13.5", -10, "Below the customary bands"),
        ("12.3", -18, "at the next sample"),
        ("19.5", 30, "an engineer"),
    ],
)
def test_viscosity_is_placed_by_its_change_either_way_and_never_judged(
    as_read: str, change: float, said: str
) -> None:
    (result,) = results(viscosity("at 100 °C, 120 h", as_read, "15.0"))

    assert (result.verdict, result.criterion) == ("not comparable", None)
    assert result.value == pytest.approx(change)
    assert any(said in each for each in result.caveats)


@pytest.mark.parametrize(
    ("words", "said"), [("at 40 °C", "none is held at 40 °C"), ("drawn hot", "is not noted")]
)
def test_the_bands_of_viscosity_hold_at_one_temperature(words: str, said: str) -> None:
    (result,) = results(viscosity(words, "60", "100"))

    assert result.value == pytest.approx(-40)
    assert any(said in each for each in result.caveats)


def test_viscosity_without_that_of_the_new_oil_cannot_be_compared() -> None:
    (result,) = results(viscosity("at 100 °C", "12.3"))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert "12.3 mm²/s" in result.caveats[0]
