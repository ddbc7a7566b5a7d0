"""Between frozen dataclasses and JSON values, guided by their type hints alone.

`read` collects every problem before refusing; `write` leaves out what equals its default, so that a field
added later does not change how older entries are written.
"""

import dataclasses
import math
import re
import types
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from functools import cache
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from garboard.notebook.body import Range
from garboard.notebook.problem import Problem, Refused

T = TypeVar("T")

# RFC 3339, section 5.6, without leap seconds; Python keeps microseconds and no finer.
_MOMENT = re.compile(r"\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d:\d\d(\.\d{1,6})?([Zz]|[+-]\d\d:\d\d)")


def read(cls: type[T], data: Any, where: str) -> T:
    """A dataclass from a JSON value.

    Args:
        cls: The dataclass.
        data: What JSON or TOML gave.
        where: What to call its place in messages.

    Raises:
        Refused: With every problem found.
    """
    problems: list[Problem] = []
    value = _record(cls, data, where, problems)
    if problems:
        raise Refused(problems)
    result: T = value
    return result


def write(value: Any) -> Any:
    """The JSON value of a dataclass; what equals its default is left out."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {
            each.name: write(getattr(value, each.name))
            for each in dataclasses.fields(value)
            if getattr(value, each.name) != _default(each)
        }
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [write(each) for each in value]
    if isinstance(value, Mapping):
        return {key: write(each) for key, each in value.items()}
    return value


@cache
def hints(cls: type) -> Mapping[str, Any]:
    """The type hints of a dataclass's fields, ranges included."""
    return get_type_hints(cls, include_extras=True)


def moment(text: str) -> datetime:
    """A time after RFC 3339, with its offset.

    Raises:
        ValueError: It is not one.
    """
    if not _MOMENT.fullmatch(text):
        raise ValueError(f"{text!r} is not a date and time with an offset")
    return datetime.fromisoformat(text.upper())


def as_found(data: Any) -> str:
    """What stands where something else belongs, in words.

    >>> as_found("x"), as_found(None), as_found([[None]]), as_found(True)
    ('"x"', 'nothing', 'a list', 'true')
    """
    match data:
        case None:
            return "nothing"
        case bool():
            return "true" if data else "false"
        case Mapping():
            return "a table"
        case list() | tuple():
            return "a list"
    text = f'"{data}"' if isinstance(data, str) else repr(data)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _default(each: "dataclasses.Field[Any]") -> Any:
    if each.default_factory is not dataclasses.MISSING:
        return each.default_factory()
    return each.default


def _record(cls: Any, data: Any, where: str, problems: list[Problem]) -> Any:
    if not isinstance(data, Mapping):
        problems.append(
            Problem(
                where=where,
                what=f"{as_found(data)} stands where a table of fields belongs",
                do="Write its fields by name",
            )
        )
        return None
    fields = {each.name: each for each in dataclasses.fields(cls)}
    problems.extend(
        Problem(
            where=f"{where} {name}",
            what=f"there is no field {name!r} here",
            do=f"Use one of: {', '.join(fields)}",
        )
        for name in data
        if name not in fields
    )
    kept = {}
    before = len(problems)
    for name, each in fields.items():
        if name in data:
            kept[name] = _value(hints(cls)[name], data[name], f"{where} {name}", problems)
        elif _default(each) is dataclasses.MISSING:
            problems.append(
                Problem(where=f"{where} {name}", what="it is missing", do="Give it a value")
            )
    return cls(**kept) if len(problems) == before and kept.keys() <= fields.keys() else None


def _value(hint: Any, data: Any, where: str, problems: list[Problem]) -> Any:
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        value = _value(inner[0], data, where, problems)
        return _ranged(value, inner[1:], where, problems)
    if origin in (Union, types.UnionType):
        if data is None:
            return None
        return _value(next(each for each in inner if each is not type(None)), data, where, problems)
    if origin is Literal:
        return _chosen(data, inner, where, problems)
    if origin is tuple:
        if isinstance(data, str) or not isinstance(data, Iterable):
            return _wrong(data, "a list", where, problems)
        return tuple(
            _value(inner[0], each, f"{where}[{index}]", problems)
            for index, each in enumerate(data, 1)
        )
    if origin in (Mapping, dict) or hint is Mapping:
        if not isinstance(data, Mapping):
            return _wrong(data, "a table", where, problems)
        return types.MappingProxyType(
            {
                str(key): _value(inner[1], each, f"{where} {key}", problems)
                for key, each in data.items()
            }
        )
    if dataclasses.is_dataclass(hint):
        return _record(hint, data, where, problems)
    return _plain(hint, data, where, problems)


def _plain(hint: Any, data: Any, where: str, problems: list[Problem]) -> Any:  # noqa: C901 - one case a type
    if hint is bool:
        return data if isinstance(data, bool) else _wrong(data, "true or false", where, problems)
    if hint is str:
        return data if isinstance(data, str) else _wrong(data, "text", where, problems)
    if hint is int:
        if isinstance(data, float) and data.is_integer():
            data = int(data)
        if isinstance(data, bool) or not isinstance(data, int):
            return _wrong(data, "a whole number", where, problems)
        return data
    if hint is float:
        if isinstance(data, bool) or not isinstance(data, int | float) or not _is_finite(data):
            return _wrong(data, "a number", where, problems)
        return float(data)
    try:
        if hint is datetime:
            if isinstance(data, datetime):
                return data if data.tzinfo else moment(data.isoformat())
            return moment(data)
        if hint is date:
            if isinstance(data, datetime):
                raise ValueError
            return data if isinstance(data, date) else date.fromisoformat(data)
    except (ValueError, TypeError):
        wanted = (
            "a date and time with its offset, as 2026-05-12T09:41:07+01:00"
            if hint is datetime
            else "a date, as 2026-05-12"
        )
        return _wrong(data, wanted, where, problems)
    raise TypeError(f"{hint!r} is no type of a notebook field")


def _is_finite(number: float) -> bool:
    try:
        return math.isfinite(number)
    except OverflowError:
        return False


def _chosen(data: Any, choices: tuple[Any, ...], where: str, problems: list[Problem]) -> Any:
    if data in choices:
        return data
    problems.append(
        Problem(
            where=where,
            what=f"{as_found(data)} is not one of the choices",
            do=f"Use one of: {', '.join(map(str, choices))}",
        )
    )
    return None


def _ranged(value: Any, marks: tuple[Any, ...], where: str, problems: list[Problem]) -> Any:
    for mark in marks:
        if isinstance(mark, Range) and value is not None and not mark.low <= value <= mark.high:
            unit = f" {mark.unit}" if mark.unit else ""
            problems.append(
                Problem(
                    where=where,
                    what=f"{_digits(value)}{unit} cannot be",
                    do=f"Give a value from {mark.low:.15g} to {mark.high:.15g}{unit}",
                )
            )
    return value


def _digits(number: float) -> str:
    return f"{number:g}" if _is_finite(number) else "a number of so many digits"


def _wrong(data: Any, wanted: str, where: str, problems: list[Problem]) -> None:
    what = "it is empty" if data is None else f"{as_found(data)} is not {wanted}"
    problems.append(Problem(where=where, what=what, do=f"Write {wanted}"))
