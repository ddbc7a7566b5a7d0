from datetime import UTC, datetime
from typing import Any

import pytest
from cast import HARROWMERE, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import thinning
from garboard.methods.panels import Panel, panels
from garboard.methods.plating import (
    allowance_used_ratio,
    diminution_pct,
    diminution_uncertainty_pct,
    least_mm,
    mean_uncertainty_mm,
    renewal_mm,
)
from garboard.methods.result import Result
from garboard.notebook.body import Instrument, Place, Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey, fold

BEFORE = datetime(2020, 6, 9, 9, 0, tzinfo=UTC)
PART = "bottom-plate-thickness"

thicknesses = st.floats(0, 40, allow_nan=False)
originals = st.floats(0.5, 40, allow_nan=False)


def spot(
    as_read: str,
    station_m: float | None = 3.2,
    level_m: float | None = -0.4,
    original: str = "6.0",
    **changes: Any,
) -> Reading:
    place = Place(part=PART, side="port", station_m=station_m, level_m=level_m)
    return Reading(place=place, as_read=as_read, original=original, **changes)


def gauged(*readings: Reading, **changes: Any) -> ReadingSet:
    given: dict[str, Any] = {
        "name": "bottom plate",
        "quantity": "thickness",
        "unit": "mm",
        "instrument": "gauge",
        "mode": "echo to echo",
    }
    return ReadingSet(readings=readings, **{**given, **changes})


def survey_of(*bodies: Any, boat: Any = HARROWMERE) -> Survey:
    entries = [
        body if isinstance(body, Entry) else entry(number, body)
        for number, body in enumerate((boat, *bodies), 1)
    ]
    return fold(entries)


def earlier(*readings: Reading, at: datetime = BEFORE, **changes: Any) -> Entry[ReadingSet]:
    return entry(900 + at.year, gauged(*readings, **changes), at=at)


def only_panel(*bodies: Any) -> Panel:
    (panel,) = panels(survey_of(*bodies))
    return panel


def found(about: str, *bodies: Any, boat: Any = HARROWMERE) -> tuple[Result, ...]:
    results = thinning.results(survey_of(*bodies, boat=boat))
    return tuple(result for result in results if about in result.what)


# The arithmetic


@given(original_mm=originals)
def test_a_plate_as_built_has_lost_nothing(original_mm: float) -> None:
    assert diminution_pct(original_mm, original_mm) == 0


@given(original_mm=originals, one_mm=thicknesses, other_mm=thicknesses)
def test_a_thinner_reading_never_means_a_smaller_loss(
    original_mm: float, one_mm: float, other_mm: float
) -> None:
    thin_mm, thick_mm = sorted((one_mm, other_mm))

    assert diminution_pct(original_mm, thin_mm) >= diminution_pct(original_mm, thick_mm)


@given(original_mm=originals, allowance_pct=st.floats(1, 99))
def test_at_the_renewal_thickness_the_loss_is_the_allowance(
    original_mm: float, allowance_pct: float
) -> None:
    renewed_mm = renewal_mm(original_mm, allowance_pct)

    assert diminution_pct(original_mm, renewed_mm) == pytest.approx(allowance_pct)
    assert allowance_used_ratio(original_mm, renewed_mm, renewed_mm) == pytest.approx(1)


@given(readings=st.lists(thicknesses, min_size=1, max_size=20), gauge_u_mm=st.floats(0.001, 1))
def test_a_mean_is_never_surer_than_the_common_part_of_its_gauge(
    readings: list[float], gauge_u_mm: float
) -> None:
    assert mean_uncertainty_mm(readings, 0.1, gauge_u_mm) >= gauge_u_mm * (1 - 1e-12)


@given(reading_mm=thicknesses, reading_u_mm=st.floats(0.05, 1), share=st.floats(0, 1))
def test_one_reading_is_worth_what_its_gauge_is(
    reading_mm: float, reading_u_mm: float, share: float
) -> None:
    assert mean_uncertainty_mm((reading_mm,), reading_u_mm, share * reading_u_mm) == pytest.approx(
        reading_u_mm
    )


@given(original_mm=originals, measured_mm=thicknesses, doubt_mm=st.floats(0, 1))
def test_a_doubtful_original_never_makes_a_loss_surer(
    original_mm: float, measured_mm: float, doubt_mm: float
) -> None:
    stated = diminution_uncertainty_pct(original_mm, 0.0, measured_mm, 0.1)

    assert diminution_uncertainty_pct(original_mm, doubt_mm, measured_mm, 0.1) >= stated


def test_a_plate_without_thickness_is_refused_with_the_value() -> None:
    with pytest.raises(ValueError, match="above zero; 0 mm"):
        diminution_pct(0.0, 5.0)
    with pytest.raises(ValueError, match="0 mm or more; -5 mm"):
        diminution_pct(6.0, -5.0)


def test_an_allowance_beyond_the_plate_is_refused() -> None:
    with pytest.raises(ValueError, match="120 %"):
        renewal_mm(6.0, 120)
    with pytest.raises(ValueError, match="7 of 6 mm does not"):
        allowance_used_ratio(6.0, 5.0, 7.0)


def test_no_readings_have_no_mean_and_no_least() -> None:
    with pytest.raises(ValueError, match="none was given"):
        mean_uncertainty_mm((), 0.1, 0.1)
    with pytest.raises(ValueError, match="none was given"):
        least_mm(())


# Panels


def test_a_panel_is_one_metre_of_one_side() -> None:
    survey = survey_of(gauged(spot("5.6", 3.0), spot("5.5", 3.9), spot("5.4", 4.0)))

    assert [(each.metre, len(each.spots)) for each in panels(survey)] == [(3, 2), (4, 1)]


def test_two_gauges_never_share_a_panel() -> None:
    survey = survey_of(gauged(spot("5.6")), gauged(spot("5.5"), instrument="second gauge"))

    assert [len(each.spots) for each in panels(survey)] == [1, 1]


def test_two_modes_never_share_a_panel() -> None:
    survey = survey_of(gauged(spot("5.6")), gauged(spot("5.5"), mode="single echo"))

    assert len(panels(survey)) == 2


def test_plates_of_two_thicknesses_never_share_a_panel() -> None:
    survey = survey_of(gauged(spot("5.6"), spot("4.8", original="5.0")))

    assert [each.original_mm for each in panels(survey)] == [5.0, 6.0]


def test_the_panel_keeps_mean_and_least_apart() -> None:
    panel = only_panel(gauged(spot("5.6"), spot("5.4", 3.5), spot("4.0", 3.8)))

    assert panel.mean_mm == pytest.approx(5.0)
    assert panel.least.thickness_mm == 4.0
    assert panel.least.place.station_m == 3.8
    assert panel.limit_mm == pytest.approx(4.8)
    assert panel.least_limit_mm == pytest.approx(4.5)


def test_a_reading_thicker_than_the_original_is_left_out_of_the_mean_and_told() -> None:
    readings = gauged(spot("5.6"), spot("8.0", 3.5))

    panel = only_panel(readings)
    (mean, *_) = found("mean loss", readings)

    assert panel.mean_mm == pytest.approx(5.6)
    assert any("8 mm, thicker than the original of 6 mm" in each for each in mean.caveats)


def test_a_panel_thicker_than_built_throughout_cannot_be_judged() -> None:
    (result,) = found("mean loss", gauged(spot("8.0")))

    assert result.verdict == "cannot say"
    assert "a doubler" in result.caveats[0]


# The original


def test_without_any_original_the_loss_cannot_be_said_and_the_reading_is_told() -> None:
    (result,) = thinning.results(survey_of(gauged(spot("5.6", original=""))))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert "original thickness is not known" in result.caveats[0]
    assert "5.6 mm" in result.caveats[0]


def test_sound_plate_of_the_same_part_stands_in_for_an_unknown_original() -> None:
    readings = gauged(
        spot("6.1", 1.2, original="", reference=True),
        spot("5.9", 1.4, original="", reference=True),
        spot("5.0", 3.2, original=""),
    )

    panel = next(each for each in panels(survey_of(readings)) if each.metre == 3)
    mean = found("mean loss", readings)[-1]

    assert panel.original_mm == pytest.approx(6.0)
    assert panel.original_u_mm > 0.1
    assert any("assumed from sound plate" in each for each in mean.caveats)


def test_an_assumed_original_makes_the_loss_less_sure() -> None:
    stated = found("mean loss", gauged(spot("5.0")))[0]

    assumed = found(
        "mean loss",
        gauged(spot("6.0", 1.2, original="", reference=True), spot("5.0", original="")),
    )[-1]

    assert (assumed.uncertainty or 0) > (stated.uncertainty or 0)


# The verdicts


@pytest.mark.parametrize(
    ("as_read", "verdict"), [("5.6", "within"), ("4.5", "at the limit"), ("4.0", "beyond")]
)
def test_a_local_loss_is_within_at_or_beyond_a_quarter(as_read: str, verdict: str) -> None:
    (local,) = found("greatest local loss", gauged(spot(as_read)))

    assert local.verdict == verdict
    assert local.criterion is not None
    assert local.criterion.id == "plating-local-steel"


def test_a_hole_in_a_sound_panel_is_beyond_though_the_mean_is_not() -> None:
    readings = gauged(*(spot("5.9", 3 + each / 10) for each in range(9)), spot("4.0", 3.95))

    assert found("mean loss", readings)[0].verdict == "within"
    assert found("greatest local loss", readings)[0].verdict == "beyond"


def test_three_quarters_of_the_allowance_used_is_told_before_the_limit() -> None:
    (watched,) = found("allowance", gauged(spot("4.7"), instrument="fine"), FINE)

    assert watched.verdict == "beyond"
    assert watched.value == pytest.approx(1.3 / 1.5)


FINE = Instrument(
    name="fine", described="ultrasonic gauge", quantity="thickness", unit="mm", uncertainty=0.02
)


def test_the_stated_uncertainty_of_the_gauge_is_used() -> None:
    (local,) = found("greatest local loss", gauged(spot("5.0"), instrument="fine"), FINE)

    assert local.uncertainty == pytest.approx(100 * 0.02 / 6)


def test_a_metal_without_a_limit_is_computed_and_not_judged() -> None:
    boat = type(HARROWMERE)(name="Quillet", material="grp")

    (mean, local) = thinning.results(survey_of(gauged(spot("5.0")), boat=boat))

    assert (mean.verdict, local.verdict) == ("not comparable", "not comparable")
    assert mean.value == pytest.approx(100 / 6)


def test_aluminium_has_its_own_limits_and_they_only_ask() -> None:
    boat = type(HARROWMERE)(name="Harrowmere", material="aluminium")

    (local,) = found("greatest local loss", gauged(spot("4.0")), boat=boat)

    assert local.criterion is not None
    assert local.criterion.limit == 20.0
    assert "have this checked" in local.criterion.say


def test_the_least_of_a_six_millimetre_shell_is_held_against_four() -> None:
    (least,) = found("least thickness", gauged(spot("3.5"), spot("5.5", 6.1)))

    assert (least.value, least.verdict) == (3.5, "beyond")


def test_a_frame_is_no_shell_and_has_no_limit_on_its_mean() -> None:
    frame = Place(part="frames", side="port", station_m=11.2)
    wasted = gauged(Reading(place=frame, as_read="3.5", original="6.0"))

    (mean,), (local,) = found("mean loss", wasted), found("greatest local loss", wasted)

    assert not found("least thickness", wasted)
    assert (mean.verdict, local.verdict) == ("not comparable", "beyond")
    assert mean.value == local.value


def test_one_reading_is_spoken_of_as_one() -> None:
    alone, two = gauged(spot("5.9")), gauged(spot("5.9"), spot("5.8", level_m=-0.8))

    (one_mean,), (mean,) = found("mean loss", alone), found("mean loss", two)

    assert "One reading in this panel; it proves" in one_mean.caveats[0]
    assert "2 readings in this panel; they prove" in mean.caveats[0]


def test_a_five_millimetre_side_is_not_held_against_four() -> None:
    assert not found("least thickness", gauged(spot("3.5", original="5.0")))


def test_a_reading_through_paint_cannot_clear_a_plate() -> None:
    painted = gauged(spot("5.9"), mode="single echo", through_coating=True)

    results = thinning.results(survey_of(painted))

    assert {result.verdict for result in results} == {"cannot say"}


def test_a_reading_through_paint_can_condemn_a_plate() -> None:
    painted = gauged(spot("3.0"), mode="single echo", through_coating=True)

    (local,) = found("greatest local loss", painted)

    assert local.verdict == "beyond"
    assert any("less metal is left" in each for each in local.caveats)


def test_an_echo_to_echo_reading_through_paint_is_judged_as_metal() -> None:
    (local,) = found("greatest local loss", gauged(spot("5.9"), through_coating=True))

    assert local.verdict == "within"


def test_every_result_names_the_entries_it_rests_on() -> None:
    results = thinning.results(survey_of(earlier(spot("5.9")), gauged(spot("5.5"))))

    assert all(result.used for result in results)


# Two surveys


def test_the_earlier_survey_is_matched_by_place_and_not_averaged_in() -> None:
    panel = only_panel(
        earlier(spot("5.8", 3.3, -0.45), spot("4.0", 3.8)), gauged(spot("5.2", 3.2, -0.4))
    )

    assert panel.mean_mm == pytest.approx(5.2)
    assert panel.earlier_mm == pytest.approx(5.8)
    assert panel.wastage is not None
    assert panel.wastage.places == 1
    assert panel.wastage.rate_mm_per_y == pytest.approx(0.6 / 5.923, rel=0.01)


@pytest.mark.parametrize(
    ("station_m", "level_m"), [(3.36, -0.4), (3.2, -0.51), (3.2, None), (None, -0.4)]
)
def test_a_place_too_far_off_is_another_place(
    station_m: float | None, level_m: float | None
) -> None:
    panel = only_panel(earlier(spot("5.8", station_m, level_m)), gauged(spot("5.2")))

    assert panel.wastage is None


def test_one_earlier_reading_serves_one_present_reading_even_across_panels() -> None:
    survey = survey_of(earlier(spot("5.8", 3.0)), gauged(spot("5.5", 2.95), spot("5.2", 3.1)))

    assert [each.wastage is not None for each in panels(survey)] == [True, False]


def test_the_other_side_is_another_place() -> None:
    other = Reading(
        place=Place(part=PART, side="starboard", station_m=3.2, level_m=-0.4), as_read="5.8"
    )

    assert only_panel(earlier(other), gauged(spot("5.2"))).wastage is None


def test_readings_a_week_apart_are_one_survey() -> None:
    week_before = datetime(2026, 5, 5, 9, 0, tzinfo=UTC)

    panel = only_panel(earlier(spot("5.8"), at=week_before), gauged(spot("5.2")))

    assert len(panel.spots) == 2
    assert panel.wastage is None


def test_a_panel_not_read_before_says_so_where_there_was_a_survey() -> None:
    (rate,) = found("rate", earlier(spot("5.8", 9.0)), gauged(spot("5.2")))

    assert rate.verdict == "cannot say"
    assert "No place of this panel" in rate.caveats[0]
    assert not found("rate", gauged(spot("5.2")))


def test_half_a_year_is_too_short_for_a_rate() -> None:
    (rate,) = found(
        "rate", earlier(spot("5.8"), at=datetime(2025, 11, 12, tzinfo=UTC)), gauged(spot("5.2"))
    )

    assert rate.verdict == "cannot say"
    assert "0.5 years apart" in rate.caveats[0]


def test_paint_counted_at_one_survey_only_makes_no_rate() -> None:
    painted = earlier(spot("6.4"), mode="single echo", through_coating=True)

    (rate,) = found("rate", painted, gauged(spot("5.2")))

    assert rate.verdict == "cannot say"
    assert "Paint was counted" in rate.caveats[0]


def test_of_two_earlier_surveys_the_greater_rate_counts() -> None:
    panel = only_panel(
        earlier(spot("6.0"), at=datetime(2012, 5, 12, tzinfo=UTC)),
        earlier(spot("5.9"), at=datetime(2021, 5, 12, tzinfo=UTC)),
        gauged(spot("5.2")),
    )

    assert panel.wastage is not None
    assert panel.wastage.years == pytest.approx(5.0, abs=0.01)


def test_a_loss_clear_of_doubt_leaves_a_life_with_its_lower_bound() -> None:
    (life,) = found("shortest likely life", earlier(spot("5.8")), gauged(spot("5.2")))

    assert life.value is not None
    assert 0 < life.value < (5.2 - 4.8) / (0.6 / 5.923)
    assert life.verdict == "beyond"
    assert any("Best estimate 3.9 years" in each for each in life.caveats)


def test_the_life_that_ends_first_is_told_be_it_the_mean_or_one_place() -> None:
    before = earlier(*(spot("5.9", 3 + tenth / 10) for tenth in range(0, 10, 2)))
    now = [spot("5.8", 3 + tenth / 10) for tenth in range(0, 8, 2)]

    (even,) = found("shortest likely life", before, gauged(*now, spot("5.8", 3.8)))
    (uneven,) = found("shortest likely life", before, gauged(*now, spot("4.7", 3.8)))

    assert "the mean of the places" in even.caveats[1]
    assert "the thinnest place read twice reaches 4.50 mm" in uneven.caveats[1]


def test_the_rate_of_another_metal_is_not_held_against_that_of_steel() -> None:
    boat = type(HARROWMERE)(name="Harrowmere", material="aluminium")

    (rate,) = found("rate", earlier(spot("5.8")), gauged(spot("4.8")), boat=boat)

    assert (rate.verdict, rate.criterion) == ("not comparable", None)


def test_a_loss_within_doubt_shows_no_rate_and_no_best_estimate() -> None:
    both = (earlier(spot("5.8")), gauged(spot("5.7")))

    (rate,) = found("rate", *both)
    (life,) = found("shortest likely life", *both)

    assert any("No rate can be shown" in each for each in rate.caveats)
    assert any("No best estimate" in each for each in life.caveats)


def test_a_plate_that_reads_thicker_than_before_is_told() -> None:
    (rate,) = found("rate", earlier(spot("5.0")), gauged(spot("5.8")))

    assert any("thicker than before" in each for each in rate.caveats)
    (life,) = found("shortest likely life", earlier(spot("5.0")), gauged(spot("5.8")))
    assert life.verdict == "cannot say"


def test_a_rate_is_known_though_the_original_is_not_but_no_life() -> None:
    both = (earlier(spot("5.8", original="")), gauged(spot("5.2", original="")))

    assert found("rate", *both)[0].value is not None
    assert found("shortest likely life", *both)[0].verdict == "cannot say"


@given(
    st.permutations([spot(f"5.{tenth}", 3 + tenth / 10, -0.1 * tenth) for tenth in range(0, 10, 2)])
)
def test_the_order_of_readings_changes_nothing(readings: list[Reading]) -> None:
    now = tuple(readings)
    before = tuple(
        Reading(place=each.place, as_read="5.9", original="6.0") for each in reversed(now)
    )

    panel = only_panel(earlier(*before), gauged(*now))

    assert panel.mean_mm == pytest.approx(5.4)
    assert panel.wastage is not None
    assert panel.wastage.places == 5


def test_no_thickness_readings_make_no_results() -> None:
    assert thinning.results(survey_of()) == ()
