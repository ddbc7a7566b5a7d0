"""The sheet of photographs, what several are given at once, each on its page, and the copies that are shown."""

import io
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from html import unescape
from types import SimpleNamespace
from typing import Any

import pytest
from cast import DAY, QUILLET, SURVEY, entry
from PIL import Image, ImageFilter
from shots import sha256_of, shot
from starlette.requests import Request
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.desk.keep import correct
from garboard.desk.pictures import looked_at
from garboard.notebook.body import Conditions, Crop, Mark, Photo, Place
from garboard.notebook.entry import Entry
from garboard.notebook.problem import Refused

SHEET = f"/s/{SURVEY}/photographs"
ONE = f"/s/{SURVEY}/photo"
HATCH = Place(part="hatch", number=2)


def keep(desk: Desk, number: int, original: bytes, **fields: Any) -> Entry[Photo]:
    """A photograph of the survey, its original in the store."""
    desk.blobs.put([original])
    photo = Photo(
        number=number,
        file=f"{number}.jpg",
        sha256=sha256_of(original),
        media_type="image/jpeg",
        caption="",
        taken=DAY + timedelta(minutes=number),
        printed=False,
    )
    made = entry(100 + number, replace(photo, **fields))
    desk.surveys.add([made])
    return made


@pytest.fixture
def three(desk: Desk) -> list[Entry[Photo]]:
    desk.surveys.add([entry(1, QUILLET), entry(2, Conditions(lying="ashore", began=DAY))])
    return [keep(desk, number, shot(number)) for number in (1, 2, 3)]


def photos(desk: Desk) -> dict[int, Photo]:
    held = desk.surveys.get(SURVEY)
    assert held is not None
    return {photo.number: photo for photo in held.bodies(Photo)}


def text(browser: TestClient, path: str) -> str:
    answer = browser.get(path)
    assert answer.status_code == 200, answer.text
    return unescape(answer.text)


def ids(entries: Iterable[Entry[Photo]]) -> list[str]:
    return [each.id for each in entries]


# The sheet


def test_a_survey_without_photographs_says_so(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET)])

    assert "There are no photographs yet." in text(browser, SHEET)


def test_the_sheet_shows_all_by_number_whatever_order_they_came_in(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    later, first = keep(desk, 12, shot(12)), keep(desk, 2, shot(2))

    shown = text(browser, SHEET)

    assert shown.index(f"/photo/{first.id}/thumb") < shown.index(f"/photo/{later.id}/thumb")
    assert 'loading="lazy"' in shown
    assert 'width="360" height="270"' in shown


def test_a_leap_in_the_numbers_is_explained_where_a_device_gave_one(
    browser: TestClient, desk: Desk
) -> None:
    ours = keep(desk, 1, shot(1))
    before = text(browser, SHEET)
    of_a_device = keep(desk, 11_000, shot(2), taken=DAY)

    leap = "A leap to such a number is no sign of photographs left out."

    assert leap not in before
    assert leap in text(browser, SHEET)
    assert leap not in text(browser, f"{ONE}/{ours.id}")
    assert f"11000. Photographs taken with a device in the yard are numbered from 10000, in a thousand numbers for each device, so that no number is given twice. {leap}" in text(browser, f"{ONE}/{of_a_device.id}")  # fmt: skip


@pytest.mark.parametrize(
    ("view", "numbers"),
    [("unplaced", [2, 3]), ("uncaptioned", [1, 3]), ("printed", [3]), ("unprinted", [1, 2]), ("doubtful", [2])],
)  # fmt: skip
def test_the_sheet_can_be_narrowed(browser: TestClient, desk: Desk, view: str, numbers: list[int]) -> None:  # fmt: skip
    keep(desk, 1, shot(1), place=HATCH)
    keep(desk, 2, shot(2), caption="Mast", taken=None)
    keep(desk, 3, shot(3), printed=True)

    shown = text(browser, f"{SHEET}?view={view}")

    assert [number for number in (1, 2, 3) if f"<b>{number}</b> " in shown.partition("<ol")[2] or f"<b>{number}</b></span>" in shown.partition("<ol")[2]] == numbers  # fmt: skip


def test_what_is_doubtful_is_said_beside_the_picture(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET), entry(2, Conditions(lying="ashore", began=DAY))])
    blurred = Image.open(io.BytesIO(shot(1))).filter(ImageFilter.GaussianBlur(12))
    held = io.BytesIO()
    blurred.save(held, "JPEG")
    found = keep(desk, 1, held.getvalue(), taken=DAY + timedelta(days=40))
    looked_at(desk, found.body.sha256)

    shown = text(browser, SHEET)

    assert "It looks out of focus or shaken." in shown
    assert "Taken on 21 June 2026, which is no day of the survey." in shown


def test_nearly_the_same_photographs_are_stacked_and_all_can_be_reached(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    once = shot(1, size=(800, 600))
    again = io.BytesIO()
    Image.open(io.BytesIO(once)).resize((640, 480)).save(again, "JPEG")
    first = keep(desk, 1, once)
    second = keep(desk, 2, again.getvalue())
    other = keep(desk, 3, shot(9))
    for each in (first, second, other):
        looked_at(desk, each.body.sha256)

    shown = text(browser, SHEET)

    under = shown.partition("1 nearly the same")[2].partition("</details>")[0]
    assert second.id in under
    assert other.id not in under
    assert shown.count('type="checkbox" name="photo"') == 3


def test_photographs_that_came_otherwise_are_measured_on_request(
    browser: TestClient, three: list[Entry[Photo]]
) -> None:
    assert "3 were not measured yet" in text(browser, SHEET)

    answer = browser.post(f"{SHEET}/measure", data={})

    assert answer.headers["location"] == SHEET
    assert "not measured yet" not in text(browser, SHEET)


# Several at once


def test_several_are_given_a_place_in_one_go(browser: TestClient, desk: Desk, three: list[Entry[Photo]]) -> None:  # fmt: skip
    chosen = {"photo": ids(three[:2]), "act": "place", "place.part": "hatch", "place.number": "2", "view": "unplaced"}  # fmt: skip

    answer = browser.post(SHEET, data=chosen)

    assert answer.headers["location"] == f"{SHEET}?view=unplaced"
    assert [photos(desk)[number].place for number in (1, 2, 3)] == [HATCH, HATCH, None]
    held = desk.surveys.get(SURVEY)
    assert held is not None
    assert {each.why for each in held.of(Photo)} == {"sorted by hand", None}


def test_several_are_printed_or_kept_back(browser: TestClient, desk: Desk, three: list[Entry[Photo]]) -> None:  # fmt: skip
    browser.post(SHEET, data={"photo": ids(three), "act": "print"})
    browser.post(SHEET, data={"photo": [three[1].id], "act": "keep back"})

    assert [photos(desk)[number].printed for number in (1, 2, 3)] == [True, False, True]


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ({"act": "place", "place.part": "hatch"}, "No photograph is chosen."),
        ({"photo": "one", "act": "place"}, "Choose a part."),
        ({"photo": "one", "act": "place", "place.part": "rud"}, "There is no part called “rud”. Choose one from the list."),
        ({"photo": "one", "act": "place", "place.part": "hatch", "place.number": "0"}, "Give a value from 1 to 999."),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_said_and_the_choice_kept(
    browser: TestClient, desk: Desk, three: list[Entry[Photo]], form: dict[str, str], words: str
) -> None:
    sent = {**form, "photo": three[0].id} if "photo" in form else form

    answer = browser.post(SHEET, data=sent)

    assert answer.status_code == 422
    assert words in unescape(answer.text)
    assert ('value="' + three[0].id + '" checked' in answer.text) == ("photo" in form)
    assert photos(desk)[1].place is None


def test_a_page_shown_before_a_correction_still_reaches_the_photograph(
    browser: TestClient, desk: Desk, three: list[Entry[Photo]]
) -> None:
    browser.post(SHEET, data={"photo": [three[0].id], "act": "print"})

    browser.post(SHEET, data={"photo": [three[0].id], "act": "place", "place.part": "hatch"})

    assert photos(desk)[1].printed
    assert photos(desk)[1].place == Place(part="hatch")


def test_an_old_sheet_does_not_take_the_place_that_was_given_since(
    browser: TestClient, desk: Desk, three: list[Entry[Photo]]
) -> None:
    browser.post(SHEET, data={"photo": [three[0].id], "act": "place", "place.part": "hatch"})

    both = {"photo": ids(three[:2]), "act": "place", "place.part": "rudder-blade"}
    answer = browser.post(SHEET, data=both)
    again = browser.post(SHEET, data={**both, "photo": [three[0].id]})

    assert answer.status_code == 303
    assert [photos(desk)[number].place for number in (1, 2)] == [Place(part="hatch"), Place(part="rudder-blade")]  # fmt: skip
    assert again.status_code == 422
    assert "Sorted otherwise since this page was shown, and left so: photograph 1" in unescape(again.text)  # fmt: skip


def test_what_was_corrected_in_the_same_moment_is_not_corrected_side_by_side(
    desk: Desk, browser: TestClient, three: list[Entry[Photo]]
) -> None:
    page: Any = browser.app
    request = Request({"type": "http", "app": page.app, "state": {"user": SimpleNamespace(name="I")}})  # fmt: skip
    captioned, placed = (replace(three[0].body, **change) for change in ({"caption": "Bow"}, {"place": HATCH}))  # fmt: skip
    correct(request, SURVEY, {three[0].id: captioned}, "captioned")

    with pytest.raises(Refused, match="I changed it at"):
        correct(request, SURVEY, {three[0].id: placed}, "sorted by hand")

    held = desk.surveys.get(SURVEY)
    assert held is not None
    assert held.choices == ()


def test_nothing_is_written_for_what_is_so_already(browser: TestClient, desk: Desk, three: list[Entry[Photo]]) -> None:  # fmt: skip
    held = desk.surveys.get(SURVEY)
    assert held is not None

    browser.post(SHEET, data={"photo": ids(three), "act": "keep back"})

    assert desk.surveys.get(SURVEY) is held


# One photograph


def test_a_photograph_is_written_up_and_the_next_one_shown(browser: TestClient, desk: Desk, three: list[Entry[Photo]]) -> None:  # fmt: skip
    form = {"caption": " Hatch, open ", "place.part": "hatch", "taken": "2026-05-12T09:05:30", "printed": ["no", "yes"], "next": three[1].id, "of": three[0].id}  # fmt: skip

    answer = browser.post(f"{ONE}/{three[0].id}", data=form)

    assert answer.headers["location"] == f"{ONE}/{three[1].id}"
    photo = photos(desk)[1]
    assert (photo.caption, photo.printed, photo.place) == ("Hatch, open", True, Place(part="hatch"))
    assert photo.taken == datetime(2026, 5, 12, 9, 5, 30, tzinfo=desk.zone)
    assert (photo.number, photo.sha256) == (1, three[0].body.sha256)


def test_one_photograph_at_a_time_is_chosen_for_the_title_page(
    browser: TestClient, desk: Desk, three: list[Entry[Photo]]
) -> None:
    for each in three[:2]:
        form = {"caption": "Whole boat", "cover": ["no", "yes"], "of": each.id}
        browser.post(f"{ONE}/{each.id}", data=form)

    assert [number for number, photo in photos(desk).items() if photo.cover] == [2]


def test_an_old_page_of_a_photograph_does_not_take_the_place_of_what_was_written_since(browser: TestClient, desk: Desk, three: list[Entry[Photo]]) -> None:  # fmt: skip
    page, sent = f"{ONE}/{three[0].id}", {"place.part": "hatch", "of": three[0].id}
    browser.post(page, data={**sent, "caption": "Theirs"})

    refused = browser.post(page, data={**sent, "caption": "Mine"})

    assert refused.status_code == 422
    assert "Ines Caldervane changed it at" in refused.text
    assert "Theirs" in refused.text
    assert ">Mine</textarea>" in refused.text
    assert photos(desk)[1].caption == "Theirs"


def test_a_photograph_may_stand_without_a_caption_and_keeps_its_marks(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    arrow = Mark(sort="arrow", from_x=0, from_y=0, to_x=1, to_y=1)
    found = keep(desk, 1, shot(), crop=Crop(left=0, top=0, right=0.5, bottom=1), marks=(arrow,))

    browser.post(
        f"{ONE}/{found.id}",
        data={"caption": "", "place.part": "hatch", "printed": "no", "of": found.id},
    )

    photo = photos(desk)[1]
    assert photo.place == Place(part="hatch")
    assert photo.marks == (arrow,)
    assert photo.crop == found.body.crop


def test_a_page_shows_what_is_stated_and_what_was_done_to_its_copies(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    found = keep(desk, 1, shot(camera="Near 3"), crop=Crop(left=0, top=0, right=0.5, bottom=1))

    shown = text(browser, f"{ONE}/{found.id}")

    assert "As its copies are printed: cropped. The original is whole." in shown
    assert "Near 3" in shown
    assert found.body.sha256 in shown


def test_two_corrections_side_by_side_must_be_chosen_from_first(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    found = keep(desk, 1, shot())
    rivals = [entry(200 + n, replace(found.body, caption=f"{n}")) for n in (1, 2)]
    desk.surveys.add([replace(each, replaces=(found.id,), why="x") for each in rivals])

    answer = browser.get(f"{ONE}/{found.id}")

    assert answer.status_code == 409
    assert "stand side by side" in answer.text


# Copies


def copy(browser: TestClient, found: Entry[Photo], size: str) -> Image.Image:
    answer = browser.get(f"{ONE}/{found.id}/{size}")
    assert answer.headers["content-type"] == "image/jpeg"
    assert b"SERIAL-0417" not in answer.content
    opened = Image.open(io.BytesIO(answer.content))
    assert dict(opened.getexif()) == {}
    return opened


@pytest.mark.parametrize(("size", "width", "height"), [("thumb", 360, 270), ("screen", 1600, 1200), ("whole", 1600, 1200)])  # fmt: skip
def test_a_copy_is_reduced_upright_and_bare_and_may_be_kept_for_ever(
    browser: TestClient, desk: Desk, size: str, width: int, height: int
) -> None:
    found = keep(desk, 1, shot(size=(1500, 2000), orientation=6))

    made = copy(browser, found, size)

    assert made.size == (width, height)
    again = browser.get(f"{ONE}/{found.id}/{size}")
    assert again.headers["cache-control"] == "private, max-age=31536000, immutable"


def test_copies_show_what_was_cropped_and_the_whole_does_not(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    found = keep(desk, 1, shot(size=(2000, 1500)), crop=Crop(left=0, top=0, right=0.3, bottom=1))

    assert copy(browser, found, "screen").size == (600, 1500)
    assert copy(browser, found, "thumb").size == (144, 360)
    assert copy(browser, found, "whole").size == (1600, 1200)


def test_a_correction_of_the_crop_is_another_copy(browser: TestClient, desk: Desk) -> None:
    found = keep(desk, 1, shot(size=(2000, 1500)))
    narrow = replace(found.body, crop=Crop(left=0, top=0, right=0.3, bottom=1))
    later = replace(entry(201, narrow), replaces=(found.id,), why="closer")
    desk.surveys.add([later])

    assert copy(browser, found, "screen").size == (1600, 1200)
    assert copy(browser, later, "screen").size == (600, 1500)


@pytest.mark.parametrize("content", [None, shot()[:3000]], ids=["not here", "damaged"])
def test_what_cannot_be_shown_has_a_placeholder_that_is_asked_for_again(
    browser: TestClient, desk: Desk, content: bytes | None
) -> None:
    found = keep(desk, 1, content or shot())
    if content is None:
        (desk.folder / "originals" / found.body.sha256[:2] / found.body.sha256).unlink()

    answer = browser.get(f"{ONE}/{found.id}/thumb")

    assert Image.open(io.BytesIO(answer.content)).size == (360, 270)
    assert answer.headers["cache-control"] == "no-store"


def test_the_original_comes_byte_for_byte_as_a_file_to_save(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    original = shot()
    found = keep(desk, 1, original, file='IMG "1".jpg')

    answer = browser.get(f"{ONE}/{found.id}/original")

    assert answer.content == original
    assert answer.headers["content-disposition"] == "attachment; filename*=UTF-8''IMG%20%221%22.jpg"


def test_only_photographs_of_the_survey_are_shown(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET)])

    for each in (entry(1, QUILLET).id, "nothing"):
        assert browser.get(f"{ONE}/{each}/thumb").status_code == 404
        assert browser.get(f"{ONE}/{each}").status_code == 404


def test_nobody_sees_a_photograph_without_signing_in(stranger: TestClient, desk: Desk) -> None:
    found = keep(desk, 1, shot())

    for size in ("thumb", "screen", "original"):
        assert stranger.get(f"{ONE}/{found.id}/{size}").headers["location"].startswith("/sign-in")
