"""Soundings and readings as coverage: what a patch must measure to have been struck, and what sounded otherwise.

Positions are metres along the unrolled skin, stations true and girths stretched out. Struck is not yet found: every
chance here is that of at least one strike inside the patch, an upper bound of the chance that it was noticed.
"""

import math
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from garboard.boat.hull import Hull
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.patch import (
    EDGE,
    LINK,
    REACH,
    SPACING_MOST_M,
    Nearest,
    Point,
    Ring,
    area_m2,
    groups,
    outline,
    spacing_m,
)
from garboard.methods.result import Result, verdict_of
from garboard.methods.zone import (
    Zone,
    between,
    levels_of,
    levels_words,
    panel_of,
    point_of,
    shell_of,
    zone_of,
    zone_words,
)
from garboard.notebook.body import Place, ReadingSet, Side, Sounding
from garboard.notebook.fold import Survey

How = Literal["sounded", "read with a moisture meter"]

CHANCE = 0.95

# How well a position on the hull is known, a working figure; the schematic hull's areas are rougher.
_U_POSITION_M = 0.05
_NET_POINTS = 20_000
_GOLDEN = (math.sqrt(5) - 1) / 2
_CURVE_STEPS = 60
_LONE_SPACING_M = 0.2
_LEAST_AREA_M2 = 0.01

# A station, levels on it, and how far each of them lies from the nearest strike, m.
_Column = tuple[float, list[float], list[float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """How closely one zone was struck or read.

    `panel` is the outline it is judged over, the zone's share of the schematic shell where `is_shell`, else the
    area between the strikes; `across_m` the smallest round patch struck with 95 % probability wherever it lay, with
    its standard uncertainty; `unseen_m` the largest round place without a strike, centred at `unseen_at`; `curve`
    pairs of a patch's size, m across, and its probability of being struck; `spacing_m` that of as many strikes on an
    even square grid; `used` the ids of the entries.
    """

    part: str
    side: Side | None
    number: int | None
    how: How
    strikes: tuple[Point, ...]
    panel: Ring
    is_shell: bool
    area_m2: float
    across_m: float
    uncertainty_m: float
    unseen_m: float
    unseen_at: Point
    curve: tuple[tuple[float, float], ...]
    spacing_m: float
    said: str
    caveats: tuple[str, ...]
    used: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundedPatch:
    """Dull and hollow soundings that hang together, outlined in station and level, m."""

    part: str
    side: Side | None
    number: int | None
    dull: int
    hollow: int
    rings: tuple[Ring, ...]
    area_m2: float
    stations_m: tuple[float, float]
    levels_m: tuple[float, float]
    used: tuple[str, ...]

    @property
    def is_lone(self) -> bool:
        """Whether a single blow makes it, whose extent no other bears out."""
        return self.dull + self.hollow == 1


@method(
    name="Chance on a square grid",
    what_for="How likely a round patch is to be struck by a regular grid, to plan or compare a sounding by.",
    symbols={
        "radius_m": "radius of the patch, m",
        "spacing_m": "spacing of the grid, m",
        "result": "chance, 0 to 1",
    },
    limits="Flat skin, patch anywhere with equal chance, edges left aside; struck is not yet noticed.",
    source=(
        "geometry of a disc over a square cell; the use for buried targets goes back to Singer & Wickman 1969 and "
        "is worked in Gilbert, Statistical Methods for Environmental Pollution Monitoring, 1987, ch. 10"
    ),
    standing="common practice",
    text="memory",
)
def chance_on_square_grid(radius_m: float, spacing_m: float) -> float:
    """Chance that at least one strike of a square grid falls in a round patch.

    Args:
        radius_m: Radius of the patch, m; 0 or more.
        spacing_m: Spacing of the grid, m; above 0.

    Returns:
        0 to 1.

    Raises:
        ValueError: A radius below zero or a spacing not above it.

    >>> round(chance_on_square_grid(0.15, 0.25), 4)
    0.9509
    """
    if radius_m < 0 or not spacing_m > 0:
        raise ValueError(f"A patch of {radius_m} m on a grid of {spacing_m} m is not a case.")
    ratio = radius_m / spacing_m
    if ratio <= 0.5:
        return math.pi * ratio**2
    if ratio >= math.sqrt(0.5):
        return 1.0
    beyond = ratio**2 * math.acos(0.5 / ratio) - 0.5 * math.sqrt(ratio**2 - 0.25)
    return math.pi * ratio**2 - 4 * beyond


@method(
    name="Share of patches struck",
    what_for="How likely a round patch of a given size is to have been struck at the places really struck.",
    symbols={
        "strikes": "positions on the unrolled skin, m",
        "panel": "outline of the area, m",
        "radius_m": "radius of the patch, m",
        "result": "chance, 0 to 1",
    },
    limits=(
        "The patch's centre lies anywhere on the panel with equal chance; skin curved far less than the patch; found "
        "on a net of test points. Struck is not yet noticed."
    ),
    source="area of the panel within the radius of a strike, by definition",
    standing="common practice",
    text="read",
)
def struck_share(strikes: Sequence[Point], panel: Ring, radius_m: float) -> float:
    """Share of the panel that lies within a radius of a strike.

    Args:
        strikes: Positions, m along the skin.
        panel: Outline of the area, m, three corners or more.
        radius_m: Radius of the patch, m; above 0.

    Returns:
        0 to 1; 0 without a strike.

    Raises:
        ValueError: The panel holds no area, or the radius is not above zero.

    >>> panel = ((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0))
    >>> round(struck_share([(1.0, 0.5)], panel, 0.4), 2)
    0.25
    """
    if not radius_m > 0:
        raise ValueError(f"A patch of radius {radius_m} m is none.")
    distances = _in_order(_measured(strikes, panel))
    return bisect_right(distances, radius_m) / len(distances)


@method(
    name="Radius struck with 95 % probability",
    what_for="The smallest round patch that the places really struck would have met, wherever it lay.",
    symbols={
        "strikes": "positions on the unrolled skin, m",
        "panel": "outline of the area, m",
        "result": "radius, m",
    },
    limits="As for the share of patches struck; 95 % is a convention.",
    source="95 % quantile over the panel of the distance to the nearest strike, by definition",
    standing="common practice",
    text="read",
)
def detectable_radius_m(strikes: Sequence[Point], panel: Ring) -> float:
    """Radius of the smallest round patch that is struck with 95 % probability.

    Args:
        strikes: At least one position, m along the skin.
        panel: Outline of the area, m, three corners or more.

    Raises:
        ValueError: There is no strike, or the panel holds no area.

    >>> panel = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    >>> round(detectable_radius_m([(0.5, 0.5)], panel), 2)
    0.6
    """
    if not strikes:
        raise ValueError("Without a strike no patch is struck.")
    return _quantile(_in_order(_measured(strikes, panel)), CHANCE)


@method(
    name="Largest place not struck",
    what_for="The largest round patch that could lie between the places really struck.",
    symbols={
        "strikes": "positions on the unrolled skin, m",
        "panel": "outline of the area, m",
        "result": "radius, m",
    },
    limits="Centre on the panel; found on a net of test points and the panel's corners.",
    source="greatest distance to the nearest strike, by definition",
    standing="common practice",
    text="read",
)
def unseen_radius_m(strikes: Sequence[Point], panel: Ring) -> float:
    """Radius of the largest round patch centred on the panel that holds no strike.

    Args:
        strikes: At least one position, m along the skin.
        panel: Outline of the area, m, three corners or more.

    Raises:
        ValueError: There is no strike, or the panel holds no area.

    >>> panel = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    >>> round(unseen_radius_m([(0.0, 0.0)], panel), 3)
    1.414
    """
    if not strikes:
        raise ValueError("Without a strike no patch is struck.")
    return _unseen(strikes, panel, _measured(strikes, panel))[0]


def coverages(survey: Survey) -> tuple[Coverage, ...]:
    """Coverage of each zone that was sounded, or read with a moisture meter, at known positions."""
    hull = shell_of(survey)
    found: list[tuple[How, Mapping[Zone, Mapping[str, Sequence[Point]]]]] = [
        ("sounded", _sounded(survey)),
        ("read with a moisture meter", _metered(survey)),
    ]
    made = (
        _coverage(zone, how, places, hull) for how, zones in found for zone, places in zones.items()
    )
    return tuple(each for each in made if each)


def coverage_of(survey: Survey, zone: Zone, how: How) -> Coverage | None:
    """Coverage of one zone; None where too few places of it are known, or they lie in a line."""
    zones = _sounded(survey) if how == "sounded" else _metered(survey)
    places = zones.get(zone)
    return _coverage(zone, how, places, shell_of(survey)) if places else None


def patches(survey: Survey) -> tuple[SoundedPatch, ...]:
    """Where the hammer was heard otherwise than sound: dull and hollow soundings that hang together, by zone."""
    hull = shell_of(survey)
    by_zone: dict[Zone, list[tuple[str, Sounding, Point]]] = defaultdict(list)
    for entry in survey.of(Sounding):
        point = point_of(entry.body.place)
        if point and entry.body.heard != "not sounded":
            by_zone[zone_of(entry.body.place)].append((entry.id, entry.body, point))
    return tuple(
        patch for zone, struck in by_zone.items() for patch in _patches_of(zone, struck, hull)
    )


def results(survey: Survey) -> tuple[Result, ...]:
    """Coverage of each zone, each patch heard otherwise than sound, and what could not be placed."""
    covered = coverages(survey)
    return (
        *(_result_of_coverage(each) for each in covered),
        *(_result_of_patch(each) for each in patches(survey)),
        *_unplaced(survey, covered),
    )


# Coverage


def _sounded(survey: Survey) -> Mapping[Zone, Mapping[str, Sequence[Point]]]:
    """By zone and entry the places that were struck."""
    found: dict[Zone, dict[str, list[Point]]] = defaultdict(dict)
    for entry in survey.of(Sounding):
        point = point_of(entry.body.place)
        if point and entry.body.heard != "not sounded":
            found[zone_of(entry.body.place)].setdefault(entry.id, []).append(point)
    return found


def _metered(survey: Survey) -> Mapping[Zone, Mapping[str, Sequence[Point]]]:
    """By zone and entry the places that were read with a moisture meter, the dry reference left out."""
    found: dict[Zone, dict[str, list[Point]]] = defaultdict(dict)
    for entry in survey.of(ReadingSet):
        for each in entry.body.readings if entry.body.quantity == "moisture" else ():
            point = point_of(each.place)
            if point and not each.reference:
                found[zone_of(each.place)].setdefault(entry.id, []).append(point)
    return found


def _coverage(
    zone: Zone, how: How, places: Mapping[str, Sequence[Point]], hull: Hull | None
) -> Coverage | None:
    strikes = tuple(point for each in places.values() for point in each)
    shell = panel_of(zone, hull)
    panel = shell or between(strikes)
    if len(panel) < 3 or area_m2([panel]) < _LEAST_AREA_M2:
        return None
    measured = _measured(strikes, panel)
    distances = _in_order(measured)
    unseen_m, unseen_at = _unseen(strikes, panel, measured)
    across_m = 2 * _quantile(distances, CHANCE)
    largest_m = 2 * unseen_m
    sizes = [largest_m * each / _CURVE_STEPS for each in range(_CURVE_STEPS + 1)]
    area = area_m2([panel])
    words = zone_words(zone)
    return Coverage(
        part=zone[0],
        side=zone[1],
        number=zone[2],
        how=how,
        strikes=strikes,
        panel=panel,
        is_shell=shell is not None,
        area_m2=area,
        across_m=across_m,
        uncertainty_m=2 * _U_POSITION_M,
        unseen_m=largest_m,
        unseen_at=unseen_at,
        curve=tuple((size, bisect_right(distances, size / 2) / len(distances)) for size in sizes),
        spacing_m=math.sqrt(area / len(strikes)),
        said=(
            f"{words[:1].upper()}{words[1:]}: {how} at {len(strikes)} places over {area:.1f} m². A round patch "
            f"{across_m:.2f} m across, wherever it lay, would have held at least one of them with 95 % "
            f"probability; the largest place without one is {largest_m:.2f} m across, near station "
            f"{unseen_at[0]:.1f} m."
        ),
        caveats=tuple(_caveats(shell is not None, how)),
        used=tuple(places),
    )


def _caveats(is_shell: bool, how: How) -> Iterator[str]:
    if how == "sounded":
        yield "Struck is not yet found: a patch that was struck may still have rung sound."
    else:
        yield "Read is not yet found: a patch that was read may still have read low."
    if is_shell:
        yield "The area is that of a schematic hull, good to about 15 %; keel and chocks are not taken off."
    else:
        yield "Judged over the area between the places alone; beyond them nothing is known."


def _measured(strikes: Sequence[Point], panel: Ring) -> tuple[_Column, ...]:
    """Test points spread evenly over a panel, measured."""
    area = abs(area_m2([panel]))
    if area == 0:
        raise ValueError("The panel holds no area.")
    near = _near(strikes, area)
    return tuple(
        (station, levels, near.distances_m(station, levels))
        for station, levels in _net(panel, math.sqrt(area / _NET_POINTS))
    )


def _in_order(measured: Iterable[_Column]) -> list[float]:
    """All distances, from the least to the greatest."""
    return sorted(distance for _, _, distances in measured for distance in distances)


def _near(strikes: Sequence[Point], area: float) -> Nearest:
    """Strikes to measure from, few places being much further from one than their spacing."""
    return Nearest(strikes, 1.25 * math.sqrt(area / max(1, len(strikes))))


def _net(panel: Ring, step: float) -> Iterator[tuple[float, list[float]]]:
    """Middles of the squares of a net whose middle lies on the panel: stations, each with its levels."""
    left, right = min(x for x, _ in panel), max(x for x, _ in panel)
    columns = max(1, round((right - left) / step))
    width = (right - left) / columns
    stations = [left + (column + 0.5) * width for column in range(columns)]
    crossed: list[list[float]] = [[] for _ in stations]
    for (x1, y1), (x2, y2) in pairwise((*panel, panel[0])):
        first, last = (bisect_left(stations, end) for end in sorted((x1, x2)))
        for column in range(first, last):
            crossed[column].append(y1 + (stations[column] - x1) * (y2 - y1) / (x2 - x1))
    for column, (station, edges) in enumerate(zip(stations, crossed, strict=True)):
        # Each column starts elsewhere, so that no grid of strikes falls in step with the net.
        start = (column + 0.5) * _GOLDEN % 1
        edges.sort()
        for low, high in zip(edges[::2], edges[1::2], strict=True):
            rows = round((high - low) / step)
            yield station, [low + (row + start) * (high - low) / rows for row in range(rows)]


def _unseen(
    strikes: Sequence[Point], panel: Ring, measured: Iterable[_Column]
) -> tuple[float, Point]:
    """The greatest distance from a strike on the panel, its corners included, and where."""
    near = _near(strikes, abs(area_m2([panel])))
    furthest = [(near.distance_m(corner), corner) for corner in panel]
    for station, levels, distances in measured:
        if levels:
            distance, level = max(zip(distances, levels, strict=True))
            furthest.append((distance, (station, level)))
    return max(furthest)


def _quantile(ordered: Sequence[float], share: float) -> float:
    """The least value that a share of the ordered ones does not pass."""
    return ordered[min(len(ordered) - 1, math.ceil(share * len(ordered)) - 1)]


def _result_of_coverage(of: Coverage) -> Result:
    return Result(
        method="sounding.detectable_radius_m",
        what=f"smallest round patch met with 95 % probability, {zone_words((of.part, of.side, of.number))}, {of.how}",
        value=of.across_m,
        unit="m across",
        verdict="not comparable",
        used=of.used,
        uncertainty=of.uncertainty_m,
        place=Place(part=of.part, side=of.side, number=of.number),
        caveats=(of.said, *of.caveats),
    )


def _unplaced(survey: Survey, covered: Sequence[Coverage]) -> Iterator[Result]:
    """One result a zone whose soundings give no coverage, with the reason."""
    zones = {(each.part, each.side, each.number) for each in covered if each.how == "sounded"}
    left: dict[Zone, list[str]] = defaultdict(list)
    for entry in survey.of(Sounding):
        zone = zone_of(entry.body.place)
        if zone not in zones and entry.body.heard != "not sounded":
            left[zone].append(entry.id)
    for zone, used in left.items():
        part, side, number = zone
        yield Result(
            method="sounding.detectable_radius_m",
            what=f"smallest round patch met with 95 % probability, {zone_words(zone)}, sounded",
            value=None,
            unit="m across",
            verdict="cannot say",
            used=tuple(used),
            uncertainty_why="not computed",
            place=Place(part=part, side=side, number=number),
            caveats=(
                "Its soundings have no station and level, or lie in a line, so coverage cannot be worked out; note "
                "where each was struck.",
            ),
        )


# Patches


def _patches_of(
    zone: Zone, struck: Sequence[tuple[str, Sounding, Point]], hull: Hull | None
) -> Iterator[SoundedPatch]:
    points = [point for _, _, point in struck]
    spacing = min(spacing_m(points), SPACING_MOST_M) if len(points) > 1 else _LONE_SPACING_M
    doubtful = [each for each in struck if each[1].heard in ("dull", "hollow")]
    clear = [point for _, sounding, point in struck if sounding.heard == "sound"]
    for together in groups([point for _, _, point in doubtful], LINK * spacing):
        found = [doubtful[each] for each in together]
        inside = [point for _, _, point in found]
        rings = outline(inside, clear, REACH * spacing, levels_of(zone, hull))
        yield SoundedPatch(
            part=zone[0],
            side=zone[1],
            number=zone[2],
            dull=sum(sounding.heard == "dull" for _, sounding, _ in found),
            hollow=sum(sounding.heard == "hollow" for _, sounding, _ in found),
            rings=rings,
            area_m2=area_m2(rings),
            stations_m=(min(x for x, _ in inside), max(x for x, _ in inside)),
            levels_m=(min(y for _, y in inside), max(y for _, y in inside)),
            used=tuple(each for each, _, _ in found),
        )


def _result_of_patch(of: SoundedPatch) -> Result:
    criterion = criteria()["sounding-not-sound"]
    heard = " and ".join(
        f"{count} {word}" for count, word in ((of.hollow, "hollow"), (of.dull, "dull")) if count
    )
    return Result(
        method="patch.outlined_area_m2",
        what=(
            f"patch heard otherwise than sound, {zone_words((of.part, of.side, of.number))}: "
            f"{'one blow alone, ' if of.is_lone else ''}{heard}, its edge taken halfway to the places beside it"
        ),
        value=of.area_m2,
        unit="m²",
        verdict=verdict_of(of.area_m2, None, criterion),
        used=of.used,
        uncertainty_why="the edge lies somewhere between neighbouring soundings",
        criterion=criterion,
        place=Place(
            part=of.part,
            side=of.side,
            number=of.number,
            station_m=round(sum(of.stations_m) / 2, 2),
            level_m=round(sum(of.levels_m) / 2, 2),
        ),
        caveats=(
            f"Stations {of.stations_m[0]:.1f} to {of.stations_m[1]:.1f} m, {levels_words(of.levels_m)}.",
            EDGE,
        ),
    )
