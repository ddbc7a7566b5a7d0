"""The instruction page answers the first questions, and records leave, interests and terms one by one."""

import re
from datetime import date
from html import unescape
from typing import Any

import pytest
from cast import DAY, OTHER_SURVEY, QUILLET, SURVEY, entry, entry_id
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import (
    Arrangement,
    Conditions,
    ConflictCheck,
    Consent,
    Instruction,
    Person,
    Terms,
)
from garboard.notebook.fold import Survey

ASKED = Instruction(client="Tamsin Orrowby", purpose="buy", place="Fennick Hard")
PAGE = f"/s/{SURVEY}/instruction"


@pytest.fixture
def page(desk: Desk) -> str:
    """A job with instruction and boat."""
    desk.surveys.add([entry(1, ASKED), entry(2, QUILLET)])
    return PAGE


def survey_of(desk: Desk) -> Survey:
    survey = desk.surveys.get(SURVEY)
    assert survey is not None
    return survey


def add(desk: Desk, *bodies: Any) -> None:
    desk.surveys.add(entry(number, body) for number, body in enumerate(bodies, 10))


def read(browser: TestClient) -> str:
    answer = browser.get(PAGE)
    assert answer.status_code == 200
    return unescape(answer.text)


def test_the_five_questions_are_answered_from_the_entries(browser: TestClient, page: str) -> None:
    shown = read(browser)

    assert "Tamsin Orrowby; the client pays." in shown
    assert "Condition survey before purchase; ashore; Fennick Hard." in shown
    assert "For the client alone to rely on." in shown
    assert "Open.</b> Nobody has accepted terms yet." in shown
    assert "Tell your insurer before you answer" in shown


def test_what_the_insurer_was_told_answers_the_fifth(
    browser: TestClient, desk: Desk, page: str
) -> None:
    add(desk, Arrangement(what="notice to the insurer", words="Seller's letter sent on, 14 May."))

    assert "Seller's letter sent on, 14 May." in read(browser)


def test_a_survey_without_an_instruction_offers_to_write_it(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(2, QUILLET)])

    assert "Write down the instruction" in read(browser)


def test_the_acts_the_schedule_calls_for_are_listed_with_what_was_said(
    browser: TestClient, desk: Desk, page: str
) -> None:
    add(desk, Consent(act="scrape", given=False, by="Aldous Wickenmere", on=date(2026, 5, 6)))

    shown = read(browser)

    assert re.search(r"To scrape off paint</b>.*?called for in \d+ places.*?Refused</b> by Aldous Wickenmere on 6 May 2026", shown, re.DOTALL)  # fmt: skip
    assert re.search(r"To probe with a spike</b>.*?Not recorded", shown, re.DOTALL)


def test_leave_for_several_acts_becomes_one_entry_each(
    browser: TestClient, desk: Desk, page: str
) -> None:
    form = {
        "acts": ["attend", "scrape"],
        "given": ["no", "yes"],
        "by": "the seller",
        "on": "2026-05-06",
    }

    answer = browser.post(f"{page}/leave", data=form)

    assert answer.headers["location"] == f"{PAGE}#leave"
    said = survey_of(desk).bodies(Consent)
    assert [(each.act, each.by) for each in said] == [("attend", "the seller"), ("scrape", "the seller")]  # fmt: skip


def test_leave_for_nothing_by_nobody_is_refused_beside_its_fields(
    browser: TestClient, desk: Desk, page: str
) -> None:
    answer = browser.post(f"{page}/leave", data={"given": "yes", "on": "2026-05-06", "limits": "kept"})  # fmt: skip

    assert answer.status_code == 422
    assert "Tick what was asked for." in answer.text
    assert answer.text.count('class="problem"') == 2
    assert ">kept</textarea>" in answer.text
    assert survey_of(desk).of(Consent) == ()


def test_leave_given_in_the_future_is_refused_in_words(
    browser: TestClient, desk: Desk, page: str
) -> None:
    form = {"acts": ["attend"], "given": "yes", "by": "the seller", "on": "2030-01-01"}

    answer = browser.post(f"{page}/leave", data=form)

    assert answer.status_code == 422
    assert "lies in the future" in answer.text


def test_the_look_for_interests_starts_from_the_archive_and_is_kept(
    browser: TestClient, desk: Desk, page: str
) -> None:
    other = [QUILLET, Instruction(client="Mirel Tannock", purpose="buy"), Conditions(lying="ashore", began=DAY)]  # fmt: skip
    desk.surveys.add(entry(30 + n, body, survey=OTHER_SURVEY) for n, body in enumerate(other))

    before = read(browser)
    form = {"result": "none", "records": "no earlier survey of this boat", "seller": "No dealings.", "broker": "there is none", "yard": "known, no work in common"}  # fmt: skip
    answer = browser.post(f"{page}/conflict", data=form)

    assert 'value="the same identity number, surveyed on 12 May 2026 for another client"' in before  # fmt: skip
    assert "Tannock" not in before
    assert OTHER_SURVEY not in before
    assert answer.headers["location"] == f"{PAGE}#conflict"
    assert [each.looked_at for each in survey_of(desk).bodies(ConflictCheck)] == [
        "The surveyor's own records: no earlier survey of this boat. The seller: No dealings. "
        "The broker: there is none. The yard: known, no work in common."
    ]


def test_a_look_for_interests_says_of_each_what_came_of_it(
    browser: TestClient, desk: Desk, page: str
) -> None:
    form = {"result": "none", "records": "nothing", "seller": "no dealings", "broker": " "}

    answer = browser.post(f"{page}/conflict", data=form)

    assert answer.status_code == 422
    assert answer.text.count('class="problem">Say what came of it, or that there is none.') == 2
    assert 'value="no dealings"' in answer.text
    assert survey_of(desk).of(ConflictCheck) == ()


def test_a_fee_that_is_kept_is_not_asked_for_again(
    browser: TestClient, desk: Desk, page: str
) -> None:
    asked = f'href="/s/{SURVEY}/add/arrangement?what=fee'
    before = read(browser)

    add(desk, Arrangement(what="fee", words="EUR 980, trial included"))

    after = read(browser)
    assert asked in before
    assert "EUR 980, trial included" in after
    assert asked not in after


def test_an_act_that_there_is_not_is_left_aside(browser: TestClient, desk: Desk, page: str) -> None:
    form = {"given": "yes", "by": "the owner", "on": "2026-05-12"}

    one = browser.post(f"{page}/leave", data={**form, "acts": ["attend", "sink her"]})
    none = browser.post(f"{page}/leave", data={**form, "acts": "sink her"})

    assert (one.status_code, none.status_code) == (303, 422)
    assert [each.act for each in survey_of(desk).bodies(Consent)] == ["attend"]


def test_a_look_without_a_result_is_refused_beside_its_field(
    browser: TestClient, page: str
) -> None:
    answer = browser.post(f"{page}/conflict", data={"result": "", "looked_at": "typed at length"})

    assert answer.status_code == 422
    assert "typed at length" in answer.text
    assert 'class="problem"' in answer.text


def test_what_was_settled_is_shown_and_what_is_open_can_be_settled(
    browser: TestClient, desk: Desk, page: str
) -> None:
    add(desk, Arrangement(what="access", words="Key at the gate", with_whom="Una Marrask"))

    shown = read(browser)

    assert "Key at the gate" in shown
    assert f"/s/{SURVEY}/add/arrangement?what=telephone&back=" in shown


def test_people_are_listed_and_the_surveyor_is_one_touch_away(
    browser: TestClient, desk: Desk, page: str
) -> None:
    before = read(browser)
    add(desk, Person(name="Una Marrask", role="yard foreman", attended=False))

    assert "add/person?name=Ines+Caldervane&role=surveyor" in before
    assert "(not there on the day)" in read(browser)


def test_accepted_terms_are_shown_with_how_and_when(
    browser: TestClient, desk: Desk, page: str
) -> None:
    add(desk, Terms(version="third issue", accepted_by="T. Orrowby", accepted_on=date(2026, 5, 4), how="by post"))  # fmt: skip

    shown = read(browser)

    assert "third issue, accepted by T. Orrowby on 4 May 2026, by post." in shown
    assert f"/s/{SURVEY}/entry/{entry_id(10)}?back={PAGE}" in shown
