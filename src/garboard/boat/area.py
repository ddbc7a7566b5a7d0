"""Areas and volumes of any shape given as half sections, and of outlines.

A shape is a function from station to half a section: half-breadths and heights in m from the centreline
upward, the same number of points at every station. Nothing here knows where the sections come from.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from math import cos, pi, sqrt

Offset = tuple[float, float]
Point = tuple[float, float, float]
Sections = Callable[[float], Sequence[Offset]]


def skin_area_m2(
    sections: Sections,
    start_m: float,
    end_m: float,
    *,
    stations: int = 120,
) -> float:
    """Area of both sides of the skin between two stations, m²; end faces not counted.

    Args:
        sections: Half a section at a station, from the centreline upward; `clipped` for a part of it.
        start_m: First station, m.
        end_m: Last station, m; above the first.
        stations: How many strips; they lie closer towards the ends, where the skin turns.

    Source:
        Sum of the facets of a net laid on the skin, each half the vector product of its diagonals.
    """
    rows = [[(at, y, z) for y, z in sections(at)] for at in _stations(start_m, end_m, stations)]
    return 2 * sum(
        _facet_m2(a, b, c, d)
        for fore, aft in pairwise(rows)
        for (a, b), (c, d) in zip(pairwise(fore), pairwise(aft), strict=True)
    )


def volume_m3(
    sections: Sections,
    start_m: float,
    end_m: float,
    *,
    below_m: float = 0.0,
    stations: int = 120,
) -> float:
    """Volume below a height between two stations, both sides, m³.

    Source:
        Simpson's first rule over the areas of the sections, Euler's polygon formula in each.
    """
    count = stations + stations % 2
    step = (end_m - start_m) / count
    at = [start_m + step * each for each in range(count)] + [end_m]
    areas = [section_area_m2(sections(each), below_m=below_m) for each in at]
    return step / 3 * (areas[0] + areas[-1] + 4 * sum(areas[1:-1:2]) + 2 * sum(areas[2:-1:2]))


def section_area_m2(section: Sequence[Offset], *, below_m: float = 0.0) -> float:
    """Area of a whole section, both halves, below a height, m²."""
    half = clipped(section, float("-inf"), below_m)
    return 2 * enclosed_m2((*half, (0.0, half[-1][1])))


def enclosed_m2(outline: Iterable[Offset]) -> float:
    """Area inside an outline, m².

    >>> enclosed_m2([(0, 0), (2, 0), (2, 1), (0, 1)])
    2.0
    """
    points = tuple(outline)
    return abs(
        sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairwise((*points, *points[:1]))) / 2
    )


def clipped(section: Sequence[Offset], low_m: float, high_m: float) -> tuple[Offset, ...]:
    """The part of a rising section between two heights, with as many points: those outside lie on its ends."""
    foot, head = _reached(section, low_m), _reached(section, high_m)
    return tuple(
        foot if each[1] < low_m else head if each[1] > high_m else each for each in section
    )


def _reached(section: Sequence[Offset], height_m: float) -> Offset:
    """Where a section reaches a height, or its end on that hand."""
    if section[0][1] >= height_m:
        return section[0]
    for (y0, z0), (y1, z1) in pairwise(section):
        if z0 < height_m <= z1:
            share = (height_m - z0) / (z1 - z0)
            return (y0 + (y1 - y0) * share, height_m)
    return section[-1]


def _stations(start_m: float, end_m: float, count: int) -> list[float]:
    middle, half = (start_m + end_m) / 2, (end_m - start_m) / 2
    inner = [middle - half * cos(pi * each / count) for each in range(1, count)]
    return [start_m, *inner, end_m]


def _facet_m2(a: Point, b: Point, c: Point, d: Point) -> float:
    """Half the vector product of the diagonals from a to d and from b to c."""
    ux, uy, uz = d[0] - a[0], d[1] - a[1], d[2] - a[2]
    vx, vy, vz = c[0] - b[0], c[1] - b[1], c[2] - b[2]
    return sqrt((uy * vz - uz * vy) ** 2 + (uz * vx - ux * vz) ** 2 + (ux * vy - uy * vx) ** 2) / 2
