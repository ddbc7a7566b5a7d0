"""The issues of a survey's report, in order, and which of them an amendment speaks of."""

from garboard.notebook.body import Amendment, Issue
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey


def issues(survey: Survey) -> tuple[Entry[Issue], ...]:
    """The issues as they stand, by version: to whom one was delivered may be added to it later."""
    return tuple(sorted(survey.of(Issue), key=lambda entry: (entry.body.version, entry.id)))


def is_changed(survey: Survey) -> bool:
    """Whether entries were added since the report was issued last."""
    issued = issues(survey)
    return bool(issued) and issued[-1].body.entries_sha256 != survey.content_digest


def amendments_of(survey: Survey, issue: Entry[Issue]) -> tuple[Entry[Amendment], ...]:
    """The amendments that name an issue."""
    return tuple(each for each in survey.of(Amendment) if issue in survey.current(each.body.issue))
