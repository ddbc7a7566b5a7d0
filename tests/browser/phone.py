"""A phone in the yard: a Chromium with a profile of its own on the disk, that can be closed, killed and opened again."""

import os
import signal
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Page, Playwright

from garboard.desk.access import COOKIE

CHROMIUM = Path("/usr/bin/chromium")

NO_CORE = "globalThis.Worker = class { postMessage() {} }"
"""The calculations do not start: most of the page is tried without them, and starting them takes seconds each time."""

KEEP = """async ([kind, bodies, files, replaces]) => {
  const { survey } = await import("/yard/survey.js")
  const { sha256Of } = await import("/yard/entry.js")
  const ids = []
  for (const [at, body] of bodies.entries()) {
    const of = files[at] ?? []
    const blobs = await Promise.all(of.map(async (each) => {
      const blob = new Blob([Uint8Array.from(atob(each), (letter) => letter.charCodeAt(0))])
      return { sha256: await sha256Of(blob), blob }
    }))
    const entry = await survey.keep(kind, { ...body, ...(blobs[0] ? { sha256: blobs[0].sha256 } : {}) }, { files: blobs, replaces, why: replaces.length ? "misread" : null })
    console.log(`saved ${entry.id}`)
    ids.push(entry.id)
  }
  return ids
}"""

HELD = """async (id) => {
  const store = await import("/yard/store.js")
  return (await store.entriesOf(id)).map((each) => each.entry)
}"""

SYNC = """async () => {
  const { sync } = await import("/yard/sync.js")
  await sync.now()
  return sync.state
}"""

SAFE = """async () => {
  const { sync } = await import("/yard/sync.js")
  const store = await import("/yard/store.js")
  for (;;) {
    await sync.now()
    const { entries, files } = await store.waiting()
    if (!entries && !files) return
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
}"""

SMALL = """() => [...document.querySelectorAll("main :is(button, a, summary, input, select, textarea), footer button, dialog button")]
  .filter((each) => each.checkVisibility() && each.getBoundingClientRect().height < 48)
  .map((each) => each.outerHTML)"""


def make_safe(page: Page) -> None:
    """Wait until the desk holds all that is on the phone."""
    page.evaluate(SAFE)


def too_small(page: Page) -> list[str]:
    """What is shown to be touched and is less than 48 px high."""
    found: list[str] = page.evaluate(SMALL)
    return found


NO_SETTINGS = """() => {
  const { put } = IDBObjectStore.prototype
  IDBObjectStore.prototype.put = function (...given) {
    if (this.name === "settings") throw new DOMException("full", "QuotaExceededError")
    return put.apply(this, given)
  }
}"""
"""From now on no setting can be written, as on a device that is nearly full."""


class Phone:
    """A phone whose browser speaks with a desk at an address that stays the same."""

    def __init__(self, playwright: Playwright, profile: Path, address: str, token: str, chromium: Path = CHROMIUM) -> None:  # fmt: skip
        self.playwright = playwright
        self.profile = profile
        self.address = address
        self.token = token
        self.chromium = chromium
        self.saved: list[str] = []
        self.page: Page
        self.context: BrowserContext

    def open(self, path: str = "/yard/", prepare: Callable[[BrowserContext], None] = lambda _: None, script: str = "", *, core: bool = False, **options: Any) -> "Phone":  # fmt: skip
        """Open the browser on its profile, and the page in it; its calculations start where they are wanted."""
        self.context = self.playwright.chromium.launch_persistent_context(
            self.profile,
            executable_path=self.chromium,
            args=["--no-sandbox", *options.pop("args", [])],
            viewport=options.pop("viewport", {"width": 360, "height": 740}),
            **options,
        )
        self.context.set_default_timeout(60_000)
        cookie: Any = {"name": COOKIE, "value": self.token, "url": self.address}
        self.context.add_cookies([cookie])
        prepare(self.context)
        self.context.add_init_script(script if core else f"{script}\n{NO_CORE}")
        self.page = self.context.pages[0]
        self.page.on("console", lambda said: self._heard(said.text))
        self.page.goto(f"{self.address}{path}")
        self.page.wait_for_selector("html[data-ready]", timeout=60_000)
        return self

    def bring(self, survey: str, boat: str = "Quillet") -> None:
        """Bring a survey of the desk on the phone, as a surveyor does, and open it."""
        self.page.get_by_role("button", name=boat).click(timeout=60_000)
        self.page.locator("[data-surveys]").get_by_role("button", name=boat).wait_for(timeout=60_000)  # fmt: skip
        self.go(f"#/walk/{survey}")

    def go(self, hash_: str) -> None:
        """Turn to a view."""
        self.page.evaluate("(to) => { location.hash = to }", hash_)
        self.page.locator("h1").wait_for()

    def put_by(self) -> None:
        """Wait until every file of the page is put by for a day with no signal."""
        self.page.evaluate("async () => { await navigator.serviceWorker.ready }")

    def keep(self, kind: str, bodies: list[Any], files: list[list[str]] | None = None, *, replaces: Sequence[str] = ()) -> list[str]:  # fmt: skip
        """Keep entries by the page's own write path; gives their ids."""
        ids: list[str] = self.page.evaluate(KEEP, [kind, bodies, files or [], list(replaces)])
        return ids

    def keep_on(self, kind: str, bodies: list[Any]) -> None:
        """Keep entries without waiting for them to be kept."""
        self.page.evaluate(f"(given) => {{ ({KEEP})(given) }}", [kind, bodies, [], []])

    def held(self, survey: str) -> list[dict[str, Any]]:
        """The entries on the phone."""
        found: list[dict[str, Any]] = self.page.evaluate(HELD, survey)
        return found

    def sync(self) -> dict[str, Any]:
        """One round to the desk and back; gives what still waits."""
        state: dict[str, Any] = self.page.evaluate(SYNC)
        return state

    def close(self) -> None:
        """Close the browser in good order."""
        self.context.close()

    def kill(self) -> None:
        """End every process of the browser at once, whatever it is doing."""
        for each in self._processes():
            os.kill(each, signal.SIGKILL)

    def _processes(self) -> list[int]:
        found = []
        for path in Path("/proc").glob("[0-9]*/cmdline"):
            try:
                if f"--user-data-dir={self.profile}".encode() in path.read_bytes():
                    found.append(int(path.parent.name))
            except OSError:
                continue
        return found

    def _heard(self, said: str) -> None:
        if said.startswith("saved "):
            self.saved.append(said.removeprefix("saved "))
