"""What surveys mean, worked out once and kept as long as they stay as they are.

A folded survey is the same object until an entry arrives, so it is known by itself: its digest would cost a walk
over all its entries on every page. Of each survey the latest state asked for is kept, of the surveys the last used.
"""

import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping
from typing import Generic, TypeVar, overload

from garboard.archive.sounds import sounds_of
from garboard.boat.hull import Hull, hull_of
from garboard.desk.context import Desk
from garboard.judgement.gap import Gap
from garboard.judgement.gaps import gaps
from garboard.methods.library import Families, evidence_of
from garboard.methods.moisture import MoistureMap, moisture_map
from garboard.methods.recordings import RecordedStrike, recorded_strikes
from garboard.methods.result import Result
from garboard.methods.sounding import Coverage, SoundedPatch, coverages, patches
from garboard.notebook.body import Boat, ReadingSet, Recording
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

T = TypeVar("T")

MOST_SURVEYS = 16


class _Part(Generic[T]):
    """One thing worked out of the evidence alone: made by the first thread that asks for it, while others that want it wait."""

    def __init__(self, work: "Callable[[Worked], T]") -> None:
        self._work = work
        self.__doc__ = work.__doc__

    def __set_name__(self, owner: "type[Worked]", name: str) -> None:
        self._name = name

    @overload
    def __get__(self, worked: None, owner: "type[Worked]") -> "_Part[T]": ...
    @overload
    def __get__(self, worked: "Worked", owner: "type[Worked]") -> T: ...
    def __get__(self, worked: "Worked | None", owner: "type[Worked]") -> "T | _Part[T]":
        if worked is None:
            return self
        return worked.once(self._name, lambda: self._work(worked))


class Worked:
    """What one folded survey means, each part worked out when it is first asked for."""

    def __init__(self, desk: Desk, survey: Survey, before: "Worked | None" = None) -> None:
        """Work on a survey of a desk; what an earlier state of it with the same evidence meant still holds."""
        self.survey = survey
        self._desk = desk
        self._families: Families = before._families if before else Families()
        self._made: dict[str, object] = {}
        if before and evidence_of(before.survey) == evidence_of(survey):
            of_evidence = [name for name, each in vars(Worked).items() if isinstance(each, _Part)]
            self._made = {n: before._made[n] for n in of_evidence if n in before._made}
        self._locks: dict[str, threading.Lock] = {}

    @_Part
    def sounds(self) -> Mapping[str, bytes]:
        """The bytes of the recorded strikes that are kept here, by SHA-256."""
        blobs = self._desk.blobs
        wanted = {each.sha256 for each in self.survey.bodies(Recording)}
        kept = wanted.difference(blobs.missing(wanted))
        return sounds_of(self.survey, {each: blobs.path(each) for each in kept})

    @_Part
    def results(self) -> tuple[Result, ...]:
        """What all families of methods make of it."""
        return self._families.results_of(self.survey, self.sounds)

    @_Part
    def coverages(self) -> tuple[Coverage, ...]:
        """How closely each zone was struck or read."""
        return coverages(self.survey)

    @_Part
    def patches(self) -> tuple[SoundedPatch, ...]:
        """Where the hammer was heard otherwise than sound."""
        return patches(self.survey)

    @_Part
    def strikes(self) -> tuple[RecordedStrike, ...]:
        """The recorded strikes beside their references."""
        return recorded_strikes(self.survey, self.sounds)

    def moisture_of(self, entry: Entry[ReadingSet]) -> MoistureMap | None:
        """The map of one set; None where it is not one of moisture, or has no reading."""
        if entry.body.quantity != "moisture" or not entry.body.readings:
            return None
        return self.once(f"moisture {entry.id}", lambda: moisture_map(self.survey, entry))

    def gaps(self, other_boats: tuple[str, ...] = ()) -> tuple[Gap, ...]:
        """What is missing; `other_boats` are names that must not have been left in the text."""
        return self.once(
            f"gaps {other_boats}", lambda: gaps(self.survey, self.results, other_boats)
        )

    def has(self, part: str) -> bool:
        """Whether a part is worked out already, so that asking for it costs nothing."""
        return part in self._made

    def once(self, name: str, work: Callable[[], T]) -> T:
        """What work gives, done once under a name as long as the survey stays as it is."""
        with self._locks.setdefault(name, threading.Lock()):
            if name not in self._made:
                self._made[name] = work()
            made: T = self._made[name]  # type: ignore[assignment]  # kept under this name alone
        return made


_kept: OrderedDict[str, Worked] = OrderedDict()
_hulls: OrderedDict[str, tuple[Boat, Hull]] = OrderedDict()
_lock = threading.Lock()


def worked(desk: Desk, survey: Survey) -> Worked:
    """What a survey means as it stands now. Safe to call from several threads at once."""
    with _lock:
        found = _kept.get(survey.id)
        if found is None or found.survey is not survey:
            found = _kept[survey.id] = Worked(desk, survey, found)
        _kept.move_to_end(survey.id)
        while len(_kept) > MOST_SURVEYS:
            _kept.popitem(last=False)
    return found


def hull_for(survey: Survey) -> Hull:
    """The schematic hull of the survey's boat, kept as long as nobody corrects the boat.

    Raises:
        ValueError: Her particulars do not suffice.
    """
    boat = survey.boat
    if boat is None:
        raise ValueError("To draw the hull, state the length of hull and the beam of the boat.")
    with _lock:
        known, found = _hulls.get(survey.id, (None, None))
    if found is None or known != boat:
        found = hull_of(boat)
    with _lock:
        _hulls[survey.id] = (boat, found)
        _hulls.move_to_end(survey.id)
        while len(_hulls) > MOST_SURVEYS:
            _hulls.popitem(last=False)
    return found
