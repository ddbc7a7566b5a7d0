"""The findings in the order of the report, each with what it rests on, and those the evidence would draft."""

from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.naming import capital, located
from garboard.desk.context import desk_of, survey_of
from garboard.desk.render import page, survey_page
from garboard.desk.thread import Strand, thread
from garboard.desk.wordings import own_wordings, title_of
from garboard.desk.worked import worked
from garboard.judgement.drafts import drafts
from garboard.judgement.ranking import URGENCIES, Ranked, ranked, totals
from garboard.notebook.body import Finding
from garboard.notebook.fold import Survey
from garboard.report.document import Text
from garboard.report.sections.words import band, listed, paragraphs, together

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggested:
    """A draft with the names of the nearest wordings, the practice's own among them first."""

    finding: Finding
    wordings: tuple[str, ...]


def show(request: Request) -> Response:
    """All findings; the drafts with them where the readings are worked out already."""
    survey = survey_of(request)
    found = ranked(survey)
    told = [_told(each, survey) for each in found]
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
        costs={capital(each.urgency or "in all"): together(each) for each in totals(found)},
        drafts=_suggested(request, survey) if is_ready else None,
    )


def drafted(request: Request) -> Response:
    """The drafts alone, worked out now."""
    survey = survey_of(request)
    return page(request, "_drafts.html", survey=survey, drafts=_suggested(request, survey))


def _suggested(request: Request, survey: Survey) -> tuple[Suggested, ...]:
    """What the evidence would draft."""
    desk = desk_of(request)
    own = [each.phrase for each in own_wordings(desk) if each.phrase]
    made = []
    for each in drafts(survey, worked(desk, survey).results):
        places = each.finding.places
        parts = {place.part for place in places}
        fitting = (*(phrase for phrase in own if parts.intersection(phrase.parts)), *each.phrases)
        names = tuple(title_of(phrase, places) for phrase in fitting[:_MOST_WORDINGS])
        made.append(Suggested(finding=each.finding, wordings=names))
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
)
