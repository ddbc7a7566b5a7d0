"""The boat and her schedule in a real browser: drawn while one types, walked and typed back by the keyboard alone."""

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from cast import QUILLET, SURVEY, entry
from playwright.sync_api import Dialog, Page, Route, expect

from garboard.notebook.body import Boat, Examination, Instruction
from garboard.notebook.fold import Survey

BASE = f"/s/{SURVEY}"
Open = Callable[..., Page]


@pytest.fixture(autouse=True)
def survey(served: Served) -> None:
    """A survey of which nothing was examined yet."""
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    served.desk.surveys.add([entry(1, QUILLET), entry(2, asked)])


def now(served: Served) -> Survey:
    found = served.desk.surveys.get(SURVEY)
    assert found is not None
    return found


def test_the_hull_is_drawn_anew_while_her_length_is_typed(open_page: Open) -> None:
    page = open_page(f"{BASE}/boat")
    page.get_by_text("From above, and sections").click()

    page.get_by_label("Length of hull").fill("14")

    expect(page.locator("#drawn")).to_contain_text("13")
    expect(page.locator("#drawn svg")).to_have_count(3)
    expect(page.locator("#drawn svg").nth(1)).to_be_visible()


def test_what_was_typed_is_kept_with_its_reason(open_page: Open, served: Served) -> None:
    page = open_page(f"{BASE}/boat")
    page.get_by_label("Beam of hull").fill("3.40")
    page.get_by_label("Why it is corrected").fill("measured with the tape")

    page.get_by_role("button", name="Keep the boat").click()

    expect(page.get_by_label("Beam of hull")).to_have_value("3.4")
    (stands,) = now(served).of(Boat)
    assert (stands.body.beam_m, stands.why) == (3.4, "measured with the tape")


def test_a_page_is_not_left_unasked_while_something_typed_is_not_kept(open_page: Open) -> None:
    page = open_page(f"{BASE}/part/seacock%201")
    asked: list[str] = []

    def answer(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.on("dialog", answer)
    page.get_by_label("What was found").fill("stiff")
    page.keyboard.press("Escape")

    page.keyboard.press("n")

    expect(page.get_by_label("What was found")).to_have_value("stiff")
    assert asked == ["beforeunload"]


def test_a_page_is_not_left_unasked_for_a_search(open_page: Open) -> None:
    page = open_page(f"{BASE}/part/seacock%201")
    asked: list[str] = []

    def answer(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.accept()

    page.on("dialog", answer)
    page.get_by_label("What was found").fill("stiff")

    page.get_by_role("searchbox").fill("keel")
    page.keyboard.press("Enter")
    page.wait_for_url("**/search?*")

    assert asked == ["beforeunload"]


def test_what_is_odd_about_the_identity_number_is_said_while_it_is_typed(
    open_page: Open,
) -> None:
    page = open_page(f"{BASE}/boat")

    page.get_by_label("Craft identity number").fill("GB-QLT00417C8")

    expect(page.locator("#identity-says .said")).to_be_visible()


def test_a_place_is_examined_with_the_keyboard_alone(open_page: Open, served: Served) -> None:
    page = open_page(f"{BASE}/part/seacock%201")
    keys = page.keyboard

    keys.press("e")
    expect(page.get_by_label("How far it was examined")).to_be_focused()
    keys.type("the whole")
    keys.press("Tab")
    keys.press("Space")
    keys.press("Control+Enter")

    expect(page).to_have_url(f"{served.address}{BASE}/part/sea-hose%201")
    (made,) = now(served).bodies(Examination)
    assert (made.extent, len(made.how)) == ("whole", 1)


def test_single_keys_walk_on_unless_they_are_switched_off(open_page: Open) -> None:
    page = open_page(f"{BASE}/part/seacock%201")

    page.keyboard.press("n")
    page.wait_for_url("**/part/sea-hose%201")
    page.get_by_label("Single keys work on this page").uncheck()
    page.reload()
    page.keyboard.press("n")

    expect(page.get_by_label("Single keys work on this page")).not_to_be_checked()
    assert page.url.endswith("/part/sea-hose%201")


def test_lines_are_typed_back_kept_as_they_are_left_and_taken_back(
    open_page: Open, served: Served
) -> None:
    page = open_page(f"{BASE}/schedule/typing")
    first, second = page.locator("#line-1"), page.locator("#line-2")
    first.locator("input").first.focus()

    page.keyboard.type("w")
    page.keyboard.press("Tab")
    page.keyboard.type(".")
    page.keyboard.press("Enter")
    page.keyboard.type("w")
    page.keyboard.press("ArrowDown")

    expect(first).to_contain_text("examined whole")
    expect(second).to_contain_text("In which ways?")
    expect(page.locator("#line-3 input").first).to_be_focused()
    assert len(now(served).of(Examination)) == 1
    first.get_by_role("button").click()
    expect(first.locator("input").first).to_be_visible()
    expect(page.get_by_text("Taken back: ", exact=False)).to_be_in_viewport()
    assert now(served).of(Examination) == ()


@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize(
    "path", ["boat", "schedule", "schedule/numbers", "schedule/typing", "part/seacock%201"]
)
def test_nothing_on_the_pages_of_the_walk_bars_anybody(
    open_page: Open, path: str, width: int
) -> None:
    page = open_page(f"{BASE}/{path}", width=width)

    found = Axe().run(page)

    assert [(each["id"], each["nodes"][0]["target"]) for each in found.response["violations"]] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_nothing_is_typed_into_a_line_while_it_is_being_kept(open_page: Open, served: Served) -> None:  # fmt: skip
    page = open_page(f"{BASE}/schedule/typing")
    cells = page.locator("#line-1 input")
    open_to_typing: list[bool] = []

    def look(route: Route) -> None:
        open_to_typing.append(cells.first.is_editable())
        route.continue_()

    page.route("**/schedule/typing/*", look)
    cells.first.focus()
    page.keyboard.type("w")
    page.keyboard.press("Tab")
    page.keyboard.type(".")
    page.keyboard.press("Enter")

    expect(page.locator("#line-1")).to_contain_text("examined whole")
    assert open_to_typing == [False]
