from typing import Any

import pytest
from cast import HARROWMERE, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import gauge
from garboard.methods.gauge import (
    common_uncertainty_mm,
    gauge_uncertainty_mm,
    metal_under_coating_mm,
    reading_error_mm,
    temperature_corrected_mm,
    velocity_corrected_mm,
)
from garboard.notebook.body import Instrument, InstrumentCheck, Place, Reading, ReadingSet
from garboard.notebook.fold import Survey, fold

velocities = st.floats(1000, 8000)
readings = st.floats(0.1, 60)


def survey_of(*checks: InstrumentCheck) -> Survey:
    gauged = ReadingSet(
        name="bottom",
        quantity="thickness",
        unit="mm",
        instrument="gauge",
        readings=(Reading(place=Place(part="bottom-plate-thickness"), as_read="5.6"),),
    )
    bodies: list[Any] = [HARROWMERE, gauged, *checks]
    return fold([entry(number, body) for number, body in enumerate(bodies, 1)])


def check(expected: float | None, read: float | None, **changes: Any) -> InstrumentCheck:
    given: dict[str, Any] = {"instrument": "gauge", "on": "step block, 4 mm", "when": "before"}
    return InstrumentCheck(expected=expected, read=read, **{**given, **changes})


@given(read_mm=readings, one=velocities, other=velocities)
def test_correcting_there_and_back_changes_nothing(
    read_mm: float, one: float, other: float
) -> None:
    there = velocity_corrected_mm(read_mm, one, other)

    assert velocity_corrected_mm(there, other, one) == pytest.approx(read_mm)


@given(read_mm=st.floats(5, 60), coating_mm=st.floats(0, 1))
def test_paint_only_ever_takes_from_the_reading(read_mm: float, coating_mm: float) -> None:
    assert metal_under_coating_mm(read_mm, coating_mm) <= read_mm


@given(errors=st.lists(st.floats(-5, 5), max_size=8), stated_mm=st.floats(0, 1))
def test_checks_never_make_a_gauge_better_than_stated(
    errors: list[float], stated_mm: float
) -> None:
    assert gauge_uncertainty_mm(errors, stated_mm) >= stated_mm


@given(errors=st.lists(st.floats(-5, 5), max_size=8), resolution_mm=st.floats(0, 1))
def test_the_common_part_never_exceeds_the_whole(errors: list[float], resolution_mm: float) -> None:
    whole = gauge_uncertainty_mm(errors)

    assert 0 <= common_uncertainty_mm(errors, whole, resolution_mm) <= whole


def test_a_gauge_tried_on_its_block_shares_less_doubt_between_readings() -> None:
    untried = gauge.doubt_in(survey_of(), "gauge")
    tried = gauge.doubt_in(survey_of(check(4.0, 4.02), check(8.0, 7.98)), "gauge")

    assert untried.common_mm == untried.reading_mm == 0.1
    assert tried.reading_mm == 0.1
    assert tried.common_mm == pytest.approx(0.0351, abs=1e-4)


def test_plate_as_warm_as_the_block_needs_no_correction() -> None:
    assert temperature_corrected_mm(6.0, 15, 15) == 6.0


def test_what_no_gauge_can_meet_is_refused() -> None:
    with pytest.raises(ValueError, match="0 mm was given"):
        reading_error_mm(0, 1)
    with pytest.raises(ValueError, match="not negative"):
        gauge_uncertainty_mm((), -0.1)
    with pytest.raises(ValueError, match="are not negative"):
        common_uncertainty_mm((), 0.1, -0.1)
    with pytest.raises(ValueError, match="not at 200"):
        temperature_corrected_mm(6, 200, 20)
    with pytest.raises(ValueError, match="0 m/s"):
        velocity_corrected_mm(6, 0, 5920)
    with pytest.raises(ValueError, match="explains the whole reading"):
        metal_under_coating_mm(1.0, 0.6)
    with pytest.raises(ValueError, match="-1 mm"):
        metal_under_coating_mm(1.0, -1)


def test_a_gauge_without_a_check_is_unproved() -> None:
    (result,) = gauge.results(survey_of())

    assert result.verdict == "cannot say"
    assert "unproved" in result.caveats[0]


@pytest.mark.parametrize(("read", "verdict"), [(4.05, "within"), (4.3, "beyond"), (3.7, "beyond")])
def test_a_check_on_a_step_is_held_against_a_tenth(read: float, verdict: str) -> None:
    (result,) = gauge.results(survey_of(check(4.0, read)))

    assert result.verdict == verdict


def test_a_check_without_figures_says_so() -> None:
    (result,) = gauge.results(survey_of(check(None, None)))

    assert result.verdict == "cannot say"
    assert "with no figures" in result.caveats[0]


def test_a_check_noted_as_failed_is_told_though_its_figures_are_good() -> None:
    (result,) = gauge.results(survey_of(check(4.0, 4.0, passed=False)))

    assert "noted as failed" in result.caveats[0]


def test_bad_checks_widen_the_uncertainty_of_the_gauge() -> None:
    assert gauge.doubt_in(survey_of(check(4.0, 4.4)), "gauge").reading_mm == pytest.approx(0.4)


def test_the_last_stated_uncertainty_holds() -> None:
    first = Instrument(
        name="gauge", described="gauge", quantity="thickness", unit="mm", uncertainty=0.05
    )
    bodies: list[Any] = [HARROWMERE, first]
    survey = fold([entry(number, body) for number, body in enumerate(bodies, 1)])

    assert gauge.doubt_in(survey, "gauge").reading_mm == 0.05
    assert gauge.doubt_in(survey, "another").reading_mm == 0.1


def test_a_gauge_that_was_not_read_is_not_judged() -> None:
    assert len(gauge.results(survey_of(check(4.0, 4.4, instrument="another")))) == 1
