"""Forms: a body of any kind as fields to fill in, and what was filled in as a body again.

Every field is named by its path in the body ("place.station_m", "engines.0.power_kw"); every value is text, as a
browser sends it. Nothing here raises for bad input: problems come back beside the field they belong to.
"""

import dataclasses
import re
import tomllib
import types
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, tzinfo
from functools import cache
from importlib.resources import files
from typing import Any, Generic, Literal, TypeVar, get_args, get_origin

from garboard.boat.units import converted
from garboard.boat.units import read as quantity
from garboard.catalogue.naming import capital, part_id
from garboard.catalogue.parts import catalogue
from garboard.desk.parts import no_such_part, part_name
from garboard.desk.zones import as_typed, moment_typed
from garboard.dossier.table import bare, cell_of, plain_number
from garboard.notebook.body import KINDS
from garboard.notebook.money import to_major, to_minor
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.shape import hints, read, write

B = TypeVar("B")
Texts = Mapping[str, str]
Choices = tuple[tuple[str, str], ...]
Kind = Literal[
    "line", "text", "lines", "number", "yes", "choice", "several", "date", "moment", "part"
]

MINOR = "_minor"
_UNITS = types.MappingProxyType(
    {
        "m": "m",
        "mm": "mm",
        "m2": "m²",
        "kg": "kg",
        "kw": "kW",
        "c": "°C",
        "pct": "%",
    }
)
# Decimals kept of what was typed in another unit: finer than anybody measures.
_DECIMALS = types.MappingProxyType({"m": 4, "mm": 2, "m²": 2, "kg": 1, "kW": 2, "°C": 1})
_SPARE_ROWS = 1
_MOST_DIGITS = 18
_KIND_OF: Mapping[Any, Kind] = types.MappingProxyType(
    {int: "number", float: "number", date: "date", datetime: "moment"}
)
# Fields that hold ids of parts, which people read and type by their names.
_OF_PARTS = frozenset({"part", "asked_parts", "about"})
_YES_OR_NO: Choices = (("yes", "yes"), ("no", "no"))
_INDEX = re.compile(r"\[(\d+)\]")


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


def kind_words(kind: str) -> str:
    """What an entry of a kind is called.

    >>> kind_words("photo"), kind_words("finding")
    ('photograph', 'finding')
    """
    return catalogue().vocabulary.kind(kind)


def field_words(kind: str, steps: Sequence[str]) -> Iterator[str]:
    """What the form of a kind calls a field, step by step.

    Args:
        kind: The kind of entry.
        steps: Names of fields from the body inwards, a row of several as "readings[3]", a part by its id.

    >>> list(field_words("sounding", ["place", "station_m"])), list(field_words("boat", ["numbers", "keel-joint"]))
    (['“Station”'], ['“How many of each part”', 'keel-to-hull joint'])
    >>> list(field_words("memo", ["part"])), list(field_words("value", ["point"]))
    (['“Part of the boat”'], ['“Rounded opinion”'])
    >>> list(field_words("sounding", ["place"])), list(field_words("reading set", ["readings[3]"]))
    (['“Place”'], ['reading 3'])
    """
    if kind not in KINDS:
        # Of a newer version: what it is called there is not known here.
        yield from steps
        return
    cls: Any = KINDS[kind]
    for number, step in enumerate(steps, 1):
        name, _, row = step.removesuffix("]").partition("[")
        name = name if name in hints(cls) else f"{name}{MINOR}"
        if name not in hints(cls):
            # The notebook names the part of a place without saying of which place.
            yield f"“{_words('place', step)['label']}”" if step == "part" else part_name(step)
            continue
        hint = bare(hints(cls)[name])
        inner = hint if _is_record(hint) else _inner(hint)
        # What is opened further is told by what lies in it.
        if not row and (inner is None or number == len(steps)):
            yield f"“{_words(kind, name).get('label', _humanised(name))}”"
        if inner is not None:
            cls, kind = inner, inner.__name__.lower()
        if row:
            yield f"{kind} {row}"


def counted_kind(kind: str, count: int) -> str:
    """So many entries of a kind, in words.

    >>> counted_kind("photo", 2), counted_kind("person", 2), counted_kind("finding", 3)
    ('2 photographs', '2 people', '3 findings')
    """
    return f"{count} {catalogue().vocabulary.kind(kind, count)}"


def choice_words(name: str, value: str) -> str:
    """What a value of a field that is chosen from a few is called.

    >>> choice_words("result", "none")
    'nothing that could colour the opinion'
    """
    return _choice_words().get(name, {}).get(value, value)


def only_adds(before: Any, after: Any) -> bool:
    """Whether a body fills in what another left blank, and takes back nothing that it said.

    Args:
        before: A body, or a value of one.
        after: Another of the same sort.

    >>> only_adds({"a": "", "b": 1}, {"a": "told", "b": 1}), only_adds({"a": 1}, {"a": 2})
    (True, False)
    """
    if before == after or before is None or before in ("", (), {}):
        return True
    if isinstance(before, Mapping):
        return all(name in after and only_adds(each, after[name]) for name, each in before.items())
    if dataclasses.is_dataclass(before):
        names = (each.name for each in dataclasses.fields(before))
        return all(only_adds(getattr(before, each), getattr(after, each)) for each in names)
    if isinstance(before, tuple) and all(map(dataclasses.is_dataclass, before)):
        return len(before) == len(after) and all(map(only_adds, before, after))
    return False


# From a body to texts


def _flat(cls: type, fields: Mapping[str, Any], at: str, zone: tzinfo) -> Iterator[tuple[str, str]]:
    currency = str(fields.get("currency", ""))
    for name, value in fields.items():
        path, hint = f"{at}{name}", bare(hints(cls)[name])
        if _is_record(hint):
            yield from _flat(hint, value, f"{path}.", zone)
        elif _inner(hint) is not None:
            for index, each in enumerate(value):
                yield from _flat(_inner(hint) or object, each, f"{path}.{index}.", zone)
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


# From texts to fields


def _fields(
    cls: type, kind: str, at: str, texts: Texts, problems: Texts, leave_out: Sequence[str]
) -> Iterator[Field | Rows]:
    for each in dataclasses.fields(cls):
        path, hint = f"{at}{each.name}", bare(hints(cls)[each.name])
        if path in leave_out:
            continue
        words = _words(kind, each.name)
        if _is_record(hint):
            made = _fields(hint, hint.__name__.lower(), f"{path}.", texts, problems, leave_out)
            yield from made if each.default is dataclasses.MISSING else map(_not_needed, made)
        elif _inner(hint) is not None or get_origin(hint) is Mapping:
            yield _rows(each, path, hint, kind, texts, problems)
        else:
            yield _field(path, each, hint, kind, texts, problems, words)


def _rows(
    of: "dataclasses.Field[Any]", path: str, hint: Any, kind: str, texts: Texts, problems: Texts
) -> Rows:
    name = of.name
    used = _indices(path, {each: text for each, text in texts.items() if text})
    last = max(used, default=-1)
    rows = []
    for index in (*used, *range(last + 1, last + 1 + _SPARE_ROWS)):
        at = f"{path}.{index}."
        inner = _inner(hint)
        if inner is not None:
            made = _fields(inner, inner.__name__.lower(), at, texts, problems, ())
            row = (each for each in made if isinstance(each, Field))
            # Nothing is needed of a row that is only there for more.
            rows.append(tuple(replace(each, needed=each.needed and index <= last) for each in row))
        else:
            rows.append(_pair(kind, name, at, texts, problems))
    words = _words(kind, name)
    return Rows(
        path=path,
        label=words.get("label", _humanised(name)),
        rows=tuple(rows),
        needed=_is_needed(of),
        hint=words.get("hint", ""),
        problem=problems.get(path, ""),
    )


def _pair(kind: str, name: str, at: str, texts: Texts, problems: Texts) -> tuple[Field, ...]:
    words = _words(kind, name)
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
    elif hint is int and of.name in _choice_words():
        shown, choices = "choice", tuple(_choice_words()[of.name].items())
    else:
        shown = _KIND_OF.get(hint, shown)
    value = texts.get(path, "" if _is_needed(of) else _default(of))
    if of.name in _OF_PARTS:
        value = "\n".join(map(part_name, value.split("\n")))
    unit = _UNITS.get(of.name.rpartition("_")[2], "") if shown == "number" else ""
    return Field(
        path=path,
        label=words.get("label", _humanised(of.name)),
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
    said = _choice_words().get(name, {})
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


@cache
def _choice_words() -> Mapping[str, Mapping[str, str]]:
    words = catalogue().vocabulary
    of_catalogue = {
        "purpose": words.purposes,
        "visits": words.visits,
        "lying": words.lying,
        "urgency": words.urgencies,
    }
    return {**words.facts, **of_catalogue, **_all_words()["choices"]}


@cache
def _all_words() -> Mapping[str, Mapping[str, Any]]:
    text = files("garboard.desk").joinpath("words.toml").read_text("utf-8")
    return tomllib.loads(text)


def _words(kind: str, name: str) -> Mapping[str, Any]:
    """What a field is called, and what to say of it: of its kind, else of every kind.

    What the schedule asks of the boat is called as the catalogue calls it.
    """
    said = _all_words()
    asked = catalogue().vocabulary.labels.get(name) if kind == "boat" else None
    return {
        **said["any"].get(name, {}),
        **({"label": asked} if asked else {}),
        **said.get(kind, {}).get(name, {}),
    }


def _humanised(name: str) -> str:
    stem, _, unit = name.removesuffix(MINOR).rpartition("_")
    words = stem if stem and unit in _UNITS else name.removesuffix(MINOR)
    return words.replace("_", " ").capitalize()


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
    if _is_record(hint):
        return _record(hint, f"{path}.", texts, zone, problems) or None
    if (inner := _inner(hint)) is not None:
        rows = [
            _record(inner, f"{path}.{index}.", texts, zone, problems)
            for index in _indices(path, texts)
        ]
        return [row for row in rows if row] or None
    if get_origin(hint) is Mapping:
        return _pairs(path, currency, texts, problems) or None
    text = texts.get(path, "").replace("\r\n", "\n").strip()
    if path.rpartition(".")[2] in _OF_PARTS:
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
            return to_minor(plain_number(text) or text, currency)
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
    unit = _UNITS.get(name.rpartition("_")[2], "")
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
    for index in _indices(path, texts):
        at = f"{path}.{index}."
        key, text = texts.get(f"{at}key", "").strip(), texts.get(f"{at}value", "").strip()
        if not key and not text:
            continue
        if name == "numbers":
            key = _part_ids(key, f"{at}key", problems)
        try:
            number = plain_number(text) or text
            found[key] = to_minor(number, currency) if _is_money(name) else int(number)
        except ValueError:
            problems.append(Problem(where=f"{at}value", what=f'"{text}" is not a number', do="Correct it, or clear the row"))  # fmt: skip
    return found


def _indices(path: str, texts: Texts) -> list[int]:
    stem = f"{path}."
    found = {each[len(stem) :].split(".")[0] for each in texts if each.startswith(stem)}
    return sorted(int(each) for each in found if each.isdecimal())


def _is_money(name: str) -> bool:
    return name.endswith(MINOR) or name == "adjustments"


def _inner(hint: Any) -> type | None:
    """The dataclass that a tuple holds, or None."""
    inner = get_args(hint)[0] if get_origin(hint) is tuple else None
    return inner if _is_record(inner) else None


def _is_record(hint: Any) -> bool:
    """Whether a field holds fields of its own, as a place does."""
    return isinstance(hint, type) and dataclasses.is_dataclass(hint)


def _path_of(where: str) -> str:
    """The path of the field that a problem names."""
    return _INDEX.sub(lambda found: f".{int(found[1]) - 1}", where.strip()).replace(" ", ".")


def _sentence(words: str) -> str:
    words = capital(words)
    return words if words.endswith(("?", ".")) else f"{words}."
