"""The pages of a dossier that are text: a finding, what was told, and a reading set's table with its header.

Each page has a reader and a writer that undo each other.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import tomli_w

from garboard.catalogue.phrases import phrases
from garboard.dossier.table import (
    Row,
    cell_of,
    plain_number,
    read_table,
    write_table,
)
from garboard.notebook.body import Reading
from garboard.notebook.problem import Problem, nearest

_FENCE = "+++"
_SEEN, _WHY = "## Seen", "## Why it matters"
# The same units as keyboards and laboratories write them.
_UNITS = {"\u03bcm": "µm", "um": "µm", "cst": "mm²/s", "mm2/s": "mm²/s", "cm2": "cm²"}
# How people head the columns of a table of readings.
_ALSO = {
    **dict.fromkeys(("location", "place", "position"), "where"),
    **dict.fromkeys(("remark", "remarks", "comment", "comments", "notes"), "note"),
    **dict.fromkeys(("ref", "dry", "dry_reference"), "reference"),
    **dict.fromkeys(("p_s", "ps", "port_starboard"), "side"),
}
_SETTING = re.compile(r"#\s*([A-Za-z_ ]+?)\s*[:=]\s*(.*)")
_TOLD_SETTING = re.compile(r"(asked|about|at|entry_[a-z]+): (.*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingPage:
    """A finding as its page gives it: the table in front, and the two texts."""

    table: Mapping[str, Any]
    seen: str
    why: str


def read_finding(text: str, where: str, problems: list[Problem]) -> FindingPage | None:
    """The finding page, its phrase filled in where the page says less than the phrase."""
    parts = text.split(f"{_FENCE}\n", 2)
    if len(parts) != 3 or parts[0].strip():
        problems.append(
            Problem(
                where=f"{where}:1",
                what="the page does not begin with a table between two lines of +++",
                do="Put title, urgency and places between two lines of +++ at the top",
            )
        )
        return None
    try:
        table = tomllib.loads(parts[1])
    except tomllib.TOMLDecodeError as problem:
        problems.append(
            Problem(
                where=where,
                what=f"the table in front cannot be read ({problem})",
                do="Mend the line named",
            )
        )
        return None
    seen, why = _texts(parts[2], where, problems)
    return _filled(FindingPage(table=table, seen=seen, why=why), where, problems)


def write_finding(page: FindingPage) -> str:
    """The page of a finding."""
    front = tomli_w.dumps(dict(page.table), multiline_strings=False)
    return f"{_FENCE}\n{front}{_FENCE}\n\n{_SEEN}\n\n{page.seen}\n\n{_WHY}\n\n{page.why}\n"


def read_told(text: str, where: str, problems: list[Problem]) -> tuple[Row, ...]:
    """What was told: a heading names who said it, lines of settings follow, then the words."""
    rows: list[Row] = []
    line = 1
    for block in re.split(r"(?m)^(?=## )", text):
        if block.startswith("## "):
            rows.append(_told(block, line))
        elif block.strip():
            problems.append(
                Problem(
                    where=f"{where}:{line}",
                    what="words stand before the first heading, so nobody said them",
                    do='Begin with a heading that names who spoke: "## The seller"',
                )
            )
        line += block.count("\n")
    return tuple(rows)


def write_told(rows: list[tuple[dict[str, Any], dict[str, str]]]) -> str:
    """The page of what was told, from bodies as JSON and what is stated of their entries."""
    blocks = []
    for fields, stated in rows:
        settings = {key: fields[key] for key in ("asked",) if fields.get(key)}
        if fields.get("about"):
            settings["about"] = "; ".join(fields["about"])
        lines = [f"{key}: {value}" for key, value in {**settings, **stated}.items()]
        blocks.append("\n".join([f"## {fields['who']}", *lines, "", fields["said"], ""]))
    return "\n".join(blocks)


def read_reading_set(
    text: str, where: str, name: str, problems: list[Problem]
) -> tuple[dict[str, Any], Mapping[str, str]]:
    """A reading set as JSON, and what its header states of its entry."""
    head = read_set_head(text)
    settings = dict(head.settings)
    rows = read_readings(
        head.table,
        where,
        problems,
        quantity=settings.get("quantity", ""),
        unit=settings.get("unit", ""),
        first_line=head.lines + 1,
    )
    for key, convert in (("spacing_m", float), ("through_coating", _yes)):
        if key in settings:
            digits = plain_number(settings[key]) if convert is float else settings[key]
            settings[key] = convert(digits) if digits else settings[key]
    return {"name": name, **settings, "readings": [row.fields for row in rows]}, head.stated


@dataclass(frozen=True, slots=True, kw_only=True)
class SetHead:
    """What the lines before a table of readings say of the set and of its entry; then the table, and their number."""

    settings: Mapping[str, Any]
    stated: Mapping[str, str]
    table: str
    lines: int


def read_set_head(text: str) -> SetHead:
    """The lines that begin with # before a table of readings; there may be none."""
    settings: dict[str, Any] = {}
    stated: dict[str, str] = {}
    lines = text.split("\n")
    first = 0
    while first < len(lines) and (
        not lines[first].strip() or _setting_in(lines[first]).startswith("#")
    ):
        match = _SETTING.fullmatch(_setting_in(lines[first]))
        if match:
            key = match[1].strip().lower().replace(" ", "_")
            is_stated = key == "at" or key.startswith("entry_")
            (stated if is_stated else settings)[key] = match[2].strip()
        first += 1
    if "unit" in settings:
        settings["unit"] = _UNITS.get(settings["unit"].lower(), settings["unit"])
    table = "\n".join(lines[first:])
    return SetHead(settings=settings, stated=stated, table=table, lines=first)


def read_readings(
    text: str,
    where: str,
    problems: list[Problem],
    *,
    quantity: str = "",
    unit: str = "",
    first_line: int = 1,
) -> tuple[Row, ...]:
    """The rows of a table of readings, the digits of their numbers as they were read.

    Args:
        text: The table from its heading on.
        where: What to call it in messages.
        problems: Collects what is wrong.
        quantity: What was read; a column may be called by it.
        unit: Its unit; a heading may end in it.
        first_line: The line of the file the text begins at.
    """
    plain = quantity.replace(" ", "_")
    aliases = {each: "as_read" for each in ("reading", "value", "read", plain) if each}
    aliases |= {f"{each}_{unit.lower()}": "as_read" for each in (*aliases, "as_read")}
    aliases |= {
        "as_built": "original",
        "as_new": "original",
        f"original_{unit.lower()}": "original",
    }
    rows = read_table(
        text, where, Reading, problems, first_line=first_line, aliases={**_ALSO, **aliases}
    )
    return tuple(replace(row, fields=_with_digits(row.fields)) for row in rows)


def _with_digits(fields: Mapping[str, Any]) -> Mapping[str, Any]:
    digits = {key: plain_number(fields[key]) for key in ("as_read", "original") if key in fields}
    return {**fields, **{key: found for key, found in digits.items() if found}}


def _setting_in(line: str) -> str:
    """A line of the header, without the quotation marks and empty cells a spreadsheet adds to it."""
    return line.strip().rstrip(",;\t ").strip('"').strip()


def write_reading_set(fields: Mapping[str, Any], stated: Mapping[str, str], headings: tuple[str, ...]) -> str:  # fmt: skip
    """The page of a reading set: its header and its table."""
    header = {k: v for k, v in fields.items() if k not in ("name", "readings")} | dict(stated)
    lines = [f"# {key}: {cell_of(value)}" for key, value in header.items()]
    rows = []
    for reading in fields["readings"]:
        place = dict(reading["place"])
        flat = {**place, **reading}
        flat["where"] = place.pop("words", "")
        rows.append({key: cell_of(flat.get(key)) for key in headings if flat.get(key) is not None})
    return "\n".join(lines) + "\n" + write_table(headings, rows)


def _texts(text: str, where: str, problems: list[Problem]) -> tuple[str, str]:
    parts = re.split(rf"(?m)^({_SEEN}|{_WHY})\n", text)
    texts = dict(zip(parts[1::2], parts[2::2], strict=True))
    if len(parts[1::2]) > len(texts):
        problems.append(
            Problem(
                where=where, what="a heading stands twice", do="Put the text under one of the two"
            )
        )
    if parts[0].strip():
        problems.append(
            Problem(
                where=where,
                what="text stands before the first heading",
                do=f'Put it under "{_SEEN}" or "{_WHY}"',
            )
        )
    return texts.get(_SEEN, "").strip(), texts.get(_WHY, "").strip()


def _filled(page: FindingPage, where: str, problems: list[Problem]) -> FindingPage:
    name = page.table.get("phrase", "")
    slots = page.table.get("slots", {})
    if not isinstance(name, str) or not isinstance(slots, dict):
        problems.append(
            Problem(
                where=f"{where} phrase",
                what="a phrase is named by its id, its slots by a table",
                do='Write phrase = "keel-joint-open" and slots = { where = "forward" }',
            )
        )
        return FindingPage(table={}, seen=page.seen, why=page.why)
    table = {key: value for key, value in page.table.items() if key != "slots"}
    is_whole = {"title", "urgency", "because", "recommendation"} <= table.keys()
    if not name or (is_whole and page.seen and page.why and not slots):
        return FindingPage(table=table, seen=page.seen, why=page.why)
    if name not in phrases():
        problems.append(
            Problem(
                where=f"{where} phrase",
                what=f'there is no phrase "{name}"',
                do=nearest(name, phrases()),
            )
        )
        return FindingPage(table=table, seen=page.seen, why=page.why)
    try:
        phrase = phrases()[name].filled(**slots)
    except (ValueError, TypeError) as problem:
        problems.append(
            Problem(
                where=f"{where} slots",
                what=str(problem).rstrip("."),
                do="Give each slot a text, or an empty one",
            )
        )
        return FindingPage(table=table, seen=page.seen, why=page.why)
    defaults = {"title": phrase.title, "urgency": phrase.urgency, "because": phrase.because}
    advice = {
        "what": phrase.what,
        "by_whom": phrase.by_whom,
        "by_when": phrase.urgency,
        "verified": phrase.verified,
        "caution": phrase.caution,
    }
    given = table.get("recommendation", [{}])
    if isinstance(given, list) and given and isinstance(given[0], dict):
        given = [{**{k: v for k, v in advice.items() if v}, **given[0]}, *given[1:]]
    return FindingPage(
        table={**defaults, **table, "recommendation": given},
        seen=page.seen or phrase.seen,
        why=page.why or phrase.why,
    )


def _told(block: str, line: int) -> Row:
    head, *rest = block.split("\n")
    fields: dict[str, Any] = {"who": head.removeprefix("## ").strip()}
    stated: dict[str, str] = {}
    while rest and (match := _TOLD_SETTING.fullmatch(rest[0].rstrip())):
        key, value = match.groups()
        if key == "asked":
            fields["asked"] = value
        elif key == "about":
            fields["about"] = [each.strip() for each in value.split(";") if each.strip()]
        else:
            stated[key] = value
        rest.pop(0)
    fields["said"] = "\n".join(rest).strip()
    return Row(line=line, fields=fields, envelope=stated)


def _yes(text: str) -> bool | str:
    return {"yes": True, "true": True, "no": False, "false": False}.get(text.lower(), text)
