"""The report: what still stands in the way of it, its texts, its pages as they will print, its files, its issue."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.forms import Texts
from garboard.desk.keep import in_turn, keep, withdraw
from garboard.desk.missing import gaps_of, in_groups
from garboard.desk.pages.jobs import made_of
from garboard.desk.preview import as_it_leaves
from garboard.desk.render import page, see, survey_page
from garboard.desk.worked import worked
from garboard.judgement.issues import amendments_of, is_changed, issues
from garboard.notebook.body import Answer, Comparable, Summary, Value
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused


def show(request: Request) -> Response:
    """The page; what is missing with it where the readings are worked out already."""
    survey = survey_of(request)
    is_ready = worked(desk_of(request), survey).has("results") or "all" in request.query_params
    return _page(request, survey, is_ready=is_ready)


def missing(request: Request) -> Response:
    """What is missing alone, worked out now."""
    survey = survey_of(request)
    return page(request, "_missing.html", survey=survey, **_missing(request, survey))


def answer(request: Request, form: Texts) -> Response:
    """Answer a gap in words, in place of an earlier answer; without words take that back to be open again."""
    survey = survey_of(request)
    gap, words = form.get("gap", ""), form.get("words", "").strip()
    before = [entry for entry in survey.of(Answer) if entry.body.gap == gap]
    if any(entry.body.words == words for entry in before):
        return see(f"/s/{survey.id}/report")
    replaces = tuple(entry.id for entry in before)
    if not words and before:
        withdraw(request, survey, before, "To be open again")
        return see(f"/s/{survey.id}/report")
    try:
        keep(request, survey.id, Answer(gap=gap, words=words), replaces=replaces, why="Answered anew" if before else None)  # fmt: skip
    except Refused as refused:
        return _page(request, survey, is_ready=True, problems=refused.problems, status=422)
    return see(f"/s/{survey.id}/report")


def _page(
    request: Request,
    survey: Survey,
    *,
    is_ready: bool,
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    issued = issues(survey)
    return survey_page(
        request,
        survey,
        "report",
        "report.html",
        status=status,
        heading="Report",
        problems=problems,
        missing=_missing(request, survey) if is_ready else None,
        summary=survey.last(Summary),
        values=survey.bodies(Value),
        comparables=survey.bodies(Comparable),
        issued=issued,
        amendments=amendments_of(survey, issued[-1]) if issued else (),
        is_ready=survey.boat is not None and survey.instruction is not None,
        **made_of(request, survey),
    )


def _missing(request: Request, survey: Survey) -> dict[str, Any]:
    state = as_it_leaves(desk_of(request), survey)
    found = gaps_of(desk_of(request), state)
    once_more = [gap for gap in found if not gap.blocks and not gap.answer]
    answers = {entry.body.gap: entry for entry in survey.of(Answer)}
    return {
        "in_the_way": in_groups((gap for gap in found if gap.is_open), survey),
        "grave": in_groups((gap for gap in once_more if gap.grave), survey),
        "second_look": in_groups((gap for gap in once_more if not gap.grave), survey),
        "answered": [(gap, answers[gap.id]) for gap in found if gap.answer],
        "count": sum(gap.is_open for gap in found),
        "is_changed": is_changed(state.survey),
    }


ROUTES = (
    Route("/s/{survey}/report", show),
    Route("/s/{survey}/report/missing", missing),
    Route("/s/{survey}/report/answer", posted(in_turn(answer)), methods=["POST"]),
)
