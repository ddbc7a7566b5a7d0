"""The one way in which a page writes: bodies become entries, are judged like all others, and are kept.

Raises:
    Refused: What was filled in makes no sense beside the rest of the survey; nothing was kept.
"""

import threading
from collections.abc import Callable, Iterable, Mapping
from datetime import timedelta
from typing import Any

from sqlalchemy import Connection
from starlette.requests import Request

from garboard.catalogue.parts import catalogue
from garboard.desk.context import DEVICE, Desk, desk_of, who
from garboard.notebook.body import Withdrawal
from garboard.notebook.entry import Entry
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.vet import Known, vet
from garboard.store.tokens import new_id

# Corrections are made one at a time, so that two of one entry are not made side by side unawares.
_turn = threading.Lock()
_LATE = Problem(
    where="correction",
    what="what it corrects was corrected in the same moment on another page",
    do="Look at it as it stands now, and correct that",
)


def keep(request: Request, survey: str, *bodies: Any, replaces: Iterable[str] = (), why: str | None = None) -> tuple[Entry[Any], ...]:  # fmt: skip
    """Keep what the signed-in surveyor filled in.

    Args:
        request: Of somebody signed in.
        survey: Its id; a new one opens a survey.
        bodies: One entry each, in this order.
        replaces: The entries that the first of them corrects.
        why: The reason, where it corrects.
    """
    replaced = tuple(replaces)
    made = _written(
        request,
        survey,
        [(body, () if number else replaced, None if number else why) for number, body in enumerate(bodies)],
    )  # fmt: skip
    accept(desk_of(request), made)
    return made


def correct(request: Request, survey: str, corrections: Mapping[str, Any], why: str) -> tuple[Entry[Any], ...]:  # fmt: skip
    """Keep corrections of several entries for one reason, all or none.

    Args:
        request: Of somebody signed in.
        survey: Its id.
        corrections: By the id of the entry, the body that takes its place.
        why: The reason.
    """
    desk = desk_of(request)
    with _turn:
        held = desk.surveys.get(survey)
        late = [each for each in corrections if held and held.heads.get(each)]
        if late:
            raise Refused([_LATE])
        made = _written(
            request, survey, [(body, (each,), why) for each, body in corrections.items()]
        )
        if made:
            accept(desk, made)
    return made


def withdraw(request: Request, survey: str, entry: str, why: str) -> Entry[Any]:
    """Take an entry back, with the reason; it stays legible."""
    (made,) = keep(request, survey, Withdrawal(), replaces=(entry,), why=why)
    return made


def accept(
    desk: Desk,
    entries: tuple[Entry[Any], ...],
    also: Callable[[Connection], object] = lambda _: None,
) -> None:
    """Keep entries whole, or refuse them whole.

    Args:
        desk: Where they are kept.
        entries: Of one survey.
        also: Done in the same transaction; if it raises, nothing is kept.
    """
    (survey,) = {entry.survey for entry in entries}
    folded = desk.surveys.get(survey)
    vetted = vet(
        entries, known=known_words(), now=desk.now(), held=folded.entries if folded else ()
    )
    if vetted.problems:
        raise Refused(vetted.problems)
    desk.surveys.add(vetted.accepted, also)


def _written(
    request: Request, survey: str, bodies: Iterable[tuple[Any, tuple[str, ...], str | None]]
) -> tuple[Entry[Any], ...]:
    """Entries of the signed-in surveyor, made now: bodies, what each corrects, and why."""
    desk = desk_of(request)
    began = desk.now()
    return tuple(
        Entry(
            id=new_id(began, desk.random_bytes),
            survey=survey,
            # Entries are read by time: those made at once stay in their order.
            at=began + timedelta(microseconds=number),
            author=who(request).name,
            device=DEVICE,
            body=body,
            replaces=replaces,
            why=why,
        )
        for number, (body, replaces, why) in enumerate(bodies)
    )


def known_words() -> Known:
    """The words of the catalogue that entries may use."""
    words = catalogue().vocabulary
    return Known(
        parts=catalogue().parts, how=words.how, reasons=words.reasons, fittings=words.fittings
    )
