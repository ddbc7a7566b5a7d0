"""Patches on the unrolled skin: which places belong together, where such a patch ends, how large it is.

Positions are (station, level) in metres along the skin; a ring is a closed outline of them, counter-clockwise
round what it holds and clockwise round a hole.
"""

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise
from math import dist
from statistics import median

from garboard.methods.declaration import method

Point = tuple[float, float]
Ring = tuple[Point, ...]

SPACING_MOST_M = 1.0
"""A place speaks for the skin round it, but for a metre at most."""

LINK = 1.5
"""Places within so many spacings of each other hang together."""

REACH = math.sqrt(0.5)
"""How far a place speaks for the skin where no neighbour was read, in spacings: half a diagonal."""

_STEPS_A_REACH = 10
_SPACING_LEAST_M = 0.05
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
    """Points in square buckets, each bucket remembering which points can be nearest to somewhere in it."""

    def __init__(self, points: Sequence[Point], bucket_m: float) -> None:
        self._bucket_m = bucket_m
        self._buckets: dict[tuple[int, int], list[Point]] = defaultdict(list)
        self._candidates: dict[tuple[int, int], list[Point]] = {}
        for point in points:
            self._buckets[self._key(point)].append(point)
        self._sides = [(min(each), max(each)) for each in zip(*self._buckets, strict=True)]

    def distance_m(self, to: Point) -> float:
        """Distance to the nearest point, m; infinite where there is none."""
        key = self._key(to)
        if key not in self._candidates:
            self._candidates[key] = self._near(*key)
        return min((dist(point, to) for point in self._candidates[key]), default=math.inf)

    def _key(self, point: Point) -> tuple[int, int]:
        return math.floor(point[0] / self._bucket_m), math.floor(point[1] / self._bucket_m)

    def _near(self, column: int, row: int) -> list[Point]:
        """The points that are nearest to some place in a bucket, and a few more."""
        if not self._buckets:
            return []
        centre = ((column + 0.5) * self._bucket_m, (row + 0.5) * self._bucket_m)
        diagonal = math.sqrt(2) * self._bucket_m
        away = [
            (max(low - at, at - high, 0), max(high - at, at - low))
            for at, (low, high) in zip((column, row), self._sides, strict=True)
        ]
        found: list[tuple[float, Point]] = []
        best = math.inf
        for ring in range(max(near for near, _ in away), max(far for _, far in away) + 1):
            if (ring - 0.5) * self._bucket_m > best + diagonal:
                break
            for key in _square(column, row, ring):
                found += ((dist(point, centre), point) for point in self._buckets.get(key, ()))
            best = min((distance for distance, _ in found), default=math.inf)
        return [point for distance, point in found if distance <= best + diagonal]


def _square(column: int, row: int, ring: int) -> Iterator[tuple[int, int]]:
    if ring == 0:
        yield column, row
        return
    for step in range(-ring, ring):
        yield column + step, row - ring
        yield column + ring, row + step
        yield column - step, row + ring
        yield column - ring, row - step


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
    nearest = [
        min(dist(point, other) for at, other in enumerate(points) if at != index)
        for index, point in enumerate(points)
    ]
    return max(median(nearest), _SPACING_LEAST_M)


def groups(points: Sequence[Point], link_m: float) -> tuple[tuple[int, ...], ...]:
    """The points that hang together, each within `link_m` of another, by their index.

    >>> groups([(0, 0), (0.3, 0), (2, 0)], 0.5)
    ((0, 1), (2,))
    """
    left = set(range(len(points)))
    found = []
    while left:
        ahead = [min(left)]
        left.discard(ahead[0])
        together = []
        while ahead:
            index = ahead.pop()
            together.append(index)
            near = {each for each in left if dist(points[index], points[each]) <= link_m}
            left -= near
            ahead += near
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
    left, right = min(x for x, _ in inside) - reach_m, max(x for x, _ in inside) + reach_m
    low, high = min(y for _, y in inside) - reach_m, max(y for _, y in inside) + reach_m
    # A place further than twice the reach cannot cut the patch.
    close = [
        (x, y)
        for x, y in outside
        if left - reach_m <= x <= right + reach_m and low - reach_m <= y <= high + reach_m
    ]
    near_inside, near_outside = Nearest(inside, reach_m), Nearest(close, reach_m)

    def depth_m(point: Point, span: tuple[float, float]) -> float:
        within = near_inside.distance_m(point)
        if within > 2 * reach_m:
            return -reach_m
        beyond = near_outside.distance_m(point)
        depth = min(reach_m - within, (beyond - within) / 2, point[1] - span[0], span[1] - point[1])
        # On the edge itself the side is undecided; count it as outside.
        return depth or -1e-12

    # One and a half steps more, so that the net is outside all round.
    left, low = left - 1.5 * step, low - 1.5 * step
    columns = math.ceil((right + 1.5 * step - left) / step) + 1
    rows = math.ceil((high + 1.5 * step - low) / step) + 1
    stations = [left + column * step for column in range(columns)]
    spans = [_span(levels, station, inside) for station in stations]
    depths = [
        [
            depth_m((station, low + row * step), span)
            for station, span in zip(stations, spans, strict=True)
        ]
        for row in range(rows)
    ]
    return tuple(
        tuple((left + x * step, low + y * step) for x, y in ring) for ring in _rings(depths)
    )


def _span(
    levels: Callable[[float], tuple[float, float]] | None, station_m: float, inside: Sequence[Point]
) -> tuple[float, float]:
    """The levels a patch may reach at a station: the part's, and those of its own places beyond a schematic edge."""
    if levels is None:
        return -math.inf, math.inf
    low, high = levels(station_m)
    return min(low, *(y for _, y in inside)), max(high, *(y for _, y in inside))


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
    follows: dict[tuple[str, int, int], tuple[str, int, int]] = {}
    places: dict[tuple[str, int, int], Point] = {}
    for row, (under, over) in enumerate(pairwise(depths)):
        for column in range(len(under) - 1):
            corners = (under[column], under[column + 1], over[column + 1], over[column])
            case = sum(1 << bit for bit, depth in enumerate(corners) if depth > 0)
            if case in (0, 15):
                continue
            edges = (
                ("-", column, row),
                ("|", column + 1, row),
                ("-", column, row + 1),
                ("|", column, row),
            )
            table = _EDGES if case in _EDGES else _JOINED if sum(corners) > 0 else _APART
            for start, end in table[case]:
                follows[edges[start]] = edges[end]
            places.update((each, _crossing(each, depths)) for each in edges)
    while follows:
        first, edge = follows.popitem()
        ring = [places[first]]
        while edge != first:
            ring.append(places[edge])
            edge = follows.pop(edge)
        yield tuple(ring)


def _crossing(edge: tuple[str, int, int], depths: Sequence[Sequence[float]]) -> Point:
    way, column, row = edge
    first = depths[row][column]
    second = depths[row][column + 1] if way == "-" else depths[row + 1][column]
    along = first / (first - second) if (first > 0) != (second > 0) else 0.5
    return (column + along, float(row)) if way == "-" else (float(column), row + along)
