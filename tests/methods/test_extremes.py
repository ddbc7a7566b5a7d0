import math
import random
from typing import Any

import pytest
from cast import HARROWMERE, QUILLET, entry
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from garboard.methods import extremes
from garboard.methods.extremes import (
    area_to_renew_m2,
    deepest_law_mm,
    deepest_mm,
    deepest_uncertainty_mm,
    lowest_mm,
    readings_needed,
    smallest_confidence,
    tolerance_factor,
)
from garboard.methods.result import Result
from garboard.notebook.body import Boat, InstrumentCheck, Place, Reading, ReadingSet
from garboard.notebook.fold import fold

EVEN = ("5.6", "5.5", "5.7", "5.4", "5.6", "5.5", "5.6", "5.7", "5.5", "5.6", "5.4", "5.6")
shares = st.sampled_from([0.9, 0.95, 0.99])
depths = st.lists(st.floats(0.05, 6), min_size=5, max_size=30).filter(
    lambda each: max(each) - min(each) > 0.05
)


def gauged(*as_read: str, spread: bool = True, original: str = "6.0") -> ReadingSet:
    """Readings in two rows along the port bottom, half a metre apart."""
    return ReadingSet(
        name="bottom",
        quantity="thickness",
        unit="mm",
        instrument="gauge",
        readings=tuple(
            Reading(
                place=Place(
                    part="bottom-plate-thickness",
                    side="port",
                    station_m=2.0 + 0.5 * (number // 2),
                    level_m=-0.5 * (number % 2 if spread else 1),
                ),
                as_read=each,
                original=original,
            )
            for number, each in enumerate(as_read)
        ),
    )


def pitted(*as_read: str) -> ReadingSet:
    """The deepest pit of each metre, from the stem aft."""
    return ReadingSet(
        name="pits",
        quantity="pit depth",
        unit="mm",
        instrument="pit gauge",
        readings=tuple(
            Reading(
                place=Place(part="hull-pits", side="port", station_m=number + 0.5),
                as_read=each,
                original="6.0",
            )
            for number, each in enumerate(as_read)
        ),
    )


def results(*bodies: Any, boat: Boat = HARROWMERE) -> tuple[Result, ...]:
    return extremes.results(
        fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])
    )


@settings(deadline=None, max_examples=30)
@given(n=st.integers(3, 120), share=shares, confidence=shares)
def test_the_tolerance_factor_is_that_of_the_non_central_t(
    n: int, share: float, confidence: float
) -> None:
    theirs = stats.nct.ppf(confidence, n - 1, stats.norm.ppf(share) * math.sqrt(n)) / math.sqrt(n)

    assert tolerance_factor(n, share, confidence) == pytest.approx(theirs, rel=1e-6)


@settings(deadline=None)
@given(st.lists(st.floats(3, 8), min_size=3, max_size=20), st.floats(-1, 1))
def test_a_limit_moves_with_the_readings_and_lies_below_their_mean(
    readings: list[float], moved: float
) -> None:
    low = lowest_mm(readings)

    assert low <= sum(readings) / len(readings) + 1e-9
    assert lowest_mm([each + moved for each in readings]) == pytest.approx(low + moved, abs=1e-6)


def test_the_limit_holds_as_often_as_it_claims() -> None:
    chance = random.Random(5)
    truth = 6.0 + 0.2 * stats.norm.ppf(0.05)

    held = sum(lowest_mm([chance.gauss(6.0, 0.2) for _ in range(12)]) <= truth for _ in range(2000))

    assert held / 2000 == pytest.approx(0.95, abs=0.015)


@given(share=st.floats(0.5, 0.995), confidence=st.floats(0.5, 0.995))
def test_one_reading_fewer_than_needed_is_too_few(share: float, confidence: float) -> None:
    needed = readings_needed(share, confidence)

    assert smallest_confidence(needed, share) >= confidence - 1e-9
    if needed > 1:
        assert smallest_confidence(needed - 1, share) < confidence + 1e-9


@settings(deadline=None)
@given(depths)
def test_the_law_of_the_deepest_is_the_likeliest(found: list[float]) -> None:
    place, spread = deepest_law_mm(found)
    theirs = stats.gumbel_r.fit(found)

    def likelihood(at: float, wide: float) -> float:
        return float(stats.gumbel_r.logpdf(found, at, wide).sum())

    assert likelihood(place, spread) >= likelihood(*theirs) - 1e-6
    assert likelihood(place, spread) >= likelihood(place + 0.01, spread)
    assert likelihood(place, spread) >= likelihood(place, spread * 1.01)


@given(depths, st.floats(0.1, 5))
def test_depths_in_another_unit_give_the_same_law(found: list[float], scale: float) -> None:
    place, spread = deepest_law_mm(found)
    scaled = deepest_law_mm([each * scale for each in found])

    assert scaled == pytest.approx((place * scale, spread * scale), rel=1e-6, abs=1e-9)


@given(
    place=st.floats(0, 3),
    spread=st.floats(0.01, 1),
    patches=st.floats(1, 500),
    chance=st.floats(0.5, 0.99),
)
def test_the_deepest_of_many_is_the_law_to_the_power_of_their_number(
    place: float, spread: float, patches: float, chance: float
) -> None:
    depth = deepest_mm(place, spread, patches, chance)

    assert stats.gumbel_r.cdf(depth, place, spread) ** patches == pytest.approx(chance, rel=1e-6)


def test_the_uncertainty_of_the_deepest_is_that_of_repeated_surveys() -> None:
    chance = random.Random(3)

    def survey() -> float:
        found = [0.6 - 0.1 * math.log(-math.log(chance.random())) for _ in range(40)]
        return deepest_mm(*deepest_law_mm(found), 100)

    again = [survey() for _ in range(1000)]
    mean = sum(again) / len(again)
    spread = math.sqrt(sum((each - mean) ** 2 for each in again) / len(again))

    assert deepest_uncertainty_mm(0.1, 40, 100) == pytest.approx(spread, rel=0.08)


@given(st.lists(st.floats(3, 6), min_size=1, max_size=40), st.floats(3, 6), st.floats(0, 50))
def test_an_area_to_renew_lies_in_its_interval_and_in_the_plate(
    readings: list[float], limit: float, area: float
) -> None:
    found, low, high = area_to_renew_m2(readings, limit, area)

    assert 0 <= low <= found + 1e-9
    assert found <= high + 1e-9
    assert high <= area + 1e-9


def test_arguments_out_of_range_are_refused() -> None:
    with pytest.raises(ValueError, match=r"2, 0\.95 and 0\.95"):
        tolerance_factor(2)
    with pytest.raises(ValueError, match=r"0 and 0\.95"):
        smallest_confidence(0)
    with pytest.raises(ValueError, match="1 and 0"):
        readings_needed(1, 0.95)
    with pytest.raises(ValueError, match="differ"):
        deepest_law_mm((0.5, 0.5))
    with pytest.raises(ValueError, match="0 mm"):
        deepest_mm(1, 0, 10)
    with pytest.raises(ValueError, match="0 mm"):
        deepest_uncertainty_mm(0, 10, 10)
    with pytest.raises(ValueError, match="0 and 1"):
        area_to_renew_m2((), 5, 1)


def test_sound_plate_is_within_and_says_how_thick() -> None:
    (found,) = results(gauged(*EVEN))

    assert found.verdict == "within"
    assert "thicker than" in found.caveats[0]
    assert "46 %" in found.caveats[1]


def test_scattered_plate_may_be_thin_where_nobody_read() -> None:
    scattered = ("5.9", "4.7", "5.8", "4.8", "5.4", "5.0", "5.7", "4.9", "5.2", "5.6", "5.1", "5.5")

    (found,) = results(gauged(*scattered))

    assert found.verdict == "beyond"
    assert found.criterion is not None
    assert "nobody read" in found.criterion.say


def test_nine_readings_are_too_few() -> None:
    (found,) = results(gauged(*EVEN[:9]))

    assert found.verdict == "cannot say"
    assert "bottom plating, port 9" in found.caveats[0]


def test_plate_skewed_to_the_thin_side_has_no_limit_by_mean_and_spread() -> None:
    found = results(gauged(*["5.8", "5.7"] * 7, "4.1"))[0]

    assert found.verdict == "cannot say"
    assert "skewed" in found.caveats[0]
    assert "smallest of 15" in found.caveats[1]
    assert "59 readings" in found.caveats[1]


def test_sixty_skewed_readings_let_the_smallest_speak() -> None:
    found = results(gauged(*["5.8", "5.7"] * 29, "5.0", "4.9"))[0]

    assert found.value == pytest.approx(100 * 1.1 / 6)
    assert found.verdict == "within"
    assert found.method == "extremes.smallest_confidence"


def test_a_limit_that_is_one_reading_is_as_doubtful_as_one_and_says_that_it_is_one() -> None:
    checks = [
        InstrumentCheck(instrument="gauge", on=f"step block, {each:g} mm", when="before", expected=each, read=each)
        for each in (4.0, 6.0, 8.0)
    ]  # fmt: skip
    (smallest,) = results(gauged(*["5.8", "5.7"] * 29, "5.0", "4.9"), *checks)
    (of_the_mean,) = results(gauged(*EVEN), *checks)

    assert smallest.what == "greatest loss to be expected over 95 % of bottom plating, port"
    assert "that is the smallest reading itself, and the rest may be thinner" in smallest.caveats[0]
    assert smallest.uncertainty is not None
    assert of_the_mean.uncertainty is not None
    assert smallest.uncertainty > of_the_mean.uncertainty


def test_sides_read_at_few_places_are_named_in_one_result() -> None:
    found = results(gauged("5.6", "5.5"), gauged("5.6", original="5.7"))

    assert [each.verdict for each in found] == ["cannot say"]
    assert "port 1 and 2" in found[0].caveats[0]


def test_plate_without_an_original_is_left_to_the_panels() -> None:
    assert results(gauged(*EVEN, original="")) == ()


def test_readings_thicker_than_new_are_left_out() -> None:
    (found,) = results(gauged(*EVEN, "9.9"))

    assert "smallest of 12" in found.caveats[1]


def test_thin_readings_give_an_area_to_renew_within_the_outline() -> None:
    # Fourteen places in two rows: an outline of 3 m by 0.5 m, a seventh of it below 4.5 mm.
    _, found = results(gauged(*EVEN, "4.2", "4.3"))

    assert found.value == pytest.approx(1.5 * 2 / 14)
    assert found.verdict == "not comparable"
    assert "2 of 14" in found.caveats[0]


def test_places_in_one_line_enclose_no_area() -> None:
    _, found = results(gauged(*EVEN, "4.2", spread=False))

    assert found.verdict == "cannot say"
    assert "enclose" in found.caveats[0]


def test_ten_metres_of_pits_give_the_deepest_of_the_hull() -> None:
    found = results(pitted("1.1", "1.3", "1.4", "1.5", "1.6", "1.7", "1.9", "2.0", "2.2", "2.6"))[0]

    assert found.value is not None
    assert 2.6 < found.value < 6.0
    assert "28 metres" in found.caveats[0]


def test_three_metres_of_pits_are_too_few() -> None:
    (found,) = results(pitted("1.1", "1.3", "1.4"))

    assert found.verdict == "cannot say"
    assert "3 m" in found.caveats[0]


def test_pits_all_alike_follow_no_law() -> None:
    (found,) = results(pitted(*["1.0"] * 10))

    assert found.verdict == "cannot say"


def test_nothing_is_said_of_a_hull_that_is_no_metal() -> None:
    assert results(gauged(*EVEN), boat=QUILLET) == ()
