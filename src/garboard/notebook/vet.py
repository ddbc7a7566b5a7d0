"""What only shows when entries are looked at together: parts, other surveys, the clock, ids used twice.

An entry that fails is refused whole and named; its neighbours are kept.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from types import MappingProxyType
from typing import Any

from garboard.notebook.body import (
    Answer,
    Boat,
    Comparable,
    Conditions,
    Consent,
    Cost,
    Examination,
    Finding,
    Instruction,
    Instrument,
    Limitation,
    Memo,
    Observation,
    Photo,
    Place,
    ReadingSet,
    Recording,
    Remark,
    Sounding,
    Terms,
    Told,
    Value,
    Withdrawal,
)
from garboard.notebook.entry import Entry, to_line
from garboard.notebook.problem import Problem, nearest

_DECIMAL = re.compile(r"[+-]?\d{1,9}(\.\d{1,9})?")

# A clock may be wrong by hours, never by days.
_CLOCK_SLACK = timedelta(days=1)
_MOST_OF_A_PART = 400
# A share of the picture's width or height.
_LEAST_CROP = 0.02

# What an instrument can show, by quantity and unit.
_SHOWN: Mapping[tuple[str, str], tuple[float, float]] = MappingProxyType(
    {
        ("moisture", "scale"): (0, 1000),
        ("moisture", "%"): (0, 200),
        ("thickness", "mm"): (0, 500),
        ("pit depth", "mm"): (0, 100),
        ("potential", "mV"): (-3000, 3000),
        ("resistance", "ohm"): (0, 1e9),
        ("mass", "kg"): (0, 10_000),
        ("anode loss", "%"): (0, 100),
        ("temperature", "°C"): (-60, 1200),
        ("voltage", "V"): (-1000, 1000),
        ("current", "A"): (-10_000, 10_000),
        ("gap", "mm"): (0, 1000),
        ("play", "mm"): (0, 1000),
        ("hardness", "scale"): (0, 1000),
        ("length", "m"): (0, 200),
        ("diameter", "mm"): (0, 5000),
        ("pitch", "mm"): (0, 10_000),
        ("run-out", "mm"): (0, 100),
        ("angle", "deg"): (-360, 360),
        ("revolutions", "rpm"): (0, 20_000),
        ("speed", "kn"): (0, 100),
        ("pressure", "bar"): (-1, 500),
        ("flow", "l/min"): (0, 100_000),
        ("area", "cm²"): (0, 1_000_000),
        ("time", "s"): (0, 1_000_000),
        ("frequency", "Hz"): (0, 1_000_000),
        ("capacity", "Ah"): (0, 100_000),
        ("concentration", "ppm"): (0, 1_000_000),
        ("viscosity", "mm²/s"): (0, 100_000),
        ("film thickness", "µm"): (0, 20_000),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """The words that exist: parts by id, ways of examining, reasons for a limitation, fittings."""

    parts: Collection[str]
    how: Collection[str] = ()
    reasons: Collection[str] = ()
    fittings: Collection[str] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Vetted:
    """Entries that may enter the notebook, and what is wrong with the others."""

    accepted: tuple[Entry[Any], ...]
    problems: tuple[Problem, ...]


def vet(
    entries: Iterable[Entry[Any]],
    *,
    known: Known,
    now: datetime,
    held: Iterable[Entry[Any]] = (),
    where: Mapping[str, str] = MappingProxyType({}),
) -> Vetted:
    """Sort entries into those that make sense and those that do not.

    Args:
        entries: To be judged.
        known: The words that exist.
        now: The time of judging; aware.
        held: Entries already in the notebook.
        where: By entry id, what to call its place in messages; else its kind and id are named.
    """
    there = {entry.id: entry for entry in held}
    accepted: list[Entry[Any]] = []
    problems: list[Problem] = []
    everything = list(entries)
    others = {entry.id: entry for entry in (*everything, *there.values())}
    for entry in everything:
        place = where.get(entry.id, f"{entry.kind} {entry.id}")
        found = [
            *_clash(entry, there.get(entry.id), place),
            *_foreign(entry, others, place),
            *_future(entry, now, place),
            *_words(entry.body, known, place),
            *_figures(entry, place),
            *_value(entry.body, place),
            *_edits(entry.body, place),
        ]
        problems += found
        if not found:
            there[entry.id] = entry
            accepted.append(entry)
    return Vetted(accepted=tuple(accepted), problems=tuple(problems))


def units_of(quantity: str) -> tuple[str, ...]:
    """The units that a quantity is given in."""
    return tuple(unit for of, unit in _SHOWN if of == quantity)


def limits_of(quantity: str, unit: str) -> tuple[float, float] | None:
    """The least and the most that an instrument can show; None for a unit that the quantity is not given in."""
    return _SHOWN.get((quantity, unit))


def needs_calibration(quantity: str, unit: str) -> bool:
    """Whether readings mean something only by a calibration of the surveyor's own."""
    return quantity == "moisture" and unit == "%"


def places_of(body: Any) -> tuple[Place, ...]:
    """The places a body speaks of."""
    match body:
        case Examination() | Limitation() | Sounding() | Observation():
            return (body.place,)
        case Photo():
            return (body.place,) if body.place else ()
        case ReadingSet():
            return tuple(reading.place for reading in body.readings)
        case Finding():
            return body.places
        case _:
            return ()


def _clash(entry: Entry[Any], other: Entry[Any] | None, place: str) -> Iterator[Problem]:
    if other is not None and to_line(other) != to_line(entry):
        yield Problem(
            where=place,
            what=f"the id {entry.id} is already taken by another {other.kind}",
            do="Give the new one an id of its own",
        )


def _foreign(entry: Entry[Any], others: Mapping[str, Entry[Any]], place: str) -> Iterator[Problem]:
    for each in entry.replaces:
        other = others.get(each)
        if each == entry.id:
            yield Problem(
                where=place, what="an entry cannot replace itself", do="Write a new entry"
            )
        elif other is not None and other.survey != entry.survey:
            yield Problem(
                where=place,
                what=f"it replaces {each}, which belongs to another survey",
                do="Correct or withdraw it in its own survey",
            )
        elif isinstance(entry.body, Withdrawal) and other is not None and other.kind == "issue":
            yield Problem(
                where=place,
                what="a report that was issued is not taken back",
                do="Write an amendment, and issue the next version",
            )
        elif other is not None and entry.kind not in (other.kind, "withdrawal"):
            yield Problem(
                where=place,
                what=f"a {entry.kind} cannot replace a {other.kind}",
                do=f"Withdraw the {other.kind}, and write the {entry.kind} beside it",
            )


def _future(entry: Entry[Any], now: datetime, place: str) -> Iterator[Problem]:
    latest = now + _CLOCK_SLACK
    for name, each in (("", entry.at), *_moments(entry.body)):
        is_later = each > latest if isinstance(each, datetime) else each is not None and each > latest.date()  # fmt: skip
        if each is not None and is_later:
            yield Problem(
                where=f"{place} {name}".strip(),
                what=f"{each.isoformat()} lies in the future",
                do="Correct the date, or the clock of the device",
            )
    body = entry.body
    if isinstance(body, Conditions) and body.ended and body.ended < body.began:
        yield Problem(
            where=f"{place} ended",
            what="the survey ends before it begins",
            do="Correct one of the two times",
        )
    if isinstance(body, Conditions) and body.lifted and body.lifted > body.began and body.lying != "afloat":  # fmt: skip
        yield Problem(
            where=f"{place} lifted",
            what="she was lifted after the survey began, yet lay ashore",
            do="Correct one of the two times",
        )


def _moments(body: Any) -> tuple[tuple[str, date | datetime | None], ...]:
    """The times a body states of what has happened, by their fields."""
    match body:
        case Conditions():
            return (("began", body.began), ("ended", body.ended), ("lifted", body.lifted))
        case Photo():
            return (("taken", body.taken),)
        case Consent() | Cost() | Comparable() | Value():
            return (("on", body.on),)
        case Terms():
            return (("accepted_on", body.accepted_on),)
        case Instrument():
            return (("calibrated_on", body.calibrated_on),)
        case Instruction():
            return (("dated", body.dated),)
        case _:
            return ()


def _words(body: Any, known: Known, place: str) -> Iterator[Problem]:
    """Words that no vocabulary holds; a vocabulary that is empty was not given and is not asked."""
    stated: list[tuple[str, Iterable[str], Collection[str]]] = [
        ("part", _parts_of(body), known.parts)
    ]
    match body:
        case Examination():
            stated.append(("how", body.how, known.how))
        case Limitation():
            stated += [("how", body.how, known.how), ("reasons", body.reasons, known.reasons)]
        case Instruction():
            stated.append(("asked_parts", body.asked_parts, known.parts))
            if not body.visits:
                yield Problem(
                    where=f"{place} visits",
                    what="no visit is stated",
                    do="Write ashore, afloat or trial",
                )
        case Boat():
            stated += [
                ("fitted", body.fitted, known.fittings),
                ("fitted_unknown", body.fitted_unknown, known.fittings),
                ("numbers", body.numbers, known.parts),
            ]
            yield from _fittings(body, place)
            for part, number in body.numbers.items():
                if not 0 <= number <= _MOST_OF_A_PART:
                    yield Problem(
                        where=f"{place} numbers {part}",
                        what=f"{number} cannot be",
                        do=f"Give a number from 0 to {_MOST_OF_A_PART}",
                    )
    for name, words, vocabulary in stated:
        for unknown in dict.fromkeys(
            word for word in words if vocabulary and word not in vocabulary
        ):
            what = f'there is no part "{unknown}"' if vocabulary is known.parts else f'"{unknown}" is no word for it'  # fmt: skip
            yield Problem(
                where=f"{place} {name}",
                what=what,
                do=nearest(
                    unknown,
                    vocabulary,
                    "Use an id of the catalogue" if vocabulary is known.parts else "",
                ),
            )


def _parts_of(body: Any) -> tuple[str, ...]:
    """The parts a body names, also where it says nothing of them that a reader sees."""
    match body:
        case Memo() | Recording() | Remark():
            return (body.place.part,) if body.place else ()
        case Told():
            return body.about
        case _:
            return tuple(each.part for each in places_of(body))


def _fittings(body: Boat, place: str) -> Iterator[Problem]:
    for both in sorted({*body.fitted} & {*body.fitted_unknown}):
        yield Problem(
            where=f"{place} fitted_unknown",
            what=f'she has "{both}" and nobody knows whether she has it',
            do="Leave it on one of the two lists",
        )
    if body.fitted_none and (body.fitted or body.fitted_unknown):
        yield Problem(
            where=f"{place} fitted_none",
            what="she has nothing, and something is listed",
            do="Leave this out, or empty the lists of what she has and of what is not known",
        )


def _value(body: Any, place: str) -> Iterator[Problem]:
    if isinstance(body, Answer) and not re.search(r"\w{2}", body.words):
        yield Problem(
            where=f"{place} words", what="an answer needs words", do="Say why the gap may stay open"
        )
    if isinstance(body, Value) and not body.low_minor <= body.point_minor <= body.high_minor:
        yield Problem(
            where=f"{place} point",
            what="the opinion does not lie within its own range",
            do="Correct the range or the opinion",
        )
    if isinstance(body, Cost) and body.low_minor > body.high_minor:
        yield Problem(
            where=f"{place} low",
            what="the band begins above its end",
            do="Exchange the two figures",
        )


def _edits(body: Any, place: str) -> Iterator[Problem]:
    """A crop that shows nothing, or a mark that marks nothing."""
    if not isinstance(body, Photo):
        return
    crop = body.crop
    if crop and not (
        crop.right - crop.left >= _LEAST_CROP and crop.bottom - crop.top >= _LEAST_CROP
    ):
        yield Problem(
            where=f"{place} crop",
            what="less than a fiftieth of the picture would be left",
            do="Give left and right, top and bottom further apart, or leave it whole",
        )
    for number, mark in enumerate(body.marks, 1):
        if (mark.from_x, mark.from_y) == (mark.to_x, mark.to_y):
            yield Problem(
                where=f"{place} mark {number}",
                what=f"the {mark.sort} begins and ends at one point",
                do="Give its two ends, or take it out",
            )


def _figures(entry: Entry[Any], place: str) -> Iterator[Problem]:
    body = entry.body
    if isinstance(body, Limitation) and not body.reasons:
        yield Problem(
            where=f"{place} reasons",
            what="a limitation needs a reason",
            do="Say what was in the way",
        )
    if not isinstance(body, ReadingSet):
        return
    if needs_calibration(body.quantity, body.unit) and not body.calibration:
        yield Problem(
            where=f"{place} calibration",
            what="a moisture meter compares; it does not read per cent water without a calibration of your own",
            do='Use the unit "scale", or say by which calibration of your own',
        )
    limits = limits_of(body.quantity, body.unit)
    if limits is None:
        units = ", ".join(units_of(body.quantity))
        yield Problem(
            where=f"{place} unit",
            what=f'{body.quantity} is not given in "{body.unit}"',
            do=f"Use {units}",
        )
        return
    for index, reading in enumerate(body.readings, 1):
        for name, text in (("as_read", reading.as_read), ("original", reading.original)):
            if not text and name == "original":
                continue
            if not _DECIMAL.fullmatch(text):
                yield Problem(
                    where=f"{place} reading {index} {name}",
                    what=f'"{text}" is not a number',
                    do="Leave the row out and add a limitation",
                )
            elif not limits[0] <= float(text) <= limits[1]:
                yield Problem(
                    where=f"{place} reading {index} {name}",
                    what=f"{text} {body.unit} cannot be",
                    do=f"Give a value from {limits[0]:g} to {limits[1]:g} {body.unit}, or leave the row out",
                )
