"""How a dossier points at other entries: "photo 12", "readings bottom-moisture", "examined rudder-blade"."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from garboard.catalogue.naming import key
from garboard.notebook.body import (
    Boat,
    Comparable,
    Conditions,
    Examination,
    InstrumentCheck,
    Limitation,
    Memo,
    Observation,
    Photo,
    ReadingSet,
    Recording,
    Sounding,
    Told,
)
from garboard.notebook.entry import Entry
from garboard.notebook.ids import is_uuid7
from garboard.notebook.problem import Problem, nearest

_OF_A_PLACE: Mapping[type, str] = MappingProxyType(
    {Examination: "examined", Limitation: "limited", Observation: "observed"}
)
_COUNTED: Mapping[type, str] = MappingProxyType(
    {
        Told: "told",
        Comparable: "comparable",
        Conditions: "conditions",
        Memo: "memo",
        Recording: "strike",
        InstrumentCheck: "check",
    }
)


def keys_of(entries: Iterable[Entry[Any]]) -> dict[str, tuple[str, ...]]:
    """By the words a dossier may use, the ids they stand for, in the order of the entries."""
    keys: dict[str, list[str]] = defaultdict(list)
    counted: dict[str, int] = defaultdict(int)
    for entry in entries:
        for words in _keys(entry.body, counted):
            keys[words].append(entry.id)
    return {words: tuple(ids) for words, ids in keys.items()}


def resolved(
    words: Sequence[str], keys: Mapping[str, Sequence[str]], where: str, problems: list[Problem]
) -> tuple[str, ...]:
    """The ids that words stand for, each once."""
    found: dict[str, None] = {}
    for each in words:
        if each in keys:
            found.update(dict.fromkeys(keys[each]))
        elif is_uuid7(each):
            found[each] = None
        else:
            problems.append(
                Problem(
                    where=where,
                    what=f'nothing here is called "{each}"',
                    do=nearest(
                        each,
                        keys,
                        "Name an entry as: photo 12, readings bottom, examined keel-joint",
                    ),
                )
            )
    return tuple(found)


def in_words(ids: Sequence[str], keys: Mapping[str, Sequence[str]]) -> list[str]:
    """Words that stand for the ids in their order; an id itself where there are none."""
    starting: dict[str, list[tuple[str, Sequence[str]]]] = defaultdict(list)
    for named, meant in keys.items():
        starting[meant[0]].append((named, meant))
    words: list[str] = []
    at = 0
    while at < len(ids):
        fitting = [
            (named, meant)
            for named, meant in starting[ids[at]]
            if tuple(ids[at : at + len(meant)]) == tuple(meant)
        ]
        named, meant = max(fitting, key=lambda each: len(each[1]), default=(ids[at], (ids[at],)))
        words.append(named)
        at += len(meant)
    return words


def _keys(body: Any, counted: dict[str, int]) -> tuple[str, ...]:
    match body:
        case Photo():
            return (f"photo {body.number}",)
        case ReadingSet():
            return (f"readings {body.name}",)
        case Sounding():
            whole = f"soundings {body.place.part}"
            return (whole, f"{whole} {body.place.side}") if body.place.side else (whole,)
        case Boat():
            return ("boat",)
    if type(body) in _OF_A_PLACE:
        return (f"{_OF_A_PLACE[type(body)]} {key(body.place)}",)
    if type(body) in _COUNTED:
        name = _COUNTED[type(body)]
        counted[name] += 1
        return (f"{name} {counted[name]}",)
    return ()
