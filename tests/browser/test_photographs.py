"""Photographs as a surveyor handles them: dropped, sorted, captioned, marked and looked at, with pointer and keyboard."""

import io
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Protocol

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Page, Route, expect
from shots import shot

from garboard.desk.context import Desk
from garboard.notebook.body import Answer, Observation, Photo, Place
from garboard.notebook.fold import Survey

Open = Callable[..., Page]


class Served(Protocol):
    """What the fixture of this name gives."""

    desk: Desk


PIECE = 4 * 2**20


def large(seed: int = 1) -> bytes:
    """A photograph that takes more than one piece."""
    noise = np.random.default_rng(seed).integers(0, 256, (1800, 2400, 3), dtype=np.uint8)
    held = io.BytesIO()
    Image.fromarray(noise).save(held, "JPEG", quality=97)
    return held.getvalue()


def files(folder: Path, **shots: bytes) -> list[Path]:
    for name, content in shots.items():
        (folder / f"{name}.jpg").write_bytes(content)
    return [folder / f"{name}.jpg" for name in shots]


def survey_at(served: Served, demo: str) -> Survey:
    survey = served.desk.surveys.get(demo.rpartition("/")[2])
    assert survey is not None
    return survey


def photo(served: Served, demo: str, number: int) -> Photo:
    return next(each for each in survey_at(served, demo).bodies(Photo) if each.number == number)


def choose(page: Page, paths: list[Path]) -> None:
    folded = page.locator("details:has(form[data-upload])")
    folded.evaluate("each => { each.open = true }")
    page.locator("#upload").set_input_files(paths)


def test_many_are_chosen_sent_and_shown_and_what_is_no_photograph_is_named(
    open_page: Open, demo: str, tmp_path: Path
) -> None:
    page = open_page(f"{demo}/photographs")
    shots = {f"new-{seed}": shot(seed) for seed in range(12)}

    choose(page, files(tmp_path, **shots, holiday=b"PK\x03\x04 no picture at all" * 9))

    expect(page.get_by_text("12 of 13 kept, 1 refused.")).to_be_visible()
    expect(page.get_by_text("holiday.jpg: By its first bytes it is no JPEG")).to_be_visible()
    expect(page.get_by_role("link", name="86 in all")).to_be_visible()
    assert page.locator("progress").evaluate("bar => bar.value") == 1
    expect(page.get_by_role("button", name="Go on with what broke off")).to_be_hidden()


def test_those_chosen_together_are_numbered_as_they_were_taken(
    open_page: Open, served: Served, demo: str, tmp_path: Path
) -> None:
    page = open_page(f"{demo}/photographs")
    first = max(each.number for each in survey_at(served, demo).bodies(Photo)) + 1
    # The later a name comes, the earlier it was taken; what is sent first is the largest.
    shots = {
        f"new-{n}": shot(n, taken=datetime(2026, 5, 12, 9, 50 - n), size=(900 - 50 * n, 600))  # noqa: DTZ001
        for n in range(6)
    }

    choose(page, files(tmp_path, **shots))

    expect(page.get_by_text("6 of 6 kept.")).to_be_visible()
    assert [photo(served, demo, first + n).file for n in range(6)] == [
        f"new-{n}.jpg" for n in reversed(range(6))
    ]


def test_an_upload_that_broke_off_goes_on_after_a_reload(
    open_page: Open, demo: str, tmp_path: Path
) -> None:
    page, original = open_page(f"{demo}/photographs"), large()
    sent: list[str] = []
    page.on("request", lambda request: sent.append(request.url.partition("?at=")[2]))
    # The second piece is on its way for ever.
    page.route(f"**?at={PIECE}", lambda route: None)
    chosen = files(tmp_path, keel=original)
    choose(page, chosen)
    expect(page.get_by_text("keel.jpg: being sent, ")).to_be_visible()
    expect(page.locator("[data-list]")).not_to_contain_text("sent, 0 %")

    page.once("dialog", lambda dialog: dialog.accept())
    page.reload()
    page.unroute(f"**?at={PIECE}")
    sent.clear()
    choose(page, chosen)

    expect(page.get_by_text("1 of 1 kept.")).to_be_visible()
    assert [each for each in sent if each] == [str(PIECE)]


def test_a_lost_connection_is_tried_again_by_itself(open_page: Open, demo: str, tmp_path: Path) -> None:  # fmt: skip
    page = open_page(f"{demo}/photographs")
    page.evaluate(
        """() => {
          const real = window.fetch
          let isLost = false
          window.fetch = (address, sent) => {
            if (isLost || !String(address).includes("?at=0")) return real(address, sent)
            isLost = true
            return Promise.reject(new TypeError("connection lost"))
          }
        }"""
    )

    choose(page, files(tmp_path, keel=shot()))

    expect(page.get_by_text("1 of 1 kept.")).to_be_visible()


def test_where_the_browser_gives_no_hash_the_desk_makes_it(open_page: Open, demo: str, tmp_path: Path) -> None:  # fmt: skip
    page = open_page(f"{demo}/photographs")
    page.evaluate("Object.defineProperty(Crypto.prototype, 'subtle', { get: () => undefined })")

    choose(page, files(tmp_path, keel=shot(), notes=b"no picture at all" * 9))

    expect(page.get_by_text("1 of 2 kept, 1 refused.")).to_be_visible()
    expect(page.get_by_role("link", name="75 in all")).to_be_visible()


def test_the_same_files_again_are_said_to_be_here(open_page: Open, demo: str, tmp_path: Path) -> None:  # fmt: skip
    page = open_page(f"{demo}/photographs")
    chosen = files(tmp_path, keel=shot())
    choose(page, chosen)
    expect(page.get_by_text("1 of 1 kept.")).to_be_visible()

    page.reload()
    choose(page, chosen)

    expect(page.get_by_text("keel.jpg: Here already, as photograph 75.")).to_be_visible()


def test_files_can_be_dropped(open_page: Open, demo: str) -> None:
    page = open_page(f"{demo}/photographs")
    folded = page.locator("details:has(form[data-upload])")
    folded.evaluate("each => { each.open = true }")
    content = list(shot())
    carried = page.evaluate_handle(
        """content => {
          const carried = new DataTransfer()
          carried.items.add(new File([new Uint8Array(content)], "dropped.jpg"))
          return carried
        }""",
        content,
    )

    page.locator("form[data-upload]").dispatch_event("drop", {"dataTransfer": carried})

    expect(page.get_by_text("1 of 1 kept.")).to_be_visible()
    expect(page.get_by_role("link", name="75 in all")).to_be_visible()


def test_photographs_sent_on_the_page_of_a_part_stand_there_at_once(
    open_page: Open, served: Served, demo: str, tmp_path: Path
) -> None:
    page = open_page(f"{demo}/part/seacock%203")
    before = page.locator("#photographs li").count()

    choose(page, files(tmp_path, cock=shot(1)))

    expect(page.locator("#photographs li")).to_have_count(before + 1)
    assert photo(served, demo, 75).place == Place(part="seacock", number=3)


@pytest.mark.parametrize("path", ["photographs", "photographs/sort"])
def test_on_a_phone_nothing_covers_the_pictures_until_one_is_chosen(
    open_page: Open, served: Served, demo: str, path: str
) -> None:
    survey = survey_at(served, demo)
    served.desk.surveys.add(
        replace(each, id=f"{each.id[:-4]}ffff", replaces=(each.id,), why="not sorted", body=replace(each.body, place=None))
        for each in survey.of(Photo)
        if each.body.number == 1
    )  # fmt: skip
    page = open_page(f"{demo}/{path}", width=360)
    bar, tick = page.locator(".bulk"), page.locator("[name=photo]").first

    tick.scroll_into_view_if_needed()
    before = bar.evaluate("each => getComputedStyle(each).position")
    tick.check()

    assert before == "static"
    assert bar.evaluate("each => getComputedStyle(each).position") == "sticky"


def ready(page: Page) -> None:
    """Its keys work."""
    expect(page.locator(".keys")).to_be_visible()


def test_several_are_chosen_with_shift_and_arrows_and_given_a_part(open_page: Open, served: Served, demo: str) -> None:  # fmt: skip
    page = open_page(f"{demo}/photographs")
    boxes = page.locator("input[name=photo]")
    expect(page.get_by_text("0 chosen")).to_be_visible()

    boxes.nth(0).click()
    boxes.nth(2).click(modifiers=["Shift"])
    boxes.nth(2).press("Shift+ArrowRight")
    expect(page.get_by_text("4 chosen")).to_be_visible()
    boxes.nth(3).press("ArrowRight")
    page.keyboard.press("Space")
    expect(page.get_by_text("5 chosen")).to_be_visible()
    page.get_by_text("give them a place").click()
    page.get_by_label("Part of the boat").fill("stem")
    page.get_by_role("button", name="Give them this place").click()

    expect(page.get_by_text("0 chosen")).to_be_visible()
    found = [photo(served, demo, number).place for number in range(1, 7)]
    assert found[:5] == [Place(part="stem")] * 5
    assert found[5] != Place(part="stem")


def test_captions_are_typed_one_after_the_other_without_the_mouse(open_page: Open, served: Served, demo: str) -> None:  # fmt: skip
    page = open_page(f"{demo}/photographs/captions?show=all")
    expect(page.get_by_text("Enter keeps a line and goes to the next")).to_be_visible()
    page.locator("[data-row] input:not([type])").first.focus()

    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("Bow, starboard")
    page.keyboard.press("Enter")
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("Broadside")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Shift+Enter")
    page.keyboard.type(" quarter")
    page.keyboard.press("Enter")

    rows = page.locator("[data-row]")
    expect(rows.nth(0).locator("[data-said]")).to_have_text("kept")
    expect(rows.nth(1).locator("[data-said]")).to_have_text("kept")
    expect(page.locator("[data-unsaid]")).to_have_count(0)
    assert photo(served, demo, 1).caption == "Bow, starboard quarter"
    assert photo(served, demo, 2).caption == "Broadside"
    assert not photo(served, demo, 2).printed


def test_the_count_of_captions_follows_the_lines_that_are_kept(open_page: Open, demo: str) -> None:  # fmt: skip
    page = open_page(f"{demo}/photographs/captions?show=all")
    count = page.locator("[data-captionless]")
    before = count.inner_text()
    row = page.locator("[data-row] input:not([type])").first

    row.fill("")
    row.press("Enter")

    expect(page.locator("[data-row]").first.locator("[data-said]")).to_have_text("kept")
    expect(count).not_to_have_text(before)
    row.fill("Bow")
    row.press("Enter")
    expect(count).to_have_text(before)


def drag(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    """With the pointer, between two places of the picture given as shares."""
    box = page.locator("[data-over]").bounding_box()
    assert box is not None
    points = [(box["x"] + x * box["width"], box["y"] + y * box["height"]) for x, y in (start, end)]
    page.mouse.move(*points[0])
    page.mouse.down()
    page.mouse.move(*points[1], steps=4)
    page.mouse.up()


def test_an_arrow_a_blur_and_a_crop_are_drawn_moved_and_kept(open_page: Open, served: Served, demo: str) -> None:  # fmt: skip
    page = open_page(f"{demo}/photographs")
    page.locator(".sheet a.picture").first.click()
    page.get_by_role("link", name="Crop, arrows, circles, blur").click()

    expect(page.get_by_role("group", name="Draw on the picture")).to_be_visible()
    page.wait_for_load_state()
    drag(page, (0.2, 0.2), (0.4, 0.5))
    page.get_by_label("Blur a face, name or plate").check()
    drag(page, (0.7, 0.1), (0.9, 0.2))
    page.get_by_label("Crop", exact=True).check()
    drag(page, (0.95, 0.9), (0.05, 0.05))
    drag(page, (0.4, 0.5), (0.5, 0.6))
    expect(page.locator(".canvas .blur")).to_have_count(1)
    page.get_by_role("button", name="Keep it").click()

    expect(page.get_by_text("As its copies are printed: cropped, marked with an arrow, blurred in one place")).to_be_visible()  # fmt: skip
    kept = photo(served, demo, 1)
    assert [mark.sort for mark in kept.marks] == ["arrow", "blur"]
    arrow = kept.marks[0]
    assert (arrow.from_x, arrow.from_y, arrow.to_x, arrow.to_y) == pytest.approx((0.2, 0.2, 0.5, 0.6), abs=0.01)  # fmt: skip
    assert kept.crop is not None
    assert (kept.crop.left, kept.crop.bottom) == pytest.approx((0.05, 0.9), abs=0.01)


def test_a_mark_is_made_and_moved_by_the_keyboard_alone(open_page: Open, served: Served, demo: str) -> None:  # fmt: skip
    page = open_page(f"{demo}/photographs")
    page.locator(".sheet a.picture").nth(1).click()
    ready(page)
    page.keyboard.press("c")
    expect(page.get_by_role("heading", name="crop and mark")).to_be_visible()
    shown = page.locator("[data-shown]")
    before = shown.get_attribute("src")

    page.get_by_role("button", name="Add a circle").press("Enter")
    page.keyboard.type("0.1")
    expect(page.locator(".canvas ellipse.line")).to_have_count(1)
    expect(shown).not_to_have_attribute("src", before or "")
    page.get_by_role("button", name="Keep it").press("Enter")

    expect(page.locator("figcaption").get_by_text("marked with a circle")).to_be_visible()
    assert photo(served, demo, 2).marks[0].sort == "circle"


def test_every_printed_photograph_is_looked_at_by_the_keyboard_alone(open_page: Open, served: Served, demo: str) -> None:  # fmt: skip
    page = open_page(f"{demo}/photographs/check")
    ready(page)

    page.keyboard.press("Enter")
    expect(page.get_by_text("73 still to be looked at")).to_be_visible()
    ready(page)
    page.keyboard.press("o")
    page.keyboard.type("A chip beside the plate")
    page.keyboard.press("Control+Enter")
    expect(page.get_by_role("listitem").get_by_text("A chip beside the plate")).to_be_visible()
    ready(page)
    page.keyboard.press("y")
    expect(page.get_by_text("72 still to be looked at")).to_be_visible()
    ready(page)
    page.keyboard.press("b")
    expect(page.get_by_text("71 still to be looked at")).to_be_visible()

    survey = survey_at(served, demo)
    assert len([each for each in survey.bodies(Answer) if each.gap.startswith("looked at ")]) == 2
    assert [each.place for each in survey.bodies(Observation) if each.seen == "A chip beside the plate"] == [photo(served, demo, 2).place]  # fmt: skip
    assert not photo(served, demo, 3).printed


@pytest.mark.parametrize(("width", "dark"), [(360, False), (768, True), (1280, False)])
def test_every_page_of_photographs_is_accessible_and_fits(
    open_page: Open, demo: str, width: int, dark: bool
) -> None:
    page = open_page(f"{demo}/photographs", width=width, dark=dark)
    one = page.locator(".sheet a.picture").first.get_attribute("href")
    assert one

    for path in (f"{demo}/photographs", f"{demo}/part/seacock%203", f"{demo}/photographs/sort?find=1", f"{demo}/photographs/captions?show=all", f"{demo}/photographs/check", one, f"{one}/edit"):  # fmt: skip
        page.goto(path)
        for folded in page.locator("details").all():
            folded.evaluate("each => { each.open = true }")
        found = Axe().run(page).response["violations"]
        assert [(path, each["id"], each["nodes"][0]["target"]) for each in found] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path


def test_what_is_here_when_the_page_is_closed_is_said_and_kept_when_it_is_opened_again(
    open_page: Open, served: Served, demo: str, tmp_path: Path
) -> None:
    page = open_page(f"{demo}/photographs")
    page.route("**/keep", lambda route: None)
    numbers = {each.number for each in survey_at(served, demo).bodies(Photo)}
    choose(page, files(tmp_path, one=shot(1), two=shot(2)))
    expect(page.get_by_text("0 of 2 kept, 2 are here and not kept yet.")).to_be_visible()

    page.once("dialog", lambda dialog: dialog.accept())
    page.reload()
    page.unroute("**/keep")
    expect(
        page.get_by_text("2 are here and not kept yet, because the page was closed.")
    ).to_be_visible()
    page.get_by_role("button", name="Keep those that are here").click()

    expect(page.get_by_text("2 of 2 kept.")).to_be_visible()
    added = [each for each in survey_at(served, demo).bodies(Photo) if each.number not in numbers]
    assert sorted(each.file for each in added) == ["one.jpg", "two.jpg"]
    page.reload()
    expect(page.get_by_text("not kept yet")).to_have_count(0)


def test_what_is_chosen_before_the_page_is_ready_is_sent_all_the_same(
    open_page: Open, demo: str, tmp_path: Path
) -> None:
    page = open_page(f"{demo}/history")

    def chosen_early(route: Route) -> None:
        choose(page, files(tmp_path, keel=shot()))
        route.continue_()

    page.route("**/upload_form.js", chosen_early)
    page.goto(f"{demo}/photographs")

    expect(page.get_by_text("1 of 1 kept.")).to_be_visible()
