"""What every section is made from: the survey, what its readings mean, what is missing, and the numbering."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cached_property
from typing import Any, TypeVar

from garboard.catalogue.parts import is_duty
from garboard.judgement.gap import Gap
from garboard.judgement.grounds import rests_on
from garboard.judgement.ranking import Ranked, ranked
from garboard.judgement.states import PartState, part_states
from garboard.methods.declaration import METHODS, Method
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Conditions, Instruction, Limitation, Photo
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.report.document import Picture
from garboard.report.edits import edits_of
from garboard.report.sections.words import day, listed

# Visits further apart than this belong to different surveys.
_ONE_SURVEY = timedelta(days=90)


T = TypeVar("T")


class Kept:
    """What took long to make of a survey that is being written, kept as long as what it was made of is the same."""

    def __init__(self) -> None:
        """Keep nothing yet."""
        self._made: dict[object, tuple[object, Any]] = {}

    def once(self, name: object, of: object, work: Callable[[], T]) -> T:
        """What work makes, or made under this name before of the same.

        Args:
            name: Tells things apart that are made; each is kept once.
            of: All that it depends on; compared with what it was made of before.
            work: Makes it.
        """
        if name not in self._made or self._made[name][0] != of:
            self._made[name] = (of, work())
        made: T = self._made[name][1]
        return made


@dataclass(slots=True)
class Numbering:
    """Numbers from 1 on; `last` is the one given last."""

    last: int = 0

    def __next__(self) -> int:
        """The next number."""
        self.last += 1
        return self.last


@dataclass(frozen=True, kw_only=True)
class Case:
    """One survey on its way into a report.

    `at` is the time of issue, `signed` says that the PDF is going to be signed, `sounds` holds the bytes of the
    recorded strikes by SHA-256, `kept` what was made before; `in_writing` says that it changes with every word and
    is shown to its surveyor alone. Tables, figures and methods are numbered as they are asked for.
    """

    survey: Survey
    instruction: Instruction
    boat: Boat
    results: tuple[Result, ...]
    gaps: tuple[Gap, ...]
    at: datetime
    signed: bool = False
    sounds: Mapping[str, bytes]
    kept: Kept = field(default_factory=Kept)
    in_writing: bool = False
    tables: Numbering = field(default_factory=Numbering)
    figures: Numbering = field(default_factory=Numbering)

    @cached_property
    def findings(self) -> tuple[Ranked, ...]:
        """The findings with their numbers."""
        return ranked(self.survey)

    @cached_property
    def states(self) -> tuple[PartState, ...]:
        """How each called part stands; the surveyor's own duties only where something is told of them."""
        return tuple(
            each
            for each in part_states(self.survey)
            if each.is_place or any(e.body.found for e in each.examinations)
        )

    @cached_property
    def places(self) -> tuple[PartState, ...]:
        """How each called place of the boat stands."""
        return tuple(each for each in self.states if each.is_place)

    @cached_property
    def limitations(self) -> tuple[Entry[Limitation], ...]:
        """What was not reached of the boat; a duty left undone is none of her places."""
        return tuple(
            entry for entry in self.survey.of(Limitation) if not is_duty(entry.body.place.part)
        )

    @cached_property
    def attended(self) -> tuple[Entry[Conditions], ...]:
        """The conditions of this survey's own visits; those of an earlier survey lie further back."""
        found = sorted(self.survey.of(Conditions), key=lambda entry: entry.body.began)
        return tuple(e for e in found if found[-1].body.began - e.body.began < _ONE_SURVEY)

    def lived(self, at: datetime) -> datetime:
        """A moment by the clock of the visit it belongs to: the last that had begun, else the first."""
        begun = [entry.body.began for entry in self.attended] or [at]
        visit = next((each for each in reversed(begun) if each <= at), begun[0])
        return at.astimezone(visit.tzinfo)

    @property
    def dated(self) -> str:
        """The date the report bears, in words."""
        return day(self.instruction.dated or self.at)

    @property
    def surveyed(self) -> str:
        """The day or days of this survey, in words."""
        days = [entry.body.began for entry in self.attended] or [self.survey.standing[0].at]
        return listed(list(dict.fromkeys(day(each) for each in days)))

    @cached_property
    def photos(self) -> Mapping[str, Entry[Photo]]:
        """The photographs to be printed, by entry id."""
        return {entry.id: entry for entry in self.survey.of(Photo) if entry.body.printed}

    @cached_property
    def shown_with(self) -> Mapping[str, tuple[int, ...]]:
        """By photograph, the numbers of the findings that show it."""
        found: dict[str, tuple[int, ...]] = {}
        for each in self.findings:
            for photo in self.photos_of(each):
                found[photo.id] = (*found.get(photo.id, ()), each.number)
        return found

    @cached_property
    def taken_up(self) -> frozenset[str]:
        """The ids of the entries that some finding rests on."""
        return frozenset(
            entry.id for each in self.findings for entry in rests_on(each.entry, self.survey)
        )

    def photos_of(self, finding: Ranked) -> tuple[Entry[Photo], ...]:
        """The printed photographs of a finding as they stand now, each once."""
        ids = [e.id for each in finding.entry.body.photos for e in self.survey.current(each)]
        return tuple(self.photos[each] for each in dict.fromkeys(ids) if each in self.photos)

    @cached_property
    def methods(self) -> Mapping[str, tuple[int, Method]]:
        """The methods whose results the report gives, numbered in order of appearance."""
        used = dict.fromkeys(result.method for result in self.results)
        return {id_: (number, METHODS[id_]) for number, id_ in enumerate(used, 1)}

    def picture(self, entry: Entry[Photo], label: str = "") -> Picture:
        """A photograph for the document."""
        photo, edits = entry.body, edits_of(entry.body)
        words = photo.caption or f"Photograph {photo.number}"
        said = f"(Copy {edits.said}.)" if edits.said else ""
        return Picture(
            sha256=photo.sha256,
            photo_number=photo.number,
            caption=f"{photo.caption} {said}".strip(),
            alt=f"{words} {said}".strip(),
            label=label,
            edits=edits,
        )
