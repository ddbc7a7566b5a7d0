"""A job of the cast on which everything is settled that must be before travelling."""

from datetime import date
from typing import Any

from cast import QUILLET, entry

from garboard.judgement.readiness import acts_called
from garboard.notebook.body import (
    Arrangement,
    ConflictCheck,
    Consent,
    Instruction,
    Settled,
    Terms,
)
from garboard.notebook.fold import Survey, fold

ASKED = Instruction(client="Tamsin Orrowby", purpose="buy", place="Fennick Hard")
TERMS = Terms(version="3", accepted_by="T. Orrowby", accepted_on=date(2026, 5, 4), how="by e-mail")
CHECK = ConflictCheck(result="none", looked_at="own archive, seller, broker, yard")
MATTERS: tuple[Settled, ...] = (
    "visit", "lift or slip", "access", "telephone", "hazards", "competence", "insurance cover",
)  # fmt: skip


def survey(*bodies: Any) -> Survey:
    """The survey of some bodies, one entry each."""
    return fold([entry(number, body) for number, body in enumerate(bodies, 1)])


EVERYTHING: tuple[Any, ...] = (
    ASKED,
    QUILLET,
    TERMS,
    CHECK,
    *(
        Consent(act=act, given=True, by="the seller", on=date(2026, 5, 5))
        for act in acts_called(survey(ASKED, QUILLET))
    ),
    *(Arrangement(what=what, words="settled", on=date(2026, 5, 12)) for what in MATTERS),
)
