import math
import statistics
from typing import Any

import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from garboard.methods import hardness
from garboard.methods.hardness import (
    cure_pct,
    glass_by_volume,
    glass_share,
    half_width,
    piece_hardness,
    solid_g_per_cm3,
    void_pct,
)
from garboard.methods.result import Result
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.fold import fold

TEN = ("38", "42", "40", "44", "36", "41", "39", "43", "40", "37")
scales = st.floats(0, 100)
shares = st.floats(0, 1)


def read(*as_read: str, original: str = "", number: int = 1) -> tuple[Reading, ...]:
    place = Place(part="earlier-repair", number=number)
    return tuple(Reading(place=place, as_read=each, original=original) for each in as_read)


def results(*readings: Reading) -> tuple[Result, ...]:
    body = ReadingSet(
        name="patch", quantity="hardness", unit="scale", instrument="indenter", readings=readings
    )
    return hardness.results(fold([entry(1, QUILLET), entry(2, body)]))


def only(*readings: Reading) -> Result:
    (found,) = results(*readings)
    return found


@given(st.lists(scales, min_size=3, max_size=30))
def test_one_odd_reading_at_either_end_moves_nothing(readings: list[float]) -> None:
    mean = piece_hardness(readings)
    ordered = sorted(readings)

    assert piece_hardness([-1e6, *ordered[1:-1], 1e6]) == pytest.approx(mean)
    assert ordered[0] - 1e-9 <= mean <= ordered[-1] + 1e-9


@given(st.lists(scales, min_size=2, max_size=30))
def test_the_half_width_is_that_of_students_interval(readings: list[float]) -> None:
    spread = statistics.stdev(readings)

    if spread > 1e-6:
        mean = statistics.fmean(readings)
        low, high = stats.t.interval(
            0.95, len(readings) - 1, mean, spread / math.sqrt(len(readings))
        )
        assert half_width(readings) == pytest.approx((high - low) / 2, rel=1e-6)


@given(shares)
def test_mass_and_volume_of_glass_agree_with_the_density(share: float) -> None:
    by_volume = glass_by_volume(share)

    mixed = by_volume * hardness.GLASS_G_PER_CM3 + (1 - by_volume) * hardness.RESIN_G_PER_CM3
    assert solid_g_per_cm3(share) == pytest.approx(mixed)
    assert by_volume <= share + 1e-12


@given(crucible=st.floats(1, 100), glass=st.floats(0, 10), resin=st.floats(0.1, 10))
def test_what_is_left_in_the_crucible_is_glass(crucible: float, glass: float, resin: float) -> None:
    found = glass_share(crucible, crucible + glass + resin, crucible + glass)

    assert found == pytest.approx(glass / (glass + resin), abs=1e-9)


@given(solid=st.floats(1, 3), share=st.floats(0, 0.5))
def test_air_takes_its_share_from_the_density(solid: float, share: float) -> None:
    assert void_pct(solid, solid * (1 - share)) == pytest.approx(100 * share, abs=1e-9)


def test_arguments_out_of_range_are_refused() -> None:
    with pytest.raises(ValueError, match="2 were given"):
        piece_hardness((40, 41))
    with pytest.raises(ValueError, match="1 was given"):
        half_width((40,))
    with pytest.raises(ValueError, match="40 and 0"):
        cure_pct(40, 0)
    with pytest.raises(ValueError, match="25, 31 and 30"):
        glass_share(25, 30, 31)
    with pytest.raises(ValueError, match=r"1\.2"):
        glass_by_volume(1.2)
    with pytest.raises(ValueError, match=r"-0\.1"):
        solid_g_per_cm3(-0.1)
    with pytest.raises(ValueError, match="0 and 1"):
        void_pct(0, 1)


def test_a_piece_as_hard_as_its_maker_says_is_within() -> None:
    found = only(*read(*TEN, original="40"))

    assert found.value == pytest.approx(100)
    assert found.verdict == "within"
    assert "8 of 10 readings" in found.caveats[0]


def test_a_soft_piece_is_beyond_and_asks_for_a_check() -> None:
    found = only(*read(*(str(int(each) - 15) for each in TEN), original="40"))

    assert found.verdict == "beyond"
    assert found.criterion is not None
    assert "have this checked" in found.criterion.say


def test_a_piece_near_nine_tenths_is_at_the_limit() -> None:
    assert only(*read(*(str(int(each) - 4) for each in TEN), original="40")).verdict == (
        "at the limit"
    )


def test_without_the_makers_value_the_hardness_itself_is_held_to_the_usual() -> None:
    found = only(*read(*TEN))

    assert (found.value, found.verdict) == (40.0, "within")
    assert "maker's value" in found.caveats[0]


def test_few_readings_are_said_to_be_few() -> None:
    assert any("Fewer than the 10" in each for each in only(*read(*TEN[:5])).caveats)


def test_two_readings_are_too_few() -> None:
    assert only(*read(*TEN[:2])).verdict == "cannot say"


def test_two_makers_values_for_one_piece_cannot_be() -> None:
    found = only(*read("40", original="45"), *read("41", "42", original="50"))

    assert found.verdict == "cannot say"
    assert "45, 50" in found.caveats[0]


def test_pieces_are_kept_apart() -> None:
    found = results(*read(*TEN), *read(*TEN, number=2))

    assert [each.place.number for each in found if each.place] == [1, 2]


def test_no_reading_no_result() -> None:
    other: Any = ReadingSet(
        name="plate", quantity="thickness", unit="mm", instrument="gauge", readings=read("6.0")
    )

    assert hardness.results(fold([entry(1, other)])) == ()
