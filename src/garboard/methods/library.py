"""The library: every family imported, so that every method is declared, and all results of a survey.

`results_of` works all of them out; `Families` those again of which something changed.
"""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any, TypeVar

from garboard.methods import (
    alloys,
    anodes,
    batteries,
    blades,
    blisters,
    climate,
    coating,
    continuity,
    couples,
    drying,
    engine,
    extremes,
    figures,
    flooding,
    gas,
    gauge,
    ground_tackle,
    guardrails,
    hardness,
    identity,
    keel,
    lights,
    mains,
    moisture,
    oil,
    pits,
    potentials,
    recordings,
    rig,
    ringing,  # noqa: F401 - it has no results of its own, and declares its methods
    slip,
    sounding,
    steering,
    stern_gear,
    strikes,
    thinning,
    uncertainty,  # noqa: F401 - it has no results of its own, and declares its methods
    ventilation,
    wiring,
    wood,
)
from garboard.methods.declaration import METHODS, Method
from garboard.methods.result import Result
from garboard.notebook.body import (
    Amendment,
    Answer,
    Arrangement,
    Comparable,
    Cost,
    Finding,
    Issue,
    Quantity,
    ReadingSet,
    Recommendation,
    Remark,
    Summary,
    Value,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

B = TypeVar("B")
_Family = Callable[[Survey], tuple[Result, ...]]

_NOT_READ = (
    Amendment, Answer, Arrangement, Comparable, Cost, Finding, Issue, Recommendation, Remark, Summary, Value,
)  # fmt: skip
"""What is written from the evidence, and what is private: no method reads it."""

_RESULTS: tuple[_Family, ...] = (
    identity.results,
    figures.results,
    climate.results,
    moisture.results,
    sounding.results,
    strikes.results,
    drying.results,
    blisters.results,
    coating.results,
    hardness.results,
    wood.results,
    gauge.results,
    thinning.results,
    extremes.results,
    pits.results,
    anodes.results,
    potentials.results,
    continuity.results,
    couples.results,
    alloys.results,
    stern_gear.results,
    blades.results,
    slip.results,
    steering.results,
    keel.results,
    rig.results,
    guardrails.results,
    flooding.results,
    wiring.results,
    batteries.results,
    mains.results,
    ventilation.results,
    gas.results,
    engine.results,
    oil.results,
    lights.results,
    ground_tackle.results,
)


def methods() -> Mapping[str, Method]:
    """Every declared method by its id."""
    return METHODS


def evidence_of(survey: Survey) -> tuple[Entry[Any], ...]:
    """The entries that results can rest on: while they stay the same, so do the results."""
    return tuple(each for each in survey.standing if not isinstance(each.body, _NOT_READ))


def results_of(
    survey: Survey, sounds: Mapping[str, bytes] = recordings.NO_SOUNDS
) -> tuple[Result, ...]:
    """What all families make of a survey, in the order of the families.

    Args:
        survey: The survey.
        sounds: The bytes of its recorded strikes that are at hand, by SHA-256.
    """
    made = (result for results in _RESULTS for result in results(survey))
    return (*made, *recordings.results(survey, sounds))


class Families:
    """The results of one survey as it grows: each family's are kept as long as what it read of the survey is the same."""

    def __init__(self) -> None:
        """Nothing is worked out yet."""
        self._kept: dict[object, tuple[_Seen, frozenset[str], tuple[Result, ...]]] = {}

    def results_of(
        self, survey: Survey, sounds: Mapping[str, bytes] = recordings.NO_SOUNDS
    ) -> tuple[Result, ...]:
        """What the function of this name makes of the survey as it stands now.

        Args:
            survey: The survey.
            sounds: The bytes of its recorded strikes that are at hand, by SHA-256.
        """
        made = [result for family in _RESULTS for result in self._made(family, family, survey)]

        def heard(read: Survey) -> tuple[Result, ...]:
            return recordings.results(read, sounds)

        return (*made, *self._made(recordings.results, heard, survey, frozenset(sounds)))

    def _made(
        self, name: object, family: _Family, survey: Survey, at_hand: frozenset[str] = frozenset()
    ) -> tuple[Result, ...]:
        if kept := self._kept.get(name):
            seen, sounds, found = kept
            if sounds == at_hand and seen.is_same_in(survey):
                return found
        read = _Read(survey)
        found = family(read)
        self._kept[name] = read.seen, at_hand, found
        return found


class _Seen:
    """What was read of a survey, by what was asked."""

    def __init__(self) -> None:
        self.kinds: dict[type[Any], tuple[Entry[Any], ...]] = {}
        self.sets: dict[tuple[Quantity, ...], tuple[Entry[ReadingSet], ...]] = {}
        self.done: dict[str, tuple[Entry[Any], datetime]] = {}
        self.entries: Mapping[str, Entry[Any]] | None = None

    def is_same_in(self, survey: Survey) -> bool:
        """Whether a family that read this of one survey reads the same of another."""
        return (
            all(survey.of(cls) == found for cls, found in self.kinds.items())
            and all(survey.sets(*asked) == found for asked, found in self.sets.items())
            and all(survey.done_at(entry) == at for entry, at in self.done.values())
            and self.entries in (None, survey.by_id)
        )


class _Read(Survey):
    """A survey that notes what is read of it, and has nothing that could be read unnoted."""

    def __init__(self, survey: Survey) -> None:
        self._survey = survey
        self.seen = _Seen()

    def of(self, cls: type[B]) -> tuple[Entry[B], ...]:
        found = self._survey.of(cls)
        self.seen.kinds[cls] = found
        return found

    def sets(self, *quantities: Quantity) -> tuple[Entry[ReadingSet], ...]:
        found = self.seen.sets[quantities] = self._survey.sets(*quantities)
        return found

    def done_at(self, entry: Entry[Any]) -> datetime:
        at = self._survey.done_at(entry)
        self.seen.done[entry.id] = entry, at
        return at

    @property
    def by_id(self) -> Mapping[str, Entry[Any]]:
        found = self.seen.entries = self._survey.by_id
        return found
