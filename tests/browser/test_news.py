"""Two devices at one survey: what one writes is said on the other's open page, and nothing there moves."""

from collections.abc import Callable
from contextlib import suppress

from browser.conftest import Served
from cast import QUILLET, SURVEY, entry
from playwright.sync_api import Page, Route, expect
from playwright.sync_api import TimeoutError as TooLong

from garboard.notebook.body import Remark

Open = Callable[..., Page]
BASE = f"/s/{SURVEY}"


def test_an_open_page_says_what_another_device_wrote(open_page: Open, served: Served) -> None:
    served.desk.surveys.add([entry(1, QUILLET)])
    page = open_page(f"{BASE}/boat")
    page.get_by_label("Beam of hull").fill("3.40")

    served.desk.surveys.add([entry(2, Remark(text="Rain began"), device="tablet-1")])

    expect(page.get_by_role("status").filter(has_text="Rain began")).to_be_visible()
    expect(page.get_by_label("Beam of hull")).to_have_value("3.40")


def test_the_page_is_shown_anew_when_it_is_asked_for(open_page: Open, served: Served) -> None:
    served.desk.surveys.add([entry(1, QUILLET)])
    page = open_page(f"{BASE}/history")
    served.desk.surveys.add([entry(2, Remark(text="Rain began"), device="tablet-1")])

    page.get_by_role("link", name="Show the page as it is now").click()

    expect(page.get_by_role("cell", name="Rain began")).to_be_visible()
    expect(page.get_by_role("status").filter(has_text="Rain began")).to_have_count(0)


def test_what_was_written_while_the_page_was_loading_is_said(open_page: Open, served: Served) -> None:  # fmt: skip
    served.desk.surveys.add([entry(1, QUILLET)])
    page = open_page(f"{BASE}/history")
    page.add_init_script(
        "const heard = EventSource.prototype.addEventListener\n"
        "EventSource.prototype.addEventListener = function (...given) {\n"
        "  heard.apply(this, given)\n"
        "  heard.call(this, 'new', () => { document.documentElement.dataset.told = 'yes' })\n"
        "}"
    )

    def late(route: Route) -> None:
        served.desk.surveys.add([entry(2, Remark(text="Rain began"), device="tablet-1")])
        with suppress(TooLong):
            page.wait_for_selector("html[data-told]", timeout=2_000)
        route.continue_()

    page.route("**/htmx.min.js", late)
    page.goto(f"{BASE}/boat")

    expect(page.get_by_role("status").filter(has_text="Rain began")).to_be_visible()
