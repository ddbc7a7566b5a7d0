"""From entries to the finished files: compose, write, carry the notebook inside, sign."""

import csv
import io
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from garboard.archive.evidence import FINDINGS, NOTEBOOK, findings_json, notebook_jsonl
from garboard.archive.sign import SigningKey, sign
from garboard.archive.sounds import sounds_of
from garboard.judgement.gap import Gap
from garboard.judgement.gaps import gaps
from garboard.judgement.issues import called, is_changed, issues
from garboard.methods.library import results_of
from garboard.notebook.body import Issue
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey, fold
from garboard.notebook.ids import derived_id
from garboard.notebook.problem import Problem
from garboard.notebook.sharing import shared
from garboard.report.compose import compose
from garboard.report.copies import Copy, copies
from garboard.report.document import AttachedFile, Document, Written
from garboard.report.sections.words import purpose_words
from garboard.report.sheets import sheets
from garboard.report.typst_pdf import write_pdf
from garboard.report.xlsx import Sheet, write_xlsx

Progress = Callable[[str], None]

_TOLD_EVERY = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """The finished files by name, what was left open, and what could not be shown as it was.

    `issue` is the entry to be kept in the notebook, None where nothing was issued anew.
    """

    files: Mapping[str, bytes]
    issue: Entry[Issue] | None
    gaps: tuple[Gap, ...]
    warnings: tuple[Problem, ...]
    is_draft: bool


def published(
    entries: Iterable[Entry[Any]],
    originals: Mapping[str, Path],
    *,
    at: datetime,
    formats: tuple[str, ...],
    key: SigningKey | None = None,
    timestamp_url: str | None = None,
    delivered_to: tuple[str, ...] = (),
    other_boats: tuple[str, ...] = (),
    progress: Progress = lambda _: None,
) -> Published:
    """The report of a survey in the formats asked for.

    Private remarks stay behind. A draft is never signed. Signing the PDF issues the report: the issue becomes an
    entry, inside the report too; a report of what was issued already keeps its version. File names carry the
    report's number, or the boat's name and the purpose where it has none, and its version, or "draft" or
    "unsigned", so that no report overwrites another.

    Args:
        entries: The survey's entries.
        originals: Where the photographs and recorded strikes lie, by SHA-256.
        at: The time of issue; aware.
        formats: Of "pdf", "html", "docx", "xlsx".
        key: Signs the PDF; without one it stays unsigned.
        timestamp_url: An RFC 3161 time-stamp service, or None.
        delivered_to: Who gets it, as the issue states.
        other_boats: Names that must not have been left in the text.
        progress: Told in words what is being done.

    Raises:
        Refused: The instruction or the boat is missing.
        typesetter.NotSet: The report could not be set.
    """
    progress("Working out what the readings mean")
    survey = fold(shared(entries))
    sounds = sounds_of(survey, originals)
    results = results_of(survey, sounds)
    found = gaps(survey, results, other_boats)
    is_draft = any(gap.is_open for gap in found)
    issue = None
    signing = None if is_draft or "pdf" not in formats else key
    if signing:
        issue = issue_of(survey, at, signing.name, delivered_to)
        survey = fold((*survey.entries, *filter(None, (issue,))))
    document = compose(
        survey,
        results,
        found,
        at=at,
        signed=signing is not None,
        files=attached(survey),
        sounds=sounds,
    )
    stem = f"{_file_name(survey)}-{_state(survey, is_draft, signing)}"

    made: dict[str, Copy] = {}
    if formats != ("xlsx",):
        made = _copied(document, originals, progress)
    files: dict[str, bytes] = {}
    warnings: list[Problem] = []
    if "pdf" in formats:
        progress("Setting the pages")
        written = write_pdf(document, made)
        warnings += written.warnings
        files[f"{stem}.pdf"] = written.content
        if signing:
            progress("Signing")
            if document.author.casefold() not in signing.name.casefold():
                warnings.append(
                    Problem(
                        where="signature",
                        what=f'the certificate is that of "{signing.name}", the surveyor is {document.author}',
                        do="Sign with the surveyor's own key, or say in the report who signs",
                    )
                )
            place = survey.instruction.place if survey.instruction else ""
            files[f"{stem}.pdf"] = sign(
                written.content,
                signing,
                reason=f"Report {document.number}",
                location=place,
                at=at,
                timestamp_url=timestamp_url,
            )
    for name in formats:
        if name in ("html", "docx"):
            progress(f"Writing the {name.upper()} copy")
            written = _writer(name)(document, made)
            warnings += [each for each in written.warnings if each not in warnings]
            files[f"{stem}.{name}"] = written.content
    if "xlsx" in formats:
        progress("Writing the tables")
        book = write_xlsx(
            sheets(survey),
            title=document.title,
            author=document.author,
            issued_unix=document.issued_unix,
        )
        warnings += [each for each in book.warnings if each not in warnings]
        files[f"{stem}.xlsx"] = book.content
    return Published(
        files=files,
        issue=issue,
        gaps=found,
        warnings=tuple(warnings),
        is_draft=is_draft,
    )


def _copied(
    document: Document, originals: Mapping[str, Path], progress: Progress
) -> dict[str, Copy]:
    progress("Copying the photographs")
    made: dict[str, Copy] = {}
    for name, copy in copies(document, lambda sha256: originals[sha256].read_bytes()):
        made[name] = copy
        if len(made) % _TOLD_EVERY == 0:
            progress(f"Copying the photographs: {len(made)} so far")
    return made


def _writer(name: str) -> Callable[[Document, Mapping[str, Copy]], Written]:
    """The writer of a form, imported only where it is asked for."""
    if name == "html":
        from garboard.report.html import write_html

        return write_html
    from garboard.report.docx import write_docx

    return write_docx


def _file_name(survey: Survey) -> str:
    """What a survey's files are called, in letters and figures that every system can write."""
    asked, boat = survey.instruction, survey.boat
    assert asked is not None
    assert boat is not None
    named = asked.report_number or f"{boat.name} {purpose_words(asked.purpose)}"
    plain = unicodedata.normalize("NFKD", named).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9]+", "-", plain).strip("-") or "report"


def _state(survey: Survey, is_draft: bool, signing: SigningKey | None) -> str:
    if is_draft:
        return "draft"
    return f"v{issues(survey)[-1].body.version}" if signing else "unsigned"


def issue_of(
    survey: Survey, at: datetime, signed_by: str, delivered_to: tuple[str, ...] = ()
) -> Entry[Issue] | None:
    """The entry that issues a survey's report, or None where just this was issued before."""
    issued = issues(survey)
    if issued and not is_changed(survey):
        return None
    body = Issue(
        number=called(survey),
        version=len(issued) + 1,
        entries_sha256=survey.content_digest,
        signed_by=signed_by,
        delivered_to=delivered_to,
    )
    return Entry(
        id=derived_id(at, survey.id, "issue", body.entries_sha256),
        survey=survey.id,
        at=at,
        author=signed_by,
        device="desk",
        body=body,
    )


def attached(survey: Survey) -> tuple[AttachedFile, ...]:
    """What the PDF carries inside: the notebook, its findings, and the readings as plain tables."""
    return (
        AttachedFile(
            name=NOTEBOOK,
            media_type="application/jsonl",
            description="The notebook: every entry of the survey, one line of canonical JSON each",
            relationship="source",
            content=notebook_jsonl(survey),
        ),
        AttachedFile(
            name=FINDINGS,
            media_type="application/json",
            description="The findings, with the digest of the entries they were made from",
            relationship="data",
            content=findings_json(survey),
        ),
        *(
            AttachedFile(
                name=f"{sheet.name.lower().replace(' ', '-')}.csv",
                media_type="text/csv",
                description=f"{sheet.name} as a plain table",
                relationship="data",
                content=_csv(sheet),
            )
            for sheet in sheets(survey)
            if sheet.rows
        ),
    )


def _csv(sheet: Sheet) -> bytes:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(sheet.columns)
    writer.writerows(
        [each.isoformat() if isinstance(each, datetime) else each for each in row]
        for row in sheet.rows
    )
    return out.getvalue().encode()
