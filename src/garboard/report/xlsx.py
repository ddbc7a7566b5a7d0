"""The workbook: plain rows of readings, soundings and recommendations for whoever wants to reckon with them.

Text stays text, whatever it begins with; a number is a number and shows the digits it was read with.
"""

import io
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal

import xlsxwriter

from garboard.notebook.problem import Problem
from garboard.report.clean import safe
from garboard.report.document import Written

Cell = str | int | float | Decimal | bool | date | datetime | None
"""A `Decimal` shows as many places as it has; a moment is written as text, so that its zone is kept."""

_LONGEST = 32_767
_CUT = " … cut here: a cell holds no more"
_WIDEST = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet: a name of at most 31 letters, the columns' names, and rows of as many cells."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def write_xlsx(sheets: tuple[Sheet, ...], *, title: str, author: str, issued_unix: int) -> Written:
    """A workbook of sheets, each with its header row kept in sight; the same rows give the same bytes.

    Args:
        sheets: At least one, their names all different.
        title: Of the report the rows belong to.
        author: Of that report.
        issued_unix: The time written into the file, s since 1970.
    """
    held = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    book = xlsxwriter.Workbook(held, options)
    created = datetime.fromtimestamp(issued_unix, UTC).replace(tzinfo=None)
    book.set_properties({"title": safe(title), "author": safe(author), "created": created})
    warnings = [problem for sheet in sheets for problem in _write_sheet(book, sheet)]
    book.close()
    return Written(content=held.getvalue(), warnings=tuple(warnings))


def _write_sheet(book: xlsxwriter.Workbook, sheet: Sheet) -> list[Problem]:
    page = book.add_worksheet(sheet.name)
    header = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"})
    wrapped = book.add_format({"text_wrap": True, "valign": "top"})
    formats = {
        shown: book.add_format({"num_format": shown, "valign": "top"})
        for shown in sorted({_shown(cell) for row in sheet.rows for cell in row})
    }
    warnings: list[Problem] = []
    for column, name in enumerate(sheet.columns):
        page.write_string(0, column, safe(name), header)
        longest = max((len(_as_text(row[column])) for row in sheet.rows), default=0)
        page.set_column(column, column, min(_WIDEST, max(len(name), longest) + 2))
    for line, row in enumerate(sheet.rows, start=1):
        for column, cell in enumerate(row):
            if isinstance(cell, str | datetime):
                text = _as_text(cell)
                if len(text) > _LONGEST:
                    text = text[: _LONGEST - len(_CUT)] + _CUT
                    warnings.append(_too_long(sheet, line, column))
                page.write_string(line, column, text, wrapped)
            else:
                page.write(line, column, cell, formats[_shown(cell)])
    page.freeze_panes(1, 0)
    if sheet.rows:
        page.autofilter(0, 0, len(sheet.rows), len(sheet.columns) - 1)
    page.repeat_rows(0)
    page.set_landscape()
    page.fit_to_pages(1, 0)
    return warnings


def _too_long(sheet: Sheet, line: int, column: int) -> Problem:
    return Problem(
        where=f"sheet {sheet.name}, row {line + 1}, {sheet.columns[column]}",
        what=f"the text is longer than the {_LONGEST} characters a cell holds, and was cut",
        do="Read it whole in the PDF",
    )


def _as_text(cell: Cell) -> str:
    if isinstance(cell, datetime):
        return cell.isoformat(sep=" ", timespec="seconds")
    return "" if cell is None else safe(str(cell))


def _shown(cell: Cell) -> str:
    """The number format of a cell, in the workbook's own notation."""
    if isinstance(cell, Decimal):
        exponent = cell.as_tuple().exponent
        places = -exponent if isinstance(exponent, int) and exponent < 0 else 0
        return "0." + "0" * places if places else "0"
    return "yyyy-mm-dd" if isinstance(cell, date) else "General"
