"""The TOML files of a dossier, with the line each table stands at, and money and lengths as people write them."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import Any

from garboard.boat.units import converted
from garboard.boat.units import read as quantity
from garboard.dossier.table import unit_in
from garboard.notebook.money import to_major, to_minor
from garboard.notebook.problem import Problem
from garboard.notebook.shape import hints

_MINOR = "_minor"
_HEADER = re.compile(r"\s*\[\[?\s*([A-Za-z_]+)\s*\]\]?\s*(#.*)?")


def load(text: str, where: str, problems: list[Problem]) -> dict[str, Any]:
    """The tables of a TOML text; empty, with a problem, if it is not TOML."""
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as problem:
        line = re.search(r"at line (\d+)", str(problem))
        place = f"{where}:{line[1]}" if line else where
        problems.append(
            Problem(
                where=place,
                what=f"this cannot be read ({problem})",
                do="Mend the line named: numbers with a point, dates as 2026-05-12, text in quotation marks",
            )
        )
        return {}


def tables(data: Mapping[str, Any], text: str, name: str) -> Iterator[tuple[int, Any]]:
    """The tables of one name with their lines; a single table counts as one of several."""
    found = data.get(name, [])
    lines = [
        number
        for number, line in enumerate(text.split("\n"), 1)
        if (match := _HEADER.fullmatch(line)) and match[1] == name
    ]
    several = found if isinstance(found, list) else [found]
    for index, each in enumerate(several):
        yield (lines[index] if index < len(lines) else 1), each


def split(table: Any) -> tuple[Any, dict[str, str]]:
    """The body's part of a table, and what it states of its entry."""
    if not isinstance(table, Mapping):
        return table, {}
    fields = dict(table)
    stated: dict[str, str] = {}
    for key in [each for each in fields if each == "at" or each.startswith("entry_")]:
        value = fields.pop(key)
        if isinstance(value, list):
            value = "; ".join(map(str, value))
        stated[key] = value.isoformat() if isinstance(value, datetime | date) else str(value)
    return fields, stated


def inward(cls: type, fields: Any, where: str, problems: list[Problem]) -> Any:
    """Fields as written, with money in minor units and quantities in the unit of their field.

    "price = 41500" with a currency is price_minor; "loa = '33 ft 6 in'" and "loa_ft = 33.5" are loa_m.
    """
    if not isinstance(fields, Mapping):
        return fields
    known = hints(cls)
    currency = str(fields.get("currency", ""))
    kept: dict[str, Any] = {}
    for key, value in fields.items():
        target, converted_value = key, value
        try:
            if key not in known:
                target, converted_value = _recognised(key, value, known, currency)
            elif key == "adjustments" and isinstance(value, Mapping):
                converted_value = {what: to_minor(str(amount), currency) for what, amount in value.items()}  # fmt: skip
        except ValueError as problem:
            problems.append(
                Problem(
                    where=f"{where} {key}", what=str(problem).rstrip("."), do="Correct the value"
                )
            )
            continue
        kept[target] = converted_value
    return kept


def outward(fields: Mapping[str, Any]) -> dict[str, Any]:
    """Fields as they are written in a dossier: money in major units."""
    currency = str(fields.get("currency", ""))
    shown: dict[str, Any] = {}
    for key, value in fields.items():
        if key.endswith(_MINOR):
            shown[key.removesuffix(_MINOR)] = _number(to_major(value, currency))
        elif key == "adjustments":
            shown[key] = {what: _number(to_major(minor, currency)) for what, minor in value.items()}
        else:
            shown[key] = value
    return shown


def _recognised(key: str, value: Any, known: Mapping[str, Any], currency: str) -> tuple[str, Any]:
    if f"{key}{_MINOR}" in known:
        return f"{key}{_MINOR}", to_minor(str(value), currency)
    for field in known:
        unit = unit_in(key, field)
        if unit and isinstance(value, str):
            return field, round(quantity(value, unit[1]), 6)
        if unit and isinstance(value, int | float):
            return field, round(converted(float(value), *unit), 6)
    return key, value


def _number(text: str) -> int | float:
    return float(text) if "." in text else int(text)
