"""Wordings of one's own: kept in the catalogue's format, offered before it, edited, and put away."""

from datetime import timedelta
from html import unescape
from typing import Any

import pytest
from desk.test_findings import PAGE as FINDING_PAGE
from desk.test_findings import form_of
from desk.written import BASE, put
from starlette.testclient import TestClient

from garboard.catalogue.parts import catalogue
from garboard.catalogue.phrases import phrases, read_phrase
from garboard.desk.context import Desk
from garboard.desk.wordings import own_wordings, wordings_for
from garboard.notebook.body import Place
from garboard.store import texts

MINE = {
    "name": "",
    "parts": "keel-joint\r\nkeel-bolt",
    "title": "Keel joint open {where}",
    "seen": "The joint is open {where} {extent}.",
    "why": "Water reaches the bolts.",
    "urgency": "before launching",
    "because": "the bolts cannot be seen",
    "what": "Have it opened.",
    "by_whom": "yard",
    "verified": "seen open",
    "caution": "",
}


@pytest.fixture
def mine(browser: TestClient) -> str:
    """The name of a wording that was kept."""
    kept = browser.post("/phrases", data=MINE)
    assert kept.status_code == 303, kept.text
    return kept.headers["location"].rpartition("#")[2]


def text_of(desk: Desk, name: str) -> str:
    with desk.database.reading() as connection:
        held = texts.one(connection, "phrase", name)
    return held.text if held else ""


def test_a_wording_is_kept_in_the_format_of_the_catalogue(
    browser: TestClient, desk: Desk, mine: str
) -> None:
    phrase = read_phrase(text_of(desk, mine), "own", catalogue())

    assert mine == "keel-joint-open-where"
    assert phrase.parts == ("keel-joint", "keel-bolt")
    assert phrase.slots == ("where", "extent")


def test_it_is_offered_at_its_parts_before_those_of_the_catalogue(desk: Desk, mine: str) -> None:
    offered = wordings_for(desk, [Place(part="keel-joint")])

    assert offered[0].id == mine
    assert len(offered) > 1


def test_what_is_wrong_stands_beside_its_field_and_nothing_is_kept(
    browser: TestClient, desk: Desk
) -> None:
    wrong = {**MINE, "parts": "keel-jont", "seen": "", "why": "It is {wide}."}

    refused = browser.post("/phrases", data=wrong)

    assert refused.status_code == 422
    for words in (
        'Did you mean "keel-to-hull joint"?',
        "there is no slot {wide}",
        "Write some words",
    ):
        assert words in unescape(refused.text)
    assert own_wordings(desk) == ()


def test_what_came_back_to_be_mended_is_not_left_unasked(browser: TestClient) -> None:
    refused = browser.post("/phrases", data={**MINE, "seen": ""})

    assert 'data-writing="kept"' in browser.get("/phrases/new").text
    assert 'data-writing="unkept"' in refused.text


def test_a_long_heading_gives_a_name_that_can_be_kept(browser: TestClient, desk: Desk) -> None:
    kept = browser.post("/phrases", data={**MINE, "title": f"{'a' * 59} joint open"})

    assert kept.status_code == 303
    assert [each.text.name for each in own_wordings(desk)] == ["a" * 59]


def test_the_list_names_the_parts_as_people_do(browser: TestClient, mine: str) -> None:
    shown = unescape(browser.get("/phrases").text)

    assert "keel-to-hull joint, keel bolt" in shown


def test_an_edit_is_the_next_version_under_the_same_name(
    browser: TestClient, desk: Desk, mine: str
) -> None:
    page = browser.get(f"/phrases/of/{mine}").text

    browser.post("/phrases", data={**MINE, "name": mine, "why": "Water rusts the bolts."})

    (own,) = own_wordings(desk)
    assert "Water reaches the bolts." in page
    assert own.text.version == 2
    assert own.phrase is not None
    assert own.phrase.why == "Water rusts the bolts."


def test_one_of_the_catalogue_becomes_ones_own_under_its_name(
    browser: TestClient, desk: Desk
) -> None:
    browser.post("/phrases", data={**MINE, "name": "transom-core-wet", "parts": "transom"})

    offered = wordings_for(desk, [Place(part="transom")])

    assert [each.title for each in offered if each.id == "transom-core-wet"] == [MINE["title"]]
    assert phrases()["transom-core-wet"].title != MINE["title"]


def test_a_wording_put_away_is_offered_no_more(browser: TestClient, desk: Desk, mine: str) -> None:
    browser.post("/phrases/away", data={"name": mine})

    assert own_wordings(desk) == ()
    assert mine not in {each.id for each in wordings_for(desk, [Place(part="keel-joint")])}


def test_a_wording_that_no_longer_fits_the_catalogue_is_said_and_not_offered(
    browser: TestClient, desk: Desk, mine: str
) -> None:
    old = text_of(desk, mine).replace("keel-joint", "keel-seam")
    with desk.database.writing() as connection:
        texts.keep(connection, "phrase", mine, old, by="Ines Caldervane", now=desk.clock())

    page = browser.get("/phrases").text

    assert "keel-seam" in page
    assert mine not in {each.id for each in wordings_for(desk, [Place(part="keel-bolt")])}


def test_a_finding_as_it_is_being_written_begins_a_wording(
    browser: TestClient, desk: Desk, clock: Any
) -> None:
    clock.time += timedelta(hours=1)
    put(desk)
    form = {**form_of(browser.get(FINDING_PAGE)), "title": "Not kept yet"}

    page = browser.post("/phrases/from", data=form).text

    assert 'value="Not kept yet"' in page
    assert 'data-writing="unkept"' in page
    assert ">Open the joint.</textarea>" in page
    assert 'value="keel-to-hull joint"' in page
    assert browser.get(f"{BASE}/findings").text.count("Not kept yet") == 0


def test_the_list_of_wordings_shows_no_slot_as_it_is_written(browser: TestClient) -> None:
    shown = unescape(browser.get("/phrases").text)

    assert ">Seacock seized</a>" in shown
    assert "Saildrive diaphragm … years old" in shown
    assert "{number}" not in shown
