"""The declaration beside each method: what it is for, its symbols, its limits of use, its source.

Declaring registers the function, so that the list of methods, the checks and the report's notes are all made
from one place.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, ParamSpec, TypeVar

from garboard.methods.result import Standing, Text

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """A declared method.

    `id` is "family.function"; `symbols` gives each argument and the result with its unit; `needs` is "arrays"
    where NumPy is imported inside; `defer` says whose word stands above the method's.
    """

    id: str
    name: str
    what_for: str
    symbols: Mapping[str, str]
    limits: str
    source: str
    standing: Standing
    text: Text
    function: Callable[..., Any]
    needs: str = ""
    defer: str = ""


_DECLARED: dict[str, Method] = {}
METHODS: Mapping[str, Method] = MappingProxyType(_DECLARED)
"""The declared methods by id; complete once `garboard.methods.library` is imported."""


def method(
    *,
    name: str,
    what_for: str,
    symbols: Mapping[str, str],
    limits: str,
    source: str,
    standing: Standing,
    text: Text,
    needs: str = "",
    defer: str = "",
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Declare the function below as a method of the library; its id is its module's and its own name."""

    def declare(function: Callable[P, R]) -> Callable[P, R]:
        family = function.__module__.rsplit(".", 1)[-1]
        declared = Method(
            id=f"{family}.{function.__name__}",
            name=name,
            what_for=what_for,
            symbols=MappingProxyType(dict(symbols)),
            limits=limits,
            source=source,
            standing=standing,
            text=text,
            function=function,
            needs=needs,
            defer=defer,
        )
        _DECLARED[declared.id] = declared
        return function

    return declare
