"""Who is signed in on which device: a session a device, ended one by one."""

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, Row, Select, insert, select, update

from garboard.notebook.problem import Refused
from garboard.store.accounts import User
from garboard.store.database import Database
from garboard.store.tables import one_time_links, sessions, users
from garboard.store.tokens import SYSTEM, RandomBytes, hash_of, new_token

# A tablet lies in a drawer over the winter, and may then still hold what nobody has.
_ENDS_UNUSED = timedelta(days=180)
_NOTED_EVERY = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """A user signed in on a device; `seen_at` is true to the hour."""

    id: int
    user: User
    device: str
    created_at: datetime
    seen_at: datetime


def begin(
    connection: Connection,
    user_id: str,
    *,
    device: str,
    now: datetime,
    random_bytes: RandomBytes = SYSTEM,
) -> str:
    """Sign a user in on a device and give the token that the device keeps; it cannot be had again.

    Args:
        connection: Of a writing transaction.
        user_id: Whom.
        device: Its name, for the list of devices.
        now: The time; aware.
        random_bytes: A random source.
    """
    token = new_token(random_bytes)
    connection.execute(
        insert(sessions).values(
            token_hash=hash_of(token), user=user_id, device=device, created_at=now, seen_at=now
        )
    )
    return token


def check(database: Database, token: str, now: datetime) -> Session | None:
    """The session a token stands for; None where it was never given, was revoked, or lay unused too long."""
    with database.reading() as connection:
        row = connection.execute(
            _alive(now).where(sessions.c.token_hash == hash_of(token))
        ).one_or_none()
    if row is None:
        return None
    if row.seen_at < now - _NOTED_EVERY:
        # Only for the list of devices: where the store is busy, the next request notes it.
        with suppress(Refused), database.writing() as connection:
            connection.execute(
                update(sessions).where(sessions.c.id == row.session).values(seen_at=now)
            )
    return _session(row)


def of_user(connection: Connection, user_id: str, now: datetime) -> tuple[Session, ...]:
    """A user's sessions, the last seen first."""
    query = _alive(now).where(sessions.c.user == user_id)
    found = connection.execute(query.order_by(sessions.c.seen_at.desc(), sessions.c.id.desc()))
    return tuple(_session(row) for row in found)


def revoke(connection: Connection, user_id: str, session_id: int, now: datetime) -> None:
    """End a session of a user, wherever the device is; links made for them and not used yet open nothing any more."""
    _withdraw_links(connection, user_id, now)
    connection.execute(
        update(sessions)
        .where(sessions.c.id == session_id, sessions.c.user == user_id)
        .values(revoked_at=now)
    )


def revoke_all(
    connection: Connection, user_id: str, now: datetime, *, but: int | None = None
) -> None:
    """End all sessions of a user, but for one that may go on; and their links, as `revoke` does."""
    _withdraw_links(connection, user_id, now)
    connection.execute(
        update(sessions)
        .where(
            sessions.c.user == user_id,
            sessions.c.revoked_at.is_(None),
            sessions.c.id.is_distinct_from(but),
        )
        .values(revoked_at=now)
    )


def _withdraw_links(connection: Connection, user_id: str, now: datetime) -> None:
    connection.execute(
        update(one_time_links)
        .where(one_time_links.c.subject == user_id, one_time_links.c.used_at.is_(None))
        .values(used_at=now)
    )


def _alive(now: datetime) -> Select[Any]:
    return (
        select(
            users,
            sessions.c.id.label("session"),
            sessions.c.device,
            sessions.c.created_at.label("begun_at"),
            sessions.c.seen_at,
        )
        .join_from(sessions, users)
        .where(
            sessions.c.revoked_at.is_(None),
            sessions.c.seen_at > now - _ENDS_UNUSED,
            users.c.closed_at.is_(None),
        )
    )


def _session(row: Row[Any]) -> Session:
    return Session(
        id=row.session,
        user=User(
            id=row.id,
            sign_in=row.sign_in,
            name=row.name,
            password_hash=row.password_hash,
            created_at=row.created_at,
            closed_at=row.closed_at,
        ),
        device=row.device,
        created_at=row.begun_at,
        seen_at=row.seen_at,
    )
