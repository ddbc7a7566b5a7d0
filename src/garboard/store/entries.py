"""Entries as rows: added once, never changed, read in the order they arrived."""

import hashlib
import json
from collections.abc import Collection, Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, func, select

from garboard.notebook.body import KINDS, Unknown
from garboard.notebook.canonical import canonical
from garboard.notebook.entry import Entry, to_line
from garboard.notebook.problem import Refused
from garboard.notebook.shape import moment, read
from garboard.store.tables import INSERT, entries

# SQLite binds no more than 32,766 values in one statement.
_AT_ONCE = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """An entry's canonical line with its place in the order of arrival."""

    seq: int
    line: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """Rows that arrived after a cursor, and the cursor to go on from."""

    rows: tuple[Row, ...]
    cursor: int
    is_last: bool


def add(
    connection: Connection, added: Iterable[Entry[Any]], now: datetime
) -> tuple[Entry[Any], ...]:
    """Add entries and give those that were new; what is held already is left as it is.

    Merging is set union: the order of adding and doing it again make no difference to what is held. Two
    contents under one id are both kept.

    Args:
        connection: Of a writing transaction.
        added: Of any surveys, in the order they shall have arrived.
        now: The time of arrival; aware.
    """
    by_key: dict[tuple[str, str], tuple[Entry[Any], str]] = {}
    for entry in added:
        line = to_line(entry)
        by_key[entry.id, hashlib.sha256(line).hexdigest()] = (entry, line.decode())
    if not by_key:
        return ()
    statement = (
        INSERT[connection.dialect.name](entries)
        .on_conflict_do_nothing(index_elements=["id", "sha256"])
        .returning(entries.c.id, entries.c.sha256)
    )
    rows = [
        {
            "id": entry.id,
            "sha256": sha256,
            "survey": entry.survey,
            "at": entry.at,
            "author": entry.author,
            "device": entry.device,
            "kind": entry.kind,
            "line": line,
            "received_at": now,
        }
        for (_, sha256), (entry, line) in by_key.items()
    ]
    new = {(each.id, each.sha256) for each in connection.execute(statement, rows)}
    return tuple(entry for key, (entry, _) in by_key.items() if key in new)


def ids_held(connection: Connection, ids: Iterable[str]) -> frozenset[str]:
    """Which of the ids the store holds."""
    asked = list(dict.fromkeys(ids))
    held: set[str] = set()
    for start in range(0, len(asked), _AT_ONCE):
        some = entries.c.id.in_(asked[start : start + _AT_ONCE])
        held.update(connection.scalars(select(entries.c.id).where(some)))
    return frozenset(held)


def missing(connection: Connection, ids: Collection[str]) -> tuple[str, ...]:
    """Which of the ids the store does not hold, in the order given."""
    held = ids_held(connection, ids)
    return tuple(each for each in dict.fromkeys(ids) if each not in held)


def since(
    connection: Connection, cursor: int, *, survey: str | None = None, limit: int = 1000
) -> Page:
    """What arrived after a cursor, in the order of arrival.

    Args:
        connection: Of any transaction.
        cursor: 0, or the cursor of the page before.
        survey: Only of this survey, or of all.
        limit: At most so many rows; 1 or more.
    """
    query = select(entries.c.seq, entries.c.line).where(entries.c.seq > cursor)
    if survey is not None:
        query = query.where(entries.c.survey == survey)
    found = connection.execute(query.order_by(entries.c.seq).limit(limit + 1)).all()
    rows = tuple(Row(seq=each.seq, line=each.line.encode()) for each in found[:limit])
    return Page(rows=rows, cursor=rows[-1].seq if rows else cursor, is_last=len(rows) == len(found))


def of_survey(connection: Connection, survey: str, *, after: int = 0) -> tuple[Row, ...]:
    """The rows of a survey that arrived after a cursor, in the order of arrival."""
    found = connection.execute(
        select(entries.c.seq, entries.c.line)
        .where(entries.c.survey == survey, entries.c.seq > after)
        .order_by(entries.c.seq)
    )
    return tuple(Row(seq=each.seq, line=each.line.encode()) for each in found)


def last_arrival(connection: Connection, survey: str) -> datetime | None:
    """When a survey's latest entry arrived, or None where it has none."""
    query = select(entries.c.received_at).where(entries.c.survey == survey)
    latest: datetime | None = connection.scalar(query.order_by(entries.c.seq.desc()).limit(1))
    return latest


def last_seq(connection: Connection, survey: str | None = None) -> int:
    """The place of the latest arrival, of a survey or of all; 0 where there is none."""
    query = select(func.max(entries.c.seq))
    if survey is not None:
        query = query.where(entries.c.survey == survey)
    return connection.scalar(query) or 0


def surveys_with(connection: Connection, author: str, kind: str, *, but: str) -> tuple[str, ...]:
    """The surveys in which somebody wrote an entry of a kind, the one written in last first.

    Args:
        connection: Of any transaction.
        author: Who wrote it.
        kind: Of the entry.
        but: A survey that does not count.
    """
    query = select(entries.c.survey).where(
        entries.c.author == author, entries.c.kind == kind, entries.c.survey != but
    )
    # By the time of writing: an old survey that came in yesterday is old.
    latest = query.group_by(entries.c.survey).order_by(
        func.max(entries.c.at).desc(), entries.c.survey
    )
    return tuple(connection.scalars(latest))


def entry_of(line: bytes) -> Entry[Any]:
    """The entry of a line the store holds; it was checked when it came, and is not checked again.

    A body that does not fit its kind was kept by a version that did not know the kind; it stays unknown.
    """
    data = json.loads(line)
    return Entry(
        id=data["id"],
        survey=data["survey"],
        at=moment(data["at"]),
        author=data["author"],
        device=data["device"],
        body=_body(data["kind"], data["body"]),
        replaces=tuple(data["replaces"]),
        why=data["why"],
    )


def _body(kind: str, data: Any) -> Any:
    if kind in KINDS:
        with suppress(Refused):
            return read(KINDS[kind], data, kind)
    return Unknown(kind=kind, json=canonical(data).decode())
