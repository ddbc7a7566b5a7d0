"""The photographs of the survey in one sequence; those shown with a finding are named, not printed twice."""

from garboard.notebook.body import Photo
from garboard.notebook.entry import Entry
from garboard.notebook.numbering import is_of_device
from garboard.report.document import Block, Heading, Paragraph, Pictures, Span, plain
from garboard.report.edits import edits_of
from garboard.report.sections.case import Case
from garboard.report.sections.words import counted, listed


def photographs(case: Case) -> tuple[Block, ...]:
    """All printed photographs by number."""
    if not case.photos:
        return ()
    ordered = sorted(case.photos.values(), key=lambda entry: entry.body.number)
    here = [entry for entry in ordered if entry.id not in case.shown_with]
    elsewhere = [entry for entry in ordered if entry.id in case.shown_with]
    blocks: list[Block] = [
        Heading(level=1, text="Photographs", label="photographs", new_page=True),
        Paragraph(
            text=plain(
                f"{counted(len(ordered), 'photograph')} in one sequence. Copies are reduced for "
                f"print and carry no location{_edited(ordered)}; the originals are kept unaltered, known "
                f"by their SHA-256 in the notebook inside this report.{_of_devices(ordered)}"
            ),
            kind="small",
        ),
    ]
    if elsewhere:
        spans = [Span(text="Shown with a finding: ")]
        for index, entry in enumerate(elsewhere):
            number = case.shown_with[entry.id][0]
            comma = "." if index == len(elsewhere) - 1 else ", "
            spans += [
                Span(text=f"{entry.body.number}", to=f"finding-{number}"),
                Span(text=comma),
            ]
        blocks.append(Paragraph(text=tuple(spans), kind="small"))
    if here:
        blocks.append(
            Pictures(
                pictures=tuple(case.picture(entry, f"photo-{entry.id}") for entry in here),
                across=3,
                rests_on=tuple(entry.id for entry in here),
            )
        )
    return tuple(blocks)


def _of_devices(photos: list[Entry[Photo]]) -> str:
    """Why some numbers do not follow on the others."""
    if not any(is_of_device(each.body.number) for each in photos):
        return ""
    return (
        " Those taken with a device in the yard are numbered from 10000, in a thousand numbers for "
        "each device: a leap to such a number is no sign of photographs left out."
    )


def _edited(photos: list[Entry[Photo]]) -> str:
    """Which copies are more than reduced."""
    numbers = [f"{each.body.number}" for each in photos if edits_of(each.body).said]
    if not numbers:
        return ""
    if len(numbers) == 1:
        return f"; the copy of photograph {numbers[0]} is cropped or marked, as its caption says"
    return f"; the copies of photographs {listed(numbers)} are cropped or marked, as their captions say"
