"""Measures of the schematic hull: areas for paint and for counting readings, distances along the skin."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist

from garboard.boat.area import Offset, Point, clipped, section_area_m2, skin_area_m2
from garboard.boat.hull import Hull
from garboard.notebook.body import Place

_FACING = 1.02


def distance_along_skin_m(hull: Hull, first: Place, second: Place) -> float:
    """Distance between two places as a tape laid on the skin would show it, m.

    The tape is laid evenly in station and level, which is within a few per cent of the shortest way. From one
    side to the other it goes under the centreline, as though no keel stood between.

    Raises:
        ValueError: A place has no station and level, or is not on the hull.
    """
    start, end = (hull.point_of(each) for each in (first, second))
    levels = [hull.shell_level(each) for each in (start, end)]
    stations = _between(start[0], end[0])
    if start[1] * end[1] >= 0:
        return _laid(
            [hull.nearest_point(*each) for each in zip(stations, _between(*levels), strict=True)]
        )
    girths = [
        level - hull.reach(at[0]).keel_m for at, level in zip((start, end), levels, strict=True)
    ]
    under = _between(girths[0], -girths[1])
    return _laid(
        [
            hull.nearest_point(
                station,
                hull.reach(station).keel_m + abs(girth),
                "port" if girth < 0 else "starboard",
            )
            for station, girth in zip(stations, under, strict=True)
        ]
    )


def _between(first: float, last: float) -> list[float]:
    return [first + (last - first) * each / 64 for each in range(65)]


def _laid(points: Sequence[Point]) -> float:
    return sum(dist(a, b) for a, b in pairwise(points))


@dataclass(frozen=True, slots=True, kw_only=True)
class Areas:
    """Areas of the schematic hull, both sides, m².

    `underwater_m2` is canoe body, immersed transom and appendages below the waterline; `antifouled_m2` the
    same up to the lower edge of the boot-top; `topsides_m2` from there to the sheer with the transom;
    `within` is the share by which a real boat may differ, a working figure.
    """

    canoe_body_m2: float
    appendages_m2: float
    underwater_m2: float
    antifouled_m2: float
    topsides_m2: float
    deck_m2: float
    within: float


def areas(hull: Hull) -> Areas:
    """Areas of the skin, the appendages, the topsides and the deck.

    Limits:
        For paint and for counting readings; no drag calculation. Cockpit and houses are part of the deck.

    Source:
        Facets of the schematic skin; appendages as twice 1.02 times their outline. Within 15 %, hard-chine
        motor boats 25 %: working figures.
    """

    def skin_m2(top: Callable[[float], float]) -> float:
        def up_to(station_m: float) -> tuple[Offset, ...]:
            return clipped(hull.section(station_m), float("-inf"), top(station_m))

        return skin_area_m2(up_to, 0.0, hull.length_m, stations=60)

    aft = hull.length_m
    wet, painted, whole = skin_m2(lambda _: 0.0), skin_m2(hull.boot_top), skin_m2(hull.sheer)
    appendages = (
        2
        * _FACING
        * sum(
            each.lateral_area_m2
            for each in hull.appendages
            if each.kind in ("keel", "bulb", "skeg", "rudder", "leg")
        )
    )
    wet_transom, painted_transom, whole_transom = (
        section_area_m2(hull.section(aft), below_m=each)
        for each in (0.0, hull.boot_top(aft), hull.sheer(aft))
    )
    return Areas(
        canoe_body_m2=wet,
        appendages_m2=appendages,
        underwater_m2=wet + wet_transom + appendages,
        antifouled_m2=painted + painted_transom + appendages,
        topsides_m2=whole - painted + whole_transom - painted_transom,
        deck_m2=_deck_m2(hull),
        within=0.25 if hull.chines else 0.15,
    )


def _deck_m2(hull: Hull) -> float:
    steps = [hull.length_m * each / 60 for each in range(61)]
    return sum(
        (b - a) * (hull.deck_half_breadth(a) + hull.deck_half_breadth(b))
        for a, b in pairwise(steps)
    )
