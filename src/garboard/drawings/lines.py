"""The lines of the schematic hull in the drafting habit: profile, plan, and the shell unrolled."""

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, cos, pi, sin

from garboard.boat.appendage import Appendage
from garboard.boat.hull import Hull
from garboard.drawings import svg
from garboard.drawings.sheet import Extent, Frame, ends_m

TONE = "#e4dfd4"
"""The one light tone: boot-top, and what was sounded."""

OUTLINE_MM = 0.35

_BOOT_TOP_DEPTH_M = 0.10


def _stations(hull: Hull) -> list[float]:
    """Stations for a fair line: closer together at the ends."""
    middle = hull.length_m / 2
    inner = [middle - middle * cos(pi * each / 96) for each in range(1, 96)]
    corners = {0.0, hull.waterline_at_m, hull.length_m - hull.rake_m, hull.length_m}
    return sorted(corners.union(inner))


def profile_lines(hull: Hull, frame: Frame) -> list[str]:
    """One side of the boat: outline, boot-top, chine or buttocks, and what stands on the canoe body."""
    stations = _stations(hull)
    outline = [frame.at(each, hull.sheer(each)) for each in stations]
    outline += [frame.at(each, hull.bottom(each)) for each in reversed(stations)]
    on_skin = ("tunnel",)
    return [
        *(_appendage(each, frame) for each in hull.appendages if each.kind not in on_skin),
        *(_mast(hull, frame, each) for each in hull.mast_at_m),
        svg.polygon(outline, fill=svg.PAPER, width_mm=0),
        _boot_top(hull, frame),
        *_chines_or_buttocks(hull, frame),
        *(_appendage(each, frame) for each in hull.appendages if each.kind in on_skin),
        _waterline(hull, frame),
        svg.polygon(outline, width_mm=OUTLINE_MM),
    ]


def _boot_top(hull: Hull, frame: Frame) -> str:
    """The band, cut off by stem and transom."""
    stations = [each for each in _stations(hull) if hull.bottom(each) < _band_top(hull, each)]
    edge = [frame.at(each, max(hull.boot_top(each), hull.bottom(each))) for each in stations]
    edge += [
        frame.at(each, min(_band_top(hull, each), hull.sheer(each))) for each in reversed(stations)
    ]
    return svg.polygon(edge, fill=TONE, width_mm=svg.FINE_MM)


def _band_top(hull: Hull, station_m: float) -> float:
    return hull.boot_top(station_m) + _BOOT_TOP_DEPTH_M


def _chines_or_buttocks(hull: Hull, frame: Frame) -> list[str]:
    stations = _stations(hull)
    if not hull.chines:
        runs = [_buttock(hull, share * hull.beam_m / 2) for share in (0.3, 0.6)]
        return [
            svg.polyline(
                [frame.at(*each) for each in run], width_mm=svg.HAIR_MM, colour=svg.HAIRLINE
            )
            for run in runs
        ]
    lines = []
    for row in range(1, hull.chines + 1):
        heights = [(each, hull.section(each)[row]) for each in stations]
        seen = [(each, height) for each, (half, height) in heights if half > 0]
        lines.append(svg.polyline([frame.at(*each) for each in seen]))
    return lines


def _buttock(hull: Hull, half_breadth_m: float) -> list[tuple[float, float]]:
    """Where an upright plane beside the centreline cuts the skin."""
    found = []
    for station in _stations(hull):
        for (y0, z0), (y1, z1) in pairwise(hull.section(station)):
            if y0 <= half_breadth_m < y1:
                found.append((station, z0 + (z1 - z0) * (half_breadth_m - y0) / (y1 - y0)))
                break
    return found


def _appendage(each: Appendage, frame: Frame) -> str:
    points = [frame.at(*at) for at in each.outline]
    if each.kind == "shaft":
        return svg.polyline(points, width_mm=OUTLINE_MM)
    fine = each.kind in ("propeller", "bracket", "tunnel", "leg")
    return svg.polygon(points, fill=svg.PAPER, width_mm=svg.FINE_MM if fine else svg.LINE_MM)


def _waterline(hull: Hull, frame: Frame) -> str:
    fore, aft = (frame.at(each, 0)[0] for each in ends_m(hull))
    y = frame.zero_mm[1]
    left, right = min(fore, aft) - 4.0, max(fore, aft) + 4.0
    return svg.line((left, y), (right, y), width_mm=svg.HAIR_MM, dash=svg.CHAIN) + svg.text(
        (left, y - 0.8), "WL", size_mm=svg.SMALL_MM, anchor="middle"
    )


def _mast(hull: Hull, frame: Frame, station_m: float) -> str:
    """The stump of a mast, broken off above the deck."""
    half, foot = 0.0075 * hull.length_m, hull.sheer(station_m) - 0.02
    head = foot + 1.0
    broken = [(-1.0, 0.0), (-0.25, 0.06), (0.25, -0.06), (1.0, 0.0)]
    outline = [
        (station_m - half, foot),
        *((station_m + half * along, head + up) for along, up in broken),
        (station_m + half, foot),
    ]
    return svg.polygon([frame.at(*each) for each in outline], fill=svg.PAPER, width_mm=svg.FINE_MM)


def plan_lines(hull: Hull, frame: Frame) -> list[str]:
    """The boat from above: her deck, with waterline and chine as seen through it."""
    stations = _stations(hull)
    afloat = [(each, half) for each in stations if (half := hull.waterline_half_breadth(each)) > 0]
    lines = [svg.polygon(_mirrored(afloat, frame), width_mm=svg.FINE_MM, dash=svg.DASHED)]
    if hull.chines == 1:
        chine = [(each, hull.section(each)[1][0]) for each in stations]
        lines += [
            svg.polyline([frame.at(x, side * y) for x, y in chine if y > 0], width_mm=svg.HAIR_MM)
            for side in (1, -1)
        ]
    return [*lines, *deck_lines(hull, frame)]


def deck_lines(hull: Hull, frame: Frame) -> list[str]:
    """The deck from above with its centreline and the feet of the masts."""
    fore, aft = ends_m(hull)
    ends = frame.at(fore - 0.3, 0), frame.at(aft + 0.3, 0)
    return [
        svg.polygon(deck_outline(hull, frame), width_mm=OUTLINE_MM),
        svg.line(*ends, width_mm=svg.HAIR_MM, dash=svg.CHAIN),
        *(_mast_foot(hull, frame, each) for each in hull.mast_at_m),
        *_transom_head(hull, frame),
    ]


def _transom_head(hull: Hull, frame: Frame) -> list[str]:
    """The after edge of the deck, where the transom rakes."""
    head = hull.length_m - hull.rake_m
    half = hull.deck_half_breadth(head)
    return [svg.line(frame.at(head, half), frame.at(head, -half))] if hull.rake_m else []


def deck_outline(hull: Hull, frame: Frame) -> list[svg.Point]:
    """The edge of the deck from above."""
    return _mirrored([(each, hull.deck_half_breadth(each)) for each in _stations(hull)], frame)


def _mirrored(line: Sequence[tuple[float, float]], frame: Frame) -> list[svg.Point]:
    return [frame.at(x, y) for x, y in line] + [frame.at(x, -y) for x, y in reversed(line)]


def _mast_foot(hull: Hull, frame: Frame, station_m: float) -> str:
    length, breadth = 0.0075 * hull.length_m, 0.005 * hull.length_m
    turns = [pi * each / 12 for each in range(24)]
    ring = [frame.at(station_m + length * cos(each), breadth * sin(each)) for each in turns]
    return svg.polygon(ring, fill=svg.PAPER, width_mm=svg.LINE_MM)


def shell_extent(hull: Hull) -> Extent:
    """What the unrolled shell of one side takes up."""
    reaches = [hull.reach(each) for each in _stations(hull)]
    return Extent(
        fore_m=0.0,
        aft_m=hull.length_m,
        low_m=min(each.foot_m for each in reaches),
        top_m=max(each.sheer_m for each in reaches),
    )


def shell_outline(hull: Hull) -> tuple[tuple[float, float], ...]:
    """The edge of the canoe body's skin on one side: stations and levels, sheer first, back along the keel."""
    stations = _stations(hull)
    reaches = [hull.reach(each) for each in stations]
    sheer = [(at, reach.sheer_m) for at, reach in zip(stations, reaches, strict=True)]
    keel = [(at, reach.keel_m) for at, reach in zip(stations, reaches, strict=True)]
    return (*sheer, *reversed(keel))


def shell_lines(hull: Hull, frame: Frame) -> list[str]:
    """The unrolled shell of one side: outline, keel and skeg hung below, boot-top, waterline, sections."""
    outline = [frame.at(*each) for each in shell_outline(hull)]
    whole_metres = range(1, ceil(hull.length_m))
    afloat = [
        frame.at(each, hull.shell_level((each, hull.waterline_half_breadth(each), 0.0)))
        for each in _stations(hull)
        if hull.bottom(each) <= 0
    ]
    painted = [each for each in _stations(hull) if hull.bottom(each) <= hull.boot_top(each)]
    return [
        *(svg.polygon(hung(hull, each, frame), width_mm=svg.FINE_MM) for each in hangs(hull)),
        *(
            svg.line(
                frame.at(each, hull.reach(each).keel_m),
                frame.at(each, hull.reach(each).sheer_m),
                width_mm=svg.HAIR_MM,
                colour="#cdc8bf",
            )
            for each in whole_metres
        ),
        svg.polyline(afloat, width_mm=svg.HAIR_MM, dash=svg.CHAIN),
        svg.line(frame.at(painted[0], 0), frame.at(painted[-1], 0), width_mm=svg.FINE_MM),
        *_unrolled_chines(hull, frame),
        svg.polygon(outline, width_mm=OUTLINE_MM),
    ]


def _unrolled_chines(hull: Hull, frame: Frame) -> list[str]:
    lines = []
    for row in range(1, hull.chines + 1):
        knuckles = [(each, *hull.section(each)[row]) for each in _stations(hull)]
        seen = [frame.at(each[0], hull.shell_level(each)) for each in knuckles if each[1] > 0]
        lines.append(svg.polyline(seen, width_mm=svg.HAIR_MM))
    return lines


def hangs(hull: Hull) -> tuple[Appendage, ...]:
    """What hangs from the centreline and has a skin of its own."""
    return tuple(
        each
        for each in hull.appendages
        if each.kind in ("keel", "bulb", "skeg", "rudder") and not each.offset_m
    )


def hung(hull: Hull, each: Appendage, frame: Frame) -> list[svg.Point]:
    """An outline below the centreline as it hangs from the unrolled skin."""
    points = []
    for station, height in each.outline:
        on_hull = min(max(station, 0.0), hull.length_m)
        level = hull.reach(on_hull).keel_m + height - hull.bottom(on_hull)
        points.append(frame.at(station, level))
    return points
