"""What is wrong with some input, said so that a person can mend it."""

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
        return f"{self.where}: {self.what}. {self.do}."


class Refused(ValueError):
    """Input refused whole; `problems` lists everything that is wrong with it."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Keep the problems in the order they were met."""
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))
