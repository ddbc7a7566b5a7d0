"""How the readings are told: figures with their units, verdicts of a row, and what stands beside a value."""

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from cast import DAY, HARROWMERE, QUILLET, entry

from garboard.catalogue.parts import catalogue
from garboard.judgement.gaps import gaps
from garboard.methods.library import results_of
from garboard.notebook.body import (
    Boat,
    Conditions,
    Examination,
    Instruction,
    Observation,
    Place,
    Purpose,
    Reading,
    ReadingSet,
    Sounding,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import fold
from garboard.report.compose import compose
from garboard.report.document import Document, Drawing, Facts, Heading, Items, Paragraph, Table


def document(*bodies: Any, boat: Boat = QUILLET, purpose: Purpose = "buy") -> Document:
    instruction = Instruction(client="Tamsin Orrowby", purpose=purpose)
    entries = [
        body if isinstance(body, Entry) else entry(number, body)
        for number, body in enumerate((instruction, boat, *bodies), 1)
    ]
    survey = fold(entries)
    results = results_of(survey)
    return compose(survey, results, gaps(survey, results), at=DAY)


def readings(
    quantity: Any, unit: str, part: str, *read: tuple[Any, ...], **more: Any
) -> ReadingSet:
    """A set; each reading is its digits, its words, and its original."""
    rows = [(*each, "", "")[:3] for each in read]
    at = more.pop("at_place", {})
    return ReadingSet(
        name=more.pop("name", "set"),
        quantity=quantity,
        unit=unit,
        instrument="meter",
        readings=tuple(
            Reading(place=Place(part=part, words=words, **at), as_read=digits, original=original)
            for digits, words, original in rows
        ),
        **more,
    )  # fmt: skip


def said(of: Document) -> str:
    """The paragraphs and lists, in order."""
    texts: list[str] = []
    for block in of.blocks:
        match block:
            case Heading():
                texts.append(block.text)
            case Paragraph():
                texts.append("".join(span.text for span in block.text))
            case Items():
                texts += ["".join(span.text for span in item) for item in block.items]
            case _:
                pass
    return "\n".join(texts)


def rows(of: Document, caption: str) -> list[list[str]]:
    found = next(b for b in of.blocks if isinstance(b, Table) and b.caption.startswith(caption))
    return [["".join(span.text for span in cell) for cell in row] for row in found.rows]


def captions(of: Document) -> list[str]:
    return [b.caption for b in of.blocks if isinstance(b, Drawing)]


def test_of_what_a_value_is_per_cent_stands_with_what_was_computed() -> None:
    made = document(
        readings("diameter", "mm", "propeller-shaft", ("30.0",)),
        readings("play", "mm", "stern-tube", ("2.4", "aft bearing")),
    )

    what, value, limit, *_ = rows(made, "Stern gear and steering")[0]
    assert what.endswith("in % of the shaft's diameter")
    assert (value.split()[-1], limit.split()[-1]) == ("%", "%")


def test_readings_that_nobody_could_judge_are_not_said_to_lie_within_a_limit() -> None:
    read = readings(
        "moisture",
        "",
        "bottom-moisture",
        *((each,) for each in ("14", "15", "13", "16", "14", "28")),
    )

    told = said(document(read))

    assert "none lies beyond" not in told
    opening = told.partition("Readings and what they mean\n")[2].splitlines()
    assert opening[0].startswith("No reading could be judged by a limit.")
    assert opening[1].startswith("Moisture, set “set”. Of 6 readings 1 stands apart")


def test_a_minus_is_a_minus_and_no_hyphen() -> None:
    made = document(readings("viscosity", "mm²/s", "engine-oil-report", ("12.3", "100 °C", "15.0")))

    assert rows(made, "Engine")[0][1] == "−18\N{NO-BREAK SPACE}%"


def test_where_an_oil_lies_is_said_though_nothing_is_judged() -> None:
    made = document(readings("viscosity", "mm²/s", "engine-oil-report", ("12.3", "100 °C", "15.0")))

    assert "more than the 15 % customary away from new: have this checked" in said(made)


def test_readings_that_no_method_judges_are_printed_as_read() -> None:
    hot = readings(
        "temperature", "°C", "distribution-heat", ("48.0", "panel fuse"), mode="after 15 minutes"
    )

    made = document(hot)

    assert rows(made, "Readings that no method here judges") == [
        ["Distribution under load, panel fuse", "temperature, after 15 minutes", "48.0\N{NO-BREAK SPACE}°C"]
    ]  # fmt: skip


def test_readings_that_a_method_judges_are_not_listed_again() -> None:
    made = document(readings("gap", "mm", "keel-joint", ("0.4",)))

    assert "Read and not judged" not in said(made)


def test_plate_is_judged_by_its_loss_where_only_other_plate_was_gauged_before() -> None:
    here, there = "bottom-plate-thickness", "boot-top"
    at = {"side": "port", "station_m": 3.2, "level_m": -0.4}
    long_ago = entry(9, readings("thickness", "mm", there, ("5.9", "", "6.0"), at_place=at), at=datetime(2019, 6, 1, tzinfo=UTC))  # fmt: skip

    made = document(
        long_ago,
        readings("thickness", "mm", here, ("5.9", "", "6.0"), at_place=at),
        boat=HARROWMERE,
    )

    assert [row[-1] for row in rows(made, "Plating panel by panel")] == ["within"]


def test_the_thickness_of_a_laminate_is_no_plating() -> None:
    at = {"side": "port", "station_m": 3.2, "level_m": -0.4}

    bare = document(readings("thickness", "mm", "bottom-laminate", ("9.8",), at_place=at))
    tank = document(readings("thickness", "mm", "fuel-tank", ("2.6", "", "3.0"), at_place=at))

    assert "Plating" not in said(bare)
    assert "Plating" in said(tank)


def test_a_pit_is_judged_though_its_factor_has_no_sense() -> None:
    at = {"side": "port", "station_m": 3.2, "level_m": -0.7}

    made = document(
        readings("thickness", "mm", "bottom-plate-thickness", ("6.0", "", "6.0"), at_place=at),
        readings("pit depth", "mm", "hull-pits", ("0.6", "", "6.0"), at_place=at),
        boat=HARROWMERE,
    )

    (row,) = rows(made, "Pits by metre")
    assert (row[4], row[5]) == ("", "within")


def test_one_place_heard_dull_has_one_station() -> None:
    struck = [
        Sounding(
            place=Place(part="bottom-laminate", side="port", station_m=1 + n / 2, level_m=-0.5),
            heard="dull" if n == 4 else "sound",
        )
        for n in range(12)
    ]

    text = said(document(*struck))

    assert "1 dull, station 3.0 m: one blow alone. How far it reaches was not found" in text
    assert "taken halfway to the places beside it" not in text


def test_three_blows_in_a_zone_are_said_to_be_too_few() -> None:
    at = ((2.0, -0.4), (5.0, -0.6), (7.5, -0.3))
    struck = [
        Sounding(
            place=Place(part="bottom-laminate", side="port", station_m=x, level_m=y), heard="sound"
        )
        for x, y in at
    ]

    text = said(document(*struck))

    assert "3 places: 3 sound." in text
    assert "Bottom laminate, port: 3 blows in" in text
    assert "too few to say what was covered" in text
    assert "with 95 % probability" not in text
    assert "of the grid" not in text


def test_wood_is_not_held_against_a_dry_reference() -> None:
    carvel = Boat(name="Mallemar", loa_m=8.4, material="carvel", rig="none")
    weather = Conditions(lying="ashore", began=DAY, air_c=16, surface_c=14.5, humidity_pct=66)
    wet = readings("moisture", "%", "planking", ("29",), calibration="larch", name="planks")

    made = document(weather, wet, boat=carvel)

    assert "judged timber by timber" in said(made)
    assert "dry reference" not in said(made)
    assert "One reading, 29 % as read" in said(made)


def test_many_places_that_could_not_be_computed_are_counted() -> None:
    metres = [{"side": "port", "station_m": n + 0.5, "level_m": -0.7} for n in range(1, 9)]
    plate = [readings("thickness", "mm", "bottom-plate-thickness", ("6.0", "", "6.0"), at_place=at) for at in metres]  # fmt: skip
    pits = [readings("pit depth", "mm", "hull-pits", ("0.6", "", "6.0"), at_place=at) for at in metres]  # fmt: skip

    made = document(*plate, *pits, boat=HARROWMERE)

    assert "pitting factor of surface of the plating (8 places)" in said(made)


def test_places_examined_in_part_need_no_limitation_to_be_counted() -> None:
    one = Examination(place=Place(part="stem"), extent="part", share_pct=60, outcome="sound")

    text = said(document(one))

    assert "1 place was examined in part. " in text
    assert "among them" not in text


def test_a_defect_without_words_is_still_a_defect() -> None:
    made = document(Examination(place=Place(part="stem"), extent="whole", outcome="defect"))

    found = [row for row in rows(made, "Hull outside") if row[0].startswith("Stem")]
    assert "A defect; not described." in found[0][2]


def test_what_was_counted_is_printed() -> None:
    seen = Observation(place=Place(part="stem"), seen="blisters 2 to 9 mm across", count=17)

    made = document(Examination(place=Place(part="stem"), extent="whole", outcome="sound"), seen)

    found = [row for row in rows(made, "Hull outside") if row[0].startswith("Stem")]
    assert "blisters 2 to 9 mm across, 17 counted." in found[0][2]


def test_an_insurer_is_told_that_nothing_is_required() -> None:
    text = said(document(purpose="insure"))

    assert "Nothing is required" in text
    assert "Every item of the first list" not in text


def test_a_coat_is_drawn_where_its_films_were_read() -> None:
    placed = {"side": "port", "station_m": 3.2, "level_m": -0.4}
    films = [readings("film thickness", "µm", "bottom-coating", ("250", "", "300"), at_place=at) for at in ({}, placed)]  # fmt: skip

    nowhere, somewhere = (captions(document(each)) for each in films)

    assert nowhere == []
    assert somewhere == ["Dry film as read on the unrolled shell"]


def test_what_nobody_could_tell_of_the_boat_is_said_as_a_question_and_many_are_counted() -> None:
    one = replace(QUILLET, fitted=("heads",), fitted_unknown=("gas",))
    many = replace(QUILLET, fitted_unknown=tuple(catalogue().vocabulary.fittings)[:9])

    told, counted = (dict(facts(document(boat=each))) for each in (one, many))

    assert told["Not known of her"] == "Is there a gas installation?"
    assert counted["Not known of her"].startswith("9 of the questions what she has")
    assert "Not known of her" not in dict(facts(document()))


def facts(of: Document) -> list[tuple[str, str]]:
    return [
        (name, "".join(span.text for span in words))
        for block in of.blocks
        if isinstance(block, Facts)
        for name, words in block.pairs
    ]


def test_a_zone_read_too_thinly_with_a_moisture_meter_is_said_under_moisture() -> None:
    place = Place(part="bottom-laminate", side="port", station_m=3.0, level_m=-0.4)
    read = ReadingSet(
        name="bottom", quantity="moisture", unit="scale units", instrument="meter",
        readings=(Reading(place=place, as_read="20"),),
    )  # fmt: skip

    text = said(document(read))

    assert "Bottom laminate, port: 1 reading in" in text
    assert "too few to say what was covered" in text
