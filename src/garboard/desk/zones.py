"""The time zone of a desk: the one chosen on its page, else that of the computer it runs on.

A zone is a place's, not an offset: every time is written and shown by the offset of its own day.
"""

import os
from collections.abc import Iterator
from datetime import datetime, tzinfo
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

from garboard.notebook.problem import Problem, Refused
from garboard.store import texts
from garboard.store.clock import Clock
from garboard.store.database import Database

UTC = "UTC"
_NAME = "time zone"
_FOLDER = "zoneinfo/"


class Zones:
    """The zone that a desk goes by, kept in its store once it was chosen."""

    def __init__(self, database: Database, own: tzinfo) -> None:
        """Go by what was chosen before, else by `own`."""
        with database.reading() as connection:
            kept = texts.one(connection, "setting", _NAME)
        self._database = database
        self.current = ZoneInfo(kept.text) if kept and kept.text in _names() else own

    @property
    def name(self) -> str:
        """Which zone it is; empty where only an offset is known, as on a computer that was never told its place."""
        return self.current.key if isinstance(self.current, ZoneInfo) else ""

    def choose(self, name: str, *, by: str, now: datetime) -> None:
        """Go by another zone from now on.

        Args:
            name: As the IANA names it.
            by: Who chose it.
            now: The time; aware.

        Raises:
            Refused: There is no such zone.
        """
        if name not in _names():
            raise Refused([Problem(where="Time zone", what=f"there is none called “{name}”" if name else "none is chosen", do="Choose one from the list")])  # fmt: skip
        with self._database.writing() as connection:
            texts.keep(connection, "setting", _NAME, name, by=by, now=now)
        self.current = ZoneInfo(name)


@cache
def choices() -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """Every zone with what it is called, by the part of the world it lies in."""
    found: dict[str, list[tuple[str, str]]] = {}
    for name in sorted(_names() - {UTC}):
        area, _, place = name.partition("/")
        said = ", ".join(place.replace("_", " ").split("/"))
        found.setdefault(area, []).append((name, said))
    return (
        ("Everywhere", ((UTC, "Universal time, UTC"),)),
        *((area, tuple(zones)) for area, zones in found.items()),
    )


def own_zone(clock: Clock) -> tzinfo:
    """That of this computer, by its name where one is set that stands for a place, else by its offset now.

    Computers that nobody set up for a place, as containers, go by universal time.
    """
    for name in _set_here():
        if name in _names() - {UTC}:
            return ZoneInfo(name)
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


@cache
def _names() -> frozenset[str]:
    """The zones of places, and universal time; others are old names and offsets under a name."""
    places = (each for each in available_timezones() if "/" in each)
    return frozenset({UTC, *(each for each in places if not each.startswith(("Etc/", "SystemV/")))})
