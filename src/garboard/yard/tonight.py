"""What can be told by telephone on the evening of the survey: one page, provisional, and what it does not replace."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

from garboard.catalogue.naming import named
from garboard.catalogue.parts import catalogue
from garboard.judgement.drafts import drafts
from garboard.judgement.ranking import URGENCIES, ranked
from garboard.judgement.states import part_states
from garboard.notebook.body import Limitation
from garboard.notebook.fold import Survey

PROVISIONAL = (
    "Provisional: told on the day of the survey from notes, before the readings were judged, the photographs looked at "
    "and the whole thought over. It does not replace the report, which may say otherwise; nobody should buy, insure, "
    "lend, launch or go to sea on the strength of this list alone."
)
_UNRANKED = "Found amiss, how urgent not yet said"
_MOST_NAMED = 12


def tonight_of(survey: Survey) -> dict[str, Any]:
    """The list by sections: what was found, by urgency; what could not be reached, by reason; what is still silent.

    `note` says what the list is and what it is not; `words` is all of it as plain text, to be sent.
    """
    boat = survey.boat.name if survey.boat else ""
    title = f"{boat or 'The boat'}: what was found today"
    sections = [*_found(survey), *_not_reached(survey), *_silent(survey)]
    return {
        "title": title,
        "note": PROVISIONAL,
        "sections": [{"heading": heading, "lines": lines} for heading, lines in sections],
        "words": "\n".join(_written(title, sections)),
    }


def _found(survey: Survey) -> Iterator[tuple[str, list[str]]]:
    urgencies = catalogue().vocabulary.urgencies
    by_urgency: dict[str, list[str]] = defaultdict(list)
    for each in ranked(survey):
        finding = each.entry.body
        by_urgency[finding.urgency].append(_sentence(finding.title, finding.within))
    for urgency in URGENCIES:
        if by_urgency[urgency]:
            yield urgencies[urgency], by_urgency[urgency]
    # What the readings mean is left to the desk: only what somebody saw is told tonight.
    unranked = [_seen(each.finding.title, each.finding.seen) for each in drafts(survey, ())]
    if unranked:
        yield _UNRANKED, unranked
    if not unranked and not any(by_urgency.values()):
        yield "Found", ["Nothing amiss is written down so far."]


def _not_reached(survey: Survey) -> Iterator[tuple[str, list[str]]]:
    reasons = catalogue().vocabulary.reasons
    by_reason: dict[str, dict[str, None]] = defaultdict(dict)
    for body in survey.bodies(Limitation):
        for reason in body.reasons[:1]:
            by_reason[reasons.get(reason, reason)][named(body.place)] = None
    lines = [f"{_capital(why)}: {'; '.join(places)}." for why, places in by_reason.items()]
    if lines:
        yield "Not reached, whole or in part", lines


def _silent(survey: Survey) -> Iterator[tuple[str, list[str]]]:
    left = [each.called.place for each in part_states(survey) if each.state == "silent"]
    if not left:
        return
    names = f": {'; '.join(named(each) for each in left)}" if len(left) <= _MOST_NAMED else ""
    parts = "1 part" if len(left) == 1 else f"{len(left)} parts"
    yield "Not yet looked at", [f"{parts} of the boat{names}. Nothing can be said of them."]


def _seen(title: str, seen: str) -> str:
    return seen if seen.startswith(title) else f"{title}: {seen}"


def _sentence(title: str, within: str) -> str:
    return f"{title} ({within})" if within else title


def _written(title: str, sections: Iterable[tuple[str, list[str]]]) -> Iterator[str]:
    yield title
    yield ""
    yield PROVISIONAL
    for heading, lines in sections:
        yield ""
        yield heading
        yield from (f"- {each}" for each in lines)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
