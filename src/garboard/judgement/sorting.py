"""Photographs sorted to parts by the clock: what was being examined when each was taken.

A surveyor photographs a part a little before or after writing down what was done there. Times prove nothing, so this
only proposes, with its reason; a camera's clock that is wrong is found by where its photographs fit best.
"""

from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from math import sqrt
from typing import Literal

from garboard.catalogue.naming import key, named
from garboard.notebook.body import (
    Conditions,
    Examination,
    Limitation,
    Observation,
    Place,
    ReadingSet,
    Side,
    Sounding,
)
from garboard.notebook.fold import Survey

# Working figures: change them here.
WITHIN = timedelta(minutes=10)
"""What was done further away says nothing of a photograph."""
MOST_CHOICES = 3
BESIDE = timedelta(minutes=2)
"""How near a photograph lies to what was done when the clock is right; nearer counts for more."""
STEP = timedelta(seconds=15)
"""How finely clocks are compared."""
CLEAR, LIKELY = 1.0, 0.5
"""By how much the best offset of a clock beats the next, in roots of the number of photographs.

In 240 trials with photographs that had nothing to do with the entries, none passed the first, 9 the second.
"""
MOST_PHOTOS = 400
"""The clock is found from so many photographs, evenly picked."""
MARGIN, LONGEST = timedelta(minutes=30), timedelta(hours=12)
"""How long before it began and after it ended a visit is taken to last, and how long where its end is not recorded."""
SAME_SURVEY = timedelta(days=90)
"""What was done longer before the last entry belongs to an earlier survey."""

_DONE = {
    Examination: "was examined",
    Limitation: "was noted as not reached",
    Observation: "was observed",
    Sounding: "was sounded",
}
_PhotoTimes = Sequence[tuple[datetime, Place | None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """Something recorded at a place: when, and what was done, as "was sounded"."""

    at: datetime
    place: Place
    done: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A place that a photograph may show, and why."""

    place: Place
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockOffset:
    """What to add to a camera's times, and how sure that is.

    `beside` of the `photos` then lie within `BESIDE` of something done, or of something done on their own part
    where that is known.
    """

    offset: timedelta
    sure: Literal["clear", "likely", "unsure"]
    beside: int
    photos: int


def traces_of(survey: Survey) -> tuple[Trace, ...]:
    """What was recorded at places of the boat on the visits of this survey, by time.

    What was typed at the desk in the evening says nothing of where somebody stood; where no visit is recorded
    everything counts.
    """
    visits = [_span(each) for each in survey.bodies(Conditions)]
    found = sorted(_traces(survey), key=lambda trace: trace.at)
    there = [e for e in found if not visits or any(start <= e.at <= end for start, end in visits)]
    return tuple(trace for trace in there if there[-1].at - trace.at < SAME_SURVEY)


def choices(taken: datetime, traces: Sequence[Trace]) -> tuple[Choice, ...]:
    """The places a photograph may show: what was done nearest in time first, each once, `MOST_CHOICES` at most.

    Args:
        taken: When it was taken, by a right clock.
        traces: By time, as `traces_of` gives them.
    """
    first = bisect_left(traces, taken - WITHIN, key=lambda trace: trace.at)
    last = bisect_right(traces, taken + WITHIN, key=lambda trace: trace.at)
    nearest: dict[str, Trace] = {}
    for trace in sorted(traces[first:last], key=lambda trace: abs(trace.at - taken)):
        nearest.setdefault(key(trace.place), trace)
    return tuple(
        Choice(place=trace.place, reason=_reason(trace, taken))
        for trace in list(nearest.values())[:MOST_CHOICES]
    )


def nearest_parts(taken: Iterable[datetime], traces: Iterable[Trace]) -> tuple[str, ...]:
    """The parts at which something was done, those nearest in time to any of some photographs first.

    Args:
        taken: When each was taken, by a right clock.
        traces: As `traces_of` gives them.
    """
    times = sorted(taken)
    nearest: dict[str, timedelta] = {}
    for trace in traces:
        at = bisect_left(times, trace.at)
        for each in times[max(at - 1, 0) : at + 1]:
            away = abs(each - trace.at)
            nearest[trace.place.part] = min(away, nearest.get(trace.place.part, away))
    return tuple(sorted(nearest, key=lambda part: nearest[part]))


def clock_offset(photos: _PhotoTimes, traces: Sequence[Trace]) -> ClockOffset | None:
    """By how much a camera's clock is wrong: the offset at which its photographs lie nearest to what was done.

    Args:
        photos: When each was taken by that clock, and its place where somebody gave one: it then counts only
            beside what was done on the same part, and a few of them make the answer far surer.
        traces: By time, as `traces_of` gives them.

    Returns:
        The offset, to within a minute or two; None where there are no photographs or no traces.

    Limits:
        Within a steady run of entries every offset fits; then it is "unsure". Check it against a photograph
        of a clock.

    Source:
        Cross-correlation of two series of events, with a triangular weight; working figures.
    """
    if not photos or not traces:
        return None
    picked = [photos[index * len(photos) // MOST_PHOTOS] for index in range(MOST_PHOTOS)] if len(photos) > MOST_PHOTOS else photos  # fmt: skip
    scores = _scores(picked, traces)
    if not scores:
        return None
    best = max(scores, key=lambda steps: (scores[steps], -abs(steps)))
    apart = 2 * BESIDE // STEP
    next_best = max((score for steps, score in scores.items() if abs(steps - best) > apart), default=0.0)  # fmt: skip
    margin = (scores[best] - next_best) / sqrt(len(picked))
    offset = best * STEP
    return ClockOffset(
        offset=offset,
        sure="clear" if margin > CLEAR else "likely" if margin > LIKELY else "unsure",
        beside=_beside([(taken + offset, place) for taken, place in photos], traces),
        photos=len(photos),
    )


def _span(visit: Conditions) -> tuple[datetime, datetime]:
    return visit.began - MARGIN, (visit.ended or visit.began + LONGEST) + MARGIN


def _traces(survey: Survey) -> Iterator[Trace]:
    for entry in survey.standing:
        done, body = _DONE.get(type(entry.body)), entry.body
        if done and (not isinstance(body, Examination) or body.extent in ("whole", "part")):
            yield Trace(at=entry.at, place=_part_at(body.place), done=done)
    for readings in survey.of(ReadingSet):
        for place in {_part_at(reading.place) for reading in readings.body.readings}:
            yield Trace(at=readings.at, place=place, done="was read")


def _part_at(place: Place) -> Place:
    """The part alone: where on it a photograph was taken no clock knows."""
    return _plain(place.part, place.side, place.number)


@cache
def _plain(part: str, side: Side | None, number: int | None) -> Place:
    return Place(part=part, side=side, number=number)


def _reason(trace: Trace, taken: datetime) -> str:
    after, name = taken - trace.at, named(trace.place)
    minutes = round(abs(after) / timedelta(minutes=1))
    span = f"{minutes} minute{'' if minutes == 1 else 's'}" if minutes else "less than a minute"
    when = "after" if after >= timedelta(0) else "before"
    return f"{span} {when} {name}{',' if ',' in name else ''} {trace.done}"


def _scores(photos: _PhotoTimes, traces: Sequence[Trace]) -> Mapping[int, float]:
    """By offset, in steps: how near all photographs lie to what was done, each from 0 to 1."""
    start = traces[0].at
    by_part: dict[str | None, list[int]] = defaultdict(list)
    for trace in traces:
        steps = (trace.at - start) // STEP
        by_part[None].append(steps)
        by_part[trace.place.part].append(steps)
    counted: dict[str | None, Counter[int]] = defaultdict(Counter)
    for taken, place in photos:
        counted[place.part if place else None][(taken - start) // STEP] += 1
    scores: dict[int, float] = defaultdict(float)
    for part, times in counted.items():
        nearness = _nearness(by_part.get(part, ()))
        for steps, number in times.items():
            for at, weight in nearness.items():
                scores[at - steps] += number * weight
    return scores


def _nearness(times: Iterable[int]) -> Mapping[int, float]:
    """By step: how near the nearest of some times is, from 0 where none is near to 1."""
    reach = BESIDE // STEP
    found: dict[int, float] = {}
    for time in set(times):
        for away in range(-reach + 1, reach):
            found[time + away] = max(found.get(time + away, 0.0), 1 - abs(away) / reach)
    return found


def _beside(photos: _PhotoTimes, traces: Sequence[Trace]) -> int:
    times: dict[str | None, list[datetime]] = defaultdict(list)
    for trace in traces:
        times[None].append(trace.at)
        times[trace.place.part].append(trace.at)

    def is_beside(taken: datetime, place: Place | None) -> bool:
        known = times.get(place.part if place else None, [])
        index = bisect_left(known, taken - BESIDE)
        return index < len(known) and known[index] <= taken + BESIDE

    return sum(is_beside(taken, place) for taken, place in photos)
