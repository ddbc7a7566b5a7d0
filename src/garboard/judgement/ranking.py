"""Findings in the order in which a reader meets them: by urgency, then as the boat was walked; numbered once."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, get_args

from garboard.catalogue.parts import catalogue
from garboard.notebook.body import Cost, Finding, Recommendation, Urgency
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

URGENCIES: tuple[Urgency, ...] = get_args(Urgency)


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """A recommendation with the cost bands given for it."""

    entry: Entry[Recommendation]
    costs: tuple[Entry[Cost], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """A finding with its number in this report and what is recommended about it."""

    number: int
    entry: Entry[Finding]
    advice: tuple[Advice, ...]

    @property
    def cost_minor(self) -> tuple[int, int, str] | None:
        """What all its recommendations may cost together: from, to, currency; None without one currency."""
        costs = [cost.body for advice in self.advice for cost in advice.costs]
        if len({cost.currency for cost in costs}) != 1:
            return None
        low, high = sum(cost.low_minor for cost in costs), sum(cost.high_minor for cost in costs)
        return low, high, costs[0].currency


def ranked(survey: Survey) -> tuple[Ranked, ...]:
    """The standing findings, numbered from 1."""
    order = {part: rank for rank, part in enumerate(catalogue().parts)}

    def rank(entry: Entry[Finding]) -> tuple[int, int, str]:
        places = entry.body.places
        first = min((order.get(place.part, len(order)) for place in places), default=len(order))
        return URGENCIES.index(entry.body.urgency), first, entry.body.name

    advice = _advice(survey)
    return tuple(
        Ranked(number=number, entry=entry, advice=tuple(advice[entry.id]))
        for number, entry in enumerate(sorted(survey.of(Finding), key=rank), 1)
    )


def _advice(survey: Survey) -> Mapping[str, list[Advice]]:
    """By finding what is recommended, in the order in which it was first written: a correction changes none."""

    def first_written(entry: Entry[Any]) -> tuple[datetime, str]:
        first = survey.first(entry)
        return first.at, first.id

    costs: dict[str, list[Entry[Cost]]] = defaultdict(list)
    for cost in sorted(survey.of(Cost), key=first_written):
        for recommendation in survey.current(cost.body.recommendation):
            costs[recommendation.id].append(cost)
    advice: dict[str, list[Advice]] = defaultdict(list)
    for entry in sorted(survey.of(Recommendation), key=first_written):
        for finding in survey.current(entry.body.finding):
            advice[finding.id].append(Advice(entry=entry, costs=tuple(costs[entry.id])))
    return advice
