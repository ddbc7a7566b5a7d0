"""What a method gives back, and what says why to believe it.

A `Result` carries its value with unit and uncertainty, the verdict against a criterion, and the ids of the
entries it rests on.
"""

from dataclasses import dataclass
from typing import Literal

from garboard.notebook.body import Place

Verdict = Literal["within", "at the limit", "beyond", "cannot say", "not comparable"]
Standing = Literal[
    "regulation", "standard", "class rule", "guidance", "common practice", "working figure"
]
Text = Literal["read", "second hand", "memory"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """A limit, who holds it, and whether its text was read here.

    `beyond` says on which side of `limit` the trouble lies; `say` is the sentence a report prints when a value
    is beyond it.
    """

    id: str
    quantity: str
    limit: float
    unit: str
    beyond: Literal["above", "below"]
    applies: str
    standing: Standing
    source: str
    text: Text
    say: str

    @property
    def allows_none(self) -> bool:
        """Whether trouble lies wherever there is any at all of what was counted or measured."""
        return self.beyond == "above" and self.limit == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One computed thing.

    `method` is the id of its declaration; `what` says in words what was computed; `value` is None where the
    verdict is "cannot say", and then `caveats` says why; `plainly` says it in a client's words, where its
    value tells a client little; `uncertainty` is the standard uncertainty in `unit`, or None with
    `uncertainty_why`; `used` holds the ids of the entries it rests on.
    """

    method: str
    what: str
    value: float | None
    unit: str
    verdict: Verdict
    used: tuple[str, ...]
    uncertainty: float | None = None
    uncertainty_why: str = ""
    criterion: Criterion | None = None
    place: Place | None = None
    caveats: tuple[str, ...] = ()
    plainly: str = ""

    @property
    def judged(self) -> str:
        """The verdict in words; a criterion whose text nobody here read may only ask for a check.

        What is beyond a limit of none was simply found.
        """
        if self.verdict != "beyond" or self.criterion is None:
            return self.verdict
        if self.criterion.text == "memory":
            return "have this checked"
        return "found" if self.criterion.allows_none else self.verdict


def verdict_of(value: float, uncertainty: float | None, criterion: Criterion) -> Verdict:
    """The verdict on a value: "at the limit" where the limit lies within its expanded uncertainty.

    Args:
        value: In the criterion's unit.
        uncertainty: Standard uncertainty, same unit; None counts as zero. It is doubled (about 95 %).
        criterion: The limit.

    Source:
        JCGM 106:2012, clause 8 (guarded decision rules), coverage factor 2; from memory.
    """
    margin = 2 * (uncertainty or 0.0)
    past = value - criterion.limit if criterion.beyond == "above" else criterion.limit - value
    if past > margin:
        return "beyond"
    if past < -margin or (past <= 0 and margin == 0):
        return "within"
    return "at the limit"
