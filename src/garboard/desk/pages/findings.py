"""The findings in the order of the report, each with what it rests on, and those the evidence would draft."""

from dataclasses import dataclass, replace

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.naming import located
from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.forms import Texts
from garboard.desk.keep import keep
from garboard.desk.render import page, see, survey_page
from garboard.desk.thread import Strand, thread
from garboard.desk.wordings import own_wordings
from garboard.desk.worked import worked
from garboard.judgement.drafts import Draft, drafts
from garboard.judgement.ranking import URGENCIES, Ranked, ranked
from garboard.notebook.fold import Survey
from garboard.report.document import Text
from garboard.report.sections.words import band, capital, listed, paragraphs

_MOST_WORDINGS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A finding as the page tells it."""

    of: Ranked
    where: str
    seen: tuple[Text, ...]
    how_known: str
    costs: tuple[str, ...]
    rests_on: tuple[Strand, ...]
    photos: tuple[Strand, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The findings of one urgency."""

    name: str
    findings: tuple[Told, ...]


def show(request: Request) -> Response:
    """All findings; the drafts with them where the readings are worked out already."""
    survey = survey_of(request)
    told = [_told(each, survey) for each in ranked(survey)]
    groups = (
        Group(
            name=capital(urgency),
            findings=tuple(each for each in told if each.of.entry.body.urgency == urgency),
        )
        for urgency in URGENCIES
    )
    is_ready = worked(desk_of(request), survey).has("results") or "drafts" in request.query_params
    return survey_page(
        request,
        survey,
        "findings",
        "findings.html",
        heading="Findings",
        groups=[each for each in groups if each.findings],
        total=len(told),
        drafts=_drafts(request, survey) if is_ready else None,
    )


def drafted(request: Request) -> Response:
    """The drafts alone, worked out now."""
    survey = survey_of(request)
    return page(request, "_drafts.html", survey=survey, drafts=_drafts(request, survey))


def take_up(request: Request, form: Texts) -> Response:
    """Make a draft a finding, with its evidence and photographs, and go on to write it."""
    survey = survey_of(request)
    for draft in _drafts(request, survey):
        if draft.finding.name == form.get("draft"):
            (made,) = keep(request, survey.id, draft.finding)
            return see(f"/s/{survey.id}/finding/{made.id}")
    raise HTTPException(409, "That draft is gone: what it rested on was changed, or a finding speaks of it now.")  # fmt: skip


def _drafts(request: Request, survey: Survey) -> tuple[Draft, ...]:
    """What the evidence would draft, with the nearest wordings, the practice's own among them first."""
    desk = desk_of(request)
    own = [each.phrase for each in own_wordings(desk) if each.phrase]
    made = []
    for each in drafts(survey, worked(desk, survey).results):
        parts = {place.part for place in each.finding.places}
        fitting = (*(phrase for phrase in own if parts.intersection(phrase.parts)), *each.phrases)
        made.append(replace(each, phrases=fitting[:_MOST_WORDINGS]))
    return tuple(made)


def _told(of: Ranked, survey: Survey) -> Told:
    body = of.entry.body
    return Told(
        of=of,
        where="; ".join(located(place) for place in body.places),
        seen=paragraphs(body.seen),
        how_known=listed(body.how_known),
        costs=tuple(band([cost.body for cost in advice.costs]) for advice in of.advice),
        rests_on=thread(survey, body.evidence),
        photos=tuple(each for each in thread(survey, body.photos) if not each.is_gone),
    )


ROUTES = (
    Route("/s/{survey}/findings", show),
    Route("/s/{survey}/findings/drafts", drafted),
    Route("/s/{survey}/findings/drafts", posted(take_up), methods=["POST"]),
)
