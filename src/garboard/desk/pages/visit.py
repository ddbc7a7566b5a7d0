"""The visit: begun and ended, now or at a time, with those who are there."""

from dataclasses import replace
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of, who
from garboard.desk.earlier import own_person
from garboard.desk.filled import filled
from garboard.desk.forms import Field, Texts, fields_of
from garboard.desk.keep import in_turn, keep, keep_made, maker
from garboard.desk.notes import say
from garboard.desk.render import see, survey_page
from garboard.judgement.gaps_of_job import is_surveyor
from garboard.judgement.steps import open_visit
from garboard.notebook.body import Conditions, Person
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused

_ME = "me"
_ASKED = ("lying", "began")
_ENDED = "the visit ended"
_WAS_THERE = "as it was when the visit began"


def show(request: Request) -> Response:
    """The form that begins a visit, or the one that ends it."""
    survey = survey_of(request)
    return _page(request, survey, _fresh(request, survey), {})


def begin(request: Request, form: Texts) -> Response:
    """Keep where she lies and when it began, and who is there."""
    survey = survey_of(request)
    if open_visit(survey):
        raise HTTPException(409, "The visit has begun already, on another page.")
    sent = filled(Conditions, form, desk_of(request).zone)
    people, said = _others(form)
    problems = {**sent.problems, **({"others": said} if said else {})}
    if problems:
        return _page(request, survey, form, problems)
    ticked = form.get("there", "").split("\n")
    if _ME in ticked:
        people.insert(0, own_person(desk_of(request), who(request), survey.id))
    make = maker(request, survey.id)
    made = [make(body, (), None) for body in (sent.body, *people)]
    made += [make(body, (id_,), _WAS_THERE) for id_, body in _corrections(survey, ticked).items()]
    try:
        keep_made(request, tuple(made))
    except Refused as refused:
        return _page(request, survey, form, {}, refused.problems)
    say(request, "The visit has begun.")
    return see(f"/s/{survey.id}/")


def end(request: Request, form: Texts) -> Response:
    """Keep when the visit ended; now, where no time is given."""
    survey = survey_of(request)
    begun = open_visit(survey)
    if begun is None:
        raise HTTPException(409, "No visit goes on here; it may have been ended on another page.")
    texts = {"ended": _now(request), **{name: text for name, text in form.items() if text.strip()}}
    stated = {"lying": begun.body.lying, "began": begun.body.began.isoformat()}
    sent = filled(Conditions, {"ended": texts["ended"]}, desk_of(request).zone, stated)
    if sent.body is None:
        return _page(request, survey, form, sent.problems)
    try:
        ended = replace(begun.body, ended=sent.body.ended)
        keep(request, survey.id, ended, replaces=(begun.id,), why=_ENDED)
    except Refused as refused:
        return _page(request, survey, form, {}, refused.problems)
    say(request, "The visit has ended.")
    return see(f"/s/{survey.id}/")


def _page(
    request: Request,
    survey: Survey,
    texts: Texts,
    problems: Texts,
    refused: tuple[Problem, ...] = (),
) -> Response:
    begun = open_visit(survey)
    made = {each.path: each for each in fields_of(Conditions, texts, problems)}
    ended: Any = made["ended"]
    return survey_page(
        request,
        survey,
        "",
        "visit.html",
        status=422 if problems or refused else 200,
        heading="End the visit" if begun else "Begin the visit",
        begun=begun,
        fields=[made[each] for each in _ASKED],
        ended=replace(ended, value=ended.value or _now(request), needed=True),
        people=_people(request, survey, texts, problems),
        problems=refused,
    )


def _fresh(request: Request, survey: Survey) -> Texts:
    """What the form begins with: where she was to be seen, now, and everybody who is expected."""
    visits = survey.instruction.visits if survey.instruction else ()
    there = [each.id for each in survey.of(Person) if each.body.attended]
    return {
        "lying": "ashore" if "ashore" in visits else "afloat" if visits else "",
        "began": _now(request),
        "there": "\n".join((_ME, *there)),
    }


def _people(request: Request, survey: Survey, texts: Texts, problems: Texts) -> list[Field]:
    """Who is there: those known as ticks, oneself where nobody surveys yet, and others in words."""
    known = [(each.id, f"{each.body.name}, {each.body.role}") for each in survey.of(Person)]
    if not any(map(is_surveyor, survey.bodies(Person))):
        known.insert(0, (_ME, f"{who(request).name}, surveyor"))
    ticks = Field(
        path="there",
        label="Who is there",
        kind="several",
        value=texts.get("there", ""),
        choices=tuple(known),
    )
    others = Field(
        path="others",
        label="Who else is there",
        kind="lines",
        value=texts.get("others", ""),
        hint="One a line, name and as what: Bram Aldous, seller",
        problem=problems.get("others", ""),
    )
    return [ticks, others] if known else [others]


def _others(form: Texts) -> tuple[list[Person], str]:
    """The people written in words, and what is wrong with a line."""
    found = []
    for line in filter(None, map(str.strip, form.get("others", "").splitlines())):
        name, _, role = (part.strip() for part in line.partition(","))
        if not name or not role:
            return [], f"“{line}” lacks a name or a role. Write both, with a comma between."
        found.append(Person(name=name, role=role))
    return found, ""


def _corrections(survey: Survey, ticked: list[str]) -> dict[str, Person]:
    """Those of whom it was said otherwise; who came to an earlier visit stays somebody who came."""
    is_first = not survey.of(Conditions)
    return {
        each.id: replace(each.body, attended=each.id in ticked)
        for each in survey.of(Person)
        if each.body.attended != (each.id in ticked) and (is_first or not each.body.attended)
    }


def _now(request: Request) -> str:
    return desk_of(request).now().strftime("%Y-%m-%dT%H:%M:%S")


ROUTES = (
    Route("/s/{survey}/visit", show),
    Route("/s/{survey}/visit", posted(in_turn(begin)), methods=["POST"]),
    Route("/s/{survey}/visit/end", posted(end), methods=["POST"]),
)
