"""Reading sets sorted by survey: this one's, and those of earlier ones that the notebook holds as well."""

from datetime import timedelta
from operator import itemgetter

from garboard.notebook.body import Quantity, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Sets = tuple[Entry[ReadingSet], ...]

GAP = timedelta(days=30)
"""An earlier survey is told from a second visit by this gap."""


def campaigns(survey: Survey, *quantities: Quantity) -> tuple[Sets, ...]:
    """The sets of some quantities, the latest survey first, each by time.

    A set belongs to a survey where it was read within 30 days of that survey's last set.
    """
    wanted = survey.sets(*quantities)
    left = sorted(((survey.done_at(entry), entry) for entry in wanted), key=itemgetter(0))
    found: list[Sets] = []
    while left:
        last, _ = left[-1]
        found.append(tuple(entry for read_at, entry in left if last - read_at <= GAP))
        left = [(read_at, entry) for read_at, entry in left if last - read_at > GAP]
    return tuple(found)


def latest(survey: Survey, *quantities: Quantity) -> Sets:
    """The sets of the latest survey of some quantities, by time; empty where there are none."""
    return next(iter(campaigns(survey, *quantities)), ())
