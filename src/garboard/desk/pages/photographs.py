"""Photographs: all of them by number, several given a place at once, and each on a page of its own."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from types import MappingProxyType
from typing import Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.parts import catalogue
from garboard.desk.asked import posted
from garboard.desk.context import Desk, desk_of, survey_of
from garboard.desk.filled import Filled, filled, texts_of
from garboard.desk.forms import Field, Texts, fields_of
from garboard.desk.keep import filled_from, overtaken
from garboard.desk.notes import say
from garboard.desk.pages.photo_upload import ACCEPT, EACH_WANTED
from garboard.desk.parts import part_choices
from garboard.desk.pictures import (
    camera_wrote,
    correct_photos,
    in_order,
    kept_places,
    look_of,
    looked_at,
    photo_of,
    placed_since,
    standing,
    unmeasured,
    visit_zone,
)
from garboard.desk.render import see, survey_page
from garboard.desk.zones import as_typed
from garboard.judgement.gaps_of_photographs import not_looked_at
from garboard.judgement.looks import alike, days_of, doubts
from garboard.judgement.sorting import Choice, choices, nearest_parts, traces_of
from garboard.notebook.body import Memo, Photo
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.numbering import is_of_device
from garboard.notebook.problem import Refused
from garboard.notebook.shape import write
from garboard.report.edits import edits_of

VIEWS: Mapping[str, str] = MappingProxyType(
    {
        "": "in all",
        "unplaced": "unsorted",
        "uncaptioned": "without a caption",
        "printed": "printed",
        "unprinted": "not printed",
        "doubtful": "doubtful",
    }
)
"""Which photographs the sheet shows, by name in the address."""

MEASURED_FOR = timedelta(seconds=15)
"""How long photographs are measured before the page comes again."""

# Known from the file itself, or made on pages of their own.
_BY_ITSELF = ("number", "file", "sha256", "media_type", "crop", "marks")
_PLACE = ("place.part", "place.side", "place.number", "place.words")
_NONE: Texts = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """A photograph on the sheet: what is doubtful, what was done to its copies, and those nearly the same."""

    entry: Entry[Photo]
    doubts: tuple[str, ...]
    edited: str
    alike: tuple["Card", ...] = ()


def show(request: Request) -> Response:
    """The sheet: thumbnails by number."""
    return _sheet(request, _NONE, _NONE)


def give(request: Request, form: Texts) -> Response:
    """Give the chosen photographs a place, or have them printed or not."""
    survey = survey_of(request)
    wanted = [each for each in form.get("photo", "").split("\n") if each]
    chosen = [standing(survey, each) for each in wanted]
    since: list[Photo] = []
    if not chosen:
        return _sheet(request, form, {"photo": "No photograph is chosen."}, status=422)
    act = form.get("act", "")
    if act in ("print", "keep back"):
        changed = {each.id: replace(each.body, printed=act == "print") for each in chosen}
        why = "to be printed" if act == "print" else "not to be printed"
    else:
        sent = _with_place(chosen[0].body, form, request)
        if sent.body is None:
            return _sheet(request, form, sent.problems, status=422)
        place = sent.body.place
        changed = {}
        for shown, each in zip(wanted, chosen, strict=True):
            if placed_since(survey, shown, each) and each.body.place != place:
                since.append(each.body)
            else:
                changed[each.id] = replace(each.body, place=place)
        if not changed:
            return _sheet(request, form, {"photo": kept_places(since)}, status=422)
        why = "sorted by hand"
    try:
        correct_photos(request, survey, changed, why)
    except Refused as refused:
        return _sheet(request, form, {"photo": str(refused)}, status=422)
    if since:
        say(request, kept_places(since))
    return see(f"/s/{survey.id}/photographs{_query(form)}")


def one(request: Request) -> Response:
    """One photograph, large, with what is stated of it."""
    survey = survey_of(request)
    entry = photo_of(request, survey)
    texts = texts_of(entry.body, desk_of(request).zone)
    return _one(request, survey, entry, Filled(texts=texts, body=None, problems=_NONE))


def correct(request: Request, form: Texts) -> Response:
    """Keep what is stated of a photograph."""
    survey = survey_of(request)
    entry = photo_of(request, survey)
    known = {name: value for name, value in write(entry.body).items() if name in _BY_ITSELF}
    # A photograph may stand for a while without a caption.
    known["caption"] = form.get("caption", "").strip()
    sent = filled(Photo, form, desk_of(request).zone, known, entry.body)
    late = overtaken(request, survey, form, [entry]) if sent.body != entry.body else ()
    if late or sent.body is None:
        return _one(request, survey, entry, sent, " ".join(map(str, late)), status=422)
    try:
        correct_photos(request, survey, _with_one_cover(survey, entry, sent.body), "written up")
    except Refused as refused:
        return _one(request, survey, entry, sent, str(refused), status=422)
    return see(f"/s/{survey.id}/photo/{form.get('next') or entry.id}")


def _with_one_cover(survey: Survey, entry: Entry[Photo], photo: Photo) -> dict[str, Photo]:
    """A photograph as it shall be, by its entry; where it is to be the cover, no other stays it."""
    others = [e for e in survey.of(Photo) if photo.cover and e.body.cover and e.id != entry.id]
    return {entry.id: photo, **{each.id: replace(each.body, cover=False) for each in others}}


def measure(request: Request, form: Texts) -> Response:
    """Measure what nobody looked at yet, for a while; what is left then is left to the next time."""
    survey, desk = survey_of(request), desk_of(request)
    until = desk.clock() + MEASURED_FOR
    for entry in unmeasured(desk, survey):
        looked_at(desk, entry.body.sha256)
        if desk.clock() > until:
            break
    return see(f"/s/{survey.id}/photographs{'/sort' if form.get('back') == 'sort' else ''}")


def cards_of(desk: Desk, survey: Survey) -> tuple[Card, ...]:
    """All photographs by number, with what was measured on them so far."""
    days = days_of(survey)
    return tuple(
        Card(
            entry=entry,
            doubts=doubts(entry.body, look_of(desk, entry.body.sha256), days),
            edited=edits_of(entry.body).said,
        )
        for entry in in_order(survey)
    )


def stacked(desk: Desk, cards: tuple[Card, ...]) -> tuple[Card, ...]:
    """The same cards, those nearly the same laid under the first of them."""
    looks = ((card.entry, look_of(desk, card.entry.body.sha256)) for card in cards)
    groups = alike([(entry, look) for entry, look in looks if look])
    by_id = {card.entry.id: card for card in cards}
    under = {each for group in groups for each in group[1:]}
    like = {group[0]: tuple(by_id[each] for each in group[1:]) for group in groups}
    return tuple(
        replace(card, alike=like.get(card.entry.id, ()))
        for card in cards
        if card.entry.id not in under
    )


def _sheet(request: Request, form: Texts, problems: Texts, status: int = 200) -> Response:
    survey, desk = survey_of(request), desk_of(request)
    cards = cards_of(desk, survey)
    view = form.get("view", request.query_params.get("view", ""))
    part = form.get("only", request.query_params.get("part", ""))
    shown = [card for card in cards if _is_in(card, view) and part in ("", _part(card))]
    return survey_page(
        request,
        survey,
        "photographs",
        "photographs.html",
        status=status,
        heading="Photographs",
        views=[(name, words, sum(_is_in(card, name) for card in cards)) for name, words in VIEWS.items()],
        view=view if view in VIEWS else "",
        part=part if part in catalogue().parts else "",
        part_name=catalogue().parts[part].name if part in catalogue().parts else "",
        total=len(cards),
        of_device=any(is_of_device(card.entry.body.number) for card in shown),
        unmeasured=len(unmeasured(desk, survey)),
        not_looked_at=len(not_looked_at(survey)),
        cards=stacked(desk, tuple(shown)),
        chosen=frozenset(form.get("photo", "").split("\n")),
        problems=problems,
        fields=[each for each in fields_of(Photo, form, problems) if each.path in _PLACE],
        parts=_parts(survey, (card.entry.body for card in shown)),
        accept=ACCEPT,
        wanted=EACH_WANTED,
    )  # fmt: skip


def _one(
    request: Request,
    survey: Survey,
    entry: Entry[Photo],
    sent: Filled[Photo],
    problem: str = "",
    status: int = 200,
) -> Response:
    desk, photos = desk_of(request), in_order(survey)
    at = next(index for index, each in enumerate(photos) if each.id == entry.id)
    look = looked_at(desk, entry.body.sha256)
    there, taken = visit_zone(desk, survey), entry.body.taken
    return survey_page(
        request,
        survey,
        "photographs",
        "photo.html",
        status=status,
        heading=f"Photograph {entry.body.number}",
        entry=entry,
        photo=entry.body,
        of_device=is_of_device(entry.body.number),
        spoken=[each for each in survey.of(Memo) if each.body.photo == entry.body.file],
        look=look,
        before=photos[at - 1] if at else None,
        after=photos[at + 1] if at + 1 < len(photos) else None,
        doubts=doubts(entry.body, look, days_of(survey)),
        wrote=camera_wrote(desk, entry.body),
        on_its_clock=as_typed(taken, there) if taken else "",
        elsewhere="" if there is desk.zone else str(there),
        edited=edits_of(entry.body).said,
        fields=[
            replace(each, needed=False) if isinstance(each, Field) else each
            for each in fields_of(Photo, sent.texts, sent.problems, _BY_ITSELF)
        ],
        of=filled_from([entry]),
        problem=problem,
        may_show=_may_show(survey, entry.body),
        parts=_parts(survey, [entry.body]),
    )


def _parts(survey: Survey, photos: Iterable[Photo]) -> tuple[tuple[str, str], ...]:
    """The parts to choose from for photographs, those where something was done at their time first."""
    taken = [each.taken for each in photos if each.taken and each.place is None]
    return part_choices(survey, nearest_parts(taken, traces_of(survey)) if taken else ())


def _may_show(survey: Survey, photo: Photo) -> tuple[Choice, ...]:
    """The places that a photograph without one may show, by the time it was taken."""
    return choices(photo.taken, traces_of(survey)) if photo.taken and photo.place is None else ()


def _with_place(photo: Photo, form: Texts, request: Request) -> Filled[Photo]:
    """A photograph with the place that a form names, which must name one."""
    known = {name: value for name, value in write(photo).items() if name != "place"}
    sent = filled(Photo, form, desk_of(request).zone, known)
    if sent.body is not None and sent.body.place is None:
        return replace(sent, body=None, problems={"place.part": "Choose a part."})
    return sent


def _is_in(card: Card, view: str) -> bool:
    photo = card.entry.body
    match view:
        case "unplaced":
            return photo.place is None
        case "uncaptioned":
            return not photo.caption
        case "printed":
            return photo.printed
        case "unprinted":
            return not photo.printed
        case "doubtful":
            return bool(card.doubts)
        case _:
            return True


def _part(card: Card) -> str:
    return card.entry.body.place.part if card.entry.body.place else ""


def _query(form: Texts) -> str:
    asked: dict[str, Any] = {"view": form.get("view", ""), "part": form.get("only", "")}
    said = urlencode({name: value for name, value in asked.items() if value})
    return f"?{said}" if said else ""


ROUTES = (
    Route("/s/{survey}/photographs", show),
    Route("/s/{survey}/photographs", posted(give), methods=["POST"]),
    Route("/s/{survey}/photographs/measure", posted(measure), methods=["POST"]),
    Route("/s/{survey}/photo/{photo}", one),
    Route("/s/{survey}/photo/{photo}", posted(correct), methods=["POST"]),
)
