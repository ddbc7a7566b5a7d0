"""The one way in which a page writes: bodies become entries, are judged like all others, and are kept.

Raises:
    Refused: What was filled in makes no sense beside the rest of the survey, or takes the place of what stands no
        more; nothing was kept.
"""

import threading
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from functools import wraps
from itertools import count
from typing import Any, ParamSpec, TypeVar

from sqlalchemy import Connection
from starlette.requests import Request

from garboard.catalogue.naming import capital
from garboard.catalogue.parts import catalogue
from garboard.desk.context import DEVICE, Desk, desk_of, who
from garboard.desk.filled import Filled
from garboard.desk.forms import Texts
from garboard.desk.labels import kind_words
from garboard.desk.notes import add_kept
from garboard.desk.refusals import in_words, wrong
from garboard.desk.told import facts_of, line_of
from garboard.desk.worked import hull_for
from garboard.judgement.strays import stray
from garboard.notebook.body import Observation, Sounding, Withdrawal
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.vet import Known, vet
from garboard.store.tokens import new_id

_P = ParamSpec("_P")
_T = TypeVar("_T")

Make = Callable[[Any, tuple[str, ...], str | None], Entry[Any]]
"""An entry made now of a body, of what it corrects or withdraws, and why."""

FILLED_FROM = "of"
"""The hidden field of a form that says which entries it was filled from."""

_MOST, _FEW = 160, 3
# What takes the place of another is written in turn, so that two do not come to stand side by side unawares.
_turn = threading.RLock()


# Making entries


def maker(request: Request, survey: str, at: datetime | None = None) -> Make:
    """Makes entries of the signed-in surveyor, one after the other in time; they are not kept yet.

    Args:
        request: Of somebody signed in.
        survey: Its id; a new one opens a survey.
        at: When what they tell was done; now where it is not given.
    """
    desk, author = desk_of(request), who(request).name
    began, after = at or desk.now(), count()

    def make(body: Any, replaces: tuple[str, ...], why: str | None) -> Entry[Any]:
        # Entries are read by time: those made at once stay in their order.
        moment = began + timedelta(microseconds=next(after))
        return Entry(
            id=new_id(moment, desk.random_bytes),
            survey=survey,
            at=moment,
            author=author,
            device=DEVICE,
            body=body,
            replaces=replaces,
            why=why,
        )

    return make


# Keeping them


def in_turn(handler: Callable[_P, _T]) -> Callable[_P, _T]:
    """What looks at what stands and keeps, done in one turn.

    Of two forms sent at once, as by a double click, the second is judged by what the first kept.
    """

    @wraps(handler)
    def handled(*given: _P.args, **named: _P.kwargs) -> _T:
        with _turn:
            return handler(*given, **named)

    return handled


def keep(request: Request, survey: str, *bodies: Any, replaces: Iterable[str] = (), why: str | None = None) -> tuple[Entry[Any], ...]:  # fmt: skip
    """Keep what the signed-in surveyor filled in.

    Args:
        request: Of somebody signed in.
        survey: Its id; a new one opens a survey.
        bodies: One entry each, in this order.
        replaces: The entries that the first of them corrects.
        why: The reason, where it corrects.
    """
    make, first, *rest = maker(request, survey), *bodies
    made = (make(first, tuple(replaces), why), *(make(body, (), None) for body in rest))
    return keep_made(request, made)


def keep_anew(
    request: Request, survey: Survey, form: Texts, sent: Filled[Any], standing: Sequence[Entry[Any]]
) -> tuple[Problem, ...] | None:
    """Keep a body in place of those that stand; nothing where it says what they say.

    Args:
        request: Of somebody signed in.
        survey: As it stands.
        form: As it was sent, with what it was filled from.
        sent: What it says.
        standing: What it takes the place of; nothing where it is new.

    Returns:
        None where it stands now, else what is wrong with the whole of it; its fields have problems of their own.
    """
    if [each.body for each in standing] == [sent.body]:
        return None
    late = overtaken(request, survey, form, standing)
    if late or sent.body is None:
        return late
    why = "Written anew at the desk" if standing else None
    try:
        keep(request, survey.id, sent.body, replaces=[each.id for each in standing], why=why)
    except Refused as refused:
        return refused.problems
    return None


def correct(request: Request, survey: str, corrections: Mapping[str, Any], why: str) -> tuple[Entry[Any], ...]:  # fmt: skip
    """Keep corrections of several entries for one reason, all or none.

    Args:
        request: Of somebody signed in.
        survey: Its id.
        corrections: By the id of the entry, the body that takes its place.
        why: The reason.
    """
    make = maker(request, survey)
    return keep_made(request, tuple(make(body, (id_,), why) for id_, body in corrections.items()))


def withdraw(request: Request, survey: Survey, entries: Sequence[Entry[Any]], why: str) -> tuple[Entry[Any], ...]:  # fmt: skip
    """Take entries back with all their earlier versions, for one reason; they stay legible.

    Args:
        request: Of somebody signed in.
        survey: As it stands.
        entries: What is taken back.
        why: The reason.
    """
    make, back = maker(request, survey.id), versions(survey, *entries)
    made = tuple(
        make(Withdrawal(), tuple(id_ for id_ in back if entry.id in (id_, *survey.heads.get(id_, ()))), why)
        for entry in entries
    )  # fmt: skip
    return keep_made(request, made)


def keep_made(request: Request, made: tuple[Entry[Any], ...]) -> tuple[Entry[Any], ...]:
    """Keep entries that were made for a page, all or none, and have the page it leads to say so."""
    if made:
        accept(desk_of(request), made)
        add_kept(request, made)
    return made


def accept(
    desk: Desk,
    entries: tuple[Entry[Any], ...],
    also: Callable[[Connection], object] = lambda _: None,
) -> None:
    """Keep entries whole, or refuse them whole; what takes the place of others only while those stand.

    Args:
        desk: Where they are kept.
        entries: Of one survey.
        also: Done in the same transaction; if it raises, nothing is kept.
    """
    (survey,) = {entry.survey for entry in entries}
    with _turn:
        folded = desk.surveys.get(survey)
        late = [*_late(desk, folded, entries)] if folded else []
        if late:
            raise Refused(late)
        vetted = vet(
            entries,
            known=known_words(),
            now=desk.now(),
            held=folded.entries if folded else (),
            where={each.id: each.id for each in entries},
        )
        told = (each for _, each in in_words(vetted.problems, entries))
        problems = [*told, *_off_the_boat(folded, vetted.accepted)]
        if problems:
            raise Refused(problems)
        desk.surveys.add(vetted.accepted, also)


# What a form was filled from


def filled_from(entries: Iterable[Entry[Any]]) -> str:
    """What a form carries in its field `FILLED_FROM`: the ids of what it was filled from."""
    return " ".join(sorted(each.id for each in entries))


def overtaken(
    request: Request, survey: Survey, form: Texts, standing: Sequence[Entry[Any]]
) -> tuple[Problem, ...]:
    """That what a form was filled from was changed while it was open; nothing where it was not.

    Args:
        request: The request that sent it.
        survey: As it stands.
        form: As it was sent; one that does not say what it was filled from was filled from nothing.
        standing: What it would take the place of now.
    """
    shown = form.get(FILLED_FROM, "").split()
    since = [each for each in standing if each.id not in shown]
    since += [each.by for each in survey.withdrawn if each.entry.id in shown]
    if not since:
        return ()
    return (_overtaken_by(desk_of(request), survey, max(since, key=lambda each: each.at)),)


def versions(survey: Survey, *entries: Entry[Any]) -> tuple[str, ...]:
    """The ids of entries and of all they alone took the place of: taking them back must not bring an earlier one back.

    What they stand beside, as two corrections of one entry do, stays.
    """
    ids = {each.id: None for each in entries}
    return (*ids, *(each for each, heads in survey.heads.items() if heads and heads <= ids.keys()))


def _late(desk: Desk, survey: Survey, entries: Iterable[Entry[Any]]) -> Iterator[Problem]:
    """What entries would take the place of although it was corrected or taken back already."""
    replaced = {each for entry in entries for each in entry.replaces}
    gone = {each.entry.id: each.by for each in survey.withdrawn}
    for each in sorted(replaced):
        heads = survey.heads.get(each, frozenset())
        if others := sorted(heads - replaced):
            yield _overtaken_by(desk, survey, survey.by_id[others[-1]])
        elif each in gone and not heads:
            yield _overtaken_by(desk, survey, gone[each])


def _overtaken_by(desk: Desk, survey: Survey, entry: Entry[Any]) -> Problem:
    """What is said of an entry that took the place of what a form was filled from."""
    at = f"at {entry.at.astimezone(desk.zone):%H:%M} while you were writing"
    if isinstance(entry.body, Withdrawal):
        return Problem(
            where=capital(kind_words(survey.by_id[entry.replaces[0]].kind)),
            what=f"{entry.author} took it back {at}; what you wrote is not kept",
            do="Look at it in the history, and write it anew if it is to count",
        )
    line = _changed_in(desk, survey, entry)
    short = line if len(line) <= _MOST else f"{line[:_MOST].rstrip()}…"
    return Problem(
        where=capital(kind_words(entry.kind)),
        what=f"{entry.author} changed it {at}; what you wrote is not kept, and “{short}” is in force now",
        do="Look at theirs in the history, then keep yours in its place",
    )


def _changed_in(desk: Desk, survey: Survey, entry: Entry[Any]) -> str:
    """What a correction says otherwise than what it corrects, in words; where that is much, all of it in a line."""
    before = survey.by_id.get(entry.replaces[0]) if entry.replaces else None
    told = [
        each for each in facts_of(entry, desk.zone, before, survey.by_id) if each.was is not None
    ]
    if not 0 < len(told) <= _FEW:
        return line_of(entry.body)
    return "; ".join(f"{each.label}: {each.value or '(empty)'}" for each in told)


def _off_the_boat(survey: Survey | None, entries: Iterable[Entry[Any]]) -> Iterator[Problem]:
    """What puts a sounding or an observation off the boat; readings are judged row by row where they are typed."""
    placed = [each for each in entries if isinstance(each.body, Sounding | Observation)]
    if survey is None or not any(each.body.place.station_m is not None for each in placed):
        return
    try:
        hull = hull_for(survey)
    except ValueError:
        return
    for each in placed:
        off = stray(each.body.place, hull)
        if off:
            yield wrong(
                Problem(where="", what=off.what, do=off.do), each.kind, f"place {off.field}"
            )


def known_words() -> Known:
    """The words of the catalogue that entries may use."""
    words = catalogue().vocabulary
    return Known(
        parts=catalogue().parts, how=words.how, reasons=words.reasons, fittings=words.fittings
    )
