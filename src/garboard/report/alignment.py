"""Decimal points under each other in a column of numbers."""

import re

from garboard.report.document import Table

_NUMBER = re.compile(r"\D*\d+(?:\.(\d+))?")


def tails(table: Table) -> tuple[tuple[str, ...], ...]:
    """What each cell lacks at its right, to be set unseen, row by row.

    The digits stay as they were read: 5.4 beside 4.62 is not turned into 5.40, it only stands as if it were.
    """
    by_column = [
        _tails_of(["".join(span.text for span in row[place]) for row in table.rows])
        if column.align == "decimal"
        else [""] * len(table.rows)
        for place, column in enumerate(table.columns)
    ]
    return tuple(zip(*by_column, strict=True))


def _tails_of(cells: list[str]) -> list[str]:
    numbers = [_NUMBER.fullmatch(cell.strip()) for cell in cells]
    most = max((_places(number) for number in numbers if number), default=0)
    return [_tail(_places(number), most) if number else "" for number in numbers]


def _places(number: re.Match[str]) -> int:
    return len(number[1] or "")


def _tail(places: int, most: int) -> str:
    return ("." if most and not places else "") + "0" * (most - places)
