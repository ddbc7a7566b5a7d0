"""The time zone of a desk: the one chosen on its page, else that of the computer it runs on.

A zone is a place's, not an offset: every time is written and shown by the offset of its own day.
"""

import os
import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

from garboard.notebook.problem import Problem, Refused
from garboard.store import texts
from garboard.store.clock import Clock
from garboard.store.database import Database

_UNIVERSAL = "UTC"
_NAME = "time zone"
_FOLDER = "zoneinfo/"
# Older names of what lies under a continent or an ocean today: still gone by, but not offered.
_OLD_AREAS = ("Brazil/", "Canada/", "Chile/", "Mexico/", "US/")
_TYPED = re.compile(
    r"(\d{4}-\d\d-\d\d)[Tt ] *(\d{1,2})(:\d\d(?::\d\d(?:\.\d{1,6})?)?) *([Zz]|[+-]\d\d:\d\d)?"
)


class Zones:
    """The zone that a desk goes by, kept in its store once it was chosen.

    `name` says which it is; empty where only an offset is known, as on a computer that was never told its place.
    `lost` is the one that was chosen, where this computer does not know it.
    """

    def __init__(self, database: Database, own: tzinfo) -> None:
        """Go by what was chosen before, else by `own`."""
        with database.reading() as connection:
            kept = texts.one(connection, "setting", _NAME)
        self._database = database
        chosen = _zone(kept.text) if kept else None
        self.lost = kept.text if kept and chosen is None else ""
        self.current = chosen or own
        self.name = kept.text if kept and chosen else own.key if isinstance(own, ZoneInfo) else ""

    def choose(self, name: str, *, by: str, now: datetime) -> None:
        """Go by another zone from now on.

        Args:
            name: As the IANA names it.
            by: Who chose it.
            now: The time; aware.

        Raises:
            Refused: There is no such zone.
        """
        chosen = _zone(name)
        if chosen is None:
            raise Refused([Problem(where="Time zone", what=f"there is none called “{name}”" if name else "none is chosen", do="Choose one from the list")])  # fmt: skip
        with self._database.writing() as connection:
            texts.keep(connection, "setting", _NAME, name, by=by, now=now)
        self.current, self.name, self.lost = chosen, name, ""


def with_offset(at: datetime) -> datetime:
    """A moment with the offset that its zone has then, as entries state it.

    >>> with_offset(datetime(2026, 7, 1, tzinfo=ZoneInfo("Europe/Paris"))).tzname()
    'UTC+02:00'
    """
    return at.astimezone(timezone(at.utcoffset() or timedelta(0)))


def as_typed(at: datetime, zone: tzinfo) -> str:
    """A moment as a form holds it: by the clock of a zone, to the second.

    >>> as_typed(datetime(2026, 5, 12, 8, 41, 7, 250, tzinfo=UTC), UTC)
    '2026-05-12T08:41:07'
    """
    return at.astimezone(zone).strftime("%Y-%m-%dT%H:%M:%S")


def moment_typed(text: str, zone: tzinfo, stands: datetime | None = None) -> datetime:
    """The moment that a form holds.

    Args:
        text: A day and a time of day, with an offset or without.
        zone: Whose clock it is told by where it states no offset.
        stands: What the form was filled from, which stays where nobody touched it: a clock tells neither the
            fraction of its second nor, in autumn, which of two like hours it lies in.

    Raises:
        ValueError: It is none, or the clocks pass it over.

    >>> moment_typed("2026-05-12 9:41", UTC).isoformat()
    '2026-05-12T09:41:00+00:00'
    """
    if stands is not None and text == as_typed(stands, zone):
        return stands
    typed = _TYPED.fullmatch(text.strip())
    try:
        if typed is None:
            raise ValueError
        day, hour, rest, offset = typed.groups(default="")
        stated = datetime.fromisoformat(f"{day}T{hour:0>2}{rest}{offset.upper()}")
        if stated.tzinfo:
            return stated
        told = stated.replace(tzinfo=zone)
        is_passed_over = told.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != stated
    except (ValueError, OverflowError):
        raise ValueError(f'"{text}" is no time of a day') from None
    if is_passed_over:
        raise ValueError(f"the clocks go forward on that day, and pass over {stated:%H:%M}")
    return told


@cache
def choices() -> tuple[tuple[str, str], ...]:
    """Every zone that is offered with what it is called: universal time, then places as an index has them."""
    offered = (each for each in _places() if not each.startswith(_OLD_AREAS))
    named = sorted((_in_words(each), each) for each in offered)
    return ((_UNIVERSAL, "Universal time, UTC"), *((name, words) for words, name in named))


def _in_words(name: str) -> str:
    """A zone as one looks for it: the place first, then what it lies in.

    >>> _in_words("America/Argentina/Buenos_Aires")
    'Buenos Aires, Argentina, America'
    """
    return ", ".join(reversed(name.replace("_", " ").split("/")))


def own_zone(clock: Clock) -> tzinfo:
    """That of this computer, by its name where one is set that stands for a place, else by its offset now.

    Computers that nobody set up for a place, as containers, go by universal time.
    """
    for name in _set_here():
        if name != _UNIVERSAL and (found := _zone(name)):
            return found
    offset = clock().astimezone().tzinfo
    assert offset is not None
    return offset


def _set_here() -> Iterator[str]:
    """What this computer calls its zone: by its environment, which comes before everything, else by its files."""
    if told := os.environ.get("TZ", ""):
        yield told.removeprefix(":").rpartition(_FOLDER)[2]
        return
    yield str(Path("/etc/localtime").resolve()).rpartition(_FOLDER)[2]
    written = Path("/etc/timezone")
    if written.is_file():
        yield written.read_text("utf-8", errors="replace").strip()


def _zone(name: str) -> tzinfo | None:
    """The zone of a name; None where this computer knows none. Universal time needs no table of zones."""
    if name == _UNIVERSAL:
        return UTC
    try:
        return ZoneInfo(name) if name in _places() else None
    except (LookupError, ValueError):
        return None


@cache
def _places() -> frozenset[str]:
    """The zones of places; others are offsets under a name."""
    places = (each for each in available_timezones() if "/" in each)
    return frozenset(each for each in places if not each.startswith(("Etc/", "SystemV/")))
