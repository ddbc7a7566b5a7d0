import psychrolib
import pytest
from cast import DAY, entry, entry_id
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods.climate import (
    dew_margin_c,
    dew_margin_uncertainty_c,
    dew_point_c,
    results,
    surface_humidity_pct,
)
from garboard.methods.result import Result
from garboard.notebook.body import Conditions, Place, Reading, ReadingSet
from garboard.notebook.fold import fold

METER = ReadingSet(
    name="bottom",
    quantity="moisture",
    unit="scale units",
    instrument="meter 1",
    readings=(Reading(place=Place(part="bottom-moisture"), as_read="14"),),
)


def seen(**changes: float | None) -> Conditions:
    known = {"air_c": 12.0, "humidity_pct": 80.0, "surface_c": 10.0, **changes}
    return Conditions(lying="ashore", began=DAY, **known)  # type: ignore[arg-type]


def margin_of(conditions: Conditions) -> Result:
    (found,) = (
        each
        for each in results(fold([entry(1, conditions), entry(2, METER)]))
        if each.method == "climate.dew_margin_c"
    )
    return found


@given(st.floats(5, 45), st.floats(20, 95))
def test_the_dew_point_agrees_with_the_full_formula(air_c: float, humidity_pct: float) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)

    theirs = psychrolib.GetTDewPointFromRelHum(air_c, humidity_pct / 100)

    if theirs >= 0:
        assert dew_point_c(air_c, humidity_pct) == pytest.approx(theirs, abs=0.05)


@given(st.floats(-10, 45), st.floats(5, 99))
def test_damper_air_has_a_higher_dew_point_and_never_above_its_own_temperature(
    air_c: float, humidity_pct: float
) -> None:
    assert dew_point_c(air_c, humidity_pct) < dew_point_c(air_c, humidity_pct + 1) <= air_c + 1e-9


# Nearer to the dew point than a thousandth of a degree the two formulas differ by their rounding alone.
@given(st.floats(0, 40), st.floats(20, 90), st.floats(-5, -1e-3) | st.floats(1e-3, 5))
def test_the_humidity_at_the_skin_is_full_exactly_where_the_margin_is_gone(
    air_c: float, humidity_pct: float, warmer_c: float
) -> None:
    surface_c = dew_point_c(air_c, humidity_pct) + warmer_c

    is_full = surface_humidity_pct(surface_c, air_c, humidity_pct) >= 100

    assert is_full == (dew_margin_c(surface_c, air_c, humidity_pct) <= 0)


def test_the_uncertainty_follows_from_small_changes_of_each_reading() -> None:
    step = 1e-4
    per_air = (dew_point_c(20 + step, 70) - dew_point_c(20 - step, 70)) / (2 * step)
    per_humidity = (dew_point_c(20, 70 + step) - dew_point_c(20, 70 - step)) / (2 * step)

    by_hand = (1.0**2 + (0.5 * per_air) ** 2 + (3.0 * per_humidity) ** 2) ** 0.5

    assert dew_margin_uncertainty_c(20, 70) == pytest.approx(by_hand, rel=1e-6)


@pytest.mark.parametrize(("air_c", "humidity_pct"), [(20, 0), (20, 101), (75, 50), (-60, 50)])
def test_air_that_cannot_be_is_refused(air_c: float, humidity_pct: float) -> None:
    with pytest.raises(ValueError, match="lies"):
        dew_point_c(air_c, humidity_pct)


def test_a_skin_far_above_the_dew_point_is_within() -> None:
    assert margin_of(seen(humidity_pct=40.0)).verdict == "within"


def test_a_skin_near_the_dew_point_is_held_to_the_painting_trades_three_degrees() -> None:
    found = margin_of(seen())

    assert found.criterion is not None
    assert (found.criterion.id, found.criterion.standing) == ("skin-near-dew", "common practice")


def test_a_skin_well_below_the_dew_point_is_wet() -> None:
    found = margin_of(seen(surface_c=3.0))

    assert found.verdict == "beyond"
    assert found.criterion is not None
    assert found.criterion.id == "skin-wet"


def test_damp_air_at_the_skin_warns_of_salt() -> None:
    assert any("salt" in each for each in margin_of(seen()).caveats)


def test_a_dew_point_below_freezing_says_that_it_is_over_water() -> None:
    found = results(fold([entry(1, seen(air_c=0.0, humidity_pct=70.0))]))

    assert all("frost" in each.caveats[0] for each in found)


def test_a_missing_temperature_of_the_skin_is_said_where_moisture_was_read() -> None:
    found = margin_of(seen(surface_c=None))

    assert (found.verdict, found.value) == ("cannot say", None)
    assert "skin" in found.caveats[0]


def test_nothing_is_missed_where_no_moisture_was_read() -> None:
    assert results(fold([entry(1, seen(air_c=None))])) == ()


def test_moisture_read_without_any_conditions_cannot_be_placed() -> None:
    (found,) = results(fold([entry(1, METER)]))

    assert (found.verdict, found.used) == ("cannot say", (entry_id(1),))
