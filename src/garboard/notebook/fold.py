"""The fold: entries in any order, from any number of devices, made into one Survey.

Pure; independent of order and of duplicates, so that merging two devices is set union.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any, TypeVar

from garboard.notebook.body import (
    Boat,
    Instruction,
    Issue,
    Quantity,
    ReadingSet,
    Summary,
    Withdrawal,
)
from garboard.notebook.canonical import digest_of
from garboard.notebook.entry import Entry, lines, to_line

B = TypeVar("B")
_Links = dict[str, set[str]]

# A survey has one of these; two unrelated ones are a choice to make as well.
_ONE_ONLY = (Instruction, Boat, Summary)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Entries that stand side by side until somebody chooses: corrections of one entry, or of one matter."""

    of: str
    between: tuple[Entry[Any], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawn:
    """An entry taken back, legible still, with the entry that took it back."""

    entry: Entry[Any]
    by: Entry[Withdrawal]


@dataclass(frozen=True, kw_only=True)
class Survey:
    """Everything a survey's entries say together.

    `entries` holds every entry once, by time; `standing` those that nothing replaced or withdrew; `choices`
    the corrections that compete; `withdrawn` what was taken back; `clashes` entries that came under an id
    already held, with other content; `heads` by the id of an entry the corrections that stand in its place.
    """

    id: str
    entries: tuple[Entry[Any], ...]
    standing: tuple[Entry[Any], ...]
    choices: tuple[Choice, ...]
    withdrawn: tuple[Withdrawn, ...]
    clashes: tuple[Entry[Any], ...]
    heads: Mapping[str, frozenset[str]]

    def of(self, cls: type[B]) -> tuple[Entry[B], ...]:
        """The standing entries of one kind, by time."""
        return self._by_kind.get(cls, ())

    def sets(self, *quantities: Quantity) -> tuple[Entry[ReadingSet], ...]:
        """The standing reading sets of some quantities, by time."""
        return tuple(each for each in self.of(ReadingSet) if each.body.quantity in quantities)

    def bodies(self, cls: type[B]) -> tuple[B, ...]:
        """The standing bodies of one kind, by time."""
        return tuple(entry.body for entry in self.of(cls))

    def last(self, cls: type[B]) -> B | None:
        """The latest standing body of one kind, or None."""
        found = self.of(cls)
        return found[-1].body if found else None

    def current(self, entry_id: str) -> tuple[Entry[Any], ...]:
        """What stands for an entry now: itself, or its corrections; nothing where it was withdrawn or is missing."""
        ids = self.heads.get(entry_id) or {entry_id}
        return tuple(
            self._standing_by_id[each] for each in sorted(ids) if each in self._standing_by_id
        )

    def done_at(self, entry: Entry[Any]) -> datetime:
        """When what an entry tells of was done: a correction changes what is said of it, not when that was."""
        return self.first(entry).at

    def first(self, entry: Entry[B]) -> Entry[B]:
        """The entry that said first what this one corrects; itself where it corrects none."""
        met = {entry.id}
        while before := [
            self.by_id[each]
            for each in entry.replaces
            if each not in met and each in self.by_id and self.by_id[each].kind == entry.kind
        ]:
            entry = min(before, key=lambda each: (each.at, each.id))
            met.add(entry.id)
        return entry

    @property
    def instruction(self) -> Instruction | None:
        """The instruction as it stands."""
        return self.last(Instruction)

    @property
    def boat(self) -> Boat | None:
        """The boat as it stands."""
        return self.last(Boat)

    @cached_property
    def digest(self) -> str:
        """SHA-256 over the canonical lines of all entries."""
        return digest_of(lines(self.entries))

    @cached_property
    def content_digest(self) -> str:
        """SHA-256 over the canonical lines of all entries but the issues: what an issued report was made of."""
        return digest_of(lines(each for each in self.entries if not isinstance(each.body, Issue)))

    @cached_property
    def by_id(self) -> Mapping[str, Entry[Any]]:
        """Every entry, standing or not, by its id."""
        return {entry.id: entry for entry in self.entries}

    @cached_property
    def _standing_by_id(self) -> Mapping[str, Entry[Any]]:
        return {entry.id: entry for entry in self.standing}

    @cached_property
    def _by_kind(self) -> Mapping[type[Any], tuple[Any, ...]]:
        sorted_out: dict[type[Any], list[Entry[Any]]] = defaultdict(list)
        for entry in self.standing:
            sorted_out[type(entry.body)].append(entry)
        return {cls: tuple(found) for cls, found in sorted_out.items()}


def fold(entries: Iterable[Entry[Any]]) -> Survey:
    """The Survey that entries of one survey make.

    Args:
        entries: In any order; duplicates do no harm.

    Raises:
        ValueError: There is no entry, or entries of two surveys are mixed.
    """
    kept, clashes = _once(entries)
    surveys = {entry.survey for entry in kept.values()}
    if len(surveys) != 1:
        raise ValueError(f"One survey is folded at a time; these entries belong to {len(surveys)}.")
    ordered = tuple(kept[each] for each in sorted(kept, key=lambda each: (kept[each].at, each)))
    corrections, withdrawals = _targets(kept)
    taken_back = _taken_back(kept, withdrawals)
    heads = _heads(corrections, taken_back.keys())
    standing = tuple(
        entry
        for entry in ordered
        if entry.id not in taken_back
        and not heads.get(entry.id)
        and not isinstance(entry.body, Withdrawal)
    )
    return Survey(
        id=surveys.pop(),
        entries=ordered,
        standing=standing,
        choices=_choices(standing, heads, taken_back),
        withdrawn=tuple(
            Withdrawn(entry=entry, by=taken_back[entry.id])
            for entry in ordered
            if entry.id in taken_back
        ),
        clashes=clashes,
        heads=heads,
    )


def _once(entries: Iterable[Entry[Any]]) -> tuple[dict[str, Entry[Any]], tuple[Entry[Any], ...]]:
    """Each id once; of two contents under one id the one that sorts first is kept, whichever came first."""
    chosen: dict[str, Entry[Any]] = {}
    again: dict[str, dict[bytes, Entry[Any]]] = {}
    for entry in entries:
        first = chosen.setdefault(entry.id, entry)
        if first is not entry:
            # Lines are compared, not entries: equal instants with other offsets are two contents.
            again.setdefault(entry.id, {to_line(first): first}).setdefault(to_line(entry), entry)
    chosen.update({each: found[min(found)] for each, found in again.items()})
    clashes = tuple(found[line] for _, found in sorted(again.items()) for line in sorted(found)[1:])
    return chosen, clashes


def _targets(kept: Mapping[str, Entry[Any]]) -> tuple[_Links, _Links]:
    """By the id of an entry: the ids that correct it, and the ids that withdraw it.

    Only an entry of the same kind corrects another; else a kind nobody here knows could hide a finding.
    """
    corrections: _Links = defaultdict(set)
    withdrawals: _Links = defaultdict(set)
    for entry in kept.values():
        is_withdrawal = isinstance(entry.body, Withdrawal)
        links = withdrawals if is_withdrawal else corrections
        for each in entry.replaces:
            if each in kept and (is_withdrawal or kept[each].kind == entry.kind):
                links[each].add(entry.id)
    return corrections, withdrawals


def _taken_back(
    kept: Mapping[str, Entry[Any]], withdrawals: _Links
) -> dict[str, Entry[Withdrawal]]:
    """Each withdrawn entry with the first withdrawal in force; a withdrawn withdrawal is not in force.

    Withdrawals that withdraw each other in a circle cancel out.
    """
    in_force: dict[str, bool] = {}
    open_ids = {each for found in withdrawals.values() for each in found}
    while open_ids:
        settled = {each for each in open_ids if not withdrawals.get(each, set()) & open_ids}
        if not settled:
            in_force.update(dict.fromkeys(open_ids, False))
            break
        for each in settled:
            in_force[each] = not any(in_force[by] for by in withdrawals.get(each, ()))
        open_ids -= settled
    return {
        each: kept[min(by for by in found if in_force[by])]
        for each, found in withdrawals.items()
        if any(in_force[by] for by in found)
    }


def _heads(corrections: _Links, taken_back: Collection[str]) -> dict[str, frozenset[str]]:
    """By the id of an entry: the corrections of it, direct or through others, that stand in its place.

    Entries that correct each other in a circle, which no honest device writes, do not take each other's
    place: all of them stand.
    """
    correctors = {each: set(by) for each, by in corrections.items()}
    heads: dict[str, frozenset[str]] = {}
    open_ids = {*correctors, *(by for found in correctors.values() for by in found)}
    while open_ids:
        settled = {each for each in open_ids if not correctors.get(each, set()) & open_ids}
        if not settled:
            settled = _in_circles(correctors, open_ids)
            for each in settled:
                correctors[each] -= settled
            continue
        for each in settled:
            heads[each] = frozenset(
                head
                for by in correctors.get(each, ())
                for head in (heads[by] or (frozenset() if by in taken_back else {by}))
            )
        open_ids -= settled
    return heads


def _in_circles(correctors: _Links, open_ids: set[str]) -> set[str]:
    """What is left of the open ids when those that correct no open one are peeled off."""
    left = set(open_ids)
    while True:
        targets = {each for each in left if correctors.get(each, set()) & left}
        correcting = {by for each in targets for by in correctors[each]} & left
        if targets & correcting == left:
            return left
        left = targets & correcting


def _choices(
    standing: tuple[Entry[Any], ...],
    heads: Mapping[str, frozenset[str]],
    taken_back: Mapping[str, Entry[Withdrawal]],
) -> tuple[Choice, ...]:
    by_id = {entry.id: entry for entry in standing}
    competing: dict[tuple[str, ...], str] = {}
    for each in sorted(heads):
        rivals = tuple(sorted(heads[each]))
        against = taken_back.get(each)
        is_settled = against is None or any(against.id in by_id[rival].replaces for rival in rivals)
        if len(rivals) > 1 or (rivals and not is_settled):
            competing[rivals] = each
    found = [
        Choice(
            of=of,
            between=(*(by_id[each] for each in rivals), *filter(None, [taken_back.get(of)])),
        )
        for rivals, of in competing.items()
    ]
    for cls in _ONE_ONLY:
        several = tuple(entry for entry in standing if isinstance(entry.body, cls))
        if len(several) > 1 and not any(each.between[0] in several for each in found):
            found.append(Choice(of=several[0].kind, between=several))
    return tuple(found)
