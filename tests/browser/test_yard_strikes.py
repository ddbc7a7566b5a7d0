"""The strike recorder with a synthetic microphone: a file that the browser plays to the page."""

import base64
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from browser.conftest import Served
from browser.phone import Phone, make_safe
from playwright.sync_api import Page, expect, sync_playwright
from recorded import wav
from struck import KEPT, RATE_HZ, SILENCE, Signal, dull, hollow, sound

from garboard.methods.recordings import recorded_strikes
from garboard.notebook.body import Recording, Sounding

WAIT_MS = 90_000
FAKE = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")
APART = RATE_HZ // 2
SUGGESTED = (
    (sound, "not told from the reference strikes"),
    (dull, "darker and shorter"),
    (hollow, "rings on one note"),
)

MICROPHONES = """() => {
  const media = navigator.mediaDevices
  const getUserMedia = media.getUserMedia.bind(media)
  globalThis.asked = 0
  media.getUserMedia = (...given) => {
    globalThis.asked += 1
    return getUserMedia(...given)
  }
}"""

TAKE_BACK_BUT = """async (left) => {
  const { survey } = await import("/yard/survey.js")
  const references = survey.standing("recording").filter(
    ({ body }) => body.reference && body.place.part === "topside-laminate")
  for (const each of references.slice(left)) await survey.takeBack(each, "not a strike")
}"""


@pytest.fixture(scope="module")
def microphone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("heard") / "microphone.wav"


@pytest.fixture
def phone(served: Served, demo: str, microphone: Path, tmp_path: Path) -> Iterator[Phone]:
    """The demo's sloop on a phone whose microphone is a file, opened at her strikes."""
    survey = demo.rpartition("/")[2]
    microphone.write_bytes(wav(np.zeros(RATE_HZ)))
    heard = f"--use-file-for-fake-audio-capture={microphone}%noloop"
    with sync_playwright() as playwright:
        of = Phone(playwright, tmp_path / "phone", served.address, served.token)
        of.open(args=[*FAKE, heard], core=True)
        of.bring(survey)
        of.go(f"#/strikes/{survey}/topside-laminate%20port")
        yield of
        of.close()


def played(microphone: Path, struck: list[Signal]) -> None:
    """Put strikes into the microphone, half a second apart after a second of hiss."""
    length = RATE_HZ + len(struck) * APART + RATE_HZ
    hiss = 0.002 * np.random.default_rng(1).standard_normal(length)
    for number, each in enumerate(struck):
        begin = RATE_HZ + number * APART
        hiss[begin : begin + KEPT - SILENCE] += each[SILENCE:KEPT]
    microphone.write_bytes(wav(hiss))


def kept_on(page: Page) -> dict[str, bytes]:
    """The sounds on the device, by SHA-256."""
    held: dict[str, str] = page.evaluate(
        """async () => {
          const { fileAt } = await import("/yard/store.js")
          const { survey } = await import("/yard/survey.js")
          const found = {}
          for (const { body } of survey.standing("recording")) {
            const file = await fileAt(body.sha256)
            if (!file) continue
            const bytes = new Uint8Array(await file.blob.arrayBuffer())
            found[body.sha256] = btoa(String.fromCharCode(...bytes))
          }
          return found
        }"""
    )
    return {sha256: base64.b64decode(each) for sha256, each in held.items()}


def test_strikes_are_kept_bit_for_bit_and_suggested_beside_their_references(
    phone: Phone, served: Served, demo: str, microphone: Path
) -> None:
    yard = phone.page
    listen = yard.get_by_role("button", name="Listen", exact=True)
    stop = yard.get_by_role("button", name="Stop listening")
    chance = np.random.default_rng(5)
    # More than are waited for: a busy computer drops a piece of what it plays now and then.
    played(microphone, [sound(chance) for _ in range(12)])
    yard.evaluate(MICROPHONES)
    listen.evaluate("(button) => { button.click(); button.click() }")
    expect(yard.get_by_text("its own processing is off.", exact=False)).to_be_visible()
    expect(yard.locator("[data-count]")).to_contain_text("Now strike the place", timeout=WAIT_MS)
    stop.click()
    assert yard.evaluate("asked") == 1

    yard.get_by_text("Place and hammer").click()
    station = yard.get_by_label("Metres aft of the stem")
    station.fill("320")
    station.blur()
    expect(yard.locator("[data-kept]")).to_contain_text("320 cannot be: the least is -5, the most 150. It is left out.")  # fmt: skip
    station.fill("")
    station.blur()
    yard.get_by_role("button", name="The place in question").click()
    rows = yard.locator("[data-strikes] li")
    for make, suggested in SUGGESTED:
        played(microphone, [make(np.random.default_rng(4))] * 3)
        listen.click()
        expect(yard.locator("[data-last]")).to_contain_text(suggested, timeout=WAIT_MS)
        stop.click()
    expect(yard.locator("[data-last]")).to_contain_text("not a verdict")
    yard.get_by_role("button", name="Dull", exact=True).click()
    expect(yard.locator("[data-kept]")).to_contain_text("Saved on this device. Dull")
    make_safe(yard)

    survey = served.desk.surveys.get(demo.rpartition("/")[2])
    assert survey is not None
    here = {each.body.sha256 for each in survey.of(Recording) if each.device.endswith("Caldervane")}
    kept = kept_on(yard)
    assert len(kept) == rows.count() >= 11
    assert here == set(kept)
    assert {each: served.desk.blobs.read(each) for each in kept} == kept
    judged = [each.found.heard for each in recorded_strikes(survey, kept)]
    assert list(dict.fromkeys(judged)) == ["as reference", "dull", "tonal"]
    (own,) = (
        each
        for each in survey.bodies(Sounding)
        if each.place.part == "topside-laminate" and each.heard == "dull"
    )
    assert own.place.side == "port"
    expect(rows.nth(0)).to_contain_text("Dull by your ear; differs from the references: tonal")
    expect(rows.filter(has_text="Differs from the references: dull")).not_to_have_count(0)
    expect(rows.filter(has_text="Not told from the references")).not_to_have_count(0)

    yard.evaluate(TAKE_BACK_BUT, 4)
    expect(yard.locator("[data-count]")).to_contain_text("4 of 5 reference strikes")
    expect(rows.nth(0)).to_contain_text("Dull by your ear; not judged", timeout=WAIT_MS)
    expect(yard.locator("[data-last]")).to_contain_text("5 or more are needed", timeout=WAIT_MS)
