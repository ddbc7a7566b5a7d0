"""A visit is begun and ended, and it is said who is there."""

from datetime import datetime
from html import unescape
from typing import Any

import pytest
from cast import QUILLET, SURVEY, entry
from desk.conftest import ZONE, Clock
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import Conditions, Instruction, Person
from garboard.notebook.fold import Survey

PAGE = f"/s/{SURVEY}/visit"
SELLER = entry(3, Person(name="Bram Aldous", role="seller"))
BEGAN = {"lying": "ashore", "began": "2026-05-12T09:41:00"}


@pytest.fixture(autouse=True)
def survey(desk: Desk) -> None:
    """A survey that was agreed, with the seller expected."""
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    desk.surveys.add([entry(1, QUILLET), entry(2, asked), SELLER])


def now(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def test_a_visit_begins_with_those_who_are_there(browser: TestClient, desk: Desk) -> None:
    answer = browser.post(
        PAGE, data={**BEGAN, "there": ["me"], "others": "Odile Marrec, yard foreman"}
    )

    assert answer.status_code == 303
    (begun,) = now(desk).bodies(Conditions)
    assert begun == Conditions(lying="ashore", began=datetime(2026, 5, 12, 9, 41, tzinfo=ZONE))
    there = {each.name: (each.role, each.attended) for each in now(desk).bodies(Person)}
    assert there == {
        "Ines Caldervane": ("surveyor", True),
        "Odile Marrec": ("yard foreman", True),
        "Bram Aldous": ("seller", False),
    }


def test_a_visit_begins_whole_or_not_at_all(
    browser: TestClient, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[list[str]] = []
    add = desk.surveys.add

    def counted(entries: Any, also: Any) -> Any:
        written.append([each.kind for each in entries])
        return add(entries, also)

    monkeypatch.setattr(desk.surveys, "add", counted)
    browser.post(PAGE, data={**BEGAN, "there": ["me"]})

    assert written == [["conditions", "person", "person"]]


def test_the_form_begins_now_with_everybody_who_is_expected(browser: TestClient) -> None:
    form = browser.get(PAGE).text

    assert 'value="2026-05-12T10:00:00"' in form
    assert '<option value="ashore" selected>' in form
    assert f'value="{SELLER.id}" checked' in form


def test_whoever_is_there_is_somebody_in_some_role(browser: TestClient, desk: Desk) -> None:
    answer = browser.post(PAGE, data={**BEGAN, "others": "Odile Marrec"})

    assert answer.status_code == 422
    assert "“Odile Marrec” lacks a name or a role." in unescape(answer.text)
    assert now(desk).of(Conditions) == ()


def test_a_visit_is_ended_now_or_at_a_time(browser: TestClient, desk: Desk, clock: Clock) -> None:
    browser.post(PAGE, data={**BEGAN, "there": ["me", SELLER.id]})
    assert "End the visit now" in browser.get(f"/s/{SURVEY}/").text

    answer = browser.post(f"{PAGE}/end", data={"ended": "2026-05-12T09:59:00"})

    assert answer.status_code == 303
    (visit,) = now(desk).bodies(Conditions)
    assert visit.ended == datetime(2026, 5, 12, 9, 59, tzinfo=ZONE)
    assert "End the visit now" not in browser.get(f"/s/{SURVEY}/").text


def test_no_visit_ends_before_it_begins(browser: TestClient, desk: Desk) -> None:
    browser.post(PAGE, data={**BEGAN, "there": ["me"]})

    answer = browser.post(f"{PAGE}/end", data={"ended": "2026-05-12T08:00:00"})

    assert answer.status_code == 422
    assert "the survey ends before it begins" in answer.text


def test_a_visit_that_goes_on_is_not_begun_again(browser: TestClient, desk: Desk) -> None:
    browser.post(PAGE, data=BEGAN)

    answer = browser.post(PAGE, data=BEGAN)

    assert answer.status_code == 409
    assert len(now(desk).of(Conditions)) == 1


def test_who_came_to_the_first_visit_stays_somebody_who_came(
    browser: TestClient, desk: Desk
) -> None:
    browser.post(PAGE, data={**BEGAN, "there": [SELLER.id]})
    browser.post(f"{PAGE}/end", data={})

    browser.post(PAGE, data={**BEGAN, "began": "2026-05-12T10:00:00", "there": ["me"]})

    people = {each.name: each.attended for each in now(desk).bodies(Person)}
    assert people == {"Bram Aldous": True, "Ines Caldervane": True}
