"""Text from people made safe to set: nothing hidden in it, nothing the typefaces lack.

What steers text without being seen (control characters, marks of writing direction, zero-width characters)
is taken out. A character without a glyph is printed as its code, and the reader of the warnings is told.
"""

import dataclasses
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from typing import Any, TypeVar

from garboard.notebook.problem import Problem

T = TypeVar("T")

# Cc control, Cf format (direction, zero width, soft hyphen), Cs half a surrogate pair.
_UNSEEN = frozenset({"Cc", "Cf", "Cs"})
_DIRECTION = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_LINE_ENDS = str.maketrans({"\r": "\n", "\u0085": "\n", "\u2028": "\n", "\u2029": "\n", "\t": " "})


def safe(text: str) -> str:
    r"""Text composed (NFC), with plain line ends and nothing in it that is not seen.

    >>> safe('paid\u202e in\u200b full\x07')
    'paid in full'
    """
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").translate(_LINE_ENDS))
    return "".join(each for each in composed if each == "\n" or not _is_unseen(each))


def printable(text: str, glyphs: frozenset[int]) -> str:
    r"""Safe text with every character that has no glyph printed as its code.

    >>> printable('Quillet \u4f60', frozenset(map(ord, 'Quilet ')))
    'Quillet ‹U+4F60›'
    """
    return "".join(
        each if each == "\n" or ord(each) in glyphs else f"‹U+{ord(each):04X}›"
        for each in safe(text)
    )


def cleaned(value: T, change: Callable[[str], str]) -> T:
    """A document or a part of one, made anew with every text in it changed; bytes stay as they are."""
    made: Any = value
    if isinstance(value, str):
        made = change(value)
    elif isinstance(value, tuple):
        made = tuple(cleaned(each, change) for each in value)
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = dataclasses.fields(value)
        made = type(value)(**{f.name: cleaned(getattr(value, f.name), change) for f in fields})
    return made  # type: ignore[no-any-return]


def texts(value: object) -> Iterator[str]:
    """Every text in a document or a part of one, in the order of its fields."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for each in value:
            yield from texts(each)
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from texts(getattr(value, field.name))


def warnings(texts: Iterable[str], glyphs: frozenset[int]) -> tuple[Problem, ...]:
    """What `printable` replaces in these texts, and where it had to take out a mark that turns text round."""
    lacking: Counter[str] = Counter()
    first: dict[str, str] = {}
    turned: list[str] = []
    for text in texts:
        for each in safe(text):
            if each != "\n" and ord(each) not in glyphs:
                lacking[each] += 1
                first.setdefault(each, text)
        if not _DIRECTION.isdisjoint(text):
            turned.append(text)
    return (
        *(
            Problem(
                where=_quoted(first[each], each, glyphs),
                what=f"U+{ord(each):04X} ({unicodedata.name(each, 'no name').lower()}) is not in the"
                f" typefaces and is printed as its code, {count} in all",
                do="Write it in Latin, Greek or Cyrillic letters",
            )
            for each, count in lacking.items()
        ),
        *(
            Problem(
                where=_quoted(text, "", glyphs),
                what="a hidden mark turns the direction of this text and was taken out",
                do="Type the text again, and ask where it was pasted from",
            )
            for text in turned
        ),
    )


def _is_unseen(character: str) -> bool:
    # Variation selectors only choose between looks of the character before them.
    return unicodedata.category(character) in _UNSEEN or "\ufe00" <= character <= "\ufe0f"


def _quoted(text: str, about: str, glyphs: frozenset[int]) -> str:
    """The words round a character, as they are printed."""
    line = " ".join(safe(text).split())
    start = max(0, line.find(about) - 30)
    words = printable(line[start : start + 60], glyphs)
    return f"“{'…' if start else ''}{words}{'…' if line[start + 60 :] else ''}”"
