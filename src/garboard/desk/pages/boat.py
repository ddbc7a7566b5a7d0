"""The boat: her particulars in groups, drawn and reckoned as they are typed; two that disagree are chosen between."""

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.boat.hull import Hull, hull_of
from garboard.boat.identity import Identity, disagreements, read_identity
from garboard.catalogue.parts import catalogue
from garboard.catalogue.schedule import Called, needless_particulars, possible_fittings
from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import Filled, filled, texts_of
from garboard.desk.forms import Field as FormField
from garboard.desk.forms import Rows, Texts, fields_of
from garboard.desk.keep import filled_from, in_turn, keep, keep_made, maker, overtaken, withdraw
from garboard.desk.notes import say
from garboard.desk.render import page, see, survey_page
from garboard.desk.stretches import unanswered
from garboard.desk.told import facts_of
from garboard.drawings.hull import View, plan, profile, sections
from garboard.judgement.states import called_parts
from garboard.methods import figures, identity
from garboard.methods.declaration import METHODS, Method
from garboard.methods.result import Result
from garboard.methods.written import measure
from garboard.notebook.body import Boat, Withdrawal
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey, fold
from garboard.notebook.problem import Problem, Refused

GROUPS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "Identity": ("name", "identity_number", "registration", "builder", "design", "year"),
        "Dimensions": (
            "loa_m", "lwl_m", "beam_m", "draught_m", "canoe_draught_m", "freeboard_m",
            "displacement_kg", "ballast_kg", "sail_area_m2",
        ),
        "Form, keel and rudder": ("keel", "rudder", "hulls", "chines"),
        "Build": ("material", "construction", "deck", "speed"),
        "Rig": ("rig", "mast", "mast_step", "standing"),
        "Machinery": ("drive", "fuel", "exhaust", "engines"),
        "Notes": ("notes",),
    }
)  # fmt: skip
"""The particulars as the page groups them; fittings are asked by zone, numbers have a page of their own."""

# What the form of an identity number cannot say.
_IDENTITY_LIMITS = METHODS[f"identity.{identity.wants_second_look.__name__}"].limits
_DRAWN_AFTER = "Form, keel and rudder"
_NAMELESS = "the boat"
_FILLED_IN = "what was blank is filled in"

# Where the questions about fittings begin that are asked from one place.
_ASKED_FROM = MappingProxyType(
    {
        "bathing-platform": "Hull, keel and underwater gear",
        "guardrails": "Deck",
        "hydraulic-steering": "Steering position",
        "furling-gear": "Rig and ground tackle",
        "watertight-bulkheads": "Inside",
        "high-water-alarm": "Water and pumping",
        "gas": "Gas, fuel and machinery",
        "battery": "Electrical and navigation",
        "liferaft": "Safety",
        "integral-tanks": "Hulls of particular kinds",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Particulars that belong together; `drawn` where the drawing follows them."""

    name: str
    fields: tuple[FormField | Rows, ...]
    drawn: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A figure of the boat with the method it comes from; `value` as the report prints it."""

    result: Result
    value: str
    method: Method


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What the particulars typed so far come to: drawing or what it lacks, identity, figures.

    `impossible` is what she cannot be fitted with, and so is not asked about; `needless` the particulars that mean
    nothing of her.
    """

    views: tuple[View, ...]
    unread: tuple[str, ...]
    lacking: str
    assumptions: tuple[str, ...]
    identity: Identity | None
    odd: tuple[str, ...]
    figures: tuple[Figure, ...]
    impossible: frozenset[str]
    needless: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One of two entries that stand side by side, with what it says; None where it takes the boat back."""

    entry: Entry[Any]
    facts: Mapping[str, str] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rivals:
    """Entries to be chosen between, and the particulars on which they differ."""

    sides: tuple[Side, ...]
    differ: tuple[str, ...]


def show(request: Request) -> Response:
    """The particulars as they stand."""
    survey = survey_of(request)
    boat = survey.boat
    texts = texts_of(boat, desk_of(request).zone) if boat else {}
    return _page(request, survey, Filled(texts=texts, body=None, problems={}))


def save(request: Request, form: Texts) -> Response:
    """Keep the particulars: the first plain, later ones as a correction; what is unchanged writes nothing."""
    survey = survey_of(request)
    before = survey.of(Boat)
    sent = filled(Boat, form, desk_of(request).zone, _numbers(before))
    why = form.get("why", "").strip()
    body = _in_order(sent.body, before[-1].body) if before and sent.body else sent.body
    if [each.body for each in before] == [body]:
        say(request, "Nothing was changed, so nothing was written.")
        return see(f"/s/{survey.id}/boat")
    if late := overtaken(request, survey, form, before):
        return _page(request, survey, sent, late, status=422)
    if body is None:
        return _page(request, survey, sent, status=422)
    told = [_with_blanks(each.body, body) for each in before]
    is_corrected = not all(_only_adds(each, body) for each in told)
    if is_corrected and not why:
        sent = Filled(texts=form, body=None, problems={"why": _why_wanted(told, body)})
        return _page(request, survey, sent, status=422)
    reason = why or _FILLED_IN if before else None
    try:
        keep(request, survey.id, body, replaces=[each.id for each in before], why=reason)
    except Refused as refused:
        return _page(request, survey, sent, refused.problems, status=422)
    if before and not is_corrected:
        say(request, "Kept: what was blank is filled in.")
    return see(f"/s/{survey.id}/boat")


def _with_blanks(before: Boat, after: Boat) -> Boat:
    """A boat as she was told; while nobody had been asked what she has, that she has nothing fills in a blank."""
    is_asked = bool(before.fitted or before.fitted_unknown or before.fitted_none)
    return before if is_asked else replace(before, fitted_none=after.fitted_none)


def _only_adds(before: Any, after: Any) -> bool:
    """Whether a body fills in what another left blank, and takes back nothing that it said.

    Args:
        before: A body, or a value of one.
        after: Another of the same sort.

    >>> _only_adds({"a": "", "b": 1}, {"a": "told", "b": 1}), _only_adds({"a": 1}, {"a": 2})
    (True, False)
    """
    if before == after or before is None or before in ("", (), {}):
        return True
    if isinstance(before, Mapping):
        return all(name in after and _only_adds(each, after[name]) for name, each in before.items())
    if dataclasses.is_dataclass(before):
        names = (each.name for each in dataclasses.fields(before))
        return all(_only_adds(getattr(before, each), getattr(after, each)) for each in names)
    if isinstance(before, tuple) and all(map(dataclasses.is_dataclass, before)):
        return len(before) == len(after) and all(map(_only_adds, before, after))
    return False


def _why_wanted(before: Sequence[Boat], body: Boat) -> str:
    """The reason asked for, with the particulars that said something else."""
    labels = {each.path: each.label for each in fields_of(Boat, {})}
    changed = [
        label
        for name, label in labels.items()
        if not all(_only_adds(getattr(each, name), getattr(body, name)) for each in before)
    ]
    return f"Say why it is corrected: {', '.join(changed)}."


def draw(request: Request, form: Texts) -> Response:
    """The drawing, the identity number and the figures of what is typed; nothing is kept."""
    return page(
        request, "_seen.html", seen=_seen(request, form), limits=_IDENTITY_LIMITS, is_part=True
    )


def settle(request: Request, form: Texts) -> Response:
    """Choose between entries that stand side by side; the others stay legible."""
    survey = survey_of(request)
    rivals = _rivals(survey)
    if late := overtaken(request, survey, form, rivals):
        raise Refused(late)
    chosen = next((e for e in rivals if e.id == form.get("chosen")), None)
    why = form.get("why", "").strip()
    if chosen is None:
        raise HTTPException(409, "That choice was made already, or is none.")
    if not why:
        raise Refused([Problem(where="choice", what="the reason is missing", do="Say why this one is right")])  # fmt: skip
    boats = [each for each in rivals if isinstance(each.body, Boat)]
    back = [each for each in rivals if isinstance(each.body, Withdrawal)]
    if isinstance(chosen.body, Withdrawal):
        withdraw(request, survey, boats, why)
        return see(f"/s/{survey.id}/boat")
    make = maker(request, survey.id)
    made = [make(Withdrawal(), (each.id,), why) for each in back]
    if len(boats) > 1:
        made.append(make(chosen.body, tuple(each.id for each in boats), why))
    keep_made(request, tuple(made))
    return see(f"/s/{survey.id}/boat")


def _page(
    request: Request,
    survey: Survey,
    sent: Filled[Boat],
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    made = {each.path: each for each in fields_of(Boat, sent.texts, sent.problems)}
    fitted, unknown = made["fitted"], made["fitted_unknown"]
    assert isinstance(fitted, FormField)
    assert isinstance(unknown, FormField)
    rivals = _rivals(survey)
    seen = _seen(request, sent.texts)
    return survey_page(
        request,
        survey,
        "boat",
        "boat.html",
        status=status,
        heading="Boat",
        groups=[
            Group(
                name=name,
                fields=tuple(_asked(made[each], seen) for each in names),
                drawn=name == _DRAWN_AFTER,
            )
            for name, names in GROUPS.items()
        ],
        fitted=fitted,
        unknown=unknown,
        nothing=(made["fitted_none"],),
        fittings=fittings_asked(),
        boat=survey.boat,
        of=filled_from(survey.of(Boat)),
        between=filled_from(rivals),
        why=sent.texts.get("why", ""),
        why_problem=sent.problems.get("why", ""),
        problems=problems,
        unanswered=unanswered(_called(survey)),
        rivals=_compared(rivals, request) if rivals else None,
        seen=seen,
        limits=_IDENTITY_LIMITS,
    )


def _asked(field: FormField | Rows, seen: Seen) -> FormField | Rows:
    """A particular, out of sight where it means nothing of her; what was stated stays, so that it can be taken back."""
    if isinstance(field, Rows):
        return field
    return replace(field, hidden=field.path in seen.needless and not field.value)


def _called(survey: Survey) -> tuple[Called, ...]:
    """The schedule; empty while the instruction names no visit."""
    try:
        return called_parts(survey)
    except ValueError:
        return ()


@cache
def fittings_asked() -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """The questions about what she has, in the order of the catalogue, under where one stands to ask them."""
    found: dict[str, list[tuple[str, str]]] = {}
    where = ""
    for slug, question in catalogue().vocabulary.fittings.items():
        where = _ASKED_FROM.get(slug, where)
        found.setdefault(where, []).append((slug, question))
    return tuple((where, tuple(questions)) for where, questions in found.items())


# What is typed, looked at


def _seen(request: Request, texts: Texts) -> Seen:
    boat, problems = _as_typed(request, texts)
    hull, lacking = _hull(boat)
    looked_at = fold([maker(request, survey_of(request).id)(boat, (), None)])
    read = read_identity(boat.identity_number) if boat.identity_number else None
    return Seen(
        views=(profile(hull, (), "starboard"), plan(hull, ()), sections(hull, ())) if hull else (),
        unread=problems,
        lacking=lacking,
        assumptions=hull.assumptions if hull else (),
        identity=read,
        odd=(*read.queries, *disagreements(read, boat)) if read else (),
        figures=tuple(
            Figure(
                result=each,
                value=measure(each.value, each.uncertainty, each.unit),
                method=METHODS[each.method],
            )
            for each in figures.results(looked_at)
        ),
        impossible=frozenset(catalogue().vocabulary.fittings).difference(possible_fittings(boat)),
        needless=needless_particulars(boat),
    )


def _hull(boat: Boat) -> tuple[Hull | None, str]:
    """The schematic hull, or what is lacking for it."""
    try:
        return hull_of(boat), ""
    except ValueError as problem:
        return None, str(problem)


def _as_typed(request: Request, texts: Texts) -> tuple[Boat, tuple[str, ...]]:
    """The boat that what can be read of a form makes, and what could not be read of her dimensions."""
    zone = desk_of(request).zone
    named = {**texts, "name": texts.get("name", "").strip() or _NAMELESS}
    read = filled(Boat, named, zone)
    if read.body is not None:
        return read.body, ()
    labels = {each.path: each.label for each in fields_of(Boat, {})}
    wrong = [
        f"{labels[path]}: {words}"
        for path, words in read.problems.items()
        if path in GROUPS["Dimensions"]
    ]
    rest = {path: text for path, text in named.items() if not _is_wrong(path, read.problems)}
    return filled(Boat, rest, zone).body or Boat(name=named["name"]), tuple(wrong)


def _is_wrong(path: str, problems: Texts) -> bool:
    return any(path == each or path.startswith(f"{each.rpartition('.')[0] or each}.") for each in problems)  # fmt: skip


# What stands, and what it is replaced by


def _numbers(before: tuple[Entry[Boat], ...]) -> dict[str, Any]:
    """The numbers of parts, which this form does not hold."""
    return {"numbers": dict(before[-1].body.numbers)} if before else {}


def _in_order(boat: Boat, before: Boat) -> Boat:
    """A boat whose lists keep the order they had, for ticks come in the order of the page."""

    def kept(now: tuple[Any, ...], then: tuple[Any, ...]) -> tuple[Any, ...]:
        return (*(e for e in then if e in now), *(e for e in now if e not in then))

    return replace(
        boat,
        deck=kept(boat.deck, before.deck),
        fitted=kept(boat.fitted, before.fitted),
        fitted_unknown=kept(boat.fitted_unknown, before.fitted_unknown),
    )


def _rivals(survey: Survey) -> tuple[Entry[Any], ...]:
    """The entries of the boat that stand side by side; none where there is nothing to choose."""
    return next(
        (
            each.between
            for each in survey.choices
            if any(isinstance(entry.body, Boat) for entry in each.between)
        ),
        (),
    )


def _compared(rivals: tuple[Entry[Any], ...], request: Request) -> Rivals:
    zone = desk_of(request).zone
    sides = tuple(
        Side(
            entry=each,
            facts=None
            if isinstance(each.body, Withdrawal)
            else {fact.label: fact.value for fact in facts_of(each, zone)},
        )
        for each in rivals
    )
    stated = [side.facts for side in sides if side.facts is not None]
    labels = dict.fromkeys(label for facts in stated for label in facts)
    return Rivals(
        sides=sides,
        differ=tuple(
            label for label in labels if len({facts.get(label, "") for facts in stated}) > 1
        ),
    )


ROUTES = (
    Route("/s/{survey}/boat", show),
    Route("/s/{survey}/boat", posted(in_turn(save)), methods=["POST"]),
    Route("/s/{survey}/boat/drawing", posted(draw), methods=["POST"]),
    Route("/s/{survey}/boat/settle", posted(settle), methods=["POST"]),
)
