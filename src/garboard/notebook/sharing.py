"""What of a notebook may leave the house."""

from collections.abc import Iterable
from typing import Any

from garboard.notebook.body import Remark
from garboard.notebook.entry import Entry


def shared(entries: Iterable[Entry[Any]]) -> tuple[Entry[Any], ...]:
    """The entries that may leave the house: all but private remarks and what speaks of them alone."""
    kept = tuple(entries)
    private = {entry.id for entry in kept if isinstance(entry.body, Remark)}
    return tuple(
        entry
        for entry in kept
        if entry.id not in private
        and not (entry.kind == "withdrawal" and set(entry.replaces) <= private)
    )
