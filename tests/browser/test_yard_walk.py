"""Round the boat with a phone: parts examined, what was begun and missed, what is told, and the watch over lone work."""

import random
import re
from collections.abc import Callable
from datetime import timedelta, timezone
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from browser.phone import KEEP, NO_CORE, make_safe, too_small
from cast import QUILLET, SURVEY, entry
from playwright.sync_api import Browser, FilePayload, Page, expect
from shots import sha256_of, shot

from garboard.desk.access import COOKIE
from garboard.judgement.states import part_states
from garboard.notebook.body import (
    Answer,
    Arrangement,
    Conditions,
    Examination,
    Instruction,
    Issue,
    Limitation,
    Memo,
    Observation,
    Person,
    Photo,
    Place,
    Reading,
    ReadingSet,
    Sounding,
    Told,
    Withdrawal,
)
from garboard.notebook.entry import Entry, to_json
from garboard.notebook.fold import Survey, fold
from garboard.yard.plan import plan_of

Open = Callable[..., Page]
CORE_MS = 90_000
# A microphone that hums.
HUM = """navigator.mediaDevices.getUserMedia = async () => {
  const sound = new AudioContext()
  const heard = sound.createMediaStreamDestination()
  const tone = sound.createOscillator()
  tone.connect(heard)
  tone.start()
  return heard.stream
}"""
# A microphone that hums as soon as somebody allows it.
ASKED_FIRST = """() => {
  const hum = navigator.mediaDevices.getUserMedia
  globalThis.asked = []
  navigator.mediaDevices.getUserMedia = async () => {
    await new Promise((allowed) => globalThis.asked.push(allowed))
    globalThis.heard = await hum()
    return globalThis.heard
  }
}"""
FULL = """async () => {
  const put = IDBObjectStore.prototype.put
  IDBObjectStore.prototype.put = function (...given) {
    if (this.name === "settings") throw new DOMException("No room.", "QuotaExceededError")
    return put.apply(this, given)
  }
}"""
SEEN = """() => {
  const foot = document.querySelector(".thumb").getBoundingClientRect().top
  const seen = [...document.querySelectorAll(".stop")].map((each) => each.getBoundingClientRect())
  return seen.filter(({ height, bottom }) => height && bottom <= foot).length
}"""
# The desk says who is signed in as soon as it is let.
SAYS_LATER = """(() => {
  const { fetch } = globalThis
  const isLet = new Promise((resolve) => { globalThis.says = resolve })
  globalThis.fetch = async (...given) => {
    if (given[0] === "/api/me") await isLet
    return fetch(...given)
  }
})()"""
STANDS = """async (cases) => {
  const { survey } = await import("/yard/survey.js")
  const { standings } = await import("/yard/stands.js")
  const shown = (plan) => {
    survey.plan = plan
    return standings().map(({ state, words, is_found, unused }) => ({ state, words, is_found, unused }))
  }
  return cases.map(({ entries, plan, before }) => {
    survey.entries = entries
    return [survey.standing().map(({ id }) => id), shown(plan), shown(before)]
  })
}"""


PLANNED = """async (plan) => {
  const { survey } = await import("/yard/survey.js")
  survey.plan = plan
  survey.dispatchEvent(new Event("planned"))
}"""


@pytest.fixture
def phone(open_page: Open, served: Served) -> Page:
    """A survey of which nothing was examined, on a phone on which the calculations have not started."""
    page = open_page("about:blank", width=360)
    page.add_init_script(NO_CORE)
    return with_survey(page, served)


def with_survey(page: Page, served: Served) -> Page:
    """The page with the survey brought on the device and opened, as a surveyor does."""
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    served.desk.surveys.add([entry(1, QUILLET), entry(2, asked)])
    page.goto("/yard/")
    page.get_by_role("button", name="Quillet").click()
    page.locator("[data-surveys]").get_by_role("button", name="Quillet").click()
    expect(page.get_by_role("link", name="Next:")).to_be_visible()
    return page


def turn(page: Page, view: str) -> None:
    """Turn to a view of the survey."""
    page.evaluate("(to) => { location.hash = to }", f"#/{view}")
    expect(page.locator("h1")).to_be_focused()


def at_desk(served: Served, page: Page) -> Survey:
    """The survey as the desk holds it, once all of the phone is there."""
    make_safe(page)
    found = served.desk.surveys.get(SURVEY)
    assert found is not None
    return found


def test_the_next_part_is_examined_in_one_touch_and_the_next_but_one_is_one_touch_away(
    phone: Page, served: Served
) -> None:
    phone.get_by_role("link", name="Next: chocks, props and access").click()

    phone.get_by_role("button", name="Whole and sound").click()

    expect(phone.get_by_text("Saved on this device. Examined whole")).to_be_visible()
    following = phone.get_by_role("link", name="Next: identity marks")
    expect(following).to_be_visible()
    # What its words say already is not read twice.
    expect(following).not_to_have_attribute("aria-description", re.compile(""))
    (made,) = at_desk(served, phone).bodies(Examination)
    assert (made.place.part, made.extent, made.outcome) == ("chocks-and-access", "whole", "sound")
    # That it was photographed is told by a photograph alone.
    assert made.how == ("look",)


def test_what_the_desk_refuses_is_named_by_the_words_for_it(phone: Page) -> None:
    body = {"file": "a.webm", "seconds": 1, "no-such-field": "x"}
    phone.evaluate(KEEP, ["memo", [body], [["AAAA"]], []])
    make_safe(phone)

    phone.evaluate("location.hash = '#/'")

    refused = phone.locator("[data-refused] li")
    expect(refused).to_contain_text("spoken note, ")
    expect(refused).to_contain_text("no-such-field")


def test_a_like_part_is_as_the_last_only_if_somebody_looked_at_it(
    phone: Page, served: Served
) -> None:
    turn(phone, f"part/{SURVEY}/seacock 1")
    expect(phone.get_by_role("button", name="As the last like it")).to_have_count(0)
    phone.get_by_role("button", name="Whole and sound").click()
    expect(phone.get_by_text("Saved on this device. Examined")).to_be_visible()
    turn(phone, f"part/{SURVEY}/seacock 2")
    phone.get_by_role("button", name="As the last like it").click()
    phone.get_by_role("button", name="No, go back").click()
    assert len(at_desk(served, phone).bodies(Examination)) == 1

    phone.get_by_role("button", name="As the last like it").click()
    phone.get_by_role("button", name="Yes, I looked at it: keep").click()

    expect(phone.get_by_text("Saved on this device. Examined")).to_be_visible()
    first, second = at_desk(served, phone).bodies(Examination)
    assert (first.place.number, second.place.number) == (1, 2)
    assert first.how == second.how


def test_what_was_begun_is_there_after_a_call_and_listed_until_it_is_kept(
    phone: Page, served: Served
) -> None:
    turn(phone, f"part/{SURVEY}/keel-joint")
    phone.get_by_role("button", name="A part of it").click()
    phone.get_by_role("button", name="50 %").click()
    phone.get_by_role("button", name="sounded with a hammer").first.click()
    phone.get_by_role("button", name="seam open", exact=True).click()
    phone.get_by_role("button", name="Doubtful").click()

    turn(phone, f"red/{SURVEY}")
    phone.reload()
    expect(phone.get_by_role("heading", name="Begun and not kept: 1")).to_be_visible()
    phone.get_by_role("link", name="its examination was begun").click()
    phone.get_by_role("button", name="Keep the examination").click()

    expect(phone.get_by_text("Saved on this device. Examined in part")).to_be_visible()
    (made,) = at_desk(served, phone).bodies(Examination)
    assert (made.extent, made.share_pct, made.how) == ("part", 50, ("sound",))
    assert (made.outcome, made.found) == ("doubtful", "Seam open")


def test_everything_else_of_a_part_reaches_the_desk_and_can_be_taken_back(
    phone: Page, served: Served
) -> None:
    picture = shot(7)
    phone.evaluate(HUM)
    turn(phone, f"part/{SURVEY}/keel-joint")

    phone.get_by_role("heading", name="Not reached").click()
    phone.get_by_role("button", name="the antifouling was left on").click()
    phone.get_by_role("button", name="Keep the limitation").click()
    expect(phone.get_by_text("Saved on this device. Not reached")).to_be_visible()
    phone.get_by_role("heading", name="Seen, with its measures").click()
    phone.get_by_label("What is seen").fill("gap at the forward end")
    phone.get_by_label("Long, mm").fill("32,5")
    phone.get_by_role("button", name="It is a defect").click()
    phone.get_by_role("button", name="Keep what is seen").click()
    expect(phone.get_by_text("Saved on this device. Defect")).to_be_visible()
    phone.get_by_role("heading", name="Spoken note").click()
    phone.get_by_role("button", name="Speak").click()
    expect(phone.get_by_text("1 s spoken")).to_be_visible()
    phone.get_by_role("button", name="Stop and keep").click()
    expect(phone.get_by_text("Saved on this device. Spoken note")).to_be_visible()
    phone.get_by_label("Photograph it").set_input_files(
        {"name": "near.jpg", "mimeType": "image/jpeg", "buffer": picture}
    )
    expect(phone.get_by_text("Saved on this device. Photograph")).to_be_visible()
    phone.get_by_role("button", name=re.compile("Take back: Not reached")).click()
    phone.get_by_role("button", name="The wrong part").click()
    expect(phone.get_by_text("Taken back")).to_be_visible()

    held = at_desk(served, phone)
    assert held.bodies(Limitation) == ()
    assert held.withdrawn[0].by.why == "the wrong part"
    (seen,) = held.bodies(Observation)
    assert (seen.seen, seen.length_mm, seen.defect) == ("gap at the forward end", 32.5, True)
    (memo,), (taken,) = held.bodies(Memo), held.bodies(Photo)
    assert {seen.place, memo.place, taken.place} == {seen.place}
    assert memo.seconds > 1
    kept = [b"".join(served.desk.blobs.stream(each.sha256)) for each in (memo, taken)]
    assert sha256_of(kept[0]) == memo.sha256
    assert kept[1] == picture


def test_a_double_touch_counts_once_and_what_a_later_one_takes_off_is_said_and_put_back(
    phone: Page,
) -> None:
    phone.clock.install()
    turn(phone, f"part/{SURVEY}/keel-joint")
    phone.get_by_role("button", name="The whole").click()
    seam = phone.get_by_role("button", name="seam open", exact=True)

    seam.dblclick()
    expect(seam).to_have_attribute("aria-pressed", "true")
    phone.clock.run_for(1_000)
    seam.click()
    expect(seam).to_have_attribute("aria-pressed", "false")
    expect(phone.locator("[data-kept]")).to_contain_text("Taken back: seam open.")
    expect(phone.locator("[data-kept]")).to_be_in_viewport()
    phone.get_by_role("button", name="Put it back").click()

    expect(phone.locator("[data-kept]")).to_have_text("Put back: seam open.")
    expect(seam).to_have_attribute("aria-pressed", "true")


def test_a_record_taken_off_is_put_back_by_another_entry(phone: Page, served: Served) -> None:
    turn(phone, f"part/{SURVEY}/keel-joint")
    phone.get_by_role("button", name="Whole and sound").dblclick()
    expect(phone.locator("[data-kept]")).to_contain_text("Saved on this device. Examined whole")
    phone.get_by_role("button", name=re.compile("Take back: Examined whole")).click()
    phone.get_by_role("button", name="Touched by mistake").click()
    expect(phone.locator("[data-kept]")).to_contain_text("Taken back: Examined whole")
    assert at_desk(served, phone).bodies(Examination) == ()

    phone.get_by_role("button", name="Put it back").click()

    expect(phone.locator("[data-kept]")).to_contain_text("Put back: Examined whole")
    expect(
        phone.get_by_role("button", name=re.compile("Take back: Examined whole"))
    ).to_be_visible()
    found = at_desk(served, phone)
    assert len(found.bodies(Examination)) == 1
    # The examination, that it was taken back, and that this was.
    assert len(found.entries) == 2 + 3


def open_limitation(phone: Page) -> None:
    # A touch where the heading lies at the very foot of the screen, which no click of the driver does.
    phone.locator("[data-limitation] > summary").evaluate("(heading) => heading.click()")


def test_what_is_opened_below_the_edge_of_the_screen_is_brought_into_view(phone: Page) -> None:
    turn(phone, f"part/{SURVEY}/rudder-blade")
    why = phone.locator("[data-why] button").first
    expect(why).not_to_be_in_viewport()

    open_limitation(phone)

    expect(why).to_be_in_viewport()


def test_what_is_examined_whole_after_it_was_not_reached_asks_whether_that_still_stands(
    phone: Page, served: Served
) -> None:
    turn(phone, f"part/{SURVEY}/rudder-blade")
    open_limitation(phone)
    phone.locator("[data-why] button").first.click()
    phone.get_by_role("button", name="Keep the limitation").click()
    expect(phone.get_by_text("Saved on this device. Not reached")).to_be_visible()
    phone.get_by_role("button", name="The whole", exact=True).click()
    phone.get_by_role("button", name="looked at closely", exact=True).first.click()
    phone.get_by_role("button", name="Keep the examination").click()
    phone.get_by_role("button", name="It was reached now: take that back").click()

    expect(phone.get_by_text("Taken back: Not reached")).to_be_visible()
    held = at_desk(served, phone)
    (looked,) = held.bodies(Examination)
    assert (looked.extent, held.bodies(Limitation)) == ("whole", ())
    (rudder,) = (each for each in part_states(held) if each.called.part.id == "rudder-blade")
    assert rudder.state == "examined"


def test_what_is_on_the_desk_is_said_to_be_where_it_is_listed_too(phone: Page) -> None:
    turn(phone, f"part/{SURVEY}/rudder-blade")
    phone.get_by_role("button", name="Whole and sound").click()

    expect(phone.locator("[data-safe]")).to_have_text("All safe on the desk")
    expect(phone.locator("[data-recorded]")).to_contain_text("safe on the desk")


def test_after_the_issue_the_walk_says_so_and_what_was_answered_for_is_left_to_nobody(
    phone: Page, served: Served
) -> None:
    answer = Answer(gap="silent danger-told", words="Nobody was in danger")
    issue = Issue(number="Q-1", version=1, entries_sha256="0" * 64)
    expect(phone.locator("[data-issued]")).to_be_hidden()
    held = fold([entry(1, QUILLET), entry(2, Instruction(client="T", purpose="buy")), entry(3, answer), entry(4, issue)])  # fmt: skip

    (stood,) = phone.evaluate(
        STANDS,
        [
            {
                "entries": [to_json(each) for each in held.standing],
                "plan": plan_of(held),
                "before": plan_of(
                    fold([entry(1, QUILLET), entry(2, Instruction(client="T", purpose="buy"))])
                ),
            }
        ],
    )
    phone.evaluate(PLANNED, plan_of(held))

    expect(phone.locator("[data-issued]")).to_contain_text("needs an amendment")
    for shown in stood[1:]:
        assert [each["words"] for each in shown if each["state"] != "silent"] == [
            "answered for in words"
        ]


def test_the_walk_is_sought_by_name_and_number_and_knows_where_one_was(phone: Page) -> None:
    turn(phone, f"part/{SURVEY}/seacock 3")
    turn(phone, f"walk/{SURVEY}")

    expect(phone.get_by_role("link", name="Where was I: seacock, 3")).to_be_visible()
    phone.get_by_label("Find a part").fill("rudder blade")
    expect(phone.locator(".stop:visible")).to_have_count(1)
    phone.get_by_label("Find a part").fill("2")
    expect(phone.locator(".stop:visible b").first).to_have_text("identity marks")
    phone.get_by_label("Find a part").press("Enter")
    expect(phone.get_by_role("heading", name="identity marks")).to_be_visible()


def test_duties_of_the_surveyor_stand_after_the_places_and_in_no_count_of_them(
    phone: Page, served: Served
) -> None:
    held = served.desk.surveys.get(SURVEY)
    assert held is not None
    states = part_states(held)
    places = sum(each.is_place for each in states)
    count = phone.locator("[data-count]")
    of_duties = phone.locator("[data-stretch]").last
    expect(count).to_have_text(f"0 of {places} places recorded; duties of your own: 0 of 5")
    expect(of_duties.get_by_role("heading", name="Duties of your own")).to_have_count(1)

    of_duties.get_by_role("link", name="check of the photographs").click()
    expect(phone.get_by_text("3 of 5, Duties of your own")).to_be_visible()
    phone.get_by_role("button", name="Whole and sound").click()
    expect(phone.get_by_role("link", name="Next: telling of urgent danger")).to_be_visible()

    turn(phone, f"walk/{SURVEY}")
    expect(count).to_have_text(f"0 of {places} places recorded; duties of your own: 1 of 5")
    turn(phone, f"red/{SURVEY}")
    expect(phone.get_by_role("heading", name=f"Parts with nothing recorded: {places}")).to_be_visible()  # fmt: skip
    expect(phone.get_by_role("heading", name="Duties of your own: 4")).to_be_visible()


@pytest.mark.parametrize(("width", "height", "least"), [(360, 740, 4), (740, 360, 2)])
def test_parts_are_seen_on_the_walk_however_the_phone_is_held(
    phone: Page, width: int, height: int, least: int
) -> None:
    phone.set_viewport_size({"width": width, "height": height})

    expect(phone.get_by_role("link", name="Begin the visit")).to_be_in_viewport()
    expect(phone.get_by_label("Find a part")).to_be_in_viewport()
    assert phone.evaluate(SEEN) >= least
    assert too_small(phone) == []


def test_a_visit_begins_with_how_she_lies_and_what_is_measured_later_is_added(
    phone: Page, served: Served
) -> None:
    phone.clock.install()
    phone.get_by_role("link", name="Begin the visit").click()
    phone.get_by_role("button", name="Begin the visit").click()
    expect(phone.get_by_text("Say how she lies first.")).to_be_visible()
    phone.get_by_role("button", name="in slings").click()
    phone.get_by_label("Humidity").fill("120")
    phone.get_by_role("button", name="Begin the visit").click()
    expect(phone.get_by_text("120 cannot be: the least is 0, the most 100.")).to_be_visible()
    phone.get_by_label("Humidity").fill("")

    phone.get_by_role("button", name="Begin the visit").dblclick()
    expect(phone.get_by_text("Saved on this device: the visit began")).to_be_visible()
    phone.clock.run_for(1_000)
    phone.get_by_label("Air").fill("11,5")
    phone.get_by_label("Who and what is aboard").fill("nobody; sails ashore")
    phone.get_by_role("button", name="Keep what was added").click()

    expect(phone.get_by_text("Saved on this device: it is added")).to_be_visible()
    phone.clock.run_for(1_000)
    phone.get_by_role("button", name="Take it back").click()
    expect(phone.get_by_text("Taken back: what was added to the visit.")).to_be_visible()
    (begun,) = at_desk(served, phone).of(Conditions)
    assert (begun.body.lying, begun.body.air_c, begun.replaces) == ("slings", None, ())
    phone.get_by_role("button", name="Put it back").click()
    expect(phone.get_by_text("Put back: what was added to the visit.")).to_be_visible()
    assert [each["id"] for each in Axe().run(phone).response["violations"]] == []
    assert too_small(phone) == []
    (held,) = at_desk(served, phone).bodies(Conditions)
    assert held.began.utcoffset() is not None
    assert held.ended is None
    assert (held.lying, held.air_c, held.humidity_pct) == ("slings", 11.5, None)
    assert held.aboard == "nobody; sails ashore"
    phone.get_by_role("link", name="To the walk").click()
    expect(phone.get_by_role("link", name="Visit since")).to_be_visible()
    expect(phone.get_by_role("link", name="Begin the visit")).to_have_count(0)


def test_who_is_there_and_what_they_said_is_kept_on_board(phone: Page, served: Served) -> None:
    phone.get_by_role("link", name="Begin the visit").click()
    for name, role in (("Bram Aldous", "seller"), ("Wyn Tressider", "yard hand")):
        phone.get_by_label("Somebody else, by name").fill(name)
        phone.get_by_role("button", name="Keep who it is").click()
        expect(phone.locator("[data-kept]")).to_have_text("Say who it is, and as what.")
        phone.get_by_label("As what").fill(role)
        phone.get_by_role("button", name="Keep who it is").click()
        expect(phone.get_by_role("button", name=f"{name}, {role}")).to_have_attribute("aria-pressed", "true")  # fmt: skip

    phone.get_by_role("button", name="Wyn Tressider, yard hand").press("Enter")
    expect(phone.locator("[data-kept]")).to_contain_text("was not there")
    expect(phone.get_by_role("button", name="Wyn Tressider, yard hand")).to_be_focused()
    phone.get_by_role("button", name="Put it back").click()
    expect(phone.get_by_role("button", name="Wyn Tressider, yard hand")).to_have_attribute("aria-pressed", "true")  # fmt: skip
    phone.get_by_role("button", name="Bram Aldous, seller").dblclick()
    expect(phone.locator("[data-kept]")).to_contain_text("Bram Aldous, seller, was not there")
    offered = phone.locator("#names option").evaluate_all("(all) => all.map((each) => each.value)")
    phone.get_by_label("Who said it").fill("Bram Aldous")
    phone.get_by_label("What was said").fill("She never touched.")
    phone.get_by_role("button", name="Keep what was said").click()
    expect(phone.locator("[data-kept]")).to_contain_text("told by Bram Aldous")

    assert offered == ["Bram Aldous", "Wyn Tressider"]
    assert what_bars(phone) == ([], [], True)
    found = at_desk(served, phone)
    there = {each.name: (each.role, each.attended) for each in found.bodies(Person)}
    assert there == {"Bram Aldous": ("seller", False), "Wyn Tressider": ("yard hand", True)}
    assert found.bodies(Told) == (Told(who="Bram Aldous", said="She never touched."),)


def test_a_visit_ends_before_the_ladder_goes_and_an_end_by_mistake_is_taken_back(
    phone: Page, served: Served
) -> None:
    phone.clock.install()
    phone.get_by_role("link", name="Begin the visit").click()
    phone.get_by_role("button", name="ashore").click()
    # A call, or a fall, and what was touched is still there.
    phone.reload()
    phone.get_by_role("button", name="Begin the visit").click()
    phone.get_by_role("link", name="Before the ladder").click()

    end = phone.get_by_role("button", name="End the visit")
    end.dblclick()
    expect(phone.get_by_text("Saved on this device: it ended at")).to_be_visible()
    # Another button is under the finger by now.
    phone.get_by_role("button", name="It goes on: take the end back").click()
    expect(phone.get_by_text("Saved on this device: it ended at")).to_be_visible()
    phone.clock.run_for(1_000)
    phone.get_by_role("button", name="It goes on: take the end back").click()
    expect(phone.get_by_text("Under way since")).to_be_visible()
    (going,) = at_desk(served, phone).bodies(Conditions)
    phone.get_by_role("button", name="Put it back").click()
    expect(phone.get_by_text("Put back: that the visit ended at")).to_be_visible()
    expect(phone.get_by_text("Saved on this device: it ended at")).to_be_visible()

    found = at_desk(served, phone)
    (ended,) = found.bodies(Conditions)
    assert found.choices == ()
    assert (going.lying, going.ended) == ("ashore", None)
    assert ended.began == going.began
    assert ended.ended is not None
    turn(phone, f"walk/{SURVEY}")
    expect(phone.get_by_role("link", name="Begin the visit")).to_be_visible()


def test_times_are_said_by_the_zone_of_the_device_and_a_clock_elsewhere_is_warned_of(
    chromium: Browser, served: Served
) -> None:
    context = chromium.new_context(base_url=served.address, viewport={"width": 360, "height": 740}, timezone_id="Asia/Colombo")  # fmt: skip
    context.add_cookies([{"name": COOKIE, "value": served.token, "url": served.address}])
    page = context.new_page()
    page.add_init_script(NO_CORE)
    with_survey(page, served)
    page.get_by_role("link", name="Begin the visit").click()
    ahead = entry(2, QUILLET).at.utcoffset()
    assert ahead is not None
    behind = timedelta(hours=5, minutes=30) - ahead
    hours, minutes = divmod(int(behind.total_seconds()) // 60, 60)
    expect(page.get_by_role("note")).to_contain_text(f"a clock that is {hours} h {minutes} min behind this one, which is set to Colombo time")  # fmt: skip

    page.get_by_role("button", name="ashore").click()
    page.get_by_role("button", name="Begin the visit").click()
    expect(page.get_by_text(re.compile(r"Under way since \d\d:\d\d Colombo time"))).to_be_visible()
    turn(page, f"part/{SURVEY}/keel-joint")
    page.get_by_role("button", name="Whole and sound").click()

    expect(page.get_by_text("Times are by the clock of this device: Colombo time, at present UTC+05:30.")).to_be_visible()  # fmt: skip
    found = at_desk(served, page)
    (examined,) = found.of(Examination)
    by_clock = examined.at.astimezone(timezone(timedelta(hours=5, minutes=30)))
    expect(page.locator("[data-recorded]")).to_contain_text(f"{by_clock:%H:%M}, ")
    context.close()


def test_nobody_is_asked_for_a_name_that_the_desk_is_about_to_say(
    open_page: Open, served: Served
) -> None:
    page = open_page("about:blank", width=360)
    page.add_init_script(NO_CORE)
    page.add_init_script(SAYS_LATER)
    page.goto("/yard/")
    expect(page.get_by_text("the desk says it as soon as it is reached")).to_be_visible()
    expect(page.get_by_label("Who writes on this device")).to_be_hidden()

    page.evaluate("says()")

    expect(page.get_by_text("Ines Caldervane, ")).to_be_visible()
    expect(page.get_by_label("Who writes on this device")).to_be_hidden()


def test_before_the_calculations_start_the_list_before_the_ladder_is_short_of_what_was_recorded(
    phone: Page,
) -> None:
    turn(phone, f"part/{SURVEY}/rudder-blade")
    phone.get_by_role("button", name="Whole and sound").click()
    expect(phone.get_by_text("Saved on this device. Examined")).to_be_visible()

    turn(phone, f"red/{SURVEY}")

    expect(phone.get_by_role("link", name="identity marks")).to_be_visible()
    expect(phone.get_by_role("link", name="rudder blade")).to_have_count(0)


def test_with_the_calculations_the_list_is_whole_and_what_is_told_tonight_is_written_down(
    open_page: Open, served: Served
) -> None:
    phone = with_survey(open_page("about:blank", width=360), served)
    turn(phone, f"part/{SURVEY}/rudder-blade")
    phone.get_by_role("button", name="The whole").click()
    phone.get_by_role("button", name="looked at closely", exact=True).first.click()
    phone.get_by_role("button", name="Defect", exact=True).click()
    phone.get_by_label("In words").fill("Cracked at its foot")
    phone.get_by_role("button", name="Keep the examination").click()
    expect(phone.get_by_text("Saved on this device. Examined")).to_be_visible()

    expect(phone.locator("[data-core]")).to_have_text("", timeout=CORE_MS)

    turn(phone, f"red/{SURVEY}")
    expect(phone.get_by_role("heading", name="Photographs missing: 1")).to_be_visible()
    turn(phone, f"tonight/{SURVEY}")
    expect(phone.get_by_text("Rudder blade: Cracked at its foot")).to_be_visible()
    assert [each["id"] for each in Axe().run(phone).response["violations"]] == []
    phone.get_by_role("button", name="Keep that it was told").click()
    expect(phone.get_by_text("Say who was told first.")).to_be_visible()
    phone.get_by_label("Who was told").fill("Tamsin Orrowby")
    phone.get_by_role("button", name="Keep that it was told").dblclick()

    expect(phone.get_by_text("Saved on this device: Tamsin Orrowby was told")).to_be_visible()
    (told,) = at_desk(served, phone).bodies(Arrangement)
    assert (told.what, told.with_whom, told.on) == ("follow-up", "Tamsin Orrowby", None)
    assert "Provisional" in told.words
    assert "Cracked at its foot" in told.words


def test_who_works_alone_is_asked_and_whoever_hears_it_is_told_whom_to_call(phone: Page) -> None:
    phone.clock.install()
    turn(phone, f"alone/{SURVEY}")
    phone.get_by_label("Who is to be called").fill("Fennick Hard")
    phone.get_by_label("Their number").fill("+00 12 34")
    phone.get_by_role("button", name="Start the watch").click()
    expect(phone.get_by_text("You are asked in 15 min")).to_be_visible()
    phone.reload()
    turn(phone, f"walk/{SURVEY}")

    phone.clock.fast_forward("15:01")
    expect(phone.get_by_role("heading", name="Are you well?")).to_be_visible()
    phone.keyboard.press("Escape")
    phone.keyboard.press("Escape")
    phone.clock.fast_forward("00:01")
    expect(phone.get_by_role("heading", name="Are you well?")).to_be_visible()
    phone.clock.fast_forward("01:30")
    expect(phone.get_by_text("Not answered for 1 min")).to_be_visible()
    expect(phone.get_by_role("alert").get_by_text("Fennick Hard, +00 12 34")).to_be_visible()
    expect(phone.get_by_role("link", name="Call them now")).to_have_attribute("href", "tel:+001234")
    phone.get_by_role("button", name="I am well").click()

    expect(phone.get_by_role("heading", name="Are you well?")).to_have_count(0)
    turn(phone, f"alone/{SURVEY}")
    expect(phone.get_by_text(re.compile("You are asked in 1[45] min"))).to_be_visible()


def test_a_watch_is_kept_to_whatever_the_clock_and_the_disk_do(phone: Page) -> None:
    phone.clock.install()
    phone.reload()
    turn(phone, f"alone/{SURVEY}")
    phone.evaluate(FULL)

    phone.get_by_role("button", name="Start the watch").click()
    expect(phone.get_by_text("This device could not write it down")).to_be_visible()
    phone.clock.set_system_time("2020-01-01T00:00:00Z")
    phone.clock.run_for(2_000)
    expect(phone.get_by_text("You are asked in 15 min")).to_be_visible()
    phone.clock.fast_forward("15:01")

    expect(phone.get_by_role("heading", name="Are you well?")).to_be_visible()


def test_what_is_answered_on_one_page_is_answered_on_the_other_and_neither_forgets_whom_to_call(
    phone: Page,
) -> None:
    turn(phone, f"alone/{SURVEY}")
    other = phone.context.new_page()
    other.add_init_script(NO_CORE)
    other.goto(f"/yard/#/alone/{SURVEY}")
    expect(other.get_by_role("heading", name="Lone work")).to_be_focused()

    phone.get_by_label("Who is to be called").fill("Fennick Hard")
    other.get_by_role("button", name="Start the watch").click()

    expect(phone.get_by_text("You are asked in 15 min")).to_be_visible()
    phone.get_by_role("button", name="Stop the watch").click()
    phone.get_by_role("button", name="Stop it").click()
    expect(other.get_by_text("The watch rests.")).to_be_visible()
    other.reload()
    expect(other.get_by_label("Who is to be called")).to_have_value("Fennick Hard")
    expect(other.get_by_text("The watch rests.")).to_be_visible()


def test_the_time_left_is_read_out_by_the_minute(phone: Page) -> None:
    phone.clock.install()
    phone.reload()
    turn(phone, f"alone/{SURVEY}")
    phone.get_by_role("button", name="Start the watch").click()
    expect(phone.get_by_text("You are asked in 15 min")).to_be_visible()
    phone.evaluate(
        """() => {
          globalThis.said = []
          const status = document.querySelector("main [role=status]")
          const heard = new MutationObserver(() => globalThis.said.push(status.textContent))
          heard.observe(status, { subtree: true, childList: true, characterData: true })
        }"""
    )

    phone.clock.run_for(130_000)

    assert phone.evaluate("globalThis.said") == [
        f"You are asked in {each} min." for each in (14, 13)
    ]


def test_a_microphone_allowed_too_late_is_let_go_and_two_taps_ask_once(phone: Page) -> None:
    phone.evaluate(HUM)
    phone.evaluate(ASKED_FIRST)
    turn(phone, f"part/{SURVEY}/keel-joint")
    phone.get_by_role("heading", name="Spoken note").click()
    phone.get_by_role("button", name="Speak").dblclick()
    phone.wait_for_function("globalThis.asked.length")

    turn(phone, f"walk/{SURVEY}")
    phone.evaluate("globalThis.asked.forEach((allowed) => allowed())")

    phone.wait_for_function(
        "globalThis.heard?.getTracks().every((each) => each.readyState === 'ended')"
    )
    assert phone.evaluate("globalThis.asked.length") == 1


def test_a_photograph_given_to_a_second_part_is_said_to_stand_at_the_first(
    phone: Page, served: Served
) -> None:
    near: FilePayload = {"name": "near.jpg", "mimeType": "image/jpeg", "buffer": shot(7)}
    turn(phone, f"part/{SURVEY}/keel-joint")
    phone.get_by_label("Photograph it").set_input_files(near)
    expect(phone.get_by_text("Saved on this device. Photograph")).to_be_visible()
    turn(phone, f"part/{SURVEY}/rudder-blade")

    phone.get_by_label("Photograph it").set_input_files(near)

    expect(phone.get_by_text("stands already, of keel-to-hull joint")).to_be_visible()
    expect(phone.get_by_text("Saved on this device. Photograph")).to_have_count(0)
    (taken,) = at_desk(served, phone).bodies(Photo)
    assert taken.place == Place(part="keel-joint")


def test_what_is_taken_back_goes_with_its_versions_and_is_put_back_as_it_stood(
    phone: Page, served: Served
) -> None:
    turn(phone, f"part/{SURVEY}/keel-joint")
    phone.get_by_role("button", name="Whole and sound").click()
    expect(phone.get_by_text("Saved on this device. Examined whole")).to_be_visible()
    phone.get_by_role("button", name="The whole").click()
    phone.get_by_role("button", name="looked at closely", exact=True).first.click()
    phone.get_by_role("button", name="Doubtful").click()
    phone.get_by_role("button", name="Keep the examination").click()
    phone.get_by_role("button", name="This stands instead").click()
    expect(phone.locator("[data-recorded] li")).to_have_count(1)
    phone.get_by_role("button", name=re.compile("Take back: .*doubtful")).click()
    phone.get_by_role("button", name="Looked at again").click()

    expect(phone.get_by_role("button", name="Take back")).to_have_count(0)
    expect(phone.get_by_role("heading", name="Recorded here")).to_be_focused()
    expect(phone.locator("[data-stands]")).to_have_text("nothing recorded")
    assert at_desk(served, phone).bodies(Examination) == ()
    phone.get_by_role("button", name="Put it back").click()
    expect(phone.get_by_role("button", name=re.compile("Take back: .*doubtful"))).to_be_visible()
    expect(phone.locator("[data-stands]")).to_have_text("recorded here")
    (stands,) = at_desk(served, phone).bodies(Examination)
    assert stands.outcome == "doubtful"


def test_what_stands_on_a_phone_is_what_the_core_says_stands(phone: Page) -> None:
    made = [entries_by_chance(random.Random(seed)) for seed in range(20)]
    plans = [plan_of(fold(entries)) for entries in made]
    cases = [
        {
            "entries": [to_json(each) for each in sorted(entries, key=lambda each: each.id)],
            "plan": plan,
            "before": plan_of(fold(entries[: len(entries) // 2])),
        }
        for entries, plan in zip(made, plans, strict=True)
    ]

    found = phone.evaluate(STANDS, cases)

    for entries, plan, (ids, current, behind) in zip(made, plans, found, strict=True):
        assert set(ids) == {each.id for each in fold(entries).standing}
        planned = [
            {each: place[each] for each in ("state", "words", "is_found", "unused")}
            for place in plan["places"]
        ]
        assert current == planned
        assert [told(each) for each in behind] == [told(each) for each in planned]


def told(place: dict[str, Any]) -> str:
    """What can be told of a place without the calculations."""
    state: str = place["state"]
    return state if state in ("silent", "not written up") else "recorded"


def entries_by_chance(chance: random.Random) -> list[Entry[Any]]:
    """A boat and an instruction, and things recorded, corrected and taken back in every order."""
    made: list[Entry[Any]] = [entry(1, QUILLET), entry(2, Instruction(client="T", purpose="buy"))]
    # A device whose clock goes after the others' corrects what seems to be made later.
    numbers = chance.sample(range(3, 90), 24)
    for number in numbers:
        earlier = [each for each in numbers[: numbers.index(number)] if chance.random() < 0.1]
        made.append(entry(number, body_by_chance(chance), replaces=tuple(earlier)))
    return made


def body_by_chance(chance: random.Random) -> Any:
    place = Place(
        part=chance.choice(["keel-joint", "seacock", "bottom-moisture", "topside-laminate"]),
        side=chance.choice([None, "port", "starboard"]),
        number=chance.choice([None, 1, 2]),
    )
    reading = Reading(place=place, as_read="12", reference=chance.random() < 0.3)
    return chance.choice(
        [
            Withdrawal(),
            Withdrawal(),
            Examination(place=place, extent="whole", how=("look",), outcome="sound"),
            Examination(place=place, extent="whole", how=("look",), outcome="sound"),
            Examination(place=place, extent="not fitted"),
            Limitation(place=place, not_reached="The whole of it", reasons=("antifouling",)),
            Observation(place=place, seen="a gap"),
            Sounding(place=place, heard=chance.choice(["sound", "not sounded"])),
            ReadingSet(name="bottom", quantity="moisture", unit="scale", instrument="meter", scale="deep", readings=(reading,)),
            Memo(file="memo.webm", sha256="0" * 64, seconds=1.0, place=place),
        ]
    )  # fmt: skip


def test_every_view_is_two_touches_away_and_bars_nobody(phone: Page) -> None:
    views: dict[str, Any] = {
        "Walk": phone.locator(".stop").first,
        "Hull pad": phone.get_by_role("heading", name="Hull pad"),
        "Strikes": phone.get_by_role("heading", name="Strikes", level=1),
        "Camera": phone.get_by_role("heading", name="Camera", exact=True),
        "Instruments": phone.get_by_role("heading", name="Instruments", exact=True),
        "Before the ladder": phone.get_by_role("heading", name="Before the ladder goes"),
        "Tonight": phone.get_by_role("heading", name="Tonight", exact=True),
        "Lone work": phone.get_by_role("heading", name="Lone work"),
        "All surveys": phone.get_by_role("heading", name="Surveys on this device"),
    }
    found = {}
    for name, shown in views.items():
        phone.get_by_role("button", name="Go to").press("Enter")
        phone.get_by_role("link", name=name, exact=True).press("Enter")
        expect(shown).to_be_visible()
        found[name] = what_bars(phone)
    turn(phone, f"part/{SURVEY}/keel-joint")
    for each in ("Not reached", "Seen, with its measures", "Spoken note"):
        phone.get_by_role("heading", name=each).click()
    phone.get_by_role("button", name="A part of it").click()
    found["A part"] = what_bars(phone)

    assert found == dict.fromkeys(found, ([], [], True))


def what_bars(phone: Page) -> tuple[list[str], list[str], bool]:
    """What axe finds, what is too small to touch with gloves, and whether all fits the width."""
    violations = [each["id"] for each in Axe().run(phone).response["violations"]]
    fits = phone.evaluate("document.documentElement.scrollWidth <= 360")
    return violations, too_small(phone), fits
