"""What can be told by telephone on the evening of the survey: one page, provisional, and what it does not replace."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

from garboard.catalogue.naming import capital, key, named, named_together
from garboard.catalogue.parts import catalogue, is_duty
from garboard.judgement.contradictions import is_same_place, takes_up
from garboard.judgement.drafts import drafts
from garboard.judgement.ranking import URGENCIES, ranked
from garboard.judgement.states import part_states
from garboard.methods.result import Result
from garboard.methods.sounding import SoundedPatch, heard_words, patches
from garboard.methods.written import measure
from garboard.methods.zone import Zone, levels_words, point_of, zone_of, zone_words
from garboard.notebook.body import Examination, Finding, Limitation, Place, Sounding
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.yard.issued import issued_words

PROVISIONAL = (
    "Provisional: told on the day of the survey from notes and from readings that nobody has weighed yet, before the "
    "photographs were looked at and the whole thought over. It does not replace the report, which may say otherwise; nobody should buy, insure, "
    "lend, launch or go to sea on the strength of this list alone."
)
_UNRANKED = "Found amiss, how urgent not yet said"
_HEARD = "Heard dull or hollow, no finding written yet"
_READ = "Read, and calling for attention, no finding written yet"
_REMEMBERED = "judged by a limit that is remembered, not read;"
_MOST_NAMED = 12


def tonight_of(survey: Survey, results: Iterable[Result]) -> dict[str, Any]:
    """The list by sections: what was found, heard and read; what could not be reached; what is still silent.

    Findings come by urgency, what was heard and read where no finding speaks of it, the rest by its reason.
    `note` says what the list is and what it is not, `issued` that a report was issued already; `words` is all of it
    as plain text, to be sent.

    Args:
        survey: The survey.
        results: What its readings mean.
    """
    boat = survey.boat.name if survey.boat else ""
    title = f"{boat or 'The boat'}: what was found today"
    issued = issued_words(survey)
    sections = [*_found(survey, results), *_not_reached(survey), *_silent(survey)]
    return {
        "title": title,
        "note": PROVISIONAL,
        "issued": issued,
        "sections": [{"heading": heading, "lines": lines} for heading, lines in sections],
        "words": "\n".join(_written(title, issued, sections)),
    }


def _found(survey: Survey, results: Iterable[Result]) -> Iterator[tuple[str, list[str]]]:
    urgencies = catalogue().vocabulary.urgencies
    by_urgency: dict[str, list[str]] = defaultdict(list)
    for each in ranked(survey):
        finding = each.entry.body
        by_urgency[finding.urgency].append(_sentence(finding.title, finding.within))
    found = [(urgencies[each], by_urgency[each]) for each in URGENCIES if by_urgency[each]]
    unranked = [_seen(each.finding) for each in drafts(survey, ())]
    heard, read = _without_finding(survey, results)
    beside = [(_UNRANKED, unranked), (_HEARD, heard), (_READ, read)]
    found += [(heading, lines) for heading, lines in beside if lines]
    yield from found or [("Found", ["Nothing amiss is written down so far."])]


def _without_finding(survey: Survey, results: Iterable[Result]) -> tuple[list[str], list[str]]:
    """What the hammer and what the instruments told of which no finding speaks yet."""
    findings = survey.of(Finding)
    outlined = {each.used: each for each in patches(survey)}
    heard: list[str] = []
    judged: dict[tuple[str, str], list[Result]] = defaultdict(list)
    for each in results:
        if each.verdict != "beyond" or any(takes_up(finding, each) for finding in findings):
            continue
        if patch := outlined.get(each.used):
            heard.append(_patch(patch))
        else:
            where = key(each.place) if each.place else each.what
            judged[where, each.criterion.say if each.criterion else ""].append(each)
    heard += _heard_somewhere(survey)
    return heard, [_judged(alike) for alike in judged.values()]


def _patch(of: SoundedPatch) -> str:
    where = zone_words((of.part, of.side, of.number))
    return f"{capital(where)}, {levels_words(of.levels_m)}: {of.said}"


def _heard_somewhere(survey: Survey) -> Iterator[str]:
    """What was heard dull or hollow on a part where nobody measured the place."""
    spoken_of = [place for each in survey.bodies(Finding) for place in each.places]
    zones: dict[Zone, list[str]] = defaultdict(list)
    for each in survey.bodies(Sounding):
        if each.heard not in ("dull", "hollow") or point_of(each.place):
            continue
        if not any(is_same_place(place, each.place) for place in spoken_of):
            zones[zone_of(each.place)].append(each.heard)
    for zone, heard in zones.items():
        told = heard_words(dull=heard.count("dull"), hollow=heard.count("hollow"))
        yield f"{capital(zone_words(zone))}, the places not measured: {told}."


def _judged(alike: list[Result]) -> str:
    """Results of one place that come to the same, the first of them for all."""
    first = alike[0]
    said = first.criterion.say if first.criterion else first.judged
    if first.criterion and first.criterion.text == "memory":
        said = f"{_REMEMBERED} {said}"
    if len(alike) > 1 and first.place:
        return f"{capital(named(first.place))}, {len(alike)} times: {said}."
    figure = measure(first.value, first.uncertainty, first.unit)
    return f"{capital(first.what)}, {figure}: {said}."


def _not_reached(survey: Survey) -> Iterator[tuple[str, list[str]]]:
    reasons = catalogue().vocabulary.reasons
    by_reason: dict[str, dict[str, list[Place]]] = defaultdict(lambda: defaultdict(list))
    for entry in survey.of(Limitation):
        place = entry.body.place
        if is_duty(place.part) or _was_reached_since(survey, entry):
            continue
        for reason in entry.body.reasons[:1]:
            by_reason[reasons.get(reason, reason)][place.part].append(place)
    lines = [
        f"{capital(why)}: {'; '.join(named_together(places) for places in by_part.values())}."
        for why, by_part in by_reason.items()
    ]
    if lines:
        yield "Not reached, whole or in part", lines


def _was_reached_since(survey: Survey, limit: Entry[Limitation]) -> bool:
    """Whether the place was examined whole after it was called not reached; a method not used stays unused."""
    return not limit.body.how and any(
        each.body.extent == "whole"
        and survey.done_at(each) > survey.done_at(limit)
        and key(each.body.place) == key(limit.body.place)
        for each in survey.of(Examination)
    )


def _silent(survey: Survey) -> Iterator[tuple[str, list[str]]]:
    left = [
        each.called.place
        for each in part_states(survey)
        if each.is_place and each.state == "silent"
    ]
    if not left:
        return
    names = f": {'; '.join(named(each) for each in left)}" if len(left) <= _MOST_NAMED else ""
    parts = "1 part" if len(left) == 1 else f"{len(left)} parts"
    yield "Not yet looked at", [f"{parts} of the boat{names}. Nothing can be said of them."]


def _seen(of: Finding) -> str:
    where = capital(named(of.places[0]))
    return of.seen if of.seen.startswith(where) else f"{where}: {of.seen}"


def _sentence(title: str, within: str) -> str:
    return f"{title} ({within})" if within else title


def _written(title: str, issued: str, sections: Iterable[tuple[str, list[str]]]) -> Iterator[str]:
    yield title
    yield ""
    yield PROVISIONAL
    if issued:
        yield issued
    for heading, lines in sections:
        yield ""
        yield heading
        yield from (f"- {each}" for each in lines)
