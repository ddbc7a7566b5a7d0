"""Findings: listed with what they rest on, drafted from the evidence, edited in place, and nothing written unasked."""

import re
import threading
from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from html import unescape
from typing import Any

import pytest
from cast import entry, sounding
from desk.written import ADVICE, BASE, COST, CRACK, FINDING, PHOTO, SCRATCH, now, put
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.judgement.ranking import ranked
from garboard.notebook.body import (
    Cost,
    Examination,
    Finding,
    Observation,
    Photo,
    Place,
    Recommendation,
)
from garboard.notebook.fold import Survey

PAGE = f"{BASE}/finding/{FINDING.id}"


@pytest.fixture
def survey(desk: Desk, clock: Any) -> Survey:
    clock.time += timedelta(hours=1)
    return put(desk)


def form_of(answer: Any) -> dict[str, Any]:
    """What a browser would send of the page's main form, as the page stands."""
    text = answer.text[answer.text.index("<form", answer.text.index('class="writing"')) :]
    text = text[: text.index("</form>")]
    found: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", text):
        attributes = {k: unescape(v) for k, v in re.findall(r'([\w-]+)="([^"]*)"', tag)}
        if attributes.get("type") == "checkbox" and " checked" not in tag:
            continue
        if "name" in attributes:
            found.setdefault(attributes["name"], []).append(attributes.get("value", ""))
    for name, inside in re.findall(
        r'<textarea[^>]*name="([^"]+)"[^>]*>(.*?)</textarea>', text, re.DOTALL
    ):
        found[name] = [unescape(inside)]
    for name, inside in re.findall(
        r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', text, re.DOTALL
    ):
        found[name] = [unescape(each) for each in re.findall(r'value="([^"]*)" selected', inside)]
    return dict(found)


def changed(browser: TestClient, page: str = PAGE, **fields: Any) -> dict[str, Any]:
    given = {name.replace("__", "."): value for name, value in fields.items()}
    return {**form_of(browser.get(page)), **given}


def bodies(desk: Desk, cls: type[Any]) -> tuple[Any, ...]:
    return now(desk).bodies(cls)


def test_the_list_shows_each_finding_with_the_thread_back_to_its_entries(
    browser: TestClient, survey: Survey
) -> None:
    text = unescape(browser.get(f"{BASE}/findings").text)

    for words in (
        "Keel joint cracked",
        "Water reaches the bolts.",
        "Open the joint.",
        "two days of a yard",
    ):
        assert words in text
    assert f"{BASE}/entry/{CRACK.id}" in text
    assert f"{BASE}/photo/{PHOTO.id}/thumb" in text


def draft_in(browser: TestClient) -> str:
    """The page on which the first draft is taken up."""
    found = re.search(r'href="([^"]+\?draft=[^"]+)"', browser.get(f"{BASE}/findings/drafts").text)
    assert found
    return found[1]


def test_the_list_ends_with_what_everything_may_cost_together(
    browser: TestClient, survey: Survey
) -> None:
    shown = browser.get(f"{BASE}/findings").text

    costs = shown[shown.index("Costs together") :]
    assert "EUR\N{NO-BREAK SPACE}800 to 1\N{NARROW NO-BREAK SPACE}500" in costs


def test_a_draft_is_taken_up_once_with_its_evidence(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    draft = draft_in(browser)

    page = browser.get(draft)
    unread = now(desk).entries
    kept = browser.post(f"{BASE}/finding/new", data={**form_of(page), "urgency": "keep under watch"})  # fmt: skip

    assert "a scratch in the gelcoat" in page.text
    assert unread == survey.entries
    assert kept.status_code == 303
    assert bodies(desk, Finding)[-1].evidence == (SCRATCH.id,)
    assert browser.get(draft).status_code == 409


def test_how_urgent_a_draft_is_is_the_surveyors_choice(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    page = browser.get(draft_in(browser))

    refused = browser.post(f"{BASE}/finding/new", data=form_of(page))

    assert form_of(page)["urgency"] == []
    assert form_of(page)["advice.0.by_when"] == [""]
    assert refused.status_code == 422
    assert now(desk).entries == survey.entries


def test_a_part_found_doubtful_is_drafted_with_its_examination(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    place = Place(part="chainplate", side="port", number=2)
    doubtful = entry(40, Examination(place=place, extent="whole", outcome="doubtful"))
    desk.surveys.add([doubtful])

    drafts = unescape(browser.get(f"{BASE}/findings?drafts=yes").text)
    page = browser.get(f"{BASE}/finding/new?draft=chainplate-above-deck-port-2")

    assert "Chainplate above deck, port 2: found doubtful." in drafts
    assert form_of(page)["evidence"] == [doubtful.id]


def test_a_wording_is_called_by_its_place_and_leaves_no_slot_to_be_read(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    place = Place(part="seacock", number=3)
    desk.surveys.add(
        [entry(40, Observation(place=place, seen="seized, does not move", defect=True))]
    )

    drafts = unescape(browser.get(f"{BASE}/findings?drafts=yes").text)
    offered = unescape(browser.get(f"{BASE}/finding/new?part=seacock&number=3").text)

    assert "“Seacock 3 seized”" in drafts
    assert ">Seacock 3 seized</button>" in offered
    assert "{number}" not in drafts + offered


def test_a_new_recommendation_is_wanted_when_the_finding_says(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    second = {"advice.1.what": "Draw one bolt.", "advice.1.sort": "required"}

    browser.post(PAGE, data={**form_of(browser.get(PAGE)), **second})

    assert bodies(desk, Recommendation)[-1].by_when == "before launching"


def test_a_recommendation_out_of_step_with_its_finding_is_doubted_beside_its_field(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    kept = browser.post(PAGE, data=changed(browser, advice__0__by_when="keep under watch"))
    page = unescape(browser.get(PAGE).text)

    beside = page[page.index('id="advice.0.by_when"') :]
    assert kept.status_code == 303
    assert 'This is later than the finding says ("before launching").' in beside[:900]
    assert "later than the finding is urgent" in unescape(
        browser.get(f"{BASE}/report?all=yes").text
    )


def test_a_form_sent_back_as_it_came_writes_nothing(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    kept = browser.post(PAGE, data=changed(browser), follow_redirects=True)

    assert "Nothing was changed, so nothing was written." in kept.text
    assert now(desk).entries == survey.entries


def test_where_the_top_of_the_page_stays_the_form_says_that_it_was_kept(
    browser: TestClient, survey: Survey
) -> None:
    sent = changed(browser, title="Keel joint open")

    kept = browser.post(PAGE, data=sent, headers={"hx-request": "true"}, follow_redirects=True)

    assert "data-state>Corrected: finding “Keel joint open" in unescape(kept.text)


def test_a_change_is_a_correction_that_says_what_differs(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    browser.post(PAGE, data=changed(browser, title="Keel joint open", why="The bolts rust."))

    (entry,) = now(desk).of(Finding)
    assert (entry.body.title, entry.body.why) == ("Keel joint open", "The bolts rust.")
    assert entry.replaces == (FINDING.id,)
    assert entry.why == "Written anew at the desk: title, why"
    assert browser.get(PAGE).status_code == 200
    assert now(desk).of(Recommendation) == survey.of(Recommendation)


def test_what_is_not_said_yet_may_be_left_out(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    sent = changed(browser, f"{BASE}/finding/new", title="Rust on the stem", urgency="for information", how_known=[])  # fmt: skip

    kept = browser.post(f"{BASE}/finding/new", data={**sent, "places.0.part": "stem"})

    assert kept.status_code == 303
    assert bodies(desk, Finding)[-1].name == "rust-on-the-stem"


def test_a_finding_needs_a_heading(browser: TestClient, desk: Desk, survey: Survey) -> None:
    refused = browser.post(PAGE, data=changed(browser, title=" "))

    assert refused.status_code == 422
    assert "Nothing was kept" in refused.text
    assert now(desk).entries == survey.entries


def test_recommendations_and_costs_are_added_changed_and_emptied_together(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    second = {
        "advice__1__what": "Draw one bolt.",
        "advice__1__by_whom": "yard",
        "advice__1__by_when": "at the next lift-out",
        "advice__1__sort": "required",
        "advice__1__costs__0__low_minor": "300",
        "advice__1__costs__0__high_minor": "500",
        "advice__1__costs__0__basis": "half a day",
        "advice__0__costs__0__high_minor": "1600",
    }
    browser.post(PAGE, data=changed(browser, **second))

    first, other = ranked(now(desk))[0].advice
    assert other.entry.body.what == "Draw one bolt."
    assert [cost.body.high_minor for cost in other.costs] == [50_000]
    assert [cost.body.high_minor for cost in first.costs] == [160_000]
    assert first.costs[0].replaces == (COST.id,)

    emptied = {
        f"advice__0__{name}": "" for name in ("what", "by_whom", "verified", "why", "caution")
    }
    browser.post(PAGE, data=changed(browser, **emptied))

    assert [each.what for each in bodies(desk, Recommendation)] == ["Draw one bolt."]
    assert ADVICE.id in {each.entry.id for each in now(desk).withdrawn}


def test_a_correction_does_not_change_the_order_of_recommendations(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    browser.post(
        PAGE, data=changed(browser, advice__1__what="Draw one bolt.", advice__1__sort="required")
    )
    browser.post(PAGE, data=changed(browser, advice__0__what="Open the whole joint."))

    said = [each.entry.body.what for each in ranked(now(desk))[0].advice]

    assert said == ["Open the whole joint.", "Draw one bolt."]


def test_a_cost_that_runs_backwards_is_marked_at_its_field(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    refused = browser.post(PAGE, data=changed(browser, advice__0__costs__0__low_minor="9000"))

    assert refused.status_code == 422
    assert "The band begins above its end" in refused.text
    assert bodies(desk, Cost) == (COST.body,)


def test_who_writes_over_a_newer_version_is_told_and_loses_no_word(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    mine = changed(browser, title="Mine")
    browser.post(PAGE, data=changed(browser, title="Theirs"))

    told = browser.post(PAGE, data=mine)
    anew = browser.post(PAGE, data=form_of(told))

    assert told.status_code == 422
    assert "while you were writing" in told.text
    assert 'value="Mine"' in told.text
    assert anew.status_code == 303
    assert bodies(desk, Finding)[0].title == "Mine"
    assert now(desk).choices == ()


def test_evidence_of_its_own_places_is_offered_first(browser: TestClient, survey: Survey) -> None:
    text = browser.get(PAGE).text

    chosen, far = text.index(f'name="evidence" value="{CRACK.id}" checked'), text.index(SCRATCH.id)
    assert chosen < text.index("From elsewhere") < far


def test_evidence_taken_back_stays_named_until_it_is_unticked(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    browser.post(f"{BASE}/entry/{CRACK.id}/withdraw", data={"why": "misread"})

    page = browser.get(PAGE)
    browser.post(PAGE, data=form_of(page))

    assert "(taken back)" in page.text
    assert bodies(desk, Finding)[0].evidence == (CRACK.id,)


def test_a_wording_asks_for_its_slots_and_keeps_words_already_written(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    new = changed(browser, f"{BASE}/finding/new", title="My own heading", places__0__part="transom")

    asked = browser.post(f"{BASE}/finding/new/wording", data={**new, "wording": "transom-core-wet"})
    filled: Mapping[str, Any] = {
        **form_of(asked),
        "slot.where": "to starboard",
        "slot.extent": "over 300 mm",
    }
    put_in = form_of(
        browser.post(f"{BASE}/finding/new/wording", data={**filled, "put": "transom-core-wet"})
    )

    assert "How far does it reach?" in asked.text
    assert put_in["title"] == ["My own heading"]
    assert put_in["seen"][0].startswith("The transom sounds dull to starboard over 300 mm")
    assert put_in["advice.0.what"][0] != ""
    assert put_in["phrase"] == ["transom-core-wet"]
    assert now(desk).entries == survey.entries


def test_wordings_are_offered_for_places_whatever_rows_they_stand_in(
    browser: TestClient, survey: Survey
) -> None:
    blank = changed(browser, f"{BASE}/finding/new", title="My own heading")
    form = {name: text for name, text in blank.items() if not name.startswith("places.")}

    shown = browser.post(
        f"{BASE}/finding/new/wording", data={**form, "places.3.part": "transom", "wording": "transom-core-wet"}
    )  # fmt: skip

    assert re.search(r'name="wording" value="transom-core-wet"', shown.text)


def test_a_new_finding_that_is_sent_twice_at_once_is_kept_once(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    new = changed(
        browser, f"{BASE}/finding/new", title="Rust on the stem", urgency="for information"
    )
    form = {**new, "how_known": "seen", "places.0.part": "stem"}  # fmt: skip
    together, said = threading.Barrier(3), []

    def keep() -> None:
        together.wait()
        said.append(browser.post(f"{BASE}/finding/new", data=form))

    threads = [threading.Thread(target=keep) for _ in range(3)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()

    kept = [each for each in now(desk).of(Finding) if each.body.title == "Rust on the stem"]
    assert len(kept) == 1
    assert {each.headers["location"] for each in said} == {f"{BASE}/finding/{kept[0].id}"}


def test_a_finding_is_taken_back_with_all_its_versions(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    browser.post(PAGE, data=changed(browser, title="Keel joint open"))
    unsaid = browser.post(f"{PAGE}/withdraw", data={"why": " "})
    browser.post(f"{PAGE}/withdraw", data={"why": "no defect"})
    said = browser.get(f"{BASE}/findings").text

    assert unsaid.status_code == 422
    assert now(desk).of(Finding) == ()
    assert browser.get(PAGE).status_code == 404
    assert "with 1 earlier version. Nothing of it is in force now" in said


def test_soundings_that_say_the_same_are_one_tick_and_keep_their_order(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    struck = [
        entry(40 + number, sounding(3.0 + number / 10, heard))
        for number, heard in enumerate(("dull", "sound", "dull"))
    ]
    desk.surveys.add(struck)
    ids = [each.id for each in struck]
    browser.post(PAGE, data=changed(browser, evidence=[CRACK.id, *ids]))
    count = len(now(desk).entries)

    page = browser.get(PAGE)
    browser.post(PAGE, data=form_of(page))

    assert "2 soundings of bottom laminate, port: dull" in page.text
    assert bodies(desk, Finding)[0].evidence == (CRACK.id, *ids)
    assert len(now(desk).entries) == count


def test_a_photograph_that_a_finding_shows_anew_is_printed_once_the_finding_is_kept(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    held_back = entry(40, replace(PHOTO.body, printed=False), replaces=(5,))
    desk.surveys.add([held_back])
    shown = form_of(browser.get(PAGE))["photos"]
    browser.post(PAGE, data=changed(browser, photos=[]))

    browser.post(PAGE, data=changed(browser, photos=shown))

    assert "not printed" not in browser.get(PAGE).text
    assert bodies(desk, Photo) == (PHOTO.body,)
    assert now(desk).of(Photo)[0].why == "A finding shows it"


def test_a_photograph_held_back_stays_so_when_the_finding_that_shows_it_is_kept_again(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    held_back = entry(40, replace(PHOTO.body, printed=False), replaces=(5,))
    desk.surveys.add([held_back])

    browser.post(PAGE, data=changed(browser, title="Another heading"))

    assert bodies(desk, Finding)[0].title == "Another heading"
    assert "not printed" in browser.get(PAGE).text
    assert now(desk).of(Photo) == (held_back,)


def test_a_photograph_that_is_not_ticked_stays_as_it_is(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    held_back = entry(40, replace(PHOTO.body, printed=False), replaces=(5,))
    desk.surveys.add([held_back])

    browser.post(PAGE, data=changed(browser, photos=[]))

    assert bodies(desk, Finding)[0].photos == ()
    assert now(desk).of(Photo) == (held_back,)


def test_a_place_is_shown_and_kept_by_the_name_of_its_part(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    page = browser.get(f"{BASE}/finding/new?part=rudder-blade")

    browser.post(
        f"{BASE}/finding/new",
        data={**form_of(page), "title": "Rudder cracked", "urgency": "before launching"},
    )

    assert form_of(page)["places.0.part"] == ["rudder blade"]
    assert bodies(desk, Finding)[-1].places == (Place(part="rudder-blade"),)
