"""The yard beside a general-purpose peer: a touch until it is saved, the page opened with no signal, the core started.

    python benchmarks/yard.py

    garboard   our page on a survey of 5,000 entries: the entry made, put into IndexedDB in one durable transaction,
               counted into the survey; "touch" is the whole way, from the finger leaving the drawing of the hull
               until the mark on it is shown as saved
    dexie      the same entries put into IndexedDB by Dexie, in a table with the same indexes that holds as many,
               durable as well; nothing is drawn or counted

Both run in one Chromium, in the same page, with the processor slowed down four times, writing by turns. "/peer" is
how many times the peer's time ours takes. The desk is ended before the page is opened again: opening, and the start of
the calculations after it, are those of a day with no signal, timed by the page's own clock from the beginning of its
navigation: the walk is drawn, the page is ready, what was recorded is counted. Compare ratios, never seconds of two
computers.
"""

import statistics
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import httpx2
from desk import bodies, pushed_s, served
from fold import notebook
from playwright.sync_api import BrowserContext, Page, sync_playwright

from garboard.dossier.read import read_dossier
from garboard.notebook.entry import Entry
from garboard.store.clock import utc_now

ROOT = Path(__file__).parents[1]
ENTRIES, TIMES, OPENED, SLOWED = 5_000, 60, 5, 4
PHONE = {"width": 360, "height": 740}

BY_TURNS = """async ([survey, times]) => {
  const { Dexie } = await import("/yard/dexie.mjs")
  const store = await import("/yard/store.js")
  const { survey: open } = await import("/yard/survey.js")
  const peer = new Dexie("peer", { chromeTransactionDurability: "strict" })
  peer.version(1).stores({ entries: "id, survey, waits" })
  const held = (await store.entriesOf(survey)).map((each) => each.entry)
  await peer.entries.bulkPut(held.map((entry) => ({ id: entry.id, survey, entry, waits: 1 })))
  const ours = [], theirs = []
  for (let n = 0; n < times; n++) {
    const place = { part: "bottom-laminate", side: "port", station_m: 2 + n / 100, level_m: -0.3 }
    let began = performance.now()
    const entry = await open.keep("sounding", { place, heard: "sound" })
    ours.push(performance.now() - began)
    began = performance.now()
    await peer.entries.add({ id: entry.id, survey, entry, waits: 1 })
    theirs.push(performance.now() - began)
  }
  return { ours, theirs }
}"""

WATCH = """() => {
  globalThis.took = []
  let touched = 0
  addEventListener("pointerup", (event) => { touched = event.timeStamp }, true)
  new MutationObserver((changes) => {
    if (changes.some((each) => each.attributeName === "data-saving")) took.push(performance.now() - touched)
  }).observe(document.querySelector("main"), { subtree: true, attributes: true, attributeFilter: ["data-saving"] })
}"""

# When the walk is drawn, when the page is ready, and when what was recorded is counted; ms.
OPENING = """
globalThis.at = {}
new MutationObserver(() => {
  const counted = document.querySelector("[data-count]")?.textContent ?? ""
  if (document.querySelector("a.stop")) at.drawn ??= performance.now()
  if (document.documentElement.dataset.ready) at.ready ??= performance.now()
  if (counted.includes(" places recorded")) at.counted ??= performance.now()
}).observe(document, { subtree: true, attributes: true, childList: true })
"""


def survey() -> list[Entry[Any]]:
    """The demo's sloop with soundings up to 5,000 entries."""
    dossier = read_dossier(ROOT / "demo" / "quillet", utc_now())
    rest = notebook(ENTRIES - len(dossier.entries))
    here = {"survey": dossier.voice.survey}
    more = [Entry(**{name: getattr(each, name) for name in each.__slots__} | here) for each in rest]
    return [*dossier.entries, *more]


def phone(context: BrowserContext, address: str) -> Page:
    """A page with the processor slowed down."""
    page = context.pages[0]
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    page.goto(address)
    page.wait_for_selector("html[data-ready]", timeout=120_000)
    return page


def core_is_ready(page: Page) -> None:
    page.wait_for_selector("[data-core]:empty", state="attached", timeout=180_000)


def wire_bytes(client: httpx2.Client) -> int:
    """What the files of the page come to on their way, packed as the desk sends them."""
    listed = client.get("/yard/files.js").text
    names = [each for each in listed.split('"') if each.startswith("/")]
    headers = {"accept-encoding": "gzip"}
    return sum(int(client.get(each, headers=headers).headers["content-length"]) for each in names)


def told(name: str, took: Sequence[float], peer: Sequence[float] | None = None) -> None:
    ordered = sorted(took)
    median, late = statistics.median(ordered), ordered[int(0.95 * (len(ordered) - 1))]
    beside = f"{median / statistics.median(peer):>8.2f}" if peer else ""
    print(f"{name:<28}{median:>10.0f}{late:>10.0f}{beside}", flush=True)


def main() -> None:
    entries = survey()
    walk = f"/yard/#/walk/{entries[0].survey}"
    with tempfile.TemporaryDirectory(prefix="garboard-yard-") as profile, sync_playwright() as playwright:  # fmt: skip

        def opened() -> BrowserContext:
            return playwright.chromium.launch_persistent_context(profile, executable_path="/usr/bin/chromium", args=["--no-sandbox"], viewport=PHONE)  # fmt: skip

        with served("desk") as client:
            pushed_s(client, bodies(entries))
            print(f"{'bytes at the first visit':<28}{wire_bytes(client):>10,}")
            base = str(client.base_url).rstrip("/").replace("127.0.0.1", "localhost")
            context = opened()
            token = client.headers["authorization"].removeprefix("Bearer ")
            context.add_cookies([{"name": "garboard", "value": token, "url": base}])
            dexie = ROOT / "node_modules" / "dexie" / "dist" / "dexie.mjs"
            context.route("**/yard/dexie.mjs", lambda route: route.fulfill(path=dexie, content_type="text/javascript"))  # fmt: skip
            page = phone(context, f"{base}/yard/")
            page.get_by_role("button", name="Quillet").click()
            page.locator("[data-surveys] button.go").wait_for(timeout=300_000)
            page.evaluate("async () => { await navigator.serviceWorker.ready }")
            page.goto(f"{base}{walk}")
            core_is_ready(page)
        # The desk is gone from here on.
        print(f"{'':<28}{'p50 ms':>10}{'p95 ms':>10}{'/peer':>8}")
        found = page.evaluate(BY_TURNS, [entries[0].survey, TIMES])
        told("dexie", found["theirs"])
        told("garboard kept", found["ours"], found["theirs"])
        page.goto(f"{base}{walk.replace('walk', 'pad')}")
        page.locator(".over").wait_for()
        page.wait_for_selector(".drawn img", timeout=180_000)
        page.evaluate(WATCH)
        box = page.locator(".over").bounding_box()
        assert box is not None
        for n in range(TIMES):
            # No touch near the one before: it would count as a double one.
            page.mouse.click(box["x"] + box["width"] * (0.3 + 0.1 * (n % 5)), box["y"] + box["height"] * 0.45)  # fmt: skip
            page.wait_for_timeout(250)
        told("garboard touch", page.evaluate("took"))
        context.close()
        print(f"\n{'opened with no signal, s':<28}{'drawn':>10}{'ready':>10}{'counted':>10}{'core':>10}")  # fmt: skip
        for _ in range(OPENED):
            context = opened()
            context.pages[0].add_init_script(OPENING)
            began = time.perf_counter()
            page = phone(context, f"{base}{walk}")
            core_is_ready(page)
            core_s = time.perf_counter() - began
            at = page.evaluate("at")
            drawn_s, ready_s, counted_s = (at[each] / 1000 for each in ("drawn", "ready", "counted"))  # fmt: skip
            print(f"{'':<28}{drawn_s:>10.1f}{ready_s:>10.1f}{counted_s:>10.1f}{core_s:>10.1f}", flush=True)  # fmt: skip
            context.close()


if __name__ == "__main__":
    main()
