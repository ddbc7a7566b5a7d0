"""How often somebody may try: failures are counted, and each further one makes the next wait longer.

Raises:
    Refused: It is too soon to try again; says when it may be tried.
"""

from datetime import datetime, timedelta

from sqlalchemy import Connection, delete, or_, select

from garboard.notebook.problem import Problem, Refused
from garboard.store.tables import INSERT, attempts

_LONGEST_WAIT = timedelta(minutes=15)
_FORGOTTEN_AFTER = timedelta(days=1)


def begin(connection: Connection, key: str, *, free: int, now: datetime) -> None:
    """Count an attempt before its outcome is known, so that many at once gain nothing.

    Args:
        connection: Of a writing transaction.
        key: What is counted: a sign-in name, an address.
        free: How many may fail before the first wait.
        now: The time; aware.

    Raises:
        Refused: Too many failed lately.
    """
    # One that lies ahead was noted by a clock that was set back since; waiting for it could take years.
    is_forgotten = or_(
        attempts.c.last_at < now - _FORGOTTEN_AFTER, attempts.c.last_at > now + _LONGEST_WAIT
    )
    connection.execute(delete(attempts).where(is_forgotten))
    held = connection.execute(select(attempts).where(attempts.c.key == key)).one_or_none()
    failures = held.failures if held else 0
    due = _wait(failures - free)
    # Of two at once the later may come first: with nothing to wait for its time says nothing.
    wait = held.last_at + due - now if held and due else timedelta()
    if wait > timedelta():
        raise Refused(
            [
                Problem(
                    where="sign-in",
                    what=f"there were {failures} attempts that failed",
                    do=f"Wait {_in_words(wait.total_seconds())}, then try again",
                )
            ]
        )
    counted = {"failures": failures + 1, "last_at": now}
    statement = INSERT[connection.dialect.name](attempts).values(key=key, **counted)
    connection.execute(statement.on_conflict_do_update(index_elements=["key"], set_=counted))


def succeeded(connection: Connection, key: str) -> None:
    """Forget the failures under a key."""
    connection.execute(delete(attempts).where(attempts.c.key == key))


def _wait(too_many: int) -> timedelta:
    """How long to wait after the last failure: each one too many doubles it."""
    if too_many < 0:
        return timedelta()
    return min(_LONGEST_WAIT, timedelta(seconds=2 ** min(too_many + 1, 20)))


def _in_words(wait_s: float) -> str:
    return f"{wait_s / 60:.0f} minutes" if wait_s >= 90 else f"{max(1, round(wait_s))} seconds"
