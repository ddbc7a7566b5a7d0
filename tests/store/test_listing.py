"""The list of surveys answers what a diary asks, in the order of the days."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from cast import DAY, HARROWMERE, QUILLET, entry
from store.fakes import FakeClock

from garboard.notebook.body import Boat, Instruction
from garboard.notebook.ids import uuid7
from garboard.store import listing
from garboard.store.folder import Store

ASKED = Instruction(client="Tamsin Orrowby", purpose="buy")


def survey_id(number: int) -> str:
    return str(uuid7(DAY, 100 + number))


def added(store: Store, number: int, *bodies: Any) -> str:
    """A survey of its own, with an id that sorts by its number."""
    survey = survey_id(number)
    store.surveys.add(entry(10 * number + n, body, survey=survey) for n, body in enumerate(bodies))
    return survey


def test_a_list_is_in_the_order_of_the_days_and_what_has_none_comes_last(
    store: Store, clock: FakeClock
) -> None:
    for number, due in enumerate((None, date(2026, 6, 1), date(2026, 5, 20), None)):
        clock.forward(timedelta(hours=1))
        added(store, number, replace(ASKED, due=due))

    with store.database.reading() as connection:
        found = [row.survey for row in listing.at_stage(connection, "enquiry")]
        second = [row.survey for row in listing.at_stage(connection, "enquiry", limit=2, skip=2)]
        dated = [row.survey for row in listing.with_a_day(connection)]

    assert found == [survey_id(2), survey_id(1), survey_id(3), survey_id(0)]
    assert second == found[2:]
    assert dated == found[:2]


def test_surveys_are_counted_by_stage(store: Store) -> None:
    added(store, 1, ASKED)
    added(store, 2, ASKED, QUILLET)

    with store.database.reading() as connection:
        assert listing.counts(connection) == {"enquiry": 2}


@pytest.mark.parametrize("name", ["quillet", "xxqlt00417c898", "orrow77"])
def test_a_boat_is_found_by_the_whole_of_her_name_or_numbers(store: Store, name: str) -> None:
    hers = added(store, 1, replace(QUILLET, registration="ORROW 77"))
    added(store, 2, HARROWMERE)
    added(store, 3, Boat(name="Quillet II", identity_number="XX-QLT00417C8981"))

    with store.database.reading() as connection:
        assert [row.survey for row in listing.of_boat(connection, name)] == [hers]
