"""Findings drafted from what was seen amiss and from verdicts beyond a limit, for the surveyor to edit.

A draft keeps its evidence. What no finding takes up yet is drafted; nothing is drafted twice.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from garboard.catalogue.naming import capital, named
from garboard.catalogue.phrases import Phrase, phrases_for
from garboard.judgement.contradictions import is_same_place, takes_up
from garboard.judgement.grounds import rests_on
from garboard.judgement.states import covers
from garboard.methods.moisture import scale_number
from garboard.methods.result import Result
from garboard.notebook.body import Examination, Finding, HowKnown, Observation, Photo, Place
from garboard.notebook.fold import Survey
from garboard.notebook.vet import places_of

_COMMON = frozenset(
    [
        "the",
        "a",
        "an",
        "of",
        "at",
        "in",
        "on",
        "and",
        "or",
        "is",
        "are",
        "was",
        "with",
        "to",
        "by",
        "its",
        "from",
        "over",
    ]
)

_LONGEST_CLAUSE = 60
# A dot ends no clause after "e.g", nor where the sentence goes on in small letters.
_CLAUSE_END = re.compile(r"[,;:(](?:\s|$)|(?<!\.[a-z])\.(?:\s+(?=[^a-z])|$)")
# A heading does not end with a word that leads on to the next.
_LEADING_ON = _COMMON | {
    "for",
    "into",
    "near",
    "under",
    "above",
    "below",
    "between",
    "but",
    "which",
    "that",
    "station",
    "stations",
    "level",
    "levels",
}


# By family of methods: what a wording must speak of to fit, because no other way of looking found it.
_SPOKEN_OF = {"moisture": "moisture"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A finding not yet written, and the phrases that might word it, the nearest first.

    Its urgency is the least that can be written down, and nobody's opinion: whoever takes it up chooses one.
    """

    finding: Finding
    phrases: tuple[Phrase, ...]


def drafts(survey: Survey, results: Iterable[Result]) -> tuple[Draft, ...]:
    """A draft for each defect seen, each part found doubtful and each verdict beyond a limit without a finding.

    A draft is worded with what was seen or computed alone; urgency and reasons stay the surveyor's.
    """
    findings = survey.of(Finding)
    taken = {entry.id for finding in findings for entry in rests_on(finding, survey)}
    names = {finding.body.name for finding in findings}
    observed = tuple(_of_observations(survey, taken))
    spoken_of = [place for each in (*survey.bodies(Finding), *observed) for place in each.places]
    found = (
        *((each, "") for each in observed),
        *((each, "") for each in _of_examinations(survey, taken, spoken_of)),
        *_of_results(survey, results),
    )
    made: list[Draft] = []
    for plain, spoken in found:
        place = plain.places[0]
        name = free_name(named(place), names)
        names.add(name)
        finding = replace(plain, name=name, photos=_photos_of(survey, place))
        made.append(Draft(finding=finding, phrases=_fitting(place.part, plain.seen, spoken)))
    return tuple(made)


def _of_observations(survey: Survey, taken: set[str]) -> Iterator[Finding]:
    for entry in survey.of(Observation):
        body = entry.body
        if body.defect and entry.id not in taken:
            yield _plain(body.seen, _measured(body), body.place, "seen", (entry.id,))


def _of_examinations(
    survey: Survey, taken: set[str], spoken_of: Sequence[Place]
) -> Iterator[Finding]:
    """Of parts examined with another end than sound, of which nothing else speaks."""
    for entry in survey.of(Examination):
        body = entry.body
        if body.outcome not in ("defect", "doubtful") or entry.id in taken:
            continue
        if any(covers(each, body.place) for each in spoken_of):
            continue
        found = "a defect was found" if body.outcome == "defect" else "found doubtful"
        seen = body.found or f"{capital(named(body.place))}: {found}."
        yield _plain(body.found or found, seen, body.place, "seen", (entry.id,))


def _of_results(survey: Survey, results: Iterable[Result]) -> Iterator[tuple[Finding, str]]:
    """Of verdicts beyond a limit, each with what its wording must speak of."""
    findings = survey.of(Finding)
    for result in results:
        place = result.place or _first_place(survey, result)
        if result.verdict != "beyond" or place is None:
            continue
        if any(takes_up(finding, result) for finding in findings):
            continue
        said = result.criterion.say if result.criterion else ""
        figure = scale_number(result.value) if result.value is not None else ""
        told = result.plainly or f"{figure} {result.unit}"
        seen = f"{capital(result.what)}: {told}. {capital(said)}".strip()
        spoken = _SPOKEN_OF.get(result.method.partition(".")[0], "")
        yield _plain(result.what, seen, place, "measured", result.used), spoken


def _first_place(survey: Survey, result: Result) -> Place | None:
    """The first place of what a result rests on, where it names none of its own."""
    used = (survey.by_id[each] for each in result.used if each in survey.by_id)
    return next((place for each in used for place in places_of(each.body)), None)


def _plain(
    found: str, seen: str, place: Place, how_known: HowKnown, evidence: tuple[str, ...]
) -> Finding:
    return Finding(
        name="",
        title=_heading(place, found),
        seen=seen,
        why="",
        urgency="keep under watch",
        because="",
        how_known=(how_known,),
        places=(place,),
        evidence=evidence,
    )


def _heading(place: Place, found: str) -> str:
    """A heading to begin with: the part, and the first clause of what was found there.

    >>> _heading(Place(part="rudder-blade"), "A crack at the leading edge, 40 mm long. It weeps.")
    'Rudder blade: crack at the leading edge'
    >>> _heading(Place(part="rudder-blade"), "Weeping, e.g. at the foot"), _heading(Place(part="rudder-blade"), "Weeping e.g. at the foot")
    ('Rudder blade: weeping', 'Rudder blade: weeping e.g. at the foot')
    >>> _heading(Place(part="bottom-laminate"), "Soft and hollow under the hammer between stations 0.30 and 2.1 m")
    'Bottom laminate: soft and hollow under the hammer'
    """
    clause = _CLAUSE_END.split(found.strip())[0].strip()
    words = re.sub(r"^(?:an?|the)\s+", "", clause, flags=re.IGNORECASE).split()
    is_cut = len(" ".join(words)) > _LONGEST_CLAUSE
    while is_cut and words and (len(" ".join(words)) > _LONGEST_CLAUSE or _leads_on(words[-1])):
        words.pop()
    said = " ".join(words)
    # An abbreviation or a name keeps its capitals.
    said = said[:1].lower() + said[1:] if said[1:2].islower() else said
    return f"{capital(named(place))}: {said}" if said else capital(named(place))


def _leads_on(word: str) -> bool:
    """Whether a heading that ends with this word is left half: a number waits for its unit or its other end."""
    return word.lower() in _LEADING_ON or word[-1:].isdigit()


def _measured(body: Observation) -> str:
    sizes = (("long", body.length_mm), ("wide", body.width_mm), ("deep", body.depth_mm))
    words = [f"{value:g} mm {name}" for name, value in sizes if value is not None]
    return f"{body.seen.rstrip('.')}, {', '.join(words)}." if words else body.seen


def _photos_of(survey: Survey, place: Place) -> tuple[str, ...]:
    return tuple(
        entry.id
        for entry in survey.of(Photo)
        if entry.body.place and is_same_place(entry.body.place, place)
    )


def _fitting(part: str, seen: str, spoken: str) -> tuple[Phrase, ...]:
    """The phrases of a part that share a word with what was seen and speak of a matter, those that share most first."""
    words = _stems(seen)
    shared = [
        (len(words & _stems(text)), each)
        for each in phrases_for(part)
        if spoken in (text := f"{each.title} {each.seen}").lower()
    ]
    return tuple(phrase for count, phrase in sorted(shared, key=lambda pair: -pair[0]) if count)


def _stems(text: str) -> set[str]:
    return {word[:5] for word in re.findall(r"[a-z]{3,}", text.lower())} - _COMMON


def free_name(title: str, taken: Collection[str]) -> str:
    """A name for a finding, made from its title, that no other bears."""
    name = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60].rstrip("-") or "finding"
    return next(
        each
        for each in (name, *(f"{name}-{number}" for number in range(2, len(taken) + 3)))
        if each not in taken
    )
