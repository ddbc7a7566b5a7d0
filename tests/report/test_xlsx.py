import io
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import openpyxl
import pytest

from garboard.report.document import Written
from garboard.report.xlsx import Sheet, write_xlsx

READINGS = Sheet(
    name="Readings",
    columns=("Station, m", "Thickness, mm", "At", "On", "Remark", "Clear"),
    rows=(
        (
            Decimal("3.20"),
            Decimal("5.6"),
            datetime(2026, 5, 12, 9, 41, 7, tzinfo=UTC),
            date(2026, 5, 12),
            "=1+1",
            True,
        ),
        (0.1, 12, None, None, "http://example.org/", False),
        (None, None, None, None, "+44 bell \x07, \u202eround", None),
    ),
)


def written(*sheets: Sheet) -> Written:
    return write_xlsx(sheets, title="Quillet", author="Ines Caldervane", issued_unix=1_778_572_800)


def opened(made: Written) -> Any:
    return openpyxl.load_workbook(io.BytesIO(made.content))


@pytest.fixture
def page() -> Any:
    return opened(written(READINGS))["Readings"]


def test_text_stays_text_whatever_it_begins_with(page: Any) -> None:
    remarks = [page.cell(line, 5) for line in (2, 3, 4)]

    assert [cell.value for cell in remarks] == ["=1+1", "http://example.org/", "+44 bell , round"]
    assert {cell.data_type for cell in remarks} == {"s"}
    assert [cell.hyperlink for cell in remarks] == [None] * 3


def test_a_number_is_a_number_and_shows_the_digits_it_was_read_with(page: Any) -> None:
    station, thickness = page["A2"], page["B2"]

    assert (station.value, station.number_format) == (3.2, "0.00")
    assert (thickness.value, thickness.number_format) == (5.6, "0.0")
    assert (page["A3"].value, page["B3"].value) == (0.1, 12)


def test_a_day_is_a_day_and_a_moment_keeps_its_zone(page: Any) -> None:
    assert page["D2"].value == datetime(2026, 5, 12)  # noqa: DTZ001 - a workbook has no zones
    assert page["D2"].number_format == "yyyy-mm-dd"
    assert page["C2"].value == "2026-05-12 09:41:07+00:00"


def test_yes_and_no_and_nothing_are_told_apart(page: Any) -> None:
    assert [page.cell(line, 6).value for line in (2, 3, 4)] == [True, False, None]


def test_the_header_stays_in_sight(page: Any) -> None:
    assert page.freeze_panes == "A2"
    assert [cell.value for cell in page[1]] == list(READINGS.columns)
    assert page["A1"].font.bold


def test_sheets_stand_in_their_order_and_an_empty_one_has_its_header() -> None:
    empty = Sheet(name="Soundings", columns=("Station, m", "Heard"), rows=())

    book = opened(written(READINGS, empty))

    assert book.sheetnames == ["Readings", "Soundings"]
    assert [cell.value for cell in book["Soundings"][1]] == ["Station, m", "Heard"]


def test_the_same_rows_give_the_same_bytes() -> None:
    assert written(READINGS) == written(READINGS)


def test_a_text_too_long_for_a_cell_is_cut_and_reported() -> None:
    made = written(Sheet(name="Told", columns=("Words",), rows=(("x" * 40_000,),)))

    assert [each.where for each in made.warnings] == ["sheet Told, row 2, Words"]
    assert opened(made)["Told"]["A2"].value.endswith("cut here: a cell holds no more")
