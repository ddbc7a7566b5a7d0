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
        Sum of the triangles of a net laid on the skin; from below exact for flat and straight-sided shapes.
    """
    total = 0.0
    rows = [[(at, y, z) for y, z in sections(at)] for at in _stations(start_m, end_m, stations)]
    for fore, aft in pairwise(rows):
        for (a, b), (c, d) in zip(pairwise(fore), pairwise(aft), strict=True):
            total += (
                _triangle(a, b, c) + _triangle(b, d, c) + _triangle(a, b, d) + _triangle(a, d, c)
            ) / 2
    return 2 * total


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
    areas = [
        section_area_m2(sections(start_m + step * each), below_m=below_m)
        for each in range(count + 1)
    ]
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
    """The part of a section between two heights, with as many points: those outside lie on its ends."""
    return tuple(_held(section, each, low_m, high_m) for each in range(len(section)))


def _held(section: Sequence[Offset], index: int, low_m: float, high_m: float) -> Offset:
    height = section[index][1]
    if low_m <= height <= high_m:
        return section[index]
    bound = low_m if height < low_m else high_m
    steps = range(index, len(section)) if height < low_m else range(index, -1, -1)
    for a, b in pairwise(steps):
        (y0, z0), (y1, z1) = section[a], section[b]
        if (z0 - bound) * (z1 - bound) <= 0 and z0 != z1:
            share = (bound - z0) / (z1 - z0)
            return (y0 + (y1 - y0) * share, bound)
    return section[steps[-1]]


def _stations(start_m: float, end_m: float, count: int) -> list[float]:
    middle, half = (start_m + end_m) / 2, (end_m - start_m) / 2
    inner = [middle - half * cos(pi * each / count) for each in range(1, count)]
    return [start_m, *inner, end_m]


def _triangle(a: Point, b: Point, c: Point) -> float:
    (ux, uy, uz), (vx, vy, vz) = (
        tuple(q - p for p, q in zip(a, each, strict=True)) for each in (b, c)
    )
    return sqrt((uy * vz - uz * vy) ** 2 + (uz * vx - ux * vz) ** 2 + (ux * vy - uy * vx) ** 2) / 2
