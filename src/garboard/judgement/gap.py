"""A gap: what must still be said before leaving the boat, or before a report is issued.

Its id stays the same while it is open, so that the surveyor can answer it in words.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Something missing: where, what, and what to do about it.

    `about` names the text or the place for a program: "summary", "finding" with its name and perhaps what of it,
    a place's key, or "examined" or "limited" with one. `part` is the id of the part it is owed on; a gap in what is
    said of several, or of none, has none.
    `blocks` keeps a report from being issued until it is closed or answered in words, or only closed where it
    is not `answerable`; `leaving` belongs on the list read before the ladder goes away. What is `grave` is something
    amiss that no finding speaks of: it stays in sight even where it blocks nothing.
    """

    id: str
    where: str
    what: str
    do: str
    blocks: bool = True
    leaving: bool = False
    answerable: bool = True
    grave: bool = False
    answer: str = ""
    about: str = ""
    part: str = ""

    @property
    def is_open(self) -> bool:
        """Whether it still keeps the report from being issued."""
        return self.blocks and not self.answer
