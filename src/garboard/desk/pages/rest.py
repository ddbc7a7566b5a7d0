"""The rest of the schedule: what holds for many places of which nothing was recorded, said once and kept for each."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import filled
from garboard.desk.forms import Field, Texts, fields_of
from garboard.desk.keep import keep
from garboard.desk.render import see, survey_page
from garboard.judgement.states import part_states
from garboard.judgement.stretches import Stop, stops, stretches
from garboard.notebook.body import Examination, Limitation
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused

_HOLDS: Mapping[str, str] = MappingProxyType(
    {
        "not reached": "Not reached, for the reasons below",
        "not fitted": "Not fitted on this boat",
        "not called for": "Not called for, as agreed",
    }
)
_WHOLE = "The whole of it"
_LEFT_OUT = ("place", "not_reached", "could_hide", "how", "offered")


def show(request: Request) -> Response:
    """The places of which nothing is recorded, none of them ticked."""
    return _page(request, survey_of(request), {"holds": "not reached"}, {})


def keep_all(request: Request, form: Texts) -> Response:
    """Keep an entry for each place that was ticked, all or none."""
    survey = survey_of(request)
    ticked = set(form.get("places", "").split("\n"))
    chosen = [each for each in _silent(survey) if each.key in ticked]
    holds = form.get("holds", "")
    problems: dict[str, str] = {}
    if not chosen:
        problems["places"] = "Tick the places of which it holds."
    if holds not in _HOLDS:
        problems["holds"] = "Say what holds of them."
    bodies = [] if problems else [_body(request, each, holds, form, problems) for each in chosen]
    if problems:
        return _page(request, survey, form, problems)
    try:
        keep(request, survey.id, *bodies)
    except Refused as refused:
        return _page(request, survey, form, {}, refused.problems)
    return see(f"/s/{survey.id}/schedule")


def _body(request: Request, stop: Stop, holds: str, form: Texts, problems: dict[str, str]) -> Any:
    """What is kept of one place; what it could hide, and what would lift it unless that is said, are the part's own."""
    if holds != "not reached":
        return Examination(place=stop.place, extent=holds, found=form.get("found", "").strip())  # type: ignore[arg-type]
    part = stop.part
    sent = filled(
        Limitation,
        {name: form[name] for name in ("reasons", "would_lift") if form.get(name, "").strip()},
        desk_of(request).zone,
        {
            "place": {name: getattr(stop.place, name) for name in ("part", "side", "number") if getattr(stop.place, name)},
            "not_reached": _WHOLE,
            "could_hide": part.could_hide,
            **({} if form.get("would_lift", "").strip() else {"would_lift": part.would_lift}),
        },
    )  # fmt: skip
    problems.update(sent.problems)
    return sent.body


def _page(
    request: Request,
    survey: Survey,
    texts: Texts,
    problems: Texts,
    refused: tuple[Problem, ...] = (),
) -> Response:
    silent = _silent(survey)
    holds = Field(
        path="holds",
        label="What holds of them",
        kind="choice",
        value=texts.get("holds", ""),
        choices=tuple(_HOLDS.items()),
        needed=True,
        problem=problems.get("holds", ""),
    )
    return survey_page(
        request,
        survey,
        "schedule",
        "rest.html",
        status=422 if problems or refused else 200,
        heading="The rest, in one go",
        stretches=[
            (stretch.slug, stretch.name, [stop for group in stretch.groups for stop in group.stops])
            for stretch in stretches(silent)
        ],
        ticked=frozenset(texts.get("places", "").split("\n")),
        unticked=problems.get("places", ""),
        fields=(
            holds,
            *fields_of(Limitation, texts, problems, leave_out=_LEFT_OUT, may_be_empty=("reasons",)),
        ),
        found=texts.get("found", ""),
        problems=refused,
    )


def _silent(survey: Survey) -> tuple[Stop, ...]:
    """The places; a duty of the surveyor's own is never out of reach, and has its own page."""
    return tuple(
        each
        for each in stops(part_states(survey))
        if each.state.is_place and each.state.state == "silent"
    )


ROUTES = (
    Route("/s/{survey}/schedule/rest", show),
    Route("/s/{survey}/schedule/rest", posted(keep_all), methods=["POST"]),
)
