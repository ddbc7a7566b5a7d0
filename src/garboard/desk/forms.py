"""Forms: a body of any kind as fields to fill in.

Every field is named by its path in the body ("place.station_m", "engines.0.power_kw"); every value is text, as a
browser sends it.
"""

import dataclasses
import types
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cache
from typing import Any, Literal, get_args, get_origin

from garboard.boat.units import converted
from garboard.catalogue.parts import catalogue
from garboard.desk.labels import UNITS, all_choice_words, inner_of, is_record, words_of
from garboard.desk.parts import part_name
from garboard.dossier.table import bare, cell_of, plain_number
from garboard.notebook.body import KINDS
from garboard.notebook.shape import hints

Texts = Mapping[str, str]
Choices = tuple[tuple[str, str], ...]
Kind = Literal[
    "line", "text", "lines", "number", "yes", "choice", "several", "date", "moment", "part"
]

OF_PARTS = frozenset({"part", "asked_parts", "about"})
"""Fields that hold ids of parts, which people read and type by their names."""

_SPARE_ROWS = 1
_KIND_OF: Mapping[Any, Kind] = types.MappingProxyType(
    {int: "number", float: "number", date: "date", datetime: "moment"}
)
_YES_OR_NO: Choices = (("yes", "yes"), ("no", "no"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One value to fill in: `path` names it, `value` is its text, `problem` what is wrong with that.

    `also` is the same value in the units that others use; what is `hidden` is not asked for the time being.
    """

    path: str
    label: str
    kind: Kind
    value: str = ""
    unit: str = ""
    also: str = ""
    choices: Choices = ()
    needed: bool = False
    hint: str = ""
    problem: str = ""
    hidden: bool = False

    @property
    def chosen(self) -> frozenset[str]:
        """The lines of a value that holds several."""
        return frozenset(self.value.split("\n"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Several things of one sort, each a row of fields; the last rows are empty, for more."""

    path: str
    label: str
    rows: tuple[tuple[Field, ...], ...]
    needed: bool = False
    hint: str = ""
    problem: str = ""


def fields_of(
    cls: type,
    texts: Texts,
    problems: Texts = types.MappingProxyType({}),
    leave_out: Sequence[str] = (),
    may_be_empty: Collection[str] = (),
) -> tuple[Field | Rows, ...]:
    """The fields of a kind of body, filled with texts.

    Args:
        cls: The body's class.
        texts: By path; a path that is missing is empty.
        problems: By path, what is wrong.
        leave_out: Names of fields that are filled in otherwise.
        may_be_empty: Names of fields that this form does without, though the kind has them.
    """
    kind = next((kind for kind, each in KINDS.items() if each is cls), cls.__name__.lower())
    made = _fields(cls, kind, "", texts, problems, leave_out)
    return tuple(_not_needed(each) if each.path in may_be_empty else each for each in made)


def indices(path: str, texts: Texts) -> list[int]:
    """Which rows of a field texts speak of, in their order."""
    stem = f"{path}."
    found = {each[len(stem) :].split(".")[0] for each in texts if each.startswith(stem)}
    return sorted(int(each) for each in found if each.isdecimal())


def _fields(
    cls: type, kind: str, at: str, texts: Texts, problems: Texts, leave_out: Sequence[str]
) -> Iterator[Field | Rows]:
    for each in dataclasses.fields(cls):
        path, hint = f"{at}{each.name}", bare(hints(cls)[each.name])
        if path in leave_out:
            continue
        words = words_of(kind, each.name)
        if is_record(hint):
            made = _fields(hint, hint.__name__.lower(), f"{path}.", texts, problems, leave_out)
            yield from made if each.default is dataclasses.MISSING else map(_not_needed, made)
        elif inner_of(hint) is not None or get_origin(hint) is Mapping:
            yield _rows(each, path, hint, kind, texts, problems)
        else:
            yield _field(path, each, hint, kind, texts, problems, words)


def _rows(
    of: "dataclasses.Field[Any]", path: str, hint: Any, kind: str, texts: Texts, problems: Texts
) -> Rows:
    name = of.name
    used = indices(path, {each: text for each, text in texts.items() if text})
    last = max(used, default=-1)
    rows = []
    for index in (*used, *range(last + 1, last + 1 + _SPARE_ROWS)):
        at = f"{path}.{index}."
        inner = inner_of(hint)
        if inner is not None:
            made = _fields(inner, inner.__name__.lower(), at, texts, problems, ())
            row = (each for each in made if isinstance(each, Field))
            # Nothing is needed of a row that is only there for more.
            rows.append(tuple(replace(each, needed=each.needed and index <= last) for each in row))
        else:
            rows.append(_pair(kind, name, at, texts, problems))
    words = words_of(kind, name)
    return Rows(
        path=path,
        label=words["label"],
        rows=tuple(rows),
        needed=_is_needed(of),
        hint=words.get("hint", ""),
        problem=problems.get(path, ""),
    )


def _pair(kind: str, name: str, at: str, texts: Texts, problems: Texts) -> tuple[Field, ...]:
    words = words_of(kind, name)
    return (
        Field(
            path=f"{at}key",
            label=words.get("key", "What"),
            kind="part" if name == "numbers" else "line",
            value=part_name(texts.get(f"{at}key", "")),
            problem=problems.get(f"{at}key", ""),
        ),
        Field(
            path=f"{at}value",
            label=words.get("value", "How much"),
            kind="number",
            value=texts.get(f"{at}value", ""),
            problem=problems.get(f"{at}value", "") or problems.get(at[:-1], ""),
        ),
    )


def _field(
    path: str,
    of: "dataclasses.Field[Any]",
    hint: Any,
    kind: str,
    texts: Texts,
    problems: Texts,
    words: Mapping[str, Any],
) -> Field:
    shown: Kind = "text" if words.get("long") else "line"
    choices: Choices = ()
    vocabulary = _vocabulary(of.name)
    if of.name == "part":
        shown = "part"
    elif get_origin(hint) is Literal:
        shown, choices = "choice", _choices(of.name, get_args(hint))
    elif get_origin(hint) is tuple and vocabulary:
        shown, choices = "several", vocabulary
    elif get_origin(hint) is tuple and get_origin(get_args(hint)[0]) is Literal:
        shown, choices = "several", _choices(of.name, get_args(get_args(hint)[0]))
    elif get_origin(hint) is tuple:
        shown = "lines"
    elif hint is bool:
        # What may stay unsaid is not a box, which says no while it is empty.
        shown, choices = ("choice", _YES_OR_NO) if of.default is None else ("yes", ())
    elif hint is int and of.name in all_choice_words():
        shown, choices = "choice", tuple(all_choice_words()[of.name].items())
    else:
        shown = _KIND_OF.get(hint, shown)
    value = texts.get(path, "" if _is_needed(of) else _default(of))
    if of.name in OF_PARTS:
        value = "\n".join(map(part_name, value.split("\n")))
    unit = UNITS.get(of.name.rpartition("_")[2], "") if shown == "number" else ""
    return Field(
        path=path,
        label=words["label"],
        kind=shown,
        value=value,
        unit=unit,
        also=_in_horsepower(value) if unit == "kW" else "",
        choices=choices,
        needed=_is_needed(of) and hint is not bool,
        hint=words.get("hint", ""),
        problem=problems.get(path, ""),
    )


def _is_needed(of: "dataclasses.Field[Any]") -> bool:
    """Whether a body says nothing without this field."""
    return of.default is dataclasses.MISSING and of.default_factory is dataclasses.MISSING


def _not_needed(field: Field | Rows) -> Field | Rows:
    """A field that may be left empty, alone or with all that it belongs to."""
    return replace(field, needed=False)


def _in_horsepower(power_kw: str) -> str:
    """A power as engines are sold by it; empty where the text is no number of kilowatts."""
    digits = plain_number(power_kw)
    if digits is None:
        return ""
    said = (f"{converted(float(digits), 'kW', each):.3g} {each}" for each in ("hp", "metric hp"))
    return ", ".join(said)


def _default(of: "dataclasses.Field[Any]") -> str:
    if of.default is dataclasses.MISSING or of.default is None:
        return ""
    return "\n".join(of.default) if isinstance(of.default, tuple) else cell_of(of.default)


def _choices(name: str, values: Sequence[Any]) -> Choices:
    said = all_choice_words().get(name, {})
    return tuple((str(each), said.get(str(each), str(each))) for each in values)


@cache
def _vocabulary(name: str) -> Choices:
    words = catalogue().vocabulary
    found = {
        "how": words.how,
        "reasons": words.reasons,
        "fitted": words.fittings,
        "fitted_unknown": words.fittings,
    }.get(name, {})
    return tuple(found.items())
