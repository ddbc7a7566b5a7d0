"""Moisture meter readings against the boat's own dry reference, on a map with the conditions beside them.

A meter on laminate tells where a hull differs from its own dry places, in the units of its scale; it does not
measure water. Nothing here is per cent unless the set names the user's own calibration.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import median
from typing import Literal

from garboard.boat.hull import Hull
from garboard.catalogue.naming import located
from garboard.methods import circumstances
from garboard.methods.climate import conditions_for
from garboard.methods.comparison import (
    adjusted_chances,
    chance_of_as_many,
    median_deviation,
    rank_sum_chance,
    robust_spread,
    share_interval,
    shift,
)
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.instrument import step_of
from garboard.methods.patch import (
    LINK,
    REACH,
    SPACING_MOST_M,
    Point,
    Ring,
    about_m2,
    groups,
    middle,
    neighbours,
    outline,
    outlined_m2,
    spacing_m,
)
from garboard.methods.result import Result, Verdict, verdict_of
from garboard.methods.zone import Zone, levels_of, point_of, shell_of, zone_of, zone_words
from garboard.notebook.body import Place, Reading, ReadingSet, Side
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Judged = Literal["dry reference", "not distinguished", "raised", "much raised", "not judged"]

_RUDDER = "High readings are usual in a rudder, whose build is not that of the hull: movement and sound decide."

# Of fewer readings without a reference nobody can tell which of them is the odd one.
_FEWEST_AMONG_THEMSELVES = 5
# More that stand apart are told by their range.
_MOST_NAMED = 3

# By size of the reference: the share of dry readings that the rule calls raised all the same.
_FALSE_SHARES = ((6, 0.037), (8, 0.023), (10, 0.017), (15, 0.009), (20, 0.005), (30, 0.003))


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedReading:
    """A reading beside the reference.

    `departure` is its height above the reference's median in spreads of the reference; `chance` the adjusted
    chance that a dry neighbourhood would show as many raised readings by accident as this one and its
    neighbours do; both None where nothing could be judged.
    """

    place: Place
    as_read: str
    value: float
    judged: Judged
    departure: float | None = None
    chance: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DryReference:
    """The boat's own dry readings: their median, spread, and the limits that follow, in scale units."""

    values: tuple[float, ...]
    median: float
    spread: float
    raised_above: float
    much_raised_above: float

    def departure(self, reading: float) -> float:
        """Height of a reading above the median, in spreads."""
        return (reading - self.median) / self.spread


@dataclass(frozen=True, slots=True, kw_only=True)
class RaisedArea:
    """Raised readings that hang together, outlined in station and level, m.

    There is no area where other readings at the same places are not raised. `supported` says that its neighbours bear it out, more of them being raised than by accident; else it may
    be one odd reading, to be taken again.
    """

    part: str
    side: Side | None
    number: int | None
    readings: int
    rings: tuple[Ring, ...]
    area_m2: float | None
    stations_m: tuple[float, float]
    levels_m: tuple[float, float]
    highest: float
    departure: float
    supported: bool

    @property
    def about(self) -> str:
        """Its area as finely as its readings bear it out."""
        if self.area_m2 is None:
            return "no area, as others at the same places are not raised"
        return f"about {about_m2(self.area_m2):g} m²"


@dataclass(frozen=True, slots=True, kw_only=True)
class MoistureMap:
    """What one set of moisture readings says.

    `raised` of `judged` readings are above the limit, `by_accident` is the most a dry hull would show;
    `shift` the median difference to the reference with its 95 % interval, in `unit`; `said` the sentence for
    the reader, `apart` what of it stands apart where nothing could be judged; `used` the ids of the entries it
    rests on.
    """

    entry: str
    name: str
    instrument: str
    scale: str
    unit: str
    readings: tuple[JudgedReading, ...]
    reference: DryReference | None
    areas: tuple[RaisedArea, ...]
    raised: int
    judged: int
    by_accident: int
    raised_share: tuple[float, float] | None
    shift: tuple[float, float, float] | None
    verdict: Verdict
    said: str
    caveats: tuple[str, ...]
    used: tuple[str, ...]
    apart: str = ""


@method(
    name="Departure from the dry reference",
    what_for="How far a reading stands above the boat's own dry readings.",
    symbols={
        "reading": "scale units",
        "reference": "dry readings of the same boat, scale units",
        "step": "smallest step of the scale, scale units",
        "result": "spreads of the reference",
    },
    limits=(
        "Same meter, scale, coating and pass. High readings do not prove blistering and low ones do not exclude "
        "it; metal, carbon, salt, cold wet skin and tanks behind the skin read high, frost and thick filler low."
    ),
    source="modified z-score, Iglewicz & Hoaglin 1993, with the spread's floor of half a step",
    standing="working figure",
    text="memory",
)
def departure(reading: float, reference: Sequence[float], step: float) -> float:
    """Height of a reading above the reference's median, in robust spreads of the reference.

    Args:
        reading: In units of the meter's scale.
        reference: Dry readings of the same boat, at least two, same scale.
        step: Smallest step of the scale, same units; above 0.

    Returns:
        Spreads; negative below the median.

    Raises:
        ValueError: Fewer than two reference readings, or a step not above zero.

    >>> round(departure(20, [12, 13, 12, 14, 13, 12, 15, 13, 12, 13, 14, 12], 1), 3)
    4.721
    """
    return _reference(tuple(reference), step).departure(reading)


@method(
    name="Share of false alarms",
    what_for="How many dry readings the rule calls raised all the same, the reference being small.",
    symbols={"references": "number of reference readings", "result": "share, 0 to 1"},
    limits="Six reference readings or more, normal scatter, limit of 3.5 spreads.",
    source="simulated: 20,000 normal references of each size, median and median deviation, one dry reading each",
    standing="working figure",
    text="read",
)
def false_alarm_share(references: int) -> float:
    """Share of dry readings above the limit, by the size of the reference.

    Args:
        references: Number of reference readings, 6 or more.

    Returns:
        0 to 1; between tabulated sizes on a straight line.

    Raises:
        ValueError: Fewer than six.

    >>> false_alarm_share(12)
    0.0138
    """
    if references < _FALSE_SHARES[0][0]:
        raise ValueError(f"A reference of {references} readings is too small to judge by.")
    for (low, high_share), (high, low_share) in pairwise(_FALSE_SHARES):
        if references <= high:
            along = (references - low) / (high - low)
            return high_share + (low_share - high_share) * along
    return _FALSE_SHARES[-1][1]


@method(
    name="Raised by accident",
    what_for="How many raised readings a dry hull would show by accident, so that more than that mean something.",
    symbols={
        "readings": "number of readings judged",
        "references": "number of reference readings",
        "result": "readings",
    },
    limits=(
        "Readings taken to be independent, though all share one reference, so it is on the low side: of simulated dry "
        "hulls of 48 readings 4 to 6 in a hundred were called raised with twelve reference readings or more, eleven "
        "with eight."
    ),
    source="Binomial distribution, one-sided 2.5 %",
    standing="working figure",
    text="read",
)
def raised_by_accident(readings: int, references: int) -> int:
    """The most raised readings a dry hull would show by accident, but for one hull in forty.

    Args:
        readings: Number of readings judged, 0 or more.
        references: Number of reference readings, 6 or more.

    Raises:
        ValueError: Fewer than six reference readings.

    >>> raised_by_accident(48, 12)
    3
    """
    share = false_alarm_share(references)
    most = 0
    while chance_of_as_many(most + 1, readings, share) >= 0.025:
        most += 1
    return most


def moisture_maps(survey: Survey) -> tuple[MoistureMap, ...]:
    """A map for each set of moisture readings; sets are never mixed."""
    return tuple(
        moisture_map(survey, entry) for entry in survey.sets("moisture") if entry.body.readings
    )


def results(survey: Survey) -> tuple[Result, ...]:
    """For each set: the count of raised readings, the shift over the reference, and each raised area."""
    return tuple(result for each in moisture_maps(survey) for result in _results_of(each))


# From a set to its map


@dataclass(frozen=True, slots=True, kw_only=True)
class _Placed:
    """The readings of one zone that have a position and are no reference: which of the set they are, and where.

    `spacing_m` is what each speaks for, None for a lone reading without a stated spacing.
    """

    zone: Zone
    indices: tuple[int, ...]
    points: tuple[Point, ...]
    spacing_m: float | None


def moisture_map(survey: Survey, entry: Entry[ReadingSet]) -> MoistureMap:
    """The map of one set of moisture readings, which has one reading at least."""
    read = entry.body
    conditions = conditions_for(survey, entry)
    read_at = survey.done_at(entry)
    dry = tuple(each.value for each in read.readings if each.reference)
    hull = tuple(each for each in read.readings if not each.reference)
    bare = MoistureMap(
        entry=entry.id,
        name=read.name,
        instrument=read.instrument,
        scale=read.scale,
        unit=_unit(read),
        readings=tuple(_unjudged(each) for each in read.readings),
        reference=None,
        areas=(),
        raised=0,
        judged=0,
        by_accident=0,
        raised_share=None,
        shift=None,
        verdict="cannot say",
        said="",
        caveats=tuple(circumstances.caveats(read, read_at, conditions)),
        used=(entry.id, *((conditions.id,) if conditions else ())),
    )
    step = _step(read, survey)
    refusal = _refusal(dry, hull, step)
    if refusal:
        verdict, said = refusal
        apart = _apart(hull, step, bare.unit)
        said = " ".join(filter(None, (said, apart)))
        return replace(bare, verdict=verdict, said=said, apart=apart)
    reference = _reference(dry, step)
    placed = tuple(_placed(read))
    readings = _judged(read, placed, reference)
    areas = tuple(_areas(placed, readings, shell_of(survey)))
    judged = [each for each in readings if each.departure is not None]
    raised = sum(map(_is_raised, judged))
    by_accident = raised_by_accident(len(judged), len(dry))
    counted = replace(
        bare,
        readings=readings,
        reference=reference,
        areas=areas,
        raised=raised,
        judged=len(judged),
        by_accident=by_accident,
        raised_share=share_interval(raised, len(judged)),
        shift=shift([each.value for each in judged], dry),
    )
    stands_out = raised > by_accident or any(each.supported for each in areas)
    waits = (
        *(circumstances.why_high_must_wait(read, read_at, conditions) if stands_out else ()),
        *circumstances.why_low_must_wait(conditions),
    )
    return replace(
        counted,
        verdict="cannot say" if waits else "beyond" if stands_out else "within",
        said=_said(counted, stands_out),
        caveats=(*waits, *counted.caveats, *_doubts(counted)),
    )


def _unit(read: ReadingSet) -> str:
    """The unit as printed: a per cent mark on an uncalibrated scale is a number on a scale, nothing more."""
    if read.calibration:
        return read.unit
    unit = read.unit.strip().casefold()
    says_nothing = "%" in unit or "cent" in unit or unit in ("", "scale")
    return "scale units" if says_nothing else read.unit


def _step(read: ReadingSet, survey: Survey) -> float:
    """The smallest step of the scale: the instrument's, else that of the digits as read."""
    digits = max(len(each.as_read.partition(".")[2]) for each in read.readings)
    return step_of(survey, read.instrument, 10.0**-digits)


def _refusal(
    dry: Sequence[float], hull: Sequence[Reading], step: float
) -> tuple[Verdict, str] | None:
    """Why nothing can be judged, if so, with what to do about it."""
    if not dry:
        return "not comparable", (
            "No dry reference was read on this boat, so the readings cannot be judged. Read the topsides well "
            "above the boot-top, same laminate and coating, in the shade, with the same meter and scale: eight "
            "places or more, better fifteen, marked as reference."
        )
    if not hull:
        return (
            "cannot say",
            "Only the dry reference was read, so there is nothing to compare with it.",
        )
    fewest = criteria()["moisture-reference-readings"]
    if len(dry) < fewest.limit:
        return "cannot say", (
            f"The dry reference has {len(dry)} readings, too few to judge by. Read {fewest.limit:.0f} or more "
            "dry places, better fifteen, with the same meter and scale."
        )
    most = criteria()["moisture-reference-scatter"]
    deviation = median_deviation(dry)
    if deviation > max(step, most.limit / 100 * abs(median(dry))):
        return "cannot say", (
            f"The dry reference itself scatters by {deviation:.3g} about {median(dry):.3g}, so it may not be one "
            "dry laminate. Read it again over one laminate and one coating, well above the boot-top."
        )
    return None


def _apart(hull: Sequence[Reading], step: float, unit: str) -> str:
    """Which readings stand high above the others of their set; "" where none does, or they are too few to tell."""
    if len(hull) < _FEWEST_AMONG_THEMSELVES:
        return ""
    among = _reference(tuple(each.value for each in hull), step)
    high = [each for each in hull if each.value > among.raised_above]
    if not high:
        return ""
    read = [scale_number(each.value) for each in high]
    where = [f"{value} at {located(each.place)}" for value, each in zip(read, high, strict=True)]
    least, most = (scale_number(pick(each.value for each in high)) for pick in (min, max))
    return (
        f"Of {len(hull)} readings {len(high)} {'stands' if len(high) == 1 else 'stand'} apart from the others: "
        f"{'; '.join(where) if len(high) <= _MOST_NAMED else f'{least} to {most}'}, where the median of all is "
        f"{scale_number(among.median)} ({unit}). That is no verdict: read again there, and beside it."
    )


def _reference(dry: tuple[float, ...], step: float) -> DryReference:
    middle_value, spread = median(dry), robust_spread(dry, step)
    return DryReference(
        values=dry,
        median=middle_value,
        spread=spread,
        raised_above=middle_value + criteria()["moisture-raised"].limit * spread,
        much_raised_above=middle_value + criteria()["moisture-much-raised"].limit * spread,
    )


def _unjudged(reading: Reading) -> JudgedReading:
    return JudgedReading(
        place=reading.place,
        as_read=reading.as_read,
        value=reading.value,
        judged="dry reference" if reading.reference else "not judged",
    )


def _judged(
    read: ReadingSet, placed: Sequence[_Placed], reference: DryReference
) -> tuple[JudgedReading, ...]:
    is_raised = [each.value > reference.raised_above for each in read.readings]
    chances = _neighbourhood_chances(placed, is_raised, len(reference.values))
    return tuple(
        _unjudged(each) if each.reference else _judgement(each, reference, chances.get(index))
        for index, each in enumerate(read.readings)
    )


def _judgement(reading: Reading, reference: DryReference, chance: float | None) -> JudgedReading:
    value = reading.value
    judged: Judged = "not distinguished"
    if value > reference.much_raised_above:
        judged = "much raised"
    elif value > reference.raised_above:
        judged = "raised"
    return JudgedReading(
        place=reading.place,
        as_read=reading.as_read,
        value=value,
        judged=judged,
        departure=reference.departure(value),
        chance=chance,
    )


def _is_raised(reading: JudgedReading) -> bool:
    return reading.judged in ("raised", "much raised")


def _neighbourhood_chances(
    placed: Sequence[_Placed], is_raised: Sequence[bool], references: int
) -> Mapping[int, float]:
    """By index of a placed reading: the adjusted chance of as many raised ones in its neighbourhood by accident."""
    share = false_alarm_share(references)
    counted = {}
    for here in placed:
        raised_here = [is_raised[index] for index in here.indices]
        near = neighbours(here.points, LINK * (here.spacing_m or 0.0))
        for index, around in zip(here.indices, near, strict=True):
            counted[index] = (sum(raised_here[each] for each in around), len(around))
    chance = {each: chance_of_as_many(*each, share) for each in set(counted.values())}
    adjusted = adjusted_chances([chance[each] for each in counted.values()])
    return dict(zip(counted, adjusted, strict=True))


def _placed(read: ReadingSet) -> Iterator[_Placed]:
    sorted_out: dict[Zone, dict[int, Point]] = defaultdict(dict)
    for index, each in enumerate(read.readings):
        point = point_of(each.place)
        if not each.reference and point:
            sorted_out[zone_of(each.place)][index] = point
    for zone, found in sorted_out.items():
        points = tuple(found.values())
        yield _Placed(
            zone=zone, indices=tuple(found), points=points, spacing_m=_spacing(read, points)
        )


def _spacing(read: ReadingSet, points: Sequence[Point]) -> float | None:
    if read.spacing_m:
        return min(read.spacing_m, SPACING_MOST_M)
    return min(spacing_m(points), SPACING_MOST_M) if len(points) > 1 else None


def _areas(
    placed: Sequence[_Placed], readings: Sequence[JudgedReading], hull: Hull | None
) -> Iterator[RaisedArea]:
    rate = criteria()["moisture-neighbourhood"].limit
    for here in placed:
        if here.spacing_m is None:
            continue
        part, side, number = here.zone
        levels = levels_of(here.zone, hull)
        judged = [
            (readings[index], point) for index, point in zip(here.indices, here.points, strict=True)
        ]
        raised = [(each, point) for each, point in judged if _is_raised(each)]
        clear = [point for each, point in judged if not _is_raised(each)]
        for together in groups([point for _, point in raised], LINK * here.spacing_m):
            found = [raised[each][0] for each in together]
            inside = [raised[each][1] for each in together]
            rings = outline(inside, clear, REACH * here.spacing_m, levels)
            yield RaisedArea(
                part=part,
                side=side,
                number=number,
                readings=len(found),
                rings=rings,
                area_m2=outlined_m2(rings),
                stations_m=(min(x for x, _ in inside), max(x for x, _ in inside)),
                levels_m=(min(y for _, y in inside), max(y for _, y in inside)),
                highest=max(each.value for each in found),
                departure=median(each.departure or 0.0 for each in found),
                supported=any(each.chance is not None and each.chance <= rate for each in found),
            )


# What is said of a map


def _doubts(of: MoistureMap) -> Iterator[str]:
    alone = sum(not each.supported for each in of.areas)
    if alone:
        yield (
            f"{_counted(alone, 'raised place')} may be no more than an odd reading: no neighbour bears it "
            "out. Read again beside it."
        )
    lost = sum(each.departure is not None and point_of(each.place) is None for each in of.readings)
    if lost:
        yield f"{_counted(lost, 'reading')} without station and level: judged, but not on the map."
    if any(each.part.startswith("rudder") for each in of.areas):
        yield _RUDDER
    if of.reference and len(of.reference.values) < 15:
        yield f"The dry reference has {len(of.reference.values)} readings; fifteen or more judge better."
    yield "Readings near each other are not independent, so shares and intervals look surer than they are."


def _said(of: MoistureMap, stands_out: bool) -> str:
    if of.reference is None or of.raised_share is None:
        return ""
    extent = "Raised in places"
    if not stands_out:
        extent = "Not distinguished from the dry reference"
    elif of.raised_share[0] > criteria()["moisture-generally"].limit:
        extent = "Generally raised"
    elif of.raised > of.by_accident:
        extent = "Raised over part of the area read"
    by_accident = f"more than {of.by_accident}" if of.by_accident else "any"
    return (
        f"{extent}: {of.raised} of {_counted(of.judged, 'reading')} above {scale_number(of.reference.raised_above)}, "
        f"where {len(of.reference.values)} dry readings of this boat have their median at "
        f"{scale_number(of.reference.median)} ({of.unit}). A dry hull would seldom show {by_accident} by accident."
    )


def scale_number(value: float) -> str:
    """A number of a meter's scale as it is printed, three figures or the whole number.

    >>> scale_number(18.189), scale_number(1234.5)
    ('18.2', '1234')
    """
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.3g}"


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def _results_of(of: MoistureMap) -> Iterator[Result]:
    accident = replace(criteria()["moisture-by-accident"], limit=float(of.by_accident))
    is_judged = of.verdict in ("within", "beyond")
    yield Result(
        method="moisture.raised_by_accident",
        what=f"raised moisture readings, {of.name}",
        value=float(of.raised) if is_judged else None,
        unit="readings",
        verdict=verdict_of(of.raised, None, accident) if is_judged else of.verdict,
        used=of.used,
        uncertainty_why="a count; its 95 % interval is in the map",
        criterion=accident if is_judged else None,
        caveats=(of.said, *of.caveats),
    )
    if of.shift is None or of.reference is None:
        return
    value, low, high = of.shift
    hull = [each.value for each in of.readings if each.departure is not None]
    chance = rank_sum_chance(hull, of.reference.values)
    yield Result(
        method="comparison.shift",
        what=f"shift over the dry reference, {of.name}",
        value=value,
        unit=of.unit,
        verdict="not comparable",
        used=of.used,
        uncertainty=(high - low) / 4,
        caveats=(
            f"95 % interval {scale_number(low)} to {scale_number(high)}; the chance of such ranks on a hull like its reference "
            f"is {chance:.2g}. No limit holds for it alone.",
        ),
    )
    for area in of.areas:
        yield _result_of_area(area, of, is_judged)


def _result_of_area(area: RaisedArea, of: MoistureMap, is_judged: bool) -> Result:
    zone = zone_words((area.part, area.side, area.number))
    # Without an outline the middle of the readings stands for that of the area.
    corners = [point for ring in area.rings for point in ring]
    station_m, level_m = middle(corners or list(zip(area.stations_m, area.levels_m, strict=True)))
    much = criteria()["moisture-much-raised"]
    criterion = much if area.departure > much.limit else criteria()["moisture-raised"]
    verdict: Verdict = "cannot say"
    if is_judged:
        verdict = "beyond" if area.supported else "at the limit"
    return Result(
        method="moisture.departure",
        what=(
            f"one raised reading alone, {zone}, station {area.stations_m[0]:.1f} m"
            if area.readings == 1
            else f"raised area of {area.about}, {zone}, stations {area.stations_m[0]:.1f} to "
            f"{area.stations_m[1]:.1f} m"
            if area.area_m2
            else f"raised readings beside others that are not, {zone}, stations "
            f"{area.stations_m[0]:.1f} to {area.stations_m[1]:.1f} m"
        ),
        value=area.departure if is_judged else None,
        unit=criterion.unit,
        verdict=verdict,
        used=of.used,
        uncertainty_why="the edge lies somewhere between neighbouring readings",
        criterion=criterion,
        place=Place(
            part=area.part,
            side=area.side,
            number=area.number,
            station_m=round(station_m, 2),
            level_m=round(level_m, 2),
        ),
        caveats=(
            f"{_counted(area.readings, 'reading')}, the highest {scale_number(area.highest)} {of.unit}.",
            "Its neighbours bear it out."
            if area.supported
            else "Read again beside it: it may be one odd reading.",
            *([_RUDDER] if area.part.startswith("rudder") else []),
        ),
        plainly=_plainly(area, of.reference) if of.reference else "",
    )


def _plainly(area: RaisedArea, reference: DryReference) -> str:
    """How far an area stands above the reference, in the numbers that the meter showed."""
    typical = scale_number(reference.median + area.departure * reference.spread)
    read = typical if area.readings == 1 else f"median {typical}"
    return (
        f"the moisture meter reads well above the readings taken as dry: {read} against "
        f"{scale_number(reference.median)}"
    )
