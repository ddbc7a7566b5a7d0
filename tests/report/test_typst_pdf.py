import dataclasses
import io
from collections.abc import Mapping
from typing import Any

import pikepdf
import pypdfium2
import pytest
from report.writing import pdf_of
from verapdf import failures

from garboard.report.document import (
    Column,
    Document,
    Drawing,
    FindingBlock,
    Heading,
    Items,
    Paragraph,
    Span,
    Table,
    Written,
    plain,
)
from garboard.report.typesetter import pdf
from garboard.report.typst_pdf import unsuspected

# Of the contents, from one line to the next, in points.
LINE_PT = 11.6


@pytest.fixture(scope="session")
def written(document: Document, photos: Mapping[str, bytes]) -> Written:
    return pdf_of(document, photos.__getitem__)


def only(document: Document, *blocks: Any, **changes: Any) -> Document:
    """A document of these blocks alone."""
    return dataclasses.replace(document, blocks=blocks, cover=None, files=(), **changes)


def no_photos(sha256: str) -> bytes:
    raise KeyError(sha256)


def pages_of(content: bytes) -> list[str]:
    with pypdfium2.PdfDocument(content) as opened:
        return [page.get_textpage().get_text_range() for page in opened]


def flat(text: str) -> str:
    return " ".join(text.split())


def descriptions(content: bytes, kind: str) -> list[str]:
    """The alternative text of every structure element of a kind, in the order of the tree."""
    found: list[str] = []

    def walk(node: Any) -> None:
        if isinstance(node, pikepdf.Array):
            for each in node:
                walk(each)
        elif isinstance(node, pikepdf.Dictionary):
            if node.get("/S") == kind:
                found.append(str(node.get("/Alt", "")))
            walk(node.get("/K"))

    with pikepdf.open(io.BytesIO(content)) as opened:
        walk(opened.Root.StructTreeRoot.K)
    return found


@pytest.mark.parametrize("flavour", ["3a", "ua1"])
def test_the_report_is_archival_and_accessible(written: Written, flavour: Any) -> None:
    assert failures(written.content, flavour) == []


def test_the_file_is_marked_as_tagged_and_says_nothing_of_suspects(written: Written) -> None:
    with pikepdf.open(io.BytesIO(written.content)) as opened:
        marked = dict(opened.Root.MarkInfo)

    assert marked == {"/Marked": True}


@pytest.mark.parametrize("flavour", ["3a", "ua1"])
def test_the_validator_sees_what_is_wrong(written: Written, flavour: Any) -> None:
    with pikepdf.open(io.BytesIO(written.content)) as opened:
        del opened.Root.Metadata
        held = io.BytesIO()
        opened.save(held)

    assert failures(held.getvalue(), flavour) != []


def test_the_same_document_gives_the_same_bytes(
    document: Document, photos: Mapping[str, bytes], written: Written
) -> None:
    assert pdf_of(document, photos.__getitem__) == written


def test_a_later_issue_gives_other_bytes(document: Document) -> None:
    early, late = (
        pdf_of(only(document, issued_unix=document.issued_unix + later), no_photos).content
        for later in (0, 60)
    )

    assert early != late


def test_every_page_says_which_report_it_is_and_how_many_there_are(written: Written) -> None:
    pages = pages_of(written.content)

    for number, page in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in flat(page)
        assert "For Tamsin Orrowby and her insurer only" in flat(page)
    assert all("Report 2026-014" in flat(page) for page in pages[1:])


def test_a_draft_says_so_on_every_page_and_an_issued_report_on_none(
    document: Document, photos: Mapping[str, bytes], written: Written
) -> None:
    draft = pdf_of(dataclasses.replace(document, draft=True), photos.__getitem__)

    assert all("Draft, not to be relied on" in page for page in pages_of(draft.content))
    assert not any("Draft" in page for page in pages_of(written.content))


def test_text_from_people_is_printed_as_typed_and_never_run(written: Written) -> None:
    whole = flat(" ".join(pages_of(written.content)))

    for typed in (
        '#strong[typst] *x* $x$ <b>html</b> <script>alert(1)</script> & "quoted" @ref',
        '#read("/etc/hostname")',
        "Ω −12 °C ≤ 4.62 mm",
        "turned round, zerowidth, bell ,",
    ):
        assert typed in whole


def test_a_character_without_a_glyph_is_printed_as_its_code_and_reported(written: Written) -> None:
    assert "CJK ‹U+4F60›‹U+597D›, emoji ‹U+1F6A4›" in flat(" ".join(pages_of(written.content)))
    assert sum("U+1F6A4" in problem.what for problem in written.warnings) == 1


def test_a_photograph_that_cannot_be_shown_is_reported(written: Written) -> None:
    assert [each.where for each in written.warnings if "damaged" in each.what] == ["Photo 7"]


def test_files_are_carried_along_with_what_they_are(written: Written, document: Document) -> None:
    with pikepdf.open(io.BytesIO(written.content)) as opened:
        carried = {
            name: (file.get_file().read_bytes(), file.description, str(file.obj.AFRelationship))
            for name, file in opened.attachments.items()
        }

    assert carried == {
        file.name: (file.content, file.description, f"/{file.relationship.title()}")
        for file in document.files
    }


def test_pictures_and_drawings_are_described(written: Written, document: Document) -> None:
    described = descriptions(written.content, "/Figure")

    assert "A section through the keel joint." in described
    assert "Photograph: The fitting from below" in described
    assert any(each.startswith("Not shown, its file is damaged") for each in described)
    assert all(described)


def test_tables_have_header_cells(written: Written) -> None:
    assert len(descriptions(written.content, "/TH")) == 5
    assert len(descriptions(written.content, "/TR")) == 71


def test_paragraphs_lists_and_headings_are_tagged_as_what_they_are(written: Written) -> None:
    counts = {kind: len(descriptions(written.content, kind)) for kind in ("/P", "/L", "/H1", "/H4")}

    assert counts["/P"] > 60
    assert counts["/L"] == 2
    assert counts["/H1"] == 7
    assert counts["/H4"] == 1


def test_a_long_table_repeats_its_header_on_each_page(written: Written) -> None:
    on = [flat(page) for page in pages_of(written.content) if "Bottom, port" in page]

    assert len(on) >= 2
    assert all("No. Place Station, m" in page for page in on)


def test_the_metadata_name_title_author_and_language(written: Written, document: Document) -> None:
    with pikepdf.open(io.BytesIO(written.content)) as opened:
        about = opened.open_metadata()

        assert about["dc:title"] == document.title
        assert about["dc:creator"] == [document.author]
        assert str(opened.Root.Lang) == "en-GB"


def test_findings_are_in_the_outline_under_their_heading(written: Written) -> None:
    with pypdfium2.PdfDocument(written.content) as opened:
        outline = [(each.level, each.get_title()) for each in opened.get_toc()]

    assert (1, "Before launching") in outline
    assert (2, "A hollow patch in the deck beside the chain plate") in outline


def test_the_file_ends_its_last_line(written: Written) -> None:
    assert written.content.endswith(b"%%EOF\n")


def test_a_run_without_spaces_stays_on_the_page_and_copies_whole(document: Document) -> None:
    digest = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08" * 3
    made = pdf_of(only(document, Paragraph(text=plain(digest))), no_photos)

    with pypdfium2.PdfDocument(made.content) as opened:
        page = opened[2].get_textpage()
        right = max(page.get_charbox(each)[2] for each in range(page.count_chars()))
        text = page.get_text_range()
    assert right < 595 - 20 / 25.4 * 72
    assert digest in "".join(text.split())


def test_a_reference_to_nothing_is_plain_words(document: Document) -> None:
    lost = Paragraph(text=(Span(text="see table 9", to="no-such-label"),))

    made = pdf_of(only(document, lost), no_photos)

    assert "see table 9" in pages_of(made.content)[2]


def test_two_blocks_of_one_label_are_refused(document: Document) -> None:
    twice = Heading(level=1, text="Twice", label="same")

    with pytest.raises(ValueError, match="'same'"):
        pdf_of(only(document, twice, twice), no_photos)


@pytest.mark.parametrize("lines_above", range(0, 48, 3))
def test_no_title_is_left_behind_at_the_foot_of_a_page(
    document: Document, lines_above: int
) -> None:
    finding = next(each for each in document.blocks if isinstance(each, FindingBlock))
    finding = dataclasses.replace(finding, pictures=())
    filler = Paragraph(text=plain("\n".join(["Line above."] * (lines_above + 1))))

    made = pdf_of(only(document, filler, Heading(level=1, text="A heading"), finding), no_photos)

    pages = [flat(page) for page in pages_of(made.content)]
    (with_title,) = [page for page in pages[2:] if finding.title in page]
    assert "A heading" in with_title
    assert "The flange is pink" in with_title


def test_a_caption_stays_with_its_photograph(
    document: Document, photos: Mapping[str, bytes]
) -> None:
    shown = next(each for each in document.blocks if type(each).__name__ == "Pictures")
    for lines_above in range(20, 44, 4):
        filler = Paragraph(text=plain("\n".join(["Line above."] * lines_above)))
        made = pdf_of(only(document, filler, shown), photos.__getitem__).content

        with pypdfium2.PdfDocument(made) as opened:
            for page in opened:
                captions = page.get_textpage().get_text_range().count("Photo ")
                assert captions == sum(
                    1 for each in page.get_objects() if isinstance(each, pypdfium2.PdfImage)
                )


def test_the_template_is_refused_where_a_picture_has_no_description() -> None:
    source = b'#set document(title: "x")\n#image(bytes("<svg xmlns=\\"http://www.w3.org/2000/svg\\" viewBox=\\"0 0 1 1\\"/>"), format: "svg")'

    with pytest.raises(RuntimeError, match="alt"):
        pdf({"main.typ": source}, issued_unix=0, time_out_s=60)


def test_a_column_of_numbers_is_wide_enough_for_them(document: Document) -> None:
    table = Table(
        caption="Narrow",
        number=1,
        columns=(
            Column(name="Where", share=12),
            Column(name="Mean now", align="right", share=0.1),
        ),
        rows=((plain("Bottom plating " * 12), plain("5.685 ± 0.057")),),
    )

    made = pdf_of(only(document, table), no_photos)

    lines = pages_of(made.content)[2].splitlines()
    assert any("5.685 ± 0.057" in line for line in lines)


def test_the_contents_of_a_long_report_fit_one_page(document: Document) -> None:
    headings = tuple(Heading(level=1, text=f"Section {each}") for each in range(64))

    made = pdf_of(only(document, *headings), no_photos)

    contents = pages_of(made.content)[1]
    assert all(f"Section {each}" in contents for each in range(64))


@pytest.mark.parametrize(("opening", "page"), [(1, 1), (6, 2)])
def test_the_contents_stay_whole_behind_the_opening_in_two_columns_of_about_one_height(
    document: Document, opening: int, page: int
) -> None:
    said = (Heading(level=1, text="Summary", new_page=True), *paragraphs("first", opening))
    headings = tuple(Heading(level=2, text=f"Section {each}") for each in range(50))
    made = only(document, *said, *paragraphs("then", 1), *headings)

    content = pdf_of(dataclasses.replace(made, opening=len(said)), no_photos).content

    pages = pages_of(content)
    assert f"first {opening - 1}" in flat(pages[1])
    contents = flat(pages[page])
    assert contents.index("Contents") < contents.index("Section 49") < contents.index("then 0")
    listed = [where(f"Section {each}", content, page=page) for each in range(50)]
    left, right = sorted({x for x, _ in listed})
    lowest = [min(y for x, y in listed if x == column) for column in (left, right)]
    assert lowest[0] == pytest.approx(lowest[1], abs=3.5 * LINE_PT)


def where(words: str, content: bytes, page: int) -> tuple[float, float]:
    """Left and lower edge of the first occurrence of words on a page, in whole points."""
    with pypdfium2.PdfDocument(content) as opened:
        text = opened[page].get_textpage()
        at, _ = text.search(words, match_whole_word=True).get_next()
        left, bottom, _, _ = text.get_charbox(at)
    return round(left), round(bottom)


def tall(number: int) -> Drawing:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="150mm" height="140mm" viewBox="0 0 150 140"><path d="M0 0H150"/></svg>'
    return Drawing(svg=svg, alt=f"tall {number}", caption=f"Tall {number}", number=number)


def paragraphs(word: str, count: int) -> list[Paragraph]:
    return [Paragraph(text=plain(f"{word} {n} " + "lorem " * 45)) for n in range(count)]


def page_of(words: str, pages: list[str]) -> int:
    return next(number for number, page in enumerate(pages) if words in flat(page))


def test_text_fills_the_page_that_a_tall_drawing_found_no_room_on(document: Document) -> None:
    blocks = [*paragraphs("before", 10), tall(1), *paragraphs("after", 10)]

    pages = pages_of(pdf_of(only(document, *blocks), no_photos).content)

    assert page_of("before 0", pages) == page_of("after 0", pages)
    assert page_of("Tall 1", pages) == page_of("after 0", pages) + 1


def table_of(rows: int) -> Table:
    return Table(
        caption="Short.",
        number=1,
        columns=(Column(name="Row"), Column(name="Read")),
        rows=tuple((plain(f"row {n}"), plain("12")) for n in range(rows)),
    )


@pytest.mark.parametrize("before", [10, 11, 12])
def test_a_short_table_is_never_parted(document: Document, before: int) -> None:
    made = only(document, *paragraphs("before", before), table_of(6))

    pages = pages_of(pdf_of(made, no_photos).content)

    assert page_of("row 0", pages) == page_of("row 5", pages)


@pytest.mark.parametrize("before", [10, 11, 12])
def test_a_few_steps_in_order_are_never_parted(document: Document, before: int) -> None:
    steps = Items(items=tuple(plain(f"step {n}") for n in range(6)), numbered=True)
    made = only(document, *paragraphs("before", before), steps)

    pages = pages_of(pdf_of(made, no_photos).content)

    assert page_of("step 0", pages) == page_of("step 5", pages)


@pytest.mark.parametrize("lines_above", range(30, 48, 2))
def test_a_caution_and_what_a_finding_rests_on_are_never_torn(
    document: Document, lines_above: int
) -> None:
    filler = Paragraph(text=plain("\n".join(["Line above."] * lines_above)))
    caution = Paragraph(text=plain(f"begins {'work with care ' * 30} ends"), kind="caution")
    finding = next(each for each in document.blocks if isinstance(each, FindingBlock))
    rests = dataclasses.replace(
        finding, pictures=(), evidence=(plain(f"first {'seen by the port chainplate ' * 15} last"),)
    )

    of_caution, of_finding = (
        pages_of(pdf_of(only(document, filler, block), no_photos).content)
        for block in (caution, rests)
    )

    assert page_of("begins", of_caution) == page_of("ends", of_caution)
    assert page_of("first seen", of_finding) == page_of("chainplate last", of_finding)


@pytest.mark.parametrize("lines_above", range(18, 34, 2))
def test_the_last_row_of_a_long_table_is_never_alone_on_a_page(
    document: Document, lines_above: int
) -> None:
    filler = Paragraph(text=plain("\n".join(["Line above."] * lines_above)))

    made = pages_of(pdf_of(only(document, filler, table_of(18)), no_photos).content)

    assert page_of("row 16", made) == page_of("row 17", made)


@pytest.mark.parametrize("lines_above", range(16, 40, 3))
def test_what_was_seen_stands_with_its_photographs(
    document: Document, photos: Mapping[str, bytes], lines_above: int
) -> None:
    finding = next(each for each in document.blocks if getattr(each, "pictures", ()) and isinstance(each, FindingBlock))  # fmt: skip
    filler = Paragraph(text=plain("\n".join(["Line above."] * lines_above)))

    made = pages_of(pdf_of(only(document, filler, finding), photos.__getitem__).content)

    assert page_of("The flange is pink", made) == page_of("View 1 of what was found", made)


@pytest.mark.parametrize(("lines_above", "shares_the_page"), [(20, True), (38, False)])
def test_a_chapter_begins_a_page_unless_much_of_this_one_is_free(
    document: Document, lines_above: int, *, shares_the_page: bool
) -> None:
    filler = Paragraph(text=plain("\n".join(["Line above."] * lines_above)))
    chapter = Heading(level=1, text="The next chapter", new_page=True)
    after = Paragraph(text=plain("Its first words."))

    made = pdf_of(only(document, filler, chapter, after), no_photos).content

    pages = [flat(page) for page in pages_of(made)]
    (page,) = [each for each in pages[2:] if "Its first words." in each]
    assert "The next chapter" in page
    assert ("Line above." in page) == shares_the_page


def test_a_tall_drawing_that_finds_room_stays_under_its_heading(document: Document) -> None:
    heading = Heading(level=2, text="Moisture")
    blocks = [*paragraphs("before", 3), heading, tall(1), *paragraphs("after", 10)]

    pages = pages_of(pdf_of(only(document, *blocks), no_photos).content)

    page = flat(pages[page_of("Tall 1", pages)])
    assert page.index("before 2") < page.index("Moisture") < page.index("Tall 1")


def test_no_drawing_overtakes_another(document: Document) -> None:
    blocks = [*paragraphs("before", 10), tall(1), tall(2), *paragraphs("after", 3)]

    pages = pages_of(pdf_of(only(document, *blocks), no_photos).content)

    assert page_of("Tall 1", pages) < page_of("Tall 2", pages)


def test_text_fills_the_page_before_two_drawings_in_a_row(document: Document) -> None:
    small = dataclasses.replace(tall(2), svg=tall(2).svg.replace("140", "60"))
    blocks = [*paragraphs("before", 10), tall(1), small, *paragraphs("after", 10)]

    pages = pages_of(pdf_of(only(document, *blocks), no_photos).content)

    assert page_of("before 9", pages) == page_of("after 0", pages)
    assert page_of("Tall 1", pages) <= page_of("Tall 2", pages)


@pytest.mark.parametrize("flavour", ["3a", "ua1"])
def test_a_drawing_moved_to_the_next_page_leaves_the_report_accessible(
    document: Document, flavour: Any
) -> None:
    heading = Heading(level=1, text="Readings")
    blocks = [heading, *paragraphs("before", 10), tall(1), *paragraphs("after", 10)]

    assert failures(pdf_of(only(document, *blocks), no_photos).content, flavour) == []


def test_bytes_of_an_attached_file_are_never_touched() -> None:
    marked = b"<< /MarkInfo <</Marked true/Suspects false>> >>"

    once, twice = unsuspected(marked), unsuspected(marked + b"stream " + marked)

    assert b"Suspects" not in once
    assert len(once) == len(marked)
    assert twice == marked + b"stream " + marked
