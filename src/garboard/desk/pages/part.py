"""One place of the boat: how it is examined, everything recorded of it, and the forms that record more."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any
from urllib.parse import quote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.naming import capital, key, named
from garboard.catalogue.parts import Part, catalogue
from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import Filled, filled, texts_of
from garboard.desk.forms import Field, Texts, fields_of
from garboard.desk.keep import keep
from garboard.desk.pages.photo_upload import ACCEPT, EACH_WANTED
from garboard.desk.render import see, survey_page
from garboard.judgement.grounds import rests_on
from garboard.judgement.ranking import Ranked, ranked
from garboard.judgement.states import covers, part_states
from garboard.judgement.stretches import Stop, beside, place_at, stops
from garboard.notebook.body import (
    Examination,
    Limitation,
    Memo,
    Observation,
    Photo,
    Place,
    Reading,
    ReadingSet,
    Recording,
    Remark,
    Sounding,
    Told,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused

FORMS: Mapping[str, type[Any]] = MappingProxyType(
    {
        "examination": Examination,
        "limitation": Limitation,
        "observation": Observation,
        "sounding": Sounding,
    }
)
"""What is recorded here, by the name of its kind."""

A_LIST = 200
"""So many of a kind are listed; the others are on the page of their own."""

_OF_THE_WHOLE = (Examination, Limitation)
_OWN_NAME = ("Its name on this boat", "Where it has one of its own, as heads inlet")


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A form of the page: `first` are the choices of a field that this part calls for, to be shown first."""

    kind: str
    fields: tuple[Field, ...]
    first: Mapping[str, tuple[str, ...]]
    is_open: bool
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingsHere:
    """The readings of one set that were taken here."""

    entry: Entry[ReadingSet]
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """Everything that stands of one place, by its kind and in order of time."""

    examinations: tuple[Entry[Examination], ...]
    limitations: tuple[Entry[Limitation], ...]
    observations: tuple[Entry[Observation], ...]
    soundings: tuple[Entry[Sounding], ...]
    readings: tuple[ReadingsHere, ...]
    photos: tuple[Entry[Photo], ...]
    recordings: tuple[Entry[Recording], ...]
    memos: tuple[Entry[Memo], ...]
    told: tuple[Entry[Told], ...]
    remarks: tuple[Entry[Remark], ...]
    findings: tuple[Ranked, ...]
    spoken_of: Mapping[str, tuple[Ranked, ...]]
    """By the id of what was examined or seen, the findings that rest on it."""

    @property
    def heard(self) -> tuple[tuple[str, int], ...]:
        """How often the hammer said what."""
        return tuple(Counter(each.body.heard for each in self.soundings).most_common())

    @property
    def not_sound(self) -> tuple[Entry[Sounding], ...]:
        """The soundings that were not clear."""
        return tuple(each for each in self.soundings if each.body.heard != "sound")


def show(request: Request) -> Response:
    """The place with its forms, filled as the address asks: like another entry, or for a way not used."""
    survey, place = survey_of(request), _place_of(request)
    return _page(request, survey, place, _begun(request, survey, place))


def add(request: Request, form: Texts) -> Response:
    """Keep what one of the forms says."""
    survey, place = survey_of(request), _place_of(request)
    kind = request.path_params["kind"]
    if kind not in FORMS:
        raise HTTPException(404, "There is no such form here.")
    own = {name.removeprefix(f"{kind}."): text for name, text in form.items()}
    texts = {**own, **_address(place)}
    sent = filled(FORMS[kind], texts, desk_of(request).zone)
    if sent.body is None:
        return _page(request, survey, place, {kind: sent}, status=422)
    try:
        keep(request, survey.id, sent.body)
    except Refused as refused:
        return _page(request, survey, place, {kind: sent}, refused.problems, status=422)
    onward = form.get("onward", "")
    return see(_link(survey, onward if place_at(onward) else key(place)))


def recorded(survey: Survey, place: Place, stop: Stop | None) -> Recorded:
    """Everything that stands of a place.

    Args:
        survey: The survey.
        place: The place.
        stop: The same on the walk, where it is called for.
    """
    all_findings = ranked(survey)

    def here(entries: Iterable[Entry[Any]]) -> tuple[Entry[Any], ...]:
        return tuple(each for each in entries if each.body.place and covers(each.body.place, place))

    readings = (
        ReadingsHere(
            entry=each, readings=tuple(r for r in each.body.readings if covers(r.place, place))
        )
        for each in survey.of(ReadingSet)
    )
    return Recorded(
        examinations=stop.state.examinations if stop else here(survey.of(Examination)),
        limitations=stop.state.limitations if stop else here(survey.of(Limitation)),
        observations=here(survey.of(Observation)),
        soundings=here(survey.of(Sounding)),
        readings=tuple(each for each in readings if each.readings),
        photos=tuple(sorted(here(survey.of(Photo)), key=lambda each: each.body.number)),
        recordings=here(survey.of(Recording)),
        memos=here(survey.of(Memo)),
        told=tuple(each for each in survey.of(Told) if place.part in each.body.about),
        remarks=here(survey.of(Remark)),
        findings=tuple(
            each
            for each in all_findings
            if any(covers(where, place) for where in each.entry.body.places)
        ),
        spoken_of=_spoken_of(survey, all_findings),
    )


def _spoken_of(survey: Survey, findings: Iterable[Ranked]) -> Mapping[str, tuple[Ranked, ...]]:
    found: dict[str, tuple[Ranked, ...]] = {}
    for each in findings:
        for entry in rests_on(each.entry, survey):
            found[entry.id] = (*found.get(entry.id, ()), each)
    return found


def _page(
    request: Request,
    survey: Survey,
    place: Place,
    sent: Mapping[str, Filled[Any]],
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    along = stops(part_states(survey))
    before, stop, after = beside(along, place)
    part = catalogue().parts[place.part]
    known = recorded(survey, place, stop)
    asked = {request.query_params.get("record", "")} & FORMS.keys()
    opened = asked or sent.keys() or ({"examination"} if not known.examinations else set())
    words = catalogue().vocabulary
    return survey_page(
        request,
        survey,
        "schedule",
        "part.html",
        status=status,
        heading=capital(stop.name if stop else named(place)),
        key=key(place),
        part=part,
        stop=stop,
        before=before,
        after=after,
        silent=_next_silent(along, stop),
        total=len(along),
        known=known,
        a_list=A_LIST,
        how=words.how,
        reasons=words.reasons,
        forms=[
            _form(
                kind,
                place,
                part,
                stop,
                sent.get(kind),
                problems if kind in sent else (),
                kind in opened,
            )
            for kind in FORMS
        ],
        like=_last_like(survey, place),
        filled_as=survey.by_id.get(request.query_params.get("as", "")),
        back=quote(_link(survey, key(place)), safe="/"),
        accept=ACCEPT,
        wanted=EACH_WANTED,
    )


def _form(
    kind: str,
    place: Place,
    part: Part,
    stop: Stop | None,
    sent: Filled[Any] | None,
    problems: tuple[Problem, ...],
    is_open: bool,
) -> Form:
    texts = sent.texts if sent else _fresh(kind, part, stop)
    wrong = sent.problems if sent else {}
    is_whole = FORMS[kind] in _OF_THE_WHOLE
    left = ["part", "number", *(["side"] if is_whole or place.side else [])]
    left += ["station_m", "level_m"] if is_whole else []
    made = fields_of(FORMS[kind], texts, wrong, [f"place.{each}" for each in left])
    fields = [each for each in made if isinstance(each, Field)]
    if is_whole:
        fields = [_own_name(each) for each in fields]
    # Where it is goes behind what is to be said of it.
    fields.sort(key=lambda each: each.path.startswith("place."))
    foreseen = stop.state.called.foreseen if stop else ()
    return Form(
        kind=kind,
        # Several forms stand on the page, and a name stands there once.
        fields=tuple(replace(each, path=f"{kind}.{each.path}") for each in fields),
        first={"how": part.how, "reasons": tuple(dict.fromkeys((*foreseen, *part.limits)))},
        is_open=is_open,
        problems=problems,
    )


def _own_name(field: Field) -> Field:
    """A place in words, which of a whole place is what it is called."""
    if field.path != "place.words":
        return field
    label, hint = _OWN_NAME
    return replace(field, label=label, hint=hint)


def _begun(request: Request, survey: Survey, place: Place) -> dict[str, Filled[Any]]:
    """The forms that the address fills in; nothing is kept by it."""
    like = survey.by_id.get(request.query_params.get("as", ""))
    part, zone = catalogue().parts[place.part], desk_of(request).zone
    if like and isinstance(like.body, _OF_THE_WHOLE) and like.body.place.part == place.part:
        texts = texts_of(like.body, zone)
        own = {name: text for name, text in texts.items() if not name.startswith("place.")}
        return {like.kind: Filled(texts=own, body=None, problems={})}
    how = request.query_params.get("without", "")
    if how in catalogue().vocabulary.how:
        missed = f"Not {catalogue().vocabulary.how[how]}"
        texts = {**_fresh("limitation", part, None), "how": how, "not_reached": missed}
        return {"limitation": Filled(texts=texts, body=None, problems={})}
    return {}


def _fresh(kind: str, part: Part, stop: Stop | None) -> dict[str, str]:
    """What a form begins with: the catalogue's proposals, to be kept, changed or taken out."""
    own = {"place.words": stop.own_name if stop else ""}
    if kind == "limitation":
        foreseen = stop.state.called.foreseen if stop else ()
        proposed = {"could_hide": part.could_hide, "would_lift": part.would_lift}
        return {**own, **proposed, "reasons": "\n".join(foreseen)}
    return own if kind == "examination" else {}


def _last_like(survey: Survey, place: Place) -> dict[str, Entry[Any]]:
    """By kind, what was last recorded of a like place: it can be repeated, but is looked at first."""
    both: tuple[Entry[Any], ...] = (*survey.of(Examination), *survey.of(Limitation))
    return {
        each.kind: each
        for each in both
        if each.body.place.part == place.part and key(each.body.place) != key(place)
    }


def _next_silent(along: tuple[Stop, ...], stop: Stop | None) -> Stop | None:
    """The next place with nothing recorded, from here round the boat."""
    at = stop.at if stop else 0
    round_her = (*along[at:], *along[: max(at - 1, 0)])
    return next((each for each in round_her if each.state.state == "silent"), None)


def _place_of(request: Request) -> Place:
    place = place_at(request.path_params["key"])
    if place is None:
        raise HTTPException(404, "There is no such part of a boat.")
    return place


def _address(place: Place) -> dict[str, str]:
    said = {"part": place.part, "side": place.side, "number": place.number}
    return {f"place.{name}": str(value) for name, value in said.items() if value is not None}


def _link(survey: Survey, where: str) -> str:
    return f"/s/{survey.id}/part/{quote(where)}"


ROUTES = (
    Route("/s/{survey}/part/{key}", show),
    Route("/s/{survey}/part/{key}/{kind}", posted(add), methods=["POST"]),
)
