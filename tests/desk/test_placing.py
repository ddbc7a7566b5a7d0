"""Placing on the hull: by pointing, by numbers, along a grid; every act an entry, undone by taking it back."""

import re
from collections.abc import Sequence
from dataclasses import replace
from html import unescape
from urllib.parse import parse_qs, urlsplit

import pytest
from cast import QUILLET, SURVEY, entry, entry_id
from httpx2 import Response
from starlette.testclient import TestClient

from garboard.boat.hull import hull_of
from garboard.desk.context import Desk
from garboard.drawings.panels import Look, panel_for
from garboard.notebook.body import Instruction, Place, Reading, ReadingSet, Sounding
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

PLACING = f"/s/{SURVEY}/placing"
SLOOP = hull_of(QUILLET)
DULL = {"place.part": "bottom-laminate", "heard": "dull"}
FIRST = Reading(
    place=Place(part="bottom-laminate", side="port", station_m=4.0, level_m=-0.2), as_read="12"
)
HULL = ReadingSet(name="port bottom", quantity="moisture", unit="scale", instrument="meter", readings=(FIRST,))  # fmt: skip
SET = entry_id(9)
GRID = {
    "place.part": "bottom-laminate",
    "walking": "yes",
    "from": "4",
    "to": "5",
    "step": "0.5",
    "level_from": "-0.2",
    "level_to": "-0.4",
    "level_step": "0.2",
}


@pytest.fixture(autouse=True)
def survey(desk: Desk) -> None:
    desk.surveys.add([entry(2, QUILLET), entry(9, HULL)])


def held(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def struck(desk: Desk) -> list[tuple[str, float | None, float | None, str | None]]:
    """What the hammer said, where, in the order of stations and levels."""
    found = [
        (each.heard, each.place.station_m, each.place.level_m, each.place.side)
        for each in held(desk).bodies(Sounding)
    ]
    return sorted(found, key=lambda each: (each[1] or 0, -(each[2] or 0)))


def the_set(desk: Desk) -> Entry[ReadingSet]:
    (found,) = held(desk).of(ReadingSet)
    return found


def send(browser: TestClient, *forms: dict[str, str], act: str = "keep") -> Response:
    """Send a form, and follow to the page it leads to."""
    data = {"act": act}
    for each in forms:
        data |= each
    return browser.post(PLACING, data=data, follow_redirects=True)


def state(answer: Response) -> dict[str, str]:
    return {name: found[0] for name, found in parse_qs(urlsplit(str(answer.url)).query).items()}


def point(look: Look, station_m: float, up_m: float) -> dict[str, str]:
    """A point of the sheet, as a browser sends it."""
    x, y = panel_for(SLOOP, look).frame.at(station_m, up_m)
    return {"look": look, "x": f"{x:.2f}", "y": f"{y:.2f}"}


def words(answer: Response) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer.text)))


def at(found: Sequence[Place]) -> list[tuple[float | None, float | None]]:
    return [(each.station_m, each.level_m) for each in found]


def test_a_point_on_the_drawing_becomes_a_sounding_there(browser: TestClient, desk: Desk) -> None:
    answer = send(browser, DULL, point("starboard-shell", 5.0, -0.4))

    assert struck(desk) == [("dull", 5.0, -0.4, "starboard")]
    assert "Kept. Dull, bottom laminate, starboard, 5.00 m aft of the stem" in words(answer)


def test_a_point_on_the_keel_is_taken_on_the_centreline_where_that_is_chosen(
    browser: TestClient, desk: Desk
) -> None:
    send(browser, DULL, {"place.side": "centre"}, point("port-profile", 4.6, -1.2))

    ((_, station, level, side),) = struck(desk)
    assert (station, side) == (4.6, "centre")
    assert level == pytest.approx(-1.25, abs=0.02)


def test_on_deck_the_side_follows_from_the_point(browser: TestClient, desk: Desk) -> None:
    send(browser, {**DULL, "place.part": "deck-structure"}, point("deck", 5.0, 0.8))

    assert struck(desk)[0][3] == "port"


def test_a_point_beside_the_boat_is_refused_in_words(browser: TestClient, desk: Desk) -> None:
    answer = send(browser, DULL, {"look": "port-shell", "x": "1", "y": "1"})

    assert answer.status_code == 422
    assert "Drawing: there is no skin under that point" in words(answer)
    assert struck(desk) == []


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"heard": "dull"}, "Part: it is not chosen"),
        ({"place.part": "bottom-laminate"}, "What it says: It is missing"),
        ({"place.part": "bottom-laminat", "heard": "dull"}, "Did you mean"),
    ],
)
def test_what_is_not_chosen_is_asked_for(
    browser: TestClient, desk: Desk, form: dict[str, str], said: str
) -> None:
    answer = send(browser, form, point("port-shell", 5.0, -0.4))

    assert answer.status_code == 422
    assert said in words(answer)
    assert struck(desk) == []


def test_a_sounding_is_placed_by_numbers(browser: TestClient, desk: Desk) -> None:
    send(browser, DULL, {"look": "port-shell", "place.station_m": "5,2", "place.level_m": "-0,3"})

    assert struck(desk) == [("dull", 5.2, -0.3, "port")]


def test_numbers_on_deck_need_a_side(browser: TestClient, desk: Desk) -> None:
    deck = {**DULL, "place.part": "deck-structure"}
    place = {"look": "deck", "place.station_m": "5", "place.level_m": "2"}

    asked = send(browser, deck, place)
    send(browser, deck, place, {"place.side": "starboard"})

    assert "Side: it is not chosen" in words(asked)
    assert struck(desk) == [("dull", 5.0, 2.0, "starboard")]


@pytest.mark.parametrize(
    ("place", "field", "said"),
    [
        ({"place.station_m": "12.4", "place.level_m": "-0.3"}, "place.station_m", "12.40 m aft of the stem is not on the boat: her hull is 10.20 m long"),
        ({"place.station_m": "-2"}, "place.station_m", "2.00 m before the stem is not on the boat"),
        ({"place.station_m": "5", "place.level_m": "-4"}, "place.level_m", "4.00 m below the boot-top is off the hull, which at 5.00 m aft of the stem goes from 2.9 m below to 1.0 m above the boot-top"),
        ({"place.station_m": "5", "place.level_m": "2"}, "place.level_m", "2.00 m above the boot-top is off the hull"),
    ],
)  # fmt: skip
def test_numbers_off_the_boat_are_refused_beside_their_field(
    browser: TestClient, desk: Desk, place: dict[str, str], field: str, said: str
) -> None:
    answer = send(browser, DULL, place)

    assert answer.status_code == 422
    beside = re.search(rf'id="{field}-about">(.*?)</p>', answer.text)
    assert beside
    assert said in unescape(beside[1])
    assert f'aria-describedby="{field}-about"' in answer.text
    assert struck(desk) == []


def test_a_place_a_hand_beside_the_drawn_lines_is_kept(browser: TestClient, desk: Desk) -> None:
    send(browser, DULL, {"place.station_m": "10.4", "place.level_m": "0.2"})
    send(browser, DULL, {"place.part": "coachroof", "place.station_m": "5", "place.level_m": "2.4"})

    assert len(struck(desk)) == 2


def test_what_the_notebook_refuses_is_told_by_its_place_in_the_row(
    browser: TestClient, desk: Desk
) -> None:
    answer = send(browser, GRID, {"of": SET, "typed": "15 - 9999"})

    assert answer.status_code == 422
    assert "Value 3: 9999 scale cannot be" in words(answer)
    assert not re.search(r"[0-9a-f]{8}-[0-9a-f]{4}[^<]*cannot be", answer.text)


def test_the_parts_of_the_hull_are_offered_first_by_their_names(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(3, Instruction(client="Tamsin Orrowby", purpose="buy"))])

    hull, deck = (
        re.findall(r'<optgroup label="(.*?)"><option value="(.*?)".*?>(.*?)<', browser.get(PLACING, params={"look": each}).text)
        for each in ("port-shell", "deck")
    )  # fmt: skip

    assert hull[0] == ("The hull", "topside-fairness", "Fairness of the topsides")
    assert [each[0] for each in hull] == [
        "The hull",
        "Elsewhere on the boat",
        "Not on her schedule",
    ]
    assert deck[0][0] == "The deck"


def test_what_nobody_points_at_on_a_drawing_is_not_offered_unless_it_was_chosen(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(3, Instruction(client="Tamsin Orrowby", purpose="buy"))])

    offered = re.findall(r'<option value="([a-z-]+)"', browser.get(PLACING).text)
    chosen = browser.get(PLACING, params={"place.part": "upholstery"}).text

    assert {"bottom-laminate", "skin-fitting", "bulkhead", "mast-step"}.issubset(offered)
    assert {"upholstery", "sail", "rig-age", "lead-acid-battery", "engine-identity"}.isdisjoint(
        offered
    )
    assert 'value="upholstery" selected' in chosen


def test_a_part_is_also_known_by_its_name(browser: TestClient, desk: Desk) -> None:
    send(browser, {**DULL, "place.part": "Bottom laminate"}, point("port-shell", 5.0, -0.4))

    assert held(desk).bodies(Sounding)[0].place.part == "bottom-laminate"


def test_where_a_point_is_refused_what_was_kept_before_is_not_said_once_more(
    browser: TestClient,
) -> None:
    kept = send(browser, DULL, point("port-shell", 5.0, -0.4))

    refused = send(browser, state(kept), {"heard": "dull", "x": "0", "y": "0"})

    assert refused.status_code == 422
    assert "there is no skin under that point" in words(refused)
    assert "Kept." not in words(refused)


def test_what_was_placed_is_undone_by_taking_it_back(browser: TestClient, desk: Desk) -> None:
    kept = send(browser, DULL, point("port-shell", 5.0, -0.4))

    send(browser, state(kept), act="undo")

    assert struck(desk) == []
    assert [each.by.why for each in held(desk).withdrawn] == ["It was placed by mistake"]


def test_an_older_one_is_taken_back_from_the_list(browser: TestClient, desk: Desk) -> None:
    send(browser, DULL, point("port-shell", 5.0, -0.4))
    send(browser, DULL, point("port-shell", 6.0, -0.4))
    older = held(desk).of(Sounding)[0]

    send(browser, DULL, {"undo": older.id})

    assert [each[1] for each in struck(desk)] == [6.0]


def test_a_reading_waits_at_its_point_for_its_value(browser: TestClient, desk: Desk) -> None:
    part = {"of": SET, "place.part": "bottom-laminate"}

    waits = send(browser, part, point("port-shell", 5.0, -0.4))
    send(browser, state(waits), {"as_read": "16,5"})

    assert the_set(desk).id != SET
    assert (state(waits)["place.station_m"], state(waits)["place.level_m"]) == ("5", "-0.4")
    assert the_set(desk).body.readings[0] == FIRST
    added = the_set(desk).body.readings[1]
    assert (added.as_read, added.place) == ("16.5", Place(part="bottom-laminate", side="port", station_m=5.0, level_m=-0.4))  # fmt: skip


def test_a_value_typed_first_is_kept_at_the_point(browser: TestClient, desk: Desk) -> None:
    form = {"of": SET, "place.part": "topside-laminate", "as_read": "12", "reference": "yes"}

    send(browser, form, point("port-shell", 5.0, 0.6))

    assert the_set(desk).body.readings[-1].reference
    assert the_set(desk).why == "12 read at topside laminate, port, 5.00 m aft of the stem, 0.60 m above the boot-top"  # fmt: skip


def test_undoing_a_reading_brings_back_the_set_as_it_was(browser: TestClient, desk: Desk) -> None:
    part = {"of": SET, "place.part": "bottom-laminate", "as_read": "16"}
    once = send(browser, part, point("port-shell", 5.0, -0.4))
    twice = send(browser, state(once), part, point("port-shell", 6.0, -0.4))

    send(browser, state(twice), act="undo")
    after_one = at([each.place for each in the_set(desk).body.readings])
    undone = send(browser, state(once), act="undo")

    assert "the set is again as it was before, with 1 reading." in words(undone)
    assert after_one == [(4.0, -0.2), (5.0, -0.4)]
    assert the_set(desk).body == HULL


def test_undoing_a_reading_says_within_the_part_that_is_put_in_what_stands_again(
    browser: TestClient, desk: Desk
) -> None:
    part = {"of": SET, "place.part": "bottom-laminate", "as_read": "16"}
    kept = send(browser, part, point("port-shell", 5.0, -0.4))

    undone = browser.post(
        PLACING,
        data={**state(kept), "act": "undo"},
        headers={"hx-request": "true"},
        follow_redirects=True,
    )

    foot = undone.text[undone.text.index('<div id="said"') :]
    assert "Undone: the set is again as it was before, with 1 reading." in foot


def test_a_sounding_that_was_corrected_is_taken_back_with_what_it_said_before(
    browser: TestClient, desk: Desk
) -> None:
    send(browser, DULL, point("port-shell", 5.0, -0.4))
    (placed,) = held(desk).of(Sounding)
    hollow = replace(placed, id=entry_id(90), body=replace(placed.body, heard="hollow"), replaces=(placed.id,), why="heard again")  # fmt: skip
    desk.surveys.add([hollow])

    send(browser, {"undo": hollow.id})

    assert struck(desk) == []


def test_a_value_no_meter_shows_is_refused_and_stays_in_its_field(
    browser: TestClient, desk: Desk
) -> None:
    form = {"of": SET, "place.part": "bottom-laminate", "as_read": "9999"}

    answer = send(browser, form, point("port-shell", 5.0, -0.4))

    assert answer.status_code == 422
    assert "Reading: 9999 scale cannot be" in words(answer)
    assert 'value="9999"' in answer.text
    assert the_set(desk).id == SET


def test_a_grid_is_walked_from_its_first_free_place(browser: TestClient, desk: Desk) -> None:
    page = browser.get(PLACING, params={**GRID, "of": SET})

    assert "Place 2 of 6: station 4.00 m, level −0.40 m, port" in words(page)
    assert "1 are filled" in words(page)


def test_a_row_of_letters_is_laid_along_the_grid(browser: TestClient, desk: Desk) -> None:
    answer = send(browser, GRID, {"typed": "s s-D h"})

    assert struck(desk) == [
        ("sound", 4.0, -0.2, "port"),
        ("sound", 4.0, -0.4, "port"),
        ("dull", 4.5, -0.4, "port"),
        ("hollow", 5.0, -0.2, "port"),
    ]
    assert "Place 6 of 6" in words(answer)


def test_a_row_of_numbers_is_one_correction_of_the_set(browser: TestClient, desk: Desk) -> None:
    send(browser, GRID, {"of": SET, "typed": "15 - 16,5"})

    kept = the_set(desk)
    assert kept.replaces == (SET,)
    assert [(e.as_read, e.place.station_m, e.place.level_m) for e in kept.body.readings[1:]] == [
        ("15", 4.0, -0.4),
        ("16.5", 4.5, -0.4),
    ]


def test_a_row_is_undone_whole(browser: TestClient, desk: Desk) -> None:
    kept = send(browser, GRID, {"typed": "ssss"})

    again = send(browser, GRID, state(kept), act="undo")

    assert struck(desk) == []
    assert "Place 1 of 6" in words(again)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("ssx", 'Letter 3: "x" says nothing'),
        ("", "nothing was typed"),
        ("sssssss", "7 were typed and 6 places are left"),
    ],
)
def test_a_row_with_a_fault_is_refused_whole(
    browser: TestClient, desk: Desk, typed: str, said: str
) -> None:
    answer = send(browser, GRID, {"typed": typed})

    assert answer.status_code == 422
    assert said in words(answer)
    assert struck(desk) == []
    assert f'value="{typed}"' in answer.text


def test_a_place_is_passed_over_and_gone_back_to(browser: TestClient) -> None:
    on = send(browser, GRID, {"cell": "0"}, act="pass")
    back = send(browser, GRID, {"cell": "1"}, act="back")

    assert "Place 2 of 6" in words(on)
    assert "Place 1 of 6" in words(back)


def test_at_its_end_the_grid_says_so(browser: TestClient) -> None:
    page = browser.get(PLACING, params={**GRID, "cell": "6"})

    assert "The grid is walked to its end. 0 of 6 places are filled." in words(page)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"from": ""}, "Stations: where they begin is missing"),
        ({"step": "0"}, "Give a step above zero"),
        ({"from": "40", "to": "50"}, "none of it lies on the hull"),
        ({"place.part": ""}, "Part: it is not chosen"),
        ({"look": "deck"}, "Side: it is not chosen"),
    ],
)
def test_a_grid_that_leads_nowhere_is_said_so(
    browser: TestClient, changes: dict[str, str], said: str
) -> None:
    answer = send(browser, {**GRID, **changes}, act="walk")

    assert answer.status_code == 422
    assert said in words(answer)


def test_a_line_of_stations_needs_no_last_level(browser: TestClient) -> None:
    page = browser.get(PLACING, params={**GRID, "level_to": "", "level_step": ""})

    assert "Place 1 of 3" in words(page)


def test_the_map_shows_the_reference_and_the_areas_as_they_grow(
    browser: TestClient, desk: Desk
) -> None:
    dry = [{"of": SET, "place.part": "topside-laminate", "as_read": "12", "reference": "yes"}]
    for each in range(9):
        send(browser, *dry, point("port-shell", 2 + each / 2, 0.6))

    wet = {"of": SET, "place.part": "bottom-laminate", "as_read": "40"}
    once = send(browser, wet, point("port-shell", 4.2, -0.3))
    twice = send(browser, wet, point("port-shell", 4.3, -0.3))

    assert "raised readings" in twice.text
    assert "1 area stands above the dry reference" in words(twice)
    assert words(once) != words(twice)


@pytest.mark.parametrize("look", ["port-shell", "starboard-shell-after", "port-profile", "deck"])
def test_every_drawing_is_offered(browser: TestClient, look: str) -> None:
    page = browser.get(PLACING, params={"look": look})

    assert page.status_code == 200
    assert f'value="{look}" selected' in page.text
    assert "<svg" in page.text


def test_without_a_boat_places_are_given_by_numbers(browser: TestClient, desk: Desk) -> None:
    other = "0197c0de-0000-7000-8000-000000000002"
    desk.surveys.add([entry(30, HULL, survey=other)])

    page = browser.get(f"/s/{other}/placing")
    browser.post(
        f"/s/{other}/placing",
        data={**DULL, "act": "keep", "place.side": "port", "place.station_m": "5", "place.level_m": "-0.3"},
    )  # fmt: skip

    found = desk.surveys.get(other)
    assert "state the length of hull and the beam" in words(page)
    assert found is not None
    assert len(found.of(Sounding)) == 1


def test_a_set_taken_back_leaves_the_page_with_soundings(browser: TestClient) -> None:
    page = browser.get(PLACING, params={"of": entry_id(99)})

    assert "A sounding, by pointing or by numbers" in words(page)
