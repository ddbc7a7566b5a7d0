"""The whole job in a browser, on a phone, a tablet and a computer: from the first call to the built report."""

from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from playwright.sync_api import Page, expect
from shots import shot

from garboard.notebook.body import Examination, Finding, Limitation, Photo, Sounding

Open = Callable[..., Page]
CLEAR = ("serious", "critical")


class Surveyor:
    """Somebody who goes from page to page by what stands on them, and looks at each for what keeps others out."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.survey = ""

    def turn_to(self, name: str) -> None:
        """Open a page of the survey from its menu."""
        # Which of the two is shown is settled by the style sheets.
        self.page.wait_for_load_state()
        menu = self.page.locator("nav button.menu-of")
        if menu.is_visible():
            menu.click()
        pages = self.page.get_by_role("navigation", name="This survey")
        pages.get_by_role("link", name=name).click()
        expect(self.page.get_by_role("heading", level=1, name=name)).to_be_visible()
        self.look()

    def look(self) -> None:
        """Nothing serious is wrong with the page for whoever does not see or point, and it is no wider than the screen."""
        # Before the style sheets are there nothing has its colours.
        self.page.wait_for_load_state()
        found = Axe().run(self.page).response["violations"]
        serious = [each for each in found if each["impact"] in CLEAR]
        assert [(each["id"], each["nodes"][0]["html"]) for each in serious] == []
        assert self.page.evaluate("document.documentElement.scrollWidth <= innerWidth")

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).click()


@pytest.mark.parametrize(("width", "dark"), [(360, False), (768, True), (1280, False)])
def test_a_job_is_carried_from_the_first_call_to_its_report(
    open_page: Open, served: Served, tmp_path: Path, width: int, dark: bool
) -> None:
    page = open_page("/new", width=width, dark=dark)
    job = Surveyor(page)
    job.look()

    page.locator("#client").fill("Tamsin Orrowby")
    page.get_by_label("What the survey is for").select_option("buy")
    page.get_by_label("Where she lies").fill("Fennick Hard")
    page.get_by_label("Name of the boat").fill("Quillet")
    page.locator("#hulls").select_option("1")
    page.locator("#material").select_option("grp")
    page.locator("#keel").select_option("bolted-iron")
    page.locator("#rudder").select_option("part-skeg")
    page.locator("#rig").select_option("sloop")
    page.locator("#drive").select_option("shaft")
    job.press("Open the survey")
    expect(page.get_by_role("heading", level=1, name="Overview")).to_be_visible()
    job.survey = page.url.split("/s/")[1].split("/")[0]

    job.turn_to("Boat")
    for name, value in (
        ("loa_m", "10.20"),
        ("lwl_m", "8.75"),
        ("beam_m", "3.35"),
        ("draught_m", "1.85"),
    ):
        page.locator(f"#{name}").fill(value)
    page.get_by_role("button", name="Keep").first.click()
    expect(page.get_by_text("Kept")).not_to_have_count(0)

    page.goto(f"/s/{job.survey}/visit")
    page.locator("#lying").select_option("ashore")
    job.press("Begin the visit")
    expect(page.get_by_text("The visit has begun.")).to_be_visible()

    job.turn_to("Schedule")
    page.goto(f"/s/{job.survey}/part/keel-joint")
    page.locator("#examination\\.extent").select_option("whole")
    page.locator("#examination\\.outcome").select_option("defect")
    page.locator("#examination\\.found").fill("weeping rust at the forward end")
    page.locator("#examination").get_by_role("button", name="Keep it and stay").click()
    expect(page.get_by_text("weeping rust at the forward end").first).to_be_visible()
    page.locator("details#limitation > summary").click()
    page.locator("#limitation").get_by_role("button", name="Keep it and stay").click()
    expect(page.get_by_text("Not kept yet")).to_be_visible()
    page.locator("#limitation\\.not_reached").fill("the bolts inside the keel")
    page.locator("#limitation").get_by_role("checkbox").first.check()
    page.locator("#limitation").get_by_role("button", name="Keep it and stay").click()
    expect(page.get_by_text("the bolts inside the keel").first).to_be_visible()
    job.look()

    page.goto(f"/s/{job.survey}/placing?place.part=bottom-laminate")
    page.get_by_label("dull", exact=True).check()
    drawing = page.locator(".pointable svg")
    box = drawing.bounding_box()
    assert box
    drawing.click(position={"x": box["width"] / 2, "y": box["height"] / 2})
    expect(page.locator("#said")).to_contain_text("Kept.")
    job.look()

    job.turn_to("Photographs")
    (tmp_path / "keel.jpg").write_bytes(shot())
    page.get_by_label("Choose photographs, or drop them here").set_input_files(tmp_path / "keel.jpg")  # fmt: skip
    expect(page.locator(".sheet li")).to_have_count(1)

    job.turn_to("Findings")
    page.get_by_role("link", name="Take it up").first.click()
    page.locator("#why").fill("Rust at the joint can mean that water reaches the bolts.")
    page.locator("#urgency").select_option("before launching")
    page.locator("#because").fill("the keel hangs on these bolts")
    page.get_by_role("button", name="Keep it", exact=True).click()
    expect(page.locator(".note")).to_contain_text("Kept")
    job.look()

    page.goto(f"/s/{job.survey}/report/summary")
    page.locator("#overall").fill("Sound but for the keel joint.")
    page.get_by_role("button", name="Keep it", exact=True).click()
    expect(page.locator("[data-state]")).to_contain_text("Kept")

    job.turn_to("Report")
    expect(page.locator("[data-at]")).to_contain_text("page")
    for each in ("DOCX", "XLSX"):
        page.get_by_label(each).uncheck()
    job.press("Build them")
    expect(page.get_by_role("link", name="draft.pdf")).to_be_visible(timeout=120_000)
    with page.expect_download() as download:
        page.get_by_role("link", name="draft.pdf").click()
    assert Path(download.value.path()).read_bytes().startswith(b"%PDF-")

    kept = served.desk.surveys.get(job.survey)
    assert kept is not None
    assert [len(kept.of(each)) for each in (Examination, Limitation, Sounding, Photo, Finding)] == [1, 1, 1, 1, 1]  # fmt: skip
