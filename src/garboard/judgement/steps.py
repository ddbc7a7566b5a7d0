"""Where a job stands from the first call to the last letter: its next step, its day, and what is in the way."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

from garboard.judgement.gaps_of_findings import NO_ADVICE_OWED
from garboard.judgement.issues import amendments_of, calls_for_amendment, issues
from garboard.judgement.ranking import ranked
from garboard.judgement.readiness import before_travelling
from garboard.judgement.states import State, part_states
from garboard.judgement.stretches import STATES
from garboard.notebook.body import (
    Arrangement,
    Conditions,
    ConflictCheck,
    Examination,
    Finding,
    Instruction,
    Issue,
    Settled,
    Summary,
    Terms,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Stage = Literal[
    "enquiry", "booked", "at the boat", "to write", "to follow up", "out", "not gone ahead"
]

# What an enquiry waits for; the rest is settled once it is a job.
_BEFORE_BOOKING = frozenset({"client", "asked", "use", "terms", "conflict"})
_UNSEEN: tuple[State, ...] = ("silent", "not written up")
_FEW = 3
_NEXT: dict[Stage, str] = {
    "enquiry": "Agree what is asked, and on what terms",
    "booked": "Travel and examine",
    "at the boat": "Examine her, and end the visit",
    "to write": "Write up, and issue the report",
    "to follow up": "Follow up",
    "out": "Nothing to follow up",
    "not gone ahead": "Nothing to follow up",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """How far a job has come: `next` is what is to be done, `day` by when or when, `in_the_way` what it waits for.

    `visit` is the day of the latest visit, or the first agreed; `due` when the report is due.
    """

    stage: Stage
    next: str
    day: date | None
    visit: date | None
    due: date | None
    in_the_way: tuple[str, ...]

    @property
    def waits_for(self) -> str:
        """What is in the way, in a few words."""
        more = len(self.in_the_way) - _FEW
        return ", ".join((*self.in_the_way[:_FEW], *((f"{more} more",) if more > 0 else ())))


def step_of(survey: Survey) -> Step:
    """The next step of a survey."""
    stage = _stage(survey)
    due = survey.instruction.due if survey.instruction else None
    visit = _visit(survey)
    days = {
        "enquiry": (visit, due),
        "booked": (visit, due),
        "at the boat": (visit,),
        "to write": (due,),
        "to follow up": _days(survey, "follow-up"),
    }
    is_to_amend = stage == "out" and calls_for_amendment(survey)
    return Step(
        stage=stage,
        next="Amend the report, for something was recorded since" if is_to_amend else _NEXT[stage],
        day=min((day for day in days.get(stage, ()) if day), default=None),
        visit=visit,
        due=due,
        in_the_way=tuple(_in_the_way(survey, stage)),
    )


def open_visit(survey: Survey) -> Entry[Conditions] | None:
    """The visit that goes on: the latest that was begun, where it has not ended."""
    begun = sorted(survey.of(Conditions), key=lambda each: each.body.began)
    return begun[-1] if begun and begun[-1].body.ended is None else None


def _stage(survey: Survey) -> Stage:
    if survey.last(Issue):
        return "to follow up" if _days(survey, "follow-up") else "out"
    check = survey.last(ConflictCheck)
    if _was_withdrawn(survey) or (check and check.result == "declined"):
        return "not gone ahead"
    # A visit that nobody ended is over once what was found is written up.
    if open_visit(survey) and not (survey.last(Summary) or survey.of(Finding)):
        return "at the boat"
    if survey.last(Conditions) or survey.last(Examination) or survey.last(Summary):
        return "to write"
    return "booked" if survey.last(Terms) else "enquiry"


def _was_withdrawn(survey: Survey) -> bool:
    """An enquiry that came to nothing: its instruction was taken back, and there is no other."""
    return survey.instruction is None and any(
        isinstance(each.entry.body, Instruction) for each in survey.withdrawn
    )


def _visit(survey: Survey) -> date | None:
    conditions = survey.last(Conditions)
    if conditions:
        return conditions.began.date()
    return min(_days(survey, "visit"), default=None)


def _days(survey: Survey, what: Settled) -> tuple[date, ...]:
    return tuple(
        each.on for each in survey.bodies(Arrangement) if each.what == what and each.on is not None
    )


def _in_the_way(survey: Survey, stage: Stage) -> Iterator[str]:
    if survey.choices:
        yield f"{_counted(len(survey.choices), 'choice')} to make"
    match stage:
        case "enquiry" | "booked":
            yield from _before_the_visit(survey, stage)
        case "at the boat":
            yield from _unseen(survey)
        case "to write":
            yield from _to_write(survey)
        case "to follow up":
            for arrangement in survey.bodies(Arrangement):
                if arrangement.what == "follow-up" and arrangement.on:
                    yield arrangement.words.rstrip(".")
            yield from _to_amend(survey)
        case "out":
            yield from _to_amend(survey)
        case "not gone ahead":
            return


def _before_the_visit(survey: Survey, stage: Stage) -> Iterator[str]:
    missing = [each for each in before_travelling(survey) if not each.is_true]
    leave = [each for each in missing if each.id.startswith("leave ")]
    for each in missing:
        if each not in leave and (stage == "booked" or each.id in _BEFORE_BOOKING):
            yield each.missing
    if leave and stage == "booked":
        yield leave[0].missing if len(leave) == 1 else f"leave for {len(leave)} acts"


def _unseen(survey: Survey) -> Iterator[str]:
    """The places of the schedule that nothing is said of, counted and told as the schedule counts and tells them."""
    try:
        states = part_states(survey)
    except ValueError:
        yield "no visit is stated"
        return
    found = Counter(each.state for each in states if each.is_place)
    for state in _UNSEEN:
        if found[state]:
            yield f"{STATES[state]} at {_counted(found[state], 'place')}"


def _to_write(survey: Survey) -> Iterator[str]:
    yield from _unseen(survey)
    bare = sum(
        not each.advice and each.entry.body.urgency not in NO_ADVICE_OWED for each in ranked(survey)
    )
    if bare:
        yield f"{_counted(bare, 'finding')} without a recommendation"
    wanted = (("instruction", Instruction), ("terms", Terms), ("conflict of interest", ConflictCheck), ("summary", Summary))  # fmt: skip
    for words, cls in wanted:
        if survey.last(cls) is None:
            yield words


def _to_amend(survey: Survey) -> Iterator[str]:
    """The amendment that what was recorded since the issue calls for, or its issue once it is written."""
    if calls_for_amendment(survey):
        last = issues(survey)[-1]
        words = f"amendment of version {last.body.version}"
        yield f"issue of the {words}" if amendments_of(survey, last) else words


def _counted(number: int, singular: str) -> str:
    return f"{number} {singular}{'' if number == 1 else 's'}"
