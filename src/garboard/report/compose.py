"""A survey composed into one document: which sections, in which order, by purpose."""

from collections.abc import Callable, Mapping
from datetime import datetime
from types import MappingProxyType

from garboard.catalogue.naming import capital
from garboard.judgement.gap import Gap
from garboard.judgement.issues import called
from garboard.methods.library import evidence_of
from garboard.methods.recordings import NO_SOUNDS
from garboard.methods.result import Result
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.report.document import AttachedFile, Block, Document
from garboard.report.sections import (
    findings,
    front,
    limits,
    parts,
    photographs,
    readings,
    record,
    value,
    views,
    words_used,
)
from garboard.report.sections.case import Case, Kept
from garboard.report.sections.words import purpose_words

Section = Callable[[Case], tuple[Block, ...]]

_OPENING: tuple[Section, ...] = (front.summary, front.amendment, front.at_a_glance)
"""What stands before the contents, and is all that most readers read."""

_FULL: tuple[Section, ...] = (
    limits.not_examined,
    findings.findings,
    record.cautions,
    views.hull,
    readings.readings,
    parts.zone_by_zone,
    value.value,
    record.the_boat,
    record.told,
    record.conditions,
    record.methods,
    photographs.photographs,
    words_used.words_used,
    record.instruction,
    record.statement,
)
_LETTER: tuple[Section, ...] = (
    value.value,
    record.the_boat,
    limits.not_examined,
    record.conditions,
    photographs.photographs,
    words_used.words_used,
    record.instruction,
    record.statement,
)
_BY_DATE: tuple[Section, ...] = (front.summary, front.amendment, findings.listed_by_date)
_SECTIONS: Mapping[str, tuple[tuple[Section, ...], tuple[Section, ...]]] = MappingProxyType(
    {
        "insure": (_BY_DATE, _FULL),
        "lend": (_BY_DATE, _FULL),
        "value": ((front.summary, front.amendment), _LETTER),
    }
)
"""The sections by purpose, before the contents and after, where they differ from the full report."""

_OF_EVIDENCE = frozenset({readings.readings})


def compose(
    survey: Survey,
    results: tuple[Result, ...],
    gaps: tuple[Gap, ...],
    *,
    at: datetime,
    signed: bool = False,
    files: tuple[AttachedFile, ...] = (),
    sounds: Mapping[str, bytes] = NO_SOUNDS,
    kept: Kept | None = None,
) -> Document:
    """The document of a survey.

    It is marked a draft while a gap that blocks is open.

    Args:
        survey: The survey; with an instruction and a boat.
        results: What its readings mean.
        gaps: What is missing, with the surveyor's answers.
        at: The time of issue, aware.
        signed: The PDF is going to be signed; a draft never is.
        files: Files to carry inside the PDF.
        sounds: The bytes of its recorded strikes, by SHA-256.
        kept: Of a survey that is being written, what was made of it before.

    Raises:
        Refused: The instruction or the boat is missing.
    """
    instruction, boat = survey.instruction, survey.boat
    if instruction is None or boat is None:
        missing = "instruction" if instruction is None else "boat"
        raise Refused(
            [Problem(where="report", what=f"the {missing} is missing", do="Record it first")]
        )
    case = Case(
        survey=survey,
        instruction=instruction,
        boat=boat,
        results=results,
        gaps=gaps,
        at=at,
        signed=signed,
        sounds=sounds,
        kept=kept or Kept(),
        in_writing=kept is not None,
    )
    purpose = capital(purpose_words(instruction.purpose))
    opening, body = (
        tuple(block for section in sections for block in _made(section, case))
        for sections in _SECTIONS.get(instruction.purpose, (_OPENING, _FULL))
    )
    return Document(
        title=f"Survey of {boat.name}",
        subtitle=purpose,
        author=front.surveyor_of(case).name,
        language="en",
        number=called(survey),
        footer=f"{boat.name}: {purpose.lower()} for {instruction.client}",
        issued_unix=int(at.timestamp()),
        front=front.front_pairs(case),
        blocks=(*opening, *body),
        opening=len(opening),
        cover=front.cover(case),
        draft=any(gap.is_open for gap in gaps),
        notice=instruction.notes,
        files=files,
    )


def _made(section: Section, case: Case) -> tuple[Block, ...]:
    """What a section makes; one that rests on the evidence alone may have made it before."""
    if section not in _OF_EVIDENCE:
        return section(case)
    numbered = (case.tables.last, case.figures.last)
    # What is said of the maps depends on whether a finding is drawn before them.
    of = (evidence_of(case.survey), case.results, views.is_drawn(case), numbered)
    blocks, case.tables.last, case.figures.last = case.kept.once(
        section, of, lambda: (section(case), case.tables.last, case.figures.last)
    )
    return blocks
