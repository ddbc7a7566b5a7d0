"""What every section is made from: the survey, what its readings mean, what is missing, and the numbering."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cached_property
from itertools import count

from garboard.judgement.gaps import Gap, rests_on
from garboard.judgement.ranking import Ranked, ranked
from garboard.judgement.states import PartState, part_states
from garboard.methods.declaration import METHODS, Method
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Conditions, Instruction, Photo
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.report.document import Picture
from garboard.report.sections.words import day, listed

# Visits further apart than this belong to different surveys.
_ONE_SURVEY = timedelta(days=90)


@dataclass(frozen=True, kw_only=True)
class Case:
    """One survey on its way into a report.

    `at` is the time of issue, `signed` says that the PDF is going to be signed. Tables, figures and methods are numbered as they are asked for.
    """

    survey: Survey
    instruction: Instruction
    boat: Boat
    results: tuple[Result, ...]
    gaps: tuple[Gap, ...]
    at: datetime
    signed: bool = False
    tables: Iterator[int] = field(default_factory=lambda: count(1))
    figures: Iterator[int] = field(default_factory=lambda: count(1))

    @cached_property
    def findings(self) -> tuple[Ranked, ...]:
        """The findings with their numbers."""
        return ranked(self.survey)

    @cached_property
    def states(self) -> tuple[PartState, ...]:
        """How each called part stands."""
        return part_states(self.survey)

    @cached_property
    def attended(self) -> tuple[Entry[Conditions], ...]:
        """The conditions of this survey's own visits; those of an earlier survey lie further back."""
        found = sorted(self.survey.of(Conditions), key=lambda entry: entry.body.began)
        return tuple(e for e in found if found[-1].body.began - e.body.began < _ONE_SURVEY)

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
        photo = entry.body
        return Picture(
            sha256=photo.sha256,
            photo_number=photo.number,
            caption=photo.caption,
            alt=photo.caption or f"Photograph {photo.number}",
            label=label,
        )
