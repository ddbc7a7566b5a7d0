"""Reading sets sorted by survey: this one's, and those of earlier ones that the notebook holds as well."""

from datetime import timedelta

from garboard.notebook.body import Quantity, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Sets = tuple[Entry[ReadingSet], ...]

# An earlier survey is told from a second visit by this gap.
_GAP = timedelta(days=30)


def campaigns(survey: Survey, *quantities: Quantity) -> tuple[Sets, ...]:
    """The sets of some quantities, the latest survey first, each by time.

    A set belongs to a survey where it was read within 30 days of that survey's last set.
    """
    left = [entry for entry in survey.of(ReadingSet) if entry.body.quantity in quantities]
    found: list[Sets] = []
    while left:
        last = left[-1].at
        found.append(tuple(entry for entry in left if last - entry.at <= _GAP))
        left = [entry for entry in left if last - entry.at > _GAP]
    return tuple(found)


def latest(survey: Survey, *quantities: Quantity) -> Sets:
    """The sets of the latest survey of some quantities, by time; empty where there are none."""
    return next(iter(campaigns(survey, *quantities)), ())
