"""A store opens up to date or not at all, and a transaction is kept whole or leaves no trace."""

import sqlite3
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from cast import entry, sounding
from sqlalchemy import create_engine, func, select, text
from sqlalchemy.exc import OperationalError
from store.fakes import FakeClock

from garboard.notebook.problem import Refused
from garboard.store import entries, sqlite
from garboard.store.database import Database
from garboard.store.folder import Store, open_store
from garboard.store.tables import entries as entries_table
from garboard.store.tables import metadata


def count(store: Store) -> int:
    with store.database.reading() as connection:
        return connection.scalar(select(func.count()).select_from(entries_table)) or 0


def test_a_store_opened_again_holds_what_it_held(store: Store, tmp_path: Path) -> None:
    store.surveys.add([entry(1, sounding())])
    store.close()

    again = open_store(tmp_path / "store", FakeClock())

    assert count(again) == 1
    again.close()


def test_the_migrations_make_the_tables_that_are_declared(store: Store) -> None:
    with store.database.reading() as connection:
        context = MigrationContext.configure(
            connection,
            opts={"compare_type": True, "include_name": lambda name, kind, _: kind != "table" or not name.startswith("words")},
        )  # fmt: skip

        assert compare_metadata(context, metadata) == []


def test_a_store_made_by_a_newer_version_is_refused_and_left_alone(store: Store, tmp_path: Path) -> None:  # fmt: skip
    store.close()
    path = tmp_path / "store" / "garboard.sqlite"
    with sqlite3.connect(path) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.close()
    before = path.read_bytes()

    with pytest.raises(Refused, match=r"made by a newer version of Garboard .* at 9999"):
        open_store(tmp_path / "store")

    assert path.read_bytes() == before


def test_a_file_that_is_no_store_is_refused(tmp_path: Path) -> None:
    (tmp_path / "garboard.sqlite").write_text("a shopping list, long enough to be taken for a page " * 20)  # fmt: skip

    with pytest.raises(Refused, match=r"this file is no store of Garboard\. Name another folder"):
        open_store(tmp_path)


def test_a_folder_that_cannot_be_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")

    with pytest.raises(Refused, match="no store can be opened here"):
        open_store(tmp_path / "file" / "store")


def test_a_reader_cannot_write(store: Store) -> None:
    with pytest.raises(OperationalError, match="readonly"), store.database.reading() as connection:
        entries.add(connection, [entry(1, sounding())], FakeClock().now)


def test_a_reader_sees_one_state_while_another_writes(store: Store) -> None:
    query = select(func.count()).select_from(entries_table)
    with store.database.reading() as connection:
        before = connection.scalar(query)

        store.surveys.add([entry(1, sounding())])

        assert connection.scalar(query) == before == 0
    assert count(store) == 1


def test_a_transaction_that_fails_leaves_no_trace(store: Store) -> None:
    def fail_half_way() -> None:
        with store.database.writing() as connection:
            entries.add(connection, [entry(1, sounding())], FakeClock().now)
            raise LookupError

    with pytest.raises(LookupError):
        fail_half_way()

    assert count(store) == 0
    assert len(store.surveys.add([entry(1, sounding())])) == 1


def test_what_is_committed_is_synced_to_the_disk(store: Store) -> None:
    with store.database.writing() as connection:
        settings = [
            connection.scalar(text(f"PRAGMA {name}"))
            for name in ("journal_mode", "synchronous", "foreign_keys")
        ]

    assert settings == ["wal", 2, 1]


def test_a_store_that_stays_busy_is_said(tmp_path: Path) -> None:
    path = tmp_path / "busy.sqlite"
    with sqlite3.connect(path, isolation_level=None) as one, sqlite3.connect(path, timeout=0) as other:  # fmt: skip
        one.execute("BEGIN IMMEDIATE")
        with pytest.raises(sqlite3.OperationalError) as busy:
            other.execute("BEGIN IMMEDIATE")
    one.close()
    other.close()

    problem = sqlite.problem_of(OperationalError("", None, busy.value), "the store")

    assert str(problem) == "the store: another program is writing to it and did not end. Try again in a minute."  # fmt: skip


def test_a_store_of_which_too_many_ask_at_once_says_so(tmp_path: Path) -> None:
    path = f"sqlite:///{tmp_path / 'store.sqlite'}"
    engine = create_engine(path, pool_size=1, max_overflow=0, pool_timeout=0.01)
    database = Database(engine, "the store")

    with database.reading(), pytest.raises(Refused, match="too many ask of it at once"), database.reading():  # fmt: skip
        pass
    database.close()
