"""What the page asks the core: names and JSON in, JSON or words of a problem out."""

import json
from typing import Any

from cast import QUILLET, SURVEY, entry

from garboard.notebook.body import Instruction, Place, Sounding
from garboard.notebook.entry import to_json
from garboard.yard.bridge import answer

BLOW = Sounding(place=Place(part="bottom-laminate", side="port", station_m=4.0, level_m=-0.3), heard="dull")  # fmt: skip
BEGUN = [entry(1, QUILLET), entry(2, Instruction(client="Tamsin Orrowby", purpose="buy"))]


def asked(name: str, **given: Any) -> Any:
    said: dict[str, Any] = json.loads(answer(name, json.dumps(given)))
    return said


def opened() -> None:
    asked("open", survey=SURVEY, entries=[to_json(each) for each in BEGUN])


def heard() -> str:
    found: str = asked("pad", survey=SURVEY, look="port-shell", of="soundings")["value"]["alt"]
    return found


def test_an_entry_that_is_added_shows_in_the_next_answer() -> None:
    opened()
    before = heard()

    held = asked("add", survey=SURVEY, entries=[to_json(entry(3, BLOW))])

    assert held == {"value": 3}
    assert "none yet" in before
    assert "1 dull" in heard()


def test_an_entry_that_makes_no_sense_does_not_hide_the_others() -> None:
    opened()
    wrong = {**to_json(entry(4, BLOW)), "body": {"heard": "loud"}}

    held = asked("add", survey=SURVEY, entries=[wrong, to_json(entry(3, BLOW))])

    assert held == {"value": 3}
    assert "1 dull" in heard()


def test_opening_again_forgets_what_was_held() -> None:
    opened()
    asked("add", survey=SURVEY, entries=[to_json(entry(3, BLOW))])

    opened()

    assert "none yet" in heard()


def test_a_survey_that_is_not_open_is_a_problem_in_words() -> None:
    said = asked("plan", survey="0197aaaa-0000-7000-8000-000000000000")

    assert said == {"problem": "This survey is not open here."}


def test_a_grid_is_answered_in_the_order_of_the_walk() -> None:
    opened()
    one = {"first_m": 4.0, "last_m": 4.0, "step_m": 0}
    walk = {"stations": {"first_m": 5.0, "last_m": 4.0, "step_m": 1.0}, "levels": {**one, "first_m": -0.3, "last_m": -0.3}}  # fmt: skip

    said = asked("grid", survey=SURVEY, place={"part": "bottom-laminate", "side": "port", "number": 2}, walk=walk, of="soundings")  # fmt: skip

    assert [each["station_m"] for each in said["value"]["places"]] == [5.0, 4.0]
    assert {each["number"] for each in said["value"]["places"]} == {2}
    assert said["value"]["at"] == 0
