"""Soundings and readings as coverage: what a patch must measure to have been struck, and what sounded otherwise.

Positions are metres along the unrolled skin, stations true and girths stretched out. Struck is not yet found: every
chance here is that of at least one blow inside the patch, an upper bound of the chance that it was noticed.
"""

import math
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Literal

from garboard.boat.hull import Hull
from garboard.catalogue.naming import capital
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
    about_m2,
    area_m2,
    groups,
    middle,
    neighbours,
    outline,
    outlined_m2,
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
from garboard.notebook.body import Heard, Place, Side, Sounding
from garboard.notebook.fold import Survey

How = Literal["sounded", "read with a moisture meter"]

CHANCE = 0.95

FEWEST = 10
"""With fewer blows in a zone nothing is said of its coverage: a working figure, set here.

Each of so few would have to speak for more than a tenth of the zone, and moving one would move the answer.
"""

FILLED_MOST = 0.5
"""Nor is anything said where the patch that is met would fill more of the zone than this: a working figure, set here.

It is then of the size of the zone itself, because the blows lie to one side or in a cluster.
"""

# How well a position on the hull is known, a working figure; the schematic hull's areas are rougher.
_U_POSITION_M = 0.05
_NET_POINTS = 20_000
_GOLDEN = (math.sqrt(5) - 1) / 2
_CURVE_STEPS = 60
_LONE_SPACING_M = 0.2
_ROUNDING_M = 1e-9
_LEAST_AREA_M2 = 0.01
_ZONES_KEPT = 64
_EXTENT = "How far it reaches was not found: sound around it."
_AGAIN = (
    "Heard otherwise by other blows at the same places, so no area can be drawn: sound there again."
)

# By zone and entry the places in it.
_Zones = Mapping[Zone, Mapping[str, Sequence[Point]]]
# A station, levels on it, and how far each of them lies from the nearest blow, m.
_Column = tuple[float, list[float], list[float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """How closely one zone was struck or read.

    `panel` is the outline it is judged over, the zone's share of the schematic shell where `is_shell`, else the
    area between the blows; `across_m` the smallest round patch struck with 95 % probability wherever it lay, with
    its standard uncertainty; `unseen_m` the largest round place without a blow, centred at `unseen_at`; `curve`
    pairs of a patch's size, m across, and its probability of being struck; `spacing_m` that of as many blows on an
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
class Uncovered:
    """A zone whose places do not say how closely it was struck or read, and why; `used` the ids of the entries."""

    part: str
    side: Side | None
    number: int | None
    how: How
    why: str
    used: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundedPatch:
    """Dull and hollow soundings that hang together, outlined in station and level, m.

    Neighbours of a grid hang together though it is wider one way than the other: no blow lies between them. One blow alone has no outline; nor have blows at places that were also heard sound.
    """

    part: str
    side: Side | None
    number: int | None
    dull: int
    hollow: int
    rings: tuple[Ring, ...]
    area_m2: float | None
    stations_m: tuple[float, float]
    levels_m: tuple[float, float]
    used: tuple[str, ...]

    @property
    def is_lone(self) -> bool:
        """Whether a single blow makes it, whose extent no other bears out."""
        return self.dull + self.hollow == 1

    @property
    def heard(self) -> str:
        """How many blows were heard how."""
        return heard_words(dull=self.dull, hollow=self.hollow)

    @property
    def said(self) -> str:
        """What was heard, how far and where, without its zone."""
        first, last = (f"{each:.1f}" for each in self.stations_m)
        at = f"station {first} m" if first == last else f"stations {first} to {last} m"
        if self.is_lone:
            return f"{self.heard}, {at}: one blow alone. {_EXTENT}"
        if self.area_m2 is None:
            return f"{self.heard}, {at}. {_AGAIN}"
        return f"{self.heard} over about {about_m2(self.area_m2):g} m², {at}."


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
    """Chance that at least one blow of a square grid falls in a round patch.

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
    source="area of the panel within the radius of a blow, by definition",
    standing="common practice",
    text="read",
)
def struck_share(strikes: Sequence[Point], panel: Ring, radius_m: float) -> float:
    """Share of the panel that lies within a radius of a blow.

    Args:
        strikes: Positions, m along the skin.
        panel: Outline of the area, m, three corners or more.
        radius_m: Radius of the patch, m; above 0.

    Returns:
        0 to 1; 0 without a blow.

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
    limits=(
        "As for the share of patches struck; 95 % is a convention. Not stated of a zone with fewer than 10 blows or readings, "
        "nor where the patch would fill more than half of it: both figures are the method's own."
    ),
    source="95 % quantile over the panel of the distance to the nearest blow, by definition",
    standing="common practice",
    text="read",
)
def detectable_radius_m(strikes: Sequence[Point], panel: Ring) -> float:
    """Radius of the smallest round patch that is struck with 95 % probability.

    Args:
        strikes: At least one position, m along the skin.
        panel: Outline of the area, m, three corners or more.

    Raises:
        ValueError: There is no blow, or the panel holds no area.

    >>> panel = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    >>> round(detectable_radius_m([(0.5, 0.5)], panel), 2)
    0.6
    """
    if not strikes:
        raise ValueError("Without a blow no patch is struck.")
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
    source="greatest distance to the nearest blow, by definition",
    standing="common practice",
    text="read",
)
def unseen_radius_m(strikes: Sequence[Point], panel: Ring) -> float:
    """Radius of the largest round patch centred on the panel that holds no blow.

    Args:
        strikes: At least one position, m along the skin.
        panel: Outline of the area, m, three corners or more.

    Raises:
        ValueError: There is no blow, or the panel holds no area.

    >>> panel = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    >>> round(unseen_radius_m([(0.0, 0.0)], panel), 3)
    1.414
    """
    if not strikes:
        raise ValueError("Without a blow no patch is struck.")
    return _unseen(strikes, panel, _measured(strikes, panel))[0]


@method(
    name="Blows not sound",
    what_for="What was heard otherwise than sound where a blow has no other of its kind beside it, and so no outline.",
    symbols={"heard": "what the hammer said at each place", "result": "blows"},
    limits="A count: it says that something differs there, not how far it reaches.",
    source="number of blows heard dull or hollow, by definition",
    standing="common practice",
    text="read",
)
def blows_not_sound(heard: Iterable[Heard]) -> int:
    """Number of blows that were heard dull or hollow.

    Args:
        heard: What the hammer said at each place.

    >>> blows_not_sound(["sound", "dull", "not sounded", "hollow"])
    2
    """
    return sum(each in ("dull", "hollow") for each in heard)


def heard_words(*, dull: int, hollow: int) -> str:
    """How many blows were heard otherwise than sound, and how.

    Args:
        dull: Blows, 0 or more.
        hollow: Blows, 0 or more.

    >>> heard_words(dull=1, hollow=3)
    '3 hollow and 1 dull'
    """
    counts = ((hollow, "hollow"), (dull, "dull"))
    return " and ".join(f"{count} {word}" for count, word in counts if count)


def coverages(survey: Survey) -> tuple[Coverage, ...]:
    """Coverage of each zone that was sounded, or read with a moisture meter, closely enough to say how closely."""
    return tuple(each for each in _covered(survey) if isinstance(each, Coverage))


def uncovered(survey: Survey) -> tuple[Uncovered, ...]:
    """The zones that were sounded, or read with a moisture meter, and not so that they say how closely."""
    return tuple(each for each in _covered(survey) if isinstance(each, Uncovered))


def coverage_of(survey: Survey, zone: Zone, how: How) -> Coverage | Uncovered | None:
    """Coverage of one zone, or why there is none; None where nothing was placed there at all.

    There is none where its places are too few or too much to one side, or lie in a line.

    Source:
        `FEWEST` and `FILLED_MOST`, working figures set here.
    """
    places = _placed(survey)[how].get(zone)
    return None if places is None else _coverage(zone, how, places, shell_of(survey))


def struck_at(survey: Survey, zone: Zone) -> tuple[Point, ...]:
    """The places of one zone that were struck, as far as they are known."""
    return tuple(point for each in _sounded(survey).get(zone, {}).values() for point in each)


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
    covered = tuple(_covered(survey))
    return (
        *(_result_of_coverage(each) for each in covered if isinstance(each, Coverage)),
        *(_result_of_patch(each) for each in patches(survey)),
        *(_result_of_uncovered(each) for each in covered if isinstance(each, Uncovered)),
    )


# Coverage


def _covered(survey: Survey) -> Iterator[Coverage | Uncovered]:
    hull = shell_of(survey)
    for how, zones in _placed(survey).items():
        for zone, places in zones.items():
            yield _coverage(zone, how, places, hull)


def _placed(survey: Survey) -> Mapping[How, _Zones]:
    return {"sounded": _sounded(survey), "read with a moisture meter": _metered(survey)}


def _sounded(survey: Survey) -> _Zones:
    """By zone and entry the places that were struck; an entry without station and level has none."""
    found: dict[Zone, dict[str, list[Point]]] = defaultdict(dict)
    for entry in survey.of(Sounding):
        point = point_of(entry.body.place)
        if entry.body.heard != "not sounded":
            found[zone_of(entry.body.place)][entry.id] = [point] if point else []
    return found


def _metered(survey: Survey) -> _Zones:
    """By zone and entry the places that were read with a moisture meter, the dry reference left out.

    What has no station and level is told beside the map of its set.
    """
    found: dict[Zone, dict[str, list[Point]]] = defaultdict(dict)
    for entry in survey.sets("moisture"):
        for each in entry.body.readings:
            point = point_of(each.place)
            if point and not each.reference:
                found[zone_of(each.place)].setdefault(entry.id, []).append(point)
    return found


def _coverage(
    zone: Zone, how: How, places: Mapping[str, Sequence[Point]], hull: Hull | None
) -> Coverage | Uncovered:
    strikes = tuple(point for each in places.values() for point in each)
    shell = panel_of(zone, hull)
    panel = shell or between(strikes)
    if len(strikes) < FEWEST or len(panel) < 3 or area_m2([panel]) < _LEAST_AREA_M2:
        return _uncovered(zone, how, places, hull)
    close = _closeness(strikes, panel)
    if close is None:
        return _uncovered(zone, how, places, hull)
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
        across_m=close.across_m,
        uncertainty_m=2 * _U_POSITION_M,
        unseen_m=close.unseen_m,
        unseen_at=close.unseen_at,
        curve=close.curve,
        spacing_m=math.sqrt(area / len(strikes)),
        said=(
            f"{capital(words)}: {how} at {len(strikes)} places over {area:.1f} m². A round patch "
            f"{close.across_m:.2f} m across, wherever it lay, would have held at least one of them with 95 % "
            f"probability; the largest place without one is {close.unseen_m:.2f} m across, near station "
            f"{close.unseen_at[0]:.1f} m."
        ),
        caveats=tuple(_caveats(shell is not None, how)),
        used=tuple(places),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Closeness:
    """How closely places lie over a panel: the fields of `Coverage` of these names."""

    across_m: float
    unseen_m: float
    unseen_at: Point
    curve: tuple[tuple[float, float], ...]


# One blow more changes one zone: the others are not measured again.
@lru_cache(maxsize=_ZONES_KEPT)
def _closeness(strikes: tuple[Point, ...], panel: Ring) -> _Closeness | None:
    """None where the places do not say it: too much to one side, or on a panel too narrow for the net."""
    measured = _measured(strikes, panel)
    distances = _in_order(measured)
    if not distances:
        return None
    across_m = 2 * _quantile(distances, CHANCE)
    if _filled(across_m, measured) > FILLED_MOST:
        return None
    unseen_m, unseen_at = _unseen(strikes, panel, measured)
    largest_m = 2 * unseen_m
    sizes = [largest_m * each / _CURVE_STEPS for each in range(_CURVE_STEPS + 1)]
    return _Closeness(
        across_m=across_m,
        unseen_m=largest_m,
        unseen_at=unseen_at,
        curve=tuple((size, bisect_right(distances, size / 2) / len(distances)) for size in sizes),
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


def _filled(across_m: float, measured: Iterable[_Column]) -> float:
    """Share of a panel that a round patch in the middle of it takes up."""
    net = [(station, level) for station, levels, _ in measured for level in levels]
    centre = middle(net)
    return sum(math.dist(each, centre) <= across_m / 2 for each in net) / len(net)


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
        # Each column starts elsewhere, so that no grid of blows falls in step with the net.
        start = (column + 0.5) * _GOLDEN % 1
        edges.sort()
        for low, high in zip(edges[::2], edges[1::2], strict=True):
            rows = round((high - low) / step)
            yield station, [low + (row + start) * (high - low) / rows for row in range(rows)]


def _unseen(
    strikes: Sequence[Point], panel: Ring, measured: Iterable[_Column]
) -> tuple[float, Point]:
    """The greatest distance from a blow on the panel, its corners included, and where."""
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


def _result_of_uncovered(of: Uncovered) -> Result:
    return Result(
        method="sounding.detectable_radius_m",
        what=_patch_met(of),
        value=None,
        unit="m across",
        verdict="cannot say",
        used=of.used,
        uncertainty_why="not computed",
        place=Place(part=of.part, side=of.side, number=of.number),
        caveats=(of.why,),
    )


def _patch_met(of: Coverage | Uncovered) -> str:
    zone = zone_words((of.part, of.side, of.number))
    return f"smallest round patch met with 95 % probability, {zone}, {of.how}"


def _result_of_coverage(of: Coverage) -> Result:
    return Result(
        method="sounding.detectable_radius_m",
        what=_patch_met(of),
        value=of.across_m,
        unit="m across",
        verdict="not comparable",
        used=of.used,
        uncertainty=of.uncertainty_m,
        place=Place(part=of.part, side=of.side, number=of.number),
        caveats=(of.said, *of.caveats),
    )


def _uncovered(
    zone: Zone, how: How, places: Mapping[str, Sequence[Point]], hull: Hull | None
) -> Uncovered:
    points = tuple(point for each in places.values() for point in each)
    return Uncovered(
        part=zone[0],
        side=zone[1],
        number=zone[2],
        how=how,
        why=_why_not(zone, how, len(points), hull),
        used=tuple(places),
    )


def _why_not(zone: Zone, how: How, places: int, hull: Hull | None) -> str:
    """Why the places of a zone do not say how closely it was covered; those without station and level do not count."""
    if not places:
        return "Its soundings have no station and level, so what they cover cannot be said; note where each was struck."
    shell = panel_of(zone, hull)
    over = f" in {area_m2([shell]):.1f} m²" if shell else ""
    thing = "blow" if how == "sounded" else "reading"
    count = f"1 {thing}" if places == 1 else f"{places} {thing}s"
    if places < FEWEST:
        return f"{count}{over}: too few to say what was covered."
    return f"{count}{over}, but in a line or too much to one side to say what was covered."


# Patches


def _patches_of(
    zone: Zone, struck: Sequence[tuple[str, Sounding, Point]], hull: Hull | None
) -> Iterator[SoundedPatch]:
    points = [point for _, _, point in struck]
    spacing = min(spacing_m(points), SPACING_MOST_M) if len(points) > 1 else _LONE_SPACING_M
    doubtful = [each for each in struck if each[1].heard in ("dull", "hollow")]
    clear = [point for _, sounding, point in struck if sounding.heard == "sound"]
    for together, gap in _hanging([point for _, _, point in doubtful], points, LINK * spacing):
        found = [doubtful[each] for each in together]
        inside = [point for _, _, point in found]
        is_lone = len(found) == 1
        reach = max(REACH * spacing, gap / 2)
        rings = () if is_lone else outline(inside, clear, reach, levels_of(zone, hull))
        yield SoundedPatch(
            part=zone[0],
            side=zone[1],
            number=zone[2],
            dull=sum(sounding.heard == "dull" for _, sounding, _ in found),
            hollow=sum(sounding.heard == "hollow" for _, sounding, _ in found),
            rings=rings,
            area_m2=outlined_m2(rings),
            stations_m=(min(x for x, _ in inside), max(x for x, _ in inside)),
            levels_m=(min(y for _, y in inside), max(y for _, y in inside)),
            used=tuple(each for each, _, _ in found),
        )


def _hanging(
    points: Sequence[Point], struck: Sequence[Point], link_m: float
) -> Iterator[tuple[list[int], float]]:
    """Points that hang together, by their index, with the widest gap across which some of them do, m, or 0.

    They are within `link_m` of each other, or up to a metre apart and nothing was struck between them: on a grid that
    is wider one way than the other, neighbours are neighbours both ways.
    """
    found = [(list(each), 0.0) for each in groups(points, link_m)]
    of = {index: at for at, (together, _) in enumerate(found) for index in together}
    near = enumerate(neighbours(points, SPACING_MOST_M + _ROUNDING_M))
    # The nearest first, so that the order of striking does not matter.
    apart = sorted(
        (math.dist(points[one], points[other]), one, other)
        for one, others in near
        for other in others
        if of[one] < of[other]
    )
    blows = Nearest(struck, link_m)
    for gap, one, other in apart:
        into, out_of = of[one], of[other]
        if into == out_of or _is_struck_between(points[one], points[other], blows):
            continue
        joined, _ = found[out_of]
        found[into] = ([*found[into][0], *joined], gap)
        found[out_of] = ([], 0.0)
        of |= dict.fromkeys(joined, into)
    return ((sorted(together), gap) for together, gap in found if together)


def _is_struck_between(one: Point, other: Point, near: Nearest) -> bool:
    """Whether a blow lies in the circle that has two others at its ends."""
    # The corners of a square lie on the circle, and not between.
    return near.distance_m(middle((one, other))) < math.dist(one, other) / 2 - _ROUNDING_M


def _result_of_patch(of: SoundedPatch) -> Result:
    zone = zone_words((of.part, of.side, of.number))
    place = Place(
        part=of.part,
        side=of.side,
        number=of.number,
        station_m=round(sum(of.stations_m) / 2, 2),
        level_m=round(sum(of.levels_m) / 2, 2),
    )
    stations = f"{of.stations_m[0]:.1f} to {of.stations_m[1]:.1f} m"
    if of.area_m2 is None:
        method_id, unit = "sounding.blows_not_sound", "blow" if of.is_lone else "blows"
        value = float(of.dull + of.hollow)
        why, criterion = "a count", criteria()["sounding-no-outline"]
        what = (
            f"one blow alone heard {'hollow' if of.hollow else 'dull'}, {zone}, station {of.stations_m[0]:.1f} m"
            if of.is_lone
            else f"{of.heard} at places also heard sound, {zone}, stations {stations}"
        )
        caveats: tuple[str, ...] = (_EXTENT if of.is_lone else _AGAIN,)
    else:
        method_id, unit = "patch.outlined_area_m2", "m²"
        value = about_m2(of.area_m2)
        why, criterion = (
            "the edge lies somewhere between neighbouring soundings",
            criteria()["sounding-not-sound"],
        )
        what = f"patch heard otherwise than sound, {zone}: {of.heard}, its edge taken halfway to the places beside it"
        caveats = (f"Stations {stations}, {levels_words(of.levels_m)}.", EDGE)
    return Result(
        method=method_id,
        what=what,
        value=value,
        unit=unit,
        verdict=verdict_of(value, None, criterion),
        used=of.used,
        uncertainty_why=why,
        criterion=criterion,
        place=place,
        caveats=caveats,
    )
