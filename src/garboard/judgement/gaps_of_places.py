"""What is missing of the places of a boat: parts, their limitations, the instruments read there, what was observed."""

from collections.abc import Iterator

from garboard.catalogue.naming import key, named
from garboard.catalogue.parts import catalogue
from garboard.judgement.gap import Gap
from garboard.judgement.grounds import rests_on
from garboard.judgement.states import PartState, covers, part_states
from garboard.judgement.strays import Stray, stray
from garboard.methods.zone import shell_of
from garboard.notebook.body import (
    Examination,
    Finding,
    Instrument,
    InstrumentCheck,
    Limitation,
    Memo,
    Observation,
    Place,
    ReadingSet,
)
from garboard.notebook.fold import Survey
from garboard.notebook.vet import places_of

# The kinds whose places make areas and coverage.
_COUNTED = ("sounding", "reading set")

SILENT = "nothing is recorded of it"
"""What is said of a place or a duty of which there is no entry at all."""


def of_places(survey: Survey) -> Iterator[Gap]:
    """In the order of the work."""
    yield from _parts(part_states(survey))
    yield from _limitations(survey)
    yield from _instruments(survey)
    yield from _observations(survey)
    yield from _strays(survey)
    yield from _memos(survey)


def _parts(states: tuple[PartState, ...]) -> Iterator[Gap]:
    vocabulary = catalogue().vocabulary
    for each in states:
        place = each.called.place
        if each.state in ("silent", "not written up"):
            what = SILENT
            if each.state == "not written up":
                what = "it was sounded, read or observed, and its examination is not recorded"
            do = "Examine it, or say why it was not reached"
            if not each.is_place:
                do = "Write down that it was done, or why it was not"
            yield Gap(
                id=f"silent {key(place)}",
                where=named(place),
                what=what,
                do=do,
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
