"""Surveys, folded and kept in memory; the door through which entries enter the store.

Entries, the row of the list and the passages of the search are written in one transaction. A folded survey is
kept with the entries it was folded from and their place of arrival: what arrived since is read and folded in, so
that a change among thousands of entries costs no more than itself and one fold.
"""

import threading
from collections import OrderedDict, deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any
from weakref import ref

from sqlalchemy import Connection

from garboard.notebook.canonical import digest_of
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey, fold
from garboard.store import entries, listing, search
from garboard.store.clock import Clock
from garboard.store.database import Database
from garboard.store.words import words_of

_TURNS = 16
_GIVEN = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """An entry with what of it is needed again and again."""

    seq: int
    line: bytes
    entry: Entry[Any]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Folded:
    """A survey with the entries it was folded from, in the order of arrival."""

    survey: Survey
    held: tuple[_Held, ...]

    @property
    def last_seq(self) -> int:
        return self.held[-1].seq

    @property
    def digest(self) -> str:
        """The survey's digest, from the lines as they are held."""
        by_id: dict[str, bytes] = {}
        for each in self.held:
            # As in the fold: of two contents under one id the one that sorts first.
            by_id[each.entry.id] = min(each.line, by_id.get(each.entry.id, each.line))
        return digest_of(by_id[each] for each in sorted(by_id))

    @property
    def standing_words(self) -> dict[int, str]:
        """The words of standing entries by place of arrival."""
        standing = {entry.id: entry for entry in self.survey.standing}
        return {
            each.seq: each.words
            for each in self.held
            if each.words and standing.get(each.entry.id) is each.entry
        }


class Surveys:
    """The surveys of a store. Safe to use from several threads at once."""

    def __init__(self, database: Database, clock: Clock, *, most_entries: int = 200_000) -> None:
        """Keep the surveys last used in memory, up to `most_entries` entries in all, and always the latest."""
        self._database = database
        self._clock = clock
        self._most_entries = most_entries
        self._kept: OrderedDict[str, _Folded] = OrderedDict()
        # What was given a moment ago may be on its way to a page while a newer one is kept already.
        self._given: deque[tuple[ref[Survey], int]] = deque(maxlen=_GIVEN)
        self._lock = threading.Lock()
        # Threads that want one survey take turns, so that it is read and folded once.
        self._turns = tuple(threading.Lock() for _ in range(_TURNS))

    def add(
        self,
        added: Iterable[Entry[Any]],
        also: Callable[[Connection], object] = lambda _: None,
    ) -> tuple[Entry[Any], ...]:
        """Add entries of any surveys and give those that were new; they are on the disk when this returns.

        Args:
            added: In the order they shall have arrived; those held already do no harm.
            also: Done in the same transaction; if it raises, nothing is kept.
        """
        with self._database.writing() as connection:
            new = entries.add(connection, added, self._clock())
            changed = [
                self._refreshed(connection, each)
                for each in dict.fromkeys(entry.survey for entry in new)
            ]
            also(connection)
        for each in changed:
            self._keep(each)
        return new

    def get(self, survey: str) -> Survey | None:
        """The survey that all entries held make, or None where none is held."""
        # The turn first: those that wait for it hold no connection, of which there are few.
        with self._turns[hash(survey) % _TURNS], self._database.reading() as connection:
            found = self._current(connection, survey)
            return self._keep(found) if found else None

    def arrived(self, survey: Survey) -> int:
        """Up to which arrival a survey that `get` gave lately speaks; 0 where that is too long ago."""
        with self._lock:
            return next((seq for given, seq in self._given if given() is survey), 0)

    def _refreshed(self, connection: Connection, survey: str) -> _Folded:
        """The survey with what a writer has just added, its row and passages written."""
        with self._turns[hash(survey) % _TURNS]:
            found = self._current(connection, survey)
        changed_at = entries.last_arrival(connection, survey)
        assert found is not None
        assert changed_at is not None
        row = listing.of_survey(
            found.survey, changed_at=changed_at, last_seq=found.last_seq, digest=found.digest
        )
        listing.refresh(connection, row, found.survey)
        search.refresh(connection, survey, found.standing_words)
        return found

    def _current(self, connection: Connection, survey: str) -> _Folded | None:
        """The survey as a connection sees it: what is kept, and what arrived since."""
        with self._lock:
            kept = self._kept.get(survey)
        rows = entries.of_survey(connection, survey, after=kept.last_seq if kept else 0)
        if not rows:
            return kept
        held = (*(kept.held if kept else ()), *map(_held, rows))
        return _Folded(survey=fold(each.entry for each in held), held=held)

    def _keep(self, folded: _Folded) -> Survey:
        """Keep a survey, unless one as late is kept already, and give the one kept; only what is committed may come here."""
        with self._lock:
            kept = self._kept.get(folded.survey.id)
            if kept is None or kept.last_seq < folded.last_seq:
                kept = self._kept[folded.survey.id] = folded
                self._given.appendleft((ref(folded.survey), folded.last_seq))
            self._kept.move_to_end(folded.survey.id)
            size = sum(len(each.held) for each in self._kept.values())
            while size > self._most_entries and len(self._kept) > 1:
                _, dropped = self._kept.popitem(last=False)
                size -= len(dropped.held)
            return kept.survey


def _held(row: entries.Row) -> _Held:
    entry = entries.entry_of(row.line)
    return _Held(seq=row.seq, line=row.line, entry=entry, words=words_of(entry))
