"""A first call becomes a survey, and tells whether the boat was here before."""

import re
from datetime import date
from typing import Any

import pytest
from cast import DAY, QUILLET, SURVEY, entry
from starlette.testclient import TestClient

from garboard.desk.before import Asked, in_words, surveyed_before
from garboard.desk.context import Desk
from garboard.notebook.body import Arrangement, Boat, Conditions, Instruction, Person, Told
from garboard.notebook.fold import Survey
from garboard.notebook.sharing import shared

CALL = {
    "client": "Mirel Tannock",
    "purpose": "buy",
    "visits": ["ashore", "trial"],
    "due": "2026-06-01",
    "place": "Fennick Hard",
    "questions": "Is the rudder wet?\nWhat must I spend?",
    "notes": "The broker rang for her.",
    "name": "Quillet",
    "identity_number": "xx qlt 00417 c898",
    "loa_m": "33 ft 6 in",
    "material": "grp",
}
EARLIER = (
    QUILLET,
    Instruction(client="Tamsin Orrowby, buyer", purpose="insure"),
    Conditions(lying="ashore", began=DAY),
)


def earlier(desk: Desk, *bodies: Any) -> None:
    desk.surveys.add(entry(number, body) for number, body in enumerate(bodies or EARLIER, 1))


def opened(browser: TestClient, desk: Desk, **changed: Any) -> Survey:
    answer = browser.post("/new", data={**CALL, **changed})
    assert answer.status_code == 303, answer.text
    survey = desk.surveys.get(answer.headers["location"].removeprefix("/s/").rstrip("/"))
    assert survey is not None
    return survey


def test_a_first_call_opens_a_survey(browser: TestClient, desk: Desk) -> None:
    survey = opened(browser, desk)

    assert survey.instruction == Instruction(
        client="Mirel Tannock",
        purpose="buy",
        visits=("ashore", "trial"),
        due=date(2026, 6, 1),
        place="Fennick Hard",
        questions=("Is the rudder wet?", "What must I spend?"),
        notes="The broker rang for her.",
    )
    assert survey.boat == Boat(
        name="Quillet", identity_number="xx qlt 00417 c898", loa_m=10.2108, material="grp"
    )


def test_who_is_signed_in_surveys_and_signs_qualified_as_in_the_last_job(
    browser: TestClient, desk: Desk
) -> None:
    signs = Person(name="Ines Caldervane", role="surveyor", qualification="member of an institute")
    earlier(desk, *EARLIER, signs)

    assert opened(browser, desk).bodies(Person) == (signs,)


def test_the_particulars_that_decide_the_schedule_are_asked_and_none_is_taken_for_granted(
    browser: TestClient, desk: Desk
) -> None:
    form = "".join(browser.get("/new").text.split())

    assert '<optionvalue=""></option><optionvalue="1">onehull</option>' in form
    survey = opened(browser, desk, hulls="1", fuel="diesel")
    assert survey.boat is not None
    assert (survey.boat.hulls, survey.boat.fuel, survey.boat.rudder) == (1, "diesel", None)


def test_an_enquiry_about_no_boat_in_particular_can_be_kept(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    nothing = dict.fromkeys(("name", "identity_number", "loa_m", "material"), "")

    assert opened(browser, desk, **nothing).boat is None


def test_what_is_wrong_stands_beside_its_field_and_nothing_is_kept(
    browser: TestClient, desk: Desk
) -> None:
    answer = browser.post("/new", data={**CALL, "client": "", "loa_m": "long", "name": ""})

    assert answer.status_code == 422
    assert answer.text.count('class="problem"') == 3
    assert "The broker rang for her." in answer.text
    assert "Quillet" not in browser.get("/").text


def test_the_form_takes_what_the_address_says(browser: TestClient) -> None:
    assert 'value="Wagtail"' in browser.get("/new?name=Wagtail").text


def test_a_boat_that_was_here_is_told_without_the_other_client(
    browser: TestClient, desk: Desk
) -> None:
    earlier(desk)

    told = browser.get("/new/known", params={"identity_number": "XX-QLT 00417 C898"}).text

    assert "The same identity number" in told
    assert "surveyed on 12 May 2026" in told
    assert "for another client" in told
    assert "Orrowby" not in told
    assert SURVEY not in told


def test_for_the_same_client_the_earlier_survey_can_be_opened(
    browser: TestClient, desk: Desk
) -> None:
    earlier(desk)

    told = browser.get("/new/known", params={"name": "QUILLET", "client": "tamsin orrowby"}).text

    assert "A boat of the same name" in told
    assert f"/s/{SURVEY}/" in told


@pytest.mark.parametrize("name", ["Quill", "Quillet II", "Harrowmere"])
def test_a_boat_of_another_name_is_not_taken_for_her(
    browser: TestClient, desk: Desk, name: str
) -> None:
    earlier(desk)

    assert "No earlier survey of her" in browser.get("/new/known", params={"name": name}).text


def test_a_boat_only_asked_about_was_not_surveyed(browser: TestClient, desk: Desk) -> None:
    earlier(desk, *EARLIER[:2])

    assert "asked about, not surveyed" in browser.get("/new/known", params={"name": "quillet"}).text


def test_the_surest_mark_names_her_once(desk: Desk) -> None:
    earlier(desk)
    asked = Asked(identity_number="XX-QLT00417C898", name="Quillet", client="Mirel Tannock")

    with desk.database.reading() as connection:
        found = surveyed_before(connection, asked)
        itself = surveyed_before(connection, Asked(name="Quillet", survey=SURVEY))

    assert [each.by for each in found] == ["identity number"]
    assert in_words(found) == "the same identity number, surveyed on 12 May 2026 for another client"  # fmt: skip
    assert itself == ()
    assert in_words(itself) == "no earlier survey of this boat"


def test_how_the_client_is_reached_and_the_fee_are_kept_where_no_report_carries_them(
    browser: TestClient, desk: Desk
) -> None:
    survey = opened(
        browser, desk, telephone="0471 220 118", email="mirel@example.org", fee="640 in all"
    )

    assert [(each.what, each.words, each.with_whom) for each in survey.bodies(Arrangement)] == [
        ("contact", "0471 220 118, mirel@example.org", "Mirel Tannock"),
        ("fee", "640 in all", "Mirel Tannock"),
    ]
    assert not any(each.kind == "arrangement" for each in shared(survey.entries))


def test_the_address_of_the_client_is_said_to_whom_the_terms_are_offered(
    browser: TestClient, desk: Desk
) -> None:
    form = {"name": "Terms of survey", "text": "For the client alone."}
    browser.post("/terms-texts", data=form)
    survey = opened(
        browser,
        desk,
        client_address="3 Quay Lane\nFennick",
        fee="640 in all",
        email="mirel@example.org",
    )

    sent = browser.post(f"/s/{survey.id}/instruction/terms", data={"text": "Terms of survey"}).text
    link = re.findall(r"terms/[\w-]+", sent)[0]
    shown = browser.get(f"/{link}").text

    assert 'href="mailto:mirel@example.org?subject=' in sent
    assert "<dt>Client</dt><dd>Mirel Tannock, 3 Quay Lane, Fennick</dd>" in shown
    assert "<dt>Price</dt><dd><b>640 in all</b></dd>" in shown
    assert "mirel@example.org" not in shown


def test_what_the_client_says_of_her_past_is_kept_as_told(browser: TestClient, desk: Desk) -> None:
    survey = opened(browser, desk, history="Aground in 2019, said to be repaired.")

    (told,) = survey.bodies(Told)
    assert told.who == "Mirel Tannock, in the first call"
    assert told.said == "Aground in 2019, said to be repaired."


def test_what_is_asked_besides_is_closed_until_something_stands_in_it(browser: TestClient) -> None:
    def part(page: str) -> str:
        return page.partition("<summary>More about the client")[0].rpartition("<details")[2].strip()

    assert part(browser.get("/new").text) == ">"
    assert part(browser.get("/new?fee=640").text) == "open>"
