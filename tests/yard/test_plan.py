import json
from dataclasses import replace
from typing import Any, get_args, get_type_hints

from cast import QUILLET, entry

from garboard.catalogue.naming import key
from garboard.desk.forms import fields_of
from garboard.judgement.states import part_states
from garboard.judgement.strays import BOOT_TOP_M
from garboard.notebook.body import (
    Answer,
    Boat,
    Conditions,
    Examination,
    Instruction,
    Issue,
    Place,
)
from garboard.notebook.fold import fold
from garboard.yard.leaving import Sort
from garboard.yard.plan import plan_of

ASKED = Instruction(client="Tamsin Orrowby", purpose="buy")
RUDDER = Place(part="rudder-blade")


def plan(*bodies: Any) -> dict[str, Any]:
    return plan_of(fold(entry(number, body) for number, body in enumerate(bodies, 1)))


def test_before_boat_and_instruction_are_known_nothing_is_called_for() -> None:
    assert plan(ASKED)["places"] == []


def test_the_places_of_one_stretch_follow_each_other() -> None:
    places = plan(QUILLET, ASKED)["places"]

    stretches = [each["stretch"] for each in places]
    changes = [b for a, b in zip(["", *stretches], stretches, strict=False) if a != b]
    assert len(changes) == len(set(stretches)) > 5


def test_duties_of_the_surveyor_come_after_every_place_and_are_in_a_group_of_their_own() -> None:
    survey = fold([entry(1, QUILLET), entry(2, ASKED)])

    places = plan_of(survey)["places"]

    states = part_states(survey)
    of_boat = [each["key"] for each in places if each["is_place"]]
    assert of_boat == [key(each.called.place) for each in states if each.is_place]
    duties = places[len(of_boat) :]
    assert len(duties) == len(states) - len(of_boat) > 0
    assert {each["stretch"] for each in duties} == {"duties"}
    assert "duties" not in {each["stretch"] for each in places[: len(of_boat)]}


def test_each_place_says_how_it_stands() -> None:
    looked = Examination(place=RUDDER, extent="part", how=("look",), share_pct=60, outcome="defect")

    places = plan(QUILLET, ASKED, looked)["places"]

    (rudder,) = (each for each in places if each["key"] == "rudder-blade")
    assert rudder["words"] == "examined in part, about 60 %"
    assert rudder["is_found"]
    assert "sound" in rudder["unused"]
    assert {each["state"] for each in places if each is not rudder} == {"silent"}


def test_what_was_answered_for_in_words_is_no_longer_silent() -> None:
    told = Answer(gap="silent danger-told", words="Nobody was in danger")

    places = plan(QUILLET, ASKED, told)["places"]

    (duty,) = (each for each in places if each["key"] == "danger-told")
    assert (duty["state"], duty["words"]) == ("answered", "answered for in words")
    assert {each["state"] for each in places if each is not duty} == {"silent"}


def test_the_walk_says_that_the_report_was_issued() -> None:
    issue = Issue(number="Q-1", version=2, entries_sha256="0" * 64)

    assert plan(QUILLET, ASKED)["issued"] == ""
    assert plan(QUILLET, ASKED, issue)["issued"] == (
        "Version 2 of the report was issued on 12 May 2026. What is recorded after that is not in it and "
        "needs an amendment, which is written at the desk."
    )


def test_the_plan_has_the_words_for_all_it_names() -> None:
    found = plan(QUILLET, ASKED)

    for place in found["places"]:
        part = found["parts"][place["part"]]
        assert set(part["how"]) <= found["how"].keys()
        assert set(part["limits"]) <= found["reasons"].keys()
    assert found["sorts"].keys() == set(get_args(Sort))
    assert found["sorts"]["duties"] in {each["zone"] for each in found["places"]}


def test_what_is_read_or_photographed_is_not_said_to_be_done_in_one_touch() -> None:
    parts = plan(QUILLET, ASKED)["parts"]

    assert "moisture" in parts["rudder-blade"]["how"]
    assert not {"moisture", "photo"} & {each for part in parts.values() for each in part["by_hand"]}


def test_the_plan_says_which_figures_the_notebook_takes() -> None:
    found = plan(QUILLET, ASKED)

    assert found["units"]["thickness"] == {"mm": {"range": [0, 500], "calibrated": False}}
    assert found["units"]["moisture"]["scale"]["range"] == [0, 1000]
    assert found["units"]["moisture"]["%"]["calibrated"]
    assert found["coordinates"] == {"station_m": [-5, 150], "level_m": [-20, 30]}
    assert found["air"] == {"air_c": [-60, 120], "humidity_pct": [0, 100]}


def test_the_plan_says_every_way_in_which_she_can_lie() -> None:
    ways = get_args(get_type_hints(Conditions)["lying"])

    assert tuple(plan(QUILLET, ASKED)["lying"]) == ways


def test_the_plan_says_how_many_reference_strikes_are_needed_and_wanted() -> None:
    assert plan(QUILLET, ASKED)["references"] == {"fewest": 5, "wanted": 8}


def test_the_plan_goes_through_json_unchanged() -> None:
    found = plan(QUILLET, ASKED)

    assert json.loads(json.dumps(found)) == found


def test_parts_that_end_at_the_boot_top_say_at_which_level() -> None:
    parts = plan(QUILLET, ASKED)["parts"]

    assert parts["bottom-laminate"]["levels_m"] == [None, BOOT_TOP_M]
    assert parts["topside-gelcoat"]["levels_m"] == [-BOOT_TOP_M, None]
    assert parts["rudder-blade"]["levels_m"] == [None, None]


def test_what_nobody_has_said_of_the_boat_is_asked_with_its_answers() -> None:
    found = plan(replace(QUILLET, hulls=None, fitted=()), ASKED)

    hulls = next(each for each in found["questions"] if each["fact"] == "hulls")
    assert [value for value, _ in hulls["answers"]] == [1, 2, 3]
    earth = next(each for each in found["questions"] if each.get("fitting") == "earth-plate")
    assert earth["question"].startswith("Is there an earth plate")
    (plate,) = (each for each in found["places"] if each["part"] == "earth-plate")
    assert plate["asks"] == [earth["question"]]


def test_a_question_nobody_could_answer_stays_open_alone() -> None:
    found = plan(replace(QUILLET, fitted=("heads",), fitted_unknown=("earth-plate",)), ASKED)

    assert [each["fitting"] for each in found["questions"]] == ["earth-plate"]
    (plate,) = (each for each in found["places"] if each["part"] == "earth-plate")
    assert plate["asks"] == [found["questions"][0]["question"]]


def test_the_yard_asks_in_the_words_of_the_desk() -> None:
    bare = replace(QUILLET, standing=None, speed=None, hulls=None, fitted=("heads",))

    asked = {each["fact"]: each["question"] for each in plan(bare, ASKED)["questions"]}

    labels = {each.path: each.label for each in fields_of(Boat, {})}
    assert asked
    assert asked == {fact: labels[fact] for fact in asked}


def test_of_a_boat_of_which_all_is_said_nothing_is_asked() -> None:
    found = plan(replace(QUILLET, fitted=("heads",)), ASKED)

    assert found["questions"] == []


def test_the_yard_calls_an_entry_what_the_desk_calls_it() -> None:
    kinds = plan(QUILLET)["kinds"]

    assert (kinds["photo"], kinds["memo"], kinds["reading set"]) == ("photograph", "spoken note", "reading set")  # fmt: skip


def test_what_papers_and_people_say_is_met_neither_in_one_touch_nor_at_a_place_on_the_hull() -> (
    None
):
    parts = plan(QUILLET, ASKED)["parts"]

    def offered(part: str) -> tuple[bool, bool]:
        return parts[part]["in_one_touch"], parts[part]["has_place"]

    assert offered("keel-joint") == (True, True)
    assert offered("identity-marks") == (False, True)
    assert offered("ship-papers") == (False, False)
    assert offered("history-told") == (False, False)
    assert offered("second-walk-round") == (True, False)
