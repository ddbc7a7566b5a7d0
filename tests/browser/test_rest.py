"""The rest of the schedule in a real browser: one tick for all of it, one for a stretch, and each follows the others."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

Open = Callable[..., Page]


@pytest.fixture
def rest(open_page: Open) -> Page:
    """The places of a boat of whom nothing is recorded yet."""
    page = open_page("/new")
    page.locator("#client").fill("Mirel Tannock")
    page.get_by_label("What the survey is for").select_option("buy")
    page.get_by_label("Name of the boat").fill("Sorrel")
    page.get_by_role("button", name="Open the survey").click()
    page.get_by_role("link", name="Boat", exact=True).wait_for()
    page.goto(page.url.split("/s/")[0] + "/s/" + page.url.split("/")[4] + "/schedule/rest")
    return page


def test_all_places_are_ticked_at_once_and_one_can_be_taken_away(rest: Page) -> None:
    every = rest.locator("#places > [data-all] input")
    stretch = rest.locator("#places > fieldset").first
    places = rest.locator("input[name=places]")

    every.check()

    expect(rest.locator("input[name=places]:checked")).to_have_count(places.count())
    expect(stretch.locator("[data-all] input")).to_be_checked()
    stretch.locator("[data-all] input").uncheck()
    expect(every).not_to_be_checked()
    expect(every).to_have_js_property("indeterminate", True)
    expect(stretch.locator("input[name=places]:checked")).to_have_count(0)
