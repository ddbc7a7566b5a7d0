"""A new set from a table: looked at whole before it is kept, every fault named, nothing kept by halves."""

import re
import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from cast import DAY, QUILLET, SURVEY, entry, entry_id
from httpx2 import Response
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import Conditions, Instrument, Place, Reading, ReadingSet
from garboard.notebook.entry import Entry

NEW = f"/s/{SURVEY}/readings/new"
METER = Instrument(name="meter", described="a meter", quantity="moisture", unit="scale", scale="comparative 0-100")  # fmt: skip
TABLE = "station\tlevel\treading\n4.0\t-0,4\t14\n4.5\t-0,4\t15\n"
PORT = {"instrument": "meter", "name": "port bottom", "part": "bottom-laminate", "side": "port"}


@pytest.fixture(autouse=True)
def survey(desk: Desk) -> None:
    ashore = Conditions(lying="ashore", began=DAY - timedelta(days=2))
    desk.surveys.add([entry(1, QUILLET), entry(2, METER), entry(3, ashore)])


def sets(desk: Desk) -> tuple[Entry[ReadingSet], ...]:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found.of(ReadingSet)


def send(browser: TestClient, table: str = TABLE, act: str = "keep", **changes: Any) -> Response:
    return browser.post(NEW, data={**PORT, "table": table, "act": act, **changes})


def words(answer: Response) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer.text)))


def test_a_table_is_looked_at_before_anything_is_kept(browser: TestClient, desk: Desk) -> None:
    answer = send(browser, act="look")

    assert answer.status_code == 200
    assert "2 readings of moisture, scale, with meter, comparative 0-100" in words(answer)
    assert "Keep this set" in answer.text
    assert sets(desk) == ()


def test_the_form_says_what_station_and_level_are_and_shows_no_time_as_if_it_were_given(
    browser: TestClient,
) -> None:
    form = browser.get(NEW)

    assert "Station is metres aft of the stem, level metres along the skin" in words(form)
    assert not re.search(r'<input[^>]*name="read_at"[^>]*placeholder', form.text)


def test_a_set_that_is_sent_twice_at_once_is_kept_once(browser: TestClient, desk: Desk) -> None:
    together, said = threading.Barrier(3), []

    def keep() -> None:
        together.wait()
        said.append(send(browser))

    threads = [threading.Thread(target=keep) for _ in range(3)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()

    (kept,) = sets(desk)
    assert {each.headers["location"] for each in said} == {f"/s/{SURVEY}/readings/{kept.id}"}
    assert sum("Kept" in each.cookies["said"] for each in said) == 1


def test_the_same_readings_of_another_hour_are_a_set_of_their_own(
    browser: TestClient, desk: Desk
) -> None:
    for told in ("2026-05-12 09:10", "2026-05-12 09:40"):
        send(browser, read_at=told)

    assert len(sets(desk)) == 2


def test_a_set_is_kept_with_what_its_instrument_reads(browser: TestClient, desk: Desk) -> None:
    answer = send(browser)

    (kept,) = sets(desk)
    assert answer.headers["location"] == f"/s/{SURVEY}/readings/{kept.id}"
    assert (kept.body.quantity, kept.body.unit, kept.body.scale) == ("moisture", "scale", "comparative 0-100")  # fmt: skip
    assert kept.body.readings[1] == Reading(
        place=Place(part="bottom-laminate", side="port", station_m=4.5, level_m=-0.4), as_read="15"
    )


@pytest.mark.parametrize(("day", "hour"), [("2026-01-20", 9), ("2026-05-11", 8)])
def test_the_time_of_a_set_is_told_by_the_offset_of_its_own_day(
    browser: TestClient, desk: Desk, day: str, hour: int
) -> None:
    browser.post("/account/zone", data={"zone": "Europe/Paris"})

    send(browser, read_at=f"{day} 10:57")

    survey = desk.surveys.get(SURVEY)
    assert survey is not None
    assert survey.done_at(survey.of(ReadingSet)[-1]).astimezone(UTC).hour == hour


@pytest.mark.parametrize(
    ("typed", "at"),
    [
        ("10:57", datetime(2026, 5, 10, 9, 57, tzinfo=UTC)),
        ("9:57:05", datetime(2026, 5, 10, 8, 57, 5, tzinfo=UTC)),
        ("2026-05-11 10:57", datetime(2026, 5, 11, 9, 57, tzinfo=UTC)),
        ("2026-05-11T10:57:00+00:00", datetime(2026, 5, 11, 10, 57, tzinfo=UTC)),
    ],
)
def test_a_set_is_told_at_the_time_it_was_read(
    browser: TestClient, desk: Desk, typed: str, at: datetime
) -> None:
    send(browser, read_at=typed)

    assert sets(desk)[0].at == at


def test_a_file_with_its_head_needs_no_form(browser: TestClient, desk: Desk) -> None:
    page = (
        "# quantity: moisture\n# unit: scale\n# instrument: meter\n# mode: deep\n# at: 10:57\n"
        "part,side,station_m,level_m,as_read,reference\ntopside-laminate,port,2.6,1.0,12,yes\n"
    )

    browser.post(
        NEW,
        data={"act": "keep"},
        files={"file": ("topsides.csv", page.encode("utf-16"), "text/csv")},
    )

    (kept,) = sets(desk)
    assert (kept.body.name, kept.body.mode) == ("topsides", "deep")
    assert kept.body.readings[0].reference
    assert kept.at == datetime(2026, 5, 10, 9, 57, tzinfo=UTC)


def test_every_fault_is_named_and_nothing_is_kept(browser: TestClient, desk: Desk) -> None:
    answer = send(browser, "station\tlevel\treading\n4\tx\t14\n4\t-0.4\t1200\n5\t-0.4\twet\n")

    assert answer.status_code == 422
    said = words(answer)
    assert "Nothing was kept. 3 rows are to be mended." in said
    assert 'Row 2, level: "x" is not a number' in said
    assert "Row 3, reading: 1200 scale cannot be." in said
    assert 'Row 4, reading: "wet" is not a number' in said
    assert sets(desk) == ()


def test_per_cent_of_a_moisture_meter_is_explained_at_the_instrument_and_beside_the_field(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(4, replace(METER, name="dial", unit="%"))])

    readings = words(browser.get(f"/s/{SURVEY}/readings"))
    refused = send(browser, instrument="dial", unit="")
    kept = send(browser, instrument="dial", unit="", calibration="my own blocks, 2025")

    assert "it does not read per cent of water. Correct its unit" in readings
    assert refused.status_code == 422
    assert 'aria-describedby="calibration-about" aria-invalid="true"' in refused.text
    assert "say by which calibration of your own" in words(refused)
    assert kept.status_code == 303
    assert sets(desk)[0].body.unit == "%"


def test_settings_that_are_missing_are_asked_for_beside_their_fields(browser: TestClient) -> None:
    answer = send(browser, instrument="", name="")

    assert answer.status_code == 422
    for field in ("name", "instrument", "quantity", "unit"):
        assert f'aria-describedby="{field}-about" aria-invalid="true"' in answer.text
    assert "4.0\t-0,4\t14" in answer.text


def test_what_no_described_instrument_tells_is_asked_for_in_words(browser: TestClient) -> None:
    answer = send(browser, instrument="borrowed meter")

    assert answer.status_code == 422
    assert answer.text.count('class="problem">Say it here: this instrument is not described') == 2
    assert "It is missing" not in answer.text


def test_an_instrument_that_is_not_described_is_told_before_the_set_is_kept(
    browser: TestClient,
) -> None:
    told = {"quantity": "moisture", "unit": "scale", "scale": "comparative 0-100"}

    borrowed = send(browser, act="look", instrument="borrowed meter", **told)
    described = send(browser, act="look")

    assert borrowed.status_code == 200
    assert "No instrument called “borrowed meter” is described in this survey" in words(borrowed)
    assert "is described in this survey" not in words(described)


def test_a_set_that_was_only_looked_at_is_not_left_unasked(browser: TestClient) -> None:
    fresh, looked = browser.get(NEW), send(browser, act="look")

    assert "data-unkept>" in fresh.text
    assert 'data-unkept="yes">' in looked.text
    assert "Nothing is kept until you press “Keep this set”." in words(looked)


def test_a_head_that_says_otherwise_than_the_form_is_refused(
    browser: TestClient, desk: Desk
) -> None:
    answer = send(browser, f"# unit: mm\n# sort: wet\n{TABLE}", unit="scale")

    said = words(answer)
    assert '# unit: the table says "mm" and the form "scale"' in said
    assert "# sort: no set of readings has this" in said
    assert sets(desk) == ()


@pytest.mark.parametrize("typed", ["noon", "10.57", "25:00", "2026-05-11", "2026-05-11 10.57"])
def test_a_time_nobody_can_read_is_refused(browser: TestClient, desk: Desk, typed: str) -> None:
    answer = send(browser, read_at=typed)

    assert f'"{typed}" is no time of a day. Write it as 2026-05-12 10:57, or as 10:57' in words(answer)  # fmt: skip
    assert sets(desk) == ()


def test_rows_off_the_hull_are_refused_by_line_and_column(browser: TestClient, desk: Desk) -> None:
    off = "station\tlevel\treading\n4.0\t4.0\t14\n4.5\t-0.4\t15\n12\t-0.4\t16\n"
    grid = "level\t4.0\t12\n-0.2\t14\t15\n"

    answer, of_grid = send(browser, off), send(browser, grid)

    said = words(answer)
    assert "Nothing was kept. 2 rows are to be mended." in said
    assert "Row 2, level: 4.00 m above the boot-top is off the hull, which at 4.00 m aft of the stem goes from" in said  # fmt: skip
    assert "Row 4, station: 12.00 m aft of the stem is not on the boat: her hull is 10.20 m long" in said  # fmt: skip
    assert "Row 2, station: 12.00 m aft of the stem is not on the boat" in words(of_grid)
    assert sets(desk) == ()


def test_what_the_drawing_cannot_judge_is_kept(browser: TestClient, desk: Desk) -> None:
    table = (
        "part\tstation\tlevel\treading\ncoachroof\t4.0\t2.4\t14\nbottom-laminate\t10.3\t-0.2\t15\n"
    )

    send(browser, table)

    assert len(sets(desk)) == 1


def test_rows_at_one_place_are_doubted_and_may_be_kept(browser: TestClient, desk: Desk) -> None:
    twice = "station\tlevel\treading\n4.0\t-0.4\t14\n4.5\t-0.4\t15\n4.5\t-0.4\t16\n"

    looked, _ = send(browser, twice, act="look"), send(browser, twice)

    assert "Row 4: at the same place as row 3" in words(looked)
    assert len(sets(desk)) == 1


def test_a_strange_column_is_left_out_once_it_is_ticked(browser: TestClient, desk: Desk) -> None:
    table = "station,level,reading,initials\n4.0,-0.4,14,IC\n"

    asked = send(browser, table)
    send(browser, table, leave_out="initials")

    assert 'name="leave_out" value="initials"' in asked.text
    assert len(sets(desk)) == 1


def test_a_grid_is_kept_as_its_readings(browser: TestClient, desk: Desk) -> None:
    send(browser, "level\t4.0\t4.5\n-0.2\t14\t15\n-0.4\t16\t\n")

    assert [each.as_read for each in sets(desk)[0].body.readings] == ["14", "15", "16"]


def test_a_set_is_corrected_as_a_table(browser: TestClient, desk: Desk) -> None:
    send(browser, read_at="10:57")
    first = sets(desk)[0]
    form = browser.get(f"{NEW}?corrects={first.id}").text
    table = unescape(re.search(r"<textarea id=\"table\"[^>]*>(.*?)</textarea>", form, re.DOTALL)[1])  # type: ignore[index]

    unsaid = send(browser, table.replace(",15", ",17"), corrects=first.id, of=first.id)
    send(browser, table.replace(",15", ",17"), corrects=first.id, of=first.id, why="misread")

    (kept,) = sets(desk)
    assert "Say why it is corrected." in unsaid.text
    assert [each.as_read for each in kept.body.readings] == ["14", "17"]
    assert (kept.replaces, kept.why) == ((first.id,), "misread")
    assert kept.at > first.at


def test_a_table_filled_before_the_set_was_changed_undoes_nothing_of_that(
    browser: TestClient, desk: Desk
) -> None:
    send(browser)
    first = sets(desk)[0]
    third = replace(first.body.readings[1], as_read="19")
    body = replace(first.body, readings=(first.body.readings[1], third))
    theirs = replace(
        entry(40, body), replaces=(first.id,), why="placed", at=first.at + timedelta(seconds=1)
    )
    desk.surveys.add([theirs])

    refused = send(browser, corrects=first.id, of=first.id, why="misread")
    shown = unescape(refused.text)

    assert refused.status_code == 422
    assert "changed it at" in shown
    assert "Reading 2 of the set as it stands: 19 at" in shown
    assert "Reading 1 of the set as it was: 14 at" in shown
    assert "4.0\t-0,4\t14" in shown
    assert 'name="why" value="misread"' in shown
    assert f'name="of" value="{theirs.id}"' in shown
    assert sets(desk) == (theirs,)


def test_a_set_is_begun_without_a_table_to_place_readings_into(
    browser: TestClient, desk: Desk
) -> None:
    answer = send(browser, "", act="begin", read_at="10:57")

    (kept,) = sets(desk)
    assert kept.body.readings == ()
    assert kept.at == datetime(2026, 5, 10, 9, 57, tzinfo=UTC)
    assert answer.headers["location"] == f"/s/{SURVEY}/placing?of={kept.id}"
    assert browser.get(answer.headers["location"]).status_code == 200


def test_a_set_that_is_not_there_is_not_corrected(browser: TestClient) -> None:
    assert browser.get(f"{NEW}?corrects={entry_id(99)}").status_code == 404


def test_a_file_that_is_no_text_is_refused(browser: TestClient, desk: Desk) -> None:
    files = {"file": ("photo.csv", b"\x89PNG\xff\xfe\x00", "text/csv")}

    answer = browser.post(NEW, data={**PORT, "act": "keep"}, files=files)

    assert answer.status_code == 422
    assert "not Unicode text" in answer.text
    assert sets(desk) == ()
