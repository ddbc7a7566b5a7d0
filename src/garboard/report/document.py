"""The format-neutral document a report is composed into; writers only set it.

Text is plain text everywhere, never markup; `Span` marks the little that is set apart. `rests_on` holds entry
ids, so that every sentence can be traced. Numbering of figures and tables is done here, once, by `compose`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from garboard.notebook.problem import Problem
from garboard.report.edits import NONE, Edits


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A run of text: plain, strong or emphatic; `note` is the text of a footnote hung on it, `to` a block's label."""

    text: str
    style: Literal["plain", "strong", "emphatic"] = "plain"
    note: str = ""
    to: str = ""


Text = tuple[Span, ...]
Across = Literal[1, 2, 3]


def plain(text: str) -> Text:
    """Text of one plain span."""
    return (Span(text=text),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A heading; level 1 to 4, no level skipped; `label` is unique in the document.

    `new_page` begins a page with it, unless the medium can tell that much of this one is free; `beside` sets it in the side column, level with the text it heads, where the medium has one.
    """

    level: Literal[1, 2, 3, 4]
    text: str
    label: str = ""
    new_page: bool = False
    beside: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """A paragraph; "lead" opens a section, "small" is fine print, "caution" warns before work."""

    text: Text
    kind: Literal["body", "lead", "small", "caution"] = "body"
    rests_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Items:
    """A list of texts, numbered or not."""

    items: tuple[Text, ...]
    numbered: bool = False
    rests_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Pairs of a term and what is stated of it, set as two columns."""

    pairs: tuple[tuple[str, Text], ...]
    rests_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table; `share` is its relative width."""

    name: str
    align: Literal["left", "right", "decimal"] = "left"
    share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table with a header row, repeated on each page; every row has as many cells as there are columns."""

    caption: str
    number: int
    columns: tuple[Column, ...]
    rows: tuple[tuple[Text, ...], ...]
    label: str = ""
    rests_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """An SVG drawing as text; `alt` describes it to somebody who cannot see it."""

    svg: str
    alt: str
    caption: str
    number: int
    label: str = ""
    width: Literal["full", "half"] = "full"
    rests_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A photograph by the SHA-256 of its original; the writer asks for a copy sized to its slot."""

    sha256: str
    photo_number: int
    caption: str
    alt: str
    label: str = ""
    edits: Edits = NONE

    @property
    def copy(self) -> str:
        """Names the copy it shows; two pictures of one original may each be edited in their own way."""
        return f"{self.sha256}-{self.edits.key}" if self.edits.key else self.sha256


@dataclass(frozen=True, slots=True, kw_only=True)
class Pictures:
    """Photographs side by side, one, two or three to a row."""

    pictures: tuple[Picture, ...]
    across: Across = 2
    rests_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingBlock:
    """A finding as the reader meets it: number, title, urgency, facts, and its recommendations."""

    number: int
    label: str
    title: str
    urgency: str
    because: str
    where: str
    seen: Text
    how_known: str
    why: str
    evidence: tuple[Text, ...]
    recommendations: tuple["RecommendationBlock", ...]
    pictures: tuple[Picture, ...] = ()
    rests_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RecommendationBlock:
    """A recommendation in its parts; `caution` is set before the act."""

    what: str
    by_whom: str
    by_when: str
    verified: str
    cost: str = ""
    caution: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignatureBlock:
    """The signed statement's place: who signs, as what, and the words."""

    name: str
    qualification: str
    date: str
    statement: tuple[str, ...]


Block = (
    Heading | Paragraph | Items | Facts | Table | Drawing | Pictures | FindingBlock | SignatureBlock
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A whole report.

    `footer` is printed on every page beside "page n of N"; `front` is the title page's pairs; `draft` marks a
    report not issued; `files` are associated files to carry inside the PDF. So many blocks of the `opening` stand
    before the contents: what every reader needs.
    """

    title: str
    subtitle: str
    author: str
    language: str
    number: str
    footer: str
    issued_unix: int
    front: tuple[tuple[str, str], ...]
    blocks: tuple[Block, ...]
    opening: int = 0
    cover: Picture | None = None
    draft: bool = False
    notice: str = ""
    files: tuple["AttachedFile", ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AttachedFile:
    """A file carried inside the PDF: the notebook as its source, readings as data."""

    name: str
    media_type: str
    description: str
    relationship: Literal["source", "data", "supplement"]
    content: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What a writer made, and what it could not show as it was: photographs, characters, references."""

    content: bytes
    warnings: tuple[Problem, ...] = ()


def labels(document: Document) -> frozenset[str]:
    """The labels a span may point to.

    Raises:
        ValueError: Two blocks have one label.
    """
    found: set[str] = set()
    for block in document.blocks:
        inside = (picture for picture, _ in _pictures_in(block))
        for label in (getattr(block, "label", ""), *(picture.label for picture in inside)):
            if label and label in found:
                raise ValueError(f"Two blocks of the report have the label {label!r}.")
            found.add(label)
    return frozenset(found - {""})


def pictures(document: Document) -> Iterator[tuple[Picture, Across]]:
    """Every photograph of the document in order, and how many stand side by side where it does."""
    if document.cover:
        yield document.cover, 1
    for block in document.blocks:
        yield from _pictures_in(block)


def across_in_finding(count: int) -> Across:
    """How many of a finding's photographs stand side by side: rows as full as they can be.

    >>> [across_in_finding(count) for count in (1, 2, 3, 4, 5, 6)]
    [2, 2, 3, 2, 3, 3]
    """
    return 2 if count in {0, 1, 2, 4} else 3


def _pictures_in(block: Block) -> Iterator[tuple[Picture, Across]]:
    if isinstance(block, Pictures):
        for picture in block.pictures:
            yield picture, block.across
    elif isinstance(block, FindingBlock):
        across = across_in_finding(len(block.pictures))
        for picture in block.pictures:
            yield picture, across
