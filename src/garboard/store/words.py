"""The words people wrote in an entry, and how words compare."""

import dataclasses
import json
import re
import unicodedata
from collections.abc import Iterator, Mapping
from typing import Any

from garboard.notebook.body import Unknown
from garboard.notebook.entry import Entry
from garboard.notebook.shape import hints

WORD = re.compile(r"[^\W_]+")

# Ids, codes and references: text by type, yet nobody's words.
_NOT_WORDS = frozenset(
    {
        "part", "sha256", "entries_sha256", "media_type", "file", "unit", "currency", "as_read", "original",
        "evidence", "photos", "fitted", "fitted_unknown", "asked_parts", "how", "reasons", "finding", "recommendation", "comparables",
        "gap", "instrument", "phrase",
    }
)  # fmt: skip
_BETWEEN = " · "


def words_of(entry: Entry[Any]) -> str:
    """Everything somebody wrote in an entry, as one text; empty where it holds no words."""
    body = entry.body
    found = _strings(json.loads(body.json)) if isinstance(body, Unknown) else _written(body)
    text = _BETWEEN.join(each for each in (*found, entry.why or "") if WORD.search(each))
    composed = unicodedata.normalize("NFC", text)
    return "".join(each if each.isprintable() else " " for each in composed)


def words_in(text: str) -> tuple[str, ...]:
    """The different words of a text, in its order."""
    return tuple(dict.fromkeys(WORD.findall(unicodedata.normalize("NFC", text))))


def plain(text: str) -> str:
    """Text without case and accents."""
    parts = unicodedata.normalize("NFKD", text.casefold())
    return "".join(each for each in parts if not unicodedata.combining(each))


def squeezed(text: str) -> str:
    """Text without case, accents, spaces and marks, so that differently written numbers compare."""
    return "".join(WORD.findall(plain(text)))


def _written(body: Any) -> Iterator[str]:
    """The free text of a body's fields; a choice from a fixed list is no text."""
    kind: Any = type(body)
    for name, hint in hints(kind).items():
        value = getattr(body, name)
        if name in _NOT_WORDS:
            continue
        if hint is str:
            yield value
        elif hint == tuple[str, ...]:
            yield from value
        elif dataclasses.is_dataclass(value):
            yield from _written(value)
        elif isinstance(value, tuple):
            for each in value:
                if dataclasses.is_dataclass(each):
                    yield from _written(each)


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from _strings(each)
    elif isinstance(value, list):
        for each in value:
            yield from _strings(each)
