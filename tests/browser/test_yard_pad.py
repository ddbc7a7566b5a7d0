"""Soundings and readings placed on the hull with a phone, and the instruments checked before they are read."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from browser.phone import NO_CORE, NO_SETTINGS, make_safe, too_small
from cast import QUILLET, SURVEY, entry
from playwright.sync_api import Locator, Page, expect

from garboard.notebook.body import (
    Instruction,
    Instrument,
    InstrumentCheck,
    Place,
    Reading,
    ReadingSet,
    Sounding,
)
from garboard.notebook.fold import Survey, fold
from garboard.yard.pad import pad_of

Open = Callable[..., Page]
CORE_MS = 90_000
METER = Instrument(name="meter", described="a moisture meter", quantity="moisture", unit="scale")
OLD = ReadingSet(
    name="port bottom",
    quantity="moisture",
    unit="scale",
    instrument="meter",
    scale="deep",
    readings=(Reading(place=Place(part="bottom-moisture", side="port", station_m=3.0, level_m=-0.2), as_read="12"),),
)  # fmt: skip
BEGUN = [entry(1, QUILLET), entry(2, Instruction(client="Tamsin Orrowby", purpose="buy")), entry(3, METER), entry(4, OLD)]  # fmt: skip
BARE = pad_of(fold(BEGUN), "port-shell")
BARE_STARBOARD = pad_of(fold(BEGUN), "starboard-shell")

DRAWN_LATER = """async (drawn) => {
  const { core } = await import("/yard/core.js")
  core.state = "ready"
  core.ask = (name) => new Promise((resolve) => {
    if (name === "pad") globalThis.finish = () => resolve(drawn)
    if (name === "grid") globalThis.run = () => resolve({ places: [{ station_m: 3, level_m: -0.3 }], at: 0 })
  })
}"""
CANNOT_SAY = {
    "the calculations failed to start": """async () => {
      const { core } = await import("/yard/core.js")
      core.state = "failed"
      core.dispatchEvent(new Event("state"))
    }""",
    "a question could not be answered": """async () => {
      const { core } = await import("/yard/core.js")
      core.state = "ready"
      core.ask = () => Promise.reject(new Error("No room."))
      core.dispatchEvent(new Event("state"))
    }""",
}
GAUGE = """async () => {
  const { survey } = await import("/yard/survey.js")
  await survey.keep("instrument", { name: "gauge", described: "ultrasonic", quantity: "thickness", unit: "mm" })
}"""

PUT_BY = """async ([name, pad]) => (await import("/yard/store.js")).set(name, pad)"""
CHANGED_TWICE = """() => {
  const hammer = document.querySelector("[name=hammer]")
  for (let times = 0; times < 2; times++) hammer.dispatchEvent(new Event("change"))
}"""
WALKING = """async (name) => {
  const store = await import("/yard/store.js")
  const places = [2, 3, 4].map((station_m) => ({ part: "bottom-moisture", side: "port", station_m, level_m: -0.3 }))
  await store.set(name, { ...(await store.setting(name)), walk: { places, at: 1 } })
}"""


def brought(page: Page, served: Served) -> Page:
    """The survey brought on the device, as a surveyor does."""
    served.desk.surveys.add(BEGUN)
    page.goto("/yard/")
    page.get_by_role("button", name="Quillet").click()
    expect(page.locator("[data-surveys]").get_by_role("button", name="Quillet")).to_be_visible()
    return page


def turn(page: Page, view: str, key: str = "") -> None:
    page.evaluate("(to) => { location.hash = to }", f"#/{view}/{SURVEY}/{key}")
    expect(page.locator("h1")).to_be_focused()


@pytest.fixture
def phone(open_page: Open, served: Served) -> Page:
    """A phone in the yard on which the calculations have not started, with nothing put by."""
    page = open_page("about:blank", width=360)
    page.add_init_script(NO_CORE)
    return brought(page, served)


@pytest.fixture
def pad(phone: Page) -> Page:
    """The pad with the drawing that was put by when it was open last."""
    phone.evaluate(PUT_BY, [f"pad {SURVEY} port-shell", BARE])
    turn(phone, "pad")
    expect(phone.locator(".drawn img")).to_be_visible()
    return phone


def touch(page: Page, station_m: float, level_m: float, of: Mapping[str, Any] = BARE, *, times: int = 1) -> None:  # fmt: skip
    """Touch the drawing of a side at a station and a level."""
    drawing = page.locator(".over")
    box = drawing.bounding_box()
    assert box is not None
    left, top, width, _ = of["holds_mm"]
    aft_mm = station_m * of["mm_per_m"]
    x = of["zero_mm"][0] + (-aft_mm if of["bow"] == "right" else aft_mm) - left
    y = of["zero_mm"][1] - level_m * of["mm_per_m"] - top
    scale = box["width"] / width
    drawing.click(position={"x": x * scale, "y": y * scale}, click_count=times)


def said(page: Page) -> Locator:
    return page.locator("[data-status]")


def key(page: Page, *names: str) -> None:
    for each in names:
        page.locator(".keys").get_by_role("button", name=each).click()


def begin_like_the_old_set(page: Page) -> None:
    page.locator("summary").click()
    page.get_by_label("What is placed").select_option(label="A new set like “port bottom”")
    page.get_by_role("button", name="Begin this set").click()


def at_desk(served: Served, page: Page) -> Survey:
    make_safe(page)
    found = served.desk.surveys.get(SURVEY)
    assert found is not None
    return found


def test_a_touch_is_a_sounding_there_and_the_last_is_taken_back(pad: Page, served: Served) -> None:
    touch(pad, 3.0, -0.2)
    expect(said(pad)).to_contain_text("Saved: sound")
    pad.get_by_role("button", name="Hollow").click()
    touch(pad, 4.0, -0.4)
    touch(pad, 2.5, -0.2)
    expect(said(pad)).to_contain_text(re.compile(r"Saved: hollow, 2\.[45]"))

    pad.get_by_role("button", name="Take back").click()

    expect(said(pad)).to_contain_text(re.compile(r"Taken back: hollow, 2\.[45]"))
    found = at_desk(served, pad)
    one, two = found.bodies(Sounding)
    assert (one.heard, two.heard) == ("sound", "hollow")
    assert (two.place.part, two.place.side) == ("bottom-laminate", "port")
    assert two.place.station_m == pytest.approx(4.0, abs=0.05)
    assert two.place.level_m == pytest.approx(-0.4, abs=0.05)
    assert [each.by.why for each in found.withdrawn] == ["It was placed by mistake"]


def test_a_double_touch_takes_back_one_place_and_one_touch_puts_it_back(
    pad: Page, served: Served
) -> None:
    touch(pad, 3.0, -0.2)
    expect(said(pad)).to_contain_text(re.compile(r"Saved: sound, (2\.9|3\.0)"))
    touch(pad, 4.0, -0.4)
    expect(said(pad)).to_contain_text(re.compile(r"Saved: sound, (3\.9|4\.0)"))

    pad.get_by_role("button", name="Take back").dblclick()
    expect(said(pad)).to_contain_text(re.compile(r"Taken back: sound, (3\.9|4\.0)"))
    assert len(at_desk(served, pad).bodies(Sounding)) == 1
    pad.get_by_role("button", name="Put it back").click()

    expect(said(pad)).to_contain_text(re.compile(r"Put back: sound, (3\.9|4\.0)"))
    expect(pad.locator(".marks [data-saving]")).to_have_count(0)
    found = at_desk(served, pad)
    assert len(found.bodies(Sounding)) == 2
    assert len(found.entries) == len(BEGUN) + 4


def test_a_double_touch_is_one_blow_and_two_quick_blows_are_two(pad: Page, served: Served) -> None:
    pad.clock.install()
    touch(pad, 3.0, -0.2, times=2)
    expect(said(pad)).to_contain_text(re.compile(r"Saved: sound, .+\. Counted once\.$"))
    pad.evaluate(WALKING, f"pad {SURVEY}")
    turn(pad, "walk")
    turn(pad, "pad")
    step = pad.locator("[data-step]")
    hollow = pad.get_by_role("button", name="Hollow")

    hollow.dblclick()

    expect(said(pad)).to_contain_text("Saved: hollow, 3.00 m")
    expect(said(pad)).to_contain_text("Counted once.")
    expect(step).to_contain_text("Place 3 of 3")
    pad.clock.run_for(500)
    hollow.click()
    expect(said(pad)).to_contain_text("Saved: hollow, 4.00 m")
    expect(step).to_contain_text("All 3 places were visited")
    heard = [each.heard for each in at_desk(served, pad).bodies(Sounding)]
    assert heard == ["sound", "hollow", "hollow"]


def test_what_is_put_back_is_drawn_only_where_it_belongs(pad: Page, served: Served) -> None:
    begin_like_the_old_set(pad)
    pad.get_by_role("button", name="Later").click()
    touch(pad, 3.0, -0.2)
    key(pad, "7", "Keep")
    expect(said(pad)).to_contain_text("Saved: 7,")
    pad.locator("summary").click()
    placed = pad.get_by_label("What is placed")
    placed.select_option(label="Soundings")
    touch(pad, 4.0, -0.4)
    expect(said(pad)).to_contain_text("Saved: sound")
    pad.get_by_role("button", name="Take back").click()
    expect(said(pad)).to_contain_text("Taken back: sound")
    placed.select_option(index=1)
    expect(pad.locator(".keys")).to_be_visible()

    pad.get_by_role("button", name="Put it back").click()

    expect(said(pad)).to_contain_text("Put back: sound")
    expect(pad.locator(".over g g")).to_have_count(0)
    assert len(at_desk(served, pad).bodies(Sounding)) == 1


def test_a_touch_off_the_skin_says_so_and_keeps_nothing(pad: Page, served: Served) -> None:
    touch(pad, 1.0, -1.5)

    expect(said(pad)).to_have_text("There is no skin there. Nothing was kept.")
    assert at_desk(served, pad).bodies(Sounding) == ()


def test_a_place_past_the_boot_top_on_a_part_of_the_bottom_is_kept_and_said_to_be(
    pad: Page, served: Served
) -> None:
    touch(pad, 4.0, -0.2)
    expect(said(pad)).to_have_text(
        re.compile(r"^Saved: sound, [^.]+\.\d\d m aft [^:]+ boot-top\.$")
    )

    touch(pad, 4.0, 0.4)

    expect(said(pad)).to_contain_text("Saved: sound")
    expect(said(pad)).to_contain_text("Past the boot-top, where bottom laminate ends")
    assert len(at_desk(served, pad).bodies(Sounding)) == 2


def test_the_instrument_is_checked_before_its_first_reading_and_digits_stay_as_typed(
    pad: Page, served: Served
) -> None:
    begin_like_the_old_set(pad)
    pad.get_by_label("On what").fill("check plate")
    pad.get_by_label("Expected").fill("58")
    pad.get_by_label("Read", exact=True).fill("57")
    pad.get_by_role("button", name="It passed").click()
    expect(said(pad)).to_contain_text("meter passed its check")

    touch(pad, 3.0, -0.2)
    key(pad, "1", "2", "Point", "5", "0", "Keep")
    expect(said(pad)).to_contain_text("Saved: 12.50")
    touch(pad, 4.0, -0.3)
    pad.locator(".keys").get_by_role("button", name="Again").dblclick()
    expect(said(pad)).to_contain_text(re.compile(r"Saved: 12\.50, (3\.9|4\.0)"))
    touch(pad, 3.5, -0.2)
    key(pad, "9", "Keep")
    expect(said(pad)).to_contain_text("Saved: 9,")
    pad.get_by_role("button", name="Take back").click()
    expect(said(pad)).to_contain_text("Taken back: 9")
    touch(pad, 5.0, -0.3)
    key(pad, "1", "8", "Keep")
    expect(said(pad)).to_contain_text("Saved: 18")

    found = at_desk(served, pad)
    old, new = found.bodies(ReadingSet)
    assert old == OLD
    assert [each.as_read for each in new.readings] == ["12.50", "12.50", "18"]
    assert (new.instrument, new.scale, new.unit) == ("meter", "deep", "scale")
    assert new.readings[0].place.part == "bottom-moisture"
    assert found.bodies(InstrumentCheck) == (
        InstrumentCheck(instrument="meter", on="check plate", when="before", expected=58, read=57),
    )
    assert found.choices == ()


def test_a_value_that_no_instrument_shows_is_refused_at_the_keys(pad: Page, served: Served) -> None:
    begin_like_the_old_set(pad)
    pad.get_by_role("button", name="Later").click()
    touch(pad, 3.0, -0.2)
    key(pad, "1", "2", "3", "4", "Keep")
    expect(said(pad)).to_contain_text("1234 cannot be: the least is 0, the most 1000")
    key(pad, "Delete", "Delete", "Keep")
    expect(said(pad)).to_contain_text("Saved: 12,")

    (_, new) = at_desk(served, pad).bodies(ReadingSet)
    assert [each.as_read for each in new.readings] == ["12"]


def test_moisture_in_per_cent_asks_for_the_calibration_it_is_read_by(
    pad: Page, served: Served
) -> None:
    pad.locator("summary").click()
    pad.get_by_label("What is placed").select_option(label="A new set like “port bottom”")
    calibration = pad.get_by_label("Your own calibration")
    expect(calibration).to_be_hidden()
    pad.get_by_label("Unit").select_option("%")
    pad.get_by_role("button", name="Begin this set").click()
    expect(said(pad)).to_contain_text("Name your own calibration")
    calibration.fill("oven-dried samples, March")
    pad.get_by_role("button", name="Begin this set").click()
    pad.get_by_role("button", name="Later").click()
    touch(pad, 3.0, -0.2)
    key(pad, "9", "Keep")
    expect(said(pad)).to_contain_text("Saved: 9,")

    (_, new) = at_desk(served, pad).bodies(ReadingSet)
    assert (new.unit, new.calibration) == ("%", "oven-dried samples, March")


def test_a_reading_is_saved_though_its_bookkeeping_is_not(pad: Page, served: Served) -> None:
    begin_like_the_old_set(pad)
    pad.get_by_role("button", name="Later").click()
    pad.evaluate(NO_SETTINGS)
    touch(pad, 3.0, -0.2)
    key(pad, "7", "Keep")
    expect(said(pad)).to_contain_text("Saved: 7,")

    assert [each.readings[-1].as_read for each in at_desk(served, pad).bodies(ReadingSet)] == [
        "12",
        "7",
    ]


def test_what_was_drawn_of_a_boat_since_corrected_cannot_be_pointed_at(
    pad: Page, served: Served
) -> None:
    longer = replace(QUILLET, loa_m=10.6)
    served.desk.surveys.add([entry(5, longer, replaces=(1,))])
    make_safe(pad)
    expect(pad.locator(".paper")).to_be_hidden()
    turn(pad, "walk")
    turn(pad, "pad")

    expect(pad.locator("[data-undrawn]")).to_contain_text("The calculations are starting")
    expect(pad.locator(".drawn img")).to_be_hidden()


def test_a_thickness_is_read_against_what_it_was_as_built(pad: Page, served: Served) -> None:
    pad.evaluate(GAUGE)
    pad.locator("summary").click()
    pad.get_by_label("What is placed").select_option(label="A new set of readings")
    pad.locator("[name=instrument]").select_option("gauge")
    pad.get_by_role("button", name="Begin this set").click()
    expect(said(pad)).to_contain_text("Say first how thick it was as built")
    pad.get_by_role("button", name="Later").click()
    pad.get_by_role("button", name="As built?").click()
    key(pad, "6", "Point", "0", "Keep")
    expect(pad.get_by_role("button", name="As built 6.0")).to_be_visible()

    touch(pad, 3.0, -0.2)
    key(pad, "5", "Point", "1", "Keep")
    expect(said(pad)).to_contain_text("Saved: 5.1")
    pad.get_by_role("button", name="As built 6.0").click()
    pad.get_by_role("button", name="Not known").click()
    touch(pad, 4.0, -0.2)
    key(pad, "4", "Point", "9", "Keep")
    expect(said(pad)).to_contain_text("Saved: 4.9")

    pad.get_by_role("button", name="As built?").click()
    key(pad, "6", "Point", "0", "Keep")
    expect(pad.get_by_role("button", name="As built 6.0")).to_be_visible()
    # As on another day: this set is gone on with no more.
    pad.evaluate(PUT_BY, [f"sets {SURVEY}", []])
    turn(pad, "walk")
    turn(pad, "pad")
    expect(pad.get_by_role("button", name="As built?")).to_be_visible()

    (_, new) = at_desk(served, pad).bodies(ReadingSet)
    assert [(each.as_read, each.original) for each in new.readings] == [("5.1", "6.0"), ("4.9", "")]


def test_after_a_change_of_side_what_was_touched_on_the_other_is_read_no_more(
    pad: Page, served: Served
) -> None:
    pad.evaluate(PUT_BY, [f"pad {SURVEY} starboard-shell", BARE_STARBOARD])
    begin_like_the_old_set(pad)
    pad.get_by_role("button", name="Later").click()
    touch(pad, 3.0, -0.2)
    expect(said(pad)).to_contain_text("type what it reads")

    pad.locator("summary").click()
    pad.get_by_text("Starboard", exact=True).click()
    pad.locator("summary").click()
    expect(pad.locator("[data-sheet]")).to_have_attribute("aria-label", BARE_STARBOARD["alt"])
    key(pad, "1", "7", "Keep")

    expect(said(pad)).to_contain_text("Touch the hull where it is read")
    touch(pad, 5.0, -0.2, BARE_STARBOARD)
    key(pad, "Keep")
    expect(said(pad)).to_contain_text(re.compile(r"Saved: 17, (4\.9|5\.0)"))
    (_, new) = at_desk(served, pad).bodies(ReadingSet)
    (reading,) = new.readings
    assert (reading.as_read, reading.place.side) == ("17", "starboard")
    assert reading.place.station_m == pytest.approx(5.0, abs=0.05)


def test_while_the_other_side_is_drawn_the_drawing_says_so_and_when_it_is_ready(
    pad: Page,
) -> None:
    pad.evaluate(DRAWN_LATER, BARE_STARBOARD)
    view = pad.locator(".view")
    expect(view).to_have_attribute("aria-busy", "false")
    pad.locator("summary").click()
    pad.get_by_role("button", name="Walk it").click()

    pad.get_by_role("button", name="Starboard").click()

    # A grid of the side before comes too late.
    pad.evaluate("run()")
    expect(pad.get_by_text("The starboard side is being drawn.")).to_be_visible()
    expect(view).to_have_attribute("aria-busy", "true")
    expect(said(pad)).to_have_text("")
    pad.evaluate("finish()")
    expect(view).to_have_attribute("aria-busy", "false")
    expect(said(pad)).to_have_text("Drawn. Touch the place.")
    expect(pad.locator(".drawn img")).to_be_visible()
    expect(pad.locator("[data-step]")).to_have_count(0)


@pytest.mark.parametrize(("width", "height"), [(360, 740), (768, 1024), (740, 360)])
def test_the_whole_side_is_seen_whole(pad: Page, width: int, height: int) -> None:
    pad.set_viewport_size({"width": width, "height": height})

    # Its edges lie between pixels.
    expect(pad.locator(".over")).to_be_in_viewport(ratio=0.99)


def test_from_a_part_the_pad_opens_on_it(pad: Page, served: Served) -> None:
    turn(pad, "part", "topside-laminate starboard")
    pad.get_by_role("link", name="Place on the hull").click()
    expect(pad.locator("[data-summary]")).to_have_text("Soundings: topside laminate, starboard")
    turn(pad, "part", "skin-fitting 2")
    pad.get_by_role("link", name="Place on the hull").click()
    expect(pad.locator("[data-summary]")).to_have_text("Soundings: skin fitting 2, starboard")

    pad.get_by_role("button", name="By numbers").click()
    key(pad, "4", "Keep")
    key(pad, "Minus", "Point", "3", "Keep")

    expect(said(pad)).to_contain_text("Saved: sound")
    (blow,) = at_desk(served, pad).bodies(Sounding)
    place = Place(part="skin-fitting", side="starboard", number=2, station_m=4.0, level_m=-0.3)
    assert blow.place == place


def test_a_keyboard_types_once_however_fast_the_pad_was_changed(pad: Page, served: Served) -> None:
    begin_like_the_old_set(pad)
    pad.get_by_role("button", name="Later").click()
    expect(pad.locator(".keys")).to_be_visible()
    pad.evaluate(CHANGED_TWICE)
    touch(pad, 3.0, -0.2)

    pad.keyboard.type("7")
    pad.keyboard.press("Enter")

    expect(said(pad)).to_contain_text("Saved: 7,")
    expect(pad.locator(".keys output")).to_have_text("–")


def test_two_devices_read_into_sets_of_their_own(
    pad: Page, open_page: Open, served: Served
) -> None:
    other = open_page("about:blank", width=360)
    other.add_init_script(NO_CORE)
    brought(other, served)
    other.evaluate(PUT_BY, [f"pad {SURVEY} port-shell", BARE])
    turn(other, "pad")
    for page, value in ((pad, "1"), (other, "2")):
        begin_like_the_old_set(page)
        page.get_by_role("button", name="Later").click()
        touch(page, 3.0, -0.2)
        key(page, value, "Keep")
        expect(said(page)).to_contain_text(f"Saved: {value}")
        make_safe(page)

    touch(pad, 4.0, -0.2)
    key(pad, "3", "Keep")
    expect(said(pad)).to_contain_text("Saved: 3")

    found = at_desk(served, pad)
    read = [[each.as_read for each in of.readings] for of in found.bodies(ReadingSet)]
    assert sorted(read) == [["1", "3"], ["12"], ["2"]]
    assert found.choices == ()


def test_without_a_drawing_a_place_is_given_by_numbers(phone: Page, served: Served) -> None:
    turn(phone, "pad")
    expect(phone.locator("[data-undrawn]")).to_contain_text("The calculations are starting")
    phone.get_by_role("button", name="Dull").click()

    phone.get_by_role("button", name="By numbers").click()
    key(phone, "3", "2", "0", "Keep")
    expect(said(phone)).to_contain_text("320 cannot be: the least is -5, the most 150")
    key(phone, "Delete", "Delete", "Delete", "4", "Point", "2", "Keep")
    key(phone, "Minus", "Point", "3", "Keep")

    expect(said(phone)).to_contain_text("Saved: dull, 4.20 m aft of the stem, 0.30 m below")
    (blow,) = at_desk(served, phone).bodies(Sounding)
    assert blow == Sounding(
        place=Place(part="bottom-laminate", side="port", station_m=4.2, level_m=-0.3), heard="dull"
    )


def test_numbers_off_the_hull_as_drawn_are_refused(pad: Page, served: Served) -> None:
    pad.get_by_role("button", name="By numbers").click()
    key(pad, "4", "Keep")
    key(pad, "Minus", "9", "Keep")

    expect(said(pad)).to_contain_text("Level -9 m is off the hull")
    assert at_desk(served, pad).bodies(Sounding) == ()


def test_a_grid_is_walked_in_order_and_the_map_is_drawn_when_the_hand_rests(
    open_page: Open, served: Served
) -> None:
    page = brought(open_page("about:blank", width=360), served)
    turn(page, "pad")
    expect(page.locator(".drawn img")).to_be_visible(timeout=CORE_MS)
    page.locator("[data-choices] summary").click()
    page.get_by_role("button", name="Walk it").click()
    step = page.locator("[data-step]")
    expect(step).to_contain_text("Place 1 of")
    expect(page.locator(".sights path")).to_be_attached()

    covered = page.locator("[data-covered]")
    expect(covered).to_contain_text("not sounded yet")
    page.get_by_role("button", name="Sound", exact=True).click()
    expect(covered).to_have_text("How closely this was covered is worked out once the hand rests.")
    page.get_by_role("button", name="Pass over").click()
    page.get_by_role("button", name="Dull").click()
    page.get_by_role("button", name="Hollow").click()
    page.get_by_role("button", name="Take back").click()

    expect(step).to_contain_text("Place 4 of")
    expect(said(page)).to_contain_text("Taken back: hollow")
    struck = re.compile("1 sound, 1 dull")
    expect(page.locator("[data-sheet]")).to_have_attribute("aria-label", struck, timeout=CORE_MS)
    expect(page.locator("[data-saving]")).to_have_count(0)
    heard = [each.heard for each in at_desk(served, page).bodies(Sounding)]
    assert heard == ["sound", "dull"]
    meant = page.locator("[data-meant] li", has_text="smallest round patch")
    expect(meant.first).to_be_visible(timeout=CORE_MS)


@pytest.mark.parametrize("why", CANNOT_SAY)
def test_where_readings_cannot_be_worked_out_that_is_said_and_that_they_are_kept(
    phone: Page, why: str
) -> None:
    turn(phone, "part", "rudder-blade")
    meant = phone.locator("[data-meant]")
    expect(meant).to_be_hidden()

    phone.evaluate(CANNOT_SAY[why])
    turn(phone, "part", "bottom-moisture port")

    expect(meant).to_contain_text("It cannot be worked out on this device now.")
    expect(meant).to_contain_text("The readings are kept")
    turn(phone, "part", "rudder-blade")
    expect(meant).to_be_hidden()


def test_an_instrument_is_described_and_its_end_check_kept(phone: Page, served: Served) -> None:
    turn(phone, "instruments")
    phone.get_by_label("What you call it").fill("thickness gauge")
    phone.get_by_label("What it is").fill("ultrasonic, single echo")
    phone.get_by_label("What it reads").select_option("thickness")
    phone.get_by_role("button", name="Keep the instrument").click()
    gauge = phone.locator(".instrument", has_text="thickness gauge")

    gauge.get_by_role("button", name="End check").click()
    gauge.get_by_label("On what").fill("block, 6 mm")
    gauge.get_by_label("Read", exact=False).last.fill("6,4")
    gauge.get_by_role("button", name="It failed").dblclick()

    expect(gauge).to_contain_text("end check on block, 6 mm, 6.4 read, failed")
    found = at_desk(served, phone)
    assert found.bodies(Instrument)[-1].unit == "mm"
    assert found.bodies(InstrumentCheck) == (
        InstrumentCheck(instrument="thickness gauge", on="block, 6 mm", when="after", read=6.4, passed=False),
    )  # fmt: skip


@pytest.mark.parametrize("light", ["", "bilge"])
def test_the_pad_is_usable_with_gloves_and_by_ear(pad: Page, light: str) -> None:
    pad.evaluate("(light) => { document.documentElement.dataset.light = light }", light)
    small = []
    wrong = []
    for state in ("soundings", "choices", "readings"):
        if state == "choices":
            pad.locator("summary").click()
        if state == "readings":
            pad.locator("summary").click()
            begin_like_the_old_set(pad)
            pad.get_by_role("button", name="Later").click()
            expect(pad.locator(".keys")).to_be_visible()
        small += too_small(pad)
        found = Axe().run(pad).response["violations"]
        wrong += [(state, each["id"]) for each in found if each["impact"] in ("serious", "critical")]  # fmt: skip

    assert small == []
    assert wrong == []


@pytest.mark.parametrize(
    ("of", "width", "height"),
    [
        ("soundings", 740, 360),
        ("readings", 740, 360),
        ("readings", 360, 640),
        ("readings", 640, 360),
        ("readings along a grid", 360, 740),
        ("readings along a grid", 360, 640),
        ("readings along a grid", 740, 360),
        ("readings along a grid", 640, 360),
    ],
)
def test_the_hull_and_all_that_is_done_about_it_are_in_one_view(
    pad: Page, of: str, width: int, height: int
) -> None:
    if of.startswith("readings"):
        begin_like_the_old_set(pad)
        pad.get_by_role("button", name="Later").click()
        expect(pad.locator(".keys")).to_be_visible()
    if of.endswith("grid"):
        pad.evaluate(WALKING, f"pad {SURVEY}")
        turn(pad, "walk")
        turn(pad, "pad")
        expect(pad.locator("[data-step]")).to_contain_text("Place 2 of 3")
    pad.set_viewport_size({"width": width, "height": height})
    expect(pad.locator(".pad .view")).to_be_in_viewport(ratio=1)
    foot = pad.locator("footer").bounding_box()
    assert foot is not None

    buttons = pad.locator(".pad .foot button:visible").all()
    boxes = [each.bounding_box() for each in buttons]

    assert len(boxes) >= 11
    assert [each for each in boxes if not each or each["y"] + each["height"] > foot["y"]] == []
    assert too_small(pad) == []
