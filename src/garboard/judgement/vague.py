"""Words that say nothing, found in the surveyor's own sentences."""

import re
import tomllib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

# A point within a number or a name ends nothing.
_SENTENCE = re.compile(r"([^.;!?]|[.;!?](?=\S))+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Vague:
    """A vague word as it stands in a text, and what to write instead."""

    word: str
    do: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Trade:
    """Where a word is the trade's own: of which parts, beside which words, and before which it is not."""

    parts: frozenset[str]
    beside: re.Pattern[str]
    before: re.Pattern[str]


def vague_words(text: str, parts: Collection[str] = ()) -> tuple[Vague, ...]:
    """The vague words of a text, each once.

    Args:
        text: One or several sentences.
        parts: The ids of the parts that it speaks of.

    >>> [each.word for each in vague_words("The hull appears fair.")]
    ['fair', 'appears']
    >>> vague_words("The topsides are fair, sighted from bow and stern.")
    ()
    """
    found = {
        match[1].lower(): do
        for pattern, do in _patterns()
        for match in pattern.finditer(text)
        if not _is_the_trades(match, parts)
    }
    return tuple(Vague(word=word, do=do) for word, do in found.items())


def _is_the_trades(match: re.Match[str], parts: Collection[str]) -> bool:
    trade = _trades().get(match[1].lower())
    if trade is None or trade.before.match(match.string[match.end() :].lstrip()):
        return False
    around = next(
        each[0]
        for each in _SENTENCE.finditer(match.string)
        if each.start() <= match.start() < each.end()
    )
    return not trade.parts.isdisjoint(parts) or trade.beside.search(around) is not None


@cache
def _patterns() -> tuple[tuple[re.Pattern[str], str], ...]:
    return tuple((_any_of(table["words"]), table["do"]) for table in _data()["vague"].values())


@cache
def _trades() -> Mapping[str, _Trade]:
    return {
        word: _Trade(
            parts=frozenset(table["parts"]),
            beside=_any_of(table["beside"]),
            before=_any_of(table["before"]),
        )
        for word, table in _data()["trade"].items()
    }


@cache
def _data() -> Mapping[str, Any]:
    return tomllib.loads(files(__package__).joinpath("vague.toml").read_text("utf-8"))


def _any_of(words: Collection[str]) -> re.Pattern[str]:
    return re.compile(rf"\b({'|'.join(map(re.escape, words))})\b", re.IGNORECASE)
