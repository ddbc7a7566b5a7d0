"""What a finding rests on."""

from typing import Any

from garboard.notebook.body import Finding
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey


def rests_on(finding: Entry[Finding], survey: Survey) -> tuple[Entry[Any], ...]:
    """The entries a finding rests on as they stand now, photographs included."""
    ids = (*finding.body.evidence, *finding.body.photos)
    return tuple({entry.id: entry for each in ids for entry in survey.current(each)}.values())
