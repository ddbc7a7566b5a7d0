"""Whatever was written is found, with the words that were asked for marked, and where it stands."""

import pytest
from cast import OTHER_SURVEY, QUILLET, SURVEY, entry
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import Instruction, Observation, Place

SEEN = entry(
    3, Observation(place=Place(part="keel-joint"), seen="Rust <b>weeps</b> from the joint")
)


@pytest.fixture
def surveys(desk: Desk) -> None:
    """The same boat twice, for two clients."""
    desk.surveys.add([entry(1, QUILLET), entry(2, Instruction(client="Tamsin Orrowby", purpose="buy")), SEEN])  # fmt: skip
    desk.surveys.add(
        [
            entry(11, QUILLET, survey=OTHER_SURVEY),
            entry(12, Instruction(client="Mirel Tannock", purpose="insure"), survey=OTHER_SURVEY),
        ]
    )


def test_a_word_leads_to_the_entry_it_stands_in(browser: TestClient, surveys: None) -> None:
    shown = browser.get("/search?q=weeps").text

    assert f"/s/{SURVEY}/entry/{SEEN.id}" in shown
    assert "<mark>weeps</mark>" in shown
    assert "Rust &lt;b&gt;" in shown
    assert "1 survey;" in shown


def test_every_survey_of_a_boat_is_found_by_her_number_however_it_is_spaced(
    browser: TestClient, surveys: None
) -> None:
    shown = browser.get("/search?q=xx+qlt+00417+c898").text

    assert f"/s/{SURVEY}/" in shown
    assert f"/s/{OTHER_SURVEY}/" in shown
    assert "for Mirel Tannock" in shown


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("", "Type words"),
        ("   ", "Type words"),
        ("lignum", "Nothing in any survey"),
        ("-", "Nothing"),
    ],
)
def test_finding_nothing_says_what_to_try(
    browser: TestClient, surveys: None, asked: str, said: str
) -> None:
    assert said in browser.get("/search", params={"q": asked}).text


def test_what_was_asked_stays_in_the_box_and_is_escaped(browser: TestClient) -> None:
    shown = browser.get("/search", params={"q": '"><b>x'}).text

    assert "&#34;&gt;&lt;b&gt;x" in shown
    assert "<b>x" not in shown
