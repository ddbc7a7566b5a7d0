"""What kinds of entries, their fields and the choices in them are called, wherever they are spoken of."""

import dataclasses
import tomllib
import types
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib.resources import files
from typing import Any, get_args, get_origin

from garboard.catalogue.parts import catalogue
from garboard.desk.parts import part_name
from garboard.dossier.table import bare
from garboard.notebook.body import KINDS
from garboard.notebook.shape import hints

MINOR = "_minor"
"""How the names of amounts end, which are kept in the smallest units of their currency."""

UNITS: Mapping[str, str] = types.MappingProxyType(
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
"""The units that the names of fields end with, as they are written."""


def kind_words(kind: str) -> str:
    """What an entry of a kind is called.

    >>> kind_words("photo"), kind_words("finding")
    ('photograph', 'finding')
    """
    return catalogue().vocabulary.kind(kind)


def counted_kind(kind: str, count: int) -> str:
    """So many entries of a kind, in words.

    >>> counted_kind("photo", 2), counted_kind("person", 2), counted_kind("finding", 3)
    ('2 photographs', '2 people', '3 findings')
    """
    return f"{count} {catalogue().vocabulary.kind(kind, count)}"


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
            yield f"“{words_of('place', step)['label']}”" if step == "part" else part_name(step)
            continue
        hint = bare(hints(cls)[name])
        inner = hint if is_record(hint) else inner_of(hint)
        # What is opened further is told by what lies in it.
        if not row and (inner is None or number == len(steps)):
            yield f"“{words_of(kind, name)['label']}”"
        if inner is not None:
            cls, kind = inner, inner.__name__.lower()
        if row:
            yield f"{kind} {row}"


def choice_words(name: str, value: str) -> str:
    """What a value of a field that is chosen from a few is called.

    >>> choice_words("result", "none")
    'nothing that could colour the opinion'
    """
    return all_choice_words().get(name, {}).get(value, value)


@cache
def all_choice_words() -> Mapping[str, Mapping[str, str]]:
    """By the name of a field that is chosen from a few, what each of its values is called."""
    words = catalogue().vocabulary
    of_catalogue = {
        "purpose": words.purposes,
        "visits": words.visits,
        "lying": words.lying,
        "urgency": words.urgencies,
    }
    return {**words.facts, **of_catalogue, **_all_words()["choices"]}


def words_of(kind: str, name: str) -> Mapping[str, Any]:
    """What a field is called, and what to say of it: of its kind, else of every kind.

    What the schedule asks of the boat is called as the catalogue calls it.
    """
    said = _all_words()
    asked = catalogue().vocabulary.labels.get(name) if kind == "boat" else None
    return {
        "label": _humanised(name),
        **said["any"].get(name, {}),
        **({"label": asked} if asked else {}),
        **said.get(kind, {}).get(name, {}),
    }


def _humanised(name: str) -> str:
    stem, _, unit = name.removesuffix(MINOR).rpartition("_")
    words = stem if stem and unit in UNITS else name.removesuffix(MINOR)
    return words.replace("_", " ").capitalize()


def is_record(hint: Any) -> bool:
    """Whether a field holds fields of its own, as a place does."""
    return isinstance(hint, type) and dataclasses.is_dataclass(hint)


def inner_of(hint: Any) -> type | None:
    """The dataclass that a tuple holds, or None."""
    inner = get_args(hint)[0] if get_origin(hint) is tuple else None
    return inner if is_record(inner) else None


@cache
def _all_words() -> Mapping[str, Mapping[str, Any]]:
    text = files("garboard.desk").joinpath("words.toml").read_text("utf-8")
    return tomllib.loads(text)
