"""The diary shows every job where it stands, what it waits for, and what falls on which day."""

import re
from datetime import date
from html import unescape
from typing import Any

import pytest
from cast import DAY, QUILLET, entry
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.desk.pages.diary import A_PAGE
from garboard.notebook.body import Arrangement, Boat, Conditions, Instruction, Issue, Terms
from garboard.notebook.ids import uuid7

ASKED = Instruction(client="Tamsin Orrowby", purpose="buy", place="Fennick Hard", due=date(2026, 5, 20))  # fmt: skip
TERMS = Terms(version="3", accepted_by="T. O.", accepted_on=date(2026, 5, 4), how="by e-mail")
ISSUED = Issue(number="Q1", version=1, entries_sha256="0" * 64)


def opened(desk: Desk, number: int, *bodies: Any) -> str:
    survey = str(uuid7(DAY, 100 + number))
    desk.surveys.add(entry(100 * number + n, body, survey=survey) for n, body in enumerate(bodies))
    return survey


def text_of(html: str) -> str:
    """What a page says, without its marks."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html)))


def test_an_empty_diary_says_how_a_job_begins(browser: TestClient) -> None:
    shown = browser.get("/").text

    assert "A job begins with the first call" in shown
    assert 'href="/new"' in shown


def test_each_job_stands_in_the_list_of_its_stage(browser: TestClient, desk: Desk) -> None:
    opened(desk, 1, ASKED, Boat(name="Asked about"))
    opened(desk, 2, ASKED, TERMS, Boat(name="Agreed on"))
    opened(
        desk, 3, ASKED, TERMS, Conditions(lying="ashore", began=DAY, ended=DAY), Boat(name="Seen")
    )
    opened(desk, 4, ASKED, ISSUED, Boat(name="Gone out"))
    opened(desk, 5, ASKED, ISSUED, Boat(name="To ring"), Arrangement(what="follow-up", words="Were the bolts drawn?", on=date(2026, 10, 1)))  # fmt: skip

    lists = re.split(r"<h2[^>]*>", browser.get("/").text)[2:]

    assert [text_of(each).split(" for ")[0].strip() for each in lists] == [
        "Enquiries 1 Asked about",
        "Booked 1 Agreed on",
        "To write 1 Seen",
        "To follow up 1 To ring",
        "With the client 1 Gone out",
    ]


def test_what_is_being_surveyed_now_comes_before_the_deadlines(
    browser: TestClient, desk: Desk
) -> None:
    opened(desk, 1, ASKED, TERMS, Boat(name="Agreed on"))
    opened(desk, 2, ASKED, TERMS, Conditions(lying="ashore", began=DAY), Boat(name="Chocked up"))

    first, *_ = re.split(r"<h2[^>]*>", browser.get("/").text)[1:]

    assert text_of(first).startswith("At the boat 1 Chocked up")
    assert "since 12 May 2026" in text_of(first)


def test_a_job_says_what_it_waits_for(browser: TestClient, desk: Desk) -> None:
    opened(desk, 1, ASKED, QUILLET)

    assert "waits for: terms, conflict of interest" in text_of(browser.get("/").text)


def test_deadlines_stand_in_the_order_of_time_and_those_past_are_called_so(
    browser: TestClient, desk: Desk
) -> None:
    visit = Arrangement(what="visit", words="at nine", on=date(2026, 5, 13))
    late = Instruction(client="Mirel Tannock", purpose="value", due=date(2026, 5, 9))
    opened(desk, 1, ASKED, QUILLET, TERMS, visit)
    opened(desk, 2, late, Boat(name="Wagtail"))

    days = text_of(browser.get("/").text.partition("Deadlines")[2].partition("</ol>")[0])

    assert days.strip().startswith("9 May 2026 3 days ago, not done Wagtail : report due")
    assert "13 May 2026 tomorrow Quillet : visit 20 May 2026 in 8 days Quillet : report due" in days


def test_a_report_that_is_out_has_no_deadline(browser: TestClient, desk: Desk) -> None:
    opened(desk, 1, ASKED, QUILLET, ISSUED)

    assert "Deadlines" not in browser.get("/").text


def test_what_did_not_go_ahead_is_kept_out_of_the_way(browser: TestClient, desk: Desk) -> None:
    survey = opened(desk, 1, ASKED, QUILLET)
    (asked,) = desk.surveys.get(survey).of(Instruction)  # type: ignore[union-attr]
    browser.post(f"/s/{survey}/entry/{asked.id}/withdraw", data={"why": "sold to another"})

    assert "Quillet" not in browser.get("/").text
    assert "1 did not go ahead" in browser.get("/").text
    assert "Quillet" in browser.get("/?list=not+gone+ahead").text


def test_a_long_list_is_read_page_by_page(browser: TestClient, desk: Desk) -> None:
    for number in range(A_PAGE + 3):
        opened(desk, number, ASKED, Boat(name=f"Boat {number:03d}"))

    first, second = (browser.get(f"/?list=enquiry&page={number}").text for number in (1, 2))

    assert f"All {A_PAGE + 3} of “Enquiries”" in browser.get("/").text
    names = [re.findall(r"Boat \d+", each) for each in (first, second)]
    assert [len(each) for each in names] == [A_PAGE, 3]
    assert len({*names[0], *names[1]}) == A_PAGE + 3
    assert "page 1 of 2" in first
    assert "page=3" not in second


@pytest.mark.parametrize("address", ["/?list=nonsense", "/?list=out&page=x", "/?list=out&page=99"])
def test_an_address_typed_wrong_is_answered_all_the_same(browser: TestClient, address: str) -> None:
    assert browser.get(address).status_code == 200


def test_nobody_reads_the_diary_without_signing_in(stranger: TestClient) -> None:
    assert stranger.get("/").headers["location"].startswith("/sign-in")
