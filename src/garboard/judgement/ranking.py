"""Findings in the order in which a reader meets them: by urgency, then as the boat was walked; numbered once."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """What the recommendations of one urgency may cost together, or all of them where `urgency` is None.

    `bands` are from, to and currency, one a currency; of `unpriced` recommendations no cost is given.
    """

    urgency: Urgency | None
    bands: tuple[tuple[int, int, str], ...]
    unpriced: int


def totals(findings: Iterable[Ranked]) -> tuple[Total, ...]:
    """By urgency and, of several, in all; none where no cost is given at all. Currencies are never mixed."""
    by_urgency: dict[Urgency, list[Advice]] = defaultdict(list)
    for each in findings:
        by_urgency[each.entry.body.urgency] += each.advice
    advised = {urgency: by_urgency[urgency] for urgency in URGENCIES if by_urgency[urgency]}
    everything = _total(None, [advice for each in advised.values() for advice in each])
    if not everything.bands:
        return ()
    found = tuple(_total(urgency, advice) for urgency, advice in advised.items())
    return (*found, everything) if len(found) > 1 else found


def _total(urgency: Urgency | None, advice: Iterable[Advice]) -> Total:
    bands: dict[str, tuple[int, int]] = {}
    unpriced = 0
    for each in advice:
        unpriced += not each.costs
        for cost in (entry.body for entry in each.costs):
            low, high = bands.get(cost.currency, (0, 0))
            bands[cost.currency] = (low + cost.low_minor, high + cost.high_minor)
    return Total(
        urgency=urgency,
        bands=tuple((low, high, currency) for currency, (low, high) in sorted(bands.items())),
        unpriced=unpriced,
    )


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
