import json
from typing import Any

from cast import QUILLET, entry

from garboard.notebook.body import Examination, Instruction, Place
from garboard.notebook.fold import fold
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


def test_each_place_says_how_it_stands() -> None:
    looked = Examination(place=RUDDER, extent="part", how=("look",), share_pct=60, outcome="defect")

    places = plan(QUILLET, ASKED, looked)["places"]

    (rudder,) = (each for each in places if each["key"] == "rudder-blade")
    assert rudder["words"] == "examined in part, about 60 %"
    assert rudder["is_found"]
    assert "sound" in rudder["unused"]
    assert {each["state"] for each in places if each is not rudder} == {"silent"}


def test_the_plan_has_the_words_for_all_it_names() -> None:
    found = plan(QUILLET, ASKED)

    for place in found["places"]:
        part = found["parts"][place["part"]]
        assert set(part["how"]) <= found["how"].keys()
        assert set(part["limits"]) <= found["reasons"].keys()


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


def test_the_plan_says_how_many_reference_strikes_are_needed_and_wanted() -> None:
    assert plan(QUILLET, ASKED)["references"] == {"fewest": 5, "wanted": 8}


def test_the_plan_goes_through_json_unchanged() -> None:
    found = plan(QUILLET, ASKED)

    assert json.loads(json.dumps(found)) == found
