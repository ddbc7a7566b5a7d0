"""Instruments carried from one's earlier jobs into this one: each that is ticked becomes an entry of this survey."""

from datetime import datetime

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of, who
from garboard.desk.earlier import own_instruments
from garboard.desk.forms import Field, Texts
from garboard.desk.keep import keep
from garboard.desk.render import name_of, see, survey_page
from garboard.methods.instrument import is_overdue
from garboard.notebook.body import Instrument
from garboard.notebook.fold import Survey

_PATH = "instruments"


def show(request: Request) -> Response:
    """One's own instruments, those of the last job ticked."""
    return _page(request, survey_of(request), "")


def take(request: Request, form: Texts) -> Response:
    """Keep those that are ticked as instruments of this survey."""
    survey = survey_of(request)
    ticked = form.get(_PATH, "").split("\n")
    offered = own_instruments(desk_of(request), who(request), survey)
    taken = [each.body for each, _ in offered if each.id in ticked]
    if not taken:
        return _page(request, survey, "Tick those that you use on this boat.", status=422)
    keep(request, survey.id, *taken)
    return see(f"/s/{survey.id}/readings")


def _page(request: Request, survey: Survey, problem: str, status: int = 200) -> Response:
    desk = desk_of(request)
    today = desk.now().date()
    offered = own_instruments(desk, who(request), survey)
    last = desk.surveys.get(offered[0][0].survey) if offered else None

    def words(body: Instrument, used: datetime) -> str:
        due = f"calibration due {body.due.day} {body.due:%B %Y}" if body.due else ""
        day = used.astimezone(desk.zone)
        last_used = f"last used {day.day} {day:%B %Y}"
        late = "overdue" if is_overdue(body, today) else ""
        return ", ".join(filter(None, (f"{body.name}: {body.described}", last_used, due, late)))

    return survey_page(
        request,
        survey,
        "readings",
        "instruments.html",
        status=status,
        heading="Your instruments",
        last=name_of(last) if last else "",
        ticks=Field(
            path=_PATH,
            label="Which of them you use on this boat",
            kind="several",
            value=""
            if problem
            else "\n".join(each.id for each, _ in offered if last and each.survey == last.id),
            choices=tuple((each.id, words(each.body, used)) for each, used in offered),
            problem=problem,
        ),
    )


ROUTES = (
    Route("/s/{survey}/instruments", show),
    Route("/s/{survey}/instruments", posted(take), methods=["POST"]),
)
