"""What was filled in as a body again, and a body as the texts of its form.

Nothing here raises for bad input: problems come back beside the field they belong to, by its path.
"""

import dataclasses
import re
import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import Any, Generic, TypeVar, get_origin

from garboard.boat.units import read as quantity
from garboard.catalogue.naming import capital, part_id
from garboard.catalogue.parts import catalogue
from garboard.desk.forms import OF_PARTS, Texts, indices
from garboard.desk.labels import MINOR, UNITS, inner_of, is_record
from garboard.desk.parts import no_such_part
from garboard.desk.zones import as_typed, moment_typed
from garboard.dossier.table import bare, cell_of, plain_number
from garboard.notebook.money import to_major, to_minor
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.shape import hints, read, write

B = TypeVar("B")

# Decimals kept of what was typed in another unit: finer than anybody measures.
_DECIMALS = types.MappingProxyType({"m": 4, "mm": 2, "m²": 2, "kg": 1, "kW": 2, "°C": 1})
_MOST_DIGITS = 18
# Thousands may be set apart by any space, as they are printed.
_AMOUNT = re.compile(r"[+-]?(\d{1,3}(\s\d{3})+|\d+)([.,]\d+)?")
_THOUSAND = re.compile(r"[+-]?\d{1,3}[.,]\d{3}")
_INDEX = re.compile(r"\[(\d+)\]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled(Generic[B]):
    """A form as it was sent: the body where it is whole, else None and what is wrong by path."""

    texts: Texts
    body: B | None
    problems: Texts


def texts_of(body: Any, zone: tzinfo) -> dict[str, str]:
    """The text of every field of a body, by its path.

    Args:
        body: Any body.
        zone: The zone that times are shown in.
    """
    return dict(_flat(type(body), write(body), "", zone))


def filled(
    cls: type[B],
    texts: Texts,
    zone: tzinfo,
    known: Mapping[str, Any] = types.MappingProxyType({}),
    stands: B | None = None,
) -> Filled[B]:
    """What a form says.

    Args:
        cls: The body's class.
        texts: By path, as the browser sent it.
        zone: The zone that times without an offset are in.
        known: Fields that the form does not hold, as JSON values.
        stands: What the form was filled from; its times that nobody touched stay as they are.
    """
    problems: list[Problem] = []
    untouched = _untouched(stands, texts, zone)
    asked = {path: text for path, text in texts.items() if path not in untouched}
    fields = {**_record(cls, "", asked, zone, problems), **untouched, **known}
    body: B | None = None
    try:
        body = read(cls, fields, "")
    except Refused as refused:
        said = {problem.where for problem in problems}
        problems += [each for each in refused.problems if _path_of(each.where) not in said]
    by_path = {_path_of(each.where): f"{_sentence(each.what)} {_sentence(each.do)}" for each in reversed(problems)}  # fmt: skip
    return Filled(texts=texts, body=None if problems else body, problems=by_path)


def whole_number(text: str) -> int | None:
    """A whole number as a form or an address gives it, 0 or more; None where it is none, or no store would hold it.

    >>> whole_number("12"), whole_number("-1"), whole_number("9" * 5000)
    (12, None, None)
    """
    return int(text) if text.isdecimal() and len(text) <= _MOST_DIGITS else None


# From a body to texts


def _flat(cls: type, fields: Mapping[str, Any], at: str, zone: tzinfo) -> Iterator[tuple[str, str]]:
    currency = str(fields.get("currency", ""))
    for name, value in fields.items():
        path, hint = f"{at}{name}", bare(hints(cls)[name])
        if is_record(hint):
            yield from _flat(hint, value, f"{path}.", zone)
        elif inner_of(hint) is not None:
            for index, each in enumerate(value):
                yield from _flat(inner_of(hint) or object, each, f"{path}.{index}.", zone)
        elif get_origin(hint) is Mapping:
            for index, (key, each) in enumerate(value.items()):
                yield f"{path}.{index}.key", key
                yield f"{path}.{index}.value", to_major(each, currency) if _is_money(name) else str(each)  # fmt: skip
        elif get_origin(hint) is tuple:
            yield path, "\n".join(map(str, value))
        elif _is_money(name):
            yield path, to_major(value, currency)
        elif hint is datetime:
            yield path, as_typed(datetime.fromisoformat(value), zone)
        else:
            yield path, cell_of(value)


# From texts to a body


def _record(
    cls: type, at: str, texts: Texts, zone: tzinfo, problems: list[Problem]
) -> dict[str, Any]:
    found = {}
    for each in dataclasses.fields(cls):
        path = f"{at}{each.name}"
        value = _of_field(path, bare(hints(cls)[each.name]), at, texts, zone, problems)
        if value is None and path in texts and isinstance(each.default, tuple):
            # Emptied by hand: not to be filled with what stands there when nobody says anything.
            value = []
        if value is not None:
            found[each.name] = value
    return found


def _untouched(stands: Any, texts: Texts, zone: tzinfo) -> dict[str, str]:
    """The times of a body whose texts are still those of the form, by their fields."""
    if stands is None:
        return {}
    moments = ((each.name, getattr(stands, each.name)) for each in dataclasses.fields(stands))
    return {
        name: at.isoformat()
        for name, at in moments
        if isinstance(at, datetime) and texts.get(name) == as_typed(at, zone)
    }


def _of_field(
    path: str, hint: Any, at: str, texts: Texts, zone: tzinfo, problems: list[Problem]
) -> Any:
    """The JSON value of one field, or None where nothing was filled in."""
    currency = texts.get(f"{at}currency", "")
    if is_record(hint):
        return _record(hint, f"{path}.", texts, zone, problems) or None
    if (inner := inner_of(hint)) is not None:
        rows = [
            _record(inner, f"{path}.{index}.", texts, zone, problems)
            for index in indices(path, texts)
        ]
        return [row for row in rows if row] or None
    if get_origin(hint) is Mapping:
        return _pairs(path, currency, texts, problems) or None
    text = texts.get(path, "").replace("\r\n", "\n").strip()
    if path.rpartition(".")[2] in OF_PARTS:
        text = _part_ids(text, path, problems)
    if hint is bool and text:
        # A box that is ticked comes with the "no" that stands for one that is not.
        return "yes" in text.split("\n")
    return _value(text, hint, path, currency, zone, problems) if text else None


def _part_ids(text: str, path: str, problems: list[Problem]) -> str:
    """The ids of the parts that the lines of a text name."""
    ids = [part_id(each.strip()) for each in text.split("\n") if each.strip()]
    problems += (no_such_part(each, path) for each in ids if each not in catalogue().parts)
    return "\n".join(ids)


def _value(
    text: str, hint: Any, path: str, currency: str, zone: tzinfo, problems: list[Problem]
) -> Any:
    name = path.rpartition(".")[2]
    if get_origin(hint) is tuple:
        return [line.strip() for line in text.split("\n") if line.strip()]
    try:
        if _is_money(name):
            return _money(text, currency)
        if hint in (int, float):
            return _number(text, name, hint)
        if hint is datetime:
            return moment_typed(text, zone).isoformat()
    except ValueError as problem:
        what = str(problem).rstrip(".")
        problems.append(Problem(where=path, what=what, do="Correct it, or leave it empty"))
        return None
    return text


def _number(text: str, name: str, hint: Any) -> float | int:
    unit = UNITS.get(name.rpartition("_")[2], "")
    digits = plain_number(text.rstrip("% ") if unit == "%" else text)
    if digits is not None:
        value = float(digits)
    elif unit in _DECIMALS:
        value = round(quantity(text, unit), _DECIMALS[unit])
    else:
        raise ValueError(f'"{text}" is not a number')
    return int(value) if hint is int and value.is_integer() else value


def _pairs(path: str, currency: str, texts: Texts, problems: list[Problem]) -> dict[str, Any]:
    name = path.rpartition(".")[2]
    found: dict[str, Any] = {}
    for index in indices(path, texts):
        at = f"{path}.{index}."
        key, text = texts.get(f"{at}key", "").strip(), texts.get(f"{at}value", "").strip()
        if not key and not text:
            continue
        if name == "numbers":
            key = _part_ids(key, f"{at}key", problems)
        if not key:
            problems.append(Problem(where=f"{at}key", what="it is missing", do="Say what it is of, or clear the row"))  # fmt: skip
        elif key in found:
            problems.append(Problem(where=f"{at}key", what="it stands in two rows", do="Put both into one row"))  # fmt: skip
        try:
            found[key] = _money(text, currency) if _is_money(name) else _whole(text)
        except ValueError as problem:
            what = str(problem).rstrip(".")
            problems.append(Problem(where=f"{at}value", what=what, do="Correct it, or clear the row"))  # fmt: skip
    return found


def _money(text: str, currency: str) -> int:
    bare = text.strip().replace("\N{MINUS SIGN}", "-")
    is_split = len(to_major(1, currency).partition(".")[2]) < len("000")
    if is_split and _THOUSAND.fullmatch(bare):
        raise ValueError(f'"{text}" may mean thousands or a part of one: write thousands with a space or with nothing')  # fmt: skip
    if _AMOUNT.fullmatch(bare):
        bare = re.sub(r"\s", "", bare).replace(",", ".")
    return to_minor(bare, currency)


def _whole(text: str) -> int:
    try:
        return int(plain_number(text) or text)
    except ValueError:
        raise ValueError(f'"{text}" is not a number') from None


def _is_money(name: str) -> bool:
    return name.endswith(MINOR) or name == "adjustments"


def _path_of(where: str) -> str:
    """The path of the field that a problem names."""
    return _INDEX.sub(lambda found: f".{int(found[1]) - 1}", where.strip()).replace(" ", ".")


def _sentence(words: str) -> str:
    words = capital(words)
    return words if words.endswith(("?", ".")) else f"{words}."
