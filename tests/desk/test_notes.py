"""What a page says first: what was kept, once; and what has to be mended, with the way there."""

from html import unescape

import pytest
from cast import QUILLET, SURVEY, entry
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.desk.notes import Mend, mends_in
from garboard.notebook.body import Instruction, Photo, Told

BASE = f"/s/{SURVEY}"
TOLD = {"who": "Bram Aldous, seller", "said": "She never grounded.", "back": f"{BASE}/"}


@pytest.fixture(autouse=True)
def survey(desk: Desk) -> None:
    """A survey with a boat."""
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    desk.surveys.add([entry(1, QUILLET), entry(2, asked)])


def said(browser: TestClient, path: str = f"{BASE}/") -> str:
    page = unescape(browser.get(path).text)
    return page.partition('<p class="note said" role="status">')[2].partition("</p>")[0]


def test_what_was_kept_is_said_once_on_the_page_it_leads_to(browser: TestClient) -> None:
    browser.post(f"{BASE}/add/told", data=TOLD)

    assert said(browser) == "Kept: statement “Bram Aldous, seller: She never grounded”."
    assert said(browser) == ""


def test_a_correction_and_what_is_taken_back_are_told_apart(
    browser: TestClient, desk: Desk
) -> None:
    once, twice = (entry(n, Told(who="Bram Aldous", said=f"{n} times.")) for n in (3, 4))
    desk.surveys.add([once, twice])

    browser.post(
        f"{BASE}/entry/{once.id}",
        data={**TOLD, "said": "Never.", "why": "asked again", "of": once.id},
    )
    corrected = said(browser)
    browser.post(f"{BASE}/entry/{twice.id}/withdraw", data={"why": "misheard"})

    assert corrected == "Corrected: statement “Bram Aldous, seller: Never”."
    assert said(browser).startswith("Taken back: statement “Bram Aldous: 4 times”")


def test_a_version_of_the_terms_that_calls_itself_so_is_not_called_so_twice(
    browser: TestClient,
) -> None:
    accepted = {"accepted_by": "T. Orrowby", "accepted_on": "2026-05-04", "how": "by post", "back": f"{BASE}/"}  # fmt: skip

    browser.post(f"{BASE}/add/terms", data={**accepted, "version": "Terms of survey, version 1"})
    named = said(browser)
    browser.post(f"{BASE}/add/terms", data={**accepted, "version": "3"})

    assert "“Terms of survey, version 1, accepted by T. Orrowby”" in named
    assert "“version 3, accepted by T. Orrowby”" in said(browser)


def test_several_kept_at_once_are_counted_in_words(browser: TestClient, desk: Desk) -> None:
    photos = [
        entry(n, Photo(number=n, file=f"{n}.jpg", sha256="0" * 63 + str(n), media_type="image/jpeg", caption=""))
        for n in (3, 4)
    ]  # fmt: skip
    desk.surveys.add(photos)

    browser.post(
        f"{BASE}/photographs",
        data={"photo": [each.id for each in photos], "act": "place", "place.part": "stem"},
    )

    assert said(browser) == "Kept: 2 photographs."


def test_what_was_typed_is_no_markup_in_the_note(browser: TestClient) -> None:
    browser.post(f"{BASE}/add/told", data={**TOLD, "said": "<b>loud</b>"})

    assert "<b>loud</b>" not in browser.get(f"{BASE}/").text


def test_a_page_that_is_followed_for_a_part_of_it_is_told_as_well(browser: TestClient) -> None:
    browser.post(f"{BASE}/add/told", data=TOLD, headers={"hx-request": "true"})

    assert said(browser) == "Kept: statement “Bram Aldous, seller: She never grounded”."
    assert said(browser) == ""


def test_a_refused_form_says_at_its_top_what_to_mend_and_leads_there(browser: TestClient) -> None:
    answer = browser.post(f"{BASE}/add/limitation", data={"place.part": "stem", "not_reached": ""})

    page = unescape(answer.text)
    assert answer.status_code == 422
    assert "Not kept yet: 2 things to mend" in page
    assert '<a href="#not_reached">What was not reached</a>: It is missing.' in page
    assert '<a href="#reasons-group">Why</a>: It is missing.' in page
    assert 'id="not_reached"' in page
    assert 'id="reasons-group"' in page


def test_the_fields_to_mend_are_read_from_the_page_however_they_are_made() -> None:
    page = """
      <label for="a">Length <span class="quiet">(needed)</span></label>
      <input id="a" aria-invalid="true" aria-describedby="a-about"><br/>
      <p id="a-about"><b class="problem">Too &lt; short.</b> <i>A hint.</i></p>
      <fieldset id="g" data-wrong aria-describedby="g-about"><legend>Ways</legend>
        <div id="g-about"><p class="problem">Tick one.</p></div><label><input name="g"> look</label></fieldset>
      <label for="b">Beam</label><input id="b" aria-invalid="false">
    """

    assert mends_in(page) == (
        Mend(id="a", label="Length", words="Too < short."),
        Mend(id="g", label="Ways", words="Tick one."),
    )
