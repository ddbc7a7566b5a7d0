"""Surveys are what all their entries make, at any moment and for every reader."""

import gc
import threading
import weakref
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest
from cast import DAY, OTHER_SURVEY, QUILLET, SURVEY, entry, sounding
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, select
from store.fakes import FakeClock
from strategies import notebooks

from garboard.notebook.body import (
    Conditions,
    Instruction,
    Issue,
    Observation,
    Place,
    Summary,
    Withdrawal,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import fold
from garboard.store import listing
from garboard.store.folder import Store, open_store
from garboard.store.listing import Listed
from garboard.store.surveys import Surveys
from garboard.store.tables import passages

SEEN = Observation(place=Place(part="keel-joint"), seen="rust weeps from the joint")


def row_of(store: Store, survey: str = SURVEY) -> Listed:
    with store.database.reading() as connection:
        row = listing.one(connection, survey)
    assert row is not None
    return row


def passages_of(store: Store) -> dict[int, str]:
    with store.database.reading() as connection:
        found = connection.execute(select(passages.c.seq, passages.c.text).order_by(passages.c.seq))
        return {row.seq: row.text for row in found}


def test_a_survey_nobody_holds_is_none(store: Store) -> None:
    assert store.surveys.get(SURVEY) is None


def test_what_is_added_shows_at_once(store: Store) -> None:
    first, correction = entry(1, sounding()), entry(2, sounding(heard="dull"), replaces=(1,))
    store.surveys.add([first])

    before = store.surveys.get(SURVEY)
    store.surveys.add([correction])
    after = store.surveys.get(SURVEY)

    assert before is not None
    assert before.standing == (first,)
    assert after is not None
    assert after.standing == (correction,)


def test_what_another_program_adds_shows_at_once(store: Store, tmp_path: Path) -> None:
    other = open_store(tmp_path / "store", FakeClock())
    store.surveys.add([entry(1, sounding())])
    store.surveys.get(SURVEY)

    other.surveys.add([entry(2, SEEN)])

    assert store.surveys.get(SURVEY) == fold([entry(1, sounding()), entry(2, SEEN)])
    assert row_of(store).last_seq == 2
    other.close()


def test_an_unchanged_survey_is_folded_once(store: Store) -> None:
    store.surveys.add([entry(1, sounding())])

    assert store.surveys.get(SURVEY) is store.surveys.get(SURVEY)


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    max_examples=25,
)
@given(notebooks, st.randoms(use_true_random=False), st.integers(1, 4))
def test_row_and_survey_agree_however_the_entries_came(
    tmp_path_factory: pytest.TempPathFactory, notebook: list[Entry[Any]], chance: Random, batch: int
) -> None:
    store = open_store(tmp_path_factory.mktemp("store"), FakeClock())
    chance.shuffle(notebook)

    for start in range(0, len(notebook), batch):
        store.surveys.add(notebook[start : start + batch])

    survey = store.surveys.get(SURVEY)
    assert survey == fold(notebook)
    assert survey == Surveys(store.database, FakeClock()).get(SURVEY)
    assert row_of(store).digest == survey.digest
    store.close()


def test_a_list_shows_how_far_each_survey_has_come(store: Store, clock: FakeClock) -> None:
    instruction = Instruction(client="Mirel Tannock", purpose="buy", due=date(2026, 5, 20))
    steps = [
        (entry(1, QUILLET), "enquiry"),
        (entry(2, instruction), "enquiry"),
        (entry(3, Conditions(lying="ashore", began=DAY)), "at the boat"),
        (entry(4, Summary(overall="A sound boat.")), "to write"),
        (entry(5, Issue(number="Q1", version=1, entries_sha256="0" * 64)), "out"),
    ]

    for each, stage in steps:
        clock.forward(timedelta(hours=1))
        store.surveys.add([each])
        assert row_of(store).stage == stage

    row = row_of(store)
    assert (row.boat, row.identity_number, row.client, row.purpose) == (
        "Quillet", "XX-QLT00417C898", "Mirel Tannock", "buy",
    )  # fmt: skip
    assert (row.due, row.visit) == (date(2026, 5, 20), date(2026, 5, 12))
    assert row.changed_at == clock.now


def test_the_latest_changed_survey_stands_first(store: Store, clock: FakeClock) -> None:
    store.surveys.add([entry(1, sounding()), entry(2, sounding(), survey=OTHER_SURVEY)])
    clock.forward(timedelta(hours=1))
    store.surveys.add([entry(3, sounding())])

    with store.database.reading() as connection:
        assert [row.survey for row in listing.latest(connection)] == [SURVEY, OTHER_SURVEY]
        assert [row.survey for row in listing.latest(connection, limit=1, skip=1)] == [OTHER_SURVEY]  # fmt: skip


def test_only_what_stands_can_be_searched(store: Store) -> None:
    store.surveys.add([entry(1, SEEN), entry(2, replace(SEEN, seen="wrong boat"))])
    assert list(passages_of(store)) == [1, 2]

    store.surveys.add([entry(3, Withdrawal(), replaces=(2,))])

    assert passages_of(store) == {1: SEEN.seen}


def test_entries_and_what_is_derived_from_them_are_kept_together_or_not_at_all(store: Store) -> None:  # fmt: skip
    def fail(_: Connection) -> None:
        raise LookupError

    store.surveys.add([entry(1, sounding())])
    with pytest.raises(LookupError):
        store.surveys.add([entry(2, SEEN)], also=fail)
    store.surveys.add([entry(3, sounding(heard="dull"))])

    assert store.surveys.get(SURVEY) == fold([entry(1, sounding()), entry(3, sounding(heard="dull"))])  # fmt: skip
    assert passages_of(store) == {}
    assert row_of(store).last_seq == 2


def test_what_else_belongs_to_it_is_done_in_the_same_transaction(store: Store) -> None:
    seen: list[int] = []

    store.surveys.add(
        [entry(1, SEEN)],
        also=lambda connection: seen.extend(connection.scalars(select(passages.c.seq))),
    )

    assert seen == [1]


def test_surveys_not_used_lately_are_let_go(store: Store) -> None:
    small = Surveys(store.database, FakeClock(), most_entries=1)
    store.surveys.add([entry(1, sounding()), entry(2, sounding(), survey=OTHER_SURVEY)])
    first = weakref.ref(small.get(SURVEY))

    kept = weakref.ref(small.get(OTHER_SURVEY))
    gc.collect()

    assert first() is None
    assert kept() is not None
    assert small.get(SURVEY) == fold([entry(1, sounding())])


def test_threads_that_add_and_read_at_once_lose_nothing(store: Store) -> None:
    def write(number: int) -> None:
        for each in range(20):
            store.surveys.add([entry(100 * number + each, sounding(float(each)))])
            survey = store.surveys.get(SURVEY)
            assert survey is not None
            assert 100 * number + each in {int(e.id[-12:], 16) for e in survey.entries}

    threads = [threading.Thread(target=write, args=(number,)) for number in range(1, 5)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()

    survey = store.surveys.get(SURVEY)
    assert survey is not None
    assert len(survey.entries) == 80
    assert row_of(store).digest == survey.digest


def test_up_to_which_arrival_a_survey_speaks_is_known_of_each_that_is_given(store: Store) -> None:
    store.surveys.add([entry(1, sounding())])
    is_over = threading.Event()

    def write() -> None:
        try:
            for number in range(2, 60):
                store.surveys.add([entry(number, sounding(float(number)))])
        finally:
            is_over.set()

    writer = threading.Thread(target=write)
    writer.start()
    unknown = 0
    while not is_over.is_set():
        survey = store.surveys.get(SURVEY)
        assert survey is not None
        unknown += store.surveys.arrived(survey) != len(survey.entries)
    writer.join()

    assert unknown == 0
