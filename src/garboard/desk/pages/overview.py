"""The overview of a survey: where the job stands, the next step, what is in its way, and what she is."""

from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.parts import catalogue
from garboard.desk.context import desk_of, survey_of
from garboard.desk.mending import address
from garboard.desk.pages.diary import near
from garboard.desk.render import survey_page
from garboard.desk.told import line_in
from garboard.judgement.gaps_of_photographs import not_looked_at
from garboard.judgement.issues import calls_for_amendment, issues
from garboard.judgement.readiness import Condition, before_travelling, is_ready
from garboard.judgement.steps import Stage, open_visit, step_of
from garboard.notebook.body import Conditions, Instruction
from garboard.notebook.fold import Survey

_WAY: dict[Stage, str] = {
    "enquiry": "Enquiry",
    "booked": "Booked",
    "at the boat": "At the boat",
    "to write": "To write",
    "out": "With the client",
    "to follow up": "To follow up",
}
_LATEST = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A condition of travelling with the page where it is mended."""

    condition: Condition
    mend: str


def show(request: Request) -> Response:
    """The overview."""
    survey = survey_of(request)
    step, today = step_of(survey), desk_of(request).now().date()
    here = f"/s/{survey.id}/"
    is_ahead = step.stage in ("enquiry", "booked")
    conditions = before_travelling(survey)
    asked = [Asked(condition=each, mend=address(survey.id, each.mend, here)) for each in conditions]
    return survey_page(
        request,
        survey,
        "",
        "overview.html",
        heading="Overview",
        step=step,
        way=_WAY,
        near=near(step.day, today) if step.day else "",
        is_ahead=is_ahead,
        is_ready=is_ready(conditions),
        missing=[each for each in asked if not each.condition.is_true],
        unseen=len(not_looked_at(survey)),
        met=[each for each in asked if each.condition.is_true],
        begun=open_visit(survey) if step.stage in ("at the boat", "to write") else None,
        may_begin=is_ahead or (step.stage == "to write" and not survey.of(Conditions)),
        boat=survey.boat,
        conditions=survey.last(Conditions),
        visits=sorted(survey.bodies(Conditions), key=lambda each: each.began),
        issued=issues(survey),
        is_to_amend=calls_for_amendment(survey),
        asked_for=survey.instruction,
        instruction_entry=survey.of(Instruction)[-1].id if survey.instruction else "",
        she_is=_she_is(survey),
        latest=[(each, line_in(survey, each)) for each in reversed(survey.entries[-_LATEST:])],
    )


def _she_is(survey: Survey) -> str:
    """The boat in a line, as far as she is stated."""
    boat, facts = survey.boat, catalogue().vocabulary.facts
    if boat is None:
        return ""
    said = (
        boat.design,
        str(boat.year or ""),
        f"{boat.loa_m:.2f} m" if boat.loa_m else "",
        facts["material"].get(boat.material or "", ""),
        facts["keel"].get(boat.keel or "", ""),
        facts["rig"].get(boat.rig or "", "") if boat.rig != "none" else "",
    )
    return ", ".join(filter(None, said))


ROUTES = (Route("/s/{survey}/", show),)
