"""Terms are the surveyor's own, version by version; a client accepts one, without signing in, and keeps a copy."""

import hashlib
import re
from dataclasses import replace
from datetime import date, timedelta
from html import unescape

import pytest
from cast import QUILLET, SURVEY, entry
from desk.conftest import Clock
from starlette.testclient import TestClient

from garboard.desk.app import application
from garboard.desk.context import Desk
from garboard.notebook.body import Arrangement, Instruction, Person, Remark, Terms, Withdrawal
from garboard.notebook.fold import Survey
from garboard.store import listing

ASKED = Instruction(
    client="Tamsin Orrowby",
    purpose="buy",
    place="Fennick Hard",
    exclusions=("the engine",),
    notes="Broker leans on her",
)
FEE = Arrangement(what="fee", words="EUR 980, trial included")
TEXT = "1. Parties\n\nFor the client <alone>."
PAGE = f"/s/{SURVEY}/instruction"


def write(browser: TestClient, text: str = TEXT, name: str = "Terms of survey") -> None:
    answer = browser.post("/terms-texts", data={"name": name, "text": text})
    assert answer.status_code == 303


def sent(browser: TestClient) -> str:
    """The path of a link as it is sent to the client."""
    shown = browser.post(f"{PAGE}/terms", data={"text": "Terms of survey"}).text
    found = re.search(r'value="https://desk(/terms/[\w-]+)"', shown)
    assert found is not None
    return found[1]


def digest_of(shown: str) -> str:
    found = re.search(r'name="shown" value="(\w+)"', shown)
    assert found is not None
    return found[1]


def agree(client: TestClient, link: str, **changed: str) -> int:
    shown = client.get(link).text
    form = {"shown": digest_of(shown), "agreed": "yes", "accepted_by": "Tamsin Orrowby", **changed}
    return client.post(link, data=form).status_code


def survey_of(desk: Desk) -> Survey:
    survey = desk.surveys.get(SURVEY)
    assert survey is not None
    return survey


@pytest.fixture
def link(browser: TestClient, desk: Desk) -> str:
    """A link to the terms of a job, as the client has it."""
    desk.surveys.add([entry(1, ASKED), entry(2, QUILLET), entry(3, FEE), entry(4, Remark(text="he haggles"))])  # fmt: skip
    write(browser)
    return sent(browser)


@pytest.fixture
def client(link: str, browser: TestClient) -> TestClient:
    """The client's telephone, on which nobody signs in."""
    browser.cookies.clear()
    return browser


def test_there_is_no_ready_text_only_what_each_clause_must_say(browser: TestClient) -> None:
    shown = browser.get("/terms-texts").text

    assert re.search(r'<textarea id="text"[^>]*></textarea>', shown)
    assert shown.count("Beware:") == 13


def test_every_version_of_a_text_can_be_read_again(browser: TestClient) -> None:
    write(browser)
    write(browser, "2. Otherwise")

    first = browser.get(f"/terms-texts/{hashlib.sha256(TEXT.encode()).hexdigest()}").text

    assert "Terms of survey, version 1" in first
    assert "For the client &lt;alone&gt;." in first
    assert "version 2" in first
    assert ">2. Otherwise</textarea>" in browser.get("/terms-texts?name=Terms+of+survey").text


def test_a_text_without_a_name_is_refused_and_not_lost(browser: TestClient) -> None:
    answer = browser.post("/terms-texts", data={"name": " ", "text": "typed at length"})

    assert answer.status_code == 422
    assert "typed at length" in answer.text


def test_a_text_that_is_not_there_is_said(browser: TestClient) -> None:
    assert browser.get(f"/terms-texts/{'0' * 64}").status_code == 404


def test_nothing_is_sent_where_there_is_nothing_to_send(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, ASKED)])

    answer = browser.post(f"{PAGE}/terms", data={"text": "Terms of survey"})

    assert answer.status_code == 422
    assert "nothing to send" in answer.text


def test_the_client_reads_the_terms_of_this_survey_and_nothing_else(
    client: TestClient, link: str
) -> None:
    answer = client.get(link)
    shown = unescape(answer.text)

    for words in ("Tamsin Orrowby", "Quillet", "condition survey before purchase", "Fennick Hard", "the engine", "EUR 980, trial included", "For the client <alone>."):  # fmt: skip
        assert words in shown
    assert "For the client &lt;alone&gt;." in answer.text
    assert "SHA-256" not in answer.text
    for hidden in ("Broker leans", "haggles", "XX-QLT", "/s/", "/search", SURVEY):
        assert hidden not in shown
    assert answer.headers["x-robots-tag"] == "noindex"
    assert answer.headers["cache-control"] == "no-store"
    assert client.get(PAGE).headers["location"].startswith("/sign-in")


def test_what_is_too_long_of_the_practice_comes_back_and_is_not_cut(browser: TestClient) -> None:
    browser.post("/terms-texts/practice", data={"practice": "Invented Lane 1"})

    answer = browser.post("/terms-texts/practice", data={"practice": "x" * 200_001})

    assert answer.status_code == 422
    assert "it is longer than a book. Shorten it" in answer.text
    assert "x" * 200_001 in answer.text
    assert "Invented Lane 1" in browser.get("/terms-texts").text


def test_the_practice_stands_above_its_terms(browser: TestClient, link: str) -> None:
    browser.post("/terms-texts/practice", data={"practice": "Ines Caldervane\r\nInvented Lane 1"})

    assert "Ines Caldervane\nInvented Lane 1" in browser.get(link).text


def test_accepting_writes_who_when_how_and_which_text(
    client: TestClient, link: str, desk: Desk
) -> None:
    assert agree(client, link) == 303

    (kept,) = survey_of(desk).of(Terms)
    assert (kept.author, kept.device) == ("Tamsin Orrowby", "acceptance link")
    assert kept.body == Terms(
        version="Terms of survey, version 1",
        accepted_by="Tamsin Orrowby",
        accepted_on=date(2026, 5, 12),
        how="by the link sent on 12 May 2026",
        summary=(
            "Surveyor: Ines Caldervane",
            "Client: Tamsin Orrowby",
            "Boat: Quillet",
            "Purpose: condition survey before purchase",
            "How she is seen: ashore",
            "Where: Fennick Hard",
            "Left out: the engine",
        ),
        sha256=hashlib.sha256(TEXT.encode()).hexdigest(),
    )


def test_each_question_has_a_line_and_the_client_is_not_named_besides_herself(
    browser: TestClient, desk: Desk, link: str
) -> None:
    asked = replace(
        ASKED,
        questions=("Is the keel safe?", "May I launch her?"),
        may_rely=("Tamsin Orrowby", "Pellow Mutual"),
    )
    person = Person(name="Jory Pask-Lund", role="Surveyor, hull")
    desk.surveys.add([entry(5, asked, replaces=(1,)), entry(6, person)])

    shown = browser.get(link).text

    lines = re.findall(r"<dt>([^<]*)</dt><dd>([^<]*)</dd>", shown)
    assert ("Surveyor", "Jory Pask-Lund") in lines
    assert ("May rely on the report besides the client", "Pellow Mutual") in lines
    assert ("Question to be answered", "Is the keel safe?") in lines
    assert ("Question to be answered", "May I launch her?") in lines


def test_a_practice_that_is_not_written_down_is_asked_for_where_terms_are_sent(
    browser: TestClient, link: str
) -> None:
    before = browser.get(PAGE).text
    browser.post("/terms-texts/practice", data={"practice": "Invented Lane 1"})

    assert 'href="/terms-texts#practice"' in before
    assert 'href="/terms-texts#practice"' not in browser.get(PAGE).text


def test_the_price_is_settled_with_the_client_and_not_among_what_a_report_prints(
    client: TestClient, link: str, desk: Desk
) -> None:
    agree(client, link)

    (fee,) = survey_of(desk).bodies(Arrangement)
    assert fee == replace(FEE, with_whom="Tamsin Orrowby", on=date(2026, 5, 12))
    assert "980" not in " ".join(survey_of(desk).bodies(Terms)[0].summary)


def test_the_copy_stays_as_it_was_accepted_whatever_changes(
    client: TestClient, link: str, desk: Desk
) -> None:
    agree(client, link)
    desk.surveys.add([entry(5, replace(ASKED, place="Saltby"), replaces=(1,))])

    shown, file = client.get(link).text, client.get(f"{link}/copy")

    assert "Accepted by Tamsin Orrowby on 12 May 2026" in shown
    assert "Fennick Hard" in shown
    assert "Saltby" not in shown
    assert "EUR 980" in shown
    assert 'name="agreed"' not in shown
    assert file.headers["content-disposition"] == 'attachment; filename="terms-of-survey.txt"'
    for words in (TEXT, "Price: EUR 980", "Left out: the engine", "Accepted by Tamsin Orrowby on 2026-05-12"):  # fmt: skip
        assert words in file.text


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"agreed": ""}, "Set the mark"),
        ({"accepted_by": "  "}, "Write your name"),
        ({"accepted_by": "x" * 201}, "Write your name"),
        ({"accepted_by": "T\x00"}, "Write your name"),
        ({"shown": "0" * 64}, "Please read it again"),
    ],
)
def test_without_mark_name_or_reading_nothing_is_accepted(
    client: TestClient, link: str, desk: Desk, changed: dict[str, str], said: str
) -> None:
    form = {"shown": digest_of(client.get(link).text), "agreed": "yes", "accepted_by": "T. O."}

    answer = client.post(link, data={**form, **changed})

    assert answer.status_code == 422
    assert said in answer.text
    assert survey_of(desk).of(Terms) == ()


def test_what_was_changed_while_the_client_read_must_be_read_again(
    client: TestClient, link: str, desk: Desk
) -> None:
    shown = digest_of(client.get(link).text)
    desk.surveys.add([entry(5, replace(ASKED, exclusions=("the rig",)), replaces=(1,))])

    answer = client.post(link, data={"shown": shown, "agreed": "yes", "accepted_by": "T. O."})

    assert answer.status_code == 422
    assert "Something was changed" in answer.text
    assert "the rig" in answer.text
    assert survey_of(desk).of(Terms) == ()


def test_accepting_twice_is_accepting_once(client: TestClient, link: str, desk: Desk) -> None:
    form = {"shown": digest_of(client.get(link).text), "agreed": "yes", "accepted_by": "T. O."}

    answers = [client.post(link, data=form) for _ in range(2)]

    assert [each.status_code for each in answers] == [303, 303]
    assert len(survey_of(desk).of(Terms)) == 1


def test_a_link_is_refused_once_the_text_was_changed(browser: TestClient, link: str) -> None:
    write(browser, f"{TEXT}\n\n2. More")

    answer = browser.get(link)

    assert answer.status_code == 410
    assert "The terms were changed after it was sent. Ask the surveyor for a new one." in answer.text  # fmt: skip
    assert "its text was changed since" in browser.get(PAGE).text


def test_a_link_is_refused_once_its_time_is_over(
    client: TestClient, link: str, clock: Clock
) -> None:
    clock.time += timedelta(days=15)

    answer = client.get(link)

    assert answer.status_code == 410
    assert "It was good until 2026-05-26" in answer.text


def test_a_link_is_refused_once_it_was_withdrawn_or_another_was_sent(
    browser: TestClient, link: str
) -> None:
    second = sent(browser)
    before = browser.get(PAGE).text
    replaced = browser.get(link).status_code
    browser.post(f"{PAGE}/terms/withdraw")

    assert (replaced, browser.get(second).status_code) == (410, 410)
    assert before.count("can be accepted by the link that was made last, until") == 1
    assert "can be accepted by the link that was made last" not in browser.get(PAGE).text


def test_a_link_is_refused_once_the_job_was_set_aside(
    client: TestClient, link: str, desk: Desk
) -> None:
    desk.surveys.add([entry(5, Withdrawal(), replaces=(1,))])

    assert "did not go ahead" in client.get(link).text


@pytest.mark.parametrize("token", ["nonsense", "x" * 43, "%2e%2e"])
def test_a_token_nobody_made_opens_nothing(client: TestClient, token: str) -> None:
    answer = client.get(f"/terms/{token}")

    assert answer.status_code in (303, 404, 410)
    assert "Orrowby" not in answer.text


def test_there_is_no_copy_before_anything_was_accepted(client: TestClient, link: str) -> None:
    assert client.get(f"{link}/copy").status_code == 404


def test_the_link_can_be_mailed_and_is_shown_once(browser: TestClient, link: str) -> None:
    made = unescape(browser.post(f"{PAGE}/terms", data={"text": "Terms of survey"}).text)

    assert "mailto:?subject=Survey%20of%20Quillet%3A%20terms&body=" in made
    assert "/terms/" not in browser.get(PAGE).text.replace(f"{PAGE}/terms", "")


def test_the_job_is_booked_by_the_client_s_word(client: TestClient, link: str, desk: Desk) -> None:
    agree(client, link)

    with desk.database.reading() as connection:
        row = listing.one(connection, SURVEY)
    assert row is not None
    assert row.stage == "booked"


@pytest.mark.parametrize(
    ("opened_at", "network", "link_at", "said", "is_mailed"),
    [
        ("http://localhost:8417", "", "http://localhost:8417", "on this computer alone", False),
        ("http://localhost:8417", "https://192.168.1.5:8418", "https://192.168.1.5:8418", "in the same network alone", False),
        ("https://desk", "", "https://desk", "opens on any telephone", True),
    ],
)  # fmt: skip
def test_a_link_that_cannot_reach_the_client_is_said_to_and_the_terms_are_printed_instead(
    browser: TestClient, desk: Desk, opened_at: str, network: str, link_at: str, said: str, is_mailed: bool
) -> None:  # fmt: skip
    desk.surveys.add([entry(1, ASKED), entry(2, QUILLET)])
    write(browser)

    app = application(desk, network=network)
    with TestClient(app, base_url=opened_at, cookies=dict(browser.cookies)) as surveyor:
        surveyor.headers["sec-fetch-site"] = "same-origin"
        shown = unescape(surveyor.post(f"{PAGE}/terms", data={"text": "Terms of survey"}).text)

    assert f'readonly value="{link_at}/terms/' in shown
    assert said in shown
    assert ("mailto:" in shown) is is_mailed
    assert ("Open the terms, to print them" in shown) is not is_mailed
