"""Work that takes longer than a request: a queue that outlives a crash.

A job is claimed for a while, its lease, and whoever works on it renews the lease. When a program ends in the middle
the lease runs out, and the job is begun again; after some tries it is failed, in words.

Raises:
    Lost: Somebody else works on the job now, or it was ended.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Literal

from sqlalchemy import ColumnElement, Connection, Row, Update, and_, insert, or_, select, update

from garboard.store.tables import jobs

State = Literal["ready", "running", "done", "failed", "cancelled"]

LEASE = timedelta(seconds=60)
MOST_TRIES = 3


class Lost(Exception):
    """A claim that holds no longer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job as it stands. `words` say what is being done, `share` how much is, 0 to 1; `error` is for people."""

    id: int
    kind: str
    arguments: Mapping[str, Any]
    survey: str | None
    state: State
    lease_until: datetime | None
    tries: int
    words: str
    share: float
    cancel_asked: bool
    result: Any
    error: str | None
    created_at: datetime
    ended_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A try of a job, to work on and to report about."""

    job: int
    number: int


def enqueue(
    connection: Connection,
    kind: str,
    arguments: Mapping[str, Any],
    *,
    survey: str | None = None,
    now: datetime,
) -> int:
    """Add a job and give its number.

    Args:
        connection: Of a writing transaction.
        kind: Names the function that does it.
        arguments: What it is told, made of JSON values.
        survey: Which survey it is about, if it is about one.
        now: The time; aware.
    """
    statement = insert(jobs).values(
        kind=kind,
        arguments=dict(arguments),
        survey=survey,
        state="ready",
        tries=0,
        words="",
        share=0.0,
        cancel_asked=False,
        created_at=now,
    )
    return int(connection.execute(statement.returning(jobs.c.id)).scalar_one())


def get(connection: Connection, job: int) -> Job | None:
    """A job by its number, or None."""
    row = connection.execute(select(jobs).where(jobs.c.id == job)).one_or_none()
    return _job(row) if row else None


def recent(
    connection: Connection, *, survey: str | None = None, kind: str | None = None, limit: int = 50
) -> tuple[Job, ...]:
    """Jobs, of one survey or of all, of one kind or of any, newest first."""
    query = select(jobs).order_by(jobs.c.id.desc()).limit(limit)
    if survey is not None:
        query = query.where(jobs.c.survey == survey)
    if kind is not None:
        query = query.where(jobs.c.kind == kind)
    return tuple(_job(row) for row in connection.execute(query))


def ask_cancel(connection: Connection, job: int, now: datetime) -> None:
    """Cancel a job: at once where nobody has begun it, else as soon as its function looks."""
    cancelled = {"state": "cancelled", "ended_at": now, "words": "Cancelled"}
    waiting = and_(jobs.c.id == job, jobs.c.state == "ready")
    connection.execute(update(jobs).where(waiting).values(cancelled))
    running = and_(jobs.c.id == job, jobs.c.state == "running")
    connection.execute(update(jobs).where(running).values(cancel_asked=True))


def claim(
    connection: Connection, kinds: Collection[str], *, now: datetime, lease: timedelta = LEASE
) -> tuple[Claim, Job] | None:
    """Take the oldest job that waits or whose lease ran out, or None where there is none.

    Args:
        connection: Of a writing transaction.
        kinds: What can be done here.
        now: The time; aware.
        lease: For how long.
    """
    _give_up(connection, now)
    oldest = (
        select(jobs.c.id)
        .where(jobs.c.kind.in_(kinds), or_(jobs.c.state == "ready", _lapsed(now)))
        .order_by(jobs.c.id)
        .limit(1)
    )
    row = connection.execute(
        update(jobs)
        .where(jobs.c.id == oldest.scalar_subquery())
        .values(state="running", lease_until=now + lease, tries=jobs.c.tries + 1)
        .returning(jobs)
    ).one_or_none()
    return (Claim(job=row.id, number=row.tries), _job(row)) if row else None


def renew(connection: Connection, claim: Claim, *, now: datetime, lease: timedelta = LEASE) -> None:
    """Go on working on a job.

    Raises:
        Lost: It is not ours any more.
    """
    if not connection.execute(_update(claim).values(lease_until=now + lease)).rowcount:
        raise Lost


def progress(connection: Connection, claim: Claim, words: str, share: float | None) -> None:
    """Say what is being done, and how much is: 0 to 1, or None for as much as before.

    Raises:
        Lost: It is not ours any more.
    """
    values: dict[str, Any] = {"words": words}
    if share is not None:
        values["share"] = min(1.0, max(0.0, share))
    if not connection.execute(_update(claim).values(values)).rowcount:
        raise Lost


def finish(connection: Connection, claim: Claim, result: Any, now: datetime) -> None:
    """End a job well, with a result made of JSON values.

    Raises:
        Lost: It is not ours any more.
    """
    _end(connection, claim, state="done", result=result, share=1.0, ended_at=now)


def fail(connection: Connection, claim: Claim, error: str, now: datetime) -> None:
    """End a job that could not be done, and say why in words.

    Raises:
        Lost: It is not ours any more.
    """
    _end(connection, claim, state="failed", error=error, ended_at=now)


def cancelled(connection: Connection, claim: Claim, now: datetime) -> None:
    """End a job that was asked to be cancelled.

    Raises:
        Lost: It is not ours any more.
    """
    _end(connection, claim, state="cancelled", words="Cancelled", ended_at=now)


def put_back(connection: Connection, claim: Claim) -> None:
    """Let another begin a job anew, as when this program is told to stop.

    Raises:
        Lost: It is not ours any more.
    """
    _end(connection, claim, state="ready", words="", share=0.0)


def is_cancel_asked(connection: Connection, claim: Claim) -> bool:
    """Whether a job is to end; true too where it is not ours any more."""
    query = select(jobs.c.cancel_asked).where(_is_ours(claim))
    asked = connection.execute(query).scalar_one_or_none()
    return asked is None or asked


def _give_up(connection: Connection, now: datetime) -> None:
    """End what nobody works on any more and shall not be begun again."""
    asked = update(jobs).where(_lapsed(now), jobs.c.cancel_asked)
    connection.execute(
        asked.values(state="cancelled", words="Cancelled", lease_until=None, ended_at=now)
    )
    tried = update(jobs).where(_lapsed(now), jobs.c.tries >= MOST_TRIES)
    error = (
        f"This was begun {MOST_TRIES} times, and each time the program ended before it was done. "
        "Try it once more; if it ends so again, report it."
    )
    connection.execute(tried.values(state="failed", error=error, lease_until=None, ended_at=now))


def _end(connection: Connection, claim: Claim, **values: Any) -> None:
    ended = _update(claim).values(lease_until=None, **values)
    if not connection.execute(ended).rowcount:
        raise Lost


def _update(claim: Claim) -> Update:
    return update(jobs).where(_is_ours(claim))


def _is_ours(claim: Claim) -> ColumnElement[bool]:
    return and_(jobs.c.id == claim.job, jobs.c.tries == claim.number, jobs.c.state == "running")


def _lapsed(now: datetime) -> ColumnElement[bool]:
    return and_(jobs.c.state == "running", jobs.c.lease_until < now)


def _job(row: Row[Any]) -> Job:
    return Job(**row._mapping)
