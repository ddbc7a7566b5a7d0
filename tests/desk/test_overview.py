"""The overview says where the job stands, what is in the way, and where that is mended."""

import re
from dataclasses import replace
from datetime import UTC, date, timedelta
from html import unescape
from typing import Any

from cast import DAY, QUILLET, SURVEY, entry, entry_id, sounding
from settled import EVERYTHING
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import Arrangement, Conditions, Instruction, Issue, Photo
from garboard.notebook.fold import fold

ASKED = Instruction(client="Tamsin Orrowby", purpose="buy", place="Fennick Hard", questions=("Is she wet?",))  # fmt: skip
PAGE = f"/s/{SURVEY}/"


def issue_of(*bodies: Any) -> Issue:
    """The issue of a report made of these."""
    made = fold(entry(number, body) for number, body in enumerate(bodies, 1))
    return Issue(number="Q-1", version=1, entries_sha256=made.content_digest)


def shown(browser: TestClient, desk: Desk, *bodies: Any) -> str:
    desk.surveys.add(entry(number, body) for number, body in enumerate(bodies, 1))
    answer = browser.get(PAGE)
    assert answer.status_code == 200
    return unescape(answer.text)


def test_an_enquiry_is_not_ready_and_each_open_matter_leads_to_its_place(
    browser: TestClient, desk: Desk
) -> None:
    page = shown(browser, desk, ASKED, QUILLET)

    assert "Not ready to travel" in page
    assert f'href="/s/{SURVEY}/instruction#terms"' in page
    assert f'href="/s/{SURVEY}/instruction#conflict"' in page
    assert f"/s/{SURVEY}/add/consent?act=attend&given=yes&back=" in page
    assert f"/s/{SURVEY}/add/arrangement?what=lift+or+slip&back=" in page
    assert f"/s/{SURVEY}/entry/{entry_id(1)}?back=" in page


def test_ready_is_said_when_everything_is_settled(browser: TestClient, desk: Desk) -> None:
    page = shown(browser, desk, *EVERYTHING)

    assert "Ready to travel" in page
    assert "Travel and examine" in page
    assert "Not ready" not in page


def test_what_the_links_lead_to_is_filled_in_and_comes_back(
    browser: TestClient, desk: Desk
) -> None:
    shown(browser, desk, ASKED)

    form = browser.get(f"{PAGE}add/arrangement?what=lift+or+slip&back={PAGE}").text
    answer = browser.post(f"{PAGE}add/arrangement", data={"what": "lift or slip", "words": "Ashore.", "back": PAGE})  # fmt: skip

    assert '<option value="lift or slip" selected>' in form
    assert answer.headers["location"] == PAGE
    assert "Lift or slip is booked in writing" in unescape(browser.get(PAGE).text)


def test_what_she_is_and_what_is_asked_is_told_in_short(browser: TestClient, desk: Desk) -> None:
    page = shown(browser, desk, ASKED, QUILLET)

    assert "1998, 10.20 m, single-skin glass-reinforced plastic, bolted iron, sloop" in page
    assert "condition survey before purchase" in page
    assert "Is she wet?" in page


def test_a_visit_can_be_begun_at_the_top_of_an_enquiry_and_then_ended_there(
    browser: TestClient, desk: Desk
) -> None:
    ahead = shown(browser, desk, ASKED, QUILLET)
    desk.surveys.add([entry(3, Conditions(lying="ashore", began=DAY))])
    going_on = browser.get(PAGE).text

    assert ahead.index(">Begin the visit</a>") < ahead.index("Not ready to travel")
    assert ahead.count(f'href="{PAGE}visit"') == 1
    assert "Examine her, and end the visit" in going_on
    assert "End the visit now" in going_on


def test_what_is_not_looked_at_yet_is_counted_as_on_the_schedule(
    browser: TestClient, desk: Desk
) -> None:
    page = shown(browser, desk, ASKED, QUILLET, Conditions(lying="ashore", began=DAY, ended=DAY))

    schedule = browser.get(f"{PAGE}schedule").text
    counted = re.search(r"nothing recorded at (\d+) places", page)

    assert counted
    assert f"<b>{counted[1]}</b> nothing recorded" in schedule


def test_after_the_visit_the_overview_speaks_of_writing(browser: TestClient, desk: Desk) -> None:
    page = shown(browser, desk, ASKED, QUILLET, Conditions(lying="ashore", began=DAY, ended=DAY))

    assert "Write up, and issue the report" in page
    assert "nothing recorded at " in page
    assert "ready to travel" not in page.lower()


def test_a_follow_up_says_what_to_ask_and_how_to_end_it(
    browser: TestClient, desk: Desk, clock: Any
) -> None:
    clock.time += timedelta(hours=1)
    call = Arrangement(what="follow-up", words="Were the bolts drawn?", on=date(2026, 5, 14))
    page = shown(browser, desk, ASKED, QUILLET, issue_of(ASKED, QUILLET), call)
    done = {
        "what": "follow-up",
        "words": "Drawn; invoice seen.",
        "on": "",
        "why": "done",
        "of": entry_id(4),
    }
    browser.post(f"{PAGE}entry/{entry_id(4)}", data=done)

    assert "Were the bolts drawn?" in page
    assert "14 May 2026, in 2 days" in page
    assert "Nothing to follow up" in browser.get(PAGE).text


def test_an_enquiry_that_came_to_nothing_is_set_aside_with_its_reason(
    browser: TestClient, desk: Desk
) -> None:
    page = shown(browser, desk, ASKED)
    assert f'action="{PAGE}entry/{entry_id(1)}/withdraw"' in page

    answer = browser.post(f"{PAGE}entry/{entry_id(1)}/withdraw", data={"why": "sold", "back": PAGE})

    assert answer.headers["location"] == PAGE
    assert "It did not go ahead." in browser.get(PAGE).text
    assert "A new instruction" in browser.get(PAGE).text


def test_a_survey_of_which_only_a_little_is_known_can_be_opened(
    browser: TestClient, desk: Desk
) -> None:
    assert "A boat without a name yet" in shown(browser, desk, replace(ASKED, visits=()))


def test_when_each_visit_ended_and_what_was_issued_is_told(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    done = Conditions(lying="ashore", began=DAY, ended=DAY + timedelta(hours=3))
    again = Conditions(lying="afloat", began=DAY + timedelta(days=1))
    issued = Issue(number="Q-1", version=1, entries_sha256="0" * 64)

    page = shown(browser, desk, ASKED, QUILLET, done, again, issued)

    assert "12 May 2026, 10:00 to 13:00, ashore" in page
    assert "its end is not recorded yet, afloat" in page
    assert f'<a href="/s/{SURVEY}/report#issue">Report Q-1, version 1</a>' in page


def test_every_time_of_a_visit_is_told_by_the_clock_of_the_desk_which_is_named(
    browser: TestClient, desk: Desk
) -> None:
    elsewhere = DAY.replace(hour=21, minute=37, tzinfo=UTC)
    desk.zones.choose("Europe/Berlin", by="Ines Caldervane", now=desk.now())

    page = shown(browser, desk, ASKED, QUILLET, Conditions(lying="ashore", began=elsewhere))

    assert "The visit began at 23:37" in page
    assert "12 May 2026, 23:37; its end is not recorded yet" in page
    assert "21:37" not in page
    assert page.count("Times are told in the zone Europe/Berlin") == 1


def test_what_was_never_written_down_is_told_alike_here_and_on_the_instruction_once_it_is_issued(
    browser: TestClient, desk: Desk
) -> None:
    photo = Photo(number=1, file="1.jpg", sha256="0" * 64, media_type="image/jpeg", caption="Stem")
    known = (*EVERYTHING[:-1], photo)

    page = shown(browser, desk, *known, issue_of(*known))
    instruction = browser.get(f"{PAGE}instruction").text

    assert "Nothing to follow up" in page
    assert f'<a href="{PAGE}instruction">1 matter of the instruction</a>' in page
    assert "1 printed photograph was not looked at large" in page
    assert "<b>Not written down.</b>" in instruction
    assert "<b>Open.</b>" not in instruction


def test_what_was_recorded_after_the_issue_calls_for_an_amendment_here_and_in_the_diary(
    browser: TestClient, desk: Desk
) -> None:
    page = shown(browser, desk, ASKED, QUILLET, issue_of(ASKED, QUILLET), sounding(heard="hollow"))
    diary = unescape(re.sub(r"<[^>]+>", "", browser.get("/").text))

    assert "Nothing to follow up" not in page
    assert "Something was recorded that version 1 of the report does not show" in page
    assert f'href="{PAGE}report/amendment"' in page
    assert "waits for: amendment of version 1" in diary
