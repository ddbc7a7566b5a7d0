"""Links that open one door: used once, or to accept the terms of one survey.

Raises:
    Refused: The link is unknown, was used, was withdrawn, or is too old; says what to do.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, Row, Table, insert, select, update

from garboard.notebook.problem import Problem, Refused
from garboard.store.tables import acceptance_links, one_time_links
from garboard.store.tokens import SYSTEM, RandomBytes, hash_of, new_token


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """Terms of a survey, by the SHA-256 of their text, laid before somebody; `accepted_at` says when they were."""

    survey: str
    terms_sha256: str
    created_at: datetime
    expires_at: datetime
    accepted_at: datetime | None


def make(
    connection: Connection,
    purpose: str,
    subject: str,
    *,
    lasts: timedelta,
    now: datetime,
    random_bytes: RandomBytes = SYSTEM,
) -> str:
    """A token that may be used once, for one purpose; it cannot be had again.

    Args:
        connection: Of a writing transaction.
        purpose: What for, as "choose a password".
        subject: For whom or what: a user's id.
        lasts: How long.
        now: The time; aware.
        random_bytes: A random source.
    """
    values = {"purpose": purpose, "subject": subject}
    return _made(connection, one_time_links, values, lasts, now, random_bytes)


def look(connection: Connection, purpose: str, token: str, now: datetime) -> str:
    """The subject of a link that may still be used, which it stays.

    Raises:
        Refused: It may not.
    """
    row = _held(connection, one_time_links, token)
    if row is None or row.purpose != purpose:
        raise _refused("it is not known here", "Open it as it was sent, or ask for a new one")
    if row.used_at is not None:
        raise _refused("it was used already", "Ask for a new one if that was not you")
    return str(_in_time(row, now).subject)


def use(connection: Connection, purpose: str, token: str, now: datetime) -> str:
    """Use a link up, in a writing transaction, and give its subject.

    Raises:
        Refused: It may not be used.
    """
    subject = look(connection, purpose, token, now)
    connection.execute(
        update(one_time_links)
        .where(one_time_links.c.token_hash == hash_of(token))
        .values(used_at=now)
    )
    return subject


def offer(
    connection: Connection,
    survey: str,
    terms_sha256: str,
    *,
    lasts: timedelta,
    now: datetime,
    random_bytes: RandomBytes = SYSTEM,
) -> str:
    """A token under which somebody may read and accept the terms of one survey.

    Args:
        connection: Of a writing transaction.
        survey: Its id.
        terms_sha256: Of the text of the terms.
        lasts: How long they may be accepted.
        now: The time; aware.
        random_bytes: A random source.
    """
    values = {"survey": survey, "terms_sha256": terms_sha256}
    return _made(connection, acceptance_links, values, lasts, now, random_bytes)


def offered(connection: Connection, token: str, now: datetime) -> Offer:
    """The terms under a token; once accepted they can be read for ever.

    Raises:
        Refused: The token is unknown, too old, or withdrawn.
    """
    row = _held(connection, acceptance_links, token)
    if row is None:
        raise _refused("it is not known here", "Open it as it was sent, or ask for a new one")
    if row.withdrawn_at is not None:
        raise _refused("these terms were withdrawn", "Ask for new ones")
    if row.accepted_at is None:
        _in_time(row, now)
    return _offer(row)


def open_offers(connection: Connection, survey: str, now: datetime) -> tuple[Offer, ...]:
    """The terms of a survey that somebody may still accept, the latest first."""
    query = select(acceptance_links).where(
        acceptance_links.c.survey == survey,
        acceptance_links.c.accepted_at.is_(None),
        acceptance_links.c.withdrawn_at.is_(None),
        acceptance_links.c.expires_at > now,
    )
    found = connection.execute(query.order_by(acceptance_links.c.created_at.desc()))
    return tuple(map(_offer, found))


def accept(connection: Connection, token: str, now: datetime) -> Offer:
    """Accept the terms under a token, in a writing transaction; accepted before, they keep their time.

    Raises:
        Refused: The token is unknown, too old, or withdrawn.
    """
    found = offered(connection, token, now)
    if found.accepted_at is not None:
        return found
    connection.execute(
        update(acceptance_links)
        .where(acceptance_links.c.token_hash == hash_of(token))
        .values(accepted_at=now)
    )
    return replace(found, accepted_at=now)


def withdraw_offers(connection: Connection, survey: str, now: datetime) -> None:
    """Withdraw the terms of a survey that nobody has accepted yet."""
    connection.execute(
        update(acceptance_links)
        .where(
            acceptance_links.c.survey == survey,
            acceptance_links.c.accepted_at.is_(None),
            acceptance_links.c.withdrawn_at.is_(None),
        )
        .values(withdrawn_at=now)
    )


def _made(
    connection: Connection,
    table: Table,
    values: Mapping[str, str],
    lasts: timedelta,
    now: datetime,
    random_bytes: RandomBytes,
) -> str:
    """A new token, of which only the hash is kept."""
    token = new_token(random_bytes)
    row = {"token_hash": hash_of(token), "created_at": now, "expires_at": now + lasts, **values}
    connection.execute(insert(table).values(row))
    return token


def _offer(row: Row[Any]) -> Offer:
    return Offer(
        survey=row.survey,
        terms_sha256=row.terms_sha256,
        created_at=row.created_at,
        expires_at=row.expires_at,
        accepted_at=row.accepted_at,
    )


def _held(connection: Connection, table: Table, token: str) -> Row[Any] | None:
    query = select(table).where(table.c.token_hash == hash_of(token))
    return connection.execute(query).one_or_none()


def _in_time(row: Row[Any], now: datetime) -> Row[Any]:
    if now >= row.expires_at:
        raise _refused(
            f"it was good until {row.expires_at:%Y-%m-%d %H:%M} UTC", "Ask for a new one"
        )
    return row


def _refused(what: str, do: str) -> Refused:
    return Refused([Problem(where="link", what=what, do=do)])
