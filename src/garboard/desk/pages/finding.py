"""One finding: its words, its places, what it rests on and shows, and its recommendations, edited in place."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.naming import part_id
from garboard.catalogue.parts import catalogue
from garboard.catalogue.phrases import Phrase
from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import whole_number
from garboard.desk.forms import Texts, indices
from garboard.desk.keep import filled_from, in_turn, keep_made, maker, overtaken, withdraw
from garboard.desk.missing import gaps_of, of_finding
from garboard.desk.notes import note_within, say
from garboard.desk.pages.printed import answer, label_of, unshown
from garboard.desk.parts import part_choices
from garboard.desk.preview import as_if_kept
from garboard.desk.render import see, survey_page
from garboard.desk.thread import evidence_offered, photos_offered
from garboard.desk.wordings import (
    OF_ADVICE,
    put_in,
    slots_guessed,
    title_of,
    wording,
    wordings_for,
)
from garboard.desk.worked import worked
from garboard.desk.writing import Sent, sent, sheet, taken_back, texts_of_finding
from garboard.judgement.drafts import drafts
from garboard.judgement.ranking import Ranked, ranked
from garboard.notebook.body import Finding, Place
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused

NEW = "new"
_FRESH = Finding(
    name="",
    title="",
    seen="",
    why="",
    urgency="for information",
    because="",
    how_known=("seen",),
    places=(),
)
"""How urgent it is is asked, and not filled in."""
_ORDER = ("title", "seen", "why", "urgency", "within", "because", "how_known")
_TAKEN = ("title", "seen", "why", "urgency", "because", *OF_ADVICE)
_NAMES = {"title": "heading", "seen": "what was found", "why": "why it matters", "urgency": "by when",
          "because": "what makes it that urgent", "what": "what is to be done", "by_whom": "by whom",
          "verified": "how it is seen to be done", "caution": "what to beware of"}  # fmt: skip
_OF_WORDING = ("slot.", "take")


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A slot of a wording, the question that fills it, and what it is filled with."""

    name: str
    question: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a wording that can be put in: its field, its name, its words, and whether it is chosen."""

    field: str
    name: str
    words: str
    is_chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A wording about to be put in; `title` is what it is called here."""

    phrase: Phrase
    title: str
    slots: tuple[Slot, ...]
    parts: tuple[Part, ...]


def show(request: Request) -> Response:
    """The finding as it stands, or a new one with what the address says of it."""
    survey = survey_of(request)
    found = _found(request, survey)
    return _page(request, survey, found, _texts(request, survey, found))


def keep(request: Request, form: Texts) -> Response:
    """Keep what was changed; nothing where nothing was."""
    survey = survey_of(request)
    found = _found(request, survey)
    if late := overtaken(request, survey, form, _entries(found)):
        return _page(request, survey, found, form, problems=late, status=422)
    made = _sent(request, survey, found, form)
    if made.problems:
        return _page(request, survey, found, form, made.problems, status=422)
    try:
        of = in_turn(_kept)(request, found, made)
    except Refused as refused:
        return _page(request, survey, found, form, problems=refused.problems, status=422)
    if not made.entries:
        say(request, "Nothing was changed, so nothing was written.")
    if form.get("then") == "list":
        return see(f"/s/{survey.id}/findings#{label_of(survey_of(request), of)}")
    return see(f"/s/{survey.id}/finding/{of}")


def _kept(request: Request, found: Ranked | None, made: Sent) -> str:
    """The id of the finding that was kept; the same new one sent twice is one."""
    if found is None and made.finding:
        for each in survey_of(request).of(Finding):
            if replace(each.body, name=made.finding.name) == made.finding:
                say(request, "This finding is here already, so nothing was written.")
                return each.id
    keep_made(request, made.entries)
    return found.entry.id if found else made.entries[0].id


def word(request: Request, form: Texts) -> Response:
    """Ask what fills the slots of a wording, or put it in; nothing is kept."""
    survey = survey_of(request)
    found = _found(request, survey)
    desk = desk_of(request)
    phrase = wording(desk, form.get("put", "") or form.get("wording", ""))
    if phrase is None:
        raise HTTPException(404, "There is no such wording.")
    if "put" not in form:
        return _page(request, survey, found, form, asked=_asked(phrase, form))
    slots = {path.removeprefix("slot."): text for path, text in form.items() if path.startswith("slot.")}  # fmt: skip
    taken = form.get("take", "").split("\n")
    bare = {path: text for path, text in form.items() if not path.startswith(_OF_WORDING)}
    return _page(request, survey, found, put_in(phrase, slots, taken, bare, "advice.0."))


def take_back(request: Request, form: Texts) -> Response:
    """Take the finding back, every version of it, with the reason."""
    survey = survey_of(request)
    found = _found(request, survey)
    why = form.get("why", "").strip()
    if found is None or not why:
        raise Refused([Problem(where="finding", what="the reason is missing", do="Say why it is taken back")])  # fmt: skip
    withdraw(request, survey, [found.entry], why)
    say(request, taken_back(survey, found.entry))
    return see(f"/s/{survey.id}/findings")


def pages(request: Request, form: Texts) -> Response:
    """The report's pages with what is being written, and what is missing or vague in that."""
    survey = survey_of(request)
    found = _found(request, survey)
    made = _sent(request, survey, found, form)
    if made.finding is None or made.problems:
        return unshown(made.problems, form)
    desk = desk_of(request)
    state = as_if_kept(desk, survey, made.entries)
    of = found.entry.id if found else made.entries[0].id
    notes = of_finding(gaps_of(desk, state), made.finding)
    return answer(request, state, label_of(state.survey, of), notes)


def _page(
    request: Request,
    survey: Survey,
    found: Ranked | None,
    texts: Texts,
    wrong: Texts = {},  # noqa: B006 - never changed
    *,
    problems: tuple[Problem, ...] = (),
    asked: Asked | None = None,
    status: int = 200,
) -> Response:
    desk = desk_of(request)
    currency = survey.instruction.currency if survey.instruction else "EUR"
    made = sheet(texts, wrong, currency=currency, today=desk.now().date())
    words = {each.path: each for each in made.words}
    places = _places(texts)
    evidence = texts.get("evidence", "").split()
    photos = texts.get("photos", "").split()
    state = worked(desk, survey)
    notes = of_finding(gaps_of(desk, state), found.entry.body) if found and state.has("results") else ()  # fmt: skip
    entry = found.entry if found else None
    return survey_page(
        request,
        survey,
        "findings",
        "finding.html",
        status=status,
        heading=f"{found.number}. {found.entry.body.title}" if found else "A new finding",
        found=found,
        entry=entry,
        of=filled_from(_entries(found)),
        action=f"/s/{survey.id}/finding/{entry.id if entry else NEW}",
        words=[words[each] for each in _ORDER],
        places=made.places,
        advice=made.advice,
        evidence=evidence_offered(survey, evidence, places),
        photos=photos_offered(survey, photos, places),
        wordings=[(each.id, title_of(each, places)) for each in wordings_for(desk, places)],
        phrase=texts.get("phrase", ""),
        asked=asked,
        is_unkept=request.method == "POST" or "draft" in request.query_params,
        kept=note_within(request),
        problems=problems,
        has_wrong=bool(wrong),
        notes=notes,
        label=label_of(survey, entry.id) if entry else "",
        parts=part_choices(survey),
    )


def _found(request: Request, survey: Survey) -> Ranked | None:
    """The finding that the address names, by any of its entries; None for a new one.

    Raises:
        HTTPException: There is none.
    """
    named = request.path_params["entry"]
    if named == NEW:
        return None
    standing = {entry.id for entry in survey.current(named)}
    for each in ranked(survey):
        if each.entry.id in standing:
            return each
    raise HTTPException(404, "There is no such finding in this survey; it may have been taken back.")  # fmt: skip


def _texts(request: Request, survey: Survey, found: Ranked | None) -> Texts:
    zone = desk_of(request).zone
    if found:
        return texts_of_finding(found.entry.body, found.advice, zone)
    asked: Mapping[str, str] = request.query_params
    begun = _drafted(request, survey, asked["draft"]) if "draft" in asked else _begun(survey, asked)
    texts = {**texts_of_finding(begun, (), zone), "urgency": ""}
    for name in ("part", "side", "number"):
        if asked.get(name):
            texts[f"places.0.{name}"] = asked[name]
    return {**texts, **{each: asked[each] for each in ("title", "seen", "evidence", "photos") if each in asked}}  # fmt: skip


def _begun(survey: Survey, asked: Texts) -> Finding:
    """What would be drafted of the entry that a new finding shall rest on; else an empty one."""
    found = (each.finding for each in drafts(survey, ()))
    return next((each for each in found if asked.get("evidence") in each.evidence), _FRESH)


def _drafted(request: Request, survey: Survey, name: str) -> Finding:
    """What the evidence would draft under a name.

    Raises:
        HTTPException: It is drafted no more.
    """
    for draft in drafts(survey, worked(desk_of(request), survey).results):
        if draft.finding.name == name:
            return draft.finding
    raise HTTPException(409, "That draft is gone: what it rested on was changed, or a finding speaks of it now.")  # fmt: skip


def _entries(found: Ranked | None) -> list[Entry[Any]]:
    """What the form is filled from: every entry of the finding as it stands."""
    if found is None:
        return []
    return [
        found.entry,
        *(each for advice in found.advice for each in (advice.entry, *advice.costs)),
    ]


def _sent(request: Request, survey: Survey, found: Ranked | None, form: Texts) -> Sent:
    return sent(survey, found, form, desk_of(request).zone, maker(request, survey.id))


def _places(texts: Texts) -> tuple[Place, ...]:
    """The places filled in, by part, side and number."""
    found: list[Place] = []
    for row in indices("places", texts):
        at = f"places.{row}."
        part = part_id(texts.get(f"{at}part", "").strip())
        if part in catalogue().parts:
            number_of = whole_number(texts.get(f"{at}number", "").strip())
            side: Any = texts.get(f"{at}side", "").strip() or None
            words = texts.get(f"{at}words", "").strip()
            found.append(Place(part=part, side=side, number=number_of, words=words))  # fmt: skip
    return tuple(found)


def _asked(phrase: Phrase, form: Texts) -> Asked:
    guessed = slots_guessed(_places(form))
    questions = catalogue().vocabulary.slots
    return Asked(
        phrase=phrase,
        title=title_of(phrase, _places(form)),
        slots=tuple(
            Slot(name=each, question=questions[each], value=guessed.get(each, ""))
            for each in phrase.slots
        ),
        parts=tuple(
            Part(
                field=each,
                name=_NAMES[each],
                words=getattr(phrase, each),
                is_chosen=not _says(form, each),
            )
            for each in _TAKEN
            if getattr(phrase, each)
        ),
    )


def _says(form: Texts, field: str) -> bool:
    """Whether the form says something there already, so that no wording takes its place unasked."""
    path = f"advice.0.{field}" if field in OF_ADVICE else field
    return bool(form.get(path, "").strip())


ROUTES = (
    Route("/s/{survey}/finding/{entry}", show),
    Route("/s/{survey}/finding/{entry}", posted(keep), methods=["POST"]),
    Route("/s/{survey}/finding/{entry}/wording", posted(word), methods=["POST"]),
    Route("/s/{survey}/finding/{entry}/withdraw", posted(take_back), methods=["POST"]),
    Route("/s/{survey}/finding/{entry}/pages", posted(pages), methods=["POST"]),
)
