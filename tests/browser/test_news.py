"""Two devices at one survey: what one writes is said on the other's open page, and nothing there moves."""

from collections.abc import Callable

from browser.conftest import Served
from cast import QUILLET, SURVEY, entry
from playwright.sync_api import Page, expect

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
