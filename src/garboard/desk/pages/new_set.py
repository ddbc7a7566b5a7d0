"""A new set of readings from a table: pasted, typed or dropped, looked at whole before anything is kept."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta, tzinfo
from types import MappingProxyType
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.naming import capital, located, part_id
from garboard.catalogue.parts import catalogue
from garboard.desk.asked import texts_in
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import filled, texts_of
from garboard.desk.forms import Field, Rows, Texts, fields_of
from garboard.desk.keep import (
    FILLED_FROM,
    filled_from,
    in_turn,
    keep_made,
    known_words,
    maker,
    overtaken,
)
from garboard.desk.notes import carried, say
from garboard.desk.parts import part_choices, part_name
from garboard.desk.refusals import in_words
from garboard.desk.render import see, survey_page
from garboard.desk.rows import COLUMNS, FIGURES, columns_used, rows_of
from garboard.desk.zones import moment_typed
from garboard.dossier.envelope import clock_of
from garboard.dossier.pages import read_set_head, write_reading_set
from garboard.dossier.pasted import Given, Pasted, pasted, row_of
from garboard.dossier.table import columns_of, decode
from garboard.judgement.strays import stray
from garboard.methods.instrument import stated
from garboard.methods.zone import shell_of
from garboard.notebook.body import Conditions, Instrument, Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused, nearest
from garboard.notebook.shape import write
from garboard.notebook.vet import units_of, vet

MOST_BYTES = 8 * 2**20
"""The largest table that is taken."""

# Within this time nobody reads a whole set anew and finds the same.
_NOT_TWICE = timedelta(minutes=1)
_NONE: Texts = MappingProxyType({})
# In the order in which they are asked for; the instrument first, for it settles most of the others.
_SETTINGS = (
    "instrument", "quantity", "unit", "scale", "mode", "electrode", "name", "calibration",
    "spacing_m", "through_coating", "notes",
)  # fmt: skip
_FIRST = 7
_FIXED = ("quantity", "unit", "instrument", "scale", "mode", "electrode")


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """A table with its settings as it was looked at.

    `set` is what would be kept, None where something is wrong; `problems` say what, `by_field` those of the
    settings; `doubts` are rows that may be kept and should be looked at; `settings` as they came together.
    """

    settings: Texts
    table: Pasted
    set: ReadingSet | None
    read_at: datetime
    problems: tuple[Problem, ...]
    by_field: Texts
    doubts: tuple[str, ...]


def show(request: Request) -> Response:
    """The form, empty or filled from the set that it is to correct."""
    survey = survey_of(request)
    corrects = _corrected_set(survey, request.query_params.get("corrects", ""))
    texts = {key: each for key, each in request.query_params.items() if key in (*_SETTINGS, "part", "side")}  # fmt: skip
    if corrects:
        texts = _texts_of(corrects.body, request)
    return _page(request, survey, corrects, texts, None)


def looked_at(request: Request, form: Texts) -> Response:
    """Look at a table, or keep it where nothing is wrong with it."""
    survey = survey_of(request)
    corrects = _corrected_set(survey, form.get("corrects", ""))
    looked = _look(request, survey, form, corrects)
    if corrects and (late := overtaken(request, survey, form, [corrects])):
        problems = (*late, *_meanwhile(survey, form, corrects), *looked.problems)
        looked = replace(looked, set=None, problems=problems)
    if looked.set is None:
        return _page(request, survey, corrects, form, looked, status=422)
    if form.get("act") not in ("keep", "begin"):
        return _page(request, survey, corrects, form, looked)
    why = form.get("why", "").strip()
    if corrects and not why:
        by_field = {**looked.by_field, "why": "Say why it is corrected."}
        return _page(
            request, survey, corrects, form, replace(looked, by_field=by_field), status=422
        )
    try:
        entry = in_turn(_kept)(request, looked, corrects, why)
    except Refused as refused:
        return _page(request, survey, corrects, form, replace(looked, problems=refused.problems), status=422)  # fmt: skip
    if form.get("act") == "begin":
        return see(f"/s/{survey.id}/placing?of={entry.id}")
    return see(f"/s/{survey.id}/readings/{entry.id}")


def _kept(
    request: Request, looked: Looked, corrects: Entry[ReadingSet] | None, why: str
) -> Entry[ReadingSet]:
    """The set as it was kept now, or as it is here already: readings sent twice were read once."""
    survey = survey_of(request)
    if corrects:
        entry = maker(request, survey.id)(looked.set, (corrects.id,), why)
    else:
        for each in survey.of(ReadingSet):
            is_same_time = abs(survey.done_at(each) - looked.read_at) < _NOT_TWICE
            if each.body == looked.set and is_same_time:
                say(request, "This set is here already, so nothing was written.")
                return each
        entry = maker(request, survey.id, looked.read_at)(looked.set, (), None)
    keep_made(request, (entry,))
    return entry


async def _sent(request: Request) -> Response:
    """The form with the table of its file, where one was chosen."""
    problems: list[Problem] = []
    async with request.form(max_files=1, max_part_size=MOST_BYTES) as form:
        texts = dict(texts_in(form))
        file = form.get("file")
        if isinstance(file, UploadFile) and file.filename:
            raw = await file.read(MOST_BYTES + 1)
            if len(raw) > MOST_BYTES:
                raise HTTPException(413, "That file is too large for a table of readings.")
            texts["table"] = decode(raw, file.filename, problems)
            texts["name"] = texts.get("name") or file.filename.rpartition(".")[0]
    if problems:
        raise Refused(problems)
    return carried(request, await run_in_threadpool(looked_at, request, texts))


# Looking


def _look(
    request: Request, survey: Survey, form: Texts, corrects: Entry[ReadingSet] | None
) -> Looked:
    desk = desk_of(request)
    typed = {each: form.get(each, "").strip() for each in _SETTINGS}
    # A box left empty leaves it to the table.
    typed["through_coating"] = "yes" if "yes" in typed["through_coating"].split("\n") else ""
    given = Given(
        quantity=typed["quantity"],
        unit=typed["unit"],
        part=part_id(form.get("part", "").strip()),
        side=form.get("side", ""),
        leave_out=tuple(filter(None, form.get("leave_out", "").split("\n"))),
    )
    # What the instrument reads is known before the table is.
    instrument = stated(survey, typed["instrument"])
    if instrument:
        given = replace(
            given,
            quantity=given.quantity or instrument.body.quantity,
            unit=given.unit or instrument.body.unit,
        )
    if form.get("act") == "begin":
        # Its readings are placed on the hull afterwards.
        table = Pasted(head=read_set_head(""), rows=(), problems=())
    else:
        table = pasted(form.get("table", ""), given, catalogue().parts)
    settings = _settings(typed, table, instrument.body if instrument else None)
    problems = [*_of_head(typed, table), *table.problems, *_strays(survey, table)]
    read_at = desk.now() if corrects is None else survey.done_at(corrects)
    if corrects is None:
        try:
            told = form.get("read_at", "") or table.head.stated.get("at", "")
            read_at = _moment(told, survey, read_at, desk.zone)
        except ValueError as problem:
            problems.append(Problem(where="when it was read", what=str(problem), do="Write it as 2026-05-12 10:57, or as 10:57"))  # fmt: skip
    readings = [write(each) for _, each in table.rows]
    whole = filled(ReadingSet, settings, desk.zone, {"readings": readings})
    if whole.body:
        problems += _vetted(request, survey, whole.body, read_at, table)
    return Looked(
        settings=settings,
        table=table,
        set=None if problems else whole.body,
        read_at=read_at,
        problems=tuple(problems),
        by_field={
            **_beside_fields(problems),
            **whole.problems,
            **_to_be_said(survey, settings, whole.problems),
        },
        doubts=(*_undescribed(survey, settings), *_doubts(table)),
    )


def _to_be_said(survey: Survey, settings: Texts, problems: Texts) -> Texts:
    """What must be said in the form, as there is no instrument from which it is known."""
    if stated(survey, settings["instrument"]):
        return _NONE
    words = "Say it here: this instrument is not described in the survey, and the table does not say it."
    missing = [each for each in ("quantity", "unit") if not settings[each] and each in problems]
    return dict.fromkeys(missing, words if settings["instrument"] else "Say it here, or choose an instrument that is described.")  # fmt: skip


def _undescribed(survey: Survey, settings: Texts) -> Iterator[str]:
    """That the instrument of a set is not described yet, which the report will wait for."""
    name = settings["instrument"]
    if name and not stated(survey, name):
        yield f"No instrument called “{name}” is described in this survey: describe it on the page of instruments by this very name, for the report waits for that."  # fmt: skip


def _settings(typed: Texts, table: Pasted, instrument: Instrument | None) -> dict[str, str]:
    """What was typed, else what the head of the table says, else what the instrument reads."""
    known = {}
    if instrument:
        known = {"quantity": instrument.quantity, "unit": instrument.unit, "scale": instrument.scale}  # fmt: skip
    return {
        each: typed[each] or str(table.head.settings.get(each, "")) or known.get(each, "")
        for each in _SETTINGS
    }


def _of_head(typed: Texts, table: Pasted) -> Iterator[Problem]:
    """Where the head of a table is not understood, or says something else than the form."""
    for key, value in table.head.settings.items():
        if key not in _SETTINGS:
            yield Problem(
                where=f"# {key}",
                what="no set of readings has this",
                do=nearest(key, _SETTINGS, "Take the line out, or put it into the notes"),
            )
        elif key in _FIXED and typed[key] and typed[key].casefold() != str(value).casefold():
            yield Problem(
                where=f"# {key}",
                what=f'the table says "{value}" and the form "{typed[key]}"',
                do="Correct one of the two",
            )


def _vetted(
    request: Request, survey: Survey, body: ReadingSet, read_at: datetime, table: Pasted
) -> Iterator[Problem]:
    """What shows only when a set is looked at whole, each by its row."""
    entry = maker(request, survey.id, read_at)(body, (), None)
    found = vet(
        [entry], known=known_words(), now=desk_of(request).now(), where={entry.id: entry.id}
    )
    for _, each in in_words(found.problems, [entry]):
        where = each.field or "the set"
        if each.reading:
            row, _ = table.rows[each.reading - 1]
            named = "reading" if each.field == "as_read" else each.where.rpartition(", ")[2]
            where = f"row {row}, {named}"
        yield Problem(where=where, what=each.what, do=each.do)


def _beside_fields(problems: Sequence[Problem]) -> Texts:
    """Those problems of the whole that belong to one setting, by its name."""
    return {
        each.where: f"{capital(each.what)}. {each.do}."
        for each in problems
        if each.where in _SETTINGS
    }


def _meanwhile(survey: Survey, form: Texts, corrects: Entry[ReadingSet]) -> Iterator[Problem]:
    """The readings by which a set differs now from what a table was filled from."""
    was = survey.by_id.get(form.get(FILLED_FROM, ""))
    then = was.body.readings if was and isinstance(was.body, ReadingSet) else ()
    now = corrects.body.readings
    for number, each in enumerate(now, 1):
        if each not in then:
            yield Problem(
                where=f"reading {number} of the set as it stands",
                what=f"{each.as_read} at {located(each.place)} was written meanwhile",
                do="Put it into your table too if it is to stay",
            )
    for number, each in enumerate(then, 1):
        if each not in now:
            yield Problem(
                where=f"reading {number} of the set as it was",
                what=f"{each.as_read} at {located(each.place)} was corrected or left out meanwhile",
                do="Take it out of your table too if that was right",
            )


def _strays(survey: Survey, table: Pasted) -> Iterator[Problem]:
    """Rows that do not lie on the boat."""
    hull = shell_of(survey)
    for row, each in table.rows:
        off = stray(each.place, hull) if hull else None
        if off:
            where = f"row {row}, {'station' if off.field == 'station_m' else 'level'}"
            yield Problem(where=where, what=off.what, do=off.do)


def _doubts(table: Pasted) -> Iterator[str]:
    """Rows that lie twice at one place: allowed, and seldom meant."""
    seen: dict[Any, int] = {}
    for row, each in table.rows:
        place = each.place
        if place.station_m is None:
            continue
        if (place, each.to) in seen:
            yield f"Row {row}: at the same place as row {seen[place, each.to]}, {located(place)}."
        seen.setdefault((place, each.to), row)


def _moment(text: str, survey: Survey, now: datetime, zone: tzinfo) -> datetime:
    """When a set was read: a moment, or a time of day on the day of the last visit; now where nothing is said.

    Raises:
        ValueError: It is neither.
    """
    text = text.strip()
    if not text:
        return now
    clock = clock_of(text)
    if clock is None:
        return moment_typed(text, zone)
    day = (
        max((each.began for each in survey.bodies(Conditions)), default=now).astimezone(zone).date()
    )
    return moment_typed(f"{day}T{clock}", zone)


# The page


def _page(
    request: Request,
    survey: Survey,
    corrects: Entry[ReadingSet] | None,
    texts: Texts,
    looked: Looked | None,
    status: int = 200,
) -> Response:
    readings = [each for _, each in looked.table.rows] if looked else []
    by_field = looked.by_field if looked else _NONE
    fields = _fields(survey, looked.settings if looked else texts, by_field)
    return survey_page(
        request,
        survey,
        "readings",
        "new_set.html",
        status=status,
        heading=f"Correct: {corrects.body.name}" if corrects else "A new set of readings",
        section="new set",
        corrects=corrects,
        of=filled_from([corrects] if corrects else []),
        texts={**texts, "part": part_name(texts.get("part", ""))},
        fields=fields[:_FIRST],
        more=fields[_FIRST:],
        has_more=any(each.problem or each.value not in ("", "no") for each in fields[_FIRST:] if isinstance(each, Field)),
        looked=looked,
        columns=tuple(COLUMNS[each] for each in columns_used(readings)),
        at_right=FIGURES,
        rows=rows_of(readings),
        references=sum(each.reference for each in readings),
        headings=tuple(map(_in_words, columns_of(Reading))),
        bad_rows=sorted({row for each in looked.problems if (row := row_of(each))}) if looked else [],
        parts=part_choices(survey),
    )  # fmt: skip


def _fields(survey: Survey, texts: Texts, problems: Texts) -> tuple[Field | Rows, ...]:
    """The settings, the instruments of this survey to choose from."""
    names = [each.name for each in survey.bodies(Instrument)]
    found = []
    made = fields_of(ReadingSet, texts, problems, leave_out=("readings",))
    for each in sorted(made, key=lambda field: _SETTINGS.index(field.path)):
        if isinstance(each, Field) and each.path == "instrument" and names:
            offered = dict.fromkeys((*names, *filter(None, [each.value])))
            each = replace(each, kind="choice", choices=tuple((name, name) for name in offered))
        elif isinstance(each, Field) and each.path == "unit" and texts.get("quantity"):
            units = dict.fromkeys((*units_of(texts["quantity"]), *filter(None, [each.value])))
            each = replace(each, kind="choice", choices=tuple((unit, unit) for unit in units))
        if isinstance(each, Field) and each.path in ("quantity", "unit", "scale"):
            known = (
                "as the instrument reads, or as the table says" if names else "as the table says"
            )
            each = replace(each, needed=False, hint=f"Empty: {known}")
        found.append(each)
    return tuple(found)


def _texts_of(body: ReadingSet, request: Request) -> dict[str, str]:
    """A set as the texts of its form, its readings as a table."""
    texts = texts_of(replace(body, readings=()), desk_of(request).zone)
    named = (
        replace(each, place=replace(each.place, part=part_name(each.place.part)))
        for each in body.readings
    )
    rows = {"readings": [write(each) for each in named]}
    table = write_reading_set(rows, {}, tuple(columns_of(Reading))).lstrip("\n")
    headings, _, values = table.partition("\n")
    return {**texts, "table": f"{_in_words(headings)}\n{values}"}


def _in_words(headings: str) -> str:
    """Headings of a table as people write them, which are read as well as a program's own."""
    return headings.replace("_", " ")


def _corrected_set(survey: Survey, id_: str) -> Entry[ReadingSet] | None:
    """The set that is to be corrected, as it stands; None where none is named."""
    if not id_:
        return None
    found = [each for each in survey.current(id_) if isinstance(each.body, ReadingSet)]
    if not found:
        raise HTTPException(404, "There is no such set of readings in this survey, or it was taken back.")  # fmt: skip
    return found[-1]


ROUTES = (
    Route("/s/{survey}/readings/new", show),
    Route("/s/{survey}/readings/new", _sent, methods=["POST"]),
)
