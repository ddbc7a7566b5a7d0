"""What the readings section draws of stern gear, keel, metals and laminate, and how it tells of results."""

from collections.abc import Sequence
from datetime import timedelta
from typing import Any

from cast import DAY, HARROWMERE, QUILLET, entry
from gear_readings import read

from garboard.judgement.gaps import gaps
from garboard.methods.library import results_of
from garboard.notebook.body import (
    Boat,
    Conditions,
    Instruction,
    Observation,
    Place,
    Reading,
    ReadingSet,
)
from garboard.notebook.fold import fold
from garboard.report.compose import compose
from garboard.report.document import Block, Drawing, Heading, Paragraph, Table

BUY = Instruction(client="Tamsin Orrowby", purpose="buy")
SHAFT = read("diameter", "propeller-shaft", 30)
LOOSE = read("play", "shaft-bracket", 2.5)


def blocks_of(*bodies: Any, boat: Boat = QUILLET) -> Sequence[Block]:
    """The section of readings of a survey, an entry made each hour."""
    entries = [
        entry(n, body, at=DAY + timedelta(hours=n))
        for n, body in enumerate((BUY, boat, *bodies), 1)
    ]
    survey = fold(entries)
    results = results_of(survey)
    blocks = compose(survey, results, gaps(survey, results), at=DAY).blocks
    chapters = [n for n, b in enumerate(blocks) if isinstance(b, Heading) and b.level == 1]
    start = next(n for n in chapters if getattr(blocks[n], "label", "") == "readings")
    return blocks[start : next(n for n in chapters if n > start)]


def drawn(*bodies: Any, boat: Boat = QUILLET) -> dict[str, Drawing]:
    """The figures by their labels."""
    return {b.label: b for b in blocks_of(*bodies, boat=boat) if isinstance(b, Drawing)}


def paragraphs(kind: str, *bodies: Any) -> list[str]:
    return [
        "".join(span.text for span in b.text)
        for b in blocks_of(*bodies)
        if isinstance(b, Paragraph) and b.kind == kind
    ]


def tables(*bodies: Any, boat: Boat = QUILLET) -> dict[str, Table]:
    """The tables by the beginning of their captions."""
    found = [b for b in blocks_of(*bodies, boat=boat) if isinstance(b, Table)]
    return {b.caption.split(":")[0]: b for b in found}


def cells(of: Table) -> list[list[str]]:
    return [["".join(span.text for span in cell) for cell in row] for row in of.rows]


def moist(*bottom: str) -> ReadingSet:
    dry = ("12", "13", "12", "14", "13", "12", "15", "13", "12", "13", "14", "12")
    sound = [Reading(place=Place(part="topside-laminate"), as_read=each, reference=True) for each in dry]  # fmt: skip
    wet = [
        Reading(
            place=Place(part="bottom-moisture", side="port", station_m=3 + n / 3, level_m=-0.5),
            as_read=each,
        )
        for n, each in enumerate(bottom)
    ]
    return ReadingSet(name="bottom", quantity="moisture", unit="scale", instrument="meter", readings=(*sound, *wet))  # fmt: skip


def test_a_bearing_is_drawn_where_clearance_and_shaft_were_read() -> None:
    figures = drawn(SHAFT, LOOSE)

    assert "2.50 mm on 30 mm" in figures["figure-clearance"].alt


def test_a_clearance_without_its_shaft_is_not_drawn() -> None:
    assert "figure-clearance" not in drawn(LOOSE)


def test_a_propeller_is_drawn_blade_by_blade() -> None:
    pitch = ReadingSet(
        name="pitch",
        quantity="pitch",
        unit="mm",
        instrument="bench",
        readings=tuple(
            Reading(place=Place(part="propeller", words=f"blade {n}, 0.7 R"), as_read=value)
            for n, value in ((1, "300"), (2, "306"))
        ),
    )

    figures = drawn(pitch)

    assert "blade 1: 300 mm; blade 2: 306 mm" in figures["figure-pitch-1"].alt


def test_keel_bolts_are_drawn_with_the_farther_one_carrying_more() -> None:
    figures = drawn(
        *(read("diameter", "keel-bolt", 20, original=24, number=n) for n in (1, 2)),
        *(read("length", "keel-bolt", arm, number=n) for n, arm in ((1, 0.2), (2, 0.1))),
        read("length", "iron-keel", 0.6, words="centre of gravity below the joint"),
    )

    loads = [float(each.split(": ")[-1].split(" kN")[0]) for each in figures["figure-keel-bolts"].alt.split("; ")]  # fmt: skip
    assert loads[0] > loads[1] > 0
    assert "stations not noted" in figures["figure-keel-bolts"].caption


def test_keel_bolts_whose_loads_cannot_be_told_are_not_drawn() -> None:
    assert "figure-keel-bolts" not in drawn(read("diameter", "keel-bolt", 20, original=24))


def test_a_wet_laminate_of_known_thickness_has_its_drying_drawn() -> None:
    wet = moist(*(["40"] * 12))
    thick = read("thickness", "bottom-laminate", 8)
    ashore = Conditions(lying="ashore", began=DAY, air_c=12.0)

    assert "a range, never a date" in drawn(wet, thick, ashore)["figure-drying-1"].caption
    assert "figure-drying-1" not in drawn(wet, ashore)
    assert any(
        "No date follows from it." in each for each in paragraphs("small", wet, thick, ashore)
    )


def test_a_couple_is_tabled_with_the_metal_that_goes_and_its_areas() -> None:
    bare = ReadingSet(
        name="bare metal",
        quantity="area",
        unit="cm²",
        instrument="rule",
        readings=tuple(
            Reading(place=Place(part="propeller"), as_read=cm2, note=metal, to="shaft")
            for metal, cm2 in (("tin bronze", "500"), ("mild steel", "10"))
        ),
    )

    ((metals, _, eaten, _, areas, _),) = cells(tables(bare)["Metals together"])

    assert metals == "Tin bronze with steel or cast iron"
    assert (eaten, areas) == ("steel or cast iron", "50 to 1")


def test_a_couple_named_in_words_has_no_areas_and_says_why() -> None:
    seen = Observation(place=Place(part="propeller"), seen="Tin bronze propeller on a steel shaft.")

    ((*_, areas, _),) = cells(tables(seen, boat=HARROWMERE)["Metals together"])

    assert areas == "not known"
    assert any("named in an observation" in each for each in paragraphs("small", seen))


def test_a_result_past_its_limit_has_its_reason_under_the_table() -> None:
    assert any("2.5 mm on a shaft of 30 mm." in each for each in paragraphs("small", SHAFT, LOOSE))


def test_a_caution_of_several_results_is_printed_once() -> None:
    bent = read("run-out", "propeller-shaft", 0.9)

    cautions = paragraphs("caution", SHAFT, LOOSE, bent)

    assert sum("Engine isolated" in each for each in cautions) == 1


def test_what_could_not_be_computed_is_folded_into_a_sentence_by_its_reason() -> None:
    loose = [read("play", "shaft-bracket", 2.5, side=side) for side in ("port", "starboard")]

    told = [each for each in paragraphs("small", *loose) if "Could not be computed" in each]

    assert "Stern gear and steering" not in tables(*loose)
    assert len(told) == 1
    assert "port" in told[0]
    assert "starboard" in told[0]


def test_the_limit_stands_beside_the_value() -> None:
    row = cells(tables(SHAFT, LOOSE)["Stern gear and steering"])[0]

    assert row[2] == "above 6\N{NO-BREAK SPACE}%"


def test_a_table_without_a_limit_has_no_column_for_one() -> None:
    gap = read("gap", "keel-joint", 0.6)

    table = tables(gap)["Keel and rig"]

    assert [each.name for each in table.columns] == ["What", "Value", "Method"]
    assert "no limit is held" in table.caption


def test_the_same_figure_of_two_visits_is_told_apart_by_its_time() -> None:
    air = [Conditions(lying="ashore", began=DAY, air_c=c, humidity_pct=60) for c in (12.0, 14.0)]

    whats = [row[0] for row in cells(tables(*air)["Gauge and air"])]

    assert len(whats) == len(set(whats)) == 2
