"""Readings: the instruments with their checks, the sets and what they mean, one set on its map, one reading's story."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from garboard.catalogue.naming import capital, located
from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import Filled, filled, texts_of, whole_number
from garboard.desk.forms import Texts, fields_of
from garboard.desk.keep import FILLED_FROM, filled_from, keep, overtaken
from garboard.desk.meaning import (
    AIR,
    CHECKS,
    drawings_on,
    meaning_of,
    results_on,
    results_using,
    sets_of,
)
from garboard.desk.parts import part_choices
from garboard.desk.render import page, see, survey_page
from garboard.desk.rows import (
    COLUMNS,
    FIGURES,
    columns_used,
    described,
    parts_read,
    refused_in,
    rows_of,
)
from garboard.desk.worked import Worked, hull_for, worked
from garboard.drawings.hull import View
from garboard.drawings.panels import nearest_on
from garboard.drawings.sets import moisture_view, set_view
from garboard.judgement.story import Story, judged_beside_dry, story_of
from garboard.judgement.strays import stray
from garboard.methods.instrument import is_overdue
from garboard.methods.written import signed
from garboard.methods.zone import levels_words, shell_of
from garboard.notebook.body import Instrument, InstrumentCheck, Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.vet import needs_calibration

AT_ONCE = 300
"""So many readings are drawn while the page is made; more are fetched after it."""

_NONE: Texts = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class InUse:
    """An instrument with its checks; `entry` is None where sets name it and nobody described it.

    `overdue` are the sets read with it after its calibration was due; `is_overdue` says that it is so
    today of one that nothing was read with yet.
    """

    name: str
    entry: Entry[Instrument] | None
    checks: tuple[Entry[InstrumentCheck], ...]
    sets: int
    overdue: tuple[str, ...]
    is_overdue: bool

    @property
    def needs_calibration(self) -> bool:
        """Whether what it reads means something only by a calibration of the surveyor's own."""
        return self.entry is not None and needs_calibration(
            self.entry.body.quantity, self.entry.body.unit
        )

    @property
    def checked(self) -> str:
        """How it was checked, in words."""
        if any(not each.body.passed for each in self.checks):
            return "it failed a check"
        when = {each.body.when for each in self.checks}
        if not when:
            return "no check is recorded"
        if not self.sets:
            return "checked"
        missing = [each for each in ("before", "after") if each not in when]
        return (
            f"not checked {' or '.join(missing)} use" if missing else "checked before and after use"
        )

    @property
    def is_in_doubt(self) -> bool:
        """Whether something about it is to be said before its readings are relied on."""
        is_checked = self.checked.startswith("checked")
        return bool(self.overdue) or self.is_overdue or self.entry is None or not is_checked


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """What was read of one quantity."""

    name: str
    sets: tuple[Entry[ReadingSet], ...]


# All readings


def show(request: Request) -> Response:
    """The instruments, and the sets by what was read."""
    survey = survey_of(request)
    quantities = dict.fromkeys(
        each.body.quantity for each in sorted(survey.of(ReadingSet), key=survey.done_at)
    )
    return survey_page(
        request,
        survey,
        "readings",
        "readings.html",
        heading="Readings",
        section="readings",
        instruments=tuple(_instruments(survey, desk_of(request).now().date())),
        quantities=tuple(Quantity(name=each, sets=sets_of(survey, each)) for each in quantities),
        beside=(AIR, CHECKS),
        described=described,
    )


def meaning(request: Request) -> Response:
    """What the readings of one quantity mean so far, with the drawings of the report."""
    survey, matter = survey_of(request), request.path_params["matter"]
    of = worked(desk_of(request), survey)
    sets = sets_of(survey, matter)
    shown = {
        "matter": matter,
        "meaning": meaning_of(results_on(survey, of.results, matter)),
        "drawings": drawings_on(of, [each.id for each in sets]),
    }
    return _part_or_page(
        request, survey, "_meaning.html", f"What {_said_of(matter)} means so far", **shown
    )


def _said_of(matter: str) -> str:
    return matter if matter in (AIR, CHECKS) else f"the {matter} read"


def _instruments(survey: Survey, today: date) -> Iterator[InUse]:
    """Every instrument that is described or named by a set, in the order they came up."""
    described = {each.body.name: each for each in survey.of(Instrument)}
    sets = survey.of(ReadingSet)
    checks = sorted(survey.of(InstrumentCheck), key=survey.done_at)
    for name in dict.fromkeys((*described, *(each.body.instrument for each in sets))):
        entry = described.get(name)
        read = [each for each in sets if each.body.instrument == name]
        yield InUse(
            name=name,
            entry=entry,
            checks=tuple(each for each in checks if each.body.instrument == name),
            sets=len(read),
            overdue=tuple(
                each.body.name
                for each in read
                if entry and is_overdue(entry.body, survey.done_at(each).date())
            ),
            is_overdue=entry is not None and not read and is_overdue(entry.body, today),
        )


# One set


def one(request: Request) -> Response:
    """One set: its table, its map, its dry reference."""
    survey, entry = _set_of(request)
    if entry.id != request.path_params["entry"]:
        return see(f"/s/{survey.id}/readings/{entry.id}")
    of = worked(desk_of(request), survey)
    is_whole = len(entry.body.readings) <= AT_ONCE or of.has(f"map {entry.id}") or "whole" in request.query_params  # fmt: skip
    return _set_page(request, survey, entry, _shown(of, entry) if is_whole else {})


def shown(request: Request) -> Response:
    """The map and the table of a set alone."""
    survey, entry = _set_of(request)
    of = worked(desk_of(request), survey)
    return page(request, "_set.html", **_shown(of, entry), **_about(request, survey, entry))


def made(request: Request) -> Response:
    """What was made of a set."""
    survey, entry = _set_of(request)
    of = worked(desk_of(request), survey)
    drawn = (
        each
        for each in drawings_on(of, [entry.id])
        if not each.label.startswith(("figure-moisture", "figure-strips"))
    )
    return _part_or_page(
        request,
        survey,
        "_meaning.html",
        f"What is made of: {entry.body.name}",
        matter=entry.body.quantity,
        meaning=meaning_of(results_using(of.results, [entry.id])),
        drawings=tuple(drawn),
    )


def pointed(request: Request) -> Response:
    """The story of the reading that lies under a point of the map."""
    survey, entry = _set_of(request)
    of = worked(desk_of(request), survey)
    at = _point(request.query_params.get("x", ""), request.query_params.get("y", ""))
    places = [each.place for each in entry.body.readings]
    number = nearest_on(hull_for(survey), places, at) if at and map_of(of, entry) else None
    if number is None:
        return HTMLResponse('<p class="quiet">No reading lies there.</p>')
    return page(request, "_story.html", is_beside=True, **_told(request, of, entry, number + 1))


def mark(request: Request, form: Texts) -> Response:
    """Keep which readings are the reference."""
    survey, entry = _set_of(request)
    marked = {whole_number(each) for each in form.get("reference", "").split("\n")}
    if late := overtaken(request, survey, form, [entry]):
        then = _filled_from(survey, form)
        meant = {_unmarked(each) for number, each in enumerate(then, 1) if number in marked}
        as_typed = [replace(e, reference=_unmarked(e) in meant) for e in entry.body.readings]
        shown = _shown(worked(desk_of(request), survey), entry)
        shown |= {"rows": rows_of(as_typed), "why": form.get("why", ""), "problems": late}
        return _set_page(request, survey, entry, shown, status=422)
    readings = tuple(
        replace(each, reference=number in marked)
        for number, each in enumerate(entry.body.readings, 1)
    )
    if readings == entry.body.readings:
        return see(f"/s/{survey.id}/readings/{entry.id}")
    why = form.get("why", "").strip() or "The reference was marked"
    return _corrected(request, survey, entry, readings, why)


def _shown(of: Worked, entry: Entry[ReadingSet]) -> dict[str, Any]:
    moisture = of.moisture_of(entry)
    return {
        "moisture": moisture,
        "view": map_of(of, entry),
        "columns": tuple(COLUMNS[each] for each in columns_used(entry.body.readings)),
        "at_right": FIGURES,
        "levels_words": levels_words,
        "rows": rows_of(entry.body.readings),
        "judged": [each.judged for each in moisture.readings] if moisture else [],
        "why": "",
        "problems": (),
    }


def map_of(of: Worked, entry: Entry[ReadingSet]) -> View | None:
    """A set on the hull; None where none of it has a place on the skin, or the boat cannot be drawn."""
    is_placed = any(
        each.place.station_m is not None and each.place.level_m is not None
        for each in entry.body.readings
    )
    if not is_placed:
        return None
    try:
        hull = hull_for(of.survey)
    except ValueError:
        return None
    moisture = of.moisture_of(entry)
    return of.once(
        f"map {entry.id}",
        lambda: moisture_view(hull, moisture) if moisture else set_view(hull, entry.body),
    )


def _about(request: Request, survey: Survey, entry: Entry[ReadingSet]) -> dict[str, Any]:
    return {
        "survey": survey,
        "entry": entry,
        "of": filled_from([entry]),
        "set": entry.body,
        "read_at": survey.done_at(entry),
        "zone": desk_of(request).zone,
    }


def _set_page(request: Request, survey: Survey, entry: Entry[ReadingSet], shown: dict[str, Any], status: int = 200) -> Response:  # fmt: skip
    about = _about(request, survey, entry)
    del about["survey"], about["zone"]
    return survey_page(
        request,
        survey,
        "readings",
        "reading_set.html",
        heading=entry.body.name,
        parts=parts_read(entry.body),
        status=status,
        section="set",
        is_whole=bool(shown),
        has_competitor=any(entry in each.between for each in survey.choices),
        **about,
        **shown,
    )


# One reading


def story(request: Request) -> Response:
    """The story of one reading, and the form to correct it."""
    survey, entry = _set_of(request)
    number = request.path_params["number"]
    if entry.id != request.path_params["entry"]:
        return see(f"/s/{survey.id}/readings/{entry.id}/{number}")
    return _story_page(request, survey, entry, number, None)


def correct(request: Request, form: Texts) -> Response:
    """Keep a correction of one reading, which is one of its set."""
    survey, entry = _set_of(request)
    number = request.path_params["number"]
    readings = entry.body.readings
    if late := overtaken(request, survey, form, [entry]):
        sent: Filled[Reading] = Filled(texts=form, body=None, problems=_NONE)
        number, moved = _found_again(_filled_from(survey, form), readings, number)
        return _story_page(request, survey, entry, number, sent, (*late, *moved))
    if not 1 <= number <= len(readings):
        raise HTTPException(404, "There is no such reading in this set.")
    why = form.get("why", "").strip()
    problems = {} if why else {"why": "Say why."}
    kept: tuple[Reading, ...]
    if form.get("act") == "leave out":
        kept = (*readings[: number - 1], *readings[number:])
        sent = Filled(texts=form, body=None, problems=_NONE)
    else:
        sent = filled(Reading, form, desk_of(request).zone)
        problems = {**sent.problems, **_off(survey, sent.body), **problems}
        kept = (*readings[: number - 1], *([sent.body] if sent.body else []), *readings[number:])
    if problems:
        return _story_page(request, survey, entry, number, replace(sent, problems=problems))
    try:
        return _corrected(request, survey, entry, kept, why, number if sent.body else None)
    except Refused as refused:
        by_field, others = _by_field(refused.problems, number)
        sent = replace(sent, problems=by_field)
        return _story_page(request, survey, entry, number, sent, others)


def _filled_from(survey: Survey, form: Texts) -> tuple[Reading, ...]:
    """The readings of the set as they stood when a form was filled from it."""
    then = survey.by_id.get(form.get(FILLED_FROM, ""))
    return then.body.readings if then and isinstance(then.body, ReadingSet) else ()


def _found_again(
    then: Sequence[Reading], now: Sequence[Reading], number: int
) -> tuple[int, tuple[Problem, ...]]:
    """The number that a reading of a set has now, and where it is there no more as it was, that this is so."""
    was = then[number - 1] if 0 < number <= len(then) else None
    same = [at for at, each in enumerate(now, 1) if each == was]
    if same:
        return min(same, key=lambda at: abs(at - number)), ()
    at = min(number, len(now))
    gone = Problem(
        where=f"reading {at}",
        what="the reading that you opened is not in the set any more as it was; the one that has this number now is shown",
        do="Make sure that it is the one you mean before you keep anything",
    )
    return at, (gone,)


def _unmarked(reading: Reading) -> Reading:
    """A reading without what is said of its being the reference."""
    return replace(reading, reference=False)


def _by_field(problems: Sequence[Problem], number: int) -> tuple[Texts, tuple[Problem, ...]]:
    """What the notebook says of one reading, by its fields, and of the rest of its set."""
    of_it: dict[str, str] = {}
    others = []
    for each in problems:
        of, field = refused_in(each)
        if of == number:
            of_it[field] = f"{capital(each.what)}. {each.do}."
        else:
            others.append(each)
    return of_it, tuple(others)


def _off(survey: Survey, reading: Reading | None) -> dict[str, str]:
    """What is wrong with the place of a reading that does not lie on the boat, by its field."""
    hull = shell_of(survey)
    off = stray(reading.place, hull) if reading and hull else None
    return {f"place.{off.field}": f"{capital(off.what)}. {off.do}."} if off else {}


def _story_page(
    request: Request,
    survey: Survey,
    entry: Entry[ReadingSet],
    number: int,
    sent: Filled[Reading] | None,
    problems: tuple[Problem, ...] = (),
) -> Response:
    of = worked(desk_of(request), survey)
    told = _told(request, of, entry, number)
    del told["survey"], told["zone"]
    reading = told["story"].reading
    texts = sent.texts if sent else texts_of(reading, desk_of(request).zone)
    return survey_page(
        request,
        survey,
        "readings",
        "reading.html",
        heading=f"{signed(reading.as_read)} {entry.body.unit}, reading {number}",
        status=422 if sent else 200,
        section="set",
        is_beside=False,
        of=filled_from([entry]),
        fields=fields_of(Reading, texts, sent.problems if sent else _NONE),
        is_wrong=sent is not None,
        why=texts.get("why", ""),
        why_problem=sent.problems.get("why", "") if sent else "",
        problems=problems,
        parts=part_choices(survey),
        **told,
    )


def _told(request: Request, of: Worked, entry: Entry[ReadingSet], number: int) -> dict[str, Any]:
    """What the story of a reading shows; its results only where they are worked out already."""
    results = of.results if of.has("results") or "whole" in request.query_params else ()
    moisture = of.moisture_of(entry)
    try:
        found = story_of(of.survey, entry, number, results, moisture)
    except ValueError as problem:
        raise HTTPException(404, str(problem)) from None
    return {
        "survey": of.survey,
        "zone": desk_of(request).zone,
        "story": found,
        "where": located(found.reading.place),
        "judged": judged_beside_dry(found.judged) if found.judged else "",
        "reference": moisture.reference if moisture else None,
        "departure": _departure(found),
        "meaning": meaning_of(found.results),
        "has_results": of.has("results"),
        "is_overdue": found.instrument is not None
        and is_overdue(found.instrument.body, found.read_at.date()),
        "first": of.survey.first(entry),
    }


def _departure(of: Story) -> str:
    if of.judged is None or of.judged.departure is None:
        return ""
    return signed(f"{of.judged.departure:.1f}")


# All of them


def _set_of(request: Request) -> tuple[Survey, Entry[ReadingSet]]:
    """The set that the address names, as it stands now."""
    survey = survey_of(request)
    found = [
        each
        for each in survey.current(request.path_params["entry"])
        if isinstance(each.body, ReadingSet)
    ]
    if not found:
        raise HTTPException(404, "There is no such set of readings in this survey, or it was taken back.")  # fmt: skip
    return survey, found[-1]


def _corrected(
    request: Request,
    survey: Survey,
    entry: Entry[ReadingSet],
    readings: tuple[Reading, ...],
    why: str,
    number: int | None = None,
) -> Response:
    (kept,) = keep(
        request, survey.id, replace(entry.body, readings=readings), replaces=(entry.id,), why=why
    )
    return see(f"/s/{survey.id}/readings/{kept.id}{f'/{number}' if number else ''}")


def _part_or_page(request: Request, survey: Survey, part: str, heading: str, **shown: Any) -> Response:  # fmt: skip
    """A part of a page for one that fetches it, else a page of its own."""
    if request.headers.get("hx-request"):
        return page(request, part, survey=survey, **shown)
    return survey_page(request, survey, "readings", "of_readings.html", heading=heading, section="readings", part=part, **shown)  # fmt: skip


def _point(x: str, y: str) -> tuple[float, float] | None:
    try:
        return float(x), float(y)
    except ValueError:
        return None


ROUTES = (
    Route("/s/{survey}/readings", show),
    Route("/s/{survey}/readings/meaning/{matter}", meaning),
    Route("/s/{survey}/readings/{entry}", one),
    Route("/s/{survey}/readings/{entry}/shown", shown),
    Route("/s/{survey}/readings/{entry}/made", made),
    Route("/s/{survey}/readings/{entry}/pointed", pointed),
    Route("/s/{survey}/readings/{entry}/references", posted(mark), methods=["POST"]),
    Route("/s/{survey}/readings/{entry}/{number:int}", story),
    Route("/s/{survey}/readings/{entry}/{number:int}", posted(correct), methods=["POST"]),
)
