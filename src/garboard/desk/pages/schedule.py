"""The schedule: every place that is called for, in walking order, and how each stands; what was left out, and why."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.parts import Part, catalogue
from garboard.catalogue.schedule import NotFitted, left_out
from garboard.desk.asked import posted
from garboard.desk.checklist import checklist
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import whole_number
from garboard.desk.forms import Texts
from garboard.desk.keep import filled_from, keep, overtaken
from garboard.desk.render import name_of, see, survey_page
from garboard.desk.stretches import FILTERS, leans_on, unanswered
from garboard.judgement.states import part_states
from garboard.judgement.steps import open_visit
from garboard.judgement.stretches import Stop, stops, stretches
from garboard.notebook.body import Boat, Conditions, Instruction
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused

B = TypeVar("B")

_MOST_OF_A_PART = 400
# So many places are one long page, which a small screen folds by its stretches.
_FOLDED_FROM = 40
# What is looked for most comes first.
_FIRST = tuple(dict.fromkeys(("silent", "found", "limited", *FILTERS)))


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A part that is not in the schedule, and why."""

    part: Part
    because: str
    is_fitted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """A part of which a boat has several: how many were stated, and what is taken where nobody counted."""

    part: Part
    stated: str
    usual: int
    problem: str = ""


def show(request: Request) -> Response:
    """The walk, or the places of it that stand as the address says."""
    return _shown(request, survey_of(request), {"part": "", "why": ""})


def ask(request: Request, form: Texts) -> Response:
    """Add a part to those the instruction names; this corrects the instruction."""
    survey = survey_of(request)
    part, why = form.get("part", "").strip(), form.get("why", "").strip()
    problems = []
    if part not in catalogue().parts:
        problems.append(Problem(where="part", what="none was chosen", do="Choose one from the list"))  # fmt: skip
    if not why:
        problems.append(Problem(where="why", what="it is not said who asked for it", do="Say who asked, and why"))  # fmt: skip
    if problems:
        return _shown(request, survey, {"part": part, "why": why}, problems, status=422)
    entry = _only(survey, Instruction)
    if part not in entry.body.asked_parts:
        asked = replace(entry.body, asked_parts=(*entry.body.asked_parts, part))
        keep(request, survey.id, asked, replaces=(entry.id,), why=why)
    return see(f"/s/{survey.id}/schedule#{part}")


def numbers(request: Request) -> Response:
    """The form that says how many of each part she has."""
    return _numbers_page(request, survey_of(request), {})


def count(request: Request, form: Texts) -> Response:
    """Keep how many of each part she has; this corrects the boat."""
    survey = survey_of(request)
    stated, problems = _stated(form)
    if problems:
        return _numbers_page(request, survey, form, problems, status=422)
    entry = _only(survey, Boat)
    # What the form does not speak of stays as it was.
    kept = {part: n for part, n in entry.body.numbers.items() if f"of.{part}" not in form}
    counted = replace(entry.body, numbers={**kept, **stated})
    if counted == entry.body:
        return see(f"/s/{survey.id}/schedule")
    if late := overtaken(request, survey, form, (entry,)):
        return _numbers_page(request, survey, form, refused=late, status=422)
    why = form.get("why", "").strip() or "counted aboard"
    try:
        keep(request, survey.id, counted, replaces=(entry.id,), why=why)
    except Refused as refused:
        return _numbers_page(request, survey, form, refused=refused.problems, status=422)
    return see(f"/s/{survey.id}/schedule")


def paper(request: Request) -> Response:
    """The checklist to print."""
    survey = survey_of(request)
    along = _only_those(request, stops(part_states(survey)))
    if not along:
        raise HTTPException(404, "There is nothing to print: no place is called for.")
    pdf = checklist(survey, along, desk_of(request).now())
    name = "".join(each if each.isascii() and each.isalnum() else "-" for each in name_of(survey))
    headers = {"content-disposition": f'inline; filename="{name}-checklist.pdf"'}
    return Response(pdf, media_type="application/pdf", headers=headers)


def _shown(
    request: Request,
    survey: Survey,
    asked: Texts,
    problems: Sequence[Problem] = (),
    status: int = 200,
) -> Response:
    along = stops(part_states(survey))
    shown = _only_those(request, along)
    only = request.query_params.get("show", "")
    counted = {name: sum(map(each.takes, along)) for name, each in FILTERS.items()}
    words = catalogue().vocabulary
    return survey_page(
        request,
        survey,
        "schedule",
        "schedule.html",
        status=status,
        heading="Schedule",
        total=sum(each.state.is_place for each in along),
        duties=sum(not each.state.is_place for each in along),
        filters=[(each, FILTERS[each].words, counted[each]) for each in _FIRST if counted[each]],
        only=only if only in FILTERS else "",
        only_words=FILTERS[only].words if only in FILTERS else "",
        stretches=stretches(shown),
        is_long=len(shown) > _FOLDED_FROM,
        unanswered=unanswered(each.state.called for each in along),
        leans_on=leans_on,
        reason=_commonest_reason(along),
        how=words.how,
        reasons=words.reasons,
        left_out=_left_out(survey, along),
        instruction=survey.instruction,
        boat=survey.boat,
        begun=open_visit(survey),
        may_begin=survey.last(Conditions) is None,
        asked=asked,
        problems=problems,
    )


def _only_those(request: Request, along: tuple[Stop, ...]) -> tuple[Stop, ...]:
    """The places that the address asks for; all of them where it asks for nothing that is known."""
    asked = FILTERS.get(request.query_params.get("show", ""))
    return tuple(filter(asked.takes, along)) if asked else along


def _numbers_page(
    request: Request,
    survey: Survey,
    texts: Texts,
    problems: Mapping[str, str] | None = None,
    refused: Sequence[Problem] = (),
    status: int = 200,
) -> Response:
    found = problems or {}
    boat = survey.boat
    stated = boat.numbers if boat else {}
    several = {
        each.part.id: each.part
        for each in stops(part_states(survey))
        if "number" in each.part.per or each.part.id in stated
    }
    none = {part: catalogue().parts[part] for part in stated if part in catalogue().parts}
    return survey_page(
        request,
        survey,
        "schedule",
        "numbers.html",
        status=status,
        heading="How many of each",
        boat=boat,
        counted=[
            Counted(
                part=part,
                stated=texts.get(f"of.{part.id}", str(stated.get(part.id, ""))),
                usual=part.usual,
                problem=found.get(f"of.{part.id}", ""),
            )
            for part in {**several, **none}.values()
        ],
        others=[each for each in catalogue().parts.values() if each.id not in {**several, **none}],
        of=filled_from(survey.of(Boat)),
        texts=texts,
        problems=found,
        refused=refused,
    )


def _stated(form: Texts) -> tuple[dict[str, int], dict[str, str]]:
    """The counts of a form, and what is wrong with it."""
    texts = {
        name.removeprefix("of."): text for name, text in form.items() if name.startswith("of.")
    }
    if form.get("part", "").strip():
        texts[form["part"].strip()] = form.get("count", "")
    stated, problems = {}, {}
    for part, text in texts.items():
        name = f"of.{part}" if f"of.{part}" in form else "part"
        if part not in catalogue().parts:
            problems[name] = f"“{part}” is no part of the catalogue. Choose one from the list."
        elif not text.strip() and name != "part":
            continue
        elif (number := whole_number(text.strip())) is None or number > _MOST_OF_A_PART:
            problems[name] = f"Give a whole number from 0 to {_MOST_OF_A_PART}."
        else:
            stated[part] = number
    return stated, problems


def _left_out(survey: Survey, along: tuple[Stop, ...]) -> tuple[LeftOut, ...]:
    instruction, boat = survey.instruction, survey.boat
    if instruction is None or boat is None:
        return ()
    called = {each.part.id for each in along}
    is_listed = instruction.purpose == "re-inspection"
    purpose = "damage" if is_listed else instruction.purpose
    why = {
        each.part.id: each
        for each in left_out(boat, purpose, instruction.visits, instruction.asked_parts)
    }
    found = []
    for part in catalogue().parts.values():
        if part.id in called:
            continue
        said = why.get(part.id)
        because = said.because if said else "not among the items listed for this re-inspection"
        found.append(LeftOut(part=part, because=because, is_fitted=not isinstance(said, NotFitted)))
    return tuple(found)


def _commonest_reason(along: tuple[Stop, ...]) -> str:
    """The reason that most places are called for; it is said once, and only others beside their place."""
    why = [each.state.called.why for each in along]
    return max(why, key=why.count, default="")


def _only(survey: Survey, cls: type[B]) -> Entry[B]:
    """The one standing entry of a kind of which a survey has one.

    Raises:
        Refused: There is none, or two stand side by side.
    """
    found = survey.of(cls)
    if len(found) != 1:
        what = "two of them stand side by side" if found else "nothing is stated yet"
        do = "Choose between them first" if found else "Fill it in first"
        raise Refused([Problem(where=cls.__name__.lower(), what=what, do=do)])
    return found[0]


ROUTES = (
    Route("/s/{survey}/schedule", show),
    Route("/s/{survey}/schedule/ask", posted(ask), methods=["POST"]),
    Route("/s/{survey}/schedule/numbers", numbers),
    Route("/s/{survey}/schedule/numbers", posted(count), methods=["POST"]),
    Route("/s/{survey}/schedule/checklist.pdf", paper),
)
