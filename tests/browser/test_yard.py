"""The page for the yard in a real browser: with no signal, through kills and a full disk, nothing saved is ever lost."""

import base64
import os
from collections.abc import Callable, Iterator
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Any

import pytest
from browser.phone import Phone
from browser.yard_desk import Yard
from cast import SURVEY
from playwright.sync_api import Playwright, expect, sync_playwright

KILLS = 20
# Photographs until one is not kept: the browser looks only now and then how much room is left.
FILL = """async () => {
  const { survey } = await import("/yard/survey.js")
  const { sha256Of } = await import("/yard/entry.js")
  const ids = []
  for (let n = 1; n < 200; n++) {
    const blob = new Blob([new Uint8Array(100_000).fill(n)])
    await new Promise((resolve) => setTimeout(resolve, 500))
    const sha256 = await sha256Of(blob)
    const body = { number: n, file: `${n}.jpg`, media_type: "image/jpeg", caption: "", sha256 }
    try {
      ids.push((await survey.keep("photo", body, { files: [{ sha256, blob }] })).id)
    } catch (problem) {
      return { ids, problem: problem.name }
    }
  }
  return { ids, problem: "" }
}"""


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    return Yard(tmp_path / "desk")


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture
def phone(playwright: Playwright, yard: Yard, tmp_path: Path) -> Callable[[str], Phone]:
    return lambda name: Phone(playwright, tmp_path / name, yard.address, yard.token)


def sounding(n: int) -> dict[str, Any]:
    place = {"part": "bottom-laminate", "side": "port", "station_m": 1 + n / 100, "level_m": -0.4}
    return {"place": place, "heard": "sound"}


def photo(n: int) -> dict[str, Any]:
    return {"number": n, "file": f"{n}.jpg", "media_type": "image/jpeg", "caption": f"Photograph {n}"}  # fmt: skip


LOSE_BYTES = """async () => {
  const copies = await caches.open("second copies")
  for (const each of await copies.keys()) await copies.delete(each)
  const opened = await new Promise((done) => {
    const request = indexedDB.open("garboard")
    request.onsuccess = () => done(request.result)
  })
  await new Promise((done) => {
    const act = opened.transaction("bytes", "readwrite", { durability: "strict" })
    act.objectStore("bytes").clear()
    act.oncomplete = done
  })
  opened.close()
}"""
"""The browser loses what it held of photographs and sounds, the second copies as well."""


def recording(n: int) -> dict[str, Any]:
    place = {"part": "bottom-laminate", "side": "port"}
    return {"file": f"strike-{n}.wav", "place": place, "unprocessed": True}


def in_base64(content: bytes) -> list[str]:
    return [base64.b64encode(content).decode()]


def test_a_day_with_no_signal_reaches_the_desk_bit_for_bit(
    yard: Yard, phone: Callable[[str], Phone]
) -> None:
    dice = Random(1)
    photos = [b"\xff\xd8\xff" + dice.randbytes(60_000) for _ in range(60)]
    strikes = [b"RIFF\x00\x00\x00\x00WAVE" + dice.randbytes(8_000) for _ in range(40)]
    with yard.served():
        device = phone("phone").open()
        device.bring(SURVEY)
        device.put_by()

    device.keep("sounding", [sounding(n) for n in range(300)])
    device.keep("photo", [photo(1000 + n) for n in range(60)], [in_base64(each) for each in photos])
    device.close()
    # The desk is gone: the page opens from what was put by, and nothing of the morning is missing.
    device.open(f"/yard/#/walk/{SURVEY}")
    device.keep("recording", [recording(n) for n in range(40)], [in_base64(each) for each in strikes])  # fmt: skip
    expect(device.page.locator("[data-safe]")).to_contain_text("not yet on the desk")
    held = {each["id"]: each for each in device.held(SURVEY)}
    with yard.served():
        state = device.sync()
        arrived = yard.entries()
        files = [yard.file(sha256(each).hexdigest()) for each in (*photos, *strikes)]
        expect(device.page.locator("[data-safe]")).to_have_text("All safe on the desk")
    device.close()

    assert len(device.saved) == 400
    assert (state["entries"], state["files"]) == (0, 0)
    assert {each: arrived.get(each) for each in held} == held
    assert files == [*photos, *strikes]


def test_nothing_shown_as_saved_is_lost_when_the_browser_is_killed(
    yard: Yard, phone: Callable[[str], Phone]
) -> None:
    dice = Random(2)
    device = phone("phone")
    with yard.served():
        device.open()
        device.bring(SURVEY)
        device.put_by()

    for _ in range(KILLS):
        device.keep_on("sounding", [sounding(n) for n in range(2000)])
        least = len(device.saved) + 3
        # What the page has said is heard while this waits.
        device.page.wait_for_timeout(dice.uniform(50, 800))
        while len(device.saved) < least:
            device.page.wait_for_timeout(50)
        device.kill()
        device.open(f"/yard/#/walk/{SURVEY}")
    held = {each["id"] for each in device.held(SURVEY)}
    device.close()

    assert len(device.saved) > 2 * KILLS
    assert set(device.saved) <= held


def test_what_the_browser_loses_after_a_write_cut_short_is_put_back(
    yard: Yard, phone: Callable[[str], Phone]
) -> None:
    picture = b"\xff\xd8\xff" + Random(3).randbytes(60_000)
    device = phone("phone")
    with yard.served():
        device.open()
        device.bring(SURVEY)
        device.put_by()
    device.keep("photo", [photo(1)], [in_base64(picture)])
    device.keep("sounding", [sounding(n) for n in range(10)])
    device.kill()
    cut_last_write(device.profile)
    device.open(f"/yard/#/walk/{SURVEY}")
    device.keep("sounding", [sounding(n) for n in range(10, 20)])
    device.kill()

    device.open(f"/yard/#/walk/{SURVEY}")

    expect(device.page.get_by_role("alert")).to_contain_text("21 entries, 1 file")
    expect(device.page.locator("h1")).to_have_text("Quillet")
    held = {each["id"] for each in device.held(SURVEY)}
    with yard.served():
        device.sync()
        arrived, file = yard.entries(), yard.file(sha256(picture).hexdigest())
    device.close()
    assert len(device.saved) == 21
    assert set(device.saved) < held == set(arrived)
    assert file == picture


def cut_last_write(profile: Path) -> None:
    """As a kill in the midst of it leaves the log of the browser's database."""
    (log,) = (profile / "Default" / "IndexedDB").glob("*.leveldb/*.log")
    os.truncate(log, log.stat().st_size - 40)


def test_a_full_device_says_so_at_once_and_harms_nothing_saved(
    yard: Yard, phone: Callable[[str], Phone]
) -> None:
    device = phone("phone")
    with yard.served():
        device.open()
        device.bring(SURVEY)
    before = device.keep("sounding", [sounding(n) for n in range(20)])
    limit = {"origin": yard.address, "quotaSize": 1000}
    device.context.new_cdp_session(device.page).send("Storage.overrideQuotaForOrigin", limit)

    filled = device.page.evaluate(FILL)
    before += filled["ids"]

    assert filled["problem"] == "QuotaExceededError"
    expect(device.page.get_by_role("alert")).to_contain_text("Not saved: this device is full")
    held = [each["id"] for each in device.held(SURVEY)]
    device.close()
    assert sorted(before) == sorted(held)[2:]


def test_what_one_device_gives_by_file_another_takes_in(
    yard: Yard, phone: Callable[[str], Phone], tmp_path: Path
) -> None:
    first, second = phone("first"), phone("second")
    with yard.served():
        for device in (first, second):
            device.open()
            device.bring(SURVEY)
            device.put_by()

    made = first.keep("sounding", [sounding(n) for n in range(5)])
    first.go("#/")
    first.page.get_by_text("More", exact=True).click()
    with first.page.expect_download() as given:
        first.page.get_by_role("button", name="Give it by file").click()
    given.value.save_as(tmp_path / given.value.suggested_filename)
    second.go("#/")
    second.page.get_by_label("Take in what another device gave").set_input_files(tmp_path / "quillet.jsonl")  # fmt: skip
    expect(second.page.get_by_text("5 entries were new here, of 7.")).to_be_visible()
    with yard.served():
        # The first phone fell into the water.
        first.close()
        second.sync()
        arrived = yard.entries()
    second.close()

    assert set(made) <= set(arrived)


def test_a_survey_leaves_the_device_only_once_all_of_it_is_safe(
    yard: Yard, phone: Callable[[str], Phone]
) -> None:
    device = phone("phone")
    with yard.served():
        device.open()
        device.bring(SURVEY)
        device.put_by()
    device.keep("sounding", [sounding(1)])
    device.go("#/")
    device.page.get_by_text("More", exact=True).click()

    def take_off() -> None:
        device.page.get_by_role("button", name="Take it off this device").click()
        device.page.get_by_role("button", name="Take it off", exact=True).click()

    take_off()
    expect(device.page.get_by_text("nobody can say that all is safe there")).to_be_visible()
    with yard.served():
        take_off()
        expect(device.page.get_by_text("Quillet is off this device.")).to_be_visible()
        held = device.held(SURVEY)
        arrived = yard.entries()
    device.close()

    assert held == []
    assert len(arrived) == 3


def test_what_the_desk_refuses_is_counted_and_told(
    yard: Yard, phone: Callable[[str], Phone]
) -> None:
    device = phone("phone")
    with yard.served():
        device.open()
        device.bring(SURVEY)
        device.keep("sounding", [{"place": {"part": "no-such-part"}, "heard": "dull"}])
        device.sync()
        expect(device.page.locator("[data-safe]")).to_contain_text("1 refused by the desk")
        device.go("#/")

        expect(device.page.locator("[data-refused]")).to_contain_text("no-such-part")
    device.close()


def test_a_photograph_whose_bytes_are_lost_is_never_called_safe(
    yard: Yard, phone: Callable[[str], Phone]
) -> None:
    device = phone("phone")
    with yard.served():
        device.open()
        device.bring(SURVEY)
        device.put_by()
    device.keep("photo", [photo(1)], [in_base64(b"\xff\xd8\xff a photograph")])
    device.page.evaluate(LOSE_BYTES)
    with yard.served():
        state = device.sync()

        mark = device.page.locator("[data-safe]")
        expect(mark).to_contain_text("1 not yet on the desk")
        expect(mark).to_contain_text("this device no longer has it")
    device.close()
    assert state["files"] == 1


def test_a_view_that_cannot_be_shown_says_so_and_leads_home(
    yard: Yard, phone: Callable[[str], Phone]
) -> None:
    device = phone("phone")
    with yard.served():
        device.open(f"/yard/#/walk/{SURVEY}")

        expect(device.page.get_by_role("alert")).to_contain_text("not on this device")
        device.page.get_by_role("link", name="To the surveys on this device").click()
        expect(device.page.get_by_role("button", name="Quillet")).to_be_visible()
    device.close()
