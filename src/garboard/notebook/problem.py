"""What is wrong with some input, said so that a person can mend it."""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong: where it is, what was found there, and what to do about it."""

    where: str
    what: str
    do: str

    def __str__(self) -> str:
        """The problem as two sentences after its place."""
        return f"{self.where}: {self.what}. {self.do}{'' if self.do.endswith('?') else '.'}"


class Refused(ValueError):
    """Input refused whole; `problems` lists everything that is wrong with it."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Keep the problems in the order they were met."""
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


def nearest(word: str, words: Iterable[str], otherwise: str = "") -> str:
    """A hint at the word that was probably meant, or what to do otherwise, or the whole choice."""
    known = list(words)
    close = difflib.get_close_matches(word, known, 1)
    if close:
        return f'Did you mean "{close[0]}"?'
    return otherwise or f"Use one of: {', '.join(known)}"
