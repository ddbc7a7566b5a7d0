"""The readings: instruments with their checks, sets and what they mean, a set on its map, one reading's story."""

import re
from dataclasses import replace
from datetime import date, timedelta
from html import unescape

import pytest
from cast import DAY, QUILLET, SURVEY, entry, entry_id
from starlette.testclient import TestClient

from garboard.boat.hull import hull_of
from garboard.desk.context import Desk
from garboard.drawings.panels import found_on, panels_for
from garboard.notebook.body import (
    Conditions,
    Instruction,
    Instrument,
    InstrumentCheck,
    Place,
    Reading,
    ReadingSet,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

BASE = f"/s/{SURVEY}/readings"
ASHORE = Conditions(lying="ashore", began=DAY, lifted=DAY - timedelta(days=20), air_c=15, humidity_pct=50, surface_c=15)  # fmt: skip
METER = Instrument(
    name="meter",
    described="a capacitance meter",
    quantity="moisture",
    unit="scale",
    due=date(2026, 3, 1),
)
PLATE = InstrumentCheck(instrument="meter", on="check plate", when="before", expected=58, read=57)
DRY = tuple(
    Reading(
        place=Place(part="topside-laminate", side="port", station_m=1 + each / 2, level_m=0.6),
        as_read=str(12 + each % 3),
        reference=True,
    )
    for each in range(12)
)
WET = tuple(
    Reading(
        place=Place(part="bottom-laminate", side="port", station_m=4 + each / 4, level_m=-0.4),
        as_read="30",
    )
    for each in range(4)
)
HULL = ReadingSet(name="port bottom", quantity="moisture", unit="scale", instrument="meter", readings=(*DRY, *WET))  # fmt: skip
SET = f"{BASE}/{entry_id(9)}"


@pytest.fixture(autouse=True)
def survey(desk: Desk) -> None:
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    desk.surveys.add(
        [entry(1, asked), entry(2, QUILLET), entry(3, ASHORE), entry(4, METER), entry(5, PLATE), entry(9, HULL)]
    )  # fmt: skip


def held(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def standing(desk: Desk) -> Entry[ReadingSet]:
    (found,) = held(desk).of(ReadingSet)
    return found


def words(html: str) -> str:
    """What a page says, without its tags."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html)))


def said(browser: TestClient, path: str) -> str:
    answer = browser.get(path)
    assert answer.status_code == 200
    return words(answer.text)


def test_the_instruments_stand_with_their_checks_and_what_is_wrong(browser: TestClient) -> None:
    page = said(browser, BASE)

    assert "not checked after use; its calibration was overdue when it was used" in page
    assert "on check plate: 58 expected, 57 read. Passed." in page
    assert "It was overdue when port bottom was read." in page


def test_an_instrument_nobody_described_is_asked_for(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(10, replace(HULL, name="other", instrument="borrowed meter"))])

    page = browser.get(BASE).text

    assert "nobody has described it yet" in page
    assert f"/s/{SURVEY}/add/instrument?name=borrowed%20meter" in page


def test_the_sets_stand_by_their_names_with_what_was_read(browser: TestClient) -> None:
    page = said(browser, BASE)

    assert (
        "port bottom Moisture, topside laminate and bottom laminate, meter: 16 readings, scale"
        in page
    )


def test_a_set_is_headed_by_the_name_that_somebody_gave_it(browser: TestClient) -> None:
    shown = browser.get(SET).text

    assert "<h1>port bottom</h1>" in shown
    assert "<dt>On</dt><dd>topside laminate and bottom laminate</dd>" in shown
    page = browser.get(f"{SET}/13").text
    assert "<h1>30 scale, reading 13</h1>" in page
    assert f'<a href="{SET}">port bottom</a>' in page


def test_that_something_is_being_worked_out_is_said_only_while_it_is(browser: TestClient) -> None:
    pages = "".join(browser.get(each).text for each in (BASE, SET))

    assert re.findall(r'class="([^"]*)">being (?:worked out|drawn)', pages)
    assert set(re.findall(r'class="([^"]*)">being (?:worked out|drawn)', pages)) == {
        "quiet small htmx-indicator"
    }


def test_what_readings_mean_comes_with_method_limit_and_source(browser: TestClient) -> None:
    page = said(browser, f"{BASE}/meaning/moisture")

    assert "Raised moisture readings, port bottom" in page
    assert "beyond the limit" in page
    assert "Working figure" in page
    assert "dry places read high by chance" in page


def test_the_drawings_are_those_of_the_report(browser: TestClient) -> None:
    page = browser.get(f"{BASE}/meaning/moisture").text

    assert page.count("<figure") == 2
    assert "beside the boat's own dry reference" in unescape(page)


def test_readings_are_drawn_before_anybody_says_what_the_survey_is_for(
    browser: TestClient, desk: Desk
) -> None:
    other = "0197c0de-0000-7000-8000-000000000003"
    desk.surveys.add([entry(30, QUILLET, survey=other), entry(31, HULL, survey=other)])

    page = browser.get(f"/s/{other}/readings/meaning/moisture").text

    assert page.count("<figure") == 2


def test_what_could_not_be_computed_is_said_with_the_reason(
    browser: TestClient, desk: Desk
) -> None:
    bare = replace(HULL, name="no reference", readings=WET)
    desk.surveys.add([entry(10, bare)])

    page = said(browser, f"{BASE}/meaning/moisture")

    assert "Could not be computed" in page
    assert "No dry reference was read on this boat" in page


def test_a_part_is_fetched_alone_and_is_a_page_without_that(browser: TestClient) -> None:
    part = browser.get(f"{BASE}/meaning/moisture", headers={"hx-request": "true"}).text
    whole = browser.get(f"{BASE}/meaning/moisture").text

    assert "<html" not in part
    assert "<html" in whole


def test_a_set_shows_its_map_its_reference_and_its_areas(browser: TestClient) -> None:
    page = said(browser, SET)

    assert "Dry reference 12 readings of this boat, median 13" in page
    assert "0.4 m below the boot-top, port: 4 readings, the highest 30." in page
    assert "much raised" in page
    assert "outlined" in page


def test_a_large_set_is_drawn_after_the_page(browser: TestClient, desk: Desk) -> None:
    many = [
        replace(WET[0], place=replace(WET[0].place, station_m=2 + each / 100))
        for each in range(400)
    ]
    desk.surveys.add([entry(10, replace(HULL, name="close", readings=(*DRY, *many)))])
    path = f"{BASE}/{entry_id(10)}"

    first = browser.get(path).text
    fetched = browser.get(f"{path}/shown", headers={"hx-request": "true"}).text
    again = browser.get(path).text

    assert "<svg" not in first
    assert f'hx-get="{path}/shown"' in first
    assert "<svg" in fetched
    assert "<svg" in again


def test_a_set_without_places_has_a_table_and_no_map(browser: TestClient, desk: Desk) -> None:
    bare = Reading(
        place=Place(part="lead-acid-battery", number=1, words="at rest"), as_read="12.48"
    )
    volts = ReadingSet(name="volts", quantity="voltage", unit="V", instrument="multimeter", readings=(bare,))  # fmt: skip
    desk.surveys.add([entry(10, volts)])

    page = browser.get(f"{BASE}/{entry_id(10)}").text

    assert "12.48" in page
    assert "<svg" not in page


def test_the_story_of_a_reading_tells_where_it_comes_from(browser: TestClient) -> None:
    page = said(browser, f"{SET}/13")

    assert "port, 4.00 m aft of the stem, 0.40 m below the boot-top" in page
    assert "meter , a capacitance meter" in page
    assert "Its calibration was overdue." in page
    assert "Checked before 12 May 2026, 10:00, on check plate" in page
    assert "Checked after None is recorded." in page
    assert "Ashore , air 15 °C, humidity 50 %" in page
    assert "Much raised over the dry reference" in page
    assert "It lies in a raised area of" in page
    assert "written by Ines Caldervane on tablet-1" in page


def test_the_reading_under_a_point_of_the_map_tells_its_story(browser: TestClient) -> None:
    hull = hull_of(QUILLET)
    found, _ = found_on(hull, [(each.place, None) for each in HULL.readings])
    spots = [spot for spot, _ in found]
    panel = next(each for each in panels_for(hull, spots) if each.shows(spots[13]))
    x, y = panel.at(spots[13])

    near = browser.get(f"{SET}/pointed?x={x + 0.3}&y={y}").text
    far = browser.get(f"{SET}/pointed?x=1&y=1").text
    odd = browser.get(f"{SET}/pointed?x=nan&y=here").text

    assert "Reading 14: 30 scale" in near
    assert "No reading lies there." in far
    assert "No reading lies there." in odd


def form(reading: Reading, **changes: str) -> dict[str, str]:
    place = reading.place
    fields = {
        "place.part": place.part,
        "place.side": place.side or "",
        "place.station_m": str(place.station_m),
        "place.level_m": str(place.level_m),
        "as_read": reading.as_read,
    }
    return {**fields, "of": entry_id(9), **changes}


def test_a_reading_is_corrected_as_a_correction_of_its_set(browser: TestClient, desk: Desk) -> None:
    answer = browser.post(f"{SET}/13", data=form(WET[0], as_read="20", why="misread"))

    kept = standing(desk)
    assert answer.headers["location"] == f"{BASE}/{kept.id}/13"
    assert kept.body.readings[12].as_read == "20"
    assert kept.body.readings[:12] == DRY
    assert (kept.replaces, kept.why) == ((entry_id(9),), "misread")


def test_a_correction_without_a_reason_is_refused_beside_its_field(
    browser: TestClient, desk: Desk
) -> None:
    answer = browser.post(f"{SET}/13", data=form(WET[0], as_read="20"))

    assert answer.status_code == 422
    assert "Say why." in answer.text
    assert standing(desk).id == entry_id(9)


def test_a_value_no_meter_shows_is_refused_in_words(browser: TestClient, desk: Desk) -> None:
    answer = browser.post(f"{SET}/13", data=form(WET[0], as_read="99999", why="misread"))

    assert answer.status_code == 422
    assert re.search(r'id="as_read-about"><p class="problem">99999 scale cannot be', answer.text)
    assert standing(desk).id == entry_id(9)


def test_a_place_off_the_boat_is_refused_beside_its_field(browser: TestClient, desk: Desk) -> None:
    moved = form(WET[0], why="misread", **{"place.station_m": "14"})

    answer = browser.post(f"{SET}/13", data=moved)

    assert answer.status_code == 422
    assert re.search(r'id="place.station_m-about"><p class="problem">14.00 m aft of the stem is not on the boat', answer.text)  # fmt: skip
    assert standing(desk).id == entry_id(9)


def test_a_reading_is_left_out_and_stays_in_the_history(browser: TestClient, desk: Desk) -> None:
    browser.post(
        f"{SET}/13", data={"act": "leave out", "why": "on a backing plate", "of": entry_id(9)}
    )

    assert standing(desk).body.readings == (*DRY, *WET[1:])
    assert held(desk).by_id[entry_id(9)].body == HULL


def test_references_are_marked_in_one_correction(browser: TestClient, desk: Desk) -> None:
    browser.post(
        f"{SET}/references",
        data={"reference": [str(each) for each in range(1, 11)], "of": entry_id(9)},
    )

    kept = standing(desk)
    assert [each.reference for each in kept.body.readings] == [True] * 10 + [False] * 6
    assert kept.why == "The reference was marked"


def test_references_left_as_they_were_make_no_entry(browser: TestClient, desk: Desk) -> None:
    browser.post(
        f"{SET}/references",
        data={"reference": [str(each) for each in range(1, 13)], "of": entry_id(9)},
    )

    assert standing(desk).id == entry_id(9)


def meanwhile(desk: Desk, *readings: Reading) -> Entry[ReadingSet]:
    """The set as another device left it while a page of it was open."""
    made = entry(20, replace(HULL, readings=readings), replaces=(9,), author="Bram Aldous")
    desk.surveys.add([made])
    return made


def test_a_form_of_a_set_that_was_changed_meanwhile_follows_its_reading_and_keeps_nothing(
    browser: TestClient, desk: Desk
) -> None:
    theirs = meanwhile(desk, *DRY[1:], *WET)

    refused = browser.post(f"{SET}/13", data=form(WET[0], as_read="20", why="misread"))
    unchanged = standing(desk)
    again = form(WET[0], as_read="20", why="misread", of=theirs.id)
    browser.post(f"{BASE}/{theirs.id}/12", data=again)

    page = words(refused.text)
    assert refused.status_code == 422
    assert "Bram Aldous changed it at" in page
    assert "reading 12" in page
    assert "not in the set any more" not in page
    assert f'action="{BASE}/{theirs.id}/12"' in refused.text
    assert 'value="20"' in refused.text
    assert unchanged == theirs
    assert standing(desk).body.readings == (*DRY[1:], replace(WET[0], as_read="20"), *WET[1:])


def test_a_reading_that_is_there_no_more_is_said_to_be_gone(
    browser: TestClient, desk: Desk
) -> None:
    theirs = meanwhile(desk, *DRY, *WET[1:])

    leave_out = form(WET[0], act="leave out", why="on a backing plate")
    refused = browser.post(f"{SET}/13", data=leave_out)

    assert refused.status_code == 422
    assert "the reading that you opened is not in the set any more as it was" in words(refused.text)
    assert standing(desk) == theirs


def test_ticks_of_the_reference_stay_with_their_readings_when_the_set_was_changed_meanwhile(
    browser: TestClient, desk: Desk
) -> None:
    theirs = meanwhile(desk, *DRY[1:], *WET)

    ticked = {"reference": ["2", "13"], "why": "dry all over", "of": entry_id(9)}
    refused = browser.post(f"{SET}/references", data=ticked)

    marked = re.findall(r'name="reference" value="(\d+)" checked', refused.text)
    assert refused.status_code == 422
    assert marked == ["1", "12"]
    assert 'value="dry all over"' in refused.text
    assert standing(desk) == theirs


def test_an_old_address_of_a_set_leads_to_how_it_stands(browser: TestClient, desk: Desk) -> None:
    browser.post(f"{SET}/13", data=form(WET[0], as_read="20", why="misread"))

    answer = browser.get(SET)

    assert answer.headers["location"] == f"{BASE}/{standing(desk).id}"


def test_a_correction_says_when_it_was_read_and_when_it_was_corrected(
    browser: TestClient, desk: Desk
) -> None:
    browser.post(f"{SET}/13", data=form(WET[0], as_read="20", why="misread"))

    page = said(browser, f"{BASE}/{standing(desk).id}/13")

    assert "written by Ines Caldervane on tablet-1; the set was corrected 12 May 2026" in page
    assert "“misread”" in page


@pytest.mark.parametrize("path", [f"{BASE}/{entry_id(77)}", f"{BASE}/{entry_id(2)}", f"{SET}/99", f"{SET}/0"])  # fmt: skip
def test_what_is_not_there_is_not_found(browser: TestClient, path: str) -> None:
    assert browser.get(path).status_code == 404


def test_a_page_without_any_reading_says_how_to_begin(browser: TestClient, desk: Desk) -> None:
    other = "0197c0de-0000-7000-8000-000000000001"
    desk.surveys.add([entry(30, QUILLET, survey=other)])

    page = browser.get(f"/s/{other}/readings").text

    assert "Paste or type a new set" in page
