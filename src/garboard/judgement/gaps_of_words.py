"""Words that should not go out: vague ones, and the names of other boats."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from garboard.catalogue.naming import key, named
from garboard.judgement.gap import Gap
from garboard.judgement.vague import vague_words
from garboard.notebook.body import (
    Amendment,
    Examination,
    Finding,
    Limitation,
    Observation,
    Photo,
    Recommendation,
    Summary,
    Value,
)
from garboard.notebook.fold import Survey


def of_words(survey: Survey, other_boats: Iterable[str]) -> Iterator[Gap]:
    """In the surveyor's own sentences that a report prints; `other_boats` are names that belong to none of them."""
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
            words=f"{limit.not_reached} {limit.could_hide} {limit.would_lift}",
            parts=(limit.place.part,),
            part=limit.place.part,
        )
    yield from _of_what_is_shown(survey)
    for value in survey.bodies(Value):
        words = " ".join((value.basis, value.reasoning, *value.assumptions))
        yield _Text(about="value", where="value", words=words)
    for amendment in survey.bodies(Amendment):
        words = " ".join((amendment.reason, *amendment.changes))
        yield _Text(about="amendment", where="amendment", words=words)


def _of_what_is_shown(survey: Survey) -> Iterator[_Text]:
    for entry in survey.of(Observation):
        place = entry.body.place
        yield _Text(
            about=f"observed {key(place)} {entry.id[-6:]}",
            where=f"{named(place)}, what was observed",
            words=entry.body.seen,
            parts=(place.part,),
            part=place.part,
        )
    for photo in survey.bodies(Photo):
        if photo.printed:
            yield _Text(
                about=f"photo {photo.file}",
                where=f"photograph {photo.number}, its caption",
                words=photo.caption,
                parts=(photo.place.part,) if photo.place else (),
            )
