"""Words of the trade explained for a reader who does not speak it."""

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """A word, and one sentence that explains it."""

    word: str
    say: str


@cache
def _terms() -> tuple[tuple[re.Pattern[str], Term], ...]:
    data = tomllib.loads(files("garboard.catalogue").joinpath("glossary.toml").read_text("utf-8"))
    return tuple(
        (
            re.compile(rf"\b(?:{'|'.join(map(re.escape, table['seek']))})\b", re.IGNORECASE),
            Term(word=word, say=table["say"]),
        )
        for word, table in data.items()
    )


def terms_in(text: str) -> tuple[Term, ...]:
    """The words of a text that a lay reader may not know, each once, by alphabet.

    >>> [term.word for term in terms_in("The seacock is pink, the topsides are fair.")]
    ['dezincified', 'seacock', 'topsides']
    """
    found = (term for pattern, term in _terms() if pattern.search(text))
    return tuple(sorted(found, key=lambda term: term.word.lower()))
