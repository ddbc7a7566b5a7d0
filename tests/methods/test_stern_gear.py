from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from cast import DAY, HARROWMERE, QUILLET
from gear_readings import read, results_of, survey_of

from garboard.methods import stern_gear
from garboard.methods.result import Result
from garboard.notebook.body import Conditions, Engine

SHAFT = read("diameter", "propeller-shaft", 30)
BEARING = "clearance of the bearing, shaft bracket"


def results(*bodies: Any, boat: Any = QUILLET) -> dict[str, Result]:
    return results_of(stern_gear.results, *bodies, boat=boat)


def criterion_of(result: Result) -> str:
    assert result.criterion is not None
    return result.criterion.id


@pytest.mark.parametrize(
    ("clearance_mm", "verdict", "criterion"),
    [
        (0.55, "within", "bearing-plan"),
        (0.80, "at the limit", "bearing-plan"),
        (1.05, "beyond", "bearing-plan"),
        (1.25, "beyond", "bearing-plan"),
        (1.50, "beyond", "bearing-renew"),
        (2.40, "beyond", "bearing-stop"),
    ],
)
def test_a_bearing_is_judged_by_the_highest_limit_it_has_surely_passed(
    clearance_mm: float, verdict: str, criterion: str
) -> None:
    result = results(SHAFT, read("play", "shaft-bracket", clearance_mm))[BEARING]

    assert (result.verdict, criterion_of(result)) == (verdict, criterion)


def test_a_bearing_tells_what_is_custom_and_what_was_published() -> None:
    result = results(SHAFT, read("play", "shaft-bracket", 0.8))[BEARING]

    assert any("0.08 to 0.18 mm (ABYC P-6, at second hand)" in each for each in result.caveats)
    assert any("no yacht standard gives one" in each for each in result.caveats)
    assert any("tag on the panel" in each for each in result.caveats)


def test_the_clearance_noted_for_a_new_bearing_goes_before_the_published_one() -> None:
    result = results(SHAFT, read("play", "shaft-bracket", 0.8, original=0.2))[BEARING]

    assert any("Noted for a new bearing: 0.2 mm" in each for each in result.caveats)
    assert not any("ABYC" in each for each in result.caveats)


def test_without_the_shafts_diameter_wear_cannot_be_told_but_the_clearance_is() -> None:
    result = results(read("play", "shaft-bracket", 0.8))[BEARING]

    assert (result.verdict, result.value) == ("cannot say", None)
    assert "0.8 mm" in result.caveats[0]


def test_every_bearing_takes_the_shaft_of_its_own_side() -> None:
    found = results(
        read("diameter", "propeller-shaft", 30, side="port"),
        read("diameter", "propeller-shaft", 60, side="starboard"),
        read("play", "shaft-bracket", 1.2, side="port"),
        read("play", "shaft-bracket", 1.2, side="starboard"),
        boat=HARROWMERE,
    )

    assert found["clearance of the bearing, shaft bracket, port"].value == pytest.approx(4)
    assert found["clearance of the bearing, shaft bracket, starboard"].value == pytest.approx(2)


@pytest.mark.parametrize("quantity", ["run-out", "play"])
def test_run_out_is_known_by_its_quantity_or_its_words(quantity: Any) -> None:
    found = results(SHAFT, read(quantity, "propeller-shaft", 0.3, words="run-out at the bracket"))

    (result,) = found.values()
    assert (result.method, result.verdict) == ("shafting.run_out_mm", "beyond")
    assert criterion_of(result) == "shaft-run-out"


def test_the_face_of_a_coupling_is_held_closer_than_a_shaft() -> None:
    found = results(read("run-out", "propeller-shaft", 0.12, words="face of the coupling"))

    (result,) = found.values()
    assert (criterion_of(result), result.verdict) == ("coupling-face-run-out", "beyond")


FLANGE = read("diameter", "engine-mounts", 100, words="flange")
ALIGNED = "gap of the coupling's faces, engine mounting"


def faces(*gaps: float) -> Any:
    return read("gap", "engine-mounts", *gaps, words="coupling faces")


@pytest.mark.parametrize(
    ("gaps", "verdict"),
    [((0.10, 0.10, 0.12, 0.11), "within"), ((0.10, 0.30, 0.20, 0.20), "beyond")],
)
def test_an_engine_in_line_has_even_faces(gaps: tuple[float, ...], verdict: str) -> None:
    assert results(FLANGE, faces(*gaps))[ALIGNED].verdict == verdict


def test_faces_read_ashore_are_to_be_read_again_afloat() -> None:
    ashore = Conditions(lying="ashore", began=DAY - timedelta(hours=1))

    result = results(ashore, FLANGE, faces(0.1, 0.1, 0.1, 0.1))[ALIGNED]

    assert any("afloat" in each for each in result.caveats)


@pytest.mark.parametrize(
    ("bodies", "why"), [((FLANGE, faces(0.1)), "one position"), ((faces(0.1, 0.2),), "flange")]
)
def test_faces_without_flange_or_at_one_position_cannot_say_and_why(
    bodies: tuple[Any, ...], why: str
) -> None:
    result = results(*bodies)[ALIGNED]

    assert result.verdict == "cannot say"
    assert why in result.caveats[0]


def test_a_gap_that_is_no_couplings_is_left_alone() -> None:
    assert results(read("gap", "engine-mounts", 3, words="settled mount")) == {}


def test_a_groove_in_the_shaft_is_found_from_its_size_as_made() -> None:
    found = results(read("diameter", "propeller-shaft", 29, original=30, words="at the gland"))

    result = found["wear of the shaft, propeller shaft, at the gland"]
    assert result.verdict == "beyond"
    assert result.value == pytest.approx(0.5)


def test_the_distance_of_bearings_without_a_shaft_cannot_say() -> None:
    (result,) = results(read("length", "propeller-shaft", 1.5)).values()

    assert result.verdict == "cannot say"


def test_the_distance_of_bearings_is_told_in_diameters() -> None:
    result = results(SHAFT, read("length", "propeller-shaft", 1.5))[
        "distance of bearings, propeller shaft"
    ]

    assert result.verdict == "beyond"
    assert result.value == pytest.approx(50)


@pytest.mark.parametrize(("rpm", "verdict"), [(600, "within"), (3000, "beyond")])
def test_a_long_shaft_may_turn_slowly_and_not_fast(rpm: float, verdict: str) -> None:
    found = results(
        SHAFT, read("length", "propeller-shaft", 1.5), read("revolutions", "propeller-shaft", rpm)
    )

    (result,) = [each for what, each in found.items() if "whirls" in what]
    assert (result.verdict, criterion_of(result)) == (verdict, "shaft-whirl")


STRENGTH = "strength the shaft asks for, propeller shaft"


def test_the_strength_a_shaft_asks_for_is_told_and_not_judged() -> None:
    found = results(SHAFT, read("revolutions", "propeller-shaft", 800, 1200))

    result = found[STRENGTH]
    assert result.verdict == "not comparable"
    assert result.value == pytest.approx(48.634e6 * 0.96 * 20 * 3 / (1200 * 30**3), rel=1e-4)


def test_engines_of_unlike_power_leave_the_strength_open() -> None:
    boat = replace(
        QUILLET,
        engines=(Engine(described="a", power_kw=20), Engine(described="b", power_kw=40)),
    )

    result = results(SHAFT, read("revolutions", "propeller-shaft", 1200), boat=boat)[STRENGTH]

    assert result.verdict == "cannot say"


def test_without_a_reading_of_the_stern_gear_nothing_is_said() -> None:
    assert stern_gear.results(survey_of(read("play", "rudder-stock", 0.6))) == ()
