"""A table of readings as somebody pastes it: forgiving about form, every fault named by row and column."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garboard.catalogue.parts import catalogue
from garboard.dossier.pasted import Given, Pasted, pasted, row_of
from garboard.notebook.body import Place

DEMO = Path(__file__).parents[2] / "demo"
BOTTOM = Given(part="bottom-laminate")


def look(text: str, given: Given = BOTTOM) -> Pasted:
    return pasted(text, given, catalogue().parts)


def said(found: Pasted) -> list[str]:
    return [str(each) for each in found.problems]


def test_a_spreadsheet_with_its_own_headings_is_read() -> None:
    found = look("Station (m)\tLevel\tReading\tP/S\tRemarks\n3,2\t-0,45\t14\tP\tby the inlet\n")

    ((row, reading),) = found.rows
    assert row == 2
    assert reading.place == Place(part="bottom-laminate", side="port", station_m=3.2, level_m=-0.45)
    assert (reading.as_read, reading.note) == ("14", "by the inlet")


def test_digits_are_kept_as_they_were_read() -> None:
    found = look("station;level;value\n3.20;-0.40;4,60\n")

    assert found.rows[0][1].as_read == "4.60"


def test_lengths_in_feet_are_taken_to_metres() -> None:
    found = look("station ft,level in,reading\n10,-12,14\n")

    place = found.rows[0][1].place
    assert (place.station_m, place.level_m) == (3.048, -0.3048)


@pytest.mark.parametrize("name", ["bottom-moisture", "anodes", "continuity", "batteries", "heat"])
def test_a_page_of_a_dossier_is_read_with_its_head(name: str) -> None:
    text = (DEMO / f"quillet/readings/{name}.csv").read_text("utf-8")

    found = look(text, Given())

    assert found.problems == ()
    assert found.head.settings["quantity"]
    assert len(found.rows) == sum(1 for line in text.splitlines() if not line.startswith("#")) - 1


def test_a_grid_of_stations_and_levels_is_read() -> None:
    text = """level;2,0;2,5;3,0
-0,2;12;13;-
-0,4;14;;15,5
"""

    found = look(text, Given(part="bottom-laminate", side="starboard"))

    at = [(e.place.station_m, e.place.level_m, e.as_read, e.place.side) for _, e in found.rows]
    assert at == [
        (2.0, -0.2, "12", "starboard"),
        (2.5, -0.2, "13", "starboard"),
        (2.0, -0.4, "14", "starboard"),
        (3.0, -0.4, "15.5", "starboard"),
    ]


def test_a_grid_with_its_stations_down_the_side_is_read() -> None:
    found = look("station,-0.2,-0.4\n2.0,12,13\n")

    assert [each.place.level_m for _, each in found.rows] == [-0.2, -0.4]
    assert {each.place.station_m for _, each in found.rows} == {2.0}


def test_every_fault_is_named_by_row_and_column() -> None:
    text = """station\tlevel\treading\tside
3.2\t-0.4\t14\tP
3.6\tx\t15\tS
3.6\t1\t\tS
999\t1\twet\tQ
"""

    found = look(text)

    assert [(row_of(each), each.where) for each in found.problems] == [
        (3, "row 3, level"),
        (4, "row 4, reading"),
        (5, "row 5, reading"),
        (5, "row 5, side"),
        (5, "row 5, station"),
    ]
    assert '"x" is not a number' in said(found)[0]


def test_faults_in_a_grid_are_named_by_row_and_station() -> None:
    assert said(look("level,2.0,2.5\n-0.2,12,wet\nfoot,13,14\n")) == [
        'row 2, column 2.5: "wet" is not a number. Correct it, or leave the cell empty.',
        'row 3, column 1: "foot" is no distance. Write the level of the row there, in metres.',
    ]


def test_a_part_nobody_knows_is_named_with_the_one_that_was_meant() -> None:
    (problem,) = said(look("part,reading\nbottom-laminat,12\n"))

    assert problem == 'row 2, part: there is no part "bottom-laminat". Did you mean "bottom-laminate"?'  # fmt: skip


def test_rows_of_numbers_without_headings_are_asked_for_them() -> None:
    (problem,) = said(look("3.2\t-0.4\t14\n3.4\t-0.4\t15\n"))

    assert problem.startswith("row 1: these are numbers, and no headings.")


@pytest.mark.parametrize(("text", "what"), [("", "it is empty"), ("station,reading\n", "no row")])
def test_a_table_that_says_nothing_is_refused_in_words(text: str, what: str) -> None:
    (problem,) = said(look(text))

    assert what in problem


def test_a_strange_column_is_named_and_left_out_where_that_is_wanted() -> None:
    text = "station,level,reading,initials\n3.2,-0.4,14,IC\n"

    asked = look(text)
    told = look(text, Given(part="bottom-laminate", leave_out=("initials",)))

    assert asked.strange == ("initials",)
    assert len(asked.problems) == 1
    assert [each.as_read for _, each in told.rows] == ["14"]


def test_a_table_that_breaks_off_is_refused_in_words() -> None:
    (problem,) = said(look('station,level,reading,note\n3.2,-0.4,14,"never closed\n'))

    assert "breaks off" in problem


@given(st.text())
def test_any_text_gives_readings_or_problems(text: str) -> None:
    found = look(text)

    assert found.rows or found.problems


def test_a_table_that_names_no_part_is_asked_for_it_once() -> None:
    assert said(look("station,reading\n3.2,12\n3.4,13\n", Given())) == [
        "part: no row names one. Choose the part above."
    ]
