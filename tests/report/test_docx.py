import dataclasses
import io
from collections.abc import Mapping
from typing import Any

import docx
import pytest
from docx.oxml.ns import qn
from PIL import Image
from report.writing import docx_of

from garboard.report.document import Document, Written


@pytest.fixture(scope="session")
def written(document: Document, photos: Mapping[str, bytes]) -> Written:
    return docx_of(document, photos.__getitem__)


@pytest.fixture
def word(written: Written) -> Any:
    return docx.Document(io.BytesIO(written.content))


def described(word: Any) -> list[str]:
    return [each.get("descr", "") for each in word.element.iter(qn("wp:docPr"))]


def pictures(word: Any) -> list[bytes]:
    parts = word.part.package.iter_parts()
    return [part.blob for part in parts if part.content_type.startswith("image/")]


def test_headings_are_headings_and_findings_stand_under_theirs(word: Any) -> None:
    headings = [
        (paragraph.style.name, paragraph.text)
        for paragraph in word.paragraphs
        if paragraph.style.name.startswith("Heading")
    ]

    assert ("Heading 1", "Findings") in headings
    assert ("Heading 2", "Before launching") in headings
    assert ("Heading 3", "1  The skin fitting under the basin has lost its zinc") in headings
    assert ("Heading 4", "Scale") in headings


def test_every_table_of_readings_repeats_its_header_and_every_picture_is_described(
    word: Any,
) -> None:
    (readings,) = [table for table in word.tables if table.cell(0, 0).text == "No."]

    assert readings.rows[0]._tr.trPr.find(qn("w:tblHeader")) is not None
    assert len(readings.rows) == 71
    assert all(described(word))
    assert "A section through the keel joint." in described(word)


def test_text_from_people_arrives_as_typed(word: Any) -> None:
    words = "\n".join(paragraph.text for paragraph in word.paragraphs)

    assert '<b>html</b> <script>alert(1)</script> & "quoted" @ref' in words
    assert "turned round, zerowidth, bell ," in words
    assert "\u4f60\u597d" in words


def test_drawings_come_as_pictures_and_photographs_without_what_the_camera_added(word: Any) -> None:
    kinds = [Image.open(io.BytesIO(held)) for held in pictures(word)]

    assert sum(each.format == "PNG" for each in kinds) == 2
    assert sum(each.format == "JPEG" for each in kinds) == 5
    assert all(dict(each.getexif()) == {} for each in kinds)


def test_each_numbered_list_starts_at_one(document: Document, photos: Mapping[str, bytes]) -> None:
    (numbered,) = [each for each in document.blocks if getattr(each, "numbered", False)]
    twice = dataclasses.replace(document, blocks=(numbered, numbered), cover=None)

    word: Any = docx.Document(io.BytesIO(docx_of(twice, photos.__getitem__).content))

    used = [
        paragraph._p.pPr.numPr.numId.val
        for paragraph in word.paragraphs
        if paragraph.style.name == "List Number"
    ]
    assert len(used) == 6
    assert len(set(used)) == 2
    assert len(set(used[:3])) == 1


def test_notes_stand_at_the_end(word: Any) -> None:
    assert word.paragraphs[-1].text.startswith("1  Bolts 1 to 6 are glassed over")


def test_the_running_lines_name_the_report_and_say_whether_it_is_a_draft(
    document: Document, photos: Mapping[str, bytes], word: Any
) -> None:
    draft = docx_of(dataclasses.replace(document, draft=True), photos.__getitem__)

    header = docx.Document(io.BytesIO(draft.content)).sections[0].header.paragraphs[0].text
    assert "Draft, not to be relied on" in header
    assert "Report 2026-014" in header
    assert "Draft" not in word.sections[0].header.paragraphs[0].text
    assert "For Tamsin Orrowby" in word.sections[0].footer.paragraphs[0].text


def test_the_same_document_gives_the_same_bytes(
    document: Document, photos: Mapping[str, bytes], written: Written
) -> None:
    assert docx_of(document, photos.__getitem__) == written


def test_a_photograph_that_cannot_be_shown_is_reported(written: Written, word: Any) -> None:
    assert [each.where for each in written.warnings] == ["Photo 7"]
    assert any(each.startswith("Not shown, its file is damaged") for each in described(word))


def test_the_properties_name_title_and_author(word: Any, document: Document) -> None:
    assert word.core_properties.title == document.title
    assert word.core_properties.author == document.author
    assert int(word.core_properties.created.timestamp()) == document.issued_unix
