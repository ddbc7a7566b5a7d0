"""Pages: templates filled, with what every page shows, and how values are written on it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from garboard.catalogue.naming import capital, key, named
from garboard.catalogue.parts import is_duty
from garboard.desk.context import desk_of
from garboard.desk.labels import choice_words, kind_words
from garboard.desk.notes import COOKIE, mends_in, note_of
from garboard.desk.security import is_overheard
from garboard.judgement.ranking import ranked
from garboard.methods.written import EXPANDED
from garboard.notebook.body import Boat, Photo, ReadingSet
from garboard.notebook.fold import Survey
from garboard.notebook.money import shown
from garboard.notebook.problem import Problem
from garboard.report.sections.words import purpose_words

# Where a page says first what it has to say.
_SAID = "<!-- said -->"
_REFUSED = 422


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """A page of a survey as its list of pages shows it."""

    slug: str
    name: str
    count: int = 0


def page(request: Request, template: str, /, *, status: int = 200, **shown: Any) -> Response:
    """A page, or a part of one.

    A whole page says at its top what was just kept or, where it was refused, which of its fields are to be mended.
    """
    is_refused = status == _REFUSED
    context = {
        "who": getattr(request.state, "user", None),
        "at": "",
        "q": "",
        "is_refused": is_refused,
        "is_overheard": is_overheard(request),
        "network": request.app.state.network,
        **shown,
    }
    made = environment().get_template(template).render(context)
    if _SAID not in made:
        return HTMLResponse(made, status)
    mends, note = (mends_in(made), "") if is_refused else ((), note_of(request))
    said = environment().get_template("_said.html").render(mends=mends, note=note)
    answer = HTMLResponse(made.replace(_SAID, said, 1), status)
    if note and COOKIE in request.cookies:
        answer.delete_cookie(COOKIE)
    return answer


def survey_page(request: Request, survey: Survey, here: str, template: str, /, *, heading: str, status: int = 200, **shown: Any) -> Response:  # fmt: skip
    """A page of a survey, with its list of pages beside it.

    Args:
        request: The request.
        survey: The survey.
        here: The slug of the page.
        template: Extends "survey.html".
        heading: What the page is called.
        status: Of the answer.
        shown: What the template shows.
    """
    return page(
        request,
        template,
        status=status,
        survey=survey,
        name=name_of(survey),
        pages=tabs(survey),
        here=here,
        heading=heading,
        zone=desk_of(request).zone,
        zone_name=desk_of(request).zones.name,
        arrived=desk_of(request).surveys.arrived(survey),
        **shown,
    )


def see(where: str) -> Response:
    """After something was kept: look at another page."""
    return RedirectResponse(where, 303)


def name_of(survey: Survey) -> str:
    """What a survey is called in lists: the boat's name, or that it has none yet."""
    boat = survey.last(Boat)
    return boat.name if boat else "A boat without a name yet"


def tabs(survey: Survey) -> tuple[Tab, ...]:
    """The pages of a survey, in the order of the work."""
    return (
        Tab(slug="", name="Overview"),
        Tab(slug="instruction", name="Instruction"),
        Tab(slug="boat", name="Boat"),
        Tab(slug="schedule", name="Schedule"),
        Tab(slug="readings", name="Readings", count=len(survey.of(ReadingSet))),
        Tab(slug="photographs", name="Photographs", count=len(survey.of(Photo))),
        Tab(slug="findings", name="Findings", count=len(ranked(survey))),
        Tab(slug="report", name="Report"),
        Tab(slug="history", name="History", count=len(survey.entries)),
    )


@cache
def environment() -> Environment:
    """The templates, everything escaped, nothing silently missing."""
    made = Environment(
        loader=PackageLoader("garboard.desk"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= _FILTERS
    made.tests["duty"] = is_duty
    made.globals["expanded"] = EXPANDED
    return made


def _day(value: date | datetime | None) -> str:
    return f"{value.day} {value:%B %Y}" if value else ""


def _clock(value: datetime) -> str:
    return f"{value:%H:%M}"


def _svg(drawn: str) -> Markup:
    """A drawing of our own, which has escaped every word in it."""
    return Markup(drawn)  # noqa: S704 - made by `drawings`, which escapes what people wrote


def _settled(what: str) -> str:
    return capital(choice_words("what", what))


def _problem(of: Problem) -> str:
    return str(of)


_FILTERS: Mapping[str, Any] = {
    "day": _day,
    "clock": _clock,
    "svg": _svg,
    "place": named,
    "key": key,
    "kind": kind_words,
    "money": shown,
    "problem": _problem,
    "purpose": purpose_words,
    "settled": _settled,
}
