"""What the notebook refuses, told in the words of its forms; pages find the field again by its name."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from garboard.catalogue.naming import capital
from garboard.desk.labels import field_words, kind_words
from garboard.notebook.entry import Entry
from garboard.notebook.problem import Problem

# How the notebook counts rows, against how a body lists them.
_ROWS: Mapping[str, str] = MappingProxyType({"reading": "readings", "mark": "marks"})
_COUNTED = re.compile(r"\b(reading|mark) (\d+)\b")
_ROW = re.compile(r"readings\[(\d+)\]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong(Problem):
    """What is wrong with an entry: in which of its readings, from 1, and in which field, by its name.

    0 and nothing where it is of none.
    """

    reading: int = 0
    field: str = ""


def wrong(problem: Problem, kind: str, path: str) -> Wrong:
    """A problem of an entry in the words of its form.

    Args:
        problem: As the notebook states it.
        kind: The kind of the entry.
        path: Where in the entry it is, in the notebook's own words; empty where it is of the whole.

    >>> value = Problem(where="", what="99 scale cannot be", do="")
    >>> wrong(value, "reading set", "reading 3 as_read").where
    'Reading set, reading 3, “Value”'
    >>> wrong(value, "boat", "engines[1] power_kw").where
    'Boat, engine 1, “Power”'
    """
    steps = _COUNTED.sub(lambda found: f"{_ROWS[found[1]]}[{found[2]}]", path).split()
    row = _ROW.search(" ".join(steps))
    return Wrong(
        where=", ".join((capital(kind_words(kind)), *field_words(kind, steps))),
        what=problem.what,
        do=problem.do,
        reading=int(row[1]) if row else 0,
        field=steps[-1] if steps else "",
    )


def in_words(problems: Iterable[Problem], entries: Iterable[Entry[Any]]) -> Iterator[tuple[str, Wrong]]:  # fmt: skip
    """By the id of its entry, each thing that vetting found.

    Args:
        problems: As `vet` gave them, each place called by the id of its entry.
        entries: What was vetted.
    """
    kinds = {each.id: each.kind for each in entries}
    for each in problems:
        id_, _, path = each.where.partition(" ")
        yield id_, wrong(each, kinds[id_], path)
