"""Entries told in a line, and field by field, as lists and the history show them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from types import MappingProxyType
from typing import Any

from garboard.catalogue.naming import named
from garboard.catalogue.parts import catalogue
from garboard.desk.filled import texts_of
from garboard.desk.forms import Field, Rows, fields_of
from garboard.desk.labels import choice_words, kind_words
from garboard.notebook.body import (
    Amendment,
    Answer,
    Arrangement,
    Boat,
    Comparable,
    Conditions,
    ConflictCheck,
    Consent,
    Cost,
    Examination,
    Finding,
    Instruction,
    Instrument,
    InstrumentCheck,
    Issue,
    Limitation,
    Memo,
    Observation,
    Person,
    Photo,
    ReadingSet,
    Recommendation,
    Recording,
    Remark,
    Sounding,
    Summary,
    Terms,
    Told,
    Unknown,
    Value,
    Withdrawal,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.money import shown
from garboard.report.edits import edits_of
from garboard.report.sections.words import day, purpose_words

REFERENCES = frozenset({"comparables", "evidence", "finding", "photos", "recommendation"})
"""Fields that name other entries by their ids."""

# What programs know an entry by, and people do not.
_UNSAID: Mapping[type, tuple[str, ...]] = MappingProxyType({Finding: ("name", "phrase")})
_MOST_NAMED = 12
# A field in words, line by line.
_Lines = tuple[str, ...]
# How the ids of gaps begin that are no words yet.
_GAPS: Mapping[str, str] = MappingProxyType(
    {
        "silent": "nothing recorded of:",
        "stray": "far from the others:",
        "unmentioned": "no text speaks of",
        "unprinted": "not printed:",
        "outcomes": "two outcomes of",
    }
)
_EXTENT: Mapping[str, str] = MappingProxyType(
    {"whole": "examined whole", "part": "examined in part"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One filled field of an entry in words; `was` what an earlier entry said there, where that differs."""

    label: str
    value: str
    was: str | None = None


def line_of(body: Any) -> str:  # noqa: C901 - one case a kind
    """What a body says, in a line."""
    match body:
        case Instruction():
            return f"{body.client}: {purpose_words(body.purpose)}"
        case Person():
            return f"{body.name}, {body.role}"
        case Terms():
            is_said = "version" in body.version.casefold()
            version = body.version if is_said else f"version {body.version}"
            return f"{version}, accepted by {body.accepted_by}"
        case Consent():
            return f"{body.act}: {'given' if body.given else 'refused'} by {body.by}"
        case ConflictCheck():
            return choice_words("result", body.result)
        case Arrangement():
            return f"{body.what}: {body.words}"
        case Told():
            return f"{body.who}: {body.said}"
        case Boat():
            return body.name
        case Conditions():
            return body.lying
        case Instrument():
            return f"{body.name}, {body.described}"
        case InstrumentCheck():
            return f"{body.instrument} {body.when} use: {'passed' if body.passed else 'failed'}"
        case Examination():
            return ", ".join(filter(None, (named(body.place), _EXTENT.get(body.extent, body.extent), body.outcome, body.found)))  # fmt: skip
        case Limitation():
            return f"{named(body.place)}: {body.not_reached}"
        case Sounding():
            return f"{named(body.place)}: {body.heard}"
        case ReadingSet():
            count = len(body.readings)
            return f"{body.name}: {count} reading{'' if count == 1 else 's'} of {body.quantity}"
        case Observation():
            return f"{named(body.place)}: {body.seen}"
        case Photo():
            edited = f" (copies {said})" if (said := edits_of(body).said) else ""
            return f"{body.number}, {body.caption or body.file}{edited}"
        case Memo():
            return body.words or body.file
        case Recording():
            return f"{named(body.place)}: {body.file}"
        case Remark():
            return body.text
        case Finding():
            return f"{body.title} ({body.urgency})"
        case Recommendation():
            return body.what
        case Cost():
            return (
                f"{shown(body.low_minor, body.currency)} to {shown(body.high_minor, body.currency)}"
            )
        case Comparable():
            return f"{body.described}, {shown(body.price_minor, body.currency)} {body.kind}"
        case Value():
            return f"{shown(body.point_minor, body.currency)}, {body.basis}"
        case Summary():
            return body.overall
        case Answer():
            return f"{gap_words(body.gap)}: {body.words}"
        case Issue():
            return f"{body.number}, version {body.version}"
        case Amendment():
            return f"{body.issue}: {body.reason}"
        case Unknown():
            return f"of a newer version: {body.kind}"
        case Withdrawal():
            return "withdrawn"
    raise TypeError(f"{type(body).__name__} is no kind of entry")


def line_in(survey: Survey, entry: Entry[Any]) -> str:
    """What an entry says, in a line; a withdrawal says what it takes back, or puts back."""
    if not isinstance(entry.body, Withdrawal):
        return line_of(entry.body)
    found, is_back = about(survey, entry)
    done = "puts back" if is_back else "takes back"
    if not found:
        return f"{done} what is not held here"
    others = len(found) - 1
    more = f" and {others} other{'' if others == 1 else 's'}" if others else ""
    return f"{done} the {kind_words(found[0].kind)} “{line_of(found[0].body)}”{more}"


def about(survey: Survey, entry: Entry[Any]) -> tuple[tuple[Entry[Any], ...], bool]:
    """What an entry is about, without earlier versions, and whether it is in force by it.

    An entry is about itself, a withdrawal about what it takes back; one that takes back a withdrawal puts back what
    that one took back.
    """
    found: tuple[Entry[Any], ...] = (entry,)
    is_in_force, seen = True, set[str]()
    # Withdrawals can withdraw each other in a circle, though no honest device writes that.
    while found and isinstance(found[0].body, Withdrawal) and found[0].id not in seen:
        seen.add(found[0].id)
        held = [survey.by_id[each] for each in found[0].replaces if each in survey.by_id]
        earlier = {each for one in held for each in one.replaces}
        found = tuple(each for each in held if each.id not in earlier)
        is_in_force = not is_in_force
    return found, is_in_force


def facts_of(
    entry: Entry[Any],
    zone: tzinfo,
    before: Entry[Any] | None = None,
    by_id: Mapping[str, Entry[Any]] = MappingProxyType({}),
) -> tuple[Fact, ...]:
    """Every filled field of an entry in words.

    Args:
        entry: The entry.
        zone: The zone that times are shown in.
        before: The entry it corrects; fields that only this one filled are shown too.
        by_id: The entries that it may name.
    """
    if isinstance(entry.body, Unknown | Withdrawal):
        return ()
    now = _in_words(entry.body, zone, by_id)
    is_compared = before is not None and type(before.body) is type(entry.body)
    then = _in_words(before.body, zone, by_id) if before and is_compared else {}
    return tuple(
        _fact(label, now.get(label, ()), then.get(label, ()) if is_compared else None)
        for label in dict.fromkeys((*now, *then))
    )


def _fact(label: str, now: _Lines, then: _Lines | None) -> Fact:
    """Compared whole, and cut only where it is shown; what differs comes first, so that no cut hides it."""
    if then is None or then == now:
        return Fact(label=label, value=_cut(now))
    return Fact(
        label=label,
        value=_cut(sorted(now, key=lambda each: each in then)),
        was=_cut(sorted(then, key=lambda each: each in now)),
    )


def _cut(lines: Sequence[str]) -> str:
    more = len(lines) - _MOST_NAMED
    return "; ".join((*lines[:_MOST_NAMED], *((f"and {more} more",) if more > 0 else ())))


def _in_words(body: Any, zone: tzinfo, by_id: Mapping[str, Entry[Any]]) -> dict[str, _Lines]:
    found: dict[str, _Lines] = {}
    for each in fields_of(type(body), texts_of(body, zone), leave_out=_UNSAID.get(type(body), ())):
        if isinstance(each, Field) and each.value:
            found[each.label] = (
                _named(each.value, by_id) if each.path in REFERENCES else (_shown(each),)
            )
        elif isinstance(each, Rows):
            for number, row in enumerate(each.rows[:-1], 1):
                found[f"{each.label} {number}"] = (", ".join(_shown(f) for f in row if f.value),)
    return found


def _named(ids: str, by_id: Mapping[str, Entry[Any]]) -> _Lines:
    """The entries that lines of ids name, in words."""
    return tuple(line_of(by_id[each].body) if each in by_id else each for each in ids.split("\n"))


def gap_words(gap: str) -> str:
    """What an answer is about: the id of a gap with the names that people know.

    >>> gap_words("silent keel-joint"), gap_words("looked at IMG_2071.jpg")
    ('nothing recorded of: keel-to-hull joint', 'looked at IMG_2071.jpg')
    """
    vocabulary, parts = catalogue().vocabulary, catalogue().parts
    sort, _, rest = gap.partition(" ")
    if sort == "unused":
        how, _, rest = rest.partition(" ")
        sort = f"not {vocabulary.how.get(how, how)}:"
    words = " ".join(parts[each].name if each in parts else each for each in rest.split(" "))
    return f"{_GAPS.get(sort, sort)} {words}".strip()


def _shown(field: Field) -> str:
    said = dict(field.choices)
    if field.path == "gap":
        return gap_words(field.value)
    match field.kind:
        case "several":
            words = ", ".join(said.get(each, each) for each in field.value.split("\n"))
        case "date":
            words = day(date.fromisoformat(field.value))
        case "moment":
            at = datetime.fromisoformat(field.value)
            words = f"{day(at)}, {at:%H:%M:%S}"
        case _:
            words = said.get(field.value, field.value)
    return f"{words} {field.unit}".rstrip()
