from typing import Any, get_args

from cast import HARROWMERE, QUILLET
from gear_readings import read, survey_of
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.methods import blades, guardrails, keel, rig, slip, steering, stern_gear
from garboard.methods.declaration import METHODS
from garboard.methods.measured import belonging, measured
from garboard.notebook.body import Boat, Instrument, Place, Quantity, Side

FAMILIES = (stern_gear, blades, slip, steering, keel, rig, guardrails)
PARTS = (
    "propeller", "propeller-shaft", "shaft-bracket", "stern-tube", "engine-mounts", "rudder-stock",
    "rudder-hangings", "rudder-blade", "rudder-stops-and-tube", "trial-speed-and-power", "keel-bolt",
    "keel-joint", "iron-keel", "wire-stay", "stanchion", "guardrail",
)  # fmt: skip
QUANTITIES: tuple[Quantity, ...] = (
    "gap", "play", "diameter", "pitch", "run-out", "angle", "revolutions", "speed", "length", "area",
)  # fmt: skip
WORDS = (
    "", "blade 1, 0.7 R", "blade 2, 0.7 R", "blade 2, 0.9 R", "hub to bearing", "run-out",
    "coupling faces", "flange", "ahead of the stock", "centre of gravity", "spacing",
    "deflection", "intermediate line",
)  # fmt: skip

one_set: st.SearchStrategy[Any] = st.builds(
    lambda quantity, part, values, original, words, side, number: read(
        quantity, part, *values, original=original, words=words, side=side, number=number
    ),
    st.sampled_from(QUANTITIES),
    st.sampled_from(PARTS),
    st.lists(st.sampled_from((0.0, 0.04, 0.8, 12.0, 480.0)), min_size=1, max_size=4),
    st.sampled_from((None, 0.0, 0.18, 500.0)),
    st.sampled_from(WORDS),
    st.sampled_from((None, *get_args(Side))),
    st.sampled_from((None, 1, 2)),
)


@settings(max_examples=300)
@given(
    st.lists(one_set, min_size=1, max_size=12),
    st.sampled_from((QUILLET, HARROWMERE, Boat(name="Quillet"))),
)
def test_no_readings_break_a_family_or_leave_it_without_a_reason(
    bodies: list[Any], boat: Boat
) -> None:
    survey = survey_of(*bodies, boat=boat)

    for family in FAMILIES:
        for result in family.results(survey):
            assert result.method in METHODS
            assert result.used
            assert all(each in survey.by_id for each in result.used)
            if result.verdict == "cannot say":
                assert result.value is None
                assert result.caveats
            else:
                assert result.value is not None
                assert (result.criterion is None) is (result.verdict == "not comparable")


def test_every_limit_that_nobody_read_asks_to_have_it_checked() -> None:
    survey = survey_of(
        read("diameter", "propeller", 500, original=600),
        read("revolutions", "propeller-shaft", 3000),
        read("play", "shaft-bracket", 1.5),
        read("diameter", "propeller-shaft", 30),
    )

    limits = [result.criterion for family in FAMILIES for result in family.results(survey)]

    remembered = [each for each in limits if each is not None and each.text == "memory"]
    assert remembered
    assert all("have this checked" in each.say for each in remembered)


def test_readings_of_other_parts_and_quantities_are_left_out() -> None:
    survey = survey_of(
        read("play", "shaft-bracket", 0.8),
        read("play", "rudder-stock", 0.6),
        read("gap", "shaft-bracket", 3.0),
    )

    (found,) = measured(survey, "play", "shaft-bracket", uncertainty=0.05)

    assert (found.value, found.original, found.uncertainty) == (0.8, None, 0.05)


def test_an_instrument_that_states_its_uncertainty_is_believed() -> None:
    gauge = Instrument(
        name="gauge", described="dial gauge", quantity="play", unit="mm", uncertainty=0.01
    )

    survey = survey_of(gauge, read("play", "shaft-bracket", 0.8, instrument="gauge"))

    (found,) = measured(survey, "play", "shaft-bracket", uncertainty=0.05)
    assert found.uncertainty == 0.01


def diameters(*placed: tuple[str | None, float]) -> tuple[object, ...]:
    return tuple(
        read("diameter", "propeller-shaft", value, side=side)  # type: ignore[arg-type]
        for side, value in placed
    )


def belonging_to(side: str | None, *placed: tuple[str | None, float]) -> float | None:
    found = measured(
        survey_of(*diameters(*placed)), "diameter", "propeller-shaft", uncertainty=0.05
    )
    match = belonging(Place(part="shaft-bracket", side=side), found)  # type: ignore[arg-type]
    return match.value if match else None


def test_a_place_takes_the_size_of_its_own_side() -> None:
    assert belonging_to("port", ("port", 40), ("starboard", 45)) == 40


def test_a_place_takes_the_size_that_was_read_for_no_side_in_particular() -> None:
    assert belonging_to("port", (None, 40), ("starboard", 45)) == 40


def test_a_size_that_is_the_same_everywhere_holds_for_every_place() -> None:
    assert belonging_to("port", ("starboard", 40)) == 40


def test_a_place_never_takes_one_of_two_sizes_at_random() -> None:
    assert belonging_to(None, ("port", 40), ("starboard", 45)) is None
