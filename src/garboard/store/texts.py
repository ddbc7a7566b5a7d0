"""Texts that surveyors write for themselves, as terms and phrases, and what they set: every version is kept, the latest counts."""

import hashlib
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import Connection, Row, func, insert, select

from garboard.store.tables import texts

Kind = Literal["terms", "phrase", "practice", "setting"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnText:
    """One version of a text. An empty one says that the text was put away."""

    kind: str
    name: str
    version: int
    text: str
    sha256: str
    made_by: str
    made_at: datetime


def keep(
    connection: Connection, kind: Kind, name: str, text: str, *, by: str, now: datetime
) -> OwnText:
    """Keep a text as the latest version of its name; the same text again is the same version.

    Args:
        connection: Of a writing transaction.
        kind: What it is for.
        name: Tells texts of one kind apart.
        text: Its words; empty puts it away.
        by: Who wrote it.
        now: The time; aware.
    """
    held = one(connection, kind, name)
    if held and held.text == text:
        return held
    made = OwnText(
        kind=kind,
        name=name,
        version=held.version + 1 if held else 1,
        text=text,
        sha256=hashlib.sha256(text.encode()).hexdigest(),
        made_by=by,
        made_at=now,
    )
    values = {name: getattr(made, name) for name in made.__slots__}
    connection.execute(insert(texts).values(values))
    return made


def one(connection: Connection, kind: Kind, name: str) -> OwnText | None:
    """The latest version of a text, or None where there was never one."""
    query = select(texts).where(texts.c.kind == kind, texts.c.name == name)
    row = connection.execute(query.order_by(texts.c.version.desc()).limit(1)).one_or_none()
    return _own_text(row) if row else None


def latest(connection: Connection, kind: Kind) -> tuple[OwnText, ...]:
    """The latest version of each text of a kind, by name; those put away are left out."""
    newest = (
        select(func.max(texts.c.seq)).where(texts.c.kind == kind).group_by(texts.c.name)
    ).scalar_subquery()
    query = select(texts).where(texts.c.seq.in_(newest), texts.c.text != "").order_by(texts.c.name)
    return tuple(_own_text(row) for row in connection.execute(query))


def versions(connection: Connection, kind: Kind, name: str) -> tuple[OwnText, ...]:
    """Every version of a text, the latest first."""
    query = select(texts).where(texts.c.kind == kind, texts.c.name == name)
    return tuple(
        _own_text(row) for row in connection.execute(query.order_by(texts.c.version.desc()))
    )


def of_sha256(connection: Connection, sha256: str) -> OwnText | None:
    """A text by the SHA-256 of its words, or None."""
    query = select(texts).where(texts.c.sha256 == sha256).order_by(texts.c.seq).limit(1)
    row = connection.execute(query).one_or_none()
    return _own_text(row) if row else None


def _own_text(row: Row[Any]) -> OwnText:
    held = dict(row._mapping)
    del held["seq"]
    return OwnText(**held)
