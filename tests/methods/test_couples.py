from itertools import combinations
from typing import Any

import pytest
from cast import HARROWMERE, QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import couples
from garboard.methods.couples import (
    SERIES,
    area_ratio,
    attack_mm_per_y,
    eaten,
    gap_uncertainty_v,
    gap_v,
    metals_named,
)
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Observation, Place, Reading, ReadingSet
from garboard.notebook.fold import Survey, fold

metals = st.sampled_from(sorted(SERIES))


def observed(seen: str, part: str = "propeller") -> Observation:
    return Observation(place=Place(part=part), seen=seen)


def bare(*areas: tuple[str, str, str]) -> ReadingSet:
    return ReadingSet(
        name="bare metal",
        quantity="area",
        unit="cm²",
        instrument="rule",
        readings=tuple(
            Reading(place=Place(part="propeller"), as_read=cm2, note=metal, to=to)
            for metal, cm2, to in areas
        ),
    )


def survey_of(*bodies: Any, boat: Boat = QUILLET) -> Survey:
    return fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])


def results(*bodies: Any, boat: Boat = QUILLET) -> tuple[Result, ...]:
    return couples.results(survey_of(*bodies, boat=boat))


@given(one=metals, other=metals)
def test_a_gap_is_the_same_both_ways_round(one: str, other: str) -> None:
    turned = {"the first": "the second", "the second": "the first", "either": "either"}

    assert gap_v(one, other) == gap_v(other, one) >= 0
    assert gap_uncertainty_v(one, other) == pytest.approx(gap_uncertainty_v(other, one))
    assert eaten(other, one) == turned[eaten(one, other)]


@given(one=metals, other=metals)
def test_what_is_eaten_lies_lower_by_a_gap(one: str, other: str) -> None:
    if eaten(one, other) == "the first":
        assert sum(SERIES[one]) < sum(SERIES[other])
    if one == other:
        assert eaten(one, other) == "either"


def test_every_range_of_the_series_runs_upward_from_magnesium_to_graphite() -> None:
    known = {name: each for name, each in SERIES.items() if "not known" not in name}

    assert all(low <= high for low, high in SERIES.values())
    assert min(known, key=lambda each: known[each]) == "magnesium"
    assert max(known, key=lambda each: known[each]) == "graphite or carbon fibre"


def test_a_kind_not_known_spans_its_kind() -> None:
    bronzes = [each for name, each in SERIES.items() if "bronze" in name]

    assert SERIES["bronze, kind not known"] == (
        min(low for low, _ in bronzes),
        max(high for _, high in bronzes),
    )


@given(
    noble=st.floats(0.001, 10),
    small=st.floats(0.001, 10),
    current=st.floats(0, 1),
)
def test_twice_the_noble_area_is_twice_the_attack(
    noble: float, small: float, current: float
) -> None:
    once, twice = (
        attack_mm_per_y(current, each, small, 27.92, 7.87) for each in (noble, 2 * noble)
    )

    assert twice == pytest.approx(2 * once)
    assert area_ratio(noble, small) == pytest.approx(1 / area_ratio(small, noble))


def test_arguments_out_of_range_are_refused() -> None:
    with pytest.raises(ValueError, match='no "tin"'):
        gap_v("tin", "zinc")
    with pytest.raises(ValueError, match="0 were given"):
        area_ratio(1, 0)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (
            "nickel-aluminium bronze propeller, zinc anode",
            ("nickel-aluminium bronze",),
        ),
        (
            "316 shaft in a bronze bearing",
            ("stainless, active or passive", "bronze, kind not known"),
        ),
        ("brass nut on a silicon bronze bolt", ("brass", "silicon bronze")),
        ("copper-coloured when scraped", ()),
        ("no copper sheathing, bronze strainer", ("bronze, kind not known",)),
        ("stainless steel clip", ("stainless, active or passive",)),
        ("mild steel plate, copper sheathing", ("steel or cast iron", "copper")),
    ],
)
def test_metals_are_told_by_name(words: str, found: tuple[str, ...]) -> None:
    assert metals_named(words) == found


def test_bronze_on_aluminium_is_beyond_and_names_the_eaten_one() -> None:
    boat = Boat(name="Harrowmere", material="aluminium")

    (found,) = results(observed("bronze fitting through the shell", "skin-fitting"), boat=boat)

    assert found.verdict == "beyond"
    assert found.caveats[0] == "The aluminium is the one that is eaten."


def test_a_metal_at_an_aluminium_leg_is_a_couple_with_it() -> None:
    (found,) = results(observed("stainless propeller nut", "saildrive-leg"))

    assert "aluminium" in found.what


def test_neighbours_of_the_series_are_within() -> None:
    (found,) = results(observed("silicon bronze bolts in 90-10 cupro-nickel"))

    assert found.verdict == "within"
    assert "either may be eaten" in found.caveats[0]


def test_a_single_metal_on_a_plastic_hull_is_no_couple() -> None:
    assert results(observed("bronze valve", "seacock")) == ()


def test_metals_in_the_cabin_are_left_alone() -> None:
    assert results(observed("brass lamp on a steel bracket", "headlining"), boat=HARROWMERE) == ()


def test_a_small_steel_bolt_on_much_bronze_is_said_to_go_fast() -> None:
    gap, ratio = results(bare(("tin bronze", "5000", ""), ("mild steel", "100", "")))

    assert gap.verdict == "beyond"
    assert ratio.value == pytest.approx(50)
    assert "unacceptable" in ratio.caveats[1]


def test_areas_of_one_metal_add_up() -> None:
    ratio = results(
        bare(("tin bronze", "300", ""), ("tin bronze", "200", ""), ("zinc", "100", ""))
    )[-1]

    assert ratio.value == pytest.approx(5)


def test_metals_not_bonded_together_are_no_couple() -> None:
    assert results(bare(("tin bronze", "500", "bonding"), ("mild steel", "100", ""))) == ()


def test_an_area_without_its_metal_cannot_be_judged() -> None:
    (found,) = results(bare(("", "500", "")))

    assert found.verdict == "cannot say"
    assert "note" in found.caveats[0]


def test_every_pair_of_three_metals_is_listed() -> None:
    found = couples.couples(
        survey_of(bare(("zinc", "1", ""), ("copper", "2", ""), ("titanium", "3", "")))
    )

    assert {(each.one, each.other) for each in found} == set(
        combinations(("zinc", "copper", "titanium"), 2)
    )


def test_every_result_carries_the_caution_about_the_couple() -> None:
    (found,) = results(observed("manganese bronze on a stainless shaft"))

    assert couples.CAUTION in found.caveats
    assert any("stern tube" in each for each in found.caveats)
