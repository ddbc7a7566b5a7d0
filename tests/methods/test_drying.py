import math
from datetime import timedelta
from itertools import pairwise
from typing import Any

import pytest
from cast import DAY, HARROWMERE, QUILLET, entry, entry_id
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import erf

from garboard.methods import drying
from garboard.methods.drying import (
    diffusivity_m2_per_s,
    dried_share,
    drying_days,
    drying_of,
    drying_range_days,
    dryings,
    fourier_for,
    in_words,
    wetness,
)
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Conditions, Place, Reading, ReadingSet
from garboard.notebook.fold import Survey, fold

DRY = ("12", "13", "12", "14", "13", "12", "15", "13", "12", "13", "14", "12")
thicknesses = st.floats(2, 30)
diffusivities = st.floats(1e-14, 1e-11)
temperatures = st.floats(5, 60)


def moist(*bottom: str) -> ReadingSet:
    readings = [
        *(
            Reading(place=Place(part="topside-laminate"), as_read=each, reference=True)
            for each in DRY
        ),
        *(
            Reading(
                place=Place(
                    part="bottom-moisture", side="port", station_m=3 + 0.3 * n, level_m=-0.5
                ),
                as_read=each,
            )
            for n, each in enumerate(bottom)
        ),
    ]
    return ReadingSet(
        name="bottom",
        quantity="moisture",
        unit="scale",
        instrument="meter",
        readings=tuple(readings),
    )


def thick(*as_read: str, part: str = "bottom-laminate") -> ReadingSet:
    return ReadingSet(
        name="laminate",
        quantity="thickness",
        unit="mm",
        instrument="gauge",
        readings=tuple(Reading(place=Place(part=part), as_read=each) for each in as_read),
    )


def ashore(air_c: float | None = 12.0) -> Conditions:
    return Conditions(
        lying="ashore",
        began=DAY,
        lifted=DAY - timedelta(days=30),
        air_c=air_c,
        humidity_pct=50,
        surface_c=12.0,
    )


WET = moist("28", "30", "27", "31", "29", "26")


def survey_of(*bodies: Any, boat: Boat = QUILLET) -> Survey:
    return fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])


def only(*bodies: Any, boat: Boat = QUILLET) -> Result:
    (found,) = drying.results(survey_of(*bodies, boat=boat))
    return found


@given(st.floats(0, 3), st.floats(0, 3))
def test_more_time_never_leaves_it_wetter(one: float, other: float) -> None:
    early, late = sorted((one, other))

    assert 0 <= dried_share(early) <= dried_share(late) + 1e-12 <= 1 + 1e-9


@given(st.floats(0, 0.999))
def test_a_share_is_found_again_from_its_time(share: float) -> None:
    assert dried_share(fourier_for(share)) == pytest.approx(share, abs=1e-8)


def test_the_form_for_short_times_meets_the_series() -> None:
    assert dried_share(0.005 - 1e-12) == pytest.approx(dried_share(0.005), abs=1e-8)


@given(thickness=thicknesses, diffusivity=diffusivities)
def test_a_closed_face_makes_it_four_times_as_long(thickness: float, diffusivity: float) -> None:
    both = drying_days(thickness, 0.5, diffusivity, 2)

    assert drying_days(thickness, 0.5, diffusivity, 1) == pytest.approx(4 * both)
    assert drying_days(2 * thickness, 0.5, diffusivity, 2) == pytest.approx(4 * both)


@given(thickness=thicknesses, warm=temperatures, cold=temperatures)
def test_warmth_never_makes_it_longer_and_the_range_is_in_order(
    thickness: float, warm: float, cold: float
) -> None:
    cold, warm = sorted((cold, warm))
    at_cold, at_warm = (drying_range_days(thickness, 0.5, each) for each in (cold, warm))

    assert list(at_cold) == sorted(at_cold)
    assert all(a >= b * (1 - 1e-9) for a, b in zip(at_cold, at_warm, strict=True))
    assert at_cold[2] / at_cold[0] >= 20 * (1 - 1e-9)


@given(st.floats(1, 60), temperatures)
def test_at_twenty_degrees_nothing_is_corrected(energy: float, other_c: float) -> None:
    assert diffusivity_m2_per_s(2e-13, energy, 20) == pytest.approx(2e-13)
    assert (diffusivity_m2_per_s(1, energy, other_c) > 1) == (other_c > 20)


@given(
    thickness=thicknesses,
    days=st.floats(1, 5000),
    diffusivity=st.floats(5e-14, 1e-12),
    one=st.floats(0, 1),
    other=st.floats(0, 1),
)
def test_it_is_wetter_the_deeper_one_looks(
    thickness: float, days: float, diffusivity: float, one: float, other: float
) -> None:
    near, far = sorted((one * thickness, other * thickness))

    shallow, deep = (wetness(each, thickness, days, diffusivity) for each in (near, far))

    assert -1e-9 <= shallow <= deep + 1e-6 <= 1 + 2e-6


@pytest.mark.parametrize("days", [30, 90, 365, 2000])
def test_the_mean_of_the_profile_is_what_has_not_dried(days: float) -> None:
    steps = 400
    mean = sum(wetness(10 * (k + 0.5) / steps, 10, days, 2e-13) for k in range(steps)) / steps

    assert 1 - mean == pytest.approx(dried_share(2e-13 * days * 86_400 / 0.02**2), abs=1e-3)


@given(st.floats(0.1, 2), st.floats(1, 60))
def test_at_first_the_front_does_not_know_how_thick_the_hull_is(depth: float, days: float) -> None:
    reach = 2 * math.sqrt(1e-13 * days * 86_400) * 1000

    assert wetness(depth, 30, days, 1e-13) == pytest.approx(float(erf(depth / reach)), abs=1e-9)


def test_arguments_out_of_range_are_refused() -> None:
    with pytest.raises(ValueError, match="-1 was given"):
        dried_share(-1)
    with pytest.raises(ValueError, match="1 was given"):
        fourier_for(1)
    with pytest.raises(ValueError, match="not at 80"):
        diffusivity_m2_per_s(1e-13, 30, 80)
    with pytest.raises(ValueError, match="0 m²/s"):
        diffusivity_m2_per_s(0, 30, 20)
    with pytest.raises(ValueError, match="3 were given"):
        drying_days(8, 0.5, 1e-13, 3)
    with pytest.raises(ValueError, match="9 of 8 mm"):
        wetness(9, 8, 1, 1e-13)
    with pytest.raises(ValueError, match="0 days"):
        wetness(1, 8, 0, 1e-13)


def test_a_curve_rises_and_holds_half_and_nine_tenths() -> None:
    found = drying_of("bottom", 8, 20)

    shares = [each for _, each in found.curve]
    assert all(a[i] <= b[i] for a, b in pairwise(shares) for i in range(3))
    assert found.curve[0][0] < found.half_days[0]
    assert found.curve[-1][0] > found.most_days[2]


def test_times_are_told_in_the_unit_that_suits_them() -> None:
    assert [in_words(each) for each in (3, 100, 700, 1000)] == [
        "3 days",
        "3 months",
        "23 months",
        "3 years",
    ]


def test_a_wet_bottom_of_known_thickness_dries_in_a_range() -> None:
    found = only(ashore(), thick("7.5", "8.0", "8.5"), WET)

    assert found.verdict == "not comparable"
    assert found.value == pytest.approx(drying_range_days(8, 0.5, 12)[1])
    assert "No date follows" in found.caveats[0]
    assert set(found.used) == {entry_id(2), entry_id(3), entry_id(4)}


def test_the_range_stands_in_the_name_of_the_result() -> None:
    found = only(ashore(), thick("8.0"), WET)
    short, _, long = drying_range_days(8, 0.5, 12)

    assert f"{in_words(short)} to {in_words(long)}" in found.what


def test_the_drawing_and_the_result_rest_on_the_same() -> None:
    survey = survey_of(ashore(), thick("8.0"), WET)

    (found,) = dryings(survey)

    assert found.thickness_mm == 8.0
    assert found.half_days[1] == drying.results(survey)[0].value


@pytest.mark.parametrize(
    ("bodies", "boat", "why"),
    [
        ((ashore(), WET), QUILLET, "thickness of the laminate"),
        ((ashore(air_c=None), thick("8.0"), WET), QUILLET, "temperature"),
        ((ashore(air_c=1.0), thick("8.0"), WET), QUILLET, "At 1 °C"),
        ((ashore(), thick("8.0"), WET), Boat(name="Quillet", material="sandwich"), "core"),
    ],
)
def test_what_is_missing_is_said(bodies: tuple[Any, ...], boat: Boat, why: str) -> None:
    found = only(*bodies, boat=boat)

    assert found.verdict == "cannot say"
    assert why in found.caveats[0]


def test_a_dry_hull_and_a_metal_one_have_no_drying_time() -> None:
    assert drying.results(survey_of(ashore(), moist("12", "13", "13"))) == ()
    assert drying.results(survey_of(ashore(), WET, boat=HARROWMERE)) == ()


def test_thickness_of_a_deck_is_not_that_of_the_hull() -> None:
    found = only(ashore(), thick("8.0", part="deck-laminate"), WET)

    assert found.verdict == "cannot say"
