from typing import Any

import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import alloys
from garboard.methods.alloys import (
    METALS,
    capacity_ah_per_kg,
    current_rate_mm_per_y,
    dezincification_risk,
    eaten_g,
    equivalent_g,
    family_named,
    grade,
    mass_loss_rate_mm_per_y,
    wall_lost_pct,
)
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Observation, Place
from garboard.notebook.fold import fold

positive = st.floats(0.01, 1000)


def observed(
    seen: str, *, part: str = "seacock", level_m: float | None = -0.4, **sizes: float
) -> Observation:
    place = Place(part=part, side="port", number=3, level_m=level_m)
    return Observation(place=place, seen=seen, **sizes)  # type: ignore[arg-type]


def results(*bodies: Any, boat: Boat = QUILLET) -> tuple[Result, ...]:
    return alloys.results(
        fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])
    )


def only(seen: str, **changes: Any) -> Result:
    (found,) = results(observed(seen, **changes))
    return found


@given(current=positive, area_cm2=positive, hours=positive)
def test_the_mass_a_current_eats_gives_its_rate_back(
    current: float, area_cm2: float, hours: float
) -> None:
    steel = METALS["carbon steel"]
    lost = eaten_g(current, hours, steel.equivalent_g)

    by_mass = mass_loss_rate_mm_per_y(lost, area_cm2, hours, steel.density_g_per_cm3)
    by_current = current_rate_mm_per_y(
        current / area_cm2 * 1e4, steel.equivalent_g, steel.density_g_per_cm3
    )

    # Years of 8760 h in the one, of 8766 h in the other.
    assert by_mass == pytest.approx(by_current, rel=1e-3)


@given(first=st.floats(0.01, 0.99), valence=st.integers(1, 4))
def test_an_alloy_of_two_metals_alike_is_that_metal(first: float, valence: int) -> None:
    both = equivalent_g((first, 1 - first), (valence, valence), (60.0, 60.0))

    assert both == pytest.approx(equivalent_g((1.0,), (valence,), (60.0,)))


@pytest.mark.parametrize(
    ("name", "shares", "valences", "atomic_g"),
    [
        ("carbon steel", (1.0,), (2,), (55.845,)),
        ("aluminium", (1.0,), (3,), (26.982,)),
        ("zinc", (1.0,), (2,), (65.38,)),
        ("copper", (1.0,), (1,), (63.546,)),
        ("brass 60/40", (0.6, 0.4), (2, 2), (63.546, 65.38)),
        ("cupro-nickel 90/10", (0.9, 0.1), (2, 2), (63.546, 58.693)),
    ],
)
def test_the_listed_equivalents_follow_from_their_compositions(
    name: str, shares: tuple[float, ...], valences: tuple[int, ...], atomic_g: tuple[float, ...]
) -> None:
    assert METALS[name].equivalent_g == pytest.approx(
        equivalent_g(shares, valences, atomic_g), rel=2e-3
    )


@given(st.floats(1, 100))
def test_a_kilogram_lasts_its_capacity(equivalent: float) -> None:
    assert eaten_g(1.0, capacity_ah_per_kg(equivalent), equivalent) == pytest.approx(1000)


@given(st.floats(0, 5), st.floats(0, 5))
def test_a_faster_loss_never_has_a_better_grade(one: float, other: float) -> None:
    order = ["excellent", "good", "fair", "poor", "unacceptable"]

    assert order.index(grade(min(one, other))) <= order.index(grade(max(one, other)))


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="1, 2 and 1"):
        equivalent_g((1.0,), (1, 2), (60.0,))
    with pytest.raises(ValueError, match="at most 1"):
        equivalent_g((0.9, 0.9), (1, 2), (60.0, 60.0))
    with pytest.raises(ValueError, match="0 cm²"):
        mass_loss_rate_mm_per_y(1, 0, 1, 1)
    with pytest.raises(ValueError, match="-1 A/m²"):
        current_rate_mm_per_y(-1, 1, 1)
    with pytest.raises(ValueError, match="-1 A"):
        eaten_g(-1, 1, 1)
    with pytest.raises(ValueError, match="0 g"):
        capacity_ah_per_kg(0)
    with pytest.raises(ValueError, match=r"-0\.1"):
        grade(-0.1)
    with pytest.raises(ValueError, match="4 of 3 mm"):
        wall_lost_pct(3, 4)
    with pytest.raises(ValueError, match="-1 was given"):
        dezincification_risk("bronze", -1, "below the waterline")
    with pytest.raises(ValueError, match="in the bilge"):
        dezincification_risk("bronze", 1, "in the bilge")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="pewter"):
        dezincification_risk("pewter", 1, "below the waterline")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("words", "family"),
    [
        ("dezincification-resistant brass, marked CR", "resistant brass"),
        ("body stamped CW602N", "resistant brass"),
        ("manganese bronze", "high-zinc bronze"),
        ("plain brass tail", "plain brass"),
        ("gunmetal, LG2", "bronze"),
        ("glass-filled nylon", "plastic"),
        ("crude casting", "unknown"),
    ],
)
def test_families_are_told_by_mark_and_name(words: str, family: str) -> None:
    assert family_named(words) == family


def test_plain_brass_below_the_waterline_is_beyond_at_any_age() -> None:
    found = only("plain brass ball valve, CW617N")

    assert found.what == "plain brass at seacock, port 3: loses its zinc"
    assert found.verdict == "beyond"
    assert found.criterion is not None
    assert "have this checked" in found.criterion.say


def test_plain_brass_above_the_boot_top_is_not_judged() -> None:
    assert only("plain brass ball valve", level_m=0.3).verdict == "not comparable"


def test_pink_metal_is_beyond_whatever_its_name() -> None:
    found = only("DZR fitting, scraped: pink at the thread")

    assert (found.value, found.verdict) == (1.0, "beyond")


@pytest.mark.parametrize(
    ("seen", "verdict"),
    [("DZR valve", "beyond"), ("bronze valve", "beyond"), ("valve not marked", "beyond")],
)
def test_a_boat_of_1998_has_passed_the_life_of_each_metal(seen: str, verdict: str) -> None:
    found = only(seen)

    assert (found.value, found.unit, found.verdict) == (28.0, "years", verdict)


def test_without_a_year_of_build_no_age_is_known() -> None:
    (found,) = results(observed("DZR valve"), boat=Boat(name="Quillet"))

    assert found.verdict == "cannot say"
    assert "year of build" in found.caveats[0]


def test_a_fitting_that_was_scraped_and_not_pink_is_judged_by_its_metal() -> None:
    found = only("gunmetal, no pink under the scraper")

    assert found.unit == "years"


def test_plastic_has_no_limit_here() -> None:
    found = only("composite valve")

    assert found.verdict == "not comparable"
    assert "sunlight" in found.caveats[0]


def test_a_cut_fitting_gives_the_wall_lost() -> None:
    found = results(observed("bronze tail cut at the bend", depth_mm=0.9, width_mm=3.0))[-1]

    assert found.value == pytest.approx(30)
    assert "2.1 mm" in found.caveats[0]


def test_a_cut_without_its_wall_cannot_be_judged() -> None:
    found = results(observed("bronze tail cut at the bend", depth_mm=0.9))[-1]

    assert found.verdict == "cannot say"


def test_an_observation_without_a_metal_or_of_another_part_says_nothing() -> None:
    assert results(observed("stiff to turn"), observed("brass lamp", part="headlining")) == ()


def test_every_judged_fitting_carries_the_caution() -> None:
    assert all(
        alloys.CAUTION in each.caveats
        for each in results(observed("brass valve"), observed("pink brass"), observed("DZR"))
    )
