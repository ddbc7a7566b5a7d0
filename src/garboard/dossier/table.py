"""Tables of a dossier: CSV as spreadsheets really write it, into plain values of a body's fields.

Forgiving about form (byte order mark, separator, decimal comma, line ends, blank lines, a unit in the heading),
strict about meaning. Nothing here raises; problems are collected by line and column.
"""

import csv
import dataclasses
import io
import re
import types
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from garboard.boat.units import UNITS, converted
from garboard.catalogue.naming import part_id
from garboard.notebook.body import Place
from garboard.notebook.problem import Problem, nearest
from garboard.notebook.shape import hints

# How the fields of a place, and a photograph's own number, are called in a heading.
_HEADINGS = {"place.words": "where", "photo.number": "photo"}
_ENVELOPE = ("at", "entry_id", "entry_author", "entry_device", "entry_replaces", "entry_why")
_NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?([eE][+-]?\d+)?|[+-]?[.,]\d+")

# The unit a field's name ends in, and how people write units in a heading.
_SUFFIXES = {"m": "m", "mm": "mm", "kg": "kg", "c": "°C", "m2": "m²", "kw": "kW"}
_WRITTEN = {
    "c": "°C",
    "f": "°F",
    "m2": "m²",
    "ft2": "ft²",
    "kw": "kW",
    "feet": "ft",
    "inch": "in",
    "lbs": "lb",
}
_YES = {"yes", "y", "true", "1", "x", "ja", "oui", "si", "sí"}
_NO = {"no", "n", "false", "0", "nein", "non", ""}


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: its line in the file, the body's fields as JSON values, and what it says of its entry."""

    line: int
    fields: Mapping[str, Any]
    envelope: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Column:
    heading: str
    path: tuple[str, ...]
    hint: Any
    unit: tuple[str, str] | None = None


def decode(raw: bytes, where: str, problems: list[Problem]) -> str:
    """The text of a file, whichever Unicode form it has; an empty text, and a problem, if it has none."""
    encoding = "utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        return raw.decode(encoding).replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as problem:
        line = raw[: problem.start].count(b"\n") + 1
        problems.append(
            Problem(
                where=f"{where}:{line}",
                what="this is not Unicode text",
                do='Save the file again as "UTF-8"',
            )
        )
        return ""


def columns_of(cls: type, leave_out: Iterable[str] = ()) -> dict[str, tuple[tuple[str, ...], Any]]:
    """The headings a table of a body may have, each with the path to its field and the field's type."""
    found: dict[str, tuple[tuple[str, ...], Any]] = {}
    for each in dataclasses.fields(cls):
        if each.name in leave_out:
            continue
        hint = bare(hints(cls)[each.name])
        if hint is Place:
            for inner in dataclasses.fields(Place):
                heading = _HEADINGS.get(f"place.{inner.name}", inner.name)
                found[heading] = ((each.name, inner.name), bare(hints(Place)[inner.name]))
        else:
            heading = _HEADINGS.get(f"{cls.__name__.lower()}.{each.name}", each.name)
            found[heading] = ((each.name,), hint)
    return found


def read_table(
    text: str,
    where: str,
    cls: type,
    problems: list[Problem],
    *,
    first_line: int = 1,
    aliases: Mapping[str, str] = types.MappingProxyType({}),
    leave_out: Sequence[str] = (),
) -> tuple[Row, ...]:
    """The rows of a CSV table.

    Args:
        text: The file's text from its heading on.
        where: The file's name, for messages.
        cls: The body's class.
        problems: Collects what is wrong.
        first_line: The line of the file the text begins at.
        aliases: Other headings for a field.
        leave_out: Fields that have no column.
    """
    records = _records(text, where, first_line, problems)
    if not records:
        return ()
    head_line, head = records[0]
    known = columns_of(cls, leave_out)
    columns = [_column(each, known, aliases, f"{where}:{head_line}", problems) for each in head]
    twice = {each.heading for each in columns if each and [c and c.heading for c in columns].count(each.heading) > 1}  # fmt: skip
    problems.extend(
        Problem(
            where=f"{where}:{head_line}",
            what=f'the column "{each}" stands twice',
            do="Keep one of the two",
        )
        for each in sorted(twice)
    )
    rows = []
    for line, cells in records[1:]:
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) > len(columns) and any(cell.strip() for cell in cells[len(columns) :]):
            problems.append(
                Problem(
                    where=f"{where}:{line}",
                    what=f"the row has {len(cells)} cells, the heading {len(columns)}",
                    do="Put text and decimal commas that hold the separator in quotation marks, or separate by ;",
                )
            )
            continue
        rows.append(_row(cells, columns, line, where, problems))
    return tuple(rows)


def write_table(headings: Sequence[str], rows: Iterable[Mapping[str, str]]) -> str:
    """A CSV table with the headings that some row uses, in the order given."""
    kept = list(rows)
    used = [each for each in headings if any(row.get(each, "") for row in kept)]
    out = io.StringIO()
    writer = csv.DictWriter(out, used, extrasaction="ignore", lineterminator="\n", restval="")
    writer.writeheader()
    writer.writerows(kept)
    return out.getvalue()


def cell_of(value: Any) -> str:
    """A JSON value as the text of a cell."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    if isinstance(value, list | tuple):
        return "; ".join(map(cell_of, value))
    if isinstance(value, Mapping):
        return " ".join(map(cell_of, value.values()))
    if isinstance(value, datetime | date):
        return value.isoformat()
    return str(value)


def plain_number(text: str) -> str | None:
    """The digits of a number as typed, with a point for a decimal comma; None if it is no number."""
    bare = text.strip().replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", "")
    return bare.replace(",", ".") if _NUMBER.fullmatch(bare) else None


def unit_in(heading: str, field: str) -> tuple[str, str] | None:
    """The unit a heading gives a field in, and the field's own: "station_ft" for "station_m" is ft and m."""
    base, _, suffix = field.rpartition("_")
    own = _SUFFIXES.get(suffix)
    if not base or own is None:
        return None
    if heading == base:
        return own, own
    stated = heading.removeprefix(f"{base}_")
    unit = _WRITTEN.get(stated, stated)
    if stated == heading or unit not in UNITS or UNITS[unit].dimension != UNITS[own].dimension:
        return None
    return unit, own


def separator_of(heading: str) -> str:
    """The separator of a table by its heading line: tab, semicolon or comma, which may be a decimal one."""
    return max("\t;,", key=heading.count)


def _records(
    text: str, where: str, first_line: int, problems: list[Problem]
) -> list[tuple[int, list[str]]]:
    lead = next((line for line in text.split("\n") if line.strip()), "")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator_of(lead), strict=True)
    records: list[tuple[int, list[str]]] = []
    line = first_line
    try:
        for cells in reader:
            if records or any(cell.strip() for cell in cells):
                records.append((line, cells))
            line = first_line + reader.line_num
    except csv.Error as problem:
        problems.append(
            Problem(
                where=f"{where}:{first_line + reader.line_num}",
                what=f"the table breaks off here ({problem})",
                do="Close the quotation marks",
            )
        )
    return records


def _column(
    heading: str,
    known: Mapping[str, tuple[tuple[str, ...], Any]],
    aliases: Mapping[str, str],
    where: str,
    problems: list[Problem],
) -> _Column | None:
    plain = re.sub(r"[\s()\[\]/,]+", "_", heading.strip().lower()).strip("_").replace("°", "")
    plain = aliases.get(plain, plain)
    if plain in known:
        return _Column(heading=plain, path=known[plain][0], hint=known[plain][1])
    if plain in _ENVELOPE:
        return _Column(heading=plain, path=(), hint=str)
    for name, (path, hint) in known.items():
        unit = unit_in(plain, name) if hint is float else None
        if unit:
            return _Column(heading=name, path=path, hint=hint, unit=unit)
    if not plain:
        return None
    problems.append(
        Problem(
            where=where,
            what=f'there is no column "{heading.strip()}"',
            do=nearest(plain, known),
        )
    )
    return None


def _row(
    cells: list[str],
    columns: Sequence[_Column | None],
    line: int,
    where: str,
    problems: list[Problem],
) -> Row:
    fields: dict[str, Any] = {}
    envelope: dict[str, str] = {}
    for cell, column in zip(cells, columns, strict=False):
        text = cell.strip()
        if column is None or not text:
            continue
        if not column.path:
            envelope[column.heading] = text
            continue
        if column.heading == "part":
            text = part_id(text)
        value = _cell(text, column, f"{where}:{line} {column.heading}", problems)
        if value is None:
            continue
        holder = fields
        for step in column.path[:-1]:
            holder = holder.setdefault(step, {})
        holder[column.path[-1]] = value
    return Row(line=line, fields=fields, envelope=envelope)


def _cell(text: str, column: _Column, where: str, problems: list[Problem]) -> Any:
    hint = column.hint
    if get_origin(hint) is tuple:
        pieces = [each.strip() for each in text.split(";") if each.strip()]
        inner = get_args(hint)[0]
        if dataclasses.is_dataclass(inner):
            made = [_row_of_fields(each, inner, where, problems) for each in pieces]
            return [each for each in made if each]
        return pieces
    if dataclasses.is_dataclass(hint):
        return _row_of_fields(text, hint, where, problems)
    if get_origin(hint) is Literal:
        choices = get_args(hint)
        return next((each for each in choices if str(each).lower() == text.lower()), text)
    if hint is bool:
        if text.lower() in _YES | _NO:
            return text.lower() in _YES
        problems.append(Problem(where=where, what=f'"{text}" is neither yes nor no', do="Write yes or no"))  # fmt: skip
        return None
    if hint in (int, float):
        is_share = column.heading.endswith("_pct")
        digits = plain_number(text.rstrip("% ") if is_share else text)
        if digits is None:
            problems.append(
                Problem(
                    where=where,
                    what=f'"{text}" is not a number',
                    do="Leave the cell empty, and add a limitation if it could not be measured",
                )
            )
            return None
        number = float(digits)
        if column.unit:
            number = round(converted(number, *column.unit), 9)
        return int(number) if hint is int and number.is_integer() else number
    return text


def _row_of_fields(
    text: str, cls: Any, where: str, problems: list[Problem]
) -> dict[str, Any] | None:
    """The fields of a small thing that stands in one cell, in their order, with spaces between them."""
    names, words = [each.name for each in dataclasses.fields(cls)], text.split()
    if len(words) != len(names):
        problems.append(
            Problem(
                where=where,
                what=f'"{text}" does not give {len(names)} values',
                do=f"Write {', '.join(names)}, with spaces between them",
            )
        )
        return None
    return {
        name: float(digits) if (digits := plain_number(word)) is not None else word
        for name, word in zip(names, words, strict=True)
    }


def bare(hint: Any) -> Any:
    """The type of a field without its range and without None."""
    while get_origin(hint) in (Annotated, Union, types.UnionType):
        inner = [each for each in get_args(hint) if each is not type(None)]
        hint = inner[0]
    return hint
