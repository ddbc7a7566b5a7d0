"""What a dossier says of an entry besides its body: its time, and, where it matters, its id, author and device.

A dossier names an author, a device and a time once; a row or a table says more only where it differs.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time
from typing import Any

from garboard.notebook.canonical import canonical
from garboard.notebook.entry import Entry
from garboard.notebook.ids import derived_id, is_uuid7
from garboard.notebook.problem import Problem
from garboard.notebook.shape import moment, write

COLUMNS = ("at", "entry_id", "entry_author", "entry_device", "entry_replaces", "entry_why")

_CLOCK = re.compile(r"\d{1,2}:\d\d(:\d\d)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Voice:
    """Whose dossier it is: the survey, and the author, device and time that hold where nothing else is said."""

    survey: str
    author: str
    device: str
    at: datetime


def moment_of(text: str, voice: Voice) -> datetime:
    """A time as a dossier gives it: in full after RFC 3339, or the time of day on the day of the survey.

    Raises:
        ValueError: It is neither.
    """
    clock = clock_of(text)
    return datetime.combine(voice.at.date(), clock, voice.at.tzinfo) if clock else moment(text)


def clock_of(text: str) -> time | None:
    """A time of day as people write it; None where the text is none.

    >>> clock_of("9:57:05"), clock_of("10.57"), clock_of("25:00")
    (datetime.time(9, 57, 5), None, None)
    """
    if not _CLOCK.fullmatch(text):
        return None
    try:
        return time.fromisoformat(text.zfill(5) if len(text) < 6 else text.zfill(8))
    except ValueError:
        return None


def id_for(voice: Voice, at: datetime, kind: str, body: Any, ordinal: int) -> str:
    """The id that an entry of a dossier has when it states none; `ordinal` tells like rows apart."""
    return derived_id(at, voice.survey, kind, canonical(write(body)).decode(), str(ordinal))


def entry_of(
    body: Any,
    kind: str,
    stated: Mapping[str, str],
    voice: Voice,
    ordinal: int,
    where: str,
    problems: list[Problem],
) -> Entry[Any]:
    """The entry of a body, from what its row or table states of it."""
    at = voice.at
    if "at" in stated:
        try:
            at = moment_of(stated["at"], voice)
        except ValueError as problem:
            problems.append(
                Problem(
                    where=f"{where} at",
                    what=str(problem),
                    do="Write a time as 09:41, or in full as 2026-05-12T09:41:07+01:00",
                )
            )
    replaces = tuple(
        each.strip() for each in stated.get("entry_replaces", "").split(";") if each.strip()
    )
    try:
        identity = stated.get("entry_id") or id_for(voice, at, kind, body, ordinal)
    except ValueError as problem:
        problems.append(
            Problem(
                where=f"{where} at", what=str(problem).rstrip("."), do="Give the time it was done"
            )
        )
        identity = id_for(voice, voice.at, kind, body, ordinal)
    problems.extend(
        Problem(
            where=where, what=f"{each!r} is not an entry id", do="Copy the id from the notebook"
        )
        for each in (identity, *replaces)
        if not is_uuid7(each)
    )
    return Entry(
        id=identity,
        survey=voice.survey,
        at=at,
        author=stated.get("entry_author", voice.author),
        device=stated.get("entry_device", voice.device),
        body=body,
        replaces=replaces,
        why=stated.get("entry_why"),
    )


def stated_of(entry: Entry[Any], voice: Voice, ordinal: int) -> dict[str, str]:
    """What has to be stated of an entry so that reading gives it back."""
    stated: dict[str, str] = {}
    if entry.at != voice.at or entry.at.utcoffset() != voice.at.utcoffset():
        stated["at"] = entry.at.isoformat()
    if entry.id != id_for(voice, entry.at, entry.kind, entry.body, ordinal):
        stated["entry_id"] = entry.id
    if entry.author != voice.author:
        stated["entry_author"] = entry.author
    if entry.device != voice.device:
        stated["entry_device"] = entry.device
    if entry.replaces:
        stated["entry_replaces"] = "; ".join(entry.replaces)
    if entry.why is not None:
        stated["entry_why"] = entry.why
    return stated
