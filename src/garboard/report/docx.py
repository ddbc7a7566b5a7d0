"""The courtesy copy for word processors: the same words and pictures, for quoting from. The PDF is the record.

Notes stand at the end, references are words without links, and files are not carried along.
"""

import io
import json
import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import partial
from typing import Any, assert_never

import docx
from docx.enum.style import WD_STYLE_TYPE
from docx.enum.text import WD_ALIGN_PARAGRAPH, WD_TAB_ALIGNMENT
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Mm, Pt, RGBColor

from garboard.drawings.svg import ACCENT, HAIRLINE, INK
from garboard.report import clean, fonts, typesetter
from garboard.report.copies import Copy
from garboard.report.document import (
    Across,
    Block,
    Document,
    Drawing,
    Facts,
    FindingBlock,
    Heading,
    Items,
    Paragraph,
    Picture,
    Pictures,
    RecommendationBlock,
    SignatureBlock,
    Table,
    Text,
    Written,
    across_in_finding,
    plain,
)

_FULL_MM = 165.0
_TALLEST_MM = 190.0
_GAP_MM = 4.0
_TERM_MM = 36.0
_PPI = 220.0
_SERIF, _SANS = "Georgia", "Arial"
_QUIET = "5c574f"
_SIZES_PT = {"Title": 26, "Subtitle": 12, "Heading 1": 18, "Heading 2": 13, "Heading 3": 11,
             "Heading 4": 10}  # fmt: skip
_SMALL, _CELL = "Small", "Cell"
_DRAFT = "Draft, not to be relied on"
_ZIP_START = (1980, 1, 1, 0, 0, 0)
_WIDTH_MM = re.compile(r'<svg\b[^>]*?\bwidth="([0-9.]+)mm"')

# Each drawing on a page of its own size.
_DRAWINGS = b"""
#set page(width: auto, height: auto, margin: 0mm)
#for (place, drawing) in json("drawings.json").enumerate() {
  if place > 0 { pagebreak() }
  image(bytes(drawing.svg), format: "svg", width: drawing.width * 1mm)
}
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    """The word processor's document while it is written, and what its blocks need."""

    word: Any
    copies: Mapping[str, Copy]
    drawings: Mapping[int, bytes]
    notes: list[str] = field(default_factory=list)


def write_docx(
    document: Document, made: Mapping[str, Copy], *, time_out_s: float = typesetter.TIME_OUT_S
) -> Written:
    """The document as DOCX; the same document and photographs give the same bytes.

    Args:
        document: What to write.
        made: The print copies of its photographs, as `copies` makes them.
        time_out_s: When to give up drawing, s.

    Raises:
        typesetter.NotSet: The drawings could not be turned into pictures.
    """
    shown = clean.cleaned(document, clean.safe)
    page = _Page(word=docx.Document(), copies=made, drawings=_drawn(document, time_out_s))
    _prepare(page.word, shown)
    _write_front(page, shown)
    level = 0
    for block in shown.blocks:
        level = block.level if isinstance(block, Heading) else level
        _write_block(page, block, level)
    if page.notes:
        page.word.add_heading("Notes", 1)
        for number, note in enumerate(page.notes, 1):
            _paragraph(page, plain(f"{number}  {note}"), _SMALL)
    problems = tuple(copy.problem for copy in made.values() if copy.problem)
    return Written(content=_saved(page.word), warnings=problems)


def _drawn(document: Document, time_out_s: float) -> Mapping[int, bytes]:
    """The drawings as PNG, by the number of their figure."""
    drawings = [block for block in document.blocks if isinstance(block, Drawing)]
    if not drawings:
        return {}
    show = partial(clean.printable, glyphs=fonts.glyphs())
    data = [{"svg": show(each.svg), "width": _width_mm(each)} for each in drawings]
    sources = {"main.typ": _DRAWINGS, "drawings.json": json.dumps(data).encode()}
    pages = typesetter.pngs(sources, ppi=_PPI, time_out_s=time_out_s)
    return {each.number: png for each, png in zip(drawings, pages, strict=True)}


def _width_mm(drawing: Drawing) -> float:
    slot = _FULL_MM if drawing.width == "full" else (_FULL_MM - _GAP_MM) / 2
    found = _WIDTH_MM.search(drawing.svg)
    return min(slot, float(found[1])) if found else slot


# The page and its styles


def _prepare(word: Any, document: Document) -> None:
    issued = datetime.fromtimestamp(document.issued_unix, UTC).replace(tzinfo=None)
    core = word.core_properties
    core.title, core.author, core.subject = document.title, document.author, document.subtitle
    core.language, core.comments = document.language, ""
    core.created = core.modified = issued
    core.last_modified_by, core.revision = document.author, 1

    section = word.sections[0]
    section.page_width, section.page_height = Mm(210), Mm(297)
    section.left_margin, section.right_margin = Mm(24), Mm(21)
    section.top_margin, section.bottom_margin = Mm(28), Mm(26)

    relations = word.part.package.rels
    for key in [key for key, each in relations.items() if each.reltype.endswith("/thumbnail")]:
        del relations[key]

    styles = word.styles
    _style(styles["Normal"], _SERIF, 9.5, INK, after_pt=5)
    for name, size in _SIZES_PT.items():
        _style(styles[name], _SANS, size, _QUIET if name == "Subtitle" else INK, after_pt=5)
    for name in ("Heading 2", "Heading 3"):
        styles[name].font.bold = True
    for name in ("Title", "Heading 1"):
        styles[name].font.bold = False
    _style(styles["Caption"], _SANS, 8, INK, after_pt=10)
    styles["Caption"].font.bold = False
    small = styles.add_style(_SMALL, WD_STYLE_TYPE.PARAGRAPH)
    _style(small, _SANS, 8, _QUIET, after_pt=3)
    _style(styles.add_style(_CELL, WD_STYLE_TYPE.PARAGRAPH), _SANS, 8, INK, after_pt=3)
    for paragraph in styles["Title"].element.iter(qn("w:pBdr")):
        paragraph.getparent().remove(paragraph)
    language = styles.element.find(f".//{qn('w:lang')}")
    if language is not None:
        language.set(qn("w:val"), document.language)

    head = section.header.paragraphs[0]
    _end_stop(head)
    mark = f"{_DRAFT}    " if document.draft else ""
    head.add_run(f"{document.title}\t{mark}Report {document.number}")
    foot = section.footer.paragraphs[0]
    _end_stop(foot)
    foot.add_run(f"{document.footer}\tpage ")
    _field(foot, "PAGE")
    foot.add_run(" of ")
    _field(foot, "NUMPAGES")
    for paragraph in (head, foot):
        paragraph.style = small


def _style(style: Any, family: str, size_pt: float, colour: str, *, after_pt: float) -> None:
    style.font.name, style.font.size = family, Pt(size_pt)
    style.font.color.rgb = RGBColor.from_string(colour.lstrip("#").upper())
    style.font.italic = False
    fonts_named = style.element.rPr.rFonts
    for theme in ("asciiTheme", "hAnsiTheme", "eastAsiaTheme", "cstheme"):
        fonts_named.attrib.pop(qn(f"w:{theme}"), None)
    fonts_named.set(qn("w:hAnsi"), family)
    style.paragraph_format.space_after = Pt(after_pt)


def _end_stop(paragraph: Any) -> None:
    """One tab stop, at the right edge."""
    stops = paragraph.paragraph_format.tab_stops
    stops.add_tab_stop(Mm(_FULL_MM), WD_TAB_ALIGNMENT.RIGHT)


def _field(paragraph: Any, name: str) -> None:
    """A number that the word processor fills in."""
    element = OxmlElement("w:fldSimple")
    element.set(qn("w:instr"), name)
    paragraph._p.append(element)


def _saved(word: Any) -> bytes:
    """The package with every member dated alike, so that equal documents are equal bytes."""
    held, dated = io.BytesIO(), io.BytesIO()
    word.save(held)
    with zipfile.ZipFile(held) as before, zipfile.ZipFile(dated, "w") as after:
        for name in before.namelist():
            member = zipfile.ZipInfo(name, _ZIP_START)
            after.writestr(member, before.read(name), zipfile.ZIP_DEFLATED)
    return dated.getvalue()


# Text


def _run(page: _Page, paragraph: Any, text: Text) -> None:
    for span in text:
        run = paragraph.add_run(span.text)
        run.bold = True if span.style == "strong" else None
        run.italic = True if span.style == "emphatic" else None
        if span.note:
            page.notes.append(span.note)
            paragraph.add_run(str(len(page.notes))).font.superscript = True


def _paragraph(page: _Page, text: Text, style: str = "Normal", *, together: bool = False) -> Any:
    paragraph = page.word.add_paragraph(style=style)
    paragraph.paragraph_format.keep_with_next = together
    _run(page, paragraph, text)
    return paragraph


def _caution(page: _Page, text: Text) -> None:
    paragraph = page.word.add_paragraph()
    paragraph.paragraph_format.keep_with_next = True
    paragraph.add_run("Caution. ").bold = True
    _run(page, paragraph, text)


def _caption(page: _Page, name: str, words: str, *, above: bool = False) -> None:
    paragraph = page.word.add_paragraph(style="Caption")
    paragraph.paragraph_format.keep_with_next = above
    paragraph.add_run(f"{name}. ").bold = True
    paragraph.add_run(words)


# Blocks


def _write_front(page: _Page, document: Document) -> None:
    if document.draft:
        mark = page.word.add_paragraph().add_run(_DRAFT)
        mark.bold, mark.font.name = True, _SANS
        mark.font.color.rgb = RGBColor.from_string(ACCENT.lstrip("#").upper())
    page.word.add_paragraph(document.title, style="Title")
    page.word.add_paragraph(document.subtitle, style="Subtitle")
    if document.cover:
        _pictures(page, (document.cover,), 1)
    _pairs(page, tuple((name, plain(stated)) for name, stated in document.front))
    if document.notice:
        _paragraph(page, plain(document.notice), _SMALL)
    page.word.add_page_break()


def _write_block(page: _Page, block: Block, level: int) -> None:
    match block:
        case Heading():
            heading = page.word.add_heading(block.text, block.level)
            heading.paragraph_format.page_break_before = block.new_page
        case Paragraph():
            _prose(page, block)
        case Items():
            _items(page, block)
        case Facts():
            _pairs(page, block.pairs)
        case Table():
            _table(page, block)
        case Drawing():
            _drawing(page, block)
        case Pictures():
            _pictures(page, block.pictures, block.across)
        case FindingBlock():
            _finding(page, block, min(level + 1, 4))
        case SignatureBlock():
            _signature(page, block)
        case _:
            assert_never(block)


def _prose(page: _Page, block: Paragraph) -> None:
    if block.kind == "caution":
        _caution(page, block.text)
    else:
        _paragraph(page, block.text, _SMALL if block.kind == "small" else "Normal")


def _items(page: _Page, block: Items) -> None:
    first = None
    for item in block.items:
        paragraph = _paragraph(page, item, "List Number" if block.numbered else "List Bullet")
        if block.numbered:
            first = first or _new_numbering(page, paragraph)
            numbering = paragraph._p.get_or_add_pPr().get_or_add_numPr()
            numbering.get_or_add_ilvl().val = 0
            numbering.get_or_add_numId().val = first


def _new_numbering(page: _Page, paragraph: Any) -> int:
    """A numbering that starts at 1, of the kind the paragraph's style has."""
    numbering = page.word.part.numbering_part.element
    kind = paragraph.style.element.pPr.numPr.numId.val
    made = numbering.add_num(numbering.num_having_numId(kind).abstractNumId.val)
    made.add_lvlOverride(ilvl=0).add_startOverride(1)
    number: int = made.numId
    return number


def _pairs(page: _Page, pairs: tuple[tuple[str, Text], ...]) -> None:
    table = _grid(page, (_TERM_MM, _FULL_MM - _TERM_MM))
    for name, stated in pairs:
        term, value = table.add_row().cells
        term.paragraphs[0]._p.style = _SMALL
        term.paragraphs[0].add_run(name)
        _run(page, value.paragraphs[0], stated)
    page.word.add_paragraph()


def _table(page: _Page, block: Table) -> None:
    _caption(page, f"Table {block.number}", block.caption, above=True)
    shares = sum(column.share for column in block.columns)
    table = _grid(page, tuple(_FULL_MM * column.share / shares for column in block.columns))
    _rule(table)
    header = table.add_row()
    _row(page, block, header, tuple(plain(column.name) for column in block.columns))
    for cell in header.cells:
        for run in cell.paragraphs[0].runs:
            run.bold = True
    header._tr.get_or_add_trPr().append(OxmlElement("w:tblHeader"))
    for texts in block.rows:
        _row(page, block, table.add_row(), texts)
    page.word.add_paragraph()


def _row(page: _Page, block: Table, line: Any, texts: tuple[Text, ...]) -> None:
    line._tr.get_or_add_trPr().append(OxmlElement("w:cantSplit"))
    for column, cell, text in zip(block.columns, line.cells, texts, strict=True):
        paragraph = cell.paragraphs[0]
        # By id: looking the style up for each of thousands of cells takes most of the time.
        paragraph._p.style = _CELL
        if column.align != "left":
            paragraph.alignment = WD_ALIGN_PARAGRAPH.RIGHT
        _run(page, paragraph, text)


def _grid(page: _Page, widths_mm: tuple[float, ...]) -> Any:
    """A table without rows or lines, its columns of these widths."""
    table = page.word.add_table(rows=0, cols=len(widths_mm))
    table.autofit = False
    for column, width_mm in zip(table.columns, widths_mm, strict=True):
        column.width = Mm(width_mm)
    return table


def _rule(table: Any) -> None:
    """Hairlines under the rows, and no others."""
    borders = OxmlElement("w:tblBorders")
    for side in ("bottom", "insideH"):
        edge = OxmlElement(f"w:{side}")
        for key, value in (("val", "single"), ("sz", "4"), ("color", HAIRLINE.lstrip("#"))):
            edge.set(qn(f"w:{key}"), value)
        borders.append(edge)
    table._tbl.tblPr.append(borders)


def _drawing(page: _Page, block: Drawing) -> None:
    paragraph = page.word.add_paragraph()
    paragraph.paragraph_format.keep_with_next = True
    shape = paragraph.add_run().add_picture(
        io.BytesIO(page.drawings[block.number]), width=Mm(_width_mm(block))
    )
    if shape.height > Mm(_TALLEST_MM):
        shape.width, shape.height = (
            int(shape.width * Mm(_TALLEST_MM) / shape.height),
            Mm(_TALLEST_MM),
        )
    _describe(shape, block.alt)
    _caption(page, f"Figure {block.number}", block.caption)


def _pictures(page: _Page, pictures: tuple[Picture, ...], across: Across) -> None:
    """Rows of photographs in a table without lines, each with its caption below it."""
    slot_mm = (_FULL_MM - _GAP_MM * (across - 1)) / across
    for start in range(0, len(pictures), across):
        row = _grid(page, (_FULL_MM / across,) * across).add_row()
        row._tr.get_or_add_trPr().append(OxmlElement("w:cantSplit"))
        for picture, cell in zip(pictures[start:], row.cells, strict=False):
            copy = page.copies[picture.copy]
            width_mm = min(slot_mm, slot_mm * 0.75 * copy.width_px / copy.height_px)
            paragraph = cell.paragraphs[0]
            paragraph.paragraph_format.keep_with_next = True
            shape = paragraph.add_run().add_picture(io.BytesIO(copy.jpeg), width=Mm(width_mm))
            lacking = f"Not shown, {copy.problem.what}. " if copy.problem else ""
            _describe(shape, lacking + picture.alt)
            caption = cell.add_paragraph(style="Caption")
            caption.add_run(f"Photo {picture.photo_number}. ").bold = True
            caption.add_run(picture.caption)
    page.word.add_paragraph()


def _describe(shape: Any, alt: str) -> None:
    """The words a reader hears in place of a picture."""
    shape._inline.docPr.set("descr", alt)


def _finding(page: _Page, block: FindingBlock, level: int) -> None:
    page.word.add_heading(f"{block.number}  {block.title}", level)
    where = page.word.add_paragraph(style=_SMALL)
    where.paragraph_format.keep_with_next = True
    where.add_run(f"{block.urgency}  ").bold = True
    where.add_run(block.where)
    _paragraph(page, block.seen)
    if block.pictures:
        _pictures(page, block.pictures, across_in_finding(len(block.pictures)))
    stated = (
        ("How known", block.how_known),
        ("Why it matters", block.why),
        ("Why by then", block.because),
    )
    rests_on = tuple(
        span
        for index, each in enumerate(block.evidence)
        for span in (*(plain("; ") if index else ()), *each)
    )
    pairs = [(name, plain(words)) for name, words in stated if words]
    _pairs(page, (*pairs, *([("Rests on", rests_on)] if rests_on else [])))
    for recommendation in block.recommendations:
        _recommendation(page, recommendation)


def _recommendation(page: _Page, block: RecommendationBlock) -> None:
    if block.caution:
        _caution(page, plain(block.caution))
    paragraph = page.word.add_paragraph()
    paragraph.paragraph_format.keep_with_next = True
    paragraph.add_run(block.what).bold = True
    stated = (
        ("By whom", block.by_whom),
        ("By when", block.by_when),
        ("Done when", block.verified),
        ("Cost", block.cost),
    )
    _pairs(page, tuple((name, plain(words)) for name, words in stated if words))


def _signature(page: _Page, block: SignatureBlock) -> None:
    for sentence in block.statement:
        _paragraph(page, plain(sentence), together=True)
    space = _paragraph(page, plain(""), together=True)
    space.paragraph_format.space_after = Pt(36)
    signed = page.word.add_paragraph()
    signed.add_run(block.name).bold = True
    signed.add_run(f"\n{block.qualification}\n{block.date}")
