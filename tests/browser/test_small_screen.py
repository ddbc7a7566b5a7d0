"""On a telephone: little above the page, a long schedule folded by its stretches, what to mend in sight and in focus."""

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from cast import QUILLET, SURVEY, entry
from playwright.sync_api import Page, expect

from garboard.notebook.body import Boat, Instruction

BASE = f"/s/{SURVEY}"
WIDTH = 360
Open = Callable[..., Page]


@pytest.fixture(autouse=True)
def survey(served: Served) -> None:
    """A survey of which nothing was examined yet."""
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    served.desk.surveys.add([entry(1, QUILLET), entry(2, asked)])


def test_the_menus_take_little_room_and_open_by_the_keyboard(open_page: Open) -> None:
    page = open_page(f"{BASE}/schedule", width=WIDTH)
    closed = page.get_by_role("button", name="Quillet Schedule")
    box = closed.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= 110
    expect(page.get_by_role("link", name="Photographs", exact=True)).to_be_hidden()

    closed.focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")

    expect(page.get_by_role("link", name="Overview")).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.get_by_role("link", name="Overview")).to_be_hidden()


@pytest.mark.parametrize("width", [768, 1280])
def test_on_a_wider_screen_all_pages_stand_open(open_page: Open, width: int) -> None:
    page = open_page(f"{BASE}/schedule", width=width)

    expect(page.get_by_role("link", name="Photographs", exact=True)).to_be_visible()
    expect(page.get_by_role("link", name="Diary")).to_be_visible()
    expect(page.locator(".menu-of")).to_have_count(2)
    expect(page.locator(".menu-of").first).to_be_hidden()


def test_the_schedule_is_folded_on_a_small_screen_and_whole_on_paper(open_page: Open) -> None:
    page = open_page(f"{BASE}/schedule", width=WIDTH)
    first = page.locator(".stretch > details").first
    expect(first).not_to_have_attribute("open", "")
    assert page.evaluate("document.documentElement.scrollHeight") < 5_000

    first.locator("summary").click()
    expect(first).to_have_attribute("open", "")
    page.reload()
    expect(first).to_have_attribute("open", "")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")

    expect(page.locator(".stretch > details:not([open])")).to_have_count(0)


def test_typing_goes_on_into_a_stretch_that_is_folded(open_page: Open) -> None:
    page = open_page(f"{BASE}/schedule/typing", width=WIDTH)
    first, second = (page.locator(".stretch > details").nth(each) for each in (0, 1))
    first.locator("summary").click()
    first.locator("[data-line] input").last.focus()

    page.keyboard.press("ArrowDown")

    expect(second).to_have_attribute("open", "")
    expect(second.locator("[data-line]").first.locator("input").last).to_be_focused()


def test_a_part_that_the_address_names_is_unfolded(open_page: Open) -> None:
    page = open_page(f"{BASE}/schedule#keel-joint", width=WIDTH)

    expect(page.locator("#keel-joint")).to_be_visible()


def test_what_is_to_be_mended_takes_the_focus_and_leads_to_its_field(
    open_page: Open, served: Served
) -> None:
    page = open_page(f"{BASE}/boat", width=WIDTH)
    page.get_by_label("Length on the waterline").fill("long")
    page.get_by_role("button", name="Keep the boat").click()

    expect(page.locator("[data-mend]")).to_be_focused()
    expect(page.locator("[data-mend]")).to_be_in_viewport()
    page.get_by_role("link", name="Length on the waterline").click()
    expect(page.get_by_label("Length on the waterline")).to_be_in_viewport()


def test_what_was_kept_stays_in_sight_until_one_goes_on(open_page: Open, served: Served) -> None:
    bare = Boat(name="Quillet")
    served.desk.surveys.add([entry(3, bare, replaces=(1,))])
    page = open_page(f"{BASE}/boat", width=WIDTH)
    page.get_by_label("Length of hull").fill("9.8")
    page.get_by_role("button", name="Keep the boat").click()
    note = page.get_by_text("Kept: what was blank is filled in.")
    expect(note).to_be_visible()
    page.wait_for_load_state()

    page.evaluate("scrollTo(0, 2000)")

    expect(note).to_be_in_viewport()
    page.keyboard.press("Tab")
    page.evaluate("scrollTo(0, 2000)")
    expect(note).not_to_be_in_viewport()


@pytest.mark.parametrize(
    "path", ["", "/schedule", "/boat", "/visit", "/instruments", "/instruction"]
)
@pytest.mark.parametrize("dark", [False, True])
def test_nothing_on_a_small_screen_bars_anybody(open_page: Open, path: str, dark: bool) -> None:
    page = open_page(f"{BASE}{path or '/'}", width=WIDTH, dark=dark)

    found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]})

    assert [each["id"] for each in found.response["violations"]] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= WIDTH
