"""A table of readings as somebody pastes it: from a spreadsheet, from a file, with a head of # lines or without.

Two shapes are read: a row a reading under headings, and a grid with stations along one edge, levels along the other.
Everything wrong is collected, each by its row and column; a table with a fault in it is not kept by halves.
"""

import csv
import io
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from garboard.dossier.pages import SetHead, read_readings, read_set_head
from garboard.dossier.table import Row, plain_number, separator_of
from garboard.notebook.body import Reading, Side
from garboard.notebook.problem import Problem, Refused, nearest
from garboard.notebook.shape import read

_WHERE = re.compile(r"row[: ](\d+)(?:[ ,]+(.*))?")
_CALLED = {"as_read": "reading", "station_m": "station", "level_m": "level", "words": "where"}
_SIDES: Mapping[str, Side] = MappingProxyType(
    {
        **dict.fromkeys(("p", "ps", "port side", "left"), "port"),
        **dict.fromkeys(("s", "sb", "stb", "stbd", "starboard side", "right"), "starboard"),
        **dict.fromkeys(("c", "cl", "middle", "centreline"), "centre"),
    }
)
_STRANGE = re.compile(r'there is no column "(.*)"')
_EMPTY = ("", "-", "\N{EN DASH}", "\N{EM DASH}", ".")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pasted:
    """What a table says: its head, each reading that could be read with its row, and what is wrong.

    `strange` are headings that no column of readings has.
    """

    head: SetHead
    rows: tuple[tuple[int, Reading], ...]
    problems: tuple[Problem, ...]
    strange: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What is known of all rows beforehand: the quantity and unit read, and the place where a row names none.

    `leave_out` are headings of columns that say nothing of the readings.
    """

    quantity: str = ""
    unit: str = ""
    part: str = ""
    side: str = ""
    leave_out: tuple[str, ...] = ()


def pasted(text: str, given: Given, parts: Collection[str]) -> Pasted:
    """The readings of a table.

    Args:
        text: As it was pasted.
        given: What holds where the table says nothing.
        parts: The parts there are.
    """
    head = read_set_head(text.replace("\r\n", "\n").replace("\r", "\n"))
    problems: list[Problem] = []
    found = _rows(head, given, problems)
    if found and not given.part and not any("part" in _place_in(row) for row in found):
        problems.append(Problem(where="part", what="no row names one", do="Choose the part above"))
        given = replace(given, part=next(iter(parts)))
    rows = [(row.line, made) for row in found if (made := _reading(row, given, parts, problems))]
    if not found and not problems:
        problems.append(Problem(where="table", what="there are headings and no row", do="Paste the rows too"))  # fmt: skip
    strange = [match[1] for each in problems if (match := _STRANGE.fullmatch(each.what))]
    return Pasted(
        head=head,
        rows=tuple(rows),
        problems=tuple(_named(each) for each in problems),
        strange=tuple(strange),
    )


def row_of(problem: Problem) -> int | None:
    """The row that a problem of a table lies in."""
    found = re.match(r"row (\d+)", problem.where)
    return int(found[1]) if found else None


def _rows(head: SetHead, given: Given, problems: list[Problem]) -> tuple[Row, ...]:
    """The rows of a table in either shape."""
    cells = _cells(head.table)
    first = next((row for row in cells if any(each.strip() for each in row)), [])
    if not first:
        problems.append(Problem(where="table", what="it is empty", do="Paste the rows with their headings"))  # fmt: skip
        return ()
    if all(_metres(each) is not None for each in first if each.strip()):
        problems.append(Problem(where=f"row {head.lines + 1}", what="these are numbers, and no headings", do="Put headings above them, such as station, level and reading"))  # fmt: skip
        return ()
    if _is_grid(first):
        return tuple(_of_grid(cells, head.lines + 1, problems))
    if given.leave_out:
        # A column without a heading is passed over.
        first[:] = ["" if each.strip() in given.leave_out else each for each in first]
    return read_readings(
        _text(cells) if given.leave_out else head.table,
        "row",
        problems,
        quantity=given.quantity or head.settings.get("quantity", ""),
        unit=given.unit or head.settings.get("unit", ""),
        first_line=head.lines + 1,
    )


def _cells(table: str) -> list[list[str]]:
    lead = next((line for line in table.split("\n") if line.strip()), "")
    separator = separator_of(lead)
    try:
        return list(csv.reader(io.StringIO(table, newline=""), delimiter=separator))
    except csv.Error:
        # Its headings are enough here; reading the table as a whole says what is wrong with it.
        return [lead.split(separator)]


def _text(cells: list[list[str]]) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter="\t", lineterminator="\n").writerows(cells)
    return out.getvalue()


def _place_in(row: Row) -> Mapping[str, Any]:
    place: Mapping[str, Any] = row.fields.get("place", {})
    return place


def _reading(
    row: Row, given: Given, parts: Collection[str], problems: list[Problem]
) -> Reading | None:
    place = {
        key: value for key, value in (("part", given.part), ("side", given.side)) if value
    } | dict(_place_in(row))
    side = str(place.get("side", "")).casefold()
    if side in _SIDES:
        place["side"] = _SIDES[side]
    where = f"row {row.line}"
    if "as_read" not in row.fields:
        problems.append(Problem(where=f"{where}, reading", what="there is none", do="Fill it in, or take the row out and add a limitation"))  # fmt: skip
        return None
    wrong = [
        Problem(
            where=f"{where}, {_CALLED.get(name, name)}",
            what=f'"{row.fields[name]}" is not a number',
            do="Correct it, or take the row out and add a limitation",
        )
        for name in ("as_read", "original")
        if plain_number(row.fields.get(name, "0")) is None
    ]
    try:
        made = read(Reading, {**row.fields, "place": place}, where)
    except Refused as refused:
        problems += [*wrong, *refused.problems]
        return None
    if made.place.part not in parts:
        do = nearest(made.place.part, parts, "Choose the part above, or use an id of the catalogue")
        what = f'there is no part "{made.place.part}"'
        wrong.append(Problem(where=f"{where}, part", what=what, do=do))
    problems += wrong
    return None if wrong else made


def _named(problem: Problem) -> Problem:
    """A problem with its row and column as the person who pasted it would call them."""
    found = _WHERE.fullmatch(problem.where)
    if not found:
        return problem
    column = found[2] or ""
    if not column.startswith("column "):
        column = column.split(" ")[-1]
    where = f"row {found[1]}, {_CALLED.get(column, column)}" if column else f"row {found[1]}"
    return Problem(where=where, what=problem.what, do=problem.do)


# A grid


def _is_grid(headings: Sequence[str]) -> bool:
    """Whether all headings but the first are numbers."""
    edge = [each for each in headings[1:] if each.strip()]
    return len(edge) > 1 and all(_metres(each) is not None for each in edge)


def _of_grid(cells: list[list[str]], first_line: int, problems: list[Problem]) -> Iterator[Row]:
    start = next(index for index, row in enumerate(cells) if any(each.strip() for each in row))
    edge = [_metres(each) for each in cells[start][1:]]
    # Stations run along the upper edge unless its corner says that they run down the side.
    is_turned = cells[start][0].strip().casefold().startswith("station")
    for line, row in enumerate(cells[start + 1 :], first_line + start + 1):
        if not any(each.strip() for each in row):
            continue
        down = _metres(row[0])
        if down is None:
            problems.append(
                Problem(
                    where=f"row {line}, column 1",
                    what=f'"{row[0].strip()}" is no distance',
                    do=f"Write the {'station' if is_turned else 'level'} of the row there, in metres",
                )
            )
            continue
        for across, cell in zip(edge, row[1:], strict=False):
            text = cell.strip()
            if text in _EMPTY:
                continue
            digits = plain_number(text)
            if across is None or digits is None:
                column = "a column without heading" if across is None else f"column {across:g}"
                problems.append(Problem(where=f"row {line}, {column}", what=f'"{text}" is not a number' if across is not None else "there is a reading", do="Correct it, or leave the cell empty"))  # fmt: skip
                continue
            station, level = (down, across) if is_turned else (across, down)
            fields: dict[str, Any] = {"as_read": digits, "place": {"station_m": station, "level_m": level}}  # fmt: skip
            yield Row(line=line, fields=fields, envelope={})


def _metres(text: str) -> float | None:
    digits = plain_number(text.strip().removesuffix("m").strip())
    return None if digits is None else float(digits)
