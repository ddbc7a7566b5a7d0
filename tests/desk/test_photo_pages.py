"""Photographs sorted by the clock, captioned in a row, cropped and marked, and looked at large before issue."""

import io
import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from html import unescape
from typing import Any
from urllib.parse import urlencode

import pytest
from cast import DAY, QUILLET, SURVEY, entry
from PIL import Image
from shots import sha256_of, shot
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.desk.pages.photo_check import CAPTIONED
from garboard.desk.pages.photo_sorting import offset_as_text, offset_in
from garboard.judgement.gaps_of_photographs import looked_at
from garboard.notebook.body import (
    Answer,
    Conditions,
    Crop,
    Examination,
    Finding,
    Instruction,
    Mark,
    Memo,
    Observation,
    Photo,
    Place,
    Remark,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

SHEET = f"/s/{SURVEY}/photographs"
ONE = f"/s/{SURVEY}/photo"
RUDDER, HATCH = Place(part="rudder-blade"), Place(part="hatch", number=2)


@pytest.fixture(autouse=True)
def begun(desk: Desk) -> None:
    """A survey of an hour: the rudder blade at 10 minutes, the second hatch at 20."""
    desk.surveys.add(
        [
            entry(1, QUILLET),
            entry(2, Instruction(client="Tamsin Orrowby", purpose="buy")),
            entry(3, Conditions(lying="ashore", began=DAY)),
            entry(4, Examination(place=RUDDER, extent="whole", found="Dry, no play."), at=DAY + timedelta(minutes=10)),
            entry(5, Examination(place=HATCH, extent="whole"), at=DAY + timedelta(minutes=20)),
        ]
    )  # fmt: skip


def keep(desk: Desk, number: int, minutes: float | None = 0, camera: str = "Near", **fields: Any) -> Entry[Photo]:  # fmt: skip
    """A photograph taken so many minutes into the survey."""
    original = shot(number, camera=camera)
    desk.blobs.put([original])
    photo = Photo(
        number=number,
        file=f"{number}.jpg",
        sha256=sha256_of(original),
        media_type="image/jpeg",
        caption="",
        taken=None if minutes is None else DAY + timedelta(minutes=minutes),
        printed=False,
    )
    made = entry(100 + number, replace(photo, **fields))
    desk.surveys.add([made])
    return made


def held(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def photos(desk: Desk) -> dict[int, Photo]:
    return {photo.number: photo for photo in held(desk).bodies(Photo)}


def text(browser: TestClient, path: str) -> str:
    answer = browser.get(path)
    assert answer.status_code == 200, answer.text
    return unescape(answer.text)


# Sorting


def test_a_place_is_proposed_with_its_reason_and_another_to_choose(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    keep(desk, 1, 12)

    shown = text(browser, f"{SHEET}/sort")

    assert 'value="rudder-blade" checked' in shown
    assert "2 minutes after rudder blade was examined" in shown
    assert "8 minutes before deck hatch, 2, was examined" in shown
    assert "for 1 of them something was recorded" in shown


def test_one_without_a_place_offers_what_its_time_suggests_and_then_all_parts_nearest_first(
    browser: TestClient, desk: Desk
) -> None:
    photo = keep(desk, 1, minutes=18)

    shown = text(browser, f"{ONE}/{photo.id}")
    sent = {"one": photo.id, f"place.{photo.id}": "hatch 2", "back": "photo"}
    answer = browser.post(f"{SHEET}/sort", data=sent)

    assert 'value="hatch 2">' in shown
    assert "2 minutes before" in shown
    listed = shown[shown.index('<datalist id="parts">') :]
    assert listed.index('"deck hatch"') < listed.index('"rudder blade"')
    assert answer.headers["location"] == f"{ONE}/{photo.id}"
    assert "By the time it was taken" not in text(browser, answer.headers["location"])


def test_photographs_of_another_day_than_the_visit_are_doubted(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    visit = Conditions(lying="ashore", began=DAY + timedelta(days=1))
    desk.surveys.add([entry(90, visit, replaces=(3,))])
    found = keep(desk, 1, 12)

    shown = text(browser, f"{SHEET}/sort")

    assert "1 of them was taken on no day of the survey" in shown
    assert f'<a href="/s/{SURVEY}/photo/{found.id}">1</a> (12 May 2026)' in shown


def test_what_is_sorted_already_or_far_from_everything_is_not_proposed(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    keep(desk, 1, 12, place=HATCH)
    keep(desk, 2, 55)
    keep(desk, 3, None)

    shown = text(browser, f"{SHEET}/sort")

    assert 'type="radio"' not in shown
    assert "2 are left to be sorted by hand." in shown


@pytest.mark.parametrize(
    ("form", "placed"),
    [
        ({"one": "1"}, [RUDDER, None, None]),
        ({"photo": ["1", "3"]}, [RUDDER, None, HATCH]),
        ({"all": "yes"}, [RUDDER, RUDDER, HATCH]),
    ],
)
def test_proposals_are_accepted_singly_ticked_or_all(
    browser: TestClient, desk: Desk, form: dict[str, Any], placed: list[Place | None]
) -> None:
    by_number = {f"{n}": keep(desk, n, minutes).id for n, minutes in ((1, 9), (2, 11), (3, 21))}
    sent = {f"place.{by_number[n]}": place for n, place in (("1", "rudder-blade"), ("2", "rudder-blade"), ("3", "hatch 2"))}  # fmt: skip
    chosen = {name: [by_number[n] for n in value] if isinstance(value, list) else by_number.get(value, value) for name, value in form.items()}  # fmt: skip

    answer = browser.post(f"{SHEET}/sort", data={**sent, **chosen})

    assert answer.status_code == 303
    assert [photos(desk)[number].place for number in (1, 2, 3)] == placed


def test_an_old_page_does_not_take_the_place_that_was_given_since(
    browser: TestClient, desk: Desk
) -> None:
    one, two = keep(desk, 1, 9), keep(desk, 2, 11)
    sent = {f"place.{each.id}": "rudder-blade" for each in (one, two)}
    browser.post(f"{ONE}/{one.id}", data={"place.part": "hatch", "caption": "", "of": one.id})

    answer = browser.post(f"{SHEET}/sort", data={**sent, "all": "yes"})
    alone = browser.post(f"{SHEET}/sort", data={**sent, "one": one.id})

    assert answer.status_code == 303
    assert [photos(desk)[number].place for number in (1, 2)] == [Place(part="hatch"), RUDDER]
    assert "and left so: photograph 1 (" in unescape(browser.get(f"{SHEET}/sort").text)
    assert alone.status_code == 422
    assert "Sorted otherwise since this page was shown" in unescape(alone.text)


@pytest.mark.parametrize(("place", "words"), [("moon", "a place is not one of the boat's"), (None, "no photograph is ticked")])  # fmt: skip
def test_an_acceptance_that_makes_no_sense_is_said(
    browser: TestClient, desk: Desk, place: str | None, words: str
) -> None:
    found = keep(desk, 1, 9)
    sent = {f"place.{found.id}": place, "photo": found.id} if place else {}

    answer = browser.post(f"{SHEET}/sort", data=sent)

    assert answer.status_code == 422
    assert words in unescape(answer.text)
    assert photos(desk)[1].place is None


def test_a_clock_is_set_for_the_photographs_of_its_camera_alone(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    near, far = keep(desk, 1, -53, "Near"), keep(desk, 2, 20, "Far")
    text(browser, f"{ONE}/{near.id}")
    text(browser, f"{ONE}/{far.id}")

    browser.post(f"{SHEET}/clock", data={"camera": "Near", "offset": "1:03:00", "of": near.id})  # fmt: skip

    assert photos(desk)[1].taken == DAY + timedelta(minutes=10)
    assert photos(desk)[2].taken == far.body.taken
    assert held(desk).current(near.id)[0].why == "its camera's clock was wrong: 1:03:00 added"


def test_a_clock_is_not_set_twice_by_sending_the_page_twice(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    found = keep(desk, 1, -53)
    text(browser, f"{ONE}/{found.id}")
    sent = {"camera": "Near", "offset": "1:03:00", "of": found.id}

    browser.post(f"{SHEET}/clock", data=sent)
    again = browser.post(f"{SHEET}/clock", data=sent)

    assert again.status_code == 422
    assert "Ines Caldervane changed it" in unescape(again.text)
    assert 'value="1:03:00"' in again.text
    assert photos(desk)[1].taken == DAY + timedelta(minutes=10)


def test_a_clock_is_set_by_a_photograph_of_a_clock(browser: TestClient, desk: Desk) -> None:
    first, second = keep(desk, 1, -53), keep(desk, 2, -40)
    for each in (first, second):
        text(browser, f"{ONE}/{each.id}")

    answer = browser.post(f"{ONE}/{first.id}/clock", data={"shows": "2026-05-12T09:10:00"})

    assert answer.headers["location"] == f"{SHEET}/sort"
    assert photos(desk)[1].taken == DAY + timedelta(minutes=10)
    assert photos(desk)[2].taken == DAY + timedelta(minutes=23)


@pytest.mark.parametrize("page", ["", "/captions", "/sort", "one", "history"])
def test_every_page_tells_the_time_of_a_photograph_by_the_clock_that_it_names(
    browser: TestClient, desk: Desk, page: str
) -> None:
    # The camera goes by another zone than the desk, which is an hour ahead of universal time.
    found = keep(desk, 1, taken=DAY.astimezone(timezone(timedelta(hours=5))))
    paths = {"one": f"{ONE}/{found.id}", "history": f"/s/{SURVEY}/entry/{found.id}"}

    shown = text(browser, paths.get(page, f"{SHEET}{page}"))

    assert "10:00" in shown
    assert "14:00" not in shown


@pytest.mark.parametrize("page", ["", "/sort", "/captions", "/check"])
def test_every_page_of_the_photographs_is_marked_in_the_list_of_pages(
    browser: TestClient, desk: Desk, page: str
) -> None:
    keep(desk, 1, printed=True)

    shown = text(browser, f"{SHEET}{page}")

    assert f'<a href="{SHEET}" aria-current="page"><span>Photographs</span>' in shown


def test_what_the_camera_wrote_is_said_where_its_clock_was_set(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    right, wrong = keep(desk, 1, -19), keep(desk, 2, 44)

    pages = [text(browser, f"{ONE}/{each.id}") for each in (right, wrong)]

    # Both cameras wrote 09:41, and the first was right.
    assert "Its camera wrote" not in pages[0]
    assert pages[1].count("Its camera wrote") == 1
    assert "12 May 2026, 09:41:00" in pages[1]
    assert 'value="2026-05-12T10:44:00"' in pages[1]


def test_a_clock_in_a_picture_goes_by_the_time_of_the_visit(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    browser.post("/account/zone", data={"zone": "America/Lima"})
    found = keep(desk, 1, -53)

    shown = text(browser, f"{ONE}/{found.id}")
    browser.post(f"{ONE}/{found.id}/clock", data={"shows": "2026-05-12T09:10:00"})

    assert "it is taken for the time of the visit, UTC," in shown
    assert photos(desk)[1].taken == DAY + timedelta(minutes=10)


def test_a_clock_whose_time_nobody_touched_moves_nothing(browser: TestClient, desk: Desk) -> None:
    # In the second of the two hours that Paris calls 02:00 on that day.
    browser.post("/account/zone", data={"zone": "Europe/Paris"})
    taken = datetime(2025, 10, 26, 1, 30, 0, 250, tzinfo=UTC).astimezone(timezone(timedelta(hours=1)))  # fmt: skip
    found = keep(desk, 1, taken=taken)
    shown = re.search(r'name="shows"[^>]* value="([^"]+)"', browser.get(f"{ONE}/{found.id}").text)
    assert shown is not None

    browser.post(f"{ONE}/{found.id}/clock", data={"shows": shown[1]})

    assert held(desk).current(found.id) == (found,)


@pytest.mark.parametrize(("shows", "words"), [("", "what the clock shows is missing"), ("noon", '"noon" is no time of a day')])  # fmt: skip
def test_what_no_clock_shows_is_refused(browser: TestClient, desk: Desk, shows: str, words: str) -> None:  # fmt: skip
    found = keep(desk, 1)

    answer = browser.post(f"{ONE}/{found.id}/clock", data={"shows": shows})

    assert answer.status_code == 422
    assert words in unescape(answer.text)


def test_a_clock_that_lay_in_the_future_is_set_by_what_its_file_says(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    found = keep(desk, 1, None)
    text(browser, f"{ONE}/{found.id}")

    browser.post(f"{ONE}/{found.id}/clock", data={"shows": "2026-05-12T08:00:00"})

    # The zone is that of the visit.
    assert photos(desk)[1].taken == DAY - timedelta(hours=1)


def test_how_sure_a_found_offset_is_is_said(browser: TestClient, desk: Desk) -> None:
    for number, minutes in ((1, -53), (2, -43), (3, -42.5)):
        text(browser, f"{ONE}/{keep(desk, number, minutes).id}")

    shown = text(browser, f"{SHEET}/sort?find=1")

    assert "They fit best with <b>1:03:" in shown or "They fit best with <b>1:02:" in shown
    assert "3 of 3 then lie within two minutes" in shown


@pytest.mark.parametrize("text_", ["", "soon", "1:2:3:4", "1h"])
def test_an_offset_that_is_none_is_refused(browser: TestClient, desk: Desk, text_: str) -> None:
    keep(desk, 1)

    answer = browser.post(f"{SHEET}/clock", data={"camera": "", "offset": text_})

    assert answer.status_code == 422
    assert "the offset is not a time" in unescape(answer.text)


@pytest.mark.parametrize("text_", ["1:03:15", "-0:02:30", "26:00:00", "0:00:00"])
def test_an_offset_is_read_as_it_is_written(text_: str) -> None:
    offset = offset_in(text_)

    assert offset is not None
    assert offset_as_text(offset) == text_


# Captions


def test_captions_are_typed_in_a_row(browser: TestClient, desk: Desk) -> None:
    keep(desk, 1, caption="Bow")
    without = keep(desk, 2, place=HATCH)

    shown = text(browser, f"{SHEET}/captions")

    assert "1 of 2 has no caption" in shown
    assert f'name="caption.{without.id}"' in shown
    assert "hatch, 2" in shown
    assert "Bow" not in shown
    assert "Bow" in text(browser, f"{SHEET}/captions?show=all")


def test_one_line_is_kept_and_gone_on_with(browser: TestClient, desk: Desk) -> None:
    found = keep(desk, 1)

    first = browser.post(f"{SHEET}/caption", data={f"caption.{found.id}": " Keel  joint, open "}).json()  # fmt: skip
    second = browser.post(f"{SHEET}/caption", data={f"caption.{first['entry']}": "", f"printed.{first['entry']}": "yes"}).json()  # fmt: skip

    assert first["captionless"] == "Every photograph has its caption."
    assert second["captionless"] == "1 of 1 has no caption."
    assert held(desk).by_id[first["entry"]].body.caption == "Keel joint, open"
    assert (photos(desk)[1].caption, photos(desk)[1].printed) == ("", True)
    assert held(desk).of(Photo)[0].id == second["entry"]


def test_without_scripts_all_lines_are_kept_at_once(browser: TestClient, desk: Desk) -> None:
    one, two = keep(desk, 1), keep(desk, 2, printed=True)

    answer = browser.post(f"{SHEET}/captions", data={f"caption.{one.id}": "Bow", f"caption.{two.id}": "Stern", f"printed.{two.id}": "yes"})  # fmt: skip

    assert answer.headers["location"] == f"{SHEET}/captions"
    assert [photos(desk)[n].caption for n in (1, 2)] == ["Bow", "Stern"]
    assert [photos(desk)[n].printed for n in (1, 2)] == [False, True]


def test_a_caption_typed_over_one_that_another_wrote_is_refused_and_stays(
    browser: TestClient, desk: Desk
) -> None:
    found = keep(desk, 1)
    theirs = browser.post(f"{SHEET}/caption", data={f"caption.{found.id}": "Theirs"}).json()

    refused = browser.post(f"{SHEET}/caption", data={f"caption.{found.id}": "Mine"})
    unchanged = photos(desk)[1].caption
    browser.post(f"{SHEET}/caption", data={f"caption.{refused.json()['entry']}": "Mine"})

    assert refused.status_code == 422
    assert "Ines Caldervane changed it at" in refused.json()["problems"][0]
    assert refused.json()["entry"] == theirs["entry"]
    assert unchanged == "Theirs"
    assert photos(desk)[1].caption == "Mine"


def test_captions_sent_together_are_kept_together_or_come_back_as_typed(
    browser: TestClient, desk: Desk
) -> None:
    one, two = keep(desk, 1), keep(desk, 2)
    browser.post(f"{SHEET}/caption", data={f"caption.{one.id}": "Theirs"})

    refused = browser.post(f"{SHEET}/captions", data={f"caption.{one.id}": "Mine", f"caption.{two.id}": "Stern"})  # fmt: skip

    assert refused.status_code == 422
    assert "changed it at" in refused.text
    assert 'value="Mine"' in refused.text
    assert 'value="Stern"' in refused.text
    assert [photos(desk)[n].caption for n in (1, 2)] == ["Theirs", ""]


def test_a_caption_is_typed_while_another_sorts(browser: TestClient, desk: Desk) -> None:
    found = keep(desk, 1)
    desk.surveys.add([entry(200, replace(found.body, place=HATCH), replaces=(101,))])

    browser.post(f"{SHEET}/caption", data={f"caption.{found.id}": "Hatch, open"})

    assert (photos(desk)[1].caption, photos(desk)[1].place) == ("Hatch, open", HATCH)


def test_a_page_left_open_long_takes_back_nothing_that_was_typed_since(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    one, two = keep(desk, 1), keep(desk, 2)
    browser.post(f"{SHEET}/caption", data={f"caption.{one.id}": "Typed since"})

    browser.post(f"{SHEET}/captions", data={f"caption.{one.id}": "", f"caption.{two.id}": "Stern"})

    assert [photos(desk)[n].caption for n in (1, 2)] == ["Typed since", "Stern"]


# Crop and marks

EDIT = {"crop.left": "0.1", "crop.top": "0", "crop.right": "0,9", "crop.bottom": "1", "marks.0.sort": "arrow", "marks.0.from_x": "0.2", "marks.0.from_y": "0.2", "marks.0.to_x": "0.5", "marks.0.to_y": "0.5", "marks.1.sort": ""}  # fmt: skip
ARROW = Mark(sort="arrow", from_x=0.2, from_y=0.2, to_x=0.5, to_y=0.5)


def test_a_photograph_is_cropped_and_marked_as_data(browser: TestClient, desk: Desk) -> None:
    found = keep(desk, 1, caption="Keel", place=HATCH)

    answer = browser.post(f"{ONE}/{found.id}/edit", data={**EDIT, "of": found.id})

    assert answer.status_code == 303
    photo = photos(desk)[1]
    assert photo == replace(found.body, crop=Crop(left=0.1, top=0, right=0.9, bottom=1), marks=(ARROW,))  # fmt: skip
    assert held(desk).of(Photo)[0].why == "copies cropped, marked with an arrow"
    assert 'value="0.9"' in text(browser, f"{ONE}/{held(desk).of(Photo)[0].id}/edit")


def test_marks_drawn_on_an_old_page_do_not_take_the_place_of_newer_ones(
    browser: TestClient, desk: Desk
) -> None:
    found = keep(desk, 1)
    theirs = replace(found.body, marks=(replace(ARROW, to_x=0.9),))
    desk.surveys.add([entry(200, theirs, replaces=(101,))])

    refused = browser.post(f"{ONE}/{found.id}/edit", data={**EDIT, "of": found.id})

    assert refused.status_code == 422
    assert "changed it at" in refused.text
    assert 'value="0.1"' in refused.text
    assert photos(desk)[1] == theirs


def test_what_was_cropped_and_marked_can_be_taken_back(browser: TestClient, desk: Desk) -> None:
    found = keep(desk, 1, crop=Crop(left=0, top=0, right=0.5, bottom=1), marks=(ARROW,))

    browser.post(
        f"{ONE}/{found.id}/edit", data={"crop.left": "", "marks.0.sort": "", "of": found.id}
    )

    assert (photos(desk)[1].crop, photos(desk)[1].marks) == (None, ())


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"crop.left": "2"}, "2 cannot be"),
        ({"crop.right": ""}, "It is missing"),
        ({"crop.right": "0.1"}, "less than a fiftieth of the picture would be left"),
        ({"marks.0.to_x": "far"}, '"far" is not a number'),
        ({"marks.0.to_x": "0.2", "marks.0.to_y": "0.2"}, "the arrow begins and ends at one point"),
    ],
)
def test_an_edit_that_makes_no_sense_is_said_and_nothing_kept(
    browser: TestClient, desk: Desk, wrong: dict[str, str], words: str
) -> None:
    found = keep(desk, 1)

    answer = browser.post(f"{ONE}/{found.id}/edit", data={**EDIT, **wrong, "of": found.id})

    assert answer.status_code == 422
    assert words in unescape(answer.text)
    assert photos(desk)[1] == found.body


def test_a_preview_shows_the_copy_and_keeps_nothing(browser: TestClient, desk: Desk) -> None:
    found = keep(desk, 1)
    asked = urlencode({name: value for name, value in EDIT.items() if value})

    page = browser.post(f"{ONE}/{found.id}/edit", data={**EDIT, "act": "preview", "of": found.id})
    picture = browser.get(f"{ONE}/{found.id}/preview?{asked}")

    assert f"{ONE}/{found.id}/preview?crop.left=0.1" in unescape(page.text)
    assert Image.open(io.BytesIO(picture.content)).size == (512, 480)
    assert picture.headers["cache-control"] == "no-store"
    assert photos(desk)[1] == found.body


@pytest.mark.parametrize(("asked", "words"), [("crop.left=0.5", "It is missing."), ("crop.left=0.5&crop.top=0&crop.right=0.2&crop.bottom=1", "leaves nothing")])  # fmt: skip
def test_a_preview_that_cannot_be_says_why(browser: TestClient, desk: Desk, asked: str, words: str) -> None:  # fmt: skip
    found = keep(desk, 1)

    answer = browser.get(f"{ONE}/{found.id}/preview?{asked}")

    assert answer.status_code == 422
    assert words in answer.text


# The last look


def test_the_walk_begins_with_the_first_printed_photograph_and_the_text_of_its_part(
    browser: TestClient, desk: Desk
) -> None:
    keep(desk, 1, place=RUDDER)
    keep(desk, 2, place=RUDDER, printed=True, caption="Blade, port")
    seen = Observation(place=RUDDER, seen="a brown weep")
    finding = Finding(name="rudder", title="Rudder wet", seen="It weeps.", why="x", urgency="for information", because="y", how_known=("seen",), places=(RUDDER,))  # fmt: skip
    elsewhere = Observation(place=HATCH, seen="crazed")
    desk.surveys.add([entry(30, seen), entry(31, finding), entry(32, elsewhere), entry(33, Remark(text="private"))])  # fmt: skip

    shown = text(browser, f"{SHEET}/check")

    assert "1 of 1 printed; 1 still to be looked at" in shown
    for words in ("Blade, port", "Rudder wet", "a brown weep", "Dry, no play."):
        assert words in shown
    assert "crazed" not in shown
    assert "private" not in shown


def test_a_yes_is_kept_as_an_entry_and_the_next_photograph_comes(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    first, second = keep(desk, 1, printed=True, place=RUDDER), keep(desk, 2, printed=True)

    answer = browser.post(f"{SHEET}/check", data={"photo": first.id, "act": "yes"})

    assert answer.headers["location"] == f"{SHEET}/check"
    assert [each.gap for each in held(desk).bodies(Answer)] == [looked_at(first.body)]
    assert f"/photo/{second.id}/screen" in text(browser, f"{SHEET}/check")
    assert "You said yes." in text(browser, f"{SHEET}/check?photo={first.id}")


def test_what_is_missing_is_added_where_the_photograph_was_taken(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    place = Place(part="hatch", number=2, station_m=3.2, words="hinge")
    found = keep(desk, 1, printed=True, place=place)

    answer = browser.post(f"{SHEET}/check", data={"photo": found.id, "act": "observe", "seen": "two cracks", "defect": "yes", "place.words": "forward edge"})  # fmt: skip

    assert answer.headers["location"] == f"{SHEET}/check?photo={found.id}"
    (seen,) = held(desk).bodies(Observation)
    assert seen == Observation(place=replace(place, words="forward edge"), seen="two cracks", defect=True)  # fmt: skip
    assert "two cracks" in text(browser, f"{SHEET}/check?photo={found.id}")


def test_an_observation_without_words_is_refused_beside_its_field(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    found = keep(desk, 1, printed=True, place=HATCH)

    answer = browser.post(f"{SHEET}/check", data={"photo": found.id, "act": "observe", "seen": ""})

    assert answer.status_code == 422
    assert "It is missing." in answer.text


def test_a_photograph_that_proves_nothing_is_not_printed(browser: TestClient, desk: Desk) -> None:
    found = keep(desk, 1, printed=True)

    browser.post(f"{SHEET}/check", data={"photo": found.id, "act": "keep back"})

    assert not photos(desk)[1].printed
    assert "No photograph is printed yet." in text(browser, f"{SHEET}/check")


@pytest.mark.parametrize("place", [None, HATCH])
def test_nothing_is_said_to_be_in_a_text_that_is_empty(
    browser: TestClient, desk: Desk, place: Place | None
) -> None:
    found = keep(desk, 1, printed=True, place=place)
    before = text(browser, f"{SHEET}/check")

    answer = browser.post(f"{SHEET}/check", data={"photo": found.id, "act": "yes"})

    assert "Yes, everything" not in before
    assert answer.status_code == 422
    assert "nothing is written of it yet: it has no caption" in answer.text
    assert held(desk).bodies(Answer) == ()


def test_where_only_the_caption_speaks_the_answer_says_so(browser: TestClient, desk: Desk) -> None:
    found = keep(desk, 1, printed=True, place=HATCH, caption="Hatch from outside")
    before = text(browser, f"{SHEET}/check")

    browser.post(f"{SHEET}/check", data={"photo": found.id, "act": "yes"})

    assert "Yes, the caption says everything" in before
    assert [each.words for each in held(desk).bodies(Answer)] == [CAPTIONED]


def test_the_end_of_the_walk_is_said(browser: TestClient, desk: Desk) -> None:
    found = keep(desk, 1, printed=True, place=RUDDER)

    browser.post(f"{SHEET}/check", data={"photo": found.id, "act": "yes"})

    assert "Every printed photograph, 1 in all, was looked at large" in text(
        browser, f"{SHEET}/check"
    )


def test_what_was_spoken_of_a_photograph_stands_beside_it(browser: TestClient, desk: Desk) -> None:
    kept = keep(desk, 7)
    heard = Memo(file="memo-b.webm", sha256="0" * 64, seconds=3.0, photo="7.jpg")
    written = replace(heard, file="memo-a.webm", words="Weeping at the after edge.")
    desk.surveys.add([entry(300, written), entry(301, heard)])

    page = unescape(browser.get(f"{ONE}/{kept.id}").text)

    assert "Spoken of it: “Weeping at the after edge.”" in page
    assert "memo-b.webm</a>, not written down yet" in page
