"""Placing soundings and readings on the hull: by pointing at a drawing of her, by numbers, or along a grid.

The whole state of the page stands in its address, so that it can be left and come back to. What lies under a point is
worked out by the drawing itself; every act is an entry, and to undo is to take the last of them back.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import isfinite
from types import MappingProxyType
from typing import Any, get_args
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.boat.hull import Hull
from garboard.boat.walk import Run, Walk, are_taken
from garboard.catalogue.naming import located, part_id
from garboard.catalogue.parts import catalogue
from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import filled, whole_number
from garboard.desk.forms import Texts
from garboard.desk.keep import keep, withdraw
from garboard.desk.notes import note_within, say
from garboard.desk.parts import part_choices
from garboard.desk.render import see, survey_page
from garboard.desk.rows import described, refused_in
from garboard.desk.worked import Worked, hull_for, worked
from garboard.dossier.table import plain_number
from garboard.drawings.hull import View
from garboard.drawings.maps import Pointing
from garboard.drawings.panels import LOOKS, Look, Panel, panel_for
from garboard.drawings.sets import moisture_view, set_view, soundings_view
from garboard.judgement.states import called_parts
from garboard.judgement.strays import stray
from garboard.methods.written import signed
from garboard.notebook.body import Heard, Place, Reading, ReadingSet, Side, Sounding, Withdrawal
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused, nearest

SOUNDINGS = "soundings"
"""What is placed where no set is named."""

LETTERS: Mapping[str, Heard] = MappingProxyType(
    {"s": "sound", "d": "dull", "h": "hollow", "n": "not sounded"}
)
"""What is typed for what the hammer says, along a grid."""

# The zones of the catalogue whose parts lie on what is drawn.
_ON_HULL = (
    "hull",
    "metal-hull",
    "wooden-hull",
    "keel",
    "multihull",
    "steering-and-drive",
    "openings",
)
_ON_DECK = ("deck", "metal-hull", "wooden-hull")
# Of all other parts those that are sounded or read somewhere on them; of sails and papers nothing is.
_READ_BY = frozenset({"sound", "moisture", "thickness", "pit", "probe", "half-cell"})
_PASSED = ("-", "\N{EN DASH}", ".", "_")
_LISTED = 8
_UNDONE = "It was placed by mistake"
# What stays from one act to the next, and so stands in the address.
_STATE = (
    "of", "look", "place.part", "place.side", "place.number", "place.words", "heard", "hammer",
    "reference", "walking", "from", "to", "step", "level_from", "level_to", "level_step", "by",
    "there_and_back", "cell", "last", "larger",
)  # fmt: skip
_PENDING = ("place.station_m", "place.level_m", "as_read")


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked:
    """A grid that is being walked: its places, which of them comes next, and how many are filled."""

    places: tuple[Place, ...]
    at: int
    filled: int

    @property
    def here(self) -> Place | None:
        """The next place; None at the end."""
        return self.places[self.at] if self.at < len(self.places) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where the page stands: the survey, what is placed, on which panel, and the texts of its form.

    `target` is the set that readings go into, None for soundings.
    """

    survey: Survey
    target: Entry[ReadingSet] | None
    hull: Hull | None
    why_no_hull: str
    look: Look
    panel: Panel | None
    texts: Texts

    @property
    def side(self) -> str:
        """The side that places lie on: the one chosen, else that of the panel."""
        chosen = self.texts.get("place.side", "")
        return chosen or (self.panel.shows_side or "" if self.panel else "")

    @property
    def taken(self) -> tuple[Place, ...]:
        """The places where something stands."""
        if self.target:
            return tuple(each.place for each in self.target.body.readings)
        return tuple(each.place for each in self.survey.bodies(Sounding))


def show(request: Request) -> Response:
    """The drawing, and the form beside it."""
    stand = _stand(survey_of(request), dict(request.query_params))
    return _page(request, stand, ())


def act(request: Request, form: Texts) -> Response:
    """Do what a button of the form asks for."""
    stand = _stand(survey_of(request), form)
    try:
        match _asked(form):
            case "point":
                return _point(request, stand)
            case "keep":
                return _keep(request, stand)
            case "undo":
                return _undo(request, stand)
            case "pass" | "back" as way:
                return _step(stand, 1 if way == "pass" else -1)
            case "walk":
                return _go(stand, walking="yes", cell="")
            case "stop":
                return _go(stand, walking="", cell="")
    except Refused as refused:
        return _page(request, stand, tuple(_said(refused.problems, stand)), status=422)
    return _go(stand, last="")


# Acts


def _asked(form: Texts) -> str:
    """What is asked for: to take one back, to place at a point, or what the button pressed says."""
    if form.get("undo"):
        return "undo"
    return "point" if form.get("x") else form.get("act", "show")


def _point(request: Request, stand: Stand) -> Response:
    """Place what is chosen under a point of the drawing, or ask for its value there."""
    panel, hull = stand.panel, stand.hull
    at = _number(stand.texts.get("x", "")), _number(stand.texts.get("y", ""))
    if panel is None or hull is None or at[0] is None or at[1] is None:
        raise _refused(
            "drawing", "the point did not arrive", "Point again, or give station and level"
        )
    part = _part(stand)
    is_centre = stand.texts.get("place.side") == "centre"
    place = panel.place_under(hull, (at[0], at[1]), part, on_centreline=is_centre)
    if place is None:
        raise _refused("drawing", "there is no skin under that point", "Point inside the outline")
    texts = {**stand.texts, **_texts_at(place)}
    if stand.target and not stand.texts.get("as_read", "").strip():
        return _go(replace(stand, texts=texts), waits="yes", last="")
    return _keep_bodies(request, stand, [_body(request, stand, texts)])


def _keep(request: Request, stand: Stand) -> Response:
    """Keep what was typed: at station and level, or at the next places of the grid."""
    walked = _walked(stand)
    if walked is None:
        if stand.panel and stand.panel.shows_side is None and not stand.side:
            raise _refused("side", "it is not chosen", "Choose port, starboard or centre")
        texts = {**stand.texts, "place.side": stand.side}
        return _keep_bodies(request, stand, [_body(request, stand, texts)])
    typed = _typed(stand, stand.texts.get("typed", ""))
    places = walked.places[walked.at :]
    if len(typed) > len(places):
        raise _refused("values", f"{len(typed)} were typed and {len(places)} places are left", "Take some out, or walk a longer grid")  # fmt: skip
    bodies = [
        _body(request, stand, {**stand.texts, **_texts_at(place), **value})
        for place, value in zip(places, typed, strict=False)
        if value
    ]
    return _keep_bodies(request, stand, bodies, cell=str(walked.at + len(typed)))


def _keep_bodies(
    request: Request, stand: Stand, bodies: Sequence[Sounding | Reading], **state: str
) -> Response:
    """Keep soundings as entries of their own, readings as one correction of their set."""
    survey, target = stand.survey, stand.target
    made: tuple[Entry[Any], ...] = ()
    if target and bodies:
        readings = tuple(each for each in bodies if isinstance(each, Reading))
        why = "; ".join(f"{each.as_read} read at {located(each.place)}" for each in readings[:3])
        more = f"; and {len(readings) - 3} more" if len(readings) > 3 else ""
        body = replace(target.body, readings=(*target.body.readings, *readings))
        made = keep(request, survey.id, body, replaces=(target.id,), why=f"{why}{more}")
    elif bodies:
        made = keep(request, survey.id, *bodies)
    return _go(stand, last=" ".join(each.id for each in made), **state)


def _undo(request: Request, stand: Stand) -> Response:
    """Take back what was kept last, or the one sounding named."""
    named = stand.texts.get("undo", "") or stand.texts.get("last", "")
    survey = stand.survey
    last = [entry for each in named.split() for entry in survey.current(each) if entry.id == each]
    if not last:
        raise _refused("undo", "nothing was kept just now", "Take older ones back in the list or the history")  # fmt: skip
    sets = [each for each in last if isinstance(each.body, ReadingSet)]
    if sets:
        # The set is to stand again as it was, so that its last correction alone is taken back.
        (entry,) = sets
        keep(request, survey.id, Withdrawal(), replaces=(entry.id,), why=_UNDONE)
        before = [survey.by_id[each].body for each in entry.replaces]
        say(request, _stands_again(before[-1]) if before else "Undone: the set is taken back.")
    else:
        withdraw(request, survey, last, _UNDONE)
    return _go(stand, last="", cell="")


def _stands_again(before: ReadingSet) -> str:
    count = len(before.readings)
    return f"Undone: the set is again as it was before, with {count} {'reading' if count == 1 else 'readings'}."


def _step(stand: Stand, by: int) -> Response:
    walked = _walked(stand)
    at = walked.at + by if walked else 0
    return _go(stand, cell=str(max(0, at)), last="")


def _body(request: Request, stand: Stand, texts: Texts) -> Sounding | Reading:
    """A sounding or a reading as the form says it.

    Raises:
        Refused: Something of it is missing or wrong.
    """
    texts = {**texts, "place.part": _part(stand)}
    zone = desk_of(request).zone
    sent = filled(Reading, texts, zone) if stand.target else filled(Sounding, texts, zone)
    if sent.body is None:
        raise Refused(
            Problem(where=_FIELDS.get(path, path), what=said.rstrip("."), do="Fill it in, or correct it")
            for path, said in sent.problems.items()
        )  # fmt: skip
    if sent.body.place.station_m is None:
        raise _refused("station", "it is missing", "Point at the drawing, or give it in metres aft of the stem")  # fmt: skip
    off = stray(sent.body.place, stand.hull) if stand.hull else None
    if off:
        raise _refused(_FIELDS[f"place.{off.field}"], off.what, off.do)
    if isinstance(sent.body, Reading):
        digits = plain_number(sent.body.as_read)
        if digits is None:
            raise _refused("reading", f'"{sent.body.as_read}" is not a number', "Correct it")
        return replace(sent.body, as_read=digits)
    return sent.body


_FIELDS = {
    "place.part": "part",
    "place.side": "side",
    "place.station_m": "station",
    "place.level_m": "level",
    "place.number": "which one",
    "as_read": "reading",
    "heard": "what it says",
    "typed": "what was typed",
}
"""What the page calls its fields."""


# The fields that stand far enough from the drawing for a refusal to be read beside them.
_BY_NUMBERS = ("place.station_m", "place.level_m", "as_read")
_ALONG = ("typed",)


def _said(problems: Sequence[Problem], stand: Stand) -> Iterator[Problem]:
    """Problems by the fields of the page, where the notebook names entries by their ids."""
    known = len(stand.target.body.readings) if stand.target else 0
    for each in problems:
        number, field = refused_in(each)
        name = _CALLED.get(field) or each.where.rpartition(", ")[2]
        if stand.texts.get("walking") == "yes" and number > known:
            name = f"value {_typed_as(stand, number - known)}"
        elif 0 < number <= known:
            name = f"reading {number} of the set, {name}"
        yield Problem(where=name, what=each.what, do=each.do)


_CALLED = {name.rpartition(".")[2]: words for name, words in _FIELDS.items()}


def _typed_as(stand: Stand, number: int) -> int:
    """Which of the words typed along the grid became the reading of a number, those passed over counted."""
    filled_in = [
        at for at, each in enumerate(_typed(stand, stand.texts.get("typed", "")), 1) if each
    ]
    return filled_in[number - 1]


def _typed(stand: Stand, text: str) -> tuple[dict[str, str], ...]:
    """What was typed along a grid, in order; an empty one for a place passed over.

    Raises:
        Refused: Something in it is not understood; nothing of it is taken.
    """
    if not stand.target:
        return tuple(_heard("".join(text.casefold().split())))
    return tuple(_values(text.replace(";", " ").split()))


def _heard(letters: str) -> Iterator[dict[str, str]]:
    for number, each in enumerate(letters, 1):
        if each not in LETTERS and each not in _PASSED:
            raise _refused(f"letter {number}", f'"{each}" says nothing', "Type s for sound, d for dull, h for hollow, n for not sounded, - to pass over")  # fmt: skip
        yield {"heard": LETTERS[each]} if each in LETTERS else {}
    if not letters:
        raise _refused("values", "nothing was typed", "Type a letter for each place, or pass over it")  # fmt: skip


def _values(words: Sequence[str]) -> Iterator[dict[str, str]]:
    for number, each in enumerate(words, 1):
        digits = None if each in _PASSED else plain_number(each)
        if digits is None and each not in _PASSED:
            raise _refused(f"value {number}", f'"{each}" is not a number', "Correct it, or type - to pass over")  # fmt: skip
        yield {"as_read": digits} if digits else {}
    if not words:
        raise _refused("values", "nothing was typed", "Type a number for each place, or pass over it")  # fmt: skip


# Where the page stands


def _stand(survey: Survey, texts: Texts) -> Stand:
    hull, why = None, ""
    try:
        hull = hull_for(survey)
    except ValueError as problem:
        why = str(problem)
    look: Look = "port-shell"
    if texts.get("look") in LOOKS:
        look = texts["look"]  # type: ignore[assignment]  # it is one of them
    return Stand(
        survey=survey,
        target=_target(survey, texts.get("of", "")),
        hull=hull,
        why_no_hull=why,
        look=look,
        panel=panel_for(hull, look) if hull else None,
        texts=texts,
    )


def _target(survey: Survey, of: str) -> Entry[ReadingSet] | None:
    """The set that is named, as it stands now, also where its last correction was taken back."""
    named = survey.by_id.get(of)
    if named is None or not isinstance(named.body, ReadingSet):
        return None
    found = [each for each in survey.current(survey.first(named).id) if isinstance(each.body, ReadingSet)]  # fmt: skip
    return found[-1] if found else None


def _part(stand: Stand) -> str:
    part = part_id(stand.texts.get("place.part", "").strip())
    if not part:
        raise _refused("part", "it is not chosen", "Choose the part that is sounded or read")
    if part not in catalogue().parts:
        do = nearest(part, catalogue().parts, "Choose one of the list")
        raise _refused("part", f'there is no part "{part}"', do)
    return part


def _walked(stand: Stand) -> Walked | None:
    """The grid as far as it is walked; None where none is.

    Raises:
        Refused: It leads nowhere.
    """
    if stand.texts.get("walking") != "yes":
        return None
    side = stand.side
    if side not in get_args(Side):
        raise _refused("side", "it is not chosen", "Choose the side that is walked")
    walk = Walk(
        stations=_run(stand, "from", "to", "step", "stations"),
        levels=_run(stand, "level_from", "level_to", "level_step", "levels"),
        by="level" if stand.texts.get("by") == "level" else "station",
        there_and_back=stand.texts.get("there_and_back") == "yes",
    )
    part = _part(stand)
    try:
        places = walk.places(part, side, stand.hull)  # type: ignore[arg-type]  # checked above
    except ValueError as problem:
        raise _refused(
            "grid", str(problem).rstrip("."), "Correct its stations and levels"
        ) from None
    if not places:
        raise _refused("grid", "none of it lies on the hull", "Correct its stations and levels")
    number = _which(stand)
    places = tuple(replace(each, number=number) for each in places)
    taken = are_taken(places, stand.taken)
    cell = whole_number(stand.texts.get("cell", ""))
    first_free = taken.index(False) if False in taken else len(places)
    at = first_free if cell is None else cell
    return Walked(places=places, at=min(at, len(places)), filled=sum(taken))


def _run(stand: Stand, first: str, last: str, step: str, what: str) -> Run:
    """A run of stations or levels; a single one where only its beginning is given."""
    begun = _number(stand.texts.get(first, ""))
    if begun is None:
        raise _refused(what, "where they begin is missing", "Give the first in metres")
    ended = _number(stand.texts.get(last, ""))
    return Run(
        first_m=begun,
        last_m=begun if ended is None else ended,
        step_m=_number(stand.texts.get(step, "")) or 0.0,
    )


def _which(stand: Stand) -> int | None:
    return whole_number(stand.texts.get("place.number", "")) or None


def _number(text: str) -> float | None:
    digits = plain_number(text)
    value = float(digits) if digits else None
    return value if value is not None and isfinite(value) else None


def _texts_at(place: Place) -> dict[str, str]:
    return {
        "place.side": place.side or "",
        "place.station_m": "" if place.station_m is None else f"{place.station_m:g}",
        "place.level_m": "" if place.level_m is None else f"{place.level_m:g}",
    }


def _refused(where: str, what: str, do: str) -> Refused:
    return Refused([Problem(where=where, what=what, do=do)])


# The page


def _go(stand: Stand, **state: str) -> Response:
    """The page again, with what stays of its state."""
    target = {"of": stand.survey.first(stand.target).id} if stand.target else {"of": SOUNDINGS}
    texts = {**stand.texts, **target, "look": stand.look, **state}
    names = (*_STATE, *(_PENDING if "waits" in state else ()))
    query = urlencode({each: texts[each] for each in names if texts.get(each)})
    return see(f"/s/{stand.survey.id}/placing?{query}")


def _page(
    request: Request, stand: Stand, problems: tuple[Problem, ...], status: int = 200
) -> Response:
    of = worked(desk_of(request), stand.survey)
    walked = None
    try:
        walked = _walked(stand)
    except Refused as refused:
        problems, status = problems or refused.problems, 422
    sets = sorted(stand.survey.of(ReadingSet), key=stand.survey.done_at)
    standing = {each.id: each for each in stand.survey.standing}
    last = [standing[each] for each in stand.texts.get("last", "").split() if each in standing]
    return survey_page(
        request,
        stand.survey,
        "readings",
        "placing.html",
        status=status,
        heading="Place on the hull",
        section="placing",
        stand=stand,
        target=stand.target,
        targets=[(stand.survey.first(each).id, each) for each in sets],
        looks=LOOKS,
        walked=walked,
        view=_view(of, stand, walked),
        moisture=of.moisture_of(stand.target) if stand.target else None,
        texts=_Blank(stand.texts),
        letters=LETTERS,
        heard=tuple(LETTERS.values()),
        part=part_id(stand.texts.get("place.part", "").strip()),
        parts=_parts(stand),
        names=_FIELDS,
        said=[_pointed_to(each, walked) for each in problems],
        by_field={path: str(each) for each in reversed(problems) for path in _paths(each)},
        kept=_kept(last, stand),
        note=note_within(request),
        latest=_latest(stand),
        located=located,
        described=described,
    )


def _paths(problem: Problem) -> Iterator[str]:
    """The field of the page that a problem lies in, where it has one."""
    yield from (path for path, words in _FIELDS.items() if words == problem.where)
    if problem.where.startswith(("value", "letter")):
        yield "typed"


def _pointed_to(problem: Problem, walked: Walked | None) -> tuple[str, str]:
    """What is said at the foot of the page: the field beside which it stands in full, or all of it."""
    named = [path for path in _paths(problem) if path in (_ALONG if walked else _BY_NUMBERS)]
    return (named[0], "") if named else ("", str(problem))


def _parts(stand: Stand) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """The parts to choose from, under headings: those that the drawing shows first, then her others, then the rest."""
    drawn = _ON_DECK if stand.look == "deck" else _ON_HULL
    called = {each.part.id for each in called_parts(stand.survey)}
    here: list[tuple[str, str]] = []
    elsewhere: list[tuple[str, str]] = []
    rest: list[tuple[str, str]] = []
    chosen = stand.texts.get("place.part", "")
    for id_, name in part_choices(stand.survey):
        part = catalogue().parts[id_]
        is_on_skin = part.zone in _ON_HULL or part.zone in _ON_DECK
        if id_ != chosen and not is_on_skin and _READ_BY.isdisjoint(part.how):
            continue
        is_called = id_ in called or not called
        is_drawn = part.zone in drawn
        (rest if not is_called else here if is_drawn else elsewhere).append((id_, name))
    first = "The deck" if stand.look == "deck" else "The hull"
    groups = ((first, here), ("Elsewhere on the boat", elsewhere), ("Not on her schedule", rest))
    return tuple((heading, tuple(found)) for heading, found in groups if found)


class _Blank(dict[str, str]):
    """Texts of a form; one that is missing is empty."""

    def __missing__(self, key: str) -> str:
        return ""


def _view(of: Worked, stand: Stand, walked: Walked | None) -> View | None:
    """What is placed, on the panel that was chosen."""
    if stand.panel is None or stand.hull is None:
        return None
    here = walked.here if walked else _pending(stand)
    ahead = walked.places[walked.at + 1 :] if walked else ()
    at = Pointing(panel=stand.panel, here=here, ahead=ahead)
    if stand.target is None:
        return soundings_view(stand.hull, stand.survey.bodies(Sounding), of.patches, at=at)
    moisture = of.moisture_of(stand.target)
    if moisture:
        return moisture_view(stand.hull, moisture, at=at)
    return set_view(stand.hull, stand.target.body, at=at)


def _pending(stand: Stand) -> Place | None:
    """The place that waits for its value, where it lies on the boat."""
    station, level = (_number(stand.texts.get(each, "")) for each in _PENDING[:2])
    if station is None or level is None:
        return None
    side = stand.side
    place = Place(
        part=part_id(stand.texts.get("place.part", "").strip()),
        side=side if side in get_args(Side) else None,  # type: ignore[arg-type]  # checked here
        station_m=station,
        level_m=level,
    )
    return place if stand.hull and not stray(place, stand.hull) else None


def _kept(last: Sequence[Entry[Any]], stand: Stand) -> list[str]:
    """What the last act placed, in words."""
    found = []
    for entry in last:
        if isinstance(entry.body, Sounding):
            found.append(f"{entry.body.heard}, {located(entry.body.place)}")
        elif isinstance(entry.body, ReadingSet):
            before = [stand.survey.by_id[each] for each in entry.replaces]
            known = max((len(each.body.readings) for each in before), default=0)
            added = entry.body.readings[known:]
            found += [f"{signed(each.as_read)}, {located(each.place)}" for each in added]
    return found


def _latest(stand: Stand) -> list[Any]:
    """The last few that were placed, the newest first."""
    if stand.target:
        return list(enumerate(stand.target.body.readings, 1))[-_LISTED:][::-1]
    return list(stand.survey.of(Sounding))[-_LISTED:][::-1]


ROUTES = (
    Route("/s/{survey}/placing", show),
    Route("/s/{survey}/placing", posted(act), methods=["POST"]),
)
