"""The entry: one act of the survey, never changed once written.

Reading raises `Refused` with every problem; `read_lines` keeps the good neighbours of a bad line.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Generic, TypeVar

from garboard.notebook.body import KINDS, Unknown
from garboard.notebook.canonical import canonical
from garboard.notebook.ids import is_uuid7
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.shape import as_found, moment, read, write

B = TypeVar("B", covariant=True)
_KIND_OF = {cls: kind for kind, cls in KINDS.items()}
_FIELDS = ("id", "survey", "at", "author", "device", "kind", "body", "replaces", "why")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry(Generic[B]):
    """An act with its id (UUIDv7), survey (UUIDv7), time, author and device.

    `replaces` names the entries this one corrects or withdraws, `why` says the reason.
    """

    id: str
    survey: str
    at: datetime
    author: str
    device: str
    body: B
    replaces: tuple[str, ...] = ()
    why: str | None = None

    @property
    def kind(self) -> str:
        """The name of the body's kind."""
        return self.body.kind if isinstance(self.body, Unknown) else _KIND_OF[type(self.body)]


def to_json(entry: Entry[Any]) -> dict[str, Any]:
    """The entry as a JSON object."""
    body = json.loads(entry.body.json) if isinstance(entry.body, Unknown) else write(entry.body)
    return {
        "id": entry.id,
        "survey": entry.survey,
        "at": entry.at.isoformat(),
        "author": entry.author,
        "device": entry.device,
        "kind": entry.kind,
        "body": body,
        "replaces": list(entry.replaces),
        "why": entry.why,
    }


def to_line(entry: Entry[Any]) -> bytes:
    """The entry as one line of canonical JSON, without a line feed."""
    return canonical(to_json(entry))


def from_json(data: Any, where: str) -> Entry[Any]:
    """An entry from a JSON object.

    Args:
        data: What `json.loads` gave.
        where: What to call its place in messages.

    Raises:
        Refused: With every problem found.
    """
    if not isinstance(data, dict):
        raise Refused(
            [Problem(where=where, what="this is no entry", do="Write one JSON object a line")]
        )
    problems = [
        Problem(
            where=f"{where} {name}",
            what=f"an entry has no field {name!r}",
            do=f"Use only: {', '.join(_FIELDS)}",
        )
        for name in data
        if name not in _FIELDS
    ]
    envelope = _envelope(data, where, problems)
    kind = data.get("kind")
    body: Any = None
    if not isinstance(kind, str) or not kind:
        problems.append(
            Problem(where=f"{where} kind", what="the kind is missing", do="Name what was done")
        )
    elif kind in KINDS:
        try:
            body = read(KINDS[kind], data.get("body"), f"{where} {kind}")
        except Refused as refused:
            problems += refused.problems
    else:
        body = _unknown(kind, data.get("body"), where, problems)
    if problems:
        raise Refused(problems)
    entry: Entry[Any] = Entry(body=body, **envelope)
    try:
        to_line(entry)
    except ValueError as problem:
        raise Refused(
            [
                Problem(
                    where=where,
                    what=f"it cannot be written again ({problem})",
                    do="Restore the line from another copy",
                )
            ]
        ) from None
    return entry


def read_lines(text: str, where: str) -> tuple[tuple[Entry[Any], ...], tuple[Problem, ...]]:
    """Entries from JSON lines, and what is wrong with the lines that gave none.

    Args:
        text: One JSON object a line; blank lines are passed over.
        where: What to call the whole in messages; the line number is added.
    """
    entries: list[Entry[Any]] = []
    problems: list[Problem] = []
    for number, line in enumerate(text.split("\n"), 1):
        if not line.strip():
            continue
        place = f"{where}:{number}"
        try:
            entries.append(from_json(json.loads(line), place))
        except Refused as refused:
            problems += refused.problems
        except (ValueError, RecursionError) as problem:
            problems.append(
                Problem(
                    where=place,
                    what=f"this line is not JSON ({problem})",
                    do="Restore the line from another copy of the notebook",
                )
            )
    return tuple(entries), tuple(problems)


def lines(entries: Iterable[Entry[Any]]) -> tuple[bytes, ...]:
    """The canonical lines of entries, in order of time; duplicates once."""
    by_id = {entry.id: entry for entry in entries}
    return tuple(to_line(by_id[each]) for each in sorted(by_id))


def _envelope(data: dict[str, Any], where: str, problems: list[Problem]) -> dict[str, Any]:
    kept: dict[str, Any] = {}
    for name in ("id", "survey"):
        kept[name] = data.get(name)
        if not isinstance(kept[name], str) or not is_uuid7(kept[name]):
            problems.append(
                Problem(
                    where=f"{where} {name}",
                    what="it is missing"
                    if kept[name] is None
                    else f"{as_found(kept[name])} is not a UUIDv7",
                    do="Write it in lower case with hyphens",
                )
            )
    for name in ("author", "device"):
        kept[name] = data.get(name)
        if not isinstance(kept[name], str) or not kept[name]:
            problems.append(
                Problem(where=f"{where} {name}", what="it is missing", do="Say who, or on what")
            )
    at: Any = data.get("at")
    try:
        kept["at"] = moment(at)
    except (ValueError, TypeError):
        problems.append(
            Problem(
                where=f"{where} at",
                what="it is missing"
                if at is None
                else f"{as_found(at)} is not a date and time with its offset",
                do="Write it as 2026-05-12T09:41:07+01:00",
            )
        )
    replaces = data.get("replaces", [])
    if not isinstance(replaces, list) or not all(
        isinstance(each, str) and is_uuid7(each) for each in replaces
    ):
        problems.append(
            Problem(
                where=f"{where} replaces",
                what="this is not a list of entry ids",
                do="List the ids of the entries it replaces, or leave it empty",
            )
        )
    elif data.get("id") in replaces:
        problems.append(
            Problem(
                where=f"{where} replaces",
                what="an entry cannot replace itself",
                do="Write a new entry",
            )
        )
    else:
        kept["replaces"] = tuple(replaces)
    why = data.get("why")
    if why is not None and not isinstance(why, str):
        problems.append(
            Problem(
                where=f"{where} why", what=f"{as_found(why)} is not text", do="Say why in words"
            )
        )
    kept["why"] = why
    if data.get("kind") == "withdrawal" and not (replaces and why):
        problems.append(
            Problem(
                where=where,
                what="a withdrawal names what it withdraws and why",
                do="Name the entries it takes back, and say the reason",
            )
        )
    return kept


def _unknown(kind: str, body: Any, where: str, problems: list[Problem]) -> Unknown | None:
    try:
        return Unknown(kind=kind, json=canonical(body).decode())
    except ValueError as problem:
        problems.append(
            Problem(where=f"{where} body", what=str(problem), do="Write only plain JSON values")
        )
        return None
