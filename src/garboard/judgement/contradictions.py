"""Where the surveyor's words and the surveyor's own readings do not agree."""

from collections import defaultdict
from collections.abc import Iterator

from garboard.catalogue.naming import key, named
from garboard.catalogue.parts import catalogue
from garboard.judgement.gap import Gap
from garboard.judgement.states import covers, methods_used, part_states
from garboard.methods.result import Result
from garboard.notebook.body import (
    Examination,
    Finding,
    Limitation,
    Observation,
    Photo,
    Place,
    Sounding,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey


def contradictions(survey: Survey, results: tuple[Result, ...]) -> tuple[Gap, ...]:
    """Parts called sound, or not reached, against what is kept of them; methods left out that were used; verdicts no finding takes up."""
    return (
        *_called_sound(survey, results),
        *_called_unused(survey),
        *_called_unreached(survey),
        *_not_taken_up(survey, results),
    )


def _called_sound(survey: Survey, results: tuple[Result, ...]) -> Iterator[Gap]:
    against = _against(survey, results)
    for entry in survey.of(Examination):
        place = entry.body.place
        words = next(
            (words for other, words in against.get(place.part, ()) if is_same_place(place, other)),
            None,
        )
        if entry.body.outcome == "sound" and words:
            name = key(place)
            yield Gap(
                id=f"called sound {name}",
                about=name,
                where=named(place),
                what=f"it is called sound, and {words}",
                do="Correct one of the two, or say why both are true",
            )


def _against(survey: Survey, results: tuple[Result, ...]) -> dict[str, list[tuple[Place, str]]]:
    """By part, what speaks against its being sound, and where."""
    against: dict[str, list[tuple[Place, str]]] = defaultdict(list)
    for sounding in survey.bodies(Sounding):
        if sounding.heard in ("dull", "hollow"):
            against[sounding.place.part].append((sounding.place, f"it sounded {sounding.heard}"))
    for observation in survey.bodies(Observation):
        if observation.defect:
            place = observation.place
            against[place.part].append((place, f'a defect was observed: "{observation.seen}"'))
    for result in results:
        if result.verdict == "beyond" and result.place is not None:
            against[result.place.part].append((result.place, f"{result.what}: {_said(result)}"))
    return against


def _called_unused(survey: Survey) -> Iterator[Gap]:
    """Limitations that leave a method out where soundings or readings were made by it.

    Where an examination names the method as well, the limitation speaks of the rest of the part.
    """
    vocabulary, used = catalogue().vocabulary, methods_used(survey)
    told = [(body.place, body.how) for body in survey.bodies(Examination)]
    seen: set[str] = set()
    for body in survey.bodies(Limitation):
        place = body.place
        # One that names a spot of the part leaves the method out there alone.
        if place.words or place.station_m is not None:
            continue
        done = {how for how, at in used.get(place.part, ()) if is_same_place(place, at)}
        done -= {how for at, named_as in told if is_same_place(place, at) for how in named_as}
        for how in body.how:
            id_ = f"called unused {how} {key(place)}"
            if how in done and id_ not in seen:
                seen.add(id_)
                yield Gap(
                    id=id_,
                    about=key(place),
                    where=named(place),
                    what=f"a limitation says that it was not {vocabulary.how[how]}, and what is recorded of it says that it was",
                    do="Take the limitation back, or say of which share of the part it speaks",
                    blocks=False,
                )


def _called_unreached(survey: Survey) -> Iterator[Gap]:
    """Places called not reached that were sounded, read, observed or photographed all the same."""
    words, used = catalogue().vocabulary.how, methods_used(survey)
    photographed = [photo.place for photo in survey.bodies(Photo) if photo.printed and photo.place]
    for each in part_states(survey):
        place = each.called.place
        if each.state != "not reached":
            continue
        done = [how for how, at in used.get(place.part, ()) if covers(at, place)]
        done += ["photo"] if any(covers(at, place) for at in photographed) else []
        if done:
            said = " and ".join(words[how] for how in dict.fromkeys(done))
            yield Gap(
                id=f"called unreached {key(place)}",
                about=key(place),
                where=named(place),
                what=f"it is called not reached, and it was {said}",
                do="Record how far it was examined, or leave it where that was done from afar",
                blocks=False,
                part=place.part,
            )


def _not_taken_up(survey: Survey, results: tuple[Result, ...]) -> Iterator[Gap]:
    findings = survey.of(Finding)
    seen: set[str] = set()
    for result in results:
        if result.verdict != "beyond" or any(takes_up(each, result) for each in findings):
            continue
        id_ = f"not taken up {result.method} {_where(result)}"
        if id_ not in seen:
            seen.add(id_)
            yield Gap(
                id=id_,
                about=key(result.place) if result.place else "",
                where=_in_words(result),
                what=f"{result.what}: {_said(result)}, and no finding speaks of it",
                do="Write a finding, or say here why it does not matter",
            )


def _said(result: Result) -> str:
    return "beyond the limit" if result.judged == "beyond" else result.judged


def _where(result: Result) -> str:
    """The place of a result as it stands in a gap's id, to the metre."""
    place = result.place
    if place is None:
        return "boat"
    metre = "" if place.station_m is None else f" {int(place.station_m)} m"
    return f"{key(place)}{metre}"


def _in_words(result: Result) -> str:
    """The same to be read."""
    place = result.place
    if place is None:
        return "the boat"
    metre = "" if place.station_m is None else f", {int(place.station_m)} m aft of the stem"
    return f"{named(place)}{metre}"


def takes_up(finding: Entry[Finding], result: Result) -> bool:
    """Whether a finding speaks of a result: at its place, or resting on its entries where it has none."""
    evidence = {*finding.body.evidence, *finding.body.photos}
    if result.place is None:
        return bool(evidence & set(result.used))
    return any(is_same_place(place, result.place) for place in finding.body.places)


def is_same_place(one: Place, other: Place) -> bool:
    """Whether two places may be one: a side or number that one of them does not state makes no difference."""
    return (
        one.part == other.part
        and (one.side is None or other.side is None or one.side == other.side)
        and (one.number is None or other.number is None or one.number == other.number)
    )
