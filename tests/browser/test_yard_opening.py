"""The page opened: before all is read, and where nobody has said yet who writes."""

import json
from collections.abc import Callable
from pathlib import Path

from browser.conftest import Served
from browser.phone import NO_CORE, make_safe
from cast import QUILLET, SURVEY, entry
from playwright.sync_api import Browser, Page, expect

from garboard.desk.access import COOKIE
from garboard.notebook.body import Instruction, Observation, Place
from garboard.notebook.entry import to_line
from garboard.notebook.fold import fold
from garboard.yard.plan import plan_of

Open = Callable[..., Page]
BEGUN = [entry(1, QUILLET), entry(2, Instruction(client="Tamsin Orrowby", purpose="buy"))]
JOINT = "keel-to-hull joint"
SEEN = entry(3, Observation(place=Place(part="keel-joint"), seen="A weeping seam."))

# From another tab nothing can be read of the entries until it is let go.
HELD_FAST = """() => new Promise((resolve) => {
  indexedDB.open("garboard").onsuccess = ({ target }) => {
    const entries = target.result.transaction(["entries"], "readwrite").objectStore("entries")
    const hold = () => {
      resolve()
      entries.count().onsuccess = () => globalThis.isLetGo || hold()
    }
    hold()
  }
})"""


def test_the_walk_is_there_before_its_entries_are_read_and_says_nothing_of_them(
    open_page: Open, served: Served
) -> None:
    served.desk.surveys.add([*BEGUN, SEEN])
    page = open_page("about:blank", width=360)
    page.add_init_script(NO_CORE)
    page.goto("/yard/")
    page.get_by_role("button", name="Quillet").click()
    page.locator("[data-surveys]").get_by_role("button", name="Quillet").wait_for()
    other = page.context.new_page()
    other.goto("/yard/icon.png")
    other.evaluate(HELD_FAST)

    page.goto(f"/yard/#/walk/{SURVEY}")
    page.reload()
    page.locator(".stop", has_text=JOINT).wait_for()
    early = [page.locator(each).first.text_content() for each in ("[data-count]", "[data-next]", "[data-visit]")]  # fmt: skip
    said = page.locator("main").inner_text()
    other.evaluate("globalThis.isLetGo = true")
    expect(page.locator("[data-count]")).to_contain_text("1 of")

    assert early[0] is not None
    assert early[0].endswith("what was recorded is being read")
    assert early[1:] == ["The next is being looked for", "The visit"]
    assert "nothing recorded" not in said
    expect(page.locator(".stop", has_text=JOINT)).to_contain_text("noted")
    expect(page.locator("[data-next]")).to_contain_text("Next: ")


def test_a_device_that_never_met_the_desk_asks_who_writes_on_it(
    chromium: Browser, served: Served, tmp_path: Path
) -> None:
    given = tmp_path / "given.jsonl"
    lines = [json.dumps({"survey": SURVEY, "plan": plan_of(fold(BEGUN))}), *(to_line(each).decode() for each in BEGUN)]  # fmt: skip
    given.write_text("\n".join(lines), encoding="utf-8")
    context = chromium.new_context(base_url=served.address, viewport={"width": 360, "height": 740})
    context.add_cookies([{"name": COOKIE, "value": served.token, "url": served.address}])
    page = context.new_page()
    page.add_init_script(NO_CORE)
    page.route("**/api/**", lambda route: route.abort())
    page.goto("/yard/")
    page.locator("[data-file]").set_input_files(given)
    expect(page.locator("[data-here]")).to_contain_text("2 entries were new here")

    page.locator("[data-surveys]").get_by_role("button", name="Quillet").click()
    page.locator(".stop", has_text=JOINT).click()
    page.get_by_role("heading", name="Seen, with its measures").click()
    page.get_by_label("What is seen").fill("A weeping seam.")
    page.get_by_role("button", name="Keep what is seen").click()
    expect(page.locator("[data-alert]")).to_contain_text(
        "Nobody has said who writes on this device"
    )
    page.get_by_role("button", name="I have read it").click()
    page.get_by_role("button", name="Go to").click()
    page.get_by_role("link", name="All surveys").click()
    page.get_by_label("Who writes on this device").fill("Ines Caldervane")
    page.get_by_role("button", name="Keep the name").click()
    expect(page.locator("[data-device]")).to_contain_text("Ines Caldervane, device of Ines Caldervane")  # fmt: skip
    expect(page.get_by_label("Who writes on this device")).to_be_hidden()
    page.reload()
    page.locator("[data-surveys]").get_by_role("button", name="Quillet").click()
    page.locator(".stop", has_text=JOINT).click()
    page.get_by_role("button", name="Keep what is seen").click()
    expect(page.locator("[data-kept]")).to_contain_text("Saved on this device")
    page.unroute("**/api/**")
    make_safe(page)
    context.close()

    found = served.desk.surveys.get(SURVEY)
    assert found is not None
    (seen,) = found.of(Observation)
    assert (seen.author, seen.body.seen) == ("Ines Caldervane", "A weeping seam.")
