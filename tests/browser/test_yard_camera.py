"""The camera and the microphone, both fake: what reaches the desk is what was kept, byte for byte."""

import base64
import io
import os
import re
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from hashlib import sha256
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from browser.phone import NO_SETTINGS, Phone, make_safe
from PIL import Image
from playwright.sync_api import expect, sync_playwright

from garboard.notebook.body import Memo, Photo, Place
from garboard.notebook.entry import Entry
from garboard.notebook.numbering import numbers_of_device

WAIT_MS = 60_000
FAKE = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")
KEPT = """async (sha256) => {
  const { fileAt } = await import("/yard/store.js")
  const bytes = new Uint8Array(await (await fileAt(sha256)).blob.arrayBuffer())
  return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""))
}"""

PUT_BY = """async (survey) => {
  while (!(await caches.match(`/api/earlier/${survey}`))) await new Promise((on) => setTimeout(on, 50))
}"""

KEPT_FILE = """async (name) => {
  const { survey } = await import("/yard/survey.js")
  return survey.standing("photo").some(({ body }) => body.file === name)
}"""

LEFT_MEANWHILE = """async () => {
  const { keepPhoto } = await import("/yard/photo.js")
  const { survey } = await import("/yard/survey.js")
  const jpeg = (shade) => new Blob([new Uint8Array([0xff, 0xd8, 0xff, 0xe0, shade])])
  const first = await keepPhoto(jpeg(1), null, { name: "one.jpg" })
  await survey.takeBack(first, "blurred")
  const keeping = keepPhoto(jpeg(2), null, { name: "one.jpg" })
  survey.close()
  const { number, file } = (await keeping).body
  return [number, file]
}"""


@pytest.fixture
def phone(served: Served, demo: str, tmp_path: Path) -> Iterator[Phone]:
    """The demo's sloop on a phone with a camera, opened at a part that was photographed before."""
    survey = demo.rpartition("/")[2]
    with sync_playwright() as playwright:
        of = Phone(playwright, tmp_path / "phone", served.address, served.token)
        of.open(args=[*FAKE])
        of.bring(survey)
        of.go(f"#/camera/{survey}/general-appearance")
        yield of
        of.close()


def photographs(served: Served, demo: str) -> list[Entry[Photo]]:
    """Those that came from the phone."""
    survey = served.desk.surveys.get(demo.rpartition("/")[2])
    assert survey is not None
    return [each for each in survey.of(Photo) if each.body.number >= 10_000]


def picture(path: Path, shade: int, taken: str = "", offset: str = "") -> Path:
    """A photograph of one even shade, with the times its camera wrote into it."""
    exif = Image.Exif()
    exif[0x0132] = "2026:05:12 09:00:00"
    if taken:
        exif.get_ifd(0x8769)[36867] = taken
    if offset:
        exif.get_ifd(0x8769)[36881] = offset
    Image.new("RGB", (640, 480), (shade, shade, shade)).save(path, "JPEG", exif=exif)
    return path


def test_photographs_reach_the_desk_as_they_were_kept(
    phone: Phone, served: Served, demo: str, tmp_path: Path
) -> None:
    page = phone.page
    said = page.locator("[data-kept]")
    before = page.locator("[data-count]").inner_text()
    page.get_by_role("button", name="Take it", exact=True).click(timeout=WAIT_MS)
    expect(said).to_contain_text("Saved on this device. Photograph", timeout=WAIT_MS)
    first = said.inner_text()
    page.locator("h1").focus()
    page.keyboard.press("Enter")
    expect(said).not_to_have_text(first, timeout=WAIT_MS)
    dark = picture(tmp_path / "IMG_0007.JPG", 2)
    page.get_by_label("Use the system's camera").set_input_files(dark)
    expect(said).to_contain_text("too dark to show anything: take it again?", timeout=WAIT_MS)
    darkness = said.inner_text()
    # What is only noted beside it fails from here on, and the photograph is saved all the same.
    page.evaluate(NO_SETTINGS)
    even = picture(tmp_path / "IMG_0008.JPG", 128)
    page.get_by_label("Use the system's camera").set_input_files(even)
    expect(said).not_to_have_text(darkness, timeout=WAIT_MS)
    expect(said).to_contain_text("looks blurred: take it again?", timeout=WAIT_MS)
    page.get_by_role("button", name="Take it back").click()
    expect(said).to_contain_text("Taken back")
    make_safe(page)

    kept = photographs(served, demo)
    first_number, last_number = numbers_of_device(1)
    assert [each.body.number for each in kept] == [first_number, first_number + 1, first_number + 2]
    assert last_number > first_number + 2
    assert [each.body.place for each in kept] == [Place(part="general-appearance")] * 3
    assert all(each.body.taken for each in kept)
    for each in kept:
        held = base64.b64decode(page.evaluate(KEPT, each.body.sha256))
        assert served.desk.blobs.read(each.body.sha256) == held
        assert sha256(held).hexdigest() == each.body.sha256
    assert kept[2].body.file == "IMG_0007.JPG"
    assert served.desk.blobs.read(kept[2].body.sha256) == dark.read_bytes()
    taken = Image.open(io.BytesIO(served.desk.blobs.read(kept[0].body.sha256)))
    assert min(taken.size) >= 480
    assert before != page.locator("[data-count]").inner_text()


def test_a_photograph_out_of_the_album_has_the_time_its_camera_wrote(
    phone: Phone, served: Served, demo: str, tmp_path: Path
) -> None:
    alone = picture(tmp_path / "IMG_0020.JPG", 60, "2026:05:12 10:11:12")
    offset = picture(tmp_path / "IMG_0021.JPG", 90, "2026:05:12 10:11:12", "+03:00")
    silent = picture(tmp_path / "IMG_0022.JPG", 120)
    broken = tmp_path / "IMG_0023.JPG"
    broken.write_bytes(b"\xff\xd8\xff\xe1\x00\x20Exif\x00\x00II*\x00\xff\xff\xff\x00")
    files = [alone, offset, silent, broken]
    for each in files:
        os.utime(each, (0, 0))

    for each in files:
        phone.page.get_by_label("Use the system's camera").set_input_files(each)
        phone.page.wait_for_function(KEPT_FILE, arg=each.name, timeout=WAIT_MS)
    make_safe(phone.page)

    taken = {each.body.file: each.body.taken for each in photographs(served, demo)}
    zone = phone.page.evaluate("() => -new Date(2026, 4, 12).getTimezoneOffset()")
    own, east = timezone(timedelta(minutes=zone)), timezone(timedelta(hours=3))
    assert taken["IMG_0020.JPG"] == datetime(2026, 5, 12, 10, 11, 12, tzinfo=own)
    assert taken["IMG_0021.JPG"] == datetime(2026, 5, 12, 10, 11, 12, tzinfo=east)
    assert taken["IMG_0022.JPG"] is None
    assert taken["IMG_0023.JPG"] is None


def test_a_photograph_is_given_words_where_it_is_taken_and_they_are_corrected_on_its_part(
    phone: Phone, served: Served, demo: str, tmp_path: Path
) -> None:
    page = phone.page
    survey = demo.rpartition("/")[2]
    even = picture(tmp_path / "IMG_0009.JPG", 128)
    page.get_by_label("Use the system's camera").set_input_files(even)
    page.get_by_role("button", name="Say what it shows").click(timeout=WAIT_MS)
    # Enter goes on with the words, and takes no photograph.
    page.get_by_role("dialog").get_by_role("textbox").fill("Boot-top scraped ")
    page.keyboard.press("Enter")
    page.keyboard.type("to port")
    page.get_by_role("button", name="Keep the words").click()
    expect(page.locator("[data-kept]")).to_contain_text("Boot-top scraped to port", timeout=WAIT_MS)
    page.get_by_role("heading", name="Spoken note").click()
    page.get_by_role("button", name="Speak", exact=True).click()
    expect(page.get_by_text("s spoken.")).to_be_visible(timeout=WAIT_MS)
    page.get_by_role("button", name="Stop and keep").click()
    expect(page.locator("[data-kept]")).to_contain_text("Spoken note", timeout=WAIT_MS)

    phone.go(f"#/part/{survey}/general-appearance")
    page.get_by_role(
        "button", name=re.compile(r"Words: Photograph: Boot-top scraped to port, number 1\d{4}")
    ).click(timeout=WAIT_MS)
    page.go_back()
    expect(page.get_by_role("dialog")).to_have_count(0)
    page.go_forward()
    page.get_by_role(
        "button", name=re.compile(r"Words: Photograph: Boot-top scraped to port, number 1\d{4}")
    ).click(timeout=WAIT_MS)
    page.get_by_role("dialog").get_by_role("textbox").fill("Boot-top scraped to starboard")
    page.get_by_role("button", name="Keep the words").click()
    expect(page.locator("[data-recorded]")).to_contain_text("scraped to starboard", timeout=WAIT_MS)
    make_safe(page)

    (kept,) = photographs(served, demo)
    held = served.desk.surveys.get(survey)
    assert held is not None
    memos = [each for each in held.bodies(Memo) if each.place == Place(part="general-appearance")]
    assert kept.body.caption == "Boot-top scraped to starboard"
    assert (kept.body.file, kept.why) == ("IMG_0009.JPG", "caption changed")
    assert served.desk.blobs.read(kept.body.sha256) == even.read_bytes()
    assert [each.photo for each in memos] == ["IMG_0009.JPG"]


def test_a_photograph_kept_after_its_boat_was_left_has_a_number_and_name_that_none_of_hers_ever_had(
    phone: Phone,
) -> None:
    first, _ = numbers_of_device(1)

    kept = phone.page.evaluate(LEFT_MEANWHILE)

    assert kept == [first + 1, f"one {first + 1}.jpg"]


def test_an_earlier_photograph_lies_over_the_picture_with_no_signal(
    phone: Phone, served: Served, demo: str
) -> None:
    page = phone.page
    survey = demo.rpartition("/")[2]
    page.evaluate(PUT_BY, survey)
    phone.put_by()
    phone.context.set_offline(True)
    phone.go(f"#/walk/{survey}")
    phone.go(f"#/camera/{survey}/general-appearance")

    page.get_by_label("Lay an earlier photograph over it").select_option(index=1)

    over = page.locator("[data-over]")
    expect(over).to_be_visible(timeout=WAIT_MS)
    wide = over.evaluate(
        "async (picture) => { await picture.decode(); return picture.naturalWidth }"
    )
    assert wide > 100
    found = Axe().run(page)
    assert [each["id"] for each in found.response["violations"] if each["impact"] in ("serious", "critical")] == []  # fmt: skip


def test_a_memo_cut_short_by_a_kill_is_kept_when_a_part_is_opened_again(
    phone: Phone, served: Served, demo: str
) -> None:
    survey = demo.rpartition("/")[2]
    before = told_of_the_keel(served, survey)
    phone.put_by()
    phone.go(f"#/part/{survey}/keel-joint")
    phone.page.get_by_role("heading", name="Spoken note").click()
    phone.page.get_by_role("button", name="Speak").click()
    expect(phone.page.get_by_text("2 s spoken")).to_be_visible(timeout=WAIT_MS)
    phone.kill()

    phone.open(f"/yard/#/part/{survey}/rudder-blade", args=[*FAKE])

    cut_short = phone.page.get_by_text("a spoken note that was cut short")
    expect(cut_short).to_contain_text("keel-to-hull joint", timeout=WAIT_MS)
    phone.go(f"#/part/{survey}/keel-joint")
    phone.go(f"#/part/{survey}/rudder-blade")
    make_safe(phone.page)
    (memo,) = [each for each in told_of_the_keel(served, survey) if each not in before]
    assert memo.seconds >= 1
    assert sha256(served.desk.blobs.read(memo.sha256)).hexdigest() == memo.sha256


def told_of_the_keel(served: Served, survey: str) -> list[Memo]:
    held = served.desk.surveys.get(survey)
    assert held is not None
    return [each for each in held.bodies(Memo) if each.place == Place(part="keel-joint")]
