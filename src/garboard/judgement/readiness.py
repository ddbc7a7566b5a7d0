"""Whether what must be settled before travelling to a boat is settled: each condition, and why it holds or does not."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import get_args

from garboard.catalogue.naming import capital
from garboard.catalogue.parts import catalogue
from garboard.judgement.gaps_of_job import NEEDS_CONSENT
from garboard.judgement.states import called_parts
from garboard.notebook.body import (
    Act,
    Arrangement,
    ConflictCheck,
    Consent,
    Instruction,
    Settled,
    Terms,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

ACTS: Mapping[Act, str] = MappingProxyType(
    {
        "attend": "come aboard",
        "photograph": "take photographs",
        "scrape": "scrape off paint",
        "probe": "probe with a spike",
        "operate": "work her gear",
        "open up": "open up what is closed",
        "sample": "take samples",
        "power up": "switch on her power",
        "trial": "make a trial under way",
        "share the report": "share the report",
    }
)
"""Acts that need leave, in words: "leave to {words}"."""

_NOTHING: Mapping[str, str] = MappingProxyType({})
# Purposes whose report is made for somebody besides the client.
_FOR_ANOTHER = MappingProxyType({"insure": "insurer", "lend": "lender", "damage": "insurer"})
_ACT_OF: Mapping[str, Act] = MappingProxyType({**NEEDS_CONSENT, "electrical": "power up"})
_SCOPE = ("client", "purpose", "visits", "exclusions", "specialists", "asked_parts")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """The entry that makes a condition true: a new one of a kind, or the correction of `entry`.

    `fields` are what is known of it already, by the name of the field.
    """

    kind: str
    fields: Mapping[str, str] = field(default_factory=lambda: _NOTHING)
    entry: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """Something that must be true before travelling.

    `claim` says it as a sentence, `missing` names it in a list of what is missing, `why` says what makes it
    true, or why it is not.
    """

    id: str
    claim: str
    missing: str
    is_true: bool
    why: str
    mend: Mend


@dataclass(frozen=True, slots=True, kw_only=True)
class _Matter:
    """One thing to settle, as the list of conditions speaks of it; `visits` say when, where not always."""

    what: Settled
    claim: str
    missing: str
    why: str
    visits: frozenset[str] = frozenset()


_MATTERS = (
    _Matter(
        what="visit",
        claim="The day of the visit is agreed",
        missing="day of the visit",
        why="No day is agreed.",
    ),
    _Matter(
        what="lift or slip",
        claim="Lift or slip is booked in writing, and it is said who pays",
        missing="lift or slip",
        why="Say when she comes out, who lifts and washes her, and who pays the yard; or that she stands ashore.",
        visits=frozenset({"ashore"}),
    ),
    _Matter(
        what="weather and tide",
        claim="Weather and tide suit the day",
        missing="weather and tide",
        why="Say what the tide allows, and in what weather the visit is put off.",
        visits=frozenset({"afloat", "trial"}),
    ),
    _Matter(
        what="access",
        claim="Access is settled",
        missing="access",
        why="Ask for keys, charged batteries, water, gas, empty lockers, loose sole boards, ladder or boat, mast up or down.",
    ),
    _Matter(
        what="telephone",
        claim="There is somebody at the yard to ring",
        missing="telephone of the yard",
        why="Write down a name and a number that answers on the day.",
    ),
    _Matter(
        what="hazards",
        claim="Hazards of the place and the boat were asked about and told",
        missing="hazards",
        why="Ask yard and owner: chocks and slings, traffic, dust, gas, petrol, batteries, mains, closed spaces; who knows where you are.",
    ),
    _Matter(
        what="competence",
        claim="This boat lies within what you are competent to survey",
        missing="competence",
        why="Think of her length, material, age and gear, and of what goes to a specialist.",
    ),
    _Matter(
        what="insurance cover",
        claim="Your insurance covers this boat, this work and this place",
        missing="insurance cover",
        why="Look in your policy: length, value, material, kind of work, place.",
    ),
)


def before_travelling(survey: Survey) -> tuple[Condition, ...]:
    """Every condition of travelling to a survey, in the order in which they are settled.

    The first four are the questions that a professional-indemnity insurer asks first; a refused leave is
    settled as well, unless it is that to come aboard at all.

    Source:
        Published guidance of a professional-indemnity mutual for marine professionals; read.
    """
    return (
        _client(survey),
        _asked(survey),
        _use(survey),
        _terms(survey),
        _conflict(survey),
        *_leave(survey),
        *_settled(survey),
    )


def is_ready(conditions: Iterable[Condition]) -> bool:
    """Whether every condition holds."""
    return all(each.is_true for each in conditions)


def acts_called(survey: Survey) -> Mapping[Act, int]:
    """The acts that need leave on this boat, each with the number of places where the schedule calls for it.

    To come aboard and to photograph are called for always, and count no places.
    """
    try:
        called = called_parts(survey)
    except ValueError:
        # An instruction without a visit has no schedule; that is said where it is asked for.
        called = ()
    places = Counter(act for each in called for act in _acts_on(each.part.how))
    always: set[Act] = {"attend", "photograph"}
    if survey.instruction and "trial" in survey.instruction.visits:
        always.add("trial")
    return {each: places[each] for each in get_args(Act) if each in always or places[each]}


def _acts_on(how: Iterable[str]) -> set[Act]:
    """The acts that examining a part in these ways calls for."""
    return {_ACT_OF[each] for each in how if each in _ACT_OF}


def is_agreed(terms: Entry[Terms], survey: Survey) -> bool:
    """Whether accepted terms still speak of the work as it is asked for now."""
    then = [
        entry
        for entry in survey.entries
        if isinstance(entry.body, Instruction) and entry.at <= terms.at
    ]
    now = survey.instruction
    return not then or now is None or _scope(then[-1].body) == _scope(now)


def _scope(instruction: Instruction) -> tuple[object, ...]:
    return tuple(getattr(instruction, name) for name in _SCOPE)


def _client(survey: Survey) -> Condition:
    body = survey.instruction
    payer = "the client" if body and body.payer in ("", body.client) else body and body.payer
    return Condition(
        id="client",
        claim="It is clear who the client is, and who pays",
        missing="client",
        is_true=body is not None,
        why=f"{body.client}; {payer} pays." if body else "No instruction is recorded.",
        mend=_instruction(survey),
    )


def _asked(survey: Survey) -> Condition:
    body, words = survey.instruction, catalogue().vocabulary
    lacking = []
    if body is None:
        lacking.append("no instruction is recorded")
    elif not body.place:
        lacking.append("where she lies is not said")
    if body and body.purpose == "re-inspection" and not body.asked_parts:
        lacking.append("the parts to look at again are not listed")
    if survey.boat is None:
        lacking.append("the boat is not recorded")
    why = _sentence("; ".join(lacking))
    if body and not lacking:
        visits = ", ".join(words.visits[each] for each in body.visits)
        why = _sentence(f"{words.purposes[body.purpose]}; {visits}; {body.place}")
    only_the_boat = body is not None and body.place and survey.boat is None
    return Condition(
        id="asked",
        claim="It is clear what is asked, and it is enough to work by",
        missing="what is asked",
        is_true=not lacking,
        why=why,
        mend=Mend(kind="boat") if only_the_boat else _instruction(survey),
    )


def _use(survey: Survey) -> Condition:
    body = survey.instruction
    why = "No instruction is recorded."
    others: tuple[str, ...] = ()
    whose = None
    if body:
        relying = tuple(each for each in dict.fromkeys(body.may_rely) if each != body.client)
        copied = tuple(each for each in dict.fromkeys(body.copies) if each != body.client)
        others = (*relying, *copied)
        whose = _FOR_ANOTHER.get(body.purpose)
        why = (
            f"For the client to rely on, and: {'; '.join(relying)}."
            if relying
            else "For the client alone to rely on."
        )
        if copied:
            why += f" A copy goes to: {'; '.join(copied)}."
        if whose and not others:
            why = f"The {whose} who will read it is not named."
    return Condition(
        id="use",
        claim="It is clear what the report will be used for, and by whom",
        missing="who reads it",
        is_true=body is not None and bool(others or not whose),
        why=why,
        mend=_instruction(survey),
    )


def _terms(survey: Survey) -> Condition:
    accepted = survey.of(Terms)
    last = accepted[-1] if accepted else None
    is_true = last is not None and is_agreed(last, survey)
    why = "Nobody has accepted terms yet."
    if last:
        why = f"{last.body.version}, accepted by {last.body.accepted_by} on {_day(last.body)}, {last.body.how}."
        if not is_true:
            why = f"What is asked was changed after {last.body.accepted_by} accepted on {_day(last.body)}."
    return Condition(
        id="terms",
        claim="It is agreed on what terms, should something go wrong",
        missing="terms",
        is_true=is_true,
        why=why,
        mend=Mend(kind="terms"),
    )


def _conflict(survey: Survey) -> Condition:
    found = survey.last(ConflictCheck)
    why = "It was not looked into."
    is_true = False
    if found:
        is_true = found.result == "none" or (
            found.result == "disclosed and accepted" and bool(found.accepted_by)
        )
        by = f" by {found.accepted_by}" if found.accepted_by else ""
        why = _sentence(f"{found.result}{by}")
        if found.result == "disclosed and accepted" and not by:
            why = "It is not said who accepted what was disclosed."
    return Condition(
        id="conflict",
        claim="Interests that could colour the opinion were looked into",
        missing="conflict of interest",
        is_true=is_true,
        why=why,
        mend=Mend(kind="conflict check"),
    )


def _leave(survey: Survey) -> Iterator[Condition]:
    said = {consent.act: consent for consent in survey.bodies(Consent)}
    for act, places in acts_called(survey).items():
        found = said.get(act)
        called = f"The schedule calls for it in {places} {'place' if places == 1 else 'places'}."
        if found is None:
            why = f"Not asked. {called if places else ''}".rstrip()
        elif found.given:
            why = f"Given by {found.by} on {found.on.day} {found.on:%B %Y}{f': {found.limits}' if found.limits else ''}."
        else:
            why = f"Refused by {found.by}; what that hides will be a limitation."
        yield Condition(
            id=f"leave {act}",
            claim=f"Leave to {ACTS[act]} is {'given' if act == 'attend' else 'given or refused'}",
            missing=f"leave to {ACTS[act]}",
            is_true=found is not None and (found.given or act != "attend"),
            why=why,
            mend=Mend(kind="consent", fields={"act": act, "given": "yes"}),
        )


def _settled(survey: Survey) -> Iterator[Condition]:
    visits = frozenset(survey.instruction.visits if survey.instruction else ())
    for matter in _MATTERS:
        if matter.visits and not matter.visits & visits:
            continue
        found = [each for each in survey.bodies(Arrangement) if each.what == matter.what]
        dated = [each for each in found if each.on]
        is_true = bool(dated if matter.what == "visit" else found)
        why = "; ".join(map(arrangement_words, found)) if found else matter.why
        yield Condition(
            id=matter.what,
            claim=matter.claim,
            missing=matter.missing,
            is_true=is_true,
            why=why if is_true or not found else f"{why}; the day is not said.",
            mend=Mend(kind="arrangement", fields={"what": matter.what}),
        )


def arrangement_words(body: Arrangement) -> str:
    """What was settled, with its day and with whom.

    >>> arrangement_words(Arrangement(what="access", words="Key under the mat.", with_whom="the owner"))
    'Key under the mat (with the owner)'
    """
    day = f"{body.on.day} {body.on:%B %Y}: " if body.on else ""
    return f"{day}{body.words.rstrip('.')}{f' (with {body.with_whom})' if body.with_whom else ''}"


def _instruction(survey: Survey) -> Mend:
    """The instruction is one: it is corrected where there is one."""
    found = survey.of(Instruction)
    return Mend(kind="instruction", entry=found[-1].id if found else "")


def _day(terms: Terms) -> str:
    return f"{terms.accepted_on.day} {terms.accepted_on:%B %Y}"


def _sentence(words: str) -> str:
    return f"{capital(words).rstrip('.')}."
