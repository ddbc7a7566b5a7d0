"""What is SQLite's own: how a connection is set up, how a transaction begins, full text, errors in words."""

import sqlite3
from collections.abc import Sequence
from pathlib import Path
from types import MappingProxyType

from sqlalchemy import URL, Connection, Engine, create_engine, event, text
from sqlalchemy.exc import DBAPIError

from garboard.notebook.problem import Problem

_BUSY_S = 30.0
_PRAGMAS = (
    "journal_mode = WAL",
    # An acknowledged commit outlives a power cut; NORMAL may lose it.
    "synchronous = FULL",
    "foreign_keys = ON",
    # Without it INSERT OR REPLACE would remove an entry behind the back of its trigger.
    "recursive_triggers = ON",
    "cache_size = -32000",
)
_WRONG = MappingProxyType(
    {
        "SQLITE_BUSY": (
            "another program is writing to it and did not end",
            "Try again in a minute",
        ),
        "SQLITE_FULL": (
            "the disk is full, and nothing of this was kept",
            "Make room and do it again",
        ),
        "SQLITE_IOERR": (
            "the disk cannot be read or written, and nothing of this was kept",
            "Look after the disk, then do it again",
        ),
        "SQLITE_NOTADB": (
            "this file is no store of Garboard",
            "Name another folder, or restore the store from a copy",
        ),
        "SQLITE_CORRUPT": (
            "the file of the store is damaged",
            "Stop working with it and restore it from a copy",
        ),
        "SQLITE_CANTOPEN": (
            "the store cannot be opened here",
            "Name a folder in which you may write",
        ),
    }
)


def engine(path: Path) -> Engine:
    """An engine over one file; its transactions write only if `writes` is among their options."""
    made = create_engine(
        URL.create("sqlite", database=str(path)), connect_args={"timeout": _BUSY_S}
    )
    event.listen(made, "connect", _set_up)
    event.listen(made, "begin", _begin)
    return made


def problem_of(error: DBAPIError, where: str) -> Problem | None:
    """What went wrong, for people; None where it is a fault of ours."""
    name = getattr(error.orig, "sqlite_errorname", None) or ""
    for code, (what, do) in _WRONG.items():
        if name.startswith(code):
            return Problem(where=where, what=what, do=do)
    return None


def _set_up(connection: sqlite3.Connection, _record: object) -> None:
    # The driver would begin transactions by itself, and late; `_begin` does it.
    connection.isolation_level = None
    for pragma in _PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    """A writer takes the lock at once: one that began as a reader could fail half-way."""
    is_writer = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql(f"PRAGMA query_only = {'OFF' if is_writer else 'ON'}")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if is_writer else "BEGIN")


def latest_passages(connection: Connection, words: Sequence[str]) -> dict[str, int]:
    """By survey the latest passage in which all the words stand; a word finds what begins with it.

    Args:
        connection: Of any transaction.
        words: Of letters and figures only; at least one.
    """
    # A beginning of one letter would find nearly everything, slowly.
    terms = [f'"{each}"*' if len(each) > 1 else f'"{each}"' for each in words]
    query = text(
        "SELECT survey, max(seq) AS seq FROM passages "
        "WHERE seq IN (SELECT rowid FROM words WHERE words MATCH :terms) "
        "GROUP BY survey ORDER BY survey"
    )
    found = connection.execute(query, {"terms": " AND ".join(terms)})
    return {each.survey: each.seq for each in found}
