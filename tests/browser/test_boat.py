"""The boat's page in a real browser: what she has is asked as the rest of her allows, and "nothing at all" is an answer."""

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from playwright.sync_api import Page, expect

from garboard.notebook.body import Boat

Open = Callable[..., Page]


@pytest.fixture
def boat(open_page: Open) -> Page:
    """The page of a boat of whom little was told in the first call."""
    page = open_page("/new")
    page.locator("#client").fill("Mirel Tannock")
    page.get_by_label("What the survey is for").select_option("buy")
    page.get_by_label("Name of the boat").fill("Sorrel")
    page.get_by_role("button", name="Open the survey").click()
    page.get_by_role("link", name="Boat", exact=True).click()
    expect(page.get_by_role("heading", name="What she has")).to_be_visible()
    page.wait_for_load_state()
    return page


def kept(served: Served, page: Page) -> Boat:
    survey = served.desk.surveys.get(page.url.split("/")[4])
    assert survey is not None
    assert survey.boat is not None
    return survey.boat


def test_that_she_has_nothing_at_all_is_kept_and_no_more_is_asked(
    boat: Page, served: Served
) -> None:
    boat.get_by_label("She has none of these").check()
    boat.get_by_role("button", name="Keep the boat").click()

    expect(boat.get_by_text("Kept: what was blank is filled in.")).to_be_visible()
    expect(boat.get_by_label("She has none of these")).to_be_checked()
    assert kept(served, boat).fitted_none
    boat.get_by_role("link", name="Schedule", exact=True).click()
    expect(boat.get_by_role("heading", name="Schedule")).to_be_visible()
    expect(boat.get_by_text("Is there a gas installation?")).to_have_count(0)


def test_nothing_and_something_together_are_refused_in_words(boat: Page, served: Served) -> None:
    boat.get_by_label("She has none of these").check()
    boat.get_by_label("Is there a gas installation?", exact=True).check()
    boat.get_by_role("button", name="Keep the boat").click()

    expect(boat.get_by_role("alert").first).to_contain_text("she has nothing, and something is listed")  # fmt: skip
    expect(boat.get_by_role("alert").first).to_contain_text("“She has none of these”")
    assert not kept(served, boat).fitted_none
    assert kept(served, boat).fitted == ()


def test_what_she_cannot_have_is_no_more_asked_as_soon_as_that_is_said(boat: Page) -> None:
    nets = boat.get_by_text("Is there a trampoline between the hulls?", exact=True)
    folding = boat.get_by_label("Do the outer hulls fold or slide?", exact=True)
    expect(nets).to_be_visible()
    folding.check()

    boat.get_by_label("How many hulls").select_option("1")

    expect(nets).to_be_hidden()
    expect(folding).to_be_visible()
    boat.get_by_label("How many hulls").select_option("2")
    expect(nets).to_be_visible()


def test_what_means_nothing_of_a_boat_without_a_rig_is_no_more_asked(boat: Page) -> None:
    mast, sails = boat.get_by_label("Mast made of"), boat.get_by_label("Area of sail")
    boat.get_by_label("Mast stands").select_option(index=1)
    expect(mast).to_be_visible()

    boat.get_by_label("Kind of rig").select_option("none")

    expect(mast).to_be_hidden()
    expect(sails).to_be_hidden()
    expect(boat.get_by_label("Mast stands")).to_be_visible()
    boat.get_by_label("Kind of rig").select_option("sloop")
    expect(mast).to_be_visible()


def test_nothing_serious_stands_in_the_way_of_anybody(boat: Page) -> None:
    found = Axe().run(boat).response["violations"]

    assert [each["id"] for each in found if each["impact"] in ("serious", "critical")] == []
