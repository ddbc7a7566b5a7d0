"""What of a notebook may leave the house."""

from collections.abc import Iterable
from typing import Any

from garboard.notebook.body import Arrangement, Remark
from garboard.notebook.entry import Entry

_PRIVATE = (Arrangement, Remark)


def shared(entries: Iterable[Entry[Any]]) -> tuple[Entry[Any], ...]:
    """The entries that may leave the house: all but private remarks, arrangements, and what speaks of them alone."""
    kept = tuple(entries)
    private = {entry.id for entry in kept if isinstance(entry.body, _PRIVATE)}
    return tuple(
        entry
        for entry in kept
        if entry.id not in private
        and not (entry.kind == "withdrawal" and set(entry.replaces) <= private)
    )
