"""The issues of a survey's report, in order, and which of them an amendment speaks of."""

from typing import Any

from garboard.notebook.body import Amendment, Arrangement, Issue, Remark
from garboard.notebook.canonical import digest_of
from garboard.notebook.entry import Entry, lines
from garboard.notebook.fold import Survey


def issues(survey: Survey) -> tuple[Entry[Issue], ...]:
    """The issues as they stand, by version: to whom one was delivered may be added to it later."""
    return tuple(sorted(survey.of(Issue), key=lambda entry: (entry.body.version, entry.id)))


def called(survey: Survey) -> str:
    """What a report is called behind the word "report": its number; while it has none, whose it is.

    Raises:
        ValueError: There is no instruction with a number, and no boat.
    """
    instruction, boat = survey.instruction, survey.boat
    if instruction and instruction.report_number:
        return instruction.report_number
    if boat is None:
        raise ValueError("A report is of a boat, and none is recorded.")
    return f"of {boat.name}"


def is_changed(survey: Survey) -> bool:
    """Whether entries were added since the report was issued last."""
    issued = issues(survey)
    return bool(issued) and issued[-1].body.entries_sha256 != survey.content_digest


def calls_for_amendment(survey: Survey) -> bool:
    """Whether the issued report lacks something a report could show; what was settled or noted since is none of it."""
    if not is_changed(survey):
        return False
    last = issues(survey)[-1]
    since = survey.done_at(last)
    shown = (
        each
        for each in survey.entries
        if not isinstance(each.body, Issue) and not (each.at > since and _is_beside(each))
    )
    return last.body.entries_sha256 != digest_of(lines(shown))


def _is_beside(entry: Entry[Any]) -> bool:
    """Whether an entry accompanies a job and is printed in no report."""
    return isinstance(entry.body, Arrangement | Remark)


def amendments_of(survey: Survey, issue: Entry[Issue]) -> tuple[Entry[Amendment], ...]:
    """The amendments that name an issue."""
    return tuple(each for each in survey.of(Amendment) if issue in survey.current(each.body.issue))
