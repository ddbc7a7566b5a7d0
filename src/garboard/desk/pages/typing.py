"""The checklist typed back: a line a place, in the order of the paper, each kept as an entry or two of its own."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from datetime import timedelta
from types import MappingProxyType
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.naming import named
from garboard.catalogue.parts import catalogue
from garboard.desk.asked import posted
from garboard.desk.context import DEVICE, desk_of, survey_of, who
from garboard.desk.forms import Texts
from garboard.desk.keep import keep, withdraw
from garboard.desk.paper import ALL, Written, codes, line_of, reason_words
from garboard.desk.render import page, survey_page
from garboard.judgement.states import part_states
from garboard.judgement.stretches import Stop, stops, stretches
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

MISTYPED = "typed by mistake"
"""The reason of a line taken back here."""

_CELLS = tuple(each.name for each in fields(Written))
_OWED = ("silent", "not written up")
# Until then a line is one's own, just typed: later it is taken back on the page of its entry, with a reason.
_SITTING = timedelta(hours=12)
_NONE: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A line on the screen: open to be typed in, or what stands there with the entries that can be taken back."""

    stop: Stop
    written: Written
    problems: Mapping[str, str]
    undo: tuple[str, ...] = ()

    @property
    def is_open(self) -> bool:
        """Nothing stands there yet, or what was typed has to be mended."""
        return self.stop.state.state in _OWED or bool(self.problems)

    @property
    def letters(self) -> tuple[tuple[str, str], ...]:
        """The ways called for, with their letters."""
        return tuple((codes("how")[each], each.replace("-", " ")) for each in self.stop.part.how)

    @property
    def said(self) -> tuple[str, ...]:
        """What stands there, besides how far."""
        found = [": ".join(filter(None, (", ".join(e.body.how), e.body.found))) for e in self.stop.state.examinations]  # fmt: skip
        before = "" if self.stop.state.state == "not reached" else "not reached: "
        missed = [f"{before}{e.body.not_reached}" for e in self.stop.state.limitations]
        return tuple(filter(None, (*found, *missed)))


def show(request: Request) -> Response:
    """All lines, empty where nothing stands yet."""
    survey = survey_of(request)
    return _page(request, survey, {}, {})


def typed(request: Request, form: Texts) -> Response:
    """Keep all lines that were typed, and show those that have to be mended: for a page without its script."""
    survey = survey_of(request)
    if form.get("undo"):
        _take_back(request, survey, form["undo"].split())
        return _page(request, survey_of(request), form, {})
    problems = _keep(request, survey, stops(part_states(survey)), form)
    status = 422 if problems else 200
    return _page(request, survey_of(request), form, problems, status)


def line(request: Request, form: Texts) -> Response:
    """Keep one line, or take it back, and answer it as it stands."""
    survey, name = survey_of(request), request.path_params["key"]
    if form.get("undo"):
        _take_back(request, survey, form["undo"].split())
        problems: Mapping[str, Mapping[str, str]] = {}
    else:
        problems = _keep(request, survey, [_stop(survey, name)], form)
    now = survey_of(request)
    made = _row(request, now, _stop(now, name), form, problems)
    status = 422 if made.problems else 200
    return page(request, "_line.html", status=status, row=made, survey=now)


def _keep(
    request: Request, survey: Survey, along: Iterable[Stop], form: Texts
) -> dict[str, Mapping[str, str]]:
    """Keep the lines that can be read; what is wrong with the others, by the key of their place."""
    bodies: list[Any] = []
    problems: dict[str, Mapping[str, str]] = {}
    for stop in along:
        written = _written(form, stop.key)
        # A line sent twice is kept once.
        if written.is_empty or stop.state.state not in _OWED:
            continue
        read = line_of(stop.state.called, written)
        bodies += read.bodies
        if read.problems:
            problems[stop.key] = read.problems
    if bodies:
        keep(request, survey.id, *bodies)
    return problems


def _take_back(request: Request, survey: Survey, ids: Iterable[str]) -> None:
    named = [entry for each in ids for entry in survey.current(each) if entry.id == each]
    withdraw(request, survey, [each for each in named if _is_just_typed(request, each)], MISTYPED)


def _page(
    request: Request,
    survey: Survey,
    form: Texts,
    problems: Mapping[str, Mapping[str, str]],
    status: int = 200,
) -> Response:
    along = stops(part_states(survey))
    rows = {each.key: _row(request, survey, each, form, problems) for each in along}
    return survey_page(
        request,
        survey,
        "schedule",
        "typing.html",
        status=status,
        heading="Type the checklist back",
        stretches=stretches(along),
        rows=rows,
        total=len(along),
        open=sum(each.is_open for each in rows.values()),
        problems=[(named(each.stop.place), each) for each in rows.values() if each.problems],
        extent=codes("extent"),
        outcome=codes("outcome"),
        how=codes("how"),
        said=catalogue().vocabulary.how,
        reasons={code: reason_words(each) for each, code in codes("reasons").items()},
        all=ALL,
    )


def _row(
    request: Request,
    survey: Survey,
    stop: Stop,
    form: Texts,
    problems: Mapping[str, Mapping[str, str]],
) -> Row:
    wrong = problems.get(stop.key, _NONE)
    stated = (*stop.state.examinations, *stop.state.limitations)
    undo = tuple(each.id for each in stated if _is_just_typed(request, each))
    is_kept = not wrong and stop.state.state not in _OWED
    return Row(
        stop=stop,
        written=Written() if is_kept else _written(form, stop.key),
        problems=wrong,
        undo=undo,
    )


def _is_just_typed(request: Request, entry: Entry[Any]) -> bool:
    age = desk_of(request).now() - entry.at
    return entry.device == DEVICE and entry.author == who(request).name and age < _SITTING


def _written(form: Texts, name: str) -> Written:
    return Written(**{cell: form.get(f"{cell}.{name}", "") for cell in _CELLS})


def _stop(survey: Survey, name: str) -> Stop:
    found = (each for each in stops(part_states(survey)) if each.key == name)
    stop = next(found, None)
    if stop is None:
        raise HTTPException(404, "The schedule of this survey has no such place.")
    return stop


ROUTES = (
    Route("/s/{survey}/schedule/typing", show),
    Route("/s/{survey}/schedule/typing", posted(typed), methods=["POST"]),
    Route("/s/{survey}/schedule/typing/{key}", posted(line), methods=["POST"]),
)
