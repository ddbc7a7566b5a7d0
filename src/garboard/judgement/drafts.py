"""Findings drafted from defects observed and from verdicts beyond a limit, for the surveyor to edit.

A draft keeps its evidence. What no finding takes up yet is drafted; nothing is drafted twice.
"""

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from garboard.catalogue.naming import named
from garboard.catalogue.phrases import Phrase, phrases_for
from garboard.judgement.contradictions import takes_up
from garboard.methods.moisture import scale_number
from garboard.methods.result import Result
from garboard.notebook.body import Finding, HowKnown, Observation, Photo, Place
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A finding not yet written, and the phrases that might word it, the nearest first."""

    finding: Finding
    phrases: tuple[Phrase, ...]


def drafts(survey: Survey, results: Iterable[Result]) -> tuple[Draft, ...]:
    """A draft for each observed defect and each verdict beyond a limit that no finding rests on.

    A draft is worded with what was seen or computed alone; urgency and reasons stay the surveyor's.
    """
    taken = {each for finding in survey.bodies(Finding) for each in finding.evidence}
    names = {finding.name for finding in survey.bodies(Finding)}
    photos = _photos_by_part(survey)
    made: list[Draft] = []
    for plain in (*_of_observations(survey, taken), *_of_results(results, survey.of(Finding))):
        place = plain.places[0]
        name = free_name(plain.title, names)
        names.add(name)
        finding = replace(plain, name=name, photos=photos.get(place.part, ()))
        made.append(Draft(finding=finding, phrases=_fitting(place.part, plain.seen)))
    return tuple(made)


def _of_observations(survey: Survey, taken: set[str]) -> Iterator[Finding]:
    for entry in survey.of(Observation):
        body = entry.body
        if body.defect and entry.id not in taken:
            yield _plain(named(body.place), _measured(body), body.place, "seen", (entry.id,))


def _of_results(results: Iterable[Result], findings: Iterable[Entry[Finding]]) -> Iterator[Finding]:
    for result in results:
        if result.verdict != "beyond" or result.place is None:
            continue
        if any(takes_up(finding, result) for finding in findings):
            continue
        said = result.criterion.say if result.criterion else ""
        figure = scale_number(result.value) if result.value is not None else ""
        what = result.what[:1].upper() + result.what[1:]
        seen = f"{what}: {figure} {result.unit}. {said}".strip()
        yield _plain(named(result.place), seen, result.place, "measured", result.used)


def _plain(
    title: str, seen: str, place: Place, how_known: HowKnown, evidence: tuple[str, ...]
) -> Finding:
    return Finding(
        name="",
        title=title[:1].upper() + title[1:],
        seen=seen,
        why="",
        urgency="keep under watch",
        because="",
        how_known=(how_known,),
        places=(place,),
        evidence=evidence,
    )


def _measured(body: Observation) -> str:
    sizes = (("long", body.length_mm), ("wide", body.width_mm), ("deep", body.depth_mm))
    words = [f"{value:g} mm {name}" for name, value in sizes if value is not None]
    return f"{body.seen.rstrip('.')}, {', '.join(words)}." if words else body.seen


def _photos_by_part(survey: Survey) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, list[str]] = defaultdict(list)
    for entry in survey.of(Photo):
        if entry.body.place:
            found[entry.body.place.part].append(entry.id)
    return {part: tuple(ids) for part, ids in found.items()}


def _fitting(part: str, seen: str) -> tuple[Phrase, ...]:
    """The phrases of a part that share a word with what was seen, those that share most first."""
    words = _stems(seen)
    shared = [
        (len(words & _stems(f"{each.title} {each.seen}")), each) for each in phrases_for(part)
    ]
    return tuple(phrase for count, phrase in sorted(shared, key=lambda pair: -pair[0]) if count)


def _stems(text: str) -> set[str]:
    return {word[:5] for word in re.findall(r"[a-z]{3,}", text.lower())} - _COMMON


def free_name(title: str, taken: Collection[str]) -> str:
    """A name for a finding, made from its title, that no other bears."""
    name = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60] or "finding"
    return next(
        each
        for each in (name, *(f"{name}-{number}" for number in range(2, len(taken) + 3)))
        if each not in taken
    )
