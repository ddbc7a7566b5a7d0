"""Entries are added once and never changed; merging is set union."""

import json
from contextlib import suppress
from datetime import datetime, timedelta
from random import Random
from typing import Any

import pytest
from cast import DAY, OTHER_SURVEY, SURVEY, entry, entry_id, sounding
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError, StatementError
from strategies import entries as any_entry
from strategies import notebooks

from garboard.notebook.body import Remark, Unknown
from garboard.notebook.entry import Entry, to_json, to_line
from garboard.notebook.fold import fold
from garboard.notebook.ids import uuid7
from garboard.store.entries import (
    add,
    entry_of,
    ids_held,
    missing,
    of_survey,
    since,
    surveys_with,
)
from garboard.store.folder import Store

TWO = [entry(1, sounding(1.0)), entry(2, sounding(2.0))]


class Undo(Exception):
    """Takes a transaction back."""


def add_all(store: Store, entries: list[Entry[Any]], now: datetime = DAY) -> list[Entry[Any]]:
    with store.database.writing() as connection:
        return list(add(connection, entries, now))


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entries SET line = '{}' WHERE seq = 1",
        "UPDATE entries SET received_at = received_at",
        "DELETE FROM entries",
        "INSERT OR REPLACE INTO entries SELECT * FROM entries WHERE seq = 1",
    ],
)
def test_the_database_itself_refuses_to_change_an_entry(store: Store, statement: str) -> None:
    add_all(store, TWO)

    with pytest.raises(IntegrityError, match="an entry is never changed and never removed"), store.database.writing() as connection:  # fmt: skip
        connection.execute(text(statement))

    with store.database.reading() as connection:
        assert [row.line for row in of_survey(connection, SURVEY)] == [to_line(each) for each in TWO]  # fmt: skip


def test_what_was_new_is_told(store: Store) -> None:
    first, second = TWO

    assert add_all(store, [first]) == [first]
    assert add_all(store, [second, first, second]) == [second]
    assert add_all(store, [second, first]) == []
    assert add_all(store, []) == []


def test_two_contents_under_one_id_are_both_kept_and_shown_as_a_clash(store: Store) -> None:
    one, other = entry(1, sounding(heard="dull")), entry(1, sounding(heard="hollow"))

    add_all(store, [one, other, one])

    with store.database.reading() as connection:
        held = [entry_of(row.line) for row in of_survey(connection, SURVEY)]
    assert held == [one, other]
    assert len(fold(held).clashes) == 1


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(notebooks, st.randoms(use_true_random=False), st.integers(1, 5))
def test_adding_is_set_union_in_any_order_and_number_of_times(
    store: Store, notebook: list[Entry[Any]], chance: Random, batch: int
) -> None:
    sent = [*notebook, *chance.choices(notebook, k=len(notebook))]
    chance.shuffle(sent)
    new: list[Entry[Any]] = []

    with suppress(Undo), store.database.writing() as connection:
        for start in range(0, len(sent), batch):
            new += add(connection, sent[start : start + batch], DAY)
        held = [row.line for row in of_survey(connection, SURVEY)]
        raise Undo

    assert sorted(held) == sorted({to_line(each) for each in notebook})
    assert [to_line(each) for each in new] == held


def test_arrivals_are_read_in_pages_in_their_order(store: Store) -> None:
    arrived = [entry(number, sounding()) for number in (3, 1, 5, 2, 4)]
    add_all(store, arrived)

    cursor, read, is_last = 0, [], False
    while not is_last:
        with store.database.reading() as connection:
            page = since(connection, cursor, limit=2)
        read += [entry_of(row.line) for row in page.rows]
        cursor, is_last = page.cursor, page.is_last

    assert read == arrived
    with store.database.reading() as connection:
        assert since(connection, cursor).rows == ()
        assert since(connection, cursor).cursor == cursor


def test_one_survey_can_be_read_by_itself(store: Store) -> None:
    mine, yours = entry(1, sounding()), entry(2, sounding(), survey=OTHER_SURVEY)
    add_all(store, [mine, yours])

    with store.database.reading() as connection:
        assert [row.line for row in since(connection, 0, survey=OTHER_SURVEY).rows] == [to_line(yours)]  # fmt: skip
        assert [row.line for row in of_survey(connection, SURVEY)] == [to_line(mine)]
        assert of_survey(connection, SURVEY, after=1) == ()


def test_it_is_told_which_entries_are_held_and_which_are_missing(store: Store) -> None:
    add_all(store, TWO)
    asked = [entry_id(9), entry_id(2), entry_id(1), entry_id(8)]

    with store.database.reading() as connection:
        assert ids_held(connection, asked) == {entry_id(1), entry_id(2)}
        assert missing(connection, asked) == (entry_id(9), entry_id(8))
        assert missing(connection, [entry_id(n) for n in range(1, 40_000)])[0] == entry_id(3)


@given(any_entry())
def test_an_entry_comes_back_from_its_line_as_it_was(given_entry: Entry[Any]) -> None:
    assert entry_of(to_line(given_entry)) == given_entry


def test_a_body_kept_before_its_kind_was_known_stays_unknown() -> None:
    data = {**to_json(entry(1, Remark(text="x"))), "body": {"colour": "grey"}}

    read = entry_of(json.dumps(data).encode())

    assert read.body == Unknown(kind="remark", json='{"colour":"grey"}')
    assert read.kind == "remark"


def test_the_surveys_in_which_somebody_wrote_of_a_kind_are_found_the_latest_first_whenever_they_came(
    store: Store,
) -> None:
    third = str(uuid7(DAY, 3))
    store.surveys.add([entry(2, Remark(text="second"), survey=OTHER_SURVEY)])
    store.surveys.add([entry(1, Remark(text="first"))])
    store.surveys.add([entry(3, Remark(text="of somebody else"), survey=third, author="bram")])

    with store.database.reading() as connection:
        by_ines = surveys_with(connection, "Ines Caldervane", "remark", but=third)
        before = surveys_with(connection, "Ines Caldervane", "remark", but=OTHER_SURVEY)
        none = surveys_with(connection, "Ines Caldervane", "person", but=third)

    assert (by_ines, before, none) == ((OTHER_SURVEY, SURVEY), (SURVEY,), ())


def test_a_time_without_zone_is_never_kept(store: Store) -> None:
    with pytest.raises(StatementError, match="has no zone"):
        add_all(store, TWO, now=(DAY + timedelta(days=1)).replace(tzinfo=None))
