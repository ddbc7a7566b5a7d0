"""A dossier is read as people write it, and refused whole with everything that is wrong."""

from pathlib import Path

import pytest
from folder import NOW, SURVEY_TOML, dossier, refusal, survey, write

from garboard.dossier.read import read_dossier
from garboard.notebook.body import (
    Comparable,
    Cost,
    Examination,
    Finding,
    ReadingSet,
    Recommendation,
    Sounding,
    Told,
)
from garboard.notebook.entry import to_line

SOUNDINGS = "part,side,station_m,level_m,heard\nbottom-laminate,port,3.20,-0.45,dull\n"
READINGS = """# quantity: moisture
# unit: scale
# instrument: meter
# scale: deep
part,side,station_m,level_m,as_read,reference
bottom-moisture,port,3.20,-0.45,12,
bottom-moisture,port,3.60,-0.45,11.50,yes
"""


def test_the_same_folder_gives_the_same_entries_twice(tmp_path: Path) -> None:
    write(tmp_path, soundings_csv=SOUNDINGS, readings__bottom_csv=READINGS)

    once, again = read_dossier(tmp_path, NOW), read_dossier(tmp_path, NOW)

    assert [to_line(e) for e in once.entries] == [to_line(e) for e in again.entries]


def test_either_unit_goes_in_and_metric_stays_inside(tmp_path: Path) -> None:
    boat = survey(tmp_path).boat

    assert boat is not None
    assert boat.loa_m == pytest.approx(33.5 * 0.3048)


@pytest.mark.parametrize(
    "text",
    [
        "\ufeffpart;side;station (m);level [m];heard\r\nbottom-laminate;port;3,20;-0,45;Dull\r\n\r\n;;;;\r\n",
        "part\tside\tstation_m\tlevel_m\theard\nbottom-laminate\tport\t3.20\t−0.45\tdull\n",
        "Part,Side,Station mm,Level mm,Heard\nbottom-laminate,port,3200,-450,dull\n",
        'part,side,station_m,level_m,heard\nbottom-laminate,port,"3,20","-0,45",dull',
    ],
)
def test_spreadsheets_are_read_as_they_really_are(tmp_path: Path, text: str) -> None:
    (sounding,) = survey(tmp_path, soundings_csv=text).bodies(Sounding)

    assert (sounding.place.station_m, sounding.place.level_m, sounding.heard) == (
        3.2,
        -0.45,
        "dull",
    )


def test_utf_16_is_read_too(tmp_path: Path) -> None:
    assert len(survey(tmp_path, soundings_csv=SOUNDINGS.encode("utf-16")).of(Sounding)) == 1


def test_header_lines_that_a_spreadsheet_quoted_and_padded_are_read(tmp_path: Path) -> None:
    padded = "\n".join(
        f'"{line}",,,,,' if line.startswith("#") else f"{line},," for line in READINGS.splitlines()
    )

    (found,) = survey(tmp_path, readings__bottom_csv=padded).bodies(ReadingSet)

    assert (found.quantity, len(found.readings)) == ("moisture", 2)


def test_a_share_may_be_written_with_its_sign(tmp_path: Path) -> None:
    (found,) = survey(tmp_path, examined_csv="part,extent,share_pct\nstem,part,60 %\n").bodies(
        Examination
    )

    assert found.share_pct == 60


def test_every_fault_of_a_finding_s_page_is_named_at_once(tmp_path: Path) -> None:
    page = """+++
title = "Keel"
[[recommendation]]
what = "Re-bed."
[[recommendation.cost]]
low = 100
+++
"""
    said = refusal(tmp_path, findings__keel_md=page)

    assert "findings/keel.md urgency: it is missing" in said
    assert "recommendation 1 by_whom: it is missing" in said
    assert "cost high: it is missing" in said


def test_a_file_that_is_no_toml_is_named_alone(tmp_path: Path) -> None:
    said = refusal(tmp_path, survey_toml=SURVEY_TOML.replace('"buy"', "12.05.2026"))

    assert said.count("\n") == 0
    assert "dates as 2026-05-12" in said


def test_digits_of_a_reading_are_kept_and_its_comma_becomes_a_point(tmp_path: Path) -> None:
    text = READINGS.replace("11.50", '"11,50"')

    (found,) = survey(tmp_path, readings__bottom_csv=text).bodies(ReadingSet)

    assert [(r.as_read, r.reference) for r in found.readings] == [("12", False), ("11.50", True)]
    assert found.name == "bottom"


@pytest.mark.parametrize(
    ("quantity", "typed", "unit"),
    [
        ("film thickness", "um", "µm"),
        ("film thickness", "\u03bcm", "µm"),
        ("viscosity", "cSt", "mm²/s"),
        ("viscosity", "mm2/s", "mm²/s"),
        ("area", "cm2", "cm²"),
    ],
)
def test_a_unit_is_read_as_keyboards_write_it(
    tmp_path: Path, quantity: str, typed: str, unit: str
) -> None:
    text = f"# quantity: {quantity}\n# unit: {typed}\n# instrument: meter\npart,as_read\nbottom-coating,12\n"

    (found,) = survey(tmp_path, readings__set_csv=text).bodies(ReadingSet)

    assert found.unit == unit


def test_a_time_of_day_is_of_the_day_of_the_survey(tmp_path: Path) -> None:
    text = "at,part,extent\n10:41,keel-joint,whole\n"

    (entry,) = survey(tmp_path, examined_csv=text).of(Examination)

    assert entry.at.isoformat() == "2026-05-12T10:41:00+01:00"


def test_a_row_that_only_names_a_place_says_nothing_yet(tmp_path: Path) -> None:
    read = dossier(tmp_path, examined_csv="part,side,extent,found\nkeel-joint,,,\nstem,,whole,\n")

    assert [place.part for place in read.open_places] == ["keel-joint"]
    assert [e.body.place.part for e in read.entries if isinstance(e.body, Examination)] == ["stem"]


def test_a_finding_points_at_its_evidence_in_words(tmp_path: Path) -> None:
    page = """+++
title = "Dull patch"
urgency = "keep under watch"
because = "it may grow"
how_known = ["measured"]
places = [{ part = "bottom-laminate", side = "port" }]
evidence = ["soundings bottom-laminate port", "readings bottom", "told 1"]

[[recommendation]]
what = "Sound it again."
by_whom = "surveyor"
by_when = "at the next lift-out"
verified = "soundings on the same grid"
[[recommendation.cost]]
low = 100
high = 150.50
currency = "EUR"
basis = "hourly"
on = 2026-05-12
+++

## Seen

A **dull** patch.

## Why it matters

It may grow.
"""
    told = "## Aldous Wickenmere, seller\nasked: has she been aground?\n\nOnce, on sand.\n"

    found = survey(
        tmp_path,
        findings__dull_md=page,
        soundings_csv=SOUNDINGS,
        readings__bottom_csv=READINGS,
        told_md=told,
    )

    (finding,) = found.of(Finding)
    (advice,) = found.of(Recommendation)
    (cost,) = found.bodies(Cost)
    rests_on = {found.by_id[each].kind for each in finding.body.evidence}
    assert rests_on == {"sounding", "reading set", "told"}
    assert finding.body.seen == "A **dull** patch."
    assert advice.body.finding == finding.id
    assert (cost.low_minor, cost.high_minor) == (10_000, 15_050)
    assert found.bodies(Told)[0].asked == "has she been aground?"


def test_a_phrase_words_what_its_page_leaves_out(tmp_path: Path) -> None:
    page = """+++
phrase = "keel-joint-open"
slots = { where = "at the forward end", extent = "over 180 mm" }
how_known = ["seen"]
places = [{ part = "keel-joint" }]
+++
"""
    found = survey(tmp_path, findings__keel_md=page)

    (finding,) = found.bodies(Finding)
    assert "at the forward end" in finding.title
    assert "over 180 mm" in finding.seen
    assert len(found.of(Recommendation)) == 1


def test_money_is_written_in_whole_units_and_kept_in_minor_ones(tmp_path: Path) -> None:
    text = (
        SURVEY_TOML
        + """
[[comparable]]
described = "like her"
price = 41500
currency = "EUR"
kind = "asked"
on = 2026-04-01
source = "notice"
adjustments = { "newer rig" = -2500 }
"""
    )
    (found,) = survey(tmp_path, survey_toml=text).bodies(Comparable)

    assert (found.price_minor, dict(found.adjustments)) == (4_150_000, {"newer rig": -250_000})


def test_everything_wrong_is_named_at_once_with_file_and_line(tmp_path: Path) -> None:
    said = refusal(
        tmp_path,
        soundings_csv="part,side,station_m,heard\nkeel-jont,port,3.2,dull\nkeel-joint,port,far,loud\n",
        readings__plate_csv="# quantity: thickness\n# unit: mm\n# instrument: gauge\npart,as_read\nkeel-joint,-5.6\nkeel-joint,n/a\n",
        survey_toml=SURVEY_TOML.replace('purpose = "buy"', 'purpose = "fun"'),
        findings__x_md="no front\n",
    )

    assert 'soundings.csv:2 part: there is no part "keel-jont". Did you mean "keel-joint"?' in said
    assert 'soundings.csv:3 station_m: "far" is not a number' in said
    assert 'soundings.csv:3 heard: "loud" is not one of the choices' in said
    assert 'survey.toml:7 instruction purpose: "fun" is not one of the choices' in said
    assert "findings/x.md:1: the page does not begin with a table" in said
    assert "readings/plate.csv reading 1 as_read: -5.6 mm cannot be" in said
    assert 'readings/plate.csv reading 2 as_read: "n/a" is not a number' in said


@pytest.mark.parametrize(
    ("files", "said"),
    [
        ({"soundings_csv": SOUNDINGS.replace("bottom-laminate,", "bottom-lamnate,")}, 'soundings.csv:2 part: there is no part "bottom-lamnate"'),
        ({"soundings_csv": SOUNDINGS.replace("3.20", "4000")}, "soundings.csv:2 place station_m: 4000 m cannot be. Give a value from -5 to 150 m"),
        ({"soundings_csv": SOUNDINGS.replace("heard", "heards", 1)}, 'soundings.csv:1: there is no column "heards". Did you mean "heard"?'),
        ({"soundings_csv": SOUNDINGS.replace("side", "part", 1)}, 'soundings.csv:1: the column "part" stands twice'),
        ({"soundings_csv": SOUNDINGS + "bottom-laminate,port,1,2,dull,and,more\n"}, "soundings.csv:3: the row has 7 cells, the heading 5"),
        ({"soundings_csv": SOUNDINGS + 'bottom-laminate,"port'}, "the table breaks off here"),
        ({"soundings_csv": SOUNDINGS.replace("dull", "dull é").encode("latin-1")}, 'soundings.csv:2: this is not Unicode text. Save the file again as "UTF-8"'),
        ({"survey_toml": SURVEY_TOML.replace('purpose = "buy"', "purpose = ")}, "survey.toml:9: this cannot be read"),
        ({"survey_toml": SURVEY_TOML.replace("2026-05-12T09:00:00+01:00\n\n[ins", "2026-05-12T09:00:00\n\n[ins")}, "survey.toml at:"),
        ({"survey_toml": SURVEY_TOML + "[[consents]]\nact = 1\n"}, 'there is no "consents" in a survey. Did you mean "consent"?'),
        ({"survey_toml": SURVEY_TOML.replace("began = 2026", "began = 2027")}, "survey.toml:11 conditions began: 2027-05-12T09:00:00+01:00 lies in the future"),
        ({"examined_csv": "at,part,extent\n2031-01-01T10:00:00+00:00,stem,whole\n"}, "examined.csv:2: 2031-01-01T10:00:00+00:00 lies in the future"),
        ({"examined_csv": "at,part,extent\nnoon,stem,whole\n"}, "examined.csv:2 at:"),
        ({"boat_toml": 'name = "Quillet"\nloa_m = -3\n'}, "boat.toml loa_m: -3 m cannot be"),
        ({"boat_toml": 'name = "Quillet"\nloa = "ten"\n'}, 'boat.toml loa: "ten" is not a quantity'),
        ({"boat_toml": "loa_m = 10\n"}, "boat.toml name: it is missing. Give it a value"),
        ({"sounding_csv": SOUNDINGS}, 'sounding.csv: no such file belongs to a dossier. Did you mean "soundings.csv"?'),
        ({"readings__a_xlsx": b"PK"}, "readings/a.xlsx: files in readings/ end in .csv"),
        ({"told_md": "Never aground.\n## Seller\n"}, "told.md:1: words stand before the first heading"),
        ({"Soundings_CSV": SOUNDINGS}, "Soundings.CSV: no such file belongs to a dossier"),
        ({"photo__a_jpg": b"x"}, 'photo: no such folder belongs to a dossier. Did you mean "photos"?'),
        ({"memos__a_wav": b"x"}, "memos/a.wav: this spoken note is not listed"),
        ({"boat_toml": 'name = "Quillet"\nloa_m = 1' + "0" * 5000}, "boat.toml: this cannot be read"),
        ({"boat_toml": 'name = "Quillet"\nfitted = ["gass"]\n'}, 'boat.toml fitted: "gass" is no word for it'),
        ({"boat_toml": 'name = "Quillet"\nfitted = ["gas"]\nfitted_unknown = ["gas"]\n'}, "boat.toml fitted_unknown: she has \"gas\" and nobody knows"),
        ({"boat_toml": 'name = "Quillet"\nnumbers = { seacock = -1 }\n'}, "boat.toml numbers seacock: -1 cannot be"),
        ({"examined_csv": "part,extent,how\nstem,whole,hammer\n"}, 'examined.csv:2 how: "hammer" is no word for it'),
        ({"examined_csv": "at,part,extent\n1961-01-01T10:00:00+00:00,stem,whole\n"}, "examined.csv:2 at: A UUIDv7 cannot hold the time"),
        ({"survey_toml": SURVEY_TOML.replace('purpose = "buy"', 'purpose = "buy"\nasked_parts = ["ruder"]')}, 'asked_parts: there is no part "ruder"'),
        ({"survey_toml": SURVEY_TOML.replace('purpose = "buy"', 'purpose = "buy"\nvisits = []')}, "visits: no visit is stated"),
        ({"survey_toml": SURVEY_TOML.replace('"Ines Caldervane"', '""')}, "survey.toml author: it is missing"),
        ({"findings__x_md": "+++\nevidence = 5.5\nphrase = 5\n+++\n"}, "findings/x.md phrase: a phrase is named by its id"),
        ({"findings__x_md": "+++\nevidence = [5.5]\n+++\n"}, "findings/x.md evidence: this is not a list of names"),
        ({"notebook_jsonl": "{]\n"}, "notebook.jsonl:1: this line is not JSON"),
    ],
)  # fmt: skip
def test_each_fault_says_where_what_and_what_to_do(
    tmp_path: Path, files: dict[str, str | bytes], said: str
) -> None:
    assert said in refusal(tmp_path, **files)


def test_an_id_stated_twice_for_two_things_is_refused(tmp_path: Path) -> None:
    id_ = "019e1b6a-1e80-7000-8000-0000000000aa"
    text = f"entry_id,part,heard\n{id_},stem,dull\n{id_},stem,hollow\n"

    assert f"soundings.csv:3: the id {id_} is already taken by another sounding" in refusal(
        tmp_path, soundings_csv=text
    )


def test_an_empty_folder_says_what_is_missing(tmp_path: Path) -> None:
    assert "survey.toml: the file is missing" in refusal_of_empty(tmp_path)


def refusal_of_empty(folder: Path) -> str:
    try:
        read_dossier(folder, NOW)
    except ValueError as refused:
        return str(refused)
    return ""


def test_fifty_thousand_readings_are_read(tmp_path: Path) -> None:
    head = "# quantity: thickness\n# unit: mm\n# instrument: gauge\npart,station_m,as_read\n"
    rows = "".join(f"stem,{n % 1000 / 100},{4 + n % 100 / 100:.2f}\n" for n in range(50_000))

    (found,) = survey(tmp_path, readings__plate_csv=head + rows).bodies(ReadingSet)

    assert len(found.readings) == 50_000


def test_a_part_may_be_called_by_its_name(tmp_path: Path) -> None:
    found = survey(tmp_path, soundings_csv="part,heard\nKeel-to-hull joint,dull\n")

    assert found.of(Sounding)[0].body.place.part == "keel-joint"
