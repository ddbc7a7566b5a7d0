"""A job from the first call to accepted terms, in a browser as surveyor and client have it."""

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

Open = Callable[..., Page]


def enquire(open_page: Open) -> Page:
    """The overview of a survey opened for a second client of the demo's sloop."""
    page = open_page("/new")
    page.locator("#client").fill("Mirel Tannock")
    page.get_by_label("What the survey is for").select_option("buy")
    page.get_by_label("Where she lies").fill("Fennick Hard")
    page.get_by_label("Name of the boat").fill("Quillet")
    page.get_by_role("button", name="Open the survey").click()
    expect(page.get_by_role("heading", name="Overview")).to_be_visible()
    return page


def write_terms(open_page: Open) -> None:
    page = open_page("/terms-texts")
    page.get_by_label("Text", exact=True).fill("1. Parties\n\nFor the client alone.")
    page.get_by_role("button", name="Keep it as the next version").click()
    expect(page.get_by_role("link", name="Terms of survey, version 1")).to_be_visible()


def test_the_archive_answers_while_the_call_is_written_down(open_page: Open, demo: str) -> None:
    page = open_page("/new")

    page.get_by_label("Name of the boat").fill("quillet")
    page.get_by_label("Class or designer").focus()

    expect(page.get_by_text("A boat of the same name")).to_be_visible()
    expect(page.get_by_text("for another client")).to_be_visible()


def test_a_client_accepts_on_a_telephone_and_the_surveyor_sees_it(open_page: Open) -> None:
    write_terms(open_page)
    desk = enquire(open_page)
    desk.context.grant_permissions(["clipboard-read", "clipboard-write"])
    desk.get_by_role("link", name="Instruction", exact=True).click()
    desk.get_by_role("button", name="Make a link for the client").click()
    link = desk.get_by_label("The link", exact=True).input_value()
    # Browsers copy only from the page that is looked at.
    desk.bring_to_front()
    desk.get_by_role("button", name="Copy it").click()
    expect(desk.get_by_role("button", name="Copied")).to_be_visible()
    assert desk.evaluate("navigator.clipboard.readText()") == link

    phone = open_page(link, width=360, signed_in=False)
    expect(phone.get_by_text("For the client alone.")).to_be_visible()
    phone.get_by_label("I have read this and accept it").check()
    phone.get_by_label("Your name").fill("Mirel Tannock")
    phone.get_by_role("button", name="Accept the terms").click()
    expect(phone.get_by_text("Accepted by Mirel Tannock on")).to_be_visible()
    with phone.expect_download() as download:
        phone.get_by_role("link", name="Keep a copy as a file").click()

    assert "For the client alone." in download.value.path().read_text()
    desk.goto("/")
    expect(desk.get_by_role("heading", name="Booked")).to_be_visible()


@pytest.mark.parametrize(("width", "dark"), [(360, False), (768, True), (1280, False)])
def test_every_page_of_a_job_is_accessible_and_fits(
    open_page: Open, demo: str, width: int, dark: bool
) -> None:
    write_terms(open_page)
    desk = enquire(open_page)
    survey = desk.url.partition("/s/")[2]
    desk.goto(f"/s/{survey}instruction")
    desk.get_by_role("button", name="Make a link for the client").click()
    link = desk.get_by_label("The link", exact=True).input_value()
    paths = ("/", "/?list=enquiry", "/search?q=keel", "/new?name=Quillet", "/terms-texts", f"/s/{survey}", f"/s/{survey}instruction", f"{demo}/", f"{demo}/instruction", link)  # fmt: skip
    page = open_page("/", width=width, dark=dark)

    for path in paths:
        page.goto(path)
        for folded in page.locator("details").all():
            folded.evaluate("each => { each.open = true }")
        found = Axe().run(page).response["violations"]
        assert [(path, each["id"], each["nodes"][0]["target"]) for each in found] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path
