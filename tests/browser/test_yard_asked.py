"""What nobody had said of the boat, answered on board with the phone."""

from collections.abc import Callable
from dataclasses import replace

from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from browser.phone import NO_CORE, make_safe, too_small
from cast import QUILLET, SURVEY, entry
from playwright.sync_api import Page, expect

from garboard.judgement.states import called_parts
from garboard.notebook.body import Instruction

Open = Callable[..., Page]
UNSAID = replace(QUILLET, hulls=None, fitted=(), notes="Seen ashore.")


def with_survey(open_page: Open, served: Served) -> Page:
    """A phone with the survey of a boat of whose fittings nobody said anything."""
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    served.desk.surveys.add([entry(1, UNSAID), entry(2, asked)])
    page = open_page("about:blank", width=360)
    page.add_init_script(NO_CORE)
    page.goto("/yard/")
    page.get_by_role("button", name="Quillet").click()
    page.locator("[data-surveys]").get_by_role("button", name="Quillet").click()
    return page


def test_questions_about_the_boat_are_answered_on_board(open_page: Open, served: Served) -> None:
    page = with_survey(open_page, served)
    page.get_by_role("link", name="What she has:").click()

    page.get_by_role("button", name="one hull").click()
    expect(page.locator("[data-kept]")).to_contain_text("Saved on this device. How many hulls")
    plate = page.get_by_role("group", name="Is there an earth plate")
    plate.get_by_role("button", name="Has not").click()
    heads = page.get_by_role("group", name="Is there a heads")
    heads.get_by_role("button", name="Has", exact=True).click()
    page.reload()
    expect(heads.get_by_role("button", name="Has", exact=True)).to_have_attribute("aria-pressed", "true")  # fmt: skip
    assert too_small(page) == []
    wrong = [each["id"] for each in Axe().run(page).response["violations"] if each["impact"] in ("serious", "critical")]  # fmt: skip
    page.get_by_role("button", name="Keep what she has").click()
    expect(page.locator("[data-kept]")).to_contain_text("Saved on this device. She has 1")
    make_safe(page)

    found = served.desk.surveys.get(SURVEY)
    assert found is not None
    assert found.boat is not None
    assert found.choices == ()
    assert found.boat.hulls == 1
    assert "earth-plate" not in found.boat.fitted_unknown
    assert found.boat.fitted == ("heads",)
    assert found.boat.notes == "Seen ashore."
    parts = {each.part.id for each in called_parts(found)}
    assert "earth-plate" not in parts
    assert "transducer" in found.boat.fitted_unknown
    assert "transducer" in parts
    assert wrong == []


def test_an_answer_taken_off_is_said_and_put_back(open_page: Open, served: Served) -> None:
    page = with_survey(open_page, served)
    page.get_by_role("link", name="What she has:").click()
    page.clock.install()
    answer = page.get_by_role("button", name="one hull")
    answer.dblclick()
    expect(page.locator("[data-kept]")).to_have_text("Saved on this device. How many hulls.")
    page.clock.run_for(1_000)

    answer.click()
    expect(page.locator("[data-kept]")).to_contain_text("Taken back: How many hulls: one hull.")
    make_safe(page)
    before = served.desk.surveys.get(SURVEY)
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator("[data-kept]")).to_have_text("Put back: How many hulls: one hull.")
    make_safe(page)

    found = served.desk.surveys.get(SURVEY)
    assert before is not None
    assert before.boat is not None
    assert before.boat.hulls is None
    assert found is not None
    assert found.boat is not None
    assert found.boat.hulls == 1


def test_what_the_desk_stated_meanwhile_is_not_undone(open_page: Open, served: Served) -> None:
    page = with_survey(open_page, served)
    stated = replace(UNSAID, fitted=("earth-plate",))
    served.desk.surveys.add([entry(3, stated, replaces=(1,))])
    make_safe(page)

    page.get_by_role("link", name="What she has:").click()
    heads = page.get_by_role("group", name="Is there a heads")
    heads.get_by_role("button", name="Has", exact=True).click()
    page.get_by_role("button", name="Keep what she has").click()
    expect(page.locator("[data-kept]")).to_contain_text("Saved on this device. She has 2")
    make_safe(page)

    found = served.desk.surveys.get(SURVEY)
    assert found is not None
    assert found.boat is not None
    assert (set(found.boat.fitted), found.boat.fitted_unknown) == ({"earth-plate", "heads"}, ())
