"""History: every entry ever made, by whom, when and why; and the forms that correct one, take one back, or add one."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from textwrap import shorten
from types import MappingProxyType
from typing import Any, Literal

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.naming import capital
from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import Filled, filled, texts_of, whole_number
from garboard.desk.forms import Texts, fields_of
from garboard.desk.keep import filled_from, in_turn, keep, keep_anew, overtaken, versions, withdraw
from garboard.desk.labels import kind_words
from garboard.desk.notes import say
from garboard.desk.parts import part_choices
from garboard.desk.render import see, survey_page
from garboard.desk.told import REFERENCES, facts_of, line_in
from garboard.desk.writing import rivals, taken_back
from garboard.notebook.body import (
    KINDS,
    Boat,
    Conditions,
    Instruction,
    Issue,
    Terms,
    Unknown,
    Withdrawal,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.shape import write

State = Literal["stands", "corrected", "withdrawn"]

A_PAGE = 200
_NOT_BY_HAND = (Issue, Withdrawal, Unknown)
# What a correction leaves as it was: bytes have their names, and other entries are chosen on pages of their own.
_BY_ITSELF = ("sha256", "media_type", "phrase", "gap", *sorted(REFERENCES))
# The text that was accepted is known by its fingerprint only where it was accepted by its link.
_NOT_ASKED: Mapping[type, tuple[str, ...]] = MappingProxyType({Terms: ("sha256",)})
# Of these a survey has one.
_ONE = (Boat, Instruction)
_NONE: Texts = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """An entry in the list: what it says, and whether it still stands."""

    entry: Entry[Any]
    words: str
    state: State


def show(request: Request) -> Response:
    """All entries, the newest first."""
    survey = survey_of(request)
    kind = request.query_params.get("kind", "")
    found = [each for each in reversed(survey.entries) if kind in ("", each.kind)]
    at = max(1, whole_number(request.query_params.get("page", "")) or 1)
    return survey_page(
        request,
        survey,
        "history",
        "history.html",
        heading="History",
        lines=_lines(found[(at - 1) * A_PAGE : at * A_PAGE], survey),
        kinds=sorted({each.kind for each in survey.entries}),
        kind=kind,
        number=at,
        last=max(1, -(-len(found) // A_PAGE)),
        total=len(found),
        choices=_lines([each for choice in survey.choices for each in choice.between], survey),
    )


def entry(request: Request) -> Response:
    """One entry: what it says, what came before and after it, and the form to correct it."""
    survey = survey_of(request)
    found = _entry_of(request, survey)
    body = found.body
    texts = {} if isinstance(body, _NOT_BY_HAND) else texts_of(body, desk_of(request).zone)
    return _entry_page(request, survey, found, Filled(texts=texts, body=None, problems=_NONE))


def correct(request: Request, form: Texts) -> Response:
    """Keep a correction of an entry."""
    survey = survey_of(request)
    found = _entry_of(request, survey)
    if isinstance(found.body, _NOT_BY_HAND):
        raise HTTPException(409, "An entry of this kind is not corrected by hand.")
    by_itself = {name: value for name, value in write(found.body).items() if name in _BY_ITSELF}
    sent = filled(type(found.body), form, desk_of(request).zone, by_itself, found.body)
    standing = survey.current(found.id)
    if late := overtaken(request, survey, form, standing):
        now = standing[-1] if standing else found
        return _entry_page(request, survey, now, sent, late, status=422)
    why = form.get("why", "").strip()
    if sent.body is None or not why:
        problems = {**sent.problems, **({} if why else {"why": "Say why it is corrected."})}
        sent = Filled(texts=form, body=None, problems=problems)
        return _entry_page(request, survey, found, sent, status=422)
    try:
        keep(request, survey.id, sent.body, replaces=(found.id,), why=why)
    except Refused as refused:
        return _entry_page(request, survey, found, sent, refused.problems, status=422)
    return see(_back(form, f"/s/{survey.id}/entry/{found.id}"))


def take_back(request: Request, form: Texts) -> Response:
    """Withdraw an entry with all its earlier versions, with the reason."""
    survey = survey_of(request)
    found = _entry_of(request, survey)
    if isinstance(found.body, _NOT_BY_HAND):
        raise HTTPException(409, "An entry of this kind is not taken back by hand.")
    why = form.get("why", "").strip()
    if not why:
        problem = Problem(where="withdrawal", what="the reason is missing", do="Say why it is taken back")  # fmt: skip
        raise Refused([problem])
    withdraw(request, survey, [found], why)
    say(request, taken_back(survey, found))
    return see(_back(form, f"/s/{survey.id}/entry/{found.id}"))


def add(request: Request) -> Response:
    """The form of a new entry; what the address says of it is filled in."""
    survey = survey_of(request)
    texts = dict(request.query_params)
    return _add_page(request, survey, Filled(texts=texts, body=None, problems=_NONE))


def added(request: Request, form: Texts) -> Response:
    """Keep a new entry."""
    survey = survey_of(request)
    kind = _kind_of(request)
    sent = filled(kind, form, desk_of(request).zone)
    problems = keep_anew(request, survey, form, sent, _in_its_place(survey, kind, sent.body))
    if problems is not None:
        return _add_page(request, survey, sent, problems, status=422)
    return see(_back(form, f"/s/{survey.id}/history"))


def _entry_page(
    request: Request,
    survey: Survey,
    found: Entry[Any],
    sent: Filled[Any],
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    by_id, zone = survey.by_id, desk_of(request).zone
    is_by_hand = not isinstance(found.body, _NOT_BY_HAND)
    (line,) = _lines([found], survey)
    before = [by_id[each] for each in found.replaces if each in by_id]
    return survey_page(
        request,
        survey,
        "history",
        "entry.html",
        status=status,
        heading=shorten(
            f"{capital(kind_words(found.kind))}: {line_in(survey, found)}", 120, placeholder=" …"
        ),
        entry=found,
        line=line,
        facts=facts_of(found, zone, before[0] if before else None, by_id),
        before=_lines(before, survey),
        after=[
            (line, facts_of(line.entry, zone, found, by_id))
            for line in _lines([e for e in survey.entries if found.id in e.replaces], survey)
        ],
        fields=fields_of(type(found.body), sent.texts, sent.problems, _BY_ITSELF)
        if is_by_hand
        else (),
        is_open=is_by_hand and (line.state == "stands" or bool(problems)),
        of=filled_from([found]),
        is_wrong=status != 200,
        why_problem=sent.problems.get("why", ""),
        why=sent.texts.get("why", ""),
        earlier=len(versions(survey, found)) - 1,
        beside=_lines(rivals(survey, found), survey),
        back=request.query_params.get("back", ""),
        problems=problems,
        parts=part_choices(survey),
    )


def _add_page(
    request: Request,
    survey: Survey,
    sent: Filled[Any],
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    kind = request.path_params["kind"]
    return survey_page(
        request,
        survey,
        "history",
        "add.html",
        status=status,
        heading=f"A new {kind_words(kind)}",
        kind=kind,
        fields=fields_of(
            _kind_of(request), sent.texts, sent.problems, _NOT_ASKED.get(_kind_of(request), ())
        ),
        back=sent.texts.get("back", ""),
        problems=problems,
        parts=part_choices(survey),
    )


def _entry_of(request: Request, survey: Survey) -> Entry[Any]:
    found = survey.by_id.get(request.path_params["entry"])
    if found is None:
        raise HTTPException(404, "There is no such entry in this survey.")
    return found


def _kind_of(request: Request) -> type[Any]:
    cls = KINDS.get(request.path_params["kind"])
    if cls is None or issubclass(cls, _NOT_BY_HAND):
        raise HTTPException(404, "There is no such kind of entry to add.")
    return cls


def _in_its_place(survey: Survey, kind: type[Any], body: Any) -> tuple[Entry[Any], ...]:
    """What a new entry must not come to stand beside: the one of its kind, or the same visit."""
    standing = survey.of(kind)
    if kind in _ONE:
        return standing
    return tuple(each for each in standing if each.body == body)[:1] if kind is Conditions else ()


def _lines(entries: Iterable[Entry[Any]], survey: Survey) -> list[Line]:
    gone = {each.entry.id for each in survey.withdrawn}

    def state(entry: Entry[Any]) -> State:
        if entry.id in gone:
            return "withdrawn"
        return "corrected" if survey.heads.get(entry.id) else "stands"

    return [Line(entry=each, words=line_in(survey, each), state=state(each)) for each in entries]


def _back(form: Texts, otherwise: str) -> str:
    """The page to go on with: one of a survey, or else the one given."""
    back = form.get("back", "")
    return back if back.startswith("/s/") else otherwise


ROUTES = (
    Route("/s/{survey}/history", show),
    Route("/s/{survey}/entry/{entry}", entry),
    Route("/s/{survey}/entry/{entry}", posted(correct), methods=["POST"]),
    Route("/s/{survey}/entry/{entry}/withdraw", posted(take_back), methods=["POST"]),
    Route("/s/{survey}/add/{kind}", add),
    Route("/s/{survey}/add/{kind}", posted(in_turn(added)), methods=["POST"]),
)
