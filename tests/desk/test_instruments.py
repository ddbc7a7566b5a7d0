"""Instruments go from one job of a surveyor into the next, as entries of its own."""

from dataclasses import replace
from datetime import date, timedelta
from html import unescape

import pytest
from cast import DAY, OTHER_SURVEY, QUILLET, SURVEY, entry, entry_id
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import Instruction, Instrument
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.ids import uuid7

PAGE = f"/s/{SURVEY}/instruments"
METER = Instrument(name="meter 1", described="capacitance meter", quantity="moisture", unit="scale")
GAUGE = Instrument(name="gauge", described="ultrasonic gauge", quantity="thickness", unit="mm", due=date(2026, 1, 31))  # fmt: skip


def elsewhere(number: int, body: Instrument, author: str = "Ines Caldervane") -> Entry[Instrument]:
    return replace(entry(number, body, author=author), survey=OTHER_SURVEY)


@pytest.fixture(autouse=True)
def survey(desk: Desk) -> None:
    """A survey in which nothing was read yet."""
    desk.surveys.add(
        [entry(1, QUILLET), entry(2, Instruction(client="Tamsin Orrowby", purpose="buy"))]
    )


def now(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def test_those_that_are_ticked_become_instruments_of_this_survey(
    browser: TestClient, desk: Desk
) -> None:
    meter, gauge = elsewhere(11, METER), elsewhere(12, GAUGE)
    desk.surveys.add([meter, gauge])

    answer = browser.post(PAGE, data={"instruments": [meter.id]})

    assert answer.headers["location"] == f"/s/{SURVEY}/readings"
    (made,) = now(desk).of(Instrument)
    assert (made.body, made.survey, made.replaces) == (METER, SURVEY, ())
    assert made.id != meter.id


def test_an_overdue_calibration_is_said_before_it_is_taken(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([elsewhere(12, GAUGE)])

    assert "calibration due 31 January 2026, overdue" in browser.get(PAGE).text


def test_all_of_ones_own_in_use_are_offered_the_latest_first_and_those_of_the_last_job_ticked(
    browser: TestClient, desk: Desk
) -> None:
    long_ago = elsewhere(10, replace(METER, name="meter 0"))
    retired = replace(long_ago, survey=str(uuid7(DAY, 5)), at=DAY - timedelta(days=3 * 365))
    earlier = replace(elsewhere(11, METER), survey=str(uuid7(DAY, 6)), at=DAY - timedelta(days=90))
    desk.surveys.add([elsewhere(12, GAUGE)])
    desk.surveys.add([earlier])
    desk.surveys.add([retired])

    text = browser.get(PAGE).text

    assert "meter 0" not in text
    assert text.index("gauge: ultrasonic gauge") < text.index("meter 1: capacitance meter")
    ticked = {id_: f'value="{id_}" checked' in text for id_ in (earlier.id, entry_id(12))}
    assert ticked == {earlier.id: False, entry_id(12): True}


def test_what_this_survey_names_already_is_not_offered_again(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([elsewhere(11, METER), entry(3, METER)])

    assert "No earlier job of yours names an instrument" in browser.get(PAGE).text


def test_the_instruments_of_somebody_else_are_not_offered(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([elsewhere(11, METER, author="Bram Aldous")])

    assert "meter 1" not in browser.get(PAGE).text


def test_nothing_ticked_is_asked_about(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([elsewhere(11, METER)])

    answer = browser.post(PAGE, data={})

    assert answer.status_code == 422
    assert "Tick those that you use on this boat." in unescape(answer.text)
    assert now(desk).of(Instrument) == ()
