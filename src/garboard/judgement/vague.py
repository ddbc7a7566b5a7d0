"""Words that say nothing, found in the surveyor's own sentences."""

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True, kw_only=True)
class Vague:
    """A vague word as it stands in a text, and what to write instead."""

    word: str
    do: str


@cache
def _patterns() -> tuple[tuple[re.Pattern[str], str], ...]:
    data = tomllib.loads(files(__package__).joinpath("vague.toml").read_text("utf-8"))
    return tuple(
        (
            re.compile(rf"\b({'|'.join(map(re.escape, table['words']))})\b", re.IGNORECASE),
            table["do"],
        )
        for table in data.values()
    )


def vague_words(text: str) -> tuple[Vague, ...]:
    """The vague words of a text, each once.

    >>> [each.word for each in vague_words("The hull appears fair.")]
    ['fair', 'appears']
    """
    found = {
        match[1].lower(): do for pattern, do in _patterns() for match in pattern.finditer(text)
    }
    return tuple(Vague(word=word, do=do) for word, do in found.items())
