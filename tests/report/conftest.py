"""A report rich enough to try every block, with the nastiest text that people paste."""

import hashlib
import io
from collections.abc import Mapping

import numpy as np
import pytest
from PIL import Image

from garboard.drawings import svg
from garboard.report.document import (
    AttachedFile,
    Column,
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
    Span,
    Table,
    Text,
    plain,
)

NASTY = (
    "CJK \u4f60\u597d, emoji \U0001f6a4, turned \u202eround\u202c, zero\u200bwidth, bell \x07, "
    '#strong[typst] *x* $x$ <b>html</b> <script>alert(1)</script> & "quoted" @ref '
    "#read(\"/etc/hostname\") =HYPERLINK(\"x\") \u2126 −12 °C ≤ 4.62 mm"
)  # fmt: skip


def a_photo(width: int, height: int, seed: int, orientation: int = 1) -> bytes:
    """A smooth invented picture as a camera writes it: with a place, a serial number and an orientation."""
    rng = np.random.default_rng(seed)
    rough = (rng.random((6, 8, 3)) * 120 + 80).astype(np.uint8)
    picture = Image.fromarray(rough).resize((width, height), Image.Resampling.BICUBIC)
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "Invented camera"
    exif.get_ifd(0x8825)[2] = (50.0, 4.0, 12.0)
    exif.get_ifd(0x8769)[0xA431] = "SERIAL-0417"
    held = io.BytesIO()
    picture.save(held, "JPEG", quality=88, exif=exif)
    return held.getvalue()


@pytest.fixture(scope="session")
def photos() -> Mapping[str, bytes]:
    """Originals by SHA-256: upright, on its side, portrait, and one that ends too early."""
    originals = [
        a_photo(2000, 1500, 1),
        a_photo(2000, 1500, 2, orientation=6),
        a_photo(1200, 1600, 3),
        a_photo(2400, 1600, 4),
        a_photo(2000, 1500, 5)[:9_000],
    ]
    return {hashlib.sha256(each).hexdigest(): each for each in originals}


@pytest.fixture(scope="session")
def document(photos: Mapping[str, bytes]) -> Document:
    """An invented survey of Quillet."""
    upright, turned, portrait, wide, short = photos
    return Document(
        title="Quillet: survey before purchase",
        subtitle="GRP sloop of 10.20 m, 1998, ashore at Fennick Hard",
        author="Ines Caldervane",
        language="en-GB",
        number="2026-014",
        footer="For Tamsin Orrowby and her insurer only, 12 May 2026",
        issued_unix=1_778_572_800,
        front=(
            ("Boat", "Quillet, XX-QLT00417C898"),
            ("Asked for by", "Tamsin Orrowby, who is thinking of buying her"),
            ("Surveyed", "12 May 2026, ashore at Fennick Hard, lifted 8 May 2026"),
            ("Surveyor", "Ines Caldervane, with Jory Pask-Lund"),
        ),
        cover=picture(wide, 1, "Quillet from the port quarter, ashore at Fennick Hard"),
        notice="All people, boats and places in this report are invented.",
        blocks=(
            Heading(level=1, text="In one page", label="summary", new_page=True),
            Paragraph(
                text=plain(
                    "She is a sound boat with one thing to put right before she is launched and a few"
                    " that can wait for the next lift."
                ),
                kind="lead",
            ),
            Paragraph(
                text=(
                    Span(text="The hull is dry where it could be read. "),
                    Span(text="The skin fitting under the basin", style="strong"),
                    Span(text=" has lost its zinc, see "),
                    Span(text="finding 1", to="finding-1"),
                    Span(text=" and "),
                    Span(text="table 1", to="readings"),
                    Span(text=". The keel bolts were "),
                    Span(text="not", style="emphatic"),
                    Span(
                        text=" drawn.",
                        note="Bolts 1 to 6 are glassed over; wasting cannot be excluded.",
                    ),
                )
            ),
            Items(
                items=tuple(
                    plain(each)
                    for each in (
                        "Have the fitting replaced before launching.",
                        "Draw one keel bolt at the next lift-out.",
                        "Ask the seller for the age of the standing rigging.",
                    )
                ),
                numbered=True,
            ),
            Heading(level=1, text="The boat and the day", new_page=True),
            Heading(level=2, text="Identity"),
            Facts(
                pairs=(
                    ("Name", plain("Quillet")),
                    ("Identity number", plain("XX-QLT00417C898, as moulded on the transom")),
                    ("Length overall", plain("10.20 m")),
                    (
                        "Displacement",
                        (
                            Span(text="5200 kg"),
                            Span(text=", as stated by the builder", style="emphatic"),
                        ),
                    ),
                )
            ),
            Heading(level=2, text="Conditions"),
            Paragraph(
                text=plain(
                    "Dry and overcast, 14 °C, relative humidity 62 %, dew point 7 °C. She had stood"
                    " ashore for four days and her bottom had been washed."
                )
            ),
            Paragraph(text=plain(NASTY)),
            Paragraph(
                text=plain(
                    "The notebook’s digest is "
                    "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"
                    "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08."
                ),
                kind="small",
            ),
            Paragraph(
                text=plain("Keep clear of the hull while it hangs in the hoist."), kind="caution"
            ),
            Heading(level=1, text="Findings", new_page=True),
            Heading(level=2, text="Before launching"),
            finding(
                1, "The skin fitting under the basin has lost its zinc", (upright, 2), (turned, 3)
            ),
            finding(2, "A hollow patch in the deck beside the chain plate", (portrait, 4)),
            Heading(level=2, text="At the next lift-out"),
            finding(3, NASTY, (upright, 2), (wide, 1), (short, 7)),
            Heading(level=1, text="What was read", new_page=True),
            Heading(level=2, text="Moisture of the bottom"),
            Drawing(
                svg=a_drawing("Port side, bow to the left \u4f60"),
                alt="Profile of the hull with twelve places read; the three aft ones are the wettest.",
                caption="Where the bottom was read, port side.",
                number=1,
                label="map",
            ),
            a_table(70),
            Drawing(
                svg=a_drawing("Section", 76, 40),
                alt="A section through the keel joint.",
                caption="The keel joint.",
                number=2,
                width="half",
            ),
            Heading(level=3, text="How the meter was used"),
            Paragraph(text=plain("Readings are comparative and carry no unit.")),
            Heading(level=4, text="Scale"),
            Paragraph(text=plain("The same scale was kept throughout.")),
            Items(items=(plain("Dry reference under the toe rail."), plain(NASTY))),
            Heading(level=1, text="Photographs", new_page=True),
            Pictures(
                pictures=(
                    picture(upright, 2, "The fitting from below"),
                    picture(turned, 3, "The fitting from inside", label="photo-3"),
                    picture(portrait, 4, "The chain plate, port, forward is left"),
                ),
                across=3,
            ),
            Pictures(
                pictures=(
                    picture(wide, 1, "The deck from the bow"),
                    picture(portrait, 4, NASTY),
                    picture(short, 7, "Lost on the way"),
                ),
                across=2,
            ),
            Heading(level=1, text="Statement"),
            SignatureBlock(
                name="Ines Caldervane",
                qualification="Small-craft surveyor",
                date="13 May 2026",
                statement=(
                    "I examined the boat myself on the day stated, and have no interest in her sale.",
                    "What I was told by others is marked as told.",
                ),
            ),
        ),
        files=(
            AttachedFile(
                name="notebook.json",
                media_type="application/json",
                description="Every entry of the survey",
                relationship="source",
                content=b'{"entries": []}',
            ),
            AttachedFile(
                name="readings.csv",
                media_type="text/csv",
                description="Every reading",
                relationship="data",
                content=b"station_m,read\n3.20,17\n",
            ),
        ),
    )


def picture(sha256: str, number: int, caption: str, label: str = "") -> Picture:
    return Picture(
        sha256=sha256,
        photo_number=number,
        caption=caption,
        alt=f"Photograph: {caption}",
        label=label,
    )


def finding(number: int, title: str, *shown: tuple[str, int]) -> FindingBlock:
    return FindingBlock(
        number=number,
        label=f"finding-{number}",
        title=title,
        urgency="Before launching" if number < 3 else "At the next lift-out",
        because="The fitting is below the waterline and its hose cannot be closed off elsewhere.",
        where="Hull, port, station 3.20 m, level −0.45 m",
        seen=plain(
            "The flange is pink where it was scraped and crumbled under the point of a knife over"
            " 4 mm of its edge. The valve turns, stiffly. The hose is sound and has two clips."
        ),
        how_known="Seen and tapped, from outside and inside",
        why="A fitting that has lost its zinc may break under a small knock and let the sea in.",
        evidence=(
            plain("Sounding 14: dull at the flange, clear at the fitting beside it."),
            (
                Span(text="Photo 3", to="photo-3"),
                Span(text=": colour of the scraped metal."),
            ),
        ),
        recommendations=(
            RecommendationBlock(
                what="Replace the fitting, its valve and its backing pad with ones of one metal.",
                by_whom="A yard used to underwater fittings",
                by_when="Before she is launched",
                verified="Seen by the surveyor in place, and again an hour after launching",
                cost="about 300 to 450",
                caution="The hull stands on keel and shores; nobody should work under it alone.",
            ),
            RecommendationBlock(
                what="Look at the other five fittings with the paint off.",
                by_whom="The same yard",
                by_when="The same day",
                verified="A photograph of each",
            ),
        ),
        pictures=tuple(
            picture(sha256, photo_number, f"View {place} of what was found")
            for place, (sha256, photo_number) in enumerate(shown, 1)
        ),
        rests_on=("0197",),
    )


def a_table(rows: int) -> Table:
    def row(place: int) -> tuple[Text, ...]:
        read = ("12", "9.5", "17.25", "not reached")[place % 4]
        where = NASTY if place == 5 else "Bottom, port"
        return (
            plain(str(place + 1)),
            plain(where),
            plain(f"{place * 0.1:.2f}"),
            plain(read),
            plain({7: "=1+1", 8: "XXQLT00417C898XXQLT00417C898"}.get(place, "")),
        )

    return Table(
        caption="Moisture readings, comparative.",
        number=1,
        columns=(
            Column(name="No.", align="right", share=0.4),
            Column(name="Place", share=2),
            Column(name="Station, m", align="decimal"),
            Column(name="Read", align="decimal"),
            Column(name="Remark", share=1.2),
        ),
        rows=tuple(row(place) for place in range(rows)),
        label="readings",
    )


def a_drawing(title: str, width_mm: float = 160, height_mm: float = 50) -> str:
    hull = (
        (5.0, 10.0),
        (width_mm - 5, 12.0),
        (width_mm - 18, height_mm - 15),
        (25.0, height_mm - 13),
    )
    return svg.drawing(
        width_mm,
        height_mm,
        title=title,
        desc="Places read",
        hatches=(svg.RISING,),
        parts=(
            svg.polygon(hull, fill=svg.RISING.fill),
            svg.text((10, height_mm - 3), f"{title}, 0.45 m below the boot-top Ω"),
            *(svg.sounding_mark("dull", (20 + 9 * each, 22)) for each in range(5)),
            svg.call_out((40, 16), 1),
        ),
    )
