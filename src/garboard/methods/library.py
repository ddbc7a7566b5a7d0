"""The library: every family imported, so that every method is declared, and all results of a survey."""

from collections.abc import Callable, Mapping
from typing import Any

from garboard.methods import (
    alloys,
    anodes,
    batteries,
    blades,
    blisters,
    climate,
    coating,
    continuity,
    couples,
    drying,
    engine,
    extremes,
    figures,
    flooding,
    gas,
    gauge,
    ground_tackle,
    guardrails,
    hardness,
    identity,
    keel,
    lights,
    mains,
    moisture,
    oil,
    pits,
    potentials,
    recordings,
    rig,
    ringing,  # noqa: F401 - it has no results of its own, and declares its methods
    slip,
    sounding,
    steering,
    stern_gear,
    strikes,
    thinning,
    uncertainty,  # noqa: F401 - it has no results of its own, and declares its methods
    ventilation,
    wiring,
    wood,
)
from garboard.methods.declaration import METHODS, Method
from garboard.methods.result import Result
from garboard.notebook.body import (
    Amendment,
    Answer,
    Arrangement,
    Comparable,
    Cost,
    Finding,
    Issue,
    Recommendation,
    Remark,
    Summary,
    Value,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

_NOT_READ = (
    Amendment, Answer, Arrangement, Comparable, Cost, Finding, Issue, Recommendation, Remark, Summary, Value,
)  # fmt: skip
"""What is written from the evidence, and what is private: no method reads it."""

_RESULTS: tuple[Callable[[Survey], tuple[Result, ...]], ...] = (
    identity.results,
    figures.results,
    climate.results,
    moisture.results,
    sounding.results,
    strikes.results,
    drying.results,
    blisters.results,
    coating.results,
    hardness.results,
    wood.results,
    gauge.results,
    thinning.results,
    extremes.results,
    pits.results,
    anodes.results,
    potentials.results,
    continuity.results,
    couples.results,
    alloys.results,
    stern_gear.results,
    blades.results,
    slip.results,
    steering.results,
    keel.results,
    rig.results,
    guardrails.results,
    flooding.results,
    wiring.results,
    batteries.results,
    mains.results,
    ventilation.results,
    gas.results,
    engine.results,
    oil.results,
    lights.results,
    ground_tackle.results,
)


def methods() -> Mapping[str, Method]:
    """Every declared method by its id."""
    return METHODS


def evidence_of(survey: Survey) -> tuple[Entry[Any], ...]:
    """The entries that results can rest on: while they stay the same, so do the results."""
    return tuple(each for each in survey.standing if not isinstance(each.body, _NOT_READ))


def results_of(
    survey: Survey, sounds: Mapping[str, bytes] = recordings.NO_SOUNDS
) -> tuple[Result, ...]:
    """What all families make of a survey, in the order of the families.

    Args:
        survey: The survey.
        sounds: The bytes of its recorded strikes that are at hand, by SHA-256.
    """
    made = (result for results in _RESULTS for result in results(survey))
    return (*made, *recordings.results(survey, sounds))
