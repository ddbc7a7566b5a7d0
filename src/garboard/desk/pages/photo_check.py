"""The last look before issue: each printed photograph large, one at a time. Is everything you see here in the text?"""

from dataclasses import dataclass, replace

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import Filled, filled
from garboard.desk.forms import Texts, fields_of
from garboard.desk.keep import keep
from garboard.desk.pictures import correct_photos, in_order, standing
from garboard.desk.render import see, survey_page
from garboard.judgement.gaps_of_photographs import looked_at, not_looked_at
from garboard.judgement.ranking import Ranked, ranked
from garboard.judgement.states import covers
from garboard.notebook.body import (
    Answer,
    Examination,
    Limitation,
    Observation,
    Photo,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.shape import write
from garboard.report.edits import edits_of

YES = "Looked at large: all that can be seen in it is in the text."
CAPTIONED = (
    "Looked at large: its caption says all that can be seen in it; no other text speaks of it."
)
"""The same where the text says nothing of the place it shows."""

_UNSAID = "nothing is written of it yet: it has no caption, and no text speaks of its place"

_SEEN = ("seen", "defect", "place.words")


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What the text holds of the part that a photograph shows."""

    findings: tuple[Ranked, ...]
    observations: tuple[Entry[Observation], ...]
    examinations: tuple[Entry[Examination], ...]
    limitations: tuple[Entry[Limitation], ...]

    @property
    def has_words(self) -> bool:
        """Whether anything is written there; that it was examined alone says nothing of what can be seen."""
        found = any(each.body.found for each in self.examinations)
        return found or bool(self.findings or self.observations or self.limitations)


def show(request: Request) -> Response:
    """The photograph asked for, or the first not looked at yet."""
    survey = survey_of(request)
    asked = request.query_params.get("photo", "")
    open_looks = not_looked_at(survey)
    at = standing(survey, asked) if asked else min(open_looks, key=_number, default=None)
    return _page(request, survey, at, None)


def answer(request: Request, form: Texts) -> Response:
    """Yes, it is all in the text; or it is not to be printed; or something seen is added."""
    survey = survey_of(request)
    entry = standing(survey, form.get("photo", ""))
    match form.get("act", ""):
        case "yes":
            words = YES if _beside(survey, entry).has_words else CAPTIONED
            if words == CAPTIONED and not entry.body.caption:
                problem = Problem(where=f"Photograph {entry.body.number}", what=_UNSAID, do="Add what is seen, or do not print it")  # fmt: skip
                return _page(request, survey, entry, None, str(problem), status=422)
            keep(request, survey.id, Answer(gap=looked_at(entry.body), words=words))
        case "keep back":
            photo = replace(entry.body, printed=False)
            correct_photos(request, survey, {entry.id: photo}, "not to be printed")
        case _:
            return _observed(request, survey, entry, form)
    return see(f"/s/{survey.id}/photographs/check")


def _observed(request: Request, survey: Survey, entry: Entry[Photo], form: Texts) -> Response:
    """Keep what was seen on the photograph, at its place, and stay with it."""
    place = {**write(entry.body.place), "words": form.get("place.words", "").strip()} if entry.body.place else {}  # fmt: skip
    sent = filled(Observation, form, desk_of(request).zone, {"place": place})
    if sent.body is None:
        return _page(request, survey, entry, sent, status=422)
    try:
        keep(request, survey.id, sent.body)
    except Refused as refused:
        return _page(request, survey, entry, sent, str(refused), status=422)
    return see(f"/s/{survey.id}/photographs/check?photo={entry.id}")


def _page(
    request: Request,
    survey: Survey,
    entry: Entry[Photo] | None,
    sent: Filled[Observation] | None,
    problem: str = "",
    status: int = 200,
) -> Response:
    printed = [each for each in in_order(survey) if each.body.printed]
    at = next((index for index, each in enumerate(printed) if entry and each.id == entry.id), None)
    still_open = {each.id for each in not_looked_at(survey)}
    made = fields_of(Observation, sent.texts if sent else {}, sent.problems if sent else {})
    by_path = {each.path: each for each in made}
    return survey_page(
        request,
        survey,
        "photographs",
        "photo_check.html",
        status=status,
        heading="Is everything in the text?",
        entry=entry,
        total=len(printed),
        open_looks=len(still_open),
        is_open=entry is not None and entry.id in still_open,
        at=at,
        before=printed[at - 1] if at else None,
        after=printed[at + 1] if at is not None and at + 1 < len(printed) else None,
        edited=edits_of(entry.body).said if entry else "",
        beside=_beside(survey, entry) if entry else None,
        fields=[by_path[path] for path in _SEEN],
        is_wrong=status != 200,
        problem=problem,
    )


def _beside(survey: Survey, entry: Entry[Photo]) -> Beside:
    place = entry.body.place

    def is_here(each: Entry[Observation | Examination | Limitation]) -> bool:
        return place is not None and covers(each.body.place, place)

    return Beside(
        findings=tuple(
            each
            for each in ranked(survey)
            if any(now.id == entry.id for id_ in each.entry.body.photos for now in survey.current(id_))
            or (place and any(covers(where, place) for where in each.entry.body.places))
        ),
        observations=tuple(filter(is_here, survey.of(Observation))),
        examinations=tuple(filter(is_here, survey.of(Examination))),
        limitations=tuple(filter(is_here, survey.of(Limitation))),
    )  # fmt: skip


def _number(entry: Entry[Photo]) -> int:
    return entry.body.number


ROUTES = (
    Route("/s/{survey}/photographs/check", show),
    Route("/s/{survey}/photographs/check", posted(answer), methods=["POST"]),
)
