"""What holds of the schedule of any boat whatever."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any, get_args, get_type_hints

from hypothesis import given
from hypothesis import strategies as st

from garboard.catalogue.parts import catalogue
from garboard.catalogue.schedule import Called, NotFitted, left_out, schedule
from garboard.notebook.body import Boat, Engine

HINTS = get_type_hints(Boat)
STATED = (
    "material",
    "keel",
    "rudder",
    "drive",
    "rig",
    "mast",
    "standing",
    "fuel",
    "exhaust",
    "speed",
)
PARTS = sorted(catalogue().parts)
PURPOSES = sorted(catalogue().vocabulary.purposes)
CORE = ("insure", "lend")
FULL = ("buy",)

visits = st.lists(st.sampled_from(["ashore", "afloat", "trial"]), min_size=1, max_size=3)
asked = st.lists(st.sampled_from(PARTS), max_size=3)


@st.composite
def boats(draw: Callable[[st.SearchStrategy[Any]], Any]) -> Boat:
    """Any boat, however little of her is stated and however odd the mixture."""
    stated = {
        fact: draw(st.none() | st.sampled_from(get_args(get_args(HINTS[fact])[0])))
        for fact in STATED
    }
    return Boat(
        name="Invented",
        **stated,
        hulls=draw(st.sampled_from([None, 1, 2, 3])),
        deck=tuple(draw(st.lists(st.sampled_from(["grp", "metal", "teak-over"]), unique=True))),
        engines=draw(st.sampled_from([(), *((Engine(described="one"),) * n for n in range(1, 6))])),
        fitted=tuple(
            draw(st.lists(st.sampled_from([*catalogue().vocabulary.fittings, "unheard-of"])))
        ),
        numbers=draw(
            st.dictionaries(
                st.sampled_from([*PARTS, "unheard-of"]), st.integers(0, 1200), max_size=3
            )
        ),
    )


def parts_of(called: tuple[Called, ...]) -> set[str]:
    return {each.part.id for each in called}


@given(boats(), st.sampled_from(PURPOSES), visits, asked)
def test_no_place_is_called_twice_and_every_number_can_be_written(
    boat: Boat, purpose: str, visits: list[str], asked: list[str]
) -> None:
    places = [each.place for each in schedule(boat, purpose, visits, asked)]

    assert len(set(places)) == len(places)
    assert all(place.number is None or 1 <= place.number <= 999 for place in places)


@given(boats(), st.sampled_from(PURPOSES), visits, asked)
def test_every_part_is_either_called_for_or_left_out_with_a_reason(
    boat: Boat, purpose: str, visits: list[str], asked: list[str]
) -> None:
    called = parts_of(schedule(boat, purpose, visits, asked))
    nothing = left_out(boat, purpose, visits, asked)

    assert called.isdisjoint({each.part.id for each in nothing})
    assert called | {each.part.id for each in nothing} == set(PARTS)
    assert all(each.because for each in nothing)


@given(boats(), st.sampled_from(CORE), st.sampled_from(FULL), visits)
def test_a_full_survey_calls_for_all_that_a_core_one_does(
    boat: Boat, core: str, full: str, visits: list[str]
) -> None:
    assert parts_of(schedule(boat, core, visits)) <= parts_of(schedule(boat, full, visits))


@given(boats(), st.sampled_from(PURPOSES), visits)
def test_one_more_visit_takes_no_part_away(boat: Boat, purpose: str, visits: list[str]) -> None:
    more = (*visits, "ashore", "afloat", "trial")

    assert parts_of(schedule(boat, purpose, visits)) <= parts_of(schedule(boat, purpose, more))


@given(boats(), st.sampled_from(PURPOSES), visits, asked)
def test_what_the_instruction_names_is_always_called_for(
    boat: Boat, purpose: str, visits: list[str], asked: list[str]
) -> None:
    assert set(asked) <= parts_of(schedule(boat, purpose, visits, asked))


@given(boats(), st.sampled_from(STATED), st.sampled_from(PURPOSES), visits)
def test_saying_less_of_a_boat_never_hides_a_part(
    boat: Boat, fact: str, purpose: str, visits: list[str]
) -> None:
    less: Any = {fact: None}
    vaguer = replace(boat, **less)

    assert parts_of(schedule(boat, purpose, visits)) <= parts_of(schedule(vaguer, purpose, visits))


@given(boats(), visits)
def test_whether_a_part_is_fitted_does_not_turn_on_the_purpose(
    boat: Boat, visits: list[str]
) -> None:
    absent = [
        {each.part.id for each in left_out(boat, purpose, visits) if isinstance(each, NotFitted)}
        for purpose in PURPOSES
    ]

    assert all(each == absent[0] for each in absent)
