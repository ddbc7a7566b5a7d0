"""What is missing of the job as a whole: how it began, what was agreed and allowed, what the report says in front."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from itertools import zip_longest
from types import MappingProxyType

from garboard.catalogue.naming import key, named
from garboard.judgement.gap import Gap
from garboard.judgement.issues import amendments_of, is_changed, issues
from garboard.notebook.body import (
    Act,
    Conditions,
    ConflictCheck,
    Consent,
    Examination,
    Person,
    Photo,
    Summary,
    Terms,
    Unknown,
    Value,
)
from garboard.notebook.fold import Survey

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
# What fits on the one page a lay reader reads, in words.
_SUMMARY_WORDS, _ANSWER_WORDS = 110, 45


def is_surveyor(person: Person) -> bool:
    """Whether a person signs as the surveyor: "surveyor", alone or before a comma, never "surveyor's assistant"."""
    return person.role.partition(",")[0].strip().lower() == "surveyor"


def of_job(survey: Survey) -> Iterator[Gap]:
    """In the order of the work."""
    yield from _beginnings(survey)
    yield from _amendment(survey)
    yield from _summary_length(survey)
    yield from _choices(survey)
    yield from _consents(survey)
    yield from _visits(survey)


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


def _consents(survey: Survey) -> Iterator[Gap]:
    """Acts done without leave: one never asked for is asked about once, one that was refused at each place."""
    leave: dict[Act, bool] = {consent.act: consent.given for consent in survey.bodies(Consent)}
    done: dict[Act, dict[str, str]] = defaultdict(dict)
    for examination in survey.bodies(Examination):
        done["attend"][""] = "the survey"
        for how in examination.how:
            if how in NEEDS_CONSENT:
                place = examination.place
                done[NEEDS_CONSENT[how]][key(place)] = named(place)
    if survey.of(Photo):
        done["photograph"][""] = "photographs"
    for act, places in sorted(done.items()):
        if leave.get(act, False):
            continue
        refused = act in leave
        asked = places if refused else {"": _together(tuple(places.values()))}
        for at, where in asked.items():
            yield Gap(
                id=f"consent {act} {at}".rstrip(),
                where=where,
                what=f"leave to {act} was {'refused' if refused else 'not recorded'}, yet it was done",
                do="Record who gave leave, and when; or answer for it here",
            )


def _together(places: tuple[str, ...]) -> str:
    return places[0] if len(places) == 1 else f"{places[0]} and {len(places) - 1} more"


def _visits(survey: Survey) -> Iterator[Gap]:
    for entry in survey.of(Conditions):
        began = entry.body.began
        if entry.body.ended is None:
            yield Gap(
                id=f"visit end {began:%Y-%m-%d %H:%M}",
                where="conditions",
                what=f"when the visit of {began.day} {began:%B %Y} ended is not recorded",
                do="End the visit, or write down when it ended",
                blocks=False,
            )
