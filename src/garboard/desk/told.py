"""Entries told in a line, and field by field, as lists and the history show them."""

from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from typing import Any

from garboard.catalogue.naming import named
from garboard.desk.forms import Field, Rows, fields_of, texts_of
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
            return f"version {body.version}, accepted by {body.accepted_by}"
        case Consent():
            return f"{body.act}: {'given' if body.given else 'refused'} by {body.by}"
        case ConflictCheck():
            return body.result
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
            return ", ".join(filter(None, (named(body.place), body.extent, body.outcome, body.found)))  # fmt: skip
        case Limitation():
            return f"{named(body.place)}: {body.not_reached}"
        case Sounding():
            return f"{named(body.place)}: {body.heard}"
        case ReadingSet():
            return f"{body.name}: {len(body.readings)} of {body.quantity}"
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
            return f"{body.gap}: {body.words}"
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
    """What an entry says, in a line; a withdrawal says what it takes back."""
    if not isinstance(entry.body, Withdrawal):
        return line_of(entry.body)
    found = [survey.by_id[each] for each in entry.replaces if each in survey.by_id]
    if not found:
        return "takes back what is not held here"
    others = len(found) - 1
    more = f" and {others} other{'' if others == 1 else 's'}" if others else ""
    return f"takes back the {found[0].kind} “{line_of(found[0].body)}”{more}"


def facts_of(entry: Entry[Any], zone: tzinfo, before: Entry[Any] | None = None) -> tuple[Fact, ...]:
    """Every filled field of an entry in words.

    Args:
        entry: The entry.
        zone: The zone that times are shown in.
        before: The entry it corrects; fields that only this one filled are shown too.
    """
    if isinstance(entry.body, Unknown | Withdrawal):
        return ()
    now = _in_words(entry.body, zone)
    then = _in_words(before.body, zone) if before and type(before.body) is type(entry.body) else None  # fmt: skip
    labels = dict.fromkeys((*now, *(then or ())))
    return tuple(
        Fact(
            label=label,
            value=now.get(label, ""),
            was=None if then is None or then.get(label, "") == now.get(label, "") else then.get(label, ""),
        )
        for label in labels
    )  # fmt: skip


def _in_words(body: Any, zone: tzinfo) -> dict[str, str]:
    found: dict[str, str] = {}
    for each in fields_of(type(body), texts_of(body, zone)):
        if isinstance(each, Field) and each.value:
            found[each.label] = _shown(each)
        elif isinstance(each, Rows):
            for number, row in enumerate(each.rows[:-1], 1):
                found[f"{each.label} {number}"] = ", ".join(_shown(f) for f in row if f.value)
    return found


def _shown(field: Field) -> str:
    said = dict(field.choices)
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
