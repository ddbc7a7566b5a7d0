"""The amendment of an issued report: why it is amended, and what is different; the next issue names it."""

from types import MappingProxyType

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import Filled, filled, texts_of
from garboard.desk.forms import Texts, fields_of
from garboard.desk.keep import filled_from, in_turn, keep_anew, maker
from garboard.desk.pages.printed import answer, unshown
from garboard.desk.preview import as_if_kept
from garboard.desk.render import see, survey_page
from garboard.desk.told import line_in
from garboard.judgement.issues import amendments_of, issues
from garboard.notebook.body import Amendment, Issue
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem

_NONE: Texts = MappingProxyType({})
_MOST_CHANGES = 60


def show(request: Request) -> Response:
    """The amendment of the last issue: the one that stands, or a new one."""
    survey = survey_of(request)
    issue = _issue(survey)
    standing = amendments_of(survey, issue)
    texts = texts_of(standing[-1].body, desk_of(request).zone) if standing else _NONE
    return _page(request, survey, issue, Filled(texts=texts, body=None, problems=_NONE))


def keep(request: Request, form: Texts) -> Response:
    """Keep it; nothing where nothing was changed."""
    survey = survey_of(request)
    issue = _issue(survey)
    sent = filled(Amendment, form, desk_of(request).zone, {"issue": survey.first(issue).id})
    problems = keep_anew(request, survey, form, sent, amendments_of(survey, issue))
    if problems is not None:
        return _page(request, survey, issue, sent, problems=problems, status=422)
    return see(f"/s/{survey.id}/report")


def pages(request: Request, form: Texts) -> Response:
    """The report's pages with the amendment as it is being written."""
    survey = survey_of(request)
    issue = _issue(survey)
    sent = filled(Amendment, form, desk_of(request).zone, {"issue": survey.first(issue).id})
    if sent.body is None:
        return unshown(sent.problems, form)
    standing = amendments_of(survey, issue)
    made = maker(request, survey.id)(sent.body, tuple(entry.id for entry in standing), None)
    return answer(request, as_if_kept(desk_of(request), survey, (made,)), "amendments")


def _page(
    request: Request,
    survey: Survey,
    issue: Entry[Issue],
    sent: Filled[Amendment],
    *,
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    since = [
        (entry, line_in(survey, entry))
        for entry in survey.entries
        if entry.at > survey.done_at(issue) and not isinstance(entry.body, Issue | Amendment)
    ]
    return survey_page(
        request,
        survey,
        "report",
        "amendment.html",
        status=status,
        heading=f"Amendment of version {issue.body.version}",
        issue=issue,
        fields=fields_of(Amendment, sent.texts, sent.problems, leave_out=("issue",)),
        since=since[-_MOST_CHANGES:],
        count=len(since),
        is_unkept=status != 200,
        of=filled_from(amendments_of(survey, issue)),
        problems=problems,
    )


def _issue(survey: Survey) -> Entry[Issue]:
    """The issue that is amended: the last.

    Raises:
        HTTPException: The report was never issued.
    """
    issued = issues(survey)
    if not issued:
        raise HTTPException(404, "This report was not issued yet; there is nothing to amend.")
    return issued[-1]


ROUTES = (
    Route("/s/{survey}/report/amendment", show),
    Route("/s/{survey}/report/amendment", posted(in_turn(keep)), methods=["POST"]),
    Route("/s/{survey}/report/amendment/pages", posted(pages), methods=["POST"]),
)
