"""Patches on the unrolled skin: which places belong together, where such a patch ends, how large it is.

Positions are (station, level) in metres along the skin; a ring is a closed outline of them, counter-clockwise
round what it holds and clockwise round a hole.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise, repeat
from math import dist, hypot
from statistics import median

from garboard.methods.declaration import method

Point = tuple[float, float]
Ring = tuple[Point, ...]
_Edge = tuple[str, int, int]

SPACING_MOST_M = 1.0
"""A place speaks for the skin round it, but for a metre at most."""

LINK = 1.5
"""Places within so many spacings of each other hang together."""

REACH = math.sqrt(0.5)
"""How far a place speaks for the skin where no neighbour was read, in spacings: half a diagonal."""

EDGE = "The edge of an area is taken halfway to the places beside it that were found otherwise: reckoned, not measured."
"""Said wherever the area of a patch is."""

_STEPS_A_REACH = 10
_SPACING_LEAST_M = 0.05
_AREA_LEAST_M2 = 0.001
_ROUNDING_M = 1e-9
_EDGES = {
    1: ((0, 3),),
    2: ((1, 0),),
    3: ((1, 3),),
    4: ((2, 1),),
    6: ((2, 0),),
    7: ((2, 3),),
    8: ((3, 2),),
    9: ((0, 2),),
    11: ((1, 2),),
    12: ((3, 1),),
    13: ((0, 1),),
    14: ((3, 0),),
}
# Two opposite corners inside: joined where the middle of the square is inside too, else apart.
_JOINED = {5: ((0, 1), (2, 3)), 10: ((3, 0), (1, 2))}
_APART = {5: ((0, 3), (2, 1)), 10: ((1, 0), (3, 2))}


class Nearest:
    """Points in order of their stations, so that the nearest is found without asking them all."""

    def __init__(self, points: Sequence[Point], reach_m: float) -> None:
        """Put the points in order.

        Args:
            points: Any number of them.
            reach_m: About how far off the nearest is, m, above 0; a poor guess is slower, and as right.
        """
        self._points = sorted(points)
        self._stations = [x for x, _ in self._points]
        self._reach_m = reach_m

    def distance_m(self, to: Point) -> float:
        """Distance to the nearest point, m; infinite where there is none."""
        (distance,) = self._settled(
            to[0], lambda near: [min(map(dist, near, repeat(to)), default=math.inf)], math.inf
        )
        return distance

    def distances_m(
        self, station_m: float, levels_m: Sequence[float], up_to_m: float = math.inf
    ) -> list[float]:
        """Distance to the nearest point from each level at a station, m; infinite where there is none.

        Args:
            station_m: One station, m.
            levels_m: From the lowest to the highest, m.
            up_to_m: A distance beyond it, m, may come out too large.
        """
        return self._settled(
            station_m, lambda near: _distances_m(near, station_m, levels_m), up_to_m
        )

    def _settled(
        self,
        station_m: float,
        measured: Callable[[Sequence[Point]], list[float]],
        up_to_m: float,
    ) -> list[float]:
        """What is measured to the points about a station, taken wide enough that no other is nearer."""
        reach = min(self._reach_m, up_to_m)
        while True:
            first = bisect_left(self._stations, station_m - reach)
            last = bisect_right(self._stations, station_m + reach)
            distances = measured(self._points[first:last])
            furthest = min(max(distances, default=0.0), up_to_m)
            if furthest <= reach or last - first == len(self._points):
                return distances
            reach = min(furthest, 2 * reach)


def _distances_m(
    points: Sequence[Point], station_m: float, levels_m: Sequence[float]
) -> list[float]:
    """Distance to the nearest of some points from each level at a station, m.

    Along a station each point is the nearest over one stretch, or nowhere, and the stretches follow each other as
    the levels of their points do.
    """
    if not points:
        return [math.inf] * len(levels_m)
    lowest, *others = sorted([(y, abs(x - station_m)) for x, y in points])
    nearest, starts = [lowest], [-math.inf]
    for level, aside in others:
        below, its_aside = nearest[-1]
        if level == below:
            continue
        while (
            start := (below + level) / 2
            + (aside - its_aside) * (aside + its_aside) / (2 * (level - below))
        ) < starts[-1]:
            # The one below is overtaken before its own stretch begins.
            nearest.pop()
            starts.pop()
            below, its_aside = nearest[-1]
        nearest.append((level, aside))
        starts.append(start)
    ends = (*(bisect_left(levels_m, start) for start in starts), len(levels_m))
    return [
        hypot(aside, at - level)
        for (level, aside), (begin, end) in zip(nearest, pairwise(ends), strict=True)
        for at in levels_m[begin:end]
    ]


def spacing_m(points: Sequence[Point]) -> float:
    """Median distance of a point to its nearest neighbour, m; 0.05 or more.

    Args:
        points: At least two.

    Raises:
        ValueError: Fewer than two points.

    >>> spacing_m([(0, 0), (0.4, 0), (0.8, 0), (2, 0)])
    0.4
    """
    if len(points) < 2:
        raise ValueError(f"A spacing needs two places or more; {len(points)} given.")
    ordered = sorted(points)
    nearest = (_to_nearest_m(ordered, index) for index in range(len(ordered)))
    return max(median(nearest), _SPACING_LEAST_M)


def _to_nearest_m(ordered: Sequence[Point], index: int) -> float:
    """Distance from one point to the nearest other, m; the points are in order of their stations."""
    point, nearest = ordered[index], math.inf
    for away in (range(index + 1, len(ordered)), range(index - 1, -1, -1)):
        for other in away:
            if abs(ordered[other][0] - point[0]) > nearest:
                break
            nearest = min(nearest, dist(ordered[other], point))
    return nearest


def neighbours(points: Sequence[Point], link_m: float) -> tuple[tuple[int, ...], ...]:
    """By point those within `link_m` of it, itself among them, by their index.

    >>> neighbours([(0, 0), (0.3, 0), (2, 0)], 0.5)
    ((0, 1), (0, 1), (2,))
    """
    order = sorted(range(len(points)), key=lambda index: points[index])
    stations = [points[index][0] for index in order]
    # A little more than the link, so that rounding leaves nobody out.
    reach = link_m + _ROUNDING_M

    def near(point: Point) -> Iterator[int]:
        first = bisect_left(stations, point[0] - reach)
        last = bisect_right(stations, point[0] + reach)
        return (each for each in order[first:last] if dist(points[each], point) <= link_m)

    return tuple(tuple(sorted(near(point))) for point in points)


def groups(points: Sequence[Point], link_m: float) -> tuple[tuple[int, ...], ...]:
    """The points that hang together, each within `link_m` of another, by their index.

    >>> groups([(0, 0), (0.3, 0), (2, 0)], 0.5)
    ((0, 1), (2,))
    """
    near = neighbours(points, link_m)
    found: list[tuple[int, ...]] = []
    grouped: set[int] = set()
    for first in range(len(points)):
        if first in grouped:
            continue
        together, ahead = {first}, [first]
        while ahead:
            joining = set(near[ahead.pop()]) - together
            together |= joining
            ahead += joining
        grouped |= together
        found.append(tuple(sorted(together)))
    return tuple(found)


def outline(
    inside: Sequence[Point],
    outside: Sequence[Point],
    reach_m: float,
    levels: Callable[[float], tuple[float, float]] | None = None,
) -> tuple[Ring, ...]:
    """The edge of what lies nearer to the inside points than to the outside ones, and within reach of them.

    Args:
        inside: Places that belong to the patch.
        outside: Places that do not.
        reach_m: How far the patch is drawn beyond a place where nothing was read, m; above 0.
        levels: By station the lowest and highest level of the part; the patch does not pass them.

    Returns:
        Rings: round each patch, and round each hole in it. Found on a net of a tenth of the reach.

    >>> ring, = outline([(0.0, 0.0)], [(1.0, 0.0)], 0.4)
    >>> round(area_m2([ring]), 2)
    0.5
    """
    if not inside:
        return ()
    step = reach_m / _STEPS_A_REACH
    stations, own_levels = zip(*inside, strict=True)
    left, right = min(stations) - reach_m, max(stations) + reach_m
    lowest, highest = min(own_levels), max(own_levels)
    low, high = lowest - reach_m, highest + reach_m
    # A place further than twice the reach cannot cut the patch.
    close = [
        (x, y)
        for x, y in outside
        if left - reach_m <= x <= right + reach_m and low - reach_m <= y <= high + reach_m
    ]
    near_inside, near_outside = (Nearest(each, 2 * reach_m) for each in (inside, close))
    # One and a half steps more, so that the net is outside all round.
    left, low = left - 1.5 * step, low - 1.5 * step
    columns = math.ceil((right + 1.5 * step - left) / step) + 1
    rows = math.ceil((high + 1.5 * step - low) / step) + 1
    heights = [low + row * step for row in range(rows)]

    def depths_m(station: float) -> list[float]:
        withins = near_inside.distances_m(station, heights, 2 * reach_m)
        beyonds = near_outside.distances_m(station, heights, 2 * reach_m)
        depths = [
            reach_m - within if within + beyond > 2 * reach_m else (beyond - within) / 2
            for within, beyond in zip(withins, beyonds, strict=True)
        ]
        if levels:
            bottom, top = levels(station)
            # A patch holds its own places, even beyond a schematic edge.
            bottom, top = min(bottom, lowest), max(top, highest)
            depths = [
                min(depth, height - bottom, top - height)
                for depth, height in zip(depths, heights, strict=True)
            ]
        # On the edge itself the side is undecided; count it as outside.
        return [depth or -1e-12 for depth in depths]

    net = [depths_m(left + column * step) for column in range(columns)]
    depths = tuple(zip(*net, strict=True))
    return tuple(
        tuple((left + x * step, low + y * step) for x, y in ring) for ring in _rings(depths)
    )


@method(
    name="Outlined area",
    what_for="How large a patch of raised readings or hollow soundings is, as far as the places tell.",
    symbols={
        "inside": "places of the patch, m along the skin",
        "outside": "places that do not belong to it, m",
        "reach_m": "how far the patch is drawn where nothing was read, m",
        "result": "m²",
    },
    limits="The edge lies somewhere between a place of the patch and its neighbour; drawn half-way between them.",
    source="area nearer to a place of the patch than to any other place, by definition",
    standing="working figure",
    text="read",
)
def outlined_area_m2(inside: Sequence[Point], outside: Sequence[Point], reach_m: float) -> float:
    """Area of the skin that belongs to a patch.

    Args:
        inside: Places that belong to the patch, m along the skin.
        outside: Places that do not, m along the skin.
        reach_m: How far the patch is drawn beyond a place where nothing was read, m; above 0.

    >>> round(outlined_area_m2([(0, 0)], [(1, 0), (-1, 0), (0, 1), (0, -1)], 0.8), 1)
    1.0
    """
    return area_m2(outline(inside, outside, reach_m))


def area_m2(rings: Iterable[Ring]) -> float:
    """The area rings hold, holes taken off, m².

    >>> area_m2([((0, 0), (2, 0), (2, 1), (0, 1))])
    2.0
    """
    return sum(
        math.fsum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise((*ring, ring[0]))) / 2
        for ring in rings
    )


def outlined_m2(rings: Iterable[Ring]) -> float | None:
    """The area rings hold, m²; None where it is none to speak of, as where the same places were also found otherwise.

    >>> outlined_m2([((0, 0), (2, 0), (2, 1), (0, 1))]), outlined_m2([])
    (2.0, None)
    """
    held = area_m2(rings)
    return held if held >= _AREA_LEAST_M2 else None


def about_m2(area_m2: float) -> float:
    """An area as finely as the places bear it out: one digit, two where the first is a 1.

    A patch of ten places whose edge lies anywhere within half a spacing may be half as large, or half as large again.

    Args:
        area_m2: Of an outline whose edge is taken halfway between places, m²; above 0.

    >>> [about_m2(each) for each in (0.0897, 0.804, 1.34, 23.0)]
    [0.09, 0.8, 1.3, 20.0]
    """
    magnitude = math.floor(math.log10(area_m2))
    is_one = area_m2 < 1.95 * 10.0**magnitude
    return round(area_m2, (1 if is_one else 0) - magnitude)


def middle(points: Sequence[Point]) -> Point:
    """The mean position of points.

    >>> middle([(1, 0), (3, -1)])
    (2.0, -0.5)
    """
    count = len(points)
    return sum(x for x, _ in points) / count, sum(y for _, y in points) / count


def holds(ring: Ring, point: Point) -> bool:
    """The point lies inside the ring.

    >>> holds(((0, 0), (2, 0), (2, 1), (0, 1)), (1, 0.5))
    True
    """
    x, y = point
    odd = False
    for (x1, y1), (x2, y2) in pairwise((*ring, ring[0])):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
            odd = not odd
    return odd


def _rings(depths: Sequence[Sequence[float]]) -> Iterator[Ring]:
    """Rings of depth 0 through a net of depths that is outside all round, in steps of the net."""
    follows: dict[_Edge, _Edge] = {}
    is_inside = [[depth > 0 for depth in row] for row in depths]
    for row, (under, over) in enumerate(pairwise(is_inside)):
        corners = zip(under, under[1:], over[1:], over, strict=False)
        for column, (a, b, c, d) in enumerate(corners):
            if a == b == c == d:
                continue
            case = a + 2 * b + 4 * c + 8 * d
            edges = (
                ("-", column, row),
                ("|", column + 1, row),
                ("-", column, row + 1),
                ("|", column, row),
            )
            for start, end in _EDGES.get(case) or _undecided(case, row, column, depths):
                follows[edges[start]] = edges[end]
    while follows:
        first, edge = follows.popitem()
        ring = [_crossing(first, depths)]
        while edge != first:
            ring.append(_crossing(edge, depths))
            edge = follows.pop(edge)
        yield tuple(ring)


def _undecided(
    case: int, row: int, column: int, depths: Sequence[Sequence[float]]
) -> tuple[tuple[int, int], ...]:
    """The edges of a square with two opposite corners inside, by what its middle is."""
    under, over = depths[row], depths[row + 1]
    corners = under[column] + under[column + 1] + over[column + 1] + over[column]
    return (_JOINED if corners > 0 else _APART)[case]


def _crossing(edge: _Edge, depths: Sequence[Sequence[float]]) -> Point:
    """Where depth 0 lies on an edge of the net, one end of which is inside."""
    way, column, row = edge
    first = depths[row][column]
    second = depths[row][column + 1] if way == "-" else depths[row + 1][column]
    along = first / (first - second)
    return (column + along, float(row)) if way == "-" else (float(column), row + along)
