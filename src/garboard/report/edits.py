"""What was done to a photograph's copy: a name for it, and its words in a caption."""

import hashlib
from collections import Counter
from dataclasses import dataclass

from garboard.notebook.body import Crop, Mark, Photo
from garboard.notebook.canonical import canonical
from garboard.notebook.shape import write

_KEY_DIGITS = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Edits:
    """How a copy differs from its original, beside its size."""

    crop: Crop | None = None
    marks: tuple[Mark, ...] = ()

    @property
    def key(self) -> str:
        """A short name that tells one set of edits from another; empty where there are none."""
        if self == NONE:
            return ""
        return hashlib.sha256(canonical(write(self))).hexdigest()[:_KEY_DIGITS]

    @property
    def said(self) -> str:
        """What was done, in words; empty where nothing was.

        >>> circle = Mark(sort="circle", from_x=0, from_y=0, to_x=1, to_y=1)
        >>> Edits(crop=Crop(left=0, top=0, right=1, bottom=0.5), marks=(circle, circle)).said
        'cropped, marked with 2 circles'
        """
        count = Counter(mark.sort for mark in self.marks)
        drawn = [_counted(count[sort], sort) for sort in ("arrow", "circle") if count[sort]]
        words = ["cropped"] if self.crop else []
        if drawn:
            words.append(f"marked with {' and '.join(drawn)}")
        if count["blur"]:
            words.append(f"blurred in {_counted(count['blur'], 'place')}")
        return ", ".join(words)


NONE = Edits()


def edits_of(photo: Photo) -> Edits:
    """The edits of a photograph's copies."""
    return Edits(crop=photo.crop, marks=photo.marks)


def _counted(number: int, noun: str) -> str:
    if number == 1:
        return f"{'an' if noun == 'arrow' else 'one' if noun == 'place' else 'a'} {noun}"
    return f"{number} {noun}s"
