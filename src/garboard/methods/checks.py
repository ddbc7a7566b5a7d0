"""The checks: why a method's numbers are believed, as data, read from `checks/<family>.toml` and run.

Reading raises `Refused` with every problem.
"""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Literal, get_args

from garboard.methods.declaration import METHODS
from garboard.methods.result import Text
from garboard.notebook.problem import Problem, Refused

Kind = Literal["worked example", "reference library", "exact case"]
Value = float | str | bool | tuple[Any, ...]

_FIELDS = ("method", "given", "expect", "tolerance", "kind", "source", "text")


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One known answer of a method.

    `tolerance` is absolute, the print's own rounding; `source` says who published the answer or how it follows;
    `text` whether that source was read here (a derivation given in `source` counts as read).
    """

    method: str
    given: Mapping[str, Any]
    expect: Value
    tolerance: float
    kind: Kind
    source: str
    text: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """A check after its method was run: what came out, and whether that agrees."""

    check: Check
    computed: Value
    agrees: bool


@cache
def checks() -> tuple[Check, ...]:
    """Every check, by file and in the order of the file.

    Raises:
        Refused: A file holds a check that cannot be run or relied on.
    """
    found: list[Check] = []
    for file in sorted(files("garboard.methods").joinpath("checks").iterdir(), key=str):
        if file.name.endswith(".toml"):
            found += checks_in(tomllib.loads(file.read_text("utf-8")), f"checks/{file.name}")
    return tuple(found)


def checks_in(tables: Mapping[str, Any], where: str) -> tuple[Check, ...]:
    """The checks of one file.

    Args:
        tables: What TOML gave: a list of tables under "check".
        where: What to call the file in messages.

    Raises:
        Refused: With every problem found.
    """
    problems = [
        Problem(where=f"{where} {name}", what="no such table is known", do="Write [[check]]")
        for name in tables
        if name != "check"
    ]
    found: list[Check] = []
    for number, table in enumerate(tables.get("check", ()), 1):
        place = f"{where} check {number}"
        doubts = tuple(_doubts(table, place))
        problems += doubts
        if not doubts:
            found.append(
                Check(
                    method=table["method"],
                    given=MappingProxyType({k: _tupled(v) for k, v in table["given"].items()}),
                    expect=_tupled(table["expect"]),
                    tolerance=float(table.get("tolerance", 0.0)),
                    kind=table["kind"],
                    source=table["source"],
                    text=table["text"],
                )
            )
    if problems:
        raise Refused(problems)
    return tuple(found)


def proof_of(check: Check) -> Proof:
    """Run one check.

    Raises:
        ValueError: Its method is not declared.
    """
    if check.method not in METHODS:
        raise ValueError(f'A check names the method "{check.method}", which is not declared.')
    computed = _tupled(METHODS[check.method].function(**check.given))
    return Proof(
        check=check, computed=computed, agrees=_agree(computed, check.expect, check.tolerance)
    )


def prove() -> tuple[Proof, ...]:
    """Run every check; complete once `garboard.methods.library` is imported."""
    return tuple(proof_of(check) for check in checks())


def _doubts(table: Mapping[str, Any], where: str) -> Iterator[Problem]:
    for name in table:
        if name not in _FIELDS:
            yield Problem(
                where=f"{where} {name}",
                what=f"there is no field {name!r} here",
                do=f"Use one of: {', '.join(_FIELDS)}",
            )
    for name in _FIELDS:
        if name not in table and name != "tolerance":
            yield Problem(where=f"{where} {name}", what="it is missing", do="Give it a value")
    for name, choices in (("kind", get_args(Kind)), ("text", get_args(Text))):
        if name in table and table[name] not in choices:
            yield Problem(
                where=f"{where} {name}",
                what=f'"{table[name]}" is not one of the choices',
                do=f"Use one of: {', '.join(choices)}",
            )
    if not str(table.get("source", "missing")).strip():
        yield Problem(where=f"{where} source", what="it is empty", do="Name the source")
    if not isinstance(table.get("given", {}), Mapping):
        yield Problem(where=f"{where} given", what="it is no table", do="Name the arguments")
    tolerance = table.get("tolerance", 0.0)
    if isinstance(tolerance, bool) or not isinstance(tolerance, int | float) or tolerance < 0:
        yield Problem(
            where=f"{where} tolerance",
            what=f"{tolerance!r} is no tolerance",
            do="Write a number, 0 or more",
        )


def _tupled(value: Any) -> Any:
    return tuple(map(_tupled, value)) if isinstance(value, list | tuple) else value


def _agree(computed: Value, expect: Value, tolerance: float) -> bool:
    if isinstance(computed, tuple) and isinstance(expect, tuple):
        return len(computed) == len(expect) and all(
            _agree(mine, theirs, tolerance) for mine, theirs in zip(computed, expect, strict=True)
        )
    if isinstance(expect, bool | str) or isinstance(computed, bool | str | tuple):
        return type(computed) is type(expect) and computed == expect
    # A number such as 3.25 has no exact binary neighbour at a rounding's very edge.
    return not isinstance(expect, tuple) and abs(computed - expect) <= tolerance * (1 + 1e-9)
