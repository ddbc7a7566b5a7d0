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
    Conditions,
    Examination,
    Finding,
    Limitation,
    Observation,
    Photo,
    Place,
    ReadingSet,
    Sounding,
)
from garboard.notebook.entry import Entry, to_line
from garboard.notebook.problem import Problem, nearest

_DECIMAL = re.compile(r"[+-]?\d{1,9}(\.\d{1,9})?")

# A clock may be wrong by hours, never by days.
_CLOCK_SLACK = timedelta(days=1)

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
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Vetted:
    """Entries that may enter the notebook, and what is wrong with the others."""

    accepted: tuple[Entry[Any], ...]
    problems: tuple[Problem, ...]


def vet(
    entries: Iterable[Entry[Any]],
    *,
    parts: Collection[str],
    now: datetime,
    held: Iterable[Entry[Any]] = (),
    where: Mapping[str, str] = MappingProxyType({}),
) -> Vetted:
    """Sort entries into those that make sense and those that do not.

    Args:
        entries: To be judged.
        parts: The ids of parts that exist.
        now: The time of judging; aware.
        held: Entries already in the notebook.
        where: By entry id, what to call its place in messages; else its kind and id are named.
    """
    known = {entry.id: entry for entry in held}
    accepted: list[Entry[Any]] = []
    problems: list[Problem] = []
    everything = list(entries)
    surveys = {entry.id: entry.survey for entry in (*known.values(), *everything)}
    for entry in everything:
        place = where.get(entry.id, f"{entry.kind} {entry.id}")
        found = [
            *_clash(entry, known.get(entry.id), place),
            *_foreign(entry, surveys, place),
            *_future(entry, now, place),
            *_parts(entry, parts, place),
            *_figures(entry, place),
        ]
        problems += found
        if not found:
            known[entry.id] = entry
            accepted.append(entry)
    return Vetted(accepted=tuple(accepted), problems=tuple(problems))


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


def _foreign(entry: Entry[Any], surveys: Mapping[str, str], place: str) -> Iterator[Problem]:
    for each in entry.replaces:
        if surveys.get(each, entry.survey) != entry.survey:
            yield Problem(
                where=place,
                what=f"it replaces {each}, which belongs to another survey",
                do="Correct or withdraw it in its own survey",
            )


def _future(entry: Entry[Any], now: datetime, place: str) -> Iterator[Problem]:
    if entry.at > now + _CLOCK_SLACK:
        yield Problem(
            where=place,
            what=f"its time, {entry.at.isoformat()}, lies in the future",
            do="Correct the date, or the clock of the device",
        )
    body = entry.body
    stated: tuple[tuple[str, date | datetime | None], ...] = ()
    match body:
        case Conditions():
            stated = (("began", body.began), ("ended", body.ended), ("lifted", body.lifted))
        case Photo():
            stated = (("taken", body.taken),)
    for name, each in stated:
        if isinstance(each, datetime) and each > now + _CLOCK_SLACK:
            yield Problem(
                where=f"{place} {name}",
                what=f"{each.isoformat()} lies in the future",
                do="Correct the date, or the clock of the device",
            )
    if isinstance(body, Conditions) and body.ended and body.ended < body.began:
        yield Problem(
            where=f"{place} ended",
            what="the survey ends before it begins",
            do="Correct one of the two times",
        )


def _parts(entry: Entry[Any], parts: Collection[str], place: str) -> Iterator[Problem]:
    for unknown in dict.fromkeys(
        each.part for each in places_of(entry.body) if each.part not in parts
    ):
        yield Problem(
            where=f"{place} part",
            what=f'there is no part "{unknown}"',
            do=nearest(unknown, parts, "Use an id of the catalogue"),
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
    limits = _SHOWN.get((body.quantity, body.unit))
    if limits is None:
        units = ", ".join(unit for quantity, unit in _SHOWN if quantity == body.quantity)
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
