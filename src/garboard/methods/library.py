"""The library: every family imported, so that every method is declared, and all results of a survey."""

from collections.abc import Callable, Mapping

from garboard.methods import (
    anodes,
    climate,
    continuity,
    figures,
    gauge,
    identity,
    moisture,
    pits,
    potentials,
    sounding,
    thinning,
)
from garboard.methods.declaration import METHODS, Method
from garboard.methods.result import Result
from garboard.notebook.fold import Survey

_RESULTS: tuple[Callable[[Survey], tuple[Result, ...]], ...] = (
    identity.results,
    figures.results,
    climate.results,
    moisture.results,
    sounding.results,
    gauge.results,
    thinning.results,
    pits.results,
    anodes.results,
    potentials.results,
    continuity.results,
)


def methods() -> Mapping[str, Method]:
    """Every declared method by its id."""
    return METHODS


def results_of(survey: Survey) -> tuple[Result, ...]:
    """What all families make of a survey, in the order of the families."""
    return tuple(result for results in _RESULTS for result in results(survey))
