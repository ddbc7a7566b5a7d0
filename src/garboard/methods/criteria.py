"""The criteria: limits as data, read from `criteria/<family>.toml` and refused unless they can be relied on.

Each table is one limit, its heading the id. Reading raises `Refused` with every problem.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files
from string import Formatter
from types import MappingProxyType
from typing import Any

from garboard.methods.result import Criterion
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.shape import read

_SLUG = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_ASKS = re.compile(r"\bhave\b[^.]*\bchecked\b", re.IGNORECASE)
_SLOTS = ("limit", "unit")


@cache
def criteria() -> Mapping[str, Criterion]:
    """Every criterion by its id.

    Raises:
        Refused: A file holds a table that cannot be relied on, or two share an id.
    """
    found: dict[str, Criterion] = {}
    for file in sorted(files("garboard.methods").joinpath("criteria").iterdir(), key=str):
        if not file.name.endswith(".toml"):
            continue
        where = f"criteria/{file.name}"
        for each in criteria_in(tomllib.loads(file.read_text("utf-8")), where):
            if each.id in found:
                raise Refused(
                    [
                        Problem(
                            where=f"{where} {each.id}",
                            what="another criterion has this id already",
                            do="Give it one of its own",
                        )
                    ]
                )
            found[each.id] = each
    return MappingProxyType(found)


def criteria_in(tables: Mapping[str, Any], where: str) -> tuple[Criterion, ...]:
    """The criteria of one file.

    Args:
        tables: What TOML gave: by id, the fields of a criterion without the id. `say` may hold `{limit}`, with
            a format where it needs one, and `{unit}`; both are filled in here.
        where: What to call the file in messages.

    Raises:
        Refused: With every problem found.
    """
    problems: list[Problem] = []
    found: list[Criterion] = []
    for slug, table in tables.items():
        place = f"{where} {slug}"
        named = {**table, "id": slug} if isinstance(table, Mapping) else table
        try:
            criterion = read(Criterion, named, place)
        except Refused as refused:
            problems += refused.problems
            continue
        doubts = tuple(_doubts(criterion, place))
        problems += doubts
        if not doubts:
            found.append(_filled(criterion))
    if problems:
        raise Refused(problems)
    return tuple(found)


def _doubts(criterion: Criterion, where: str) -> Iterator[Problem]:
    if not _SLUG.fullmatch(criterion.id):
        yield Problem(
            where=where,
            what=f'"{criterion.id}" is no id',
            do="Use lower-case words with hyphens",
        )
    for name in ("quantity", "applies", "source", "say"):
        if not getattr(criterion, name).strip():
            yield Problem(where=f"{where} {name}", what="it is empty", do="Say it in words")
    slots = [name for _, name, _, _ in Formatter().parse(criterion.say) if name is not None]
    for name in slots:
        if name not in _SLOTS:
            yield Problem(
                where=f"{where} say",
                what=f"{{{name}}} stands for nothing",
                do="Use {limit} and {unit} only",
            )
    if criterion.text == "memory" and not _ASKS.search(criterion.say):
        yield Problem(
            where=f"{where} say",
            what="a limit known from memory passes judgement",
            do='Ask to "have this checked"',
        )


def _filled(criterion: Criterion) -> Criterion:
    said = criterion.say.format(limit=criterion.limit, unit=criterion.unit)
    return replace(criterion, say=said)
