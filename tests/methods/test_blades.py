from dataclasses import replace
from typing import Any

import pytest
from cast import HARROWMERE, QUILLET
from gear_readings import read, results_of, survey_of

from garboard.methods import blades
from garboard.methods.result import Result
from garboard.notebook.body import Instrument, Place, Reading, ReadingSet

PLANING = replace(HARROWMERE, speed="planing")
LARGE = read("diameter", "propeller", 900)
BENCH = Instrument(
    name="bench", described="pitch bench", quantity="pitch", unit="mm", uncertainty=0.5
)


def pitch(
    *rows: tuple[str, float], nominal: str = "480", scale: str = "", instrument: str = "bench"
) -> ReadingSet:
    return ReadingSet(
        name="pitch",
        quantity="pitch",
        unit="mm",
        instrument=instrument,
        scale=scale,
        readings=tuple(
            Reading(
                place=Place(part="propeller", words=words), as_read=f"{value:g}", original=nominal
            )
            for words, value in rows
        ),
    )


def results(*bodies: Any, boat: Any = QUILLET) -> dict[str, Result]:
    return results_of(blades.results, *bodies, boat=boat)


def criterion_of(result: Result) -> str:
    assert result.criterion is not None
    return result.criterion.id


ALIKE = (("blade 1, 0.7 R", 480), ("blade 2, 0.7 R", 481), ("blade 3, 0.7 R", 479))


def test_a_large_propeller_read_on_a_bench_is_held_against_its_customary_class() -> None:
    found = results(BENCH, LARGE, pitch(*ALIKE))["pitch of propeller, mean of all"]

    assert (found.verdict, criterion_of(found)) == ("within", "propeller-pitch-propeller-ii")


def test_a_planing_boat_is_held_to_a_finer_class() -> None:
    found = results(BENCH, LARGE, pitch(*ALIKE), boat=PLANING)["pitch of propeller, mean of all"]

    assert criterion_of(found) == "propeller-pitch-propeller-i"


@pytest.mark.parametrize(
    ("scale", "grade"), [("class S", "s"), ("class III", "iii"), ("ISO 484-2 class I", "i")]
)
def test_a_class_named_with_the_set_is_the_one_applied(scale: str, grade: str) -> None:
    found = results(BENCH, LARGE, pitch(*ALIKE, scale=scale))["pitch of propeller, mean of all"]

    assert criterion_of(found) == f"propeller-pitch-propeller-{grade}"


def test_a_blade_that_was_twisted_is_beyond_and_named() -> None:
    found = results(BENCH, LARGE, pitch(*ALIKE[:2], ("blade 3, 0.7 R", 440)))[
        "pitch of propeller, blade 3"
    ]

    assert (found.verdict, criterion_of(found)) == ("beyond", "propeller-pitch-blade-ii")
    assert found.value == pytest.approx(100 * 40 / 480)


def test_by_hand_a_departure_near_the_tolerance_is_not_judged() -> None:
    found = results(LARGE, pitch(("blade 1", 486), ("blade 2", 488), instrument=""))

    mean = found["pitch of propeller, mean of all"]
    assert mean.verdict == "at the limit"
    assert any("too coarse for a tolerance of 1 %" in each for each in mean.caveats)


@pytest.mark.parametrize("diameter", [(), (read("diameter", "propeller", 405),)])
def test_a_small_propeller_is_never_failed_on_per_cent_alone(diameter: tuple[Any, ...]) -> None:
    found = results(BENCH, *diameter, pitch(("blade 1", 440), ("blade 2", 440)))

    mean = found["pitch of propeller, mean of all"]
    assert (mean.verdict, mean.criterion) == ("not comparable", None)
    assert any("0.80 to 2.50 m" in each for each in mean.caveats)


def test_sameness_of_the_blades_is_told_without_a_nominal_pitch() -> None:
    found = results(BENCH, LARGE, pitch(("blade 1", 396), ("blade 2", 404), nominal=""))

    assert found["spread of the blades of propeller in pitch"].value == pytest.approx(2)
    assert found["pitch of propeller against its nominal"].verdict == "cannot say"


def test_the_radius_that_departs_most_is_named() -> None:
    found = results(
        BENCH,
        LARGE,
        pitch(("blade 1, 0.5 R", 480), ("blade 1, 0.9 R", 450), ("blade 2, 0.5 R", 481)),
    )

    worst = found["pitch of propeller, blade 1 at 0.9 R, which departs most"]
    assert (worst.verdict, criterion_of(worst)) == ("beyond", "propeller-pitch-radius-ii")


def test_several_places_at_one_radius_are_judged_by_the_local_tolerance() -> None:
    found = results(
        BENCH,
        LARGE,
        pitch(("blade 1, 0.5 R", 480), ("blade 1, 0.9 R", 480), ("blade 1, 0.9 R", 455)),
    )

    worst = found["pitch of propeller, blade 1 at 0.9 R, reading 2, which departs most"]
    assert (worst.verdict, criterion_of(worst)) == ("beyond", "propeller-pitch-place-ii")


def test_two_propellers_are_never_mixed() -> None:
    found = results(
        *(
            read("pitch", "propeller", 480, original=480, side=each)
            for each in ("port", "starboard")
        )
    )

    assert set(found) == {
        "pitch of propeller, port, mean of all",
        "pitch of propeller, starboard, mean of all",
    }


@pytest.mark.parametrize(
    ("nominal_m", "criterion"),
    [(0.3, "propeller-section-least-ii"), (0.6, "propeller-section-ii")],
)
def test_a_short_section_is_held_to_millimetres_and_a_long_one_to_per_cent(
    nominal_m: float, criterion: str
) -> None:
    section = read(
        "length", "propeller", nominal_m - 0.03, original=nominal_m, words="section at 0.7 R"
    )

    found = results(LARGE, section)["length of section of propeller, section at 0.7 R"]

    assert (found.verdict, criterion_of(found)) == ("beyond", criterion)


def test_a_diameter_that_is_not_the_one_stamped_asks_for_a_check() -> None:
    found = results(read("diameter", "propeller", 880, original=900))["diameter of propeller"]

    assert found.verdict == "beyond"
    assert found.criterion is not None
    assert "have this checked" in found.criterion.say


def test_blades_set_unevenly_are_found() -> None:
    found = results(LARGE, read("angle", "propeller", 116, 122, 122))

    result = found["angle from blade to blade of propeller"]
    assert (result.verdict, result.value) == ("beyond", 4)


def test_angles_that_make_no_full_turn_cannot_be_judged() -> None:
    found = results(LARGE, read("angle", "propeller", 116, 122))

    result = found["angle from blade to blade of propeller"]
    assert result.verdict == "cannot say"
    assert "238°" in result.caveats[0]


@pytest.mark.parametrize(
    ("boat", "criterion"),
    [
        (QUILLET, "propeller-tip-auxiliary"),
        (HARROWMERE, "propeller-tip"),
        (PLANING, "propeller-tip-fast"),
    ],
)
def test_the_clearance_wanted_at_the_tips_goes_by_the_boat(boat: Any, criterion: str) -> None:
    gap = read("gap", "propeller", 30, words="tip to hull")

    found = results(read("diameter", "propeller", 400), gap, boat=boat)

    result = found["tip clearance of propeller, tip to hull"]
    assert result.value == pytest.approx(7.5)
    assert criterion_of(result) == criterion
    assert result.verdict == "beyond"


def test_the_hub_is_held_against_its_shaft() -> None:
    gap = read("gap", "propeller", 45, words="hub to bearing")

    found = results(read("diameter", "propeller-shaft", 30), gap)

    result = found["hub to bearing of propeller, hub to bearing"]
    assert result.value == pytest.approx(150)
    assert criterion_of(result) == "propeller-hub"


def test_a_gap_without_a_diameter_cannot_be_judged_and_is_still_told() -> None:
    found = results(read("gap", "propeller", 74))

    result = found["tip clearance of propeller"]
    assert result.verdict == "cannot say"
    assert "74 mm" in result.caveats[0]


def test_the_play_of_a_folding_blade_has_no_limit() -> None:
    (result,) = results(read("play", "propeller", 4.0, 6.0, words="tip, in its pin")).values()

    assert (result.verdict, result.value) == ("not comparable", 6)
    assert "4, 6 mm" in result.caveats[0]


def test_by_hand_the_coarsest_class_can_still_be_judged() -> None:
    found = results(LARGE, pitch(("blade 1", 480), ("blade 2", 480), scale="III", instrument=""))

    mean = found["pitch of propeller, mean of all"]
    assert mean.verdict == "within"
    assert not any("too coarse" in each for each in mean.caveats)


def test_a_section_of_unknown_length_as_made_cannot_be_judged() -> None:
    (result,) = results(read("length", "propeller", 0.3, words="section")).values()

    assert result.verdict == "cannot say"


def test_the_blades_of_a_small_propeller_are_told_and_not_judged() -> None:
    (result,) = results(read("angle", "propeller", 116, 122, 122)).values()

    assert (result.verdict, result.value) == ("not comparable", 4)


def test_without_a_reading_of_the_propeller_nothing_is_said() -> None:
    assert blades.results(survey_of(read("play", "shaft-bracket", 0.8))) == ()


def test_results_on_the_propeller_carry_the_caution() -> None:
    (result,) = results(read("play", "propeller", 4.0)).values()

    assert any("tag on the panel" in each for each in result.caveats)
