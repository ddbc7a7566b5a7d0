"""Gaps: what must still be said before leaving the boat, and before a report is issued."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace

from garboard.judgement.agreement import disagreements
from garboard.judgement.contradictions import contradictions
from garboard.judgement.gap import Gap
from garboard.judgement.gaps_of_findings import of_findings
from garboard.judgement.gaps_of_job import of_job
from garboard.judgement.gaps_of_photographs import LOOKED_AT, of_photographs
from garboard.judgement.gaps_of_places import of_places
from garboard.judgement.gaps_of_words import of_words
from garboard.methods.result import Result
from garboard.notebook.body import Answer
from garboard.notebook.fold import Survey


def gaps(
    survey: Survey, results: Iterable[Result], other_boats: Iterable[str] = ()
) -> tuple[Gap, ...]:
    """Everything that is missing, in the order of the work.

    Args:
        survey: The survey.
        results: What its readings mean.
        other_boats: Names of boats surveyed before, which must not have been left in the text.
    """
    found = (
        *of_job(survey),
        *of_places(survey),
        *of_findings(survey),
        *disagreements(survey),
        *of_photographs(survey),
        *contradictions(survey, tuple(results)),
        *of_words(survey, tuple(other_boats)),
    )
    answers = {answer.gap: answer.words for answer in survey.bodies(Answer)}
    answered = tuple(
        replace(gap, answer=answers.get(gap.id, "")) if gap.answerable else gap for gap in found
    )
    of_photos = {each for each in answers if each.startswith(LOOKED_AT)}
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
