from datetime import UTC, datetime
from typing import Any

import pytest
from cast import DAY, QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import anodes
from garboard.methods.anodes import (
    CAPACITY_AH_PER_KG,
    against_expected,
    current_uncertainty_a,
    days_left,
    eaten_pct,
    expected_loss_kg,
    mean_current_a,
    propeller_area_m2,
    suits,
)
from garboard.methods.result import Result
from garboard.notebook.body import Conditions, Instrument, Place, Reading, ReadingSet
from garboard.notebook.fold import Survey, fold

masses = st.floats(0.05, 20)
shares = st.floats(0, 1)
hours = st.floats(1, 50_000)


def anode(as_read: str, number: int = 1, original: str = "", side: Any = None) -> Reading:
    return Reading(
        place=Place(part="anode", number=number, side=side), as_read=as_read, original=original
    )


def weighed(*readings: Reading, **changes: Any) -> ReadingSet:
    given: dict[str, Any] = {
        "name": "anodes",
        "quantity": "mass",
        "unit": "kg",
        "instrument": "scale",
    }
    return ReadingSet(readings=readings, **{**given, **changes})


def by_eye(*readings: Reading) -> ReadingSet:
    return weighed(*readings, quantity="anode loss", unit="%", instrument="eye")


def survey_of(*bodies: Any) -> Survey:
    return fold([entry(number, body) for number, body in enumerate((QUILLET, *bodies), 1)])


def results(*bodies: Any) -> tuple[Result, ...]:
    return anodes.results(survey_of(*bodies))


@given(new_kg=masses, share=shares)
def test_the_share_eaten_is_what_was_taken_off(new_kg: float, share: float) -> None:
    assert eaten_pct(new_kg, new_kg * (1 - share)) == pytest.approx(100 * share, abs=1e-9)


@given(
    area_m2=st.floats(0.01, 5),
    density=st.floats(0.01, 0.5),
    hours=hours,
    alloy=st.sampled_from(sorted(CAPACITY_AH_PER_KG)),
)
def test_the_loss_expected_gives_back_the_current_that_ate_it(
    area_m2: float, density: float, hours: float, alloy: Any
) -> None:
    capacity = CAPACITY_AH_PER_KG[alloy]

    lost_kg = expected_loss_kg((area_m2,), (density,), hours, capacity)

    assert mean_current_a(lost_kg, capacity, hours) == pytest.approx(area_m2 * density)


@given(expected=masses, factor=st.floats(0.0, 10))
def test_a_factor_of_two_either_way_is_in_line(expected: float, factor: float) -> None:
    found = against_expected(expected * factor, expected)

    assert (found == "less than expected") == (expected * factor < expected / 2)
    assert (found == "more than expected") == (expected * factor > expected * 2)


@given(new_kg=masses, now_share=shares, one=shares, other=shares)
def test_an_anode_changed_later_lasts_no_shorter(
    new_kg: float, now_share: float, one: float, other: float
) -> None:
    less_left, more_left = sorted((one, other))

    late = days_left(new_kg, new_kg * now_share, less_left, 0.05, 780)

    assert late >= days_left(new_kg, new_kg * now_share, more_left, 0.05, 780)


def test_a_visual_share_makes_the_current_known_to_a_third() -> None:
    assert current_uncertainty_a(1.0, 0.40, 0.10) == pytest.approx(0.355, abs=0.001)


@pytest.mark.parametrize(("new_kg", "now_kg"), [(0.0, 0.0), (1.0, 1.1), (1.0, -0.1)])
def test_masses_that_cannot_be_are_refused(new_kg: float, now_kg: float) -> None:
    with pytest.raises(ValueError, match="kg"):
        eaten_pct(new_kg, now_kg)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="-1 kg"):
        mean_current_a(-1, 780, 1)
    with pytest.raises(ValueError, match="0 kg was given"):
        current_uncertainty_a(1, 0, 0.1)
    with pytest.raises(ValueError, match="2 were given"):
        days_left(1, 1, 2, 0.1, 780)
    with pytest.raises(ValueError, match="0 A and"):
        days_left(1, 1, 0.5, 0, 780)
    with pytest.raises(ValueError, match="1 areas and 2"):
        expected_loss_kg((1,), (1, 1), 1, 780)
    with pytest.raises(ValueError, match="0 or more"):
        expected_loss_kg((-1,), (1,), 1, 780)
    with pytest.raises(ValueError, match=r"0 m, 0\.5"):
        propeller_area_m2(0, 0.5)
    with pytest.raises(ValueError, match="above zero"):
        against_expected(1, 0)


def test_an_anode_two_fifths_gone_is_working() -> None:
    (result,) = results(weighed(anode("0.60", original="1.00")))

    assert result.value == pytest.approx(40)
    assert result.verdict == "within"


def test_an_anode_more_than_half_gone_is_to_be_changed() -> None:
    (result,) = results(weighed(anode("0.30", original="1.00")))

    assert result.verdict == "beyond"
    assert result.criterion is not None
    assert result.criterion.id == "anodes-half"


@pytest.mark.parametrize("eaten", ["0", "5", "19"])
def test_an_untouched_anode_is_a_question_and_never_good(eaten: str) -> None:
    (result,) = results(by_eye(anode(eaten)))

    assert result.verdict == "beyond"
    assert result.criterion is not None
    assert "no proof that all is well" in result.criterion.say
    assert "continuity" in result.caveats[0]


@given(st.integers(0, 100))
def test_no_anode_is_called_within_unless_it_has_been_eaten(eaten: int) -> None:
    (result,) = results(by_eye(anode(str(eaten))))

    assert result.verdict != "within" or eaten >= 20


def test_an_untouched_anode_beside_an_eaten_one_is_told_of_it() -> None:
    untouched, eaten = results(by_eye(anode("5", side="port"), anode("70", side="starboard")))

    assert any("(anode 1, starboard)" in each for each in untouched.caveats)
    assert not any("Another anode" in each for each in eaten.caveats)


def test_an_anode_all_but_gone_asks_for_stray_current() -> None:
    (result,) = results(by_eye(anode("95")))

    assert any("stray current" in each for each in result.caveats)


def test_a_loss_by_eye_near_a_half_is_at_the_limit() -> None:
    (result,) = results(by_eye(anode("55")))

    assert result.verdict == "at the limit"


def test_the_scale_tells_the_uncertainty_of_a_weighed_anode() -> None:
    scale = Instrument(
        name="scale", described="hanging scale", quantity="mass", unit="kg", uncertainty=0.005
    )

    (result,) = results(scale, weighed(anode("0.60", original="1.00")))

    assert result.uncertainty == pytest.approx(100 * 2**0.5 * 0.005)


@pytest.mark.parametrize(
    ("reading", "why"),
    [
        (anode("0.60"), "mass of the new anode is not known"),
        (anode("1.20", original="1.00"), "weighs more now, 1.2 kg, than new, 1 kg"),
    ],
)
def test_a_mass_that_tells_nothing_says_why(reading: Reading, why: str) -> None:
    (result,) = results(weighed(reading))

    assert (result.verdict, result.value) == ("cannot say", None)
    assert why in result.caveats[0]


def test_other_things_that_were_weighed_are_no_anodes() -> None:
    extinguisher = Reading(place=Place(part="fire-extinguishers"), as_read="2.0", original="2.1")

    assert results(weighed(extinguisher, name="extinguishers")) == ()


def test_anodes_of_an_earlier_survey_are_not_judged_again() -> None:
    earlier = entry(3, by_eye(anode("80")), at=datetime(2024, 5, 1, tzinfo=UTC))
    survey = fold([entry(1, QUILLET), entry(2, by_eye(anode("40"))), earlier])

    assert [result.value for result in anodes.results(survey)] == [40]


def test_an_anode_of_the_wrong_metal_for_the_water_is_told() -> None:
    salt = Conditions(lying="ashore", began=DAY, salinity=34)
    magnesium = Reading(
        place=Place(part="anode", number=1), as_read="40", note="Magnesium, by the stamp"
    )

    (result,) = results(salt, by_eye(magnesium))

    assert any("magnesium, which does not suit water" in each for each in result.caveats)


def test_the_metal_of_an_anode_is_known_from_its_place_in_words_too() -> None:
    fresh = Conditions(lying="ashore", began=DAY, salinity=0.2)
    zinc = Reading(place=Place(part="anode", number=1, words="shaft collar, zinc"), as_read="40")

    (result,) = results(fresh, by_eye(zinc))

    assert any("zinc, which does not suit water" in each for each in result.caveats)


@pytest.mark.parametrize("note", ["", "zinc"])
def test_an_anode_that_suits_the_water_or_is_not_named_is_not_doubted(note: str) -> None:
    salt = Conditions(lying="ashore", began=DAY, salinity=34)
    zinc = Reading(place=Place(part="anode", number=1), as_read="40", note=note)

    (result,) = results(salt, by_eye(zinc))

    assert not any("salinity" in each for each in result.caveats)


def test_a_metal_that_makes_no_anodes_is_refused() -> None:
    copper: Any = "copper"

    with pytest.raises(ValueError, match='not "copper"'):
        suits(copper, 35)
    with pytest.raises(ValueError, match="-1 was given"):
        suits("zinc", -1)
