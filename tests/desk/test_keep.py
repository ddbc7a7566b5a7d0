"""The one way in which a page writes: what takes the place of others does so only while those stand."""

import threading
from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from cast import QUILLET, SURVEY, entry
from starlette.requests import Request
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.desk.keep import correct, filled_from, keep, overtaken, versions, withdraw
from garboard.notebook.body import (
    Amendment,
    Answer,
    Boat,
    Conditions,
    Instruction,
    Issue,
    Observation,
    Place,
    Reading,
    ReadingSet,
    Summary,
    Value,
    Withdrawal,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Refused

CRACK = Observation(place=Place(part="keel-joint"), seen="a crack")
FIRST = entry(2, CRACK)
LONGER = replace(CRACK, seen="a longer crack")
SECOND = entry(3, LONGER, replaces=(2,), author="Bram Aldous")


@pytest.fixture
def request_(browser: TestClient, desk: Desk) -> Request:
    """A request of somebody signed in, to a desk with a survey."""
    desk.surveys.add([entry(1, QUILLET), FIRST])
    page: Any = browser.app
    scope = {"type": "http", "app": page.app, "state": {"user": SimpleNamespace(name="Ines Caldervane")}}  # fmt: skip
    return Request(scope)


def held(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


WAYS: dict[str, Callable[[Request, Survey], Any]] = {
    "kept in its place": lambda request, survey: keep(
        request, SURVEY, LONGER, replaces=(FIRST.id,), why="misread"
    ),
    "corrected": lambda request, survey: correct(request, SURVEY, {FIRST.id: LONGER}, "misread"),
    "withdrawn": lambda request, survey: withdraw(request, survey, [FIRST], "wrong boat"),
}


@pytest.mark.parametrize("way", WAYS)
def test_what_was_corrected_already_is_not_replaced_again(
    desk: Desk, request_: Request, way: str
) -> None:
    before = held(desk)
    desk.surveys.add([SECOND])

    with pytest.raises(
        Refused, match=r"Bram Aldous changed it at .*: a longer crack” is in force now"
    ):
        WAYS[way](request_, before)

    assert held(desk).of(Observation) == (SECOND,)


@pytest.mark.parametrize("way", WAYS)
def test_what_was_taken_back_already_is_not_replaced(
    desk: Desk, request_: Request, way: str
) -> None:
    before = held(desk)
    withdraw(request_, before, [FIRST], "wrong boat")
    count = len(held(desk).entries)

    with pytest.raises(Refused, match="Ines Caldervane took it back at"):
        WAYS[way](request_, before)

    assert len(held(desk).entries) == count


def test_of_two_that_replace_one_entry_in_the_same_moment_one_is_refused(
    desk: Desk, request_: Request
) -> None:
    together, said = threading.Barrier(4), []

    def write(number: int) -> None:
        together.wait()
        try:
            keep(request_, SURVEY, replace(CRACK, seen=f"crack {number}"), replaces=(FIRST.id,), why="misread")  # fmt: skip
        except Refused as refused:
            said.append(str(refused))

    threads = [threading.Thread(target=write, args=(each,)) for each in range(4)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()

    assert len(said) == 3
    assert len(held(desk).of(Observation)) == 1
    assert held(desk).choices == ()


def test_two_corrections_are_taken_back_with_what_both_correct(
    desk: Desk, request_: Request
) -> None:
    rival = entry(4, replace(CRACK, seen="no crack"), replaces=(2,), device="phone-2")
    desk.surveys.add([SECOND, rival])

    made = withdraw(request_, held(desk), [SECOND, rival], "wrong boat")

    assert [set(each.replaces) for each in made] == [{SECOND.id, FIRST.id}, {rival.id, FIRST.id}]
    assert held(desk).of(Observation) == ()


def test_one_of_two_corrections_is_taken_back_alone(desk: Desk, request_: Request) -> None:
    rival = entry(4, replace(CRACK, seen="no crack"), replaces=(2,), device="phone-2")
    desk.surveys.add([SECOND, rival])

    assert versions(held(desk), SECOND) == (SECOND.id,)
    withdraw(request_, held(desk), [SECOND], "misread")

    assert held(desk).of(Observation) == (rival,)


def told(request: Request, desk: Desk, of: str) -> list[str]:
    form, survey = {"of": of}, held(desk)
    standing: tuple[Entry[Any], ...] = survey.of(Observation)
    return [str(each) for each in overtaken(request, survey, form, standing)]


def test_a_form_is_overtaken_by_what_was_corrected_added_or_taken_back_since(
    desk: Desk, request_: Request
) -> None:
    of = filled_from([FIRST])
    fresh, blank = told(request_, desk, of), told(request_, desk, "")
    desk.surveys.add([SECOND])
    corrected = told(request_, desk, of)
    desk.surveys.add([entry(5, Withdrawal(), replaces=(2, 3), author="Odile Marrec")])
    gone = told(request_, desk, of)

    assert fresh == []
    assert "Ines Caldervane changed it at 10:00" in blank[0]
    assert "Bram Aldous changed it at 10:00" in corrected[0]
    assert "a longer crack" in corrected[0]
    assert "Odile Marrec took it back at 10:00" in gone[0]


def test_what_was_written_of_another_matter_overtakes_no_form(
    desk: Desk, request_: Request
) -> None:
    keep(request_, SURVEY, Boat(name="Quillet II"), replaces=(held(desk).of(Boat)[0].id,), why="x")

    assert told(request_, desk, filled_from([FIRST])) == []


def test_what_is_refused_is_named_by_its_kind_and_by_no_id(request_: Request) -> None:
    with pytest.raises(Refused) as refused:
        keep(request_, SURVEY, Observation(place=Place(part="rud"), seen="a crack"))

    assert [each.where for each in refused.value.problems] == ["Observation, “Part of the boat”"]


def test_what_is_refused_names_its_field_as_the_form_does(request_: Request) -> None:
    row = Reading(place=Place(part="keel-joint"), as_read="99999")
    readings = ReadingSet(name="a", quantity="moisture", unit="scale", instrument="meter", readings=(row,))  # fmt: skip

    with pytest.raises(Refused) as refused:
        keep(request_, SURVEY, readings)

    assert str(refused.value).startswith("Reading set, reading 1, “Value”: 99999 scale cannot be.")


ASKED = Instruction(client="Tamsin Orrowby", purpose="buy")
ISSUED = Issue(number="Q-1", version=1, entries_sha256="0" * 64)
VISIT = {"lying": "ashore", "began": "2026-05-12T09:41"}
VALUE = {"basis": "market value", "low_minor": "38000", "high_minor": "45000", "point_minor": "41000", "currency": "EUR", "on": "2026-05-12", "condition": "as found"}  # fmt: skip
FORMS: dict[str, tuple[type[Any], dict[str, str]]] = {
    "boat": (Boat, {"name": "Quillet"}),
    "add/boat": (Boat, {"name": "Quillet"}),
    "add/instruction": (Instruction, {"client": "Tamsin Orrowby", "purpose": "buy"}),
    "visit": (Conditions, VISIT),
    "add/conditions": (Conditions, VISIT),
    "value/new": (Value, VALUE),
    "report/summary": (Summary, {"overall": "She is a sound boat."}),
    "report/answer": (Answer, {"gap": "silent stem", "words": "under the cradle"}),
    "report/amendment": (Amendment, {"reason": "the joint was opened", "changes": "the joint"}),
}


@pytest.mark.parametrize("path", FORMS)
def test_a_new_form_that_is_sent_twice_at_once_is_kept_once(
    browser: TestClient, desk: Desk, path: str
) -> None:
    kind, form = FORMS[path]
    stands = (QUILLET, ASKED, ISSUED)
    desk.surveys.add([entry(n, body) for n, body in enumerate(stands) if not isinstance(body, kind)])  # fmt: skip
    together = threading.Barrier(4)

    def send() -> None:
        together.wait()
        browser.post(f"/s/{SURVEY}/{path}", data=form)

    threads = [threading.Thread(target=send) for _ in range(4)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()

    assert len(held(desk).of(kind)) == 1


def test_a_second_boat_that_says_otherwise_is_refused_with_what_stands(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(1, QUILLET)])

    answer = browser.post(f"/s/{SURVEY}/add/boat", data={"name": "Sorrel"})

    assert answer.status_code == 422
    assert "what you wrote is not kept" in answer.text
    assert held(desk).bodies(Boat) == (QUILLET,)


def test_a_second_opinion_of_value_is_kept_beside_the_first(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(1, QUILLET)])
    for condition in ("as found", "with the listed work done"):
        browser.post(f"/s/{SURVEY}/value/new", data={**VALUE, "condition": condition})

    assert {each.condition for each in held(desk).bodies(Value)} == {
        "as found",
        "with the listed work done",
    }
