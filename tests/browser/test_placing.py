"""Readings and soundings in a real browser: pointed at, typed along a grid by the keyboard alone, dropped as a file."""

import re
from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from cast import QUILLET, SURVEY, entry, entry_id
from playwright.sync_api import Locator, Page, expect

from garboard.boat.hull import hull_of
from garboard.drawings.panels import panel_for
from garboard.drawings.sheet import SHEET_MM
from garboard.notebook.body import Instruction, Instrument, Place, Reading, ReadingSet, Sounding
from garboard.notebook.fold import Survey

BASE = f"/s/{SURVEY}"
Open = Callable[..., Page]

PORT = panel_for(hull_of(QUILLET), "port-shell")
METER = Instrument(name="meter", described="a meter", quantity="moisture", unit="scale")
FIRST = Reading(
    place=Place(part="bottom-laminate", side="port", station_m=4.0, level_m=-0.2), as_read="12"
)
HULL = ReadingSet(name="port bottom", quantity="moisture", unit="scale", instrument="meter", readings=(FIRST,))  # fmt: skip


@pytest.fixture(autouse=True)
def survey(served: Served) -> None:
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    served.desk.surveys.add([entry(1, asked), entry(2, QUILLET), entry(3, METER), entry(9, HULL)])


def now(served: Served) -> Survey:
    found = served.desk.surveys.get(SURVEY)
    assert found is not None
    return found


def point_at(drawing: Locator, *places: tuple[float, float]) -> None:
    """Point at stations and levels of the port side unrolled, one after the other without a pause."""
    drawing.scroll_into_view_if_needed()
    box = drawing.bounding_box()
    assert box is not None
    scale = box["width"] / SHEET_MM
    for place in places:
        x, y = PORT.frame.at(*place)
        drawing.page.mouse.click(box["x"] + x * scale, box["y"] + y * scale)


def test_every_point_becomes_a_sounding_however_quick_the_hand(
    open_page: Open, served: Served
) -> None:
    page = open_page(f"{BASE}/placing?place.part=bottom-laminate&heard=dull")
    stations = (3.0, 4.0, 5.0, 6.0)

    point_at(page.locator(".pointable svg"), *((each, -0.3) for each in stations))

    kept = page.locator("[aria-live]", has_text="Kept.")
    expect(kept).to_contain_text(re.compile(r"(5\.9|6\.0)\d m aft of the stem"))
    found = sorted(each.place.station_m or 0 for each in now(served).bodies(Sounding))
    assert found == pytest.approx(stations, abs=0.05)


def test_a_reading_is_pointed_at_typed_and_undone(open_page: Open, served: Served) -> None:
    page = open_page(f"{BASE}/placing?of={entry_id(9)}&place.part=bottom-laminate")

    point_at(page.locator(".pointable svg"), (5.0, -0.4))
    value = page.get_by_label("Reading, scale")
    expect(value).to_be_focused()
    page.keyboard.type("16")
    page.keyboard.press("Enter")

    expect(page.get_by_text("Kept.", exact=True)).to_be_visible()
    (kept,) = now(served).of(ReadingSet)
    assert [each.as_read for each in kept.body.readings] == ["12", "16"]
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Kept.", exact=True)).to_have_count(0)
    assert now(served).bodies(ReadingSet) == (HULL,)


def test_a_grid_is_typed_from_paper_with_the_keyboard_alone(
    open_page: Open, served: Served
) -> None:
    page = open_page(f"{BASE}/placing")
    keys = page.keyboard
    page.get_by_label("Part", exact=True).focus()
    keys.type("bottom lam")
    page.get_by_text("A grid to walk").focus()
    keys.press("Enter")
    for _ in range(6):
        keys.press("Tab")
        keys.type(("4", "5", "0.5", "-0.2", "-0.4", "0.2")[_])
    page.get_by_role("button", name="Walk it").focus()
    keys.press("Enter")

    expect(page.get_by_label("What it says")).to_be_focused()
    keys.type("ss")
    keys.press("Enter")
    expect(page.get_by_text("Place 3 of 6")).to_be_visible()
    expect(page.get_by_label("What it says")).to_be_focused()
    keys.type("d?")
    keys.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("Nothing was kept")
    expect(page.locator("#typed-wrong")).to_contain_text("says nothing")
    keys.press("Backspace")
    keys.press("Enter")

    expect(page.get_by_text("Place 4 of 6")).to_be_visible()
    assert sorted(each.heard for each in now(served).bodies(Sounding)) == ["dull", "sound", "sound"]


def test_another_drawing_is_shown_when_it_is_chosen(open_page: Open) -> None:
    page = open_page(f"{BASE}/placing?place.part=bottom-laminate")

    page.get_by_label("Drawing").select_option("Deck from above")

    expect(page.locator(".pointable")).to_contain_text("Deck from above, bow to the right")
    expect(page.get_by_label("Part", exact=True)).to_have_value("bottom-laminate")


def test_on_a_phone_the_whole_drawing_comes_before_its_fields(open_page: Open) -> None:
    page = open_page(f"{BASE}/placing?place.part=bottom-laminate", width=360)
    drawing = page.locator(".pointable svg")

    whole = drawing.bounding_box()
    page.get_by_label("Larger").check()
    expect(page.locator(".shown + .beside")).to_be_visible()
    larger = drawing.bounding_box()

    assert whole
    assert larger
    assert whole["x"] >= 0
    assert whole["x"] + whole["width"] <= 360
    assert larger["width"] > 2 * whole["width"]
    page.get_by_label("Drawing").select_option("Deck from above")
    expect(page.locator(".pointable")).to_contain_text("Deck from above")
    expect(page.get_by_label("Larger")).to_be_checked()


def test_what_a_browser_left_on_a_field_is_not_carried_over_as_a_style(open_page: Open) -> None:
    page = open_page(f"{BASE}/placing?place.part=bottom-laminate")
    page.evaluate("document.getElementById('place.level_m').style.caretColor = 'transparent'")

    page.get_by_label("Drawing").select_option("Deck from above")

    expect(page.locator(".pointable")).to_contain_text("Deck from above")
    expect(page.locator("[style]")).to_have_count(0)


def test_a_reading_of_a_map_tells_its_story_when_it_is_pointed_at(open_page: Open) -> None:
    page = open_page(f"{BASE}/readings/{entry_id(9)}")

    page.locator(".pointable svg circle").first.click()

    expect(page.locator("#story")).to_contain_text("Reading 1: 12 scale")
    expect(page.locator("#story")).to_contain_text("4.00 m aft of the stem")


def test_a_dropped_file_is_looked_at(open_page: Open, served: Served) -> None:
    page = open_page(f"{BASE}/readings/new")
    page.get_by_label("With which instrument").select_option("meter")
    page.get_by_label("Part, for rows").fill("bottom-laminate")
    table = "station,level,reading\n4.0,-0.4,14\n"
    dropped = page.evaluate_handle(
        """table => {
          const held = new DataTransfer()
          held.items.add(new File([table], "bottom.csv", { type: "text/csv" }))
          return held
        }""",
        table,
    )

    page.dispatch_event("[data-drops-into]", "drop", {"dataTransfer": dropped})

    expect(page.get_by_text("1 reading of moisture, scale, with meter")).to_be_visible()
    expect(page.get_by_label("Table", exact=True)).to_have_value(table)
    page.get_by_role("button", name="Keep this set").click()
    expect(page.get_by_role("heading", name="bottom")).to_be_visible()
    assert len(now(served).of(ReadingSet)) == 2


def test_what_readings_mean_comes_as_one_scrolls_to_it(open_page: Open) -> None:
    page = open_page(f"{BASE}/readings")

    page.get_by_role("heading", name="Moisture").scroll_into_view_if_needed()

    expect(page.locator(".meaning").first).to_contain_text("No dry reference was read on this boat")


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize(
    "path",
    [
        "readings",
        "readings/meaning/moisture",
        f"readings/{entry_id(9)}",
        f"readings/{entry_id(9)}/1",
        f"readings/new?corrects={entry_id(9)}",
        "soundings",
        "placing",
        f"placing?of={entry_id(9)}&place.part=bottom-laminate&walking=yes&from=4&to=5&step=0.5&level_from=-0.2",
    ],
)
def test_the_pages_hold_nothing_that_shuts_somebody_out(
    open_page: Open, path: str, dark: bool
) -> None:
    page = open_page(f"{BASE}/{path}", width=360, dark=dark)

    found = Axe().run(page).response["violations"]

    assert [each["id"] for each in found if each["impact"] in ("serious", "critical")] == []
    wide = "document.documentElement.scrollWidth > document.documentElement.clientWidth"
    assert page.evaluate(wide) is False
