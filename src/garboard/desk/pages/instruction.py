"""The instruction: who asks for what, on which terms and with whose leave, and what was settled before travelling."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Any
from urllib.parse import quote, urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.before import Asked, Before, in_words, surveyed_before
from garboard.desk.context import desk_of, survey_of, who
from garboard.desk.earlier import own_person
from garboard.desk.filled import filled, texts_of
from garboard.desk.forms import Field, Texts, fields_of
from garboard.desk.keep import keep
from garboard.desk.mending import address
from garboard.desk.pages.terms import practice_of
from garboard.desk.render import see, survey_page
from garboard.desk.security import LOCAL
from garboard.desk.told import Fact, facts_of
from garboard.judgement.gaps_of_job import is_surveyor
from garboard.judgement.issues import issues
from garboard.judgement.readiness import ACTS, Condition, acts_called, before_travelling
from garboard.notebook.body import (
    Act,
    Arrangement,
    ConflictCheck,
    Consent,
    Instruction,
    Person,
    Terms,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.store import links, texts

QUESTIONS = MappingProxyType(
    {
        "client": "Who is the client, and who pays?",
        "asked": "What exactly is asked, and can you work by it?",
        "use": "What will the report be used for, and who will rely on it?",
        "terms": "If something goes wrong, what was agreed?",
    }
)
"""The questions an insurer of surveyors asks first, by the condition that answers each."""

INTERESTS = (
    "family, friend or fellow member of seller, buyer or broker",
    "work for the yard, the builder, a repairer or the insurer",
    "a share in the boat, in her sale, or in work on her",
    "commission or a fee for passing her on, given or taken",
    "a fee that is due only if the sale goes through",
    "an opinion on her given before, now to be defended or judged",
)
"""What to think of besides the archive."""

LOOKED_THROUGH = MappingProxyType(
    {
        "records": "The surveyor's own records",
        "seller": "The seller",
        "broker": "The broker",
        "yard": "The yard",
    }
)
"""What each look for interests says of, as form and report call it."""

_LASTS = timedelta(days=14)
_EMAIL = re.compile(r"[^\s,;:<>()]+@[^\s,;:<>()]+\.\w+")
_NONE: Texts = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question with its answer, and the page where it is answered; `act` says what is done there."""

    asked: str
    answer: str
    is_answered: bool
    act: str
    mend: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Leave:
    """An act that needs leave: in how many places the schedule calls for it, and what was said."""

    act: Act
    words: str
    places: int
    said: Entry[Consent] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A standing entry with what it says."""

    entry: Entry[Any]
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLink:
    """Terms that lie with the client: by when they may be accepted, and whether their text still counts."""

    version: str
    until: datetime
    is_current: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sent:
    """A form that was sent and not kept, by its name on the page."""

    form: str = ""
    texts: Texts = field(default_factory=lambda: _NONE)
    problems: Texts = field(default_factory=lambda: _NONE)
    refused: tuple[Problem, ...] = ()
    link: str = ""


def show(request: Request) -> Response:
    """The instruction, with everything that belongs to it."""
    return _page(request, survey_of(request), _Sent())


def leave(request: Request, form: Texts) -> Response:
    """Keep one leave or refusal for each act that was ticked."""
    survey, desk = survey_of(request), desk_of(request)
    acts = [each for each in form.get("acts", "").split("\n") if each in ACTS]
    read = [filled(Consent, form, desk.zone, {"act": each}) for each in acts or ["attend"]]
    problems = dict(read[0].problems)
    if not acts:
        problems["acts"] = "Tick what was asked for."
    if problems:
        return _page(request, survey, _Sent(form="leave", texts=form, problems=problems), 422)
    return _kept(request, survey, [each.body for each in read], _Sent(form="leave", texts=form))


def conflict(request: Request, form: Texts) -> Response:
    """Keep the result of a look for interests."""
    survey = survey_of(request)
    told = {each: form.get(each, "").strip().rstrip(".") for each in LOOKED_THROUGH}
    said = [f"{LOOKED_THROUGH[each]}: {words}." for each, words in told.items()]
    looked_at = " ".join((*said, form.get("looked_at", "").strip())).strip()
    read = filled(ConflictCheck, {**form, "looked_at": looked_at}, desk_of(request).zone)
    silent = {each: "Say what came of it, or that there is none." for each in told if not told[each]}  # fmt: skip
    if read.body is None or silent:
        problems = {**silent, **read.problems}
        sent = _Sent(form="conflict", texts=form, problems=problems)
        return _page(request, survey, sent, 422)
    return _kept(request, survey, [read.body], _Sent(form="conflict", texts=form))


def send(request: Request, form: Texts) -> Response:
    """Make a link under which the client reads and accepts the terms; it is shown this once."""
    survey, desk, name = survey_of(request), desk_of(request), form.get("text", "")
    with desk.database.writing() as connection:
        text = texts.one(connection, "terms", name)
        if survey.instruction is None or text is None or not text.text:
            problem = Problem(where="terms", what="there is nothing to send yet", do="Write the instruction and your terms first")  # fmt: skip
            raise Refused([problem])
        links.withdraw_offers(connection, survey.id, desk.clock())
        token = links.offer(
            connection,
            survey.id,
            text.sha256,
            lasts=_LASTS,
            now=desk.clock(),
            random_bytes=desk.random_bytes,
        )
    return _page(request, survey, _Sent(form="terms", link=f"{_outward(request)}/terms/{token}"))


def take_back(request: Request, _: Texts) -> Response:
    """Withdraw the terms that nobody has accepted yet."""
    survey, desk = survey_of(request), desk_of(request)
    with desk.database.writing() as connection:
        links.withdraw_offers(connection, survey.id, desk.clock())
    return see(f"/s/{survey.id}/instruction#terms")


def _kept(request: Request, survey: Survey, bodies: Sequence[Any], sent: _Sent) -> Response:
    try:
        keep(request, survey.id, *bodies)
    except Refused as refused:
        sent = _Sent(form=sent.form, texts=sent.texts, refused=refused.problems)
        return _page(request, survey, sent, 422)
    return see(f"/s/{survey.id}/instruction#{sent.form}")


def _page(request: Request, survey: Survey, sent: _Sent, status: int = 200) -> Response:
    desk = desk_of(request)
    here = f"/s/{survey.id}/instruction"
    conditions = before_travelling(survey)
    with desk.database.reading() as connection:
        own = texts.latest(connection, "terms")
        offers = links.open_offers(connection, survey.id, desk.clock())
        sent_texts = [texts.of_sha256(connection, each.terms_sha256) for each in offers]
        before = surveyed_before(connection, _asked_about(survey))
        has_practice = practice_of(connection) != ""
    current = {each.sha256 for each in own}
    acts = _acts(survey)
    is_issued = bool(issues(survey))
    return survey_page(
        request,
        survey,
        "instruction",
        "instruction.html",
        status=status,
        heading="Instruction",
        back=here,
        # What was left open when the report went out is open no more: it was never written down.
        is_issued=is_issued,
        not_yet="Not written down" if is_issued else "Open",
        questions=_questions(survey, conditions, here),
        instruction=_told(request, survey.of(Instruction)),
        people=survey.of(Person),
        has_surveyor=any(map(is_surveyor, survey.bodies(Person))),
        me=urlencode(
            {**texts_of(own_person(desk, who(request), survey.id), desk.zone), "back": here}
        ),
        acts=acts,
        leave_fields=_leave_fields(request, sent),
        checks=_told(request, survey.of(ConflictCheck)),
        before=before,
        interests=INTERESTS,
        conflict_fields=_conflict_fields(before, sent),
        accepted=_told(request, survey.of(Terms)),
        own=own,
        has_practice=has_practice,
        open_links=[
            OpenLink(
                version=f"{text.name}, version {text.version}" if text else "",
                until=offer.expires_at.astimezone(desk.zone),
                is_current=offer.terms_sha256 in current,
            )
            for offer, text in zip(offers, sent_texts, strict=True)
        ],
        has_fee=any(each.what == "fee" for each in survey.bodies(Arrangement)),
        by_hand=urlencode({"accepted_on": desk.now().date().isoformat(), "back": here}),
        link=sent.link,
        reach=_reach(request),
        mail=_mail(sent.link, survey),
        lasts_days=_LASTS.days,
        settled=_settled(survey, conditions, here),
        others=[e for e in survey.of(Arrangement) if e.body.what not in {c.id for c in conditions}],
        sent=sent,
    )


def _asked_about(survey: Survey) -> Asked:
    boat, instruction = survey.boat, survey.instruction
    return Asked(
        identity_number=boat.identity_number if boat else "",
        registration=boat.registration if boat else "",
        name=boat.name if boat else "",
        client=instruction.client if instruction else "",
        survey=survey.id,
    )


def _questions(survey: Survey, conditions: Sequence[Condition], here: str) -> list[Question]:
    by_id = {each.id: each for each in conditions}
    told = [e.body for e in survey.of(Arrangement) if e.body.what == "notice to the insurer"]
    last = Question(
        asked="If anybody complains, or may have cause to, was your insurer told at once?",
        answer="; ".join(each.words for each in told)
        or "Nothing was told. Tell your insurer before you answer a complaint, a threat, or a mistake you find yourself.",
        is_answered=True,
        act="Write down",
        mend=f"/s/{survey.id}/add/arrangement?{urlencode({'what': 'notice to the insurer', 'back': here})}",
    )
    return [
        *(
            Question(
                asked=asked,
                answer=by_id[each].why,
                is_answered=by_id[each].is_true,
                act="Change" if by_id[each].is_true else "Answer",
                mend=address(survey.id, by_id[each].mend, here),
            )
            for each, asked in QUESTIONS.items()
        ),
        last,
    ]


def _acts(survey: Survey) -> list[Leave]:
    """The acts the schedule calls for, and any others that somebody spoke of."""
    said = {entry.body.act: entry for entry in survey.of(Consent)}
    called = acts_called(survey)
    return [
        Leave(act=act, words=ACTS[act], places=called.get(act, 0), said=said.get(act))
        for act in (*called, *(each for each in said if each not in called))
    ]


def _leave_fields(request: Request, sent: _Sent) -> list[Any]:
    today = desk_of(request).now().date().isoformat()
    given, problems = {"acts": "", "given": "yes", "on": today}, _NONE
    if sent.form == "leave":
        given, problems = {**given, **sent.texts}, sent.problems
    ticks = Field(
        path="acts",
        label="Leave to",
        kind="several",
        value=given["acts"],
        choices=tuple(ACTS.items()),
        problem=problems.get("acts", ""),
    )
    return [ticks, *fields_of(Consent, given, problems, leave_out=("act",))]


def _conflict_fields(before: tuple[Before, ...], sent: _Sent) -> list[Any]:
    """Each of those who could be interested, what else was looked through, and what came of it all."""
    texts, problems = {"records": in_words(before)}, _NONE
    if sent.form == "conflict":
        texts, problems = dict(sent.texts), sent.problems
    asked = [
        Field(
            path=path,
            label=label,
            kind="line",
            value=texts.get(path, ""),
            needed=True,
            problem=problems.get(path, ""),
        )
        for path, label in LOOKED_THROUGH.items()
    ]
    made = {each.path: each for each in fields_of(ConflictCheck, texts, problems)}
    besides = made["looked_at"]
    assert isinstance(besides, Field)
    besides = replace(besides, label="Whatever else was looked through", hint="", needed=False)
    return [*asked, besides, made["result"], made["accepted_by"]]


def _settled(survey: Survey, conditions: Sequence[Condition], here: str) -> list[Any]:
    """What is to be settled before travelling, each with the entries that settle it."""
    return [
        (each, [e for e in survey.of(Arrangement) if e.body.what == each.id], address(survey.id, each.mend, here))
        for each in conditions
        if each.mend.kind == "arrangement"
    ]  # fmt: skip


def _told(request: Request, entries: Sequence[Entry[Any]]) -> list[Told]:
    zone = desk_of(request).zone
    return [Told(entry=each, facts=facts_of(each, zone)) for each in entries]


def _reach(request: Request) -> str:
    """How far a link to this desk leads: this "computer" alone, the "network" around it, or "anywhere"."""
    if request.app.state.network:
        return "network"
    return "computer" if request.url.hostname in LOCAL else "anywhere"


def _outward(request: Request) -> str:
    """The address at which others reach this desk, as far as one is known."""
    network: str = request.app.state.network
    is_here = request.url.hostname in LOCAL
    return network if network and is_here else str(request.base_url).rstrip("/")


def _mail(link: str, survey: Survey) -> str:
    """An e-mail to the client with the link in it, to be sent by the surveyor's own program."""
    if not link:
        return ""
    boat = survey.boat.name if survey.boat else "your boat"
    body = f"Please read the terms of the survey of {boat} and accept them here:\n\n{link}\n"
    told = (each.words for each in survey.bodies(Arrangement) if each.what == "contact")
    to = _EMAIL.search(" ".join(told))
    return f"mailto:{quote(to[0], safe='@') if to else ''}?subject={quote(f'Survey of {boat}: terms')}&body={quote(body)}"


ROUTES = (
    Route("/s/{survey}/instruction", show),
    Route("/s/{survey}/instruction/leave", posted(leave), methods=["POST"]),
    Route("/s/{survey}/instruction/conflict", posted(conflict), methods=["POST"]),
    Route("/s/{survey}/instruction/terms", posted(send), methods=["POST"]),
    Route("/s/{survey}/instruction/terms/withdraw", posted(take_back), methods=["POST"]),
)
