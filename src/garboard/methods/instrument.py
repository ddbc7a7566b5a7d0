"""What the survey states of an instrument by name: its uncertainty, its smallest step, its calibration and checks."""

from collections.abc import Iterable
from datetime import date

from garboard.methods.campaign import GAP
from garboard.notebook.body import Instrument, InstrumentCheck, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Check = Entry[InstrumentCheck]


def stated(survey: Survey, instrument: str) -> Entry[Instrument] | None:
    """What was stated last of an instrument, or None where it is not described."""
    found = [each for each in survey.of(Instrument) if each.body.name == instrument]
    return found[-1] if found else None


def uncertainty_of(survey: Survey, instrument: str, usual: float) -> float:
    """The standard uncertainty stated last for an instrument, in its unit; else the usual one."""
    found = [
        each.uncertainty
        for each in survey.bodies(Instrument)
        if each.name == instrument and each.uncertainty is not None
    ]
    return found[-1] if found else usual


def step_of(survey: Survey, instrument: str, usual: float) -> float:
    """The smallest step stated last for an instrument, in its unit; else the usual one."""
    found = [
        each.resolution
        for each in survey.bodies(Instrument)
        if each.name == instrument and each.resolution
    ]
    return found[-1] if found else usual


def is_overdue(instrument: Instrument, on: date) -> bool:
    """Whether the next calibration of an instrument was due before a day."""
    return instrument.due is not None and instrument.due < on


def checks_round(survey: Survey, read: Entry[ReadingSet]) -> tuple[Check | None, Check | None]:
    """The last check of its instrument before a set was read, and the first after it; None where there is none.

    A check noted later than it was made counts by what it says of itself; one of another survey not at all.
    """
    read_at = survey.done_at(read)
    found = [
        each
        for each in survey.of(InstrumentCheck)
        if each.body.instrument == read.body.instrument
        and abs(survey.done_at(each) - read_at) <= GAP
    ]
    earlier = [e for e in found if e.body.when != "after" and survey.done_at(e) <= read_at]
    later = [e for e in found if e.body.when != "before" and survey.done_at(e) >= read_at]
    before = earlier or [each for each in found if each.body.when == "before"]
    after = later or [each for each in found if each.body.when == "after"]
    return _last(survey, before), _first(survey, after)


def _last(survey: Survey, checks: Iterable[Check]) -> Check | None:
    return max(checks, key=survey.done_at, default=None)


def _first(survey: Survey, checks: Iterable[Check]) -> Check | None:
    return min(checks, key=survey.done_at, default=None)
