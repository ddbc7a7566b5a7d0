"""What the page asks the core in the browser: a function by name, with JSON in and JSON out.

The surveys that are open are kept here between questions, each folded once for as long as no entry comes, with what its
families of methods made of it.
"""

import json
from collections.abc import Callable, Mapping
from typing import Any

from garboard.methods.library import Families
from garboard.methods.result import Result
from garboard.notebook.entry import Entry, from_json
from garboard.notebook.fold import Survey, fold
from garboard.notebook.problem import Refused
from garboard.yard.leaving import leaving_of
from garboard.yard.meaning import meaning_of
from garboard.yard.pad import grid_of, pad_of
from garboard.yard.plan import plan_of
from garboard.yard.strikes import suggestion
from garboard.yard.tonight import tonight_of

_entries: dict[str, dict[str, Entry[Any]]] = {}
_folded: dict[str, Survey] = {}
_families: dict[str, Families] = {}


def answer(name: str, given: str) -> str:
    """The answer of a function, as JSON: its `value`, or the `problem` in words.

    Args:
        name: Of the function.
        given: A JSON object of what it takes.
    """
    try:
        value = FUNCTIONS[name](**json.loads(given))
    except (ValueError, Refused) as problem:
        return json.dumps({"problem": str(problem)})
    return json.dumps({"value": value}, ensure_ascii=False)


def open_survey(survey: str, entries: list[Any]) -> int:
    """Hold a survey with all its entries, in place of what was held of it; gives how many make sense."""
    _entries[survey] = {}
    return add(survey, entries)


def add(survey: str, entries: list[Any]) -> int:
    """Add entries to a survey that is held; those that make no sense are left to the desk to refuse."""
    held = _entries.setdefault(survey, {})
    for each in entries:
        try:
            entry = from_json(each, "entry")
        except Refused:
            continue
        held[entry.id] = entry
    _folded.pop(survey, None)
    return len(held)


def plan(survey: str) -> dict[str, Any]:
    """The walk with how each place stands."""
    return plan_of(_survey(survey))


def pad(survey: str, look: str, of: str = "", part: str = "") -> dict[str, Any]:
    """A panel of the hull to point at, with what was placed so far and what is left to do on a part."""
    return pad_of(_survey(survey), look, of, part)


def meaning(survey: str) -> dict[str, Any]:
    """What the readings mean so far."""
    return meaning_of(_survey(survey), _results(survey))


def leaving(survey: str) -> list[dict[str, str]]:
    """What must be dealt with before the ladder goes away."""
    return leaving_of(_survey(survey))


def tonight(survey: str) -> dict[str, Any]:
    """The provisional list that is told tonight."""
    return tonight_of(_survey(survey), _results(survey))


def grid(survey: str, place: dict[str, Any], walk: dict[str, Any], of: str) -> dict[str, Any]:
    """The places of a grid in the order in which it is walked, and which of them comes first."""
    return grid_of(_survey(survey), place, walk, of)


def _survey(survey: str) -> Survey:
    found = _folded.get(survey)
    if found is None:
        if not _entries.get(survey):
            raise ValueError("This survey is not open here.")
        found = _folded[survey] = fold(_entries[survey].values())
    return found


def _results(survey: str) -> tuple[Result, ...]:
    return _families.setdefault(survey, Families()).results_of(_survey(survey))


FUNCTIONS: Mapping[str, Callable[..., Any]] = {
    "open": open_survey,
    "add": add,
    "plan": plan,
    "pad": pad,
    "meaning": meaning,
    "leaving": leaving,
    "tonight": tonight,
    "grid": grid,
    "strike": suggestion,
}
