"""Gaps: what must still be said before leaving the boat, and before a report is issued.

A gap has an id that stays the same while it is open, so that the surveyor can answer it in words.
"""

import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import zip_longest
from types import MappingProxyType
from typing import Any

from garboard.catalogue.naming import key, named
from garboard.catalogue.parts import catalogue
from garboard.judgement.agreement import disagreements
from garboard.judgement.contradictions import contradictions
from garboard.judgement.issues import amendments_of, is_changed, issues
from garboard.judgement.looks import days_of, of_another_day
from garboard.judgement.ranking import ranked
from garboard.judgement.states import PartState, covers, part_states
from garboard.judgement.strays import Stray, stray
from garboard.judgement.vague import vague_words
from garboard.methods.result import Result
from garboard.methods.zone import shell_of
from garboard.notebook.body import (
    Act,
    Answer,
    Conditions,
    ConflictCheck,
    Consent,
    Examination,
    Finding,
    Instrument,
    InstrumentCheck,
    Limitation,
    Memo,
    Observation,
    Person,
    Photo,
    Place,
    ReadingSet,
    Recommendation,
    Summary,
    Terms,
    Unknown,
    Value,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.vet import places_of

NEEDS_CONSENT: Mapping[str, Act] = MappingProxyType(
    {
        "scrape": "scrape",
        "probe": "probe",
        "operate": "operate",
        "open-up": "open up",
        "sample": "sample",
    }
)
"""Acts that need the owner's leave, by the method of examining that is such an act."""
# The kinds whose places make areas and coverage.
_COUNTED = ("sounding", "reading set")
# What fits on the one page a lay reader reads, in words.
_SUMMARY_WORDS, _ANSWER_WORDS = 110, 45
_LOOKED_AT = "looked at "
_UNSAID = {"what": "what is to be done", "verified": "how it is verified"}
NO_ADVICE_OWED = ("for information", "keep under watch")
"""Urgencies of findings about which nothing need be recommended."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Something missing: where, what, and what to do about it.

    `about` names the text or the place for a program: "summary", "finding" with its name and perhaps what of it,
    a place's key, or "examined" or "limited" with one. `part` is the id of the part it is owed on; a gap in what is
    said of several, or of none, has none.
    `blocks` keeps a report from being issued until it is closed or answered in words, or only closed where it
    is not `answerable`; `leaving` belongs on the list read before the ladder goes away. What is `grave` is something
    amiss that no finding speaks of: it stays in sight even where it blocks nothing.
    """

    id: str
    where: str
    what: str
    do: str
    blocks: bool = True
    leaving: bool = False
    answerable: bool = True
    grave: bool = False
    answer: str = ""
    about: str = ""
    part: str = ""

    @property
    def is_open(self) -> bool:
        """Whether it still keeps the report from being issued."""
        return self.blocks and not self.answer


def gaps(
    survey: Survey, results: Iterable[Result], other_boats: Iterable[str] = ()
) -> tuple[Gap, ...]:
    """Everything that is missing, in the order of the work.

    Args:
        survey: The survey.
        results: What its readings mean.
        other_boats: Names of boats surveyed before, which must not have been left in the text.
    """
    states = part_states(survey)
    found = [
        *_beginnings(survey),
        *_amendment(survey),
        *_summary_length(survey),
        *_choices(survey),
        *_parts(states),
        *_limitations(survey),
        *_instruments(survey),
        *_consents(survey),
        *_findings(survey),
        *(
            Gap(
                id=each.id,
                where=each.where,
                what=each.what,
                do=each.do,
                blocks=False,
                about=each.about,
            )
            for each in disagreements(survey)
        ),
        *_observations(survey),
        *_strays(survey),
        *_photographs(survey),
        *_memos(survey),
        *(
            Gap(
                id=each.id,
                where=each.where,
                what=each.what,
                do=each.do,
                blocks=each.blocks,
                about=each.about,
            )
            for each in contradictions(survey, tuple(results))
        ),
        *_words(survey, tuple(other_boats)),
    ]
    answers = {answer.gap: answer.words for answer in survey.bodies(Answer)}
    answered = tuple(
        replace(gap, answer=answers.get(gap.id, "")) if gap.answerable else gap for gap in found
    )
    of_photos = {each for each in answers if each.startswith(_LOOKED_AT)}
    return (*answered, *_stray_answers(answers, {gap.id for gap in found} | of_photos))


def _stray_answers(answers: Mapping[str, str], ids: Collection[str]) -> Iterator[Gap]:
    for each in answers:
        if each not in ids:
            yield Gap(
                id=f"stray answer {each}",
                where=f'answer "{each}"',
                what="no gap bears this id",
                do="Copy the id from the list of gaps, or take the answer out",
                blocks=False,
            )


def looked_at(photo: Photo) -> str:
    """What an answer is about that says of a printed photograph: all that can be seen in it is in the text."""
    return f"{_LOOKED_AT}{photo.file}"


def not_looked_at(survey: Survey) -> tuple[Entry[Photo], ...]:
    """The printed photographs of which nobody has said so yet."""
    said = {answer.gap for answer in survey.bodies(Answer)}
    return tuple(
        entry
        for entry in survey.of(Photo)
        if entry.body.printed and looked_at(entry.body) not in said
    )


def is_surveyor(person: Person) -> bool:
    """Whether a person signs as the surveyor: "surveyor", alone or before a comma, never "surveyor's assistant"."""
    return person.role.partition(",")[0].strip().lower() == "surveyor"


def _beginnings(survey: Survey) -> Iterator[Gap]:
    instruction = survey.instruction
    wanted = (
        ("instruction", instruction, "who asked for the survey, and for what, is", "instruction"),
        ("boat", survey.boat, "the particulars of the boat are", "boat"),
        ("terms", survey.last(Terms), "the terms the client accepted are", "terms"),
        ("conflict check", survey.last(ConflictCheck), "the check for conflicts of interest is", "conflict check"),
        ("conditions", survey.last(Conditions), "the conditions on the day are", "conditions"),
        ("summary", survey.last(Summary), "the summary for the front page is", "summary"),
    )  # fmt: skip
    for id_, there, words, where in wanted:
        if there is None:
            yield Gap(
                id=f"missing {id_}",
                where=where,
                what=f"{words} not recorded",
                do="Record it",
                answerable=id_ not in ("instruction", "boat"),
            )
    yield from _missing_for_purpose(survey)
    if not any(is_surveyor(person) for person in survey.bodies(Person)):
        yield Gap(
            id="missing surveyor",
            where="people",
            what="nobody is recorded as the surveyor who signs",
            do='Record the person with the role "surveyor"',
        )
    if instruction and not instruction.report_number:
        yield Gap(
            id="report number",
            where="instruction",
            what="the report has no number",
            do="Give it one before it is issued",
            blocks=False,
        )
    summary = survey.last(Summary)
    if instruction and summary:
        asked = zip_longest(instruction.questions, summary.answers, fillvalue="")
        unanswered = next((each for each, answer in asked if each and not answer.strip()), "")
    else:
        unanswered = ""
    if unanswered:
        yield Gap(
            id="client's questions",
            where="summary",
            what=f'the client\'s question "{unanswered}" is not answered',
            do="Answer each question, in the order asked",
        )


def _missing_for_purpose(survey: Survey) -> Iterator[Gap]:
    instruction = survey.instruction
    if instruction and instruction.purpose == "value" and not survey.of(Value):
        yield Gap(
            id="missing value", where="value", what="no value is given", do="Give it with its basis"
        )
    if instruction and instruction.purpose == "re-inspection" and not instruction.asked_parts:
        yield Gap(
            id="missing listed parts",
            where="instruction",
            what="a re-inspection looks at the listed parts, and none is listed",
            do="List them as the parts asked for by name (asked_parts)",
        )


def _amendment(survey: Survey) -> Iterator[Gap]:
    """An issued report is never overwritten: a later change says which issue it amends, and why."""
    if not is_changed(survey):
        return
    last = issues(survey)[-1]
    if not amendments_of(survey, last):
        yield Gap(
            id=f"amendment of {survey.first(last).id}",
            where=f"report {last.body.number}, version {last.body.version}",
            what="entries were added since it was issued, and no amendment says why",
            do="Write an amendment with its reason and what changed",
            answerable=False,
        )


def _summary_length(survey: Survey) -> Iterator[Gap]:
    summary = survey.last(Summary)
    if summary is None:
        return
    texts = [("the overall impression", summary.overall, _SUMMARY_WORDS)]
    texts += [
        (f"answer {number}", answer, _ANSWER_WORDS)
        for number, answer in enumerate(summary.answers, 1)
    ]
    for name, text, most in texts:
        words = len(text.split())
        if words > most:
            yield Gap(
                id=f"summary length {name}",
                where="summary",
                what=f"{name} has {words} words, so the summary may not fit on its one page",
                do=f"Say it in {most}",
                blocks=False,
            )


def _choices(survey: Survey) -> Iterator[Gap]:
    for choice in survey.choices:
        kind = choice.between[0].kind
        yield Gap(
            id=f"choice {choice.of}",
            where=kind,
            what=f"{len(choice.between)} versions of one {kind} stand side by side",
            do="Choose one, or write a new one that replaces them",
            answerable=False,
        )
    for entry in survey.clashes:
        yield Gap(
            id=f"clash {entry.id}",
            where=entry.kind,
            what=f"two different entries bear the id {entry.id}",
            do="Find out which device wrote it twice, and withdraw the wrong one",
            answerable=False,
        )
    unknown = Counter(entry.kind for entry in survey.of(Unknown))
    for kind, number in sorted(unknown.items()):
        yield Gap(
            id=f"unknown {kind}",
            where=kind,
            what=f"{number} of a kind this version does not know: kept, not shown in the report",
            do="Make the report with a newer version, or say why it may stay out",
        )


def _parts(states: tuple[PartState, ...]) -> Iterator[Gap]:
    vocabulary = catalogue().vocabulary
    for each in states:
        place = each.called.place
        if each.state in ("silent", "not written up"):
            what = "nothing is recorded of it"
            if each.state == "not written up":
                what = "it was sounded, read or observed, and its examination is not recorded"
            yield Gap(
                id=f"silent {key(place)}",
                where=named(place),
                what=what,
                do="Examine it, or say why it was not reached",
                leaving=True,
                part=place.part,
            )
        called = "it is called examined whole, yet " if each.state == "examined" else ""
        for how in each.unused:
            yield Gap(
                id=f"unused {how} {key(place)}",
                where=named(place),
                what=f"{called}it was not {vocabulary.how[how]}",
                do="Do it, or say why not; else the report lists it as a limitation",
                blocks=False,
                leaving=True,
                part=place.part,
            )
        for question in each.called.ask:
            yield Gap(
                id=f"ask {key(place)} {question}",
                where=named(place),
                what="whether this boat has it is not stated",
                do=question.removeprefix("ask: "),
                blocks=False,
                leaving=True,
                part=place.part,
            )


def _memos(survey: Survey) -> Iterator[Gap]:
    """Spoken notes whose words nobody wrote down: no report and no search knows what they say."""
    for entry in survey.of(Memo):
        if not entry.body.words:
            yield Gap(
                id=f"spoken {entry.body.file}",
                where=named(entry.body.place)
                if entry.body.place
                else f"of no part, {entry.body.file}",
                what="a spoken note is not written down",
                do="Listen to it, write down its words, and enter what they tell",
                blocks=False,
                part=entry.body.place.part if entry.body.place else "",
            )


def _limitations(survey: Survey) -> Iterator[Gap]:
    for entry in survey.of(Limitation):
        body = entry.body
        part = catalogue().parts.get(body.place.part)
        for name, text, hint in (
            ("could hide", body.could_hide, part.could_hide if part else ""),
            ("would lift", body.would_lift, part.would_lift if part else ""),
        ):
            if not text:
                yield Gap(
                    id=f"limitation {name} {key(body.place)}",
                    where=named(body.place),
                    what=f"the limitation does not say what it {name}"
                    if name == "could hide"
                    else "the limitation does not say what would lift it",
                    do=f"Say so; commonly: {hint}" if hint else "Say so",
                    leaving=name == "could hide",
                    part=body.place.part,
                )


def _instruments(survey: Survey) -> Iterator[Gap]:
    known = {instrument.name for instrument in survey.bodies(Instrument)}
    checked = {check.instrument for check in survey.bodies(InstrumentCheck)}
    ended = {check.instrument for check in survey.bodies(InstrumentCheck) if check.when == "after"}
    for check in survey.bodies(InstrumentCheck):
        if not check.passed:
            yield Gap(
                id=f"failed check {check.instrument} {check.when}",
                where=f"readings of {check.instrument}",
                what=f"it failed its check on {check.on}",
                do="Say what the readings are still worth, or withdraw them",
            )
    for name in dict.fromkeys(each.instrument for each in survey.bodies(ReadingSet)):
        if name not in known:
            yield Gap(
                id=f"instrument {name}",
                where=f"readings of {name}",
                what="the instrument is not described",
                do="Add it, with its scale, resolution and last calibration",
            )
        elif name not in checked:
            yield Gap(
                id=f"unchecked {name}",
                where=f"readings of {name}",
                what="no check of the instrument is recorded",
                do="Check it on a known block or area, and record what it read",
                blocks=False,
                leaving=True,
            )
        elif name not in ended:
            yield Gap(
                id=f"end check {name}",
                where=f"readings of {name}",
                what="the instrument was not checked again after the readings",
                do="Check it once more before leaving",
                blocks=False,
                leaving=True,
            )


def _consents(survey: Survey) -> Iterator[Gap]:
    leave: dict[Act, bool] = {consent.act: consent.given for consent in survey.bodies(Consent)}
    done = {
        NEEDS_CONSENT[how]: examination
        for examination in survey.bodies(Examination)
        for how in examination.how
        if how in NEEDS_CONSENT
    }
    acts = {act: named(examination.place) for act, examination in done.items()}
    if survey.of(Photo):
        acts["photograph"] = "photographs"
    if survey.of(Examination):
        acts["attend"] = "the survey"
    for act, where in sorted(acts.items()):
        if not leave.get(act, False):
            refused = act in leave
            yield Gap(
                id=f"consent {act}",
                where=where,
                what=f"leave to {act} was {'refused' if refused else 'not recorded'}, yet it was done",
                do="Record who gave leave, and when; or answer for it here",
            )


def _findings(survey: Survey) -> Iterator[Gap]:
    for each in ranked(survey):
        finding = each.entry.body
        where, about = f'finding "{finding.title}"', f"finding {finding.name}"
        owed = finding.urgency not in NO_ADVICE_OWED
        checks = (
            ("evidence", not rests_on(each.entry, survey), "it rests on nothing that stands", "Name the reading, photograph or observation it rests on"),
            ("lost evidence", _is_shaken(finding, survey), "it rests on an entry that was withdrawn or is missing", "Name what it rests on now"),
            ("because", not finding.because, "the reason for its urgency is not said", "Say why by then"),
            ("how known", not finding.how_known, "it does not say how it is known", "Say seen, measured, inferred or told"),
            ("why", not finding.why, "why it matters is not said", "Say what may follow from it"),
            ("seen", not finding.seen, "what was seen is not said", "Say what was seen or measured"),
            ("within", finding.urgency == "within a stated time" and not finding.within, "the time is not stated", "State it, as: within 3 months"),
            ("advice", owed and not each.advice, "nothing is recommended", "Recommend one act, by whom, by when, and how it is verified"),
        )  # fmt: skip
        for id_, missing, what, do in checks:
            if missing:
                yield Gap(
                    id=f"{about} {id_}",
                    about=about,
                    where=where,
                    what=what,
                    do=do,
                    answerable=id_ != "evidence",
                )
        for number, advice in enumerate(each.advice, 1):
            for name in ("what", "by_whom", "by_when", "verified"):
                if not getattr(advice.entry.body, name):
                    words = name.replace("_", " ")
                    yield Gap(
                        id=f"{about} recommendation {number} {words}",
                        about=f"{about}, recommendation {number}",
                        where=f"{where}, recommendation {number}",
                        what=f"it does not say {_UNSAID.get(name, words)}",
                        do="Say so",
                    )


def rests_on(finding: Entry[Finding], survey: Survey) -> tuple[Entry[Any], ...]:
    """The entries a finding rests on as they stand now, photographs included."""
    ids = (*finding.body.evidence, *finding.body.photos)
    return tuple({entry.id: entry for each in ids for entry in survey.current(each)}.values())


def _is_shaken(finding: Finding, survey: Survey) -> bool:
    return any(not survey.current(each) for each in (*finding.evidence, *finding.photos))


def _observations(survey: Survey) -> Iterator[Gap]:
    """A defect somebody saw, or an examination that ended in one, without a word to the reader."""
    findings = survey.of(Finding)
    taken_up = {entry.id for finding in findings for entry in rests_on(finding, survey)}
    places = [place for finding in findings for place in finding.body.places]
    for entry in survey.of(Observation):
        place = entry.body.place
        spoken_of = entry.id in taken_up or any(covers(each, place) for each in places)
        if entry.body.defect and not spoken_of:
            yield Gap(
                id=f"observed {key(place)} {entry.id[-6:]}",
                where=named(place),
                what=f'a defect was observed, and no finding speaks of it: "{entry.body.seen}"',
                do="Write a finding, or say why it needs none",
                part=place.part,
            )
    for examined in survey.of(Examination):
        body = examined.body
        spoken_of = examined.id in taken_up or any(covers(each, body.place) for each in places)
        if body.outcome in ("defect", "doubtful") and not spoken_of:
            is_defect = body.outcome == "defect"
            yield Gap(
                id=f"{body.outcome} {key(body.place)}",
                where=named(body.place),
                what="a defect is recorded, and no finding speaks of it"
                if is_defect
                else "it was found doubtful, and no finding says so",
                do="Write a finding, or say why it needs none",
                # What made it doubtful is printed where it was written down.
                blocks=is_defect or not body.found,
                grave=True,
                part=body.place.part,
            )
    yield from _examined_twice(survey)


def _examined_twice(survey: Survey) -> Iterator[Gap]:
    """One place with two outcomes: a row was written again instead of corrected."""
    outcomes: dict[Place, set[str]] = {}
    for examination in survey.bodies(Examination):
        if examination.outcome:
            place = Place(
                part=examination.place.part,
                side=examination.place.side,
                number=examination.place.number,
            )
            outcomes.setdefault(place, set()).add(examination.outcome)
    for place, found in outcomes.items():
        if len(found) > 1:
            yield Gap(
                id=f"outcomes {key(place)}",
                where=named(place),
                what=f"it is called {' and '.join(sorted(found))}",
                do="Correct one of the two rows, or say where on the part each is true",
                part=place.part,
            )


def _strays(survey: Survey) -> Iterator[Gap]:
    """Places that the boat does not have: whatever counts by places counts them all the same."""
    hull = shell_of(survey)
    if hull is None:
        return
    found: dict[tuple[str, str], list[Stray]] = {}
    for entry in survey.standing:
        for place in places_of(entry.body):
            off = stray(place, hull)
            if off:
                found.setdefault((entry.kind, place.part), []).append(off)
    for (kind, part), each in found.items():
        others = f", and {len(each) - 1} more like it" if len(each) > 1 else ""
        counts = "; coverage and areas that rest on it are wrong" if kind in _COUNTED else ""
        yield Gap(
            id=f"stray {kind} {part}",
            where=f"{kind}s, {named(Place(part=part))}",
            what=f"{each[0].what}{others}{counts}",
            do=each[0].do,
            part=part,
        )


def _not_printed(survey: Survey) -> Iterator[tuple[Finding, Photo]]:
    """Photographs chosen for a finding that the report would leave out."""
    for finding in survey.bodies(Finding):
        for id_ in finding.photos:
            for entry in survey.current(id_):
                if isinstance(entry.body, Photo) and not entry.body.printed:
                    yield finding, entry.body


def _photographs(survey: Survey) -> Iterator[Gap]:
    shown = {entry.id for finding in survey.of(Finding) for entry in rests_on(finding, survey)}
    spoken_of = {
        place.part
        for entry in survey.standing
        if not isinstance(entry.body, Photo)
        for place in places_of(entry.body)
    }
    numbers = Counter(photo.number for photo in survey.bodies(Photo))
    for number in sorted(each for each, count in numbers.items() if count > 1):
        yield Gap(
            id=f"photo number {number}",
            where=f"photograph {number}",
            what=f"{numbers[number]} photographs bear this number",
            do="Give each a number of its own",
        )
    for finding, photo in _not_printed(survey):
        yield Gap(
            id=f"unprinted {photo.file}",
            where=f"photograph {photo.number}",
            what=f'the finding "{finding.title}" shows it, and it is not to be printed',
            do="Have it printed, or take it out of the finding",
            blocks=False,
        )
    open_looks = not_looked_at(survey)
    printed = sum(photo.printed for photo in survey.bodies(Photo))
    if open_looks:
        yield Gap(
            id="photographs not looked at",
            where="photographs",
            what=f"{len(open_looks)} of {printed} printed were not looked at large beside the text",
            do="Look at each: is everything you see in it in the text?",
            blocks=False,
        )
    still_open = {entry.id for entry in open_looks}
    days = days_of(survey)
    for entry in survey.of(Photo):
        photo = entry.body
        where = f"photograph {photo.number}, {photo.file}"
        if words := of_another_day(photo, days):
            yield Gap(
                id=f"photo day {photo.file}",
                where=where,
                what=f"it was {words}",
                do="Set its camera's clock right, or say in its caption when it was taken",
                blocks=False,
            )
        if not photo.caption:
            yield Gap(
                id=f"caption {photo.file}",
                where=where,
                what="it has no caption"
                if photo.printed
                else "it is not captioned, so it is not printed",
                do="Say what the eye should see, and where",
                blocks=photo.printed,
            )
        elif (
            entry.id in still_open
            and entry.id not in shown
            and photo.place
            and photo.place.part not in spoken_of
        ):
            yield Gap(
                id=f"unmentioned {photo.file}",
                where=where,
                what="it is printed, and the text says nothing of what it shows",
                do="Look at it large: is everything you see in the text?",
            )


def _words(survey: Survey, other_boats: tuple[str, ...]) -> Iterator[Gap]:
    boat = survey.boat.name if survey.boat else ""
    strangers = [name for name in other_boats if name and name.lower() != boat.lower()]
    for text in _texts(survey):
        for vague in vague_words(text.words, text.parts):
            yield Gap(
                id=f"vague {text.about} {vague.word}",
                about=text.about,
                where=text.where,
                what=f'"{vague.word}" says nothing a reader could hold you to',
                do=vague.do,
                blocks=False,
                part=text.part,
            )
        for name in strangers:
            if re.search(rf"\b{re.escape(name)}\b", text.words):
                yield Gap(
                    id=f"name {text.about} {name}",
                    about=text.about,
                    where=text.where,
                    what=f'the name of another boat, "{name}", stands in the text',
                    do="Correct the text",
                    part=text.part,
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Text:
    """Sentences that a report prints: what they are about, where they stand, and of which parts they speak.

    `part` is the one on whose record they stand.
    """

    about: str
    where: str
    words: str
    parts: tuple[str, ...] = ()
    part: str = ""


def _texts(survey: Survey) -> Iterator[_Text]:
    """The surveyor's own sentences that a report prints."""
    summary = survey.last(Summary)
    if summary:
        yield _Text(
            about="summary",
            where="summary",
            words=" ".join((summary.overall, *summary.answers, *summary.next_steps)),
        )
    findings = {entry.id: entry.body for entry in survey.of(Finding)}
    for finding in findings.values():
        yield _Text(
            about=f"finding {finding.name}",
            where=f'finding "{finding.title}"',
            words=" ".join((finding.title, finding.seen, finding.why, finding.because)),
            parts=tuple(each.part for each in finding.places),
        )
    for advice in survey.bodies(Recommendation):
        of = next((e.body for e in survey.current(advice.finding) if e.id in findings), None)
        yield _Text(
            about=f"finding {of.name}, recommendation"
            if of
            else "a recommendation, recommendation",
            where=f'finding "{of.title}", recommendation' if of else "a recommendation",
            words=" ".join((advice.what, advice.why, advice.verified)),
            parts=tuple(each.part for each in of.places) if of else (),
        )
    for body in survey.bodies(Examination):
        if body.found:
            yield _Text(
                about=f"examined {key(body.place)}",
                where=f"{named(body.place)}, what was found",
                words=body.found,
                parts=(body.place.part,),
                part=body.place.part,
            )
    for limit in survey.bodies(Limitation):
        yield _Text(
            about=f"limited {key(limit.place)}",
            where=f"{named(limit.place)}, limitation",
            words=f"{limit.not_reached} {limit.could_hide}",
            parts=(limit.place.part,),
            part=limit.place.part,
        )
