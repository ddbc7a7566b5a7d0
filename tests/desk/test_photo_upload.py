"""Photographs dropped on the desk: kept byte for byte, numbered once, gone on with where they broke off."""

import io
import json
import threading
import zipfile
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from typing import Any

import pytest
from cast import DAY, QUILLET, SURVEY, entry
from PIL import Image
from shots import sha256_of, shot
from starlette.testclient import TestClient

from garboard.desk.context import Desk, open_desk
from garboard.desk.keep import filled_from
from garboard.desk.pages.photo_upload import MOST_PHOTO_BYTES, free_name, next_number
from garboard.desk.pictures import taken_time
from garboard.notebook.body import Conditions, Photo, Place, Withdrawal
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey, fold

UPLOAD = f"/s/{SURVEY}/photographs/upload"
SUMMER = timezone(timedelta(hours=2))


@pytest.fixture(autouse=True)
def survey(desk: Desk) -> None:
    began = DAY.astimezone(SUMMER)
    desk.surveys.add([entry(1, QUILLET), entry(2, Conditions(lying="ashore", began=began))])


def photos(desk: Desk) -> list[Photo]:
    held = desk.surveys.get(SURVEY)
    assert held is not None
    return sorted(held.bodies(Photo), key=lambda photo: photo.number)


def look(browser: TestClient, content: bytes, size: int | None = None) -> dict[str, Any]:
    said: dict[str, Any] = browser.get(f"{UPLOAD}/{sha256_of(content)}?size={size or len(content)}").json()  # fmt: skip
    return said


def piece(browser: TestClient, content: bytes, start: int, end: int) -> dict[str, Any]:
    said: dict[str, Any] = browser.post(f"{UPLOAD}/{sha256_of(content)}?at={start}", content=content[start:end]).json()  # fmt: skip
    return said


def finish(browser: TestClient, content: bytes, name: str = "IMG_0001.JPG") -> dict[str, Any]:
    address = f"{UPLOAD}/{sha256_of(content)}"
    proved: dict[str, Any] = browser.post(f"{address}/finish").json()
    if "problems" in proved:
        return proved
    said: dict[str, Any] = browser.post(f"{address}/keep", data={"name": name}).json()
    return said


def send(browser: TestClient, content: bytes, name: str = "IMG_0001.JPG") -> dict[str, Any]:
    """As the page sends a file: asked for first, then in one piece."""
    before = look(browser, content)
    if "arrived" in before:
        said = piece(browser, content, before["arrived"], len(content))
        return finish(browser, content, name) if "arrived" in said else said
    return before


def test_a_photograph_is_kept_as_it_came_with_its_cameras_time(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    original = shot(taken=datetime(2026, 5, 12, 9, 41, 7))  # noqa: DTZ001

    said = send(browser, original, "Bow.JPG")

    assert said == {"kept": "Kept as photograph 1."}
    assert photos(desk) == [
        Photo(
            number=1,
            file="Bow.JPG",
            sha256=sha256_of(original),
            media_type="image/jpeg",
            caption="",
            taken=datetime(2026, 5, 12, 9, 41, 7, tzinfo=SUMMER),
            printed=False,
        )
    ]
    assert desk.blobs.read(sha256_of(original)) == original


@pytest.mark.parametrize(("kind", "media_type"), [("PNG", "image/png"), ("HEIF", "image/heic")])  # fmt: skip
def test_every_kind_is_known_by_its_bytes_and_its_time_read(
    browser: TestClient, desk: Desk, kind: str, media_type: str
) -> None:
    send(browser, shot(kind=kind))

    (photo,) = photos(desk)
    assert photo.media_type == media_type
    assert photo.taken == datetime(2026, 5, 12, 9, 41, tzinfo=SUMMER)


def test_a_scan_in_tiff_is_kept_without_a_time(browser: TestClient, desk: Desk) -> None:
    said = send(browser, shot(kind="TIFF", taken=None))

    assert said["kept"] == "Kept as photograph 1. Its camera's time is missing."
    assert photos(desk)[0].media_type == "image/tiff"


def test_an_upload_goes_on_where_it_broke_off(browser: TestClient, desk: Desk) -> None:
    original = shot(size=(1200, 900))
    assert look(browser, original) == {"arrived": 0}
    assert piece(browser, original, 0, 5000) == {"arrived": 5000}

    again = look(browser, original)
    piece(browser, original, again["arrived"], len(original))
    said = finish(browser, original)

    assert again == {"arrived": 5000}
    assert said == {"kept": "Kept as photograph 1."}
    assert desk.blobs.read(sha256_of(original)) == original


def test_the_same_photograph_twice_is_said_and_kept_once(browser: TestClient, desk: Desk) -> None:
    original = shot()
    send(browser, original)

    assert look(browser, original) == {"kept": "Here already, as photograph 1."}
    assert finish(browser, original, "copy.jpg") == {"kept": "Here already, as photograph 1."}
    assert len(photos(desk)) == 1


def test_numbers_run_on_and_are_never_used_again(browser: TestClient, desk: Desk) -> None:
    for seed in (1, 2, 3):
        send(browser, shot(seed), f"{seed}.jpg")
    held = desk.surveys.get(SURVEY)
    assert held is not None
    last = held.of(Photo)[-1]
    desk.surveys.add([replace(entry(50, Withdrawal(), at=desk.now()), replaces=(last.id,), why="blurred")])  # fmt: skip

    send(browser, shot(4), "4.jpg")

    assert [photo.number for photo in photos(desk)] == [1, 2, 4]


def test_two_at_a_time_get_a_number_each(browser: TestClient, desk: Desk) -> None:
    shots = [shot(seed) for seed in range(8)]
    for each in shots:
        piece(browser, each, 0, len(each))
    threads = [threading.Thread(target=finish, args=(browser, each, f"{n}.jpg")) for n, each in enumerate(shots)]  # fmt: skip

    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert [photo.number for photo in photos(desk)] == list(range(1, 9))


def test_a_clock_once_set_right_is_right_for_what_the_same_camera_sends_later(
    browser: TestClient, desk: Desk
) -> None:
    send(browser, shot(1, camera="Near"), "1.jpg")
    for offset in ("0:30:00", "0:30:00"):
        of = standing_ids(desk)
        sent = {"camera": "Near", "offset": offset, "of": of}
        assert browser.post(f"/s/{SURVEY}/photographs/clock", data=sent).status_code == 303

    said = send(browser, shot(2, camera="Near"), "2.jpg")
    send(browser, shot(3, camera="Far"), "3.jpg")

    assert [photo.taken.hour for photo in photos(desk) if photo.taken] == [10, 10, 9]
    assert "whose clock was set right: 12 May 2026, 09:41." in said["kept"]


def test_a_clock_that_was_reset_to_another_season_is_right_for_what_comes_later(
    browser: TestClient, desk: Desk
) -> None:
    browser.post("/account/zone", data={"zone": "Europe/Paris"})
    send(browser, shot(1, taken=datetime(2026, 1, 1, 0, 10)), "1.jpg")  # noqa: DTZ001
    (first,) = standing(desk)
    clock = {"shows": "2026-05-12T10:00:00"}
    browser.post(f"/s/{SURVEY}/photo/{first.id}/clock", data=clock)

    send(browser, shot(2, taken=datetime(2026, 1, 1, 0, 20)), "2.jpg")  # noqa: DTZ001

    assert [f"{each.taken:%d %b %H:%M %z}" for each in photos(desk)] == [
        "12 May 10:00 +0200",
        "12 May 10:10 +0200",
    ]


def set_right(browser: TestClient, desk: Desk, offset: str) -> None:
    """Add to the times of the camera whose photographs are here."""
    sent = {"camera": "Near", "offset": offset, "of": standing_ids(desk)}
    assert browser.post(f"/s/{SURVEY}/photographs/clock", data=sent).status_code == 303


def test_what_was_added_to_a_camera_is_known_when_its_copies_were_emptied(
    browser: TestClient, desk: Desk
) -> None:
    send(browser, shot(1), "1.jpg")
    set_right(browser, desk, "0:30:00")
    later = desk.blobs.put([shot(2)])

    desk.copies.clear()
    restarted = open_desk(desk.folder, clock=desk.clock, zone=SUMMER)
    taken = taken_time(restarted, survey_here(desk), later.sha256)
    restarted.close()

    assert taken is not None
    assert taken.added == timedelta(minutes=30)


def test_what_was_added_to_a_photograph_taken_back_since_does_not_count(
    browser: TestClient, desk: Desk
) -> None:
    send(browser, shot(1), "1.jpg")
    set_right(browser, desk, "0:30:00")
    (wrong,) = standing(desk)
    back = {"why": "of another boat"}
    browser.post(f"/s/{SURVEY}/entry/{wrong.id}/withdraw", data=back)

    said = send(browser, shot(2), "2.jpg")

    assert said == {"kept": "Kept as photograph 2."}
    assert photos(desk)[0].taken == datetime(2026, 5, 12, 9, 41, tzinfo=SUMMER)


def test_what_was_added_to_a_camera_is_known_while_one_of_its_originals_is_here(
    browser: TestClient, desk: Desk
) -> None:
    first, last = shot(1), shot(2)
    send(browser, first, "1.jpg")
    send(browser, last, "2.jpg")
    set_right(browser, desk, "0:30:00")

    desk.blobs.path(sha256_of(last)).unlink()
    said = send(browser, shot(3), "3.jpg")

    assert "whose clock was set right: 12 May 2026, 09:11." in said["kept"]


def standing(desk: Desk) -> tuple[Entry[Photo], ...]:
    return survey_here(desk).of(Photo)


def survey_here(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def standing_ids(desk: Desk) -> str:
    """What the form that sets the clock says it was filled from."""
    return filled_from(standing(desk))


def test_a_clock_that_lies_in_the_future_costs_the_time_and_not_the_photograph(
    browser: TestClient, desk: Desk
) -> None:
    said = send(browser, shot(taken=datetime(2031, 1, 2, 3, 4)))  # noqa: DTZ001

    assert said["kept"] == "Kept as photograph 1. Its camera's clock shows 2 January 2031, 03:04, which lies in the future, so it has no time yet."  # fmt: skip
    assert photos(desk)[0].taken is None


def test_a_photograph_without_a_time_is_kept_and_says_so(browser: TestClient) -> None:
    assert send(browser, shot(taken=None))["kept"].endswith("Its camera's time is missing.")


# Files that are not what they seem


def a_zip() -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        archive.writestr("readme.txt", "no picture" * 100)
    return held.getvalue()


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize("content", [a_zip(), SVG, b"%PDF-1.7 no picture at all", b"GIF89a" + bytes(64), b"\x00" * 64])  # fmt: skip
def test_what_is_no_photograph_is_refused_before_any_of_it_is_kept(
    browser: TestClient, desk: Desk, content: bytes
) -> None:
    said = send(browser, content, "holiday.jpg")

    assert said == {"problems": ["By its first bytes it is no JPEG, HEIC, PNG or TIFF file, whatever its name says. Choose a JPEG, HEIC, PNG or TIFF file."]}  # fmt: skip
    assert desk.blobs.offset(sha256_of(content)) == 0
    assert photos(desk) == []


def test_a_file_of_another_kind_that_is_in_the_store_does_not_become_a_photograph(
    browser: TestClient, desk: Desk
) -> None:
    sound = b"OggS" + bytes(100)
    desk.blobs.put([sound])

    assert "by its first bytes" in str(finish(browser, sound, "a.jpg")).lower()
    assert photos(desk) == []


@pytest.mark.parametrize(
    "content",
    [shot(kind="HEIF")[:900], shot()[:3000], b"\xff\xd8\xff" + bytes(200)],
    ids=["heic cut", "jpeg cut", "jpeg in name"],
)
def test_a_damaged_photograph_is_kept_as_it_came_and_said_to_be_so(
    browser: TestClient, desk: Desk, content: bytes
) -> None:
    said = send(browser, content)

    assert said["kept"].startswith("Kept as photograph 1. It is kept as it came, but cannot be shown: its file is damaged")  # fmt: skip
    assert desk.blobs.read(sha256_of(content)) == content


@pytest.mark.parametrize("size", [(1, 60_000), (60_000, 1)])
def test_a_photograph_of_a_strange_shape_is_kept_and_shown(
    browser: TestClient, desk: Desk, size: tuple[int, int]
) -> None:
    held = io.BytesIO()
    Image.new("RGB", size, "grey").save(held, "JPEG")

    send(browser, held.getvalue())

    (found,) = desk.surveys.get(SURVEY).of(Photo)  # type: ignore[union-attr]
    thumb = browser.get(f"/s/{SURVEY}/photo/{found.id}/thumb")
    assert max(Image.open(io.BytesIO(thumb.content)).size) == 360


@pytest.mark.parametrize(
    ("size", "words"),
    [
        (2 * 2**30, f"The file is larger than {MOST_PHOTO_BYTES // 2**20} MB."),
        (0, "The file is empty."),
    ],
)
def test_what_is_announced_too_large_or_empty_is_refused_at_once(
    browser: TestClient, size: int, words: str
) -> None:
    said = browser.get(f"{UPLOAD}/{sha256_of(b'x')}?size={size}")

    assert said.status_code == 422
    assert said.json()["problems"][0].startswith(words)


def test_what_grows_beyond_the_limit_whatever_it_announced_is_removed(
    browser: TestClient, desk: Desk
) -> None:
    original = shot()
    sha256 = sha256_of(original)
    # As though all but a few bytes of the largest file allowed had arrived.
    piece(browser, original, 0, len(original))
    with (desk.folder / "parts" / sha256).open("r+b") as part:
        part.truncate(MOST_PHOTO_BYTES - 10)

    said = browser.post(f"{UPLOAD}/{sha256}?at={MOST_PHOTO_BYTES - 10}", content=bytes(11)).json()

    assert "larger than is allowed" in said["problems"][0]
    assert look(browser, original) == {"arrived": 0}


def test_bytes_that_do_not_have_the_hash_are_not_kept(browser: TestClient, desk: Desk) -> None:
    original, other = shot(1), shot(2)
    browser.post(f"{UPLOAD}/{sha256_of(original)}?at=0", content=other)

    said = finish(browser, original)

    assert "what arrived is another file" in said["problems"][0].lower()
    assert look(browser, original) == {"arrived": 0}
    assert photos(desk) == []


@pytest.mark.parametrize("address", ["zz", "A" * 64, "../../../etc/passwd"])
def test_a_name_that_is_no_hash_is_refused(browser: TestClient, address: str) -> None:
    assert browser.get(f"{UPLOAD}/{address}?size=5").status_code in (404, 422)


def test_a_piece_that_leaves_a_hole_is_refused(browser: TestClient) -> None:
    original = shot()
    piece(browser, original, 0, 100)

    said = piece(browser, original, 200, 300)

    assert "Go on from 100" in said["problems"][0]


# A plain form


def test_without_scripts_a_form_keeps_each_file_and_says_what_became_of_it(
    browser: TestClient, desk: Desk
) -> None:
    sent = [("file", ("a.jpg", shot(1))), ("file", ("b.jpg", a_zip())), ("file", ("c.jpg", shot(1))), ("file", ("d.jpg", shot(2)))]  # fmt: skip

    said = browser.post(UPLOAD, files=sent).text

    assert "<b>a.jpg</b> Kept as photograph 1." in said
    assert "<b>b.jpg</b> was not kept. By its first bytes it is no JPEG" in said
    assert "<b>c.jpg</b> Here already, as photograph 1." in said
    assert [photo.file for photo in photos(desk)] == ["a.jpg", "d.jpg"]


def test_a_browser_that_gives_no_hash_is_answered_like_the_others(browser: TestClient) -> None:
    json_wanted = {"accept": "application/json"}

    kept = browser.post(UPLOAD, files={"file": ("a.jpg", shot())}, headers=json_wanted)
    refused = browser.post(UPLOAD, files={"file": ("b.jpg", SVG)}, headers=json_wanted)

    assert kept.json() == {"kept": "Kept as photograph 1."}
    assert refused.status_code == 422
    assert json.loads(refused.text)["problems"][0].startswith("b.jpg: By its first bytes")


def test_a_form_without_a_file_says_so(browser: TestClient) -> None:
    assert "No file was chosen." in browser.post(UPLOAD, data={"x": "y"}).text


# Names and numbers


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("C:\\Photos\\IMG 1.JPG", "IMG 1.JPG"),
        ("../../etc/passwd", "passwd.jpg"),
        (".htaccess", "htaccess.jpg"),
        ("a\x00b\n.jpg", "ab.jpg"),
        ("", "photograph.jpg"),
        ("x" * 300 + ".jpeg", "x" * 100 + ".jpeg"),
        ("IMG_0001.jpg", "IMG_0001 2.jpg"),
    ],
)
def test_a_name_is_made_harmless_and_told_from_the_others(name: str, kept: str) -> None:
    held = fold([entry(1, Photo(number=1, file="img_0001.JPG", sha256="0", media_type="image/jpeg", caption=""))])  # fmt: skip

    assert free_name(held, name, "image/jpeg") == kept


def test_the_name_of_a_photograph_taken_back_is_not_given_again(
    browser: TestClient, desk: Desk
) -> None:
    send(browser, shot(1), "a.jpg")
    (first,) = standing(desk)
    browser.post(f"/s/{SURVEY}/entry/{first.id}/withdraw", data={"why": "of another boat"})

    send(browser, shot(2), "a.jpg")

    assert [each.file for each in photos(desk)] == ["a 2.jpg"]


def at(minute: int) -> datetime:
    return datetime(2026, 5, 12, 9, minute)  # noqa: DTZ001 - a camera knows no zone


def test_photographs_sent_together_are_numbered_as_they_were_taken(
    browser: TestClient, desk: Desk
) -> None:
    sent = [
        ("d.jpg", shot(1, taken=None)),
        ("c.jpg", shot(2, taken=at(50))),
        ("b.jpg", shot(3, taken=at(41))),
        ("a.jpg", shot(4, taken=at(50))),
    ]

    browser.post(UPLOAD, files=[("file", each) for each in sent])

    assert [each.file for each in photos(desk)] == ["b.jpg", "a.jpg", "c.jpg", "d.jpg"]


def test_what_has_arrived_says_where_it_comes_among_the_others(browser: TestClient) -> None:
    orders = []
    for original in (shot(1, taken=at(50)), shot(2, taken=None), shot(3, taken=at(41))):
        piece(browser, original, 0, len(original))
        orders.append(browser.post(f"{UPLOAD}/{sha256_of(original)}/finish").json()["order"])

    late, without, early = orders
    assert early < late < without


def test_the_first_photograph_is_number_one() -> None:
    assert next_number(fold([entry(1, QUILLET)])) == 1


OF_PART = f"/s/{SURVEY}/photographs/of/seacock%202"


def sent_to_part(browser: TestClient, content: bytes, name: str = "IMG_0001.JPG") -> str:
    """What is said of a file that was sent on the page of a part."""
    answer = browser.post(
        OF_PART, files={"file": (name, content)}, headers={"accept": "application/json"}
    ).json()
    said: str = answer["kept"]
    return said


def test_a_photograph_sent_on_the_page_of_a_part_is_of_that_part(
    browser: TestClient, desk: Desk
) -> None:
    said = sent_to_part(browser, shot())

    assert said == "Kept as photograph 1."
    assert photos(desk)[0].place == Place(part="seacock", number=2)


def test_one_that_is_here_without_a_part_is_given_it_and_one_that_has_one_keeps_it(
    browser: TestClient, desk: Desk
) -> None:
    unsorted, sorted_before = shot(1), shot(2)
    send(browser, unsorted, "a.jpg")
    stem = Photo(number=7, file="b.jpg", sha256=sha256_of(sorted_before), media_type="image/jpeg", caption="", place=Place(part="stem"))  # fmt: skip
    desk.surveys.add([entry(50, stem)])

    asked = browser.get(f"{OF_PART}/{sha256_of(unsorted)}?size={len(unsorted)}").json()
    said = [sent_to_part(browser, each) for each in (unsorted, sorted_before)]

    assert asked == {"arrived": len(unsorted)}
    assert said == [
        "Here already, as photograph 1, and now one of this part.",
        "Here already, as photograph 7, of stem and forefoot.",
    ]
    assert [each.place for each in photos(desk)] == [Place(part="seacock", number=2), Place(part="stem")]  # fmt: skip


def test_without_scripts_the_page_leads_back_to_the_part(browser: TestClient, desk: Desk) -> None:
    answer = browser.post(OF_PART, files={"file": ("a.jpg", shot())})

    assert f'href="/s/{SURVEY}/part/seacock%202"' in answer.text


def test_no_photograph_is_of_a_part_that_no_boat_has(browser: TestClient, desk: Desk) -> None:
    answer = browser.post(OF_PART.replace("seacock", "anvil"), files={"file": ("a.jpg", shot())})

    assert answer.status_code == 404
    assert photos(desk) == []
