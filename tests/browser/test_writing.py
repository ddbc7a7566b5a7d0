"""Writing in a real browser: the page beside the words follows them, and keeping them leaves everything in its place."""

from collections.abc import Callable
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from cast import entry
from desk.written import BASE, FINDING, now, put
from playwright.sync_api import Dialog, Page, Route, expect

from garboard.notebook.body import Finding, Remark

PAGE = f"{BASE}/finding/{FINDING.id}"
Opened = Callable[..., Page]


@pytest.fixture(autouse=True)
def survey(served: Served) -> None:
    put(served.desk)


def picture(page: Page) -> str:
    """The address of the picture of a page, once it is there."""
    expect(page.locator("[data-large]")).to_be_visible(timeout=60_000)
    return str(page.locator("img[data-page]").get_attribute("src"))


def picture_after(page: Page, before: str) -> str:
    expect(page.locator("img[data-page]")).not_to_have_attribute("src", before, timeout=60_000)
    return picture(page)


def test_the_page_follows_the_words_before_they_are_kept(open_page: Opened, served: Served) -> None:
    page = open_page(PAGE)
    before = picture(page)

    page.get_by_label("What was found").fill("Nothing but rust, as it appears.")
    picture_after(page, before)

    expect(page.locator("[data-state]")).to_have_text("Not kept yet")
    expect(page.locator("[data-notes]")).to_contain_text('"appears" says nothing')
    assert now(served.desk).bodies(Finding) == (FINDING.body,)


def test_words_are_kept_by_the_keyboard_and_the_page_stays_where_it_is(
    open_page: Opened, served: Served
) -> None:
    page = open_page(PAGE)
    picture(page)

    page.get_by_label("Heading").fill("Keel joint open")
    page.keyboard.press("Control+s")
    expect(page.locator("[data-state]")).to_contain_text("Corrected: finding “Keel joint open")
    page.get_by_label("Heading").fill("Keel joint wide open")
    page.keyboard.press("Control+s")
    expect(page.locator("[data-state]")).to_contain_text("Corrected: finding “Keel joint wide open")

    (entry,) = now(served.desk).of(Finding)
    assert entry.body.title == "Keel joint wide open"
    assert page.url.endswith(PAGE)


def test_what_has_to_be_put_right_is_marked_without_leaving_the_page(open_page: Opened) -> None:
    page = open_page(PAGE)
    picture(page)

    page.get_by_label("Heading").fill("")
    page.keyboard.press("Control+s")

    expect(page.get_by_role("alert")).to_contain_text("Nothing was kept")
    expect(page.locator("[name=title]")).to_have_attribute("aria-invalid", "true")


def asked_of(page: Page) -> list[str]:
    """What the browser asks when the page is left, from now on."""
    asked: list[str] = []

    def leave(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.accept()

    page.on("dialog", leave)
    return asked


def asked_when_left(page: Page) -> list[str]:
    """What the browser asks when the page is left for the overview."""
    asked = asked_of(page)
    page.get_by_role("link", name="Overview").click()
    page.wait_for_url("**/s/*/")
    return asked


def test_words_not_kept_are_not_left_by_accident(open_page: Opened) -> None:
    page = open_page(PAGE)

    page.get_by_label("Heading").press_sequentially("!")

    assert asked_when_left(page) == ["beforeunload"]


def test_words_not_kept_are_not_left_for_a_search_by_accident(open_page: Opened) -> None:
    page = open_page(PAGE)
    page.get_by_label("Heading").press_sequentially("!")
    asked = asked_of(page)

    page.get_by_role("searchbox").fill("keel")
    page.keyboard.press("Enter")
    page.wait_for_url("**/search?*")

    assert asked == ["beforeunload"]


def test_words_that_were_kept_are_left_unasked(open_page: Opened) -> None:
    page = open_page(PAGE)

    page.get_by_label("Heading").press_sequentially("!")
    page.keyboard.press("Control+s")
    expect(page.locator("[data-state]")).to_contain_text("Corrected")

    assert asked_when_left(page) == []


def test_news_of_another_device_leaves_words_unkept(open_page: Opened, served: Served) -> None:
    page = open_page(PAGE)
    page.get_by_label("Heading").press_sequentially("!")
    page.keyboard.press("Tab")

    served.desk.surveys.add([entry(90, Remark(text="Rain began"), device="tablet-1")])
    expect(page.get_by_role("status").filter(has_text="Rain began")).to_be_visible()
    expect(page.locator(".htmx-added, .htmx-settling, .htmx-swapping")).to_have_count(0)

    assert asked_when_left(page) == ["beforeunload"]


def test_a_wording_made_beside_the_page_leaves_its_words_unkept(open_page: Opened) -> None:
    page = open_page(PAGE)
    page.get_by_label("Heading").press_sequentially("!")

    with page.expect_popup():
        page.get_by_role("button", name="Keep this finding as a wording").click()

    assert asked_when_left(page) == ["beforeunload"]


def test_the_pages_are_turned_and_chosen(open_page: Opened) -> None:
    page = open_page(f"{BASE}/report")
    before = picture(page)

    page.get_by_role("button", name="After").click()
    second = picture_after(page, before)
    page.get_by_label("Turn to").select_option(
        label=page.locator("option", has_text="1. Keel").inner_text()
    )

    expect(page.locator("[data-at]")).not_to_contain_text("page 2 of")
    assert picture_after(page, second) != before


PAGES = ["findings", f"finding/{FINDING.id}", "finding/new", "report?all=yes", "report/summary", "value", "value/new", "printed"]  # fmt: skip


@pytest.mark.parametrize(
    "path", [*(f"{BASE}/{each}" for each in PAGES), "/phrases", "/phrases/new"]
)
def test_each_page_can_be_used_by_everybody(open_page: Opened, path: str) -> None:
    page = open_page(path, width=360, dark=True)

    found = Axe().run(page)
    wide: Any = page.evaluate("document.documentElement.scrollWidth")

    grave = [
        each for each in found.response["violations"] if each["impact"] in ("serious", "critical")
    ]
    assert grave == [], found.generate_report()
    assert wide == 360


def test_what_is_written_while_the_words_are_being_kept_is_not_lost(
    open_page: Opened, served: Served
) -> None:
    page = open_page(PAGE)
    heading = page.get_by_label("Heading")

    def write_on(route: Route) -> None:
        if route.request.method == "POST":
            heading.fill("Keel joint wide open")
        route.continue_()

    page.route(f"**{PAGE}", write_on)
    page.evaluate("document.querySelector('form[data-writing]').id = 'before'")
    heading.fill("Keel joint open")
    page.keyboard.press("Control+s")

    expect(page.locator("#before")).to_have_count(0)
    expect(page.locator("[data-state]")).to_have_text("Not kept yet")
    expect(heading).to_have_value("Keel joint wide open")
    assert [each.title for each in now(served.desk).bodies(Finding)] == ["Keel joint open"]


def test_what_is_ticked_while_the_words_are_being_kept_is_not_lost(
    open_page: Opened, served: Served
) -> None:
    page = open_page(PAGE)
    photo, measured = page.locator("[name=photos]"), page.locator("[name=how_known][value=measured]")  # fmt: skip

    def tick_on(route: Route) -> None:
        if route.request.method == "POST":
            photo.uncheck()
            measured.check()
        route.continue_()

    page.route(f"**{PAGE}", tick_on)
    page.evaluate("document.querySelector('form[data-writing]').id = 'before'")
    page.get_by_label("Heading").fill("Keel joint open")
    page.keyboard.press("Control+s")

    expect(page.locator("#before")).to_have_count(0)
    expect(page.locator("[data-state]")).to_have_text("Not kept yet")
    expect(photo).not_to_be_checked()
    expect(measured).to_be_checked()
    assert [each.photos for each in now(served.desk).bodies(Finding)] == [FINDING.body.photos]
