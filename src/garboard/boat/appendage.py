"""Outlines of what stands on the canoe body: keel, skeg, rudder, propeller and shaft, tunnel.

They are for drawing, and for areas within about a sixth; what stands where is customary, not measured.

Source:
    Proportions are common practice: root of a fin 0.16 to 0.20 of the waterline, its leading edge 0.38 to 0.42
    aft of the fore end, its tip 0.6 to 0.7 of the root.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, pi, sin
from typing import TYPE_CHECKING, Literal

from garboard.boat.area import enclosed_m2
from garboard.notebook.body import Drive, Keel, Rudder

if TYPE_CHECKING:
    from garboard.boat.hull import Hull

Profile = tuple[float, float]
Kind = Literal["keel", "bulb", "skeg", "rudder", "shaft", "bracket", "propeller", "leg", "tunnel"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Appendage:
    """Something on the canoe body, by its outline in profile: stations and heights, m.

    `offset_m` is its distance from the centreline, where one stands on either side; 0 is on the centreline.
    `thickness` is its greatest thickness as a share of its mean chord, 0 where it displaces next to nothing.
    """

    kind: Kind
    outline: tuple[Profile, ...]
    offset_m: float = 0.0
    thickness: float = 0.0

    @property
    def lateral_area_m2(self) -> float:
        """The area of the outline, all of them together, m²."""
        return (2 if self.offset_m else 1) * enclosed_m2(self.outline)

    @property
    def volume_m3(self) -> float:
        """What they displace: a streamlined section fills 0.68 of its box, m³ (common practice)."""
        heights = [height for _, height in self.outline]
        chord = enclosed_m2(self.outline) / max(max(heights) - min(heights), 1e-9)
        return self.lateral_area_m2 * chord * self.thickness * 0.68

    def heights_at(self, station_m: float) -> tuple[float, ...]:
        """Heights at which the outline crosses a station, m."""
        found = []
        for (x0, z0), (x1, z1) in pairwise((*self.outline, self.outline[0])):
            if x0 != x1 and min(x0, x1) <= station_m <= max(x0, x1):
                found.append(z0 + (z1 - z0) * (station_m - x0) / (x1 - x0))
        return tuple(found)


def keels(hull: "Hull", keel: Keel) -> tuple[Appendage, ...]:
    """The keel of a hull, lowered where it can be."""
    match keel:
        case "bolted-iron" | "bolted-lead":
            return (_foil(hull, "keel", at=0.39, root=0.19, tip=0.66, rake=0.26),)
        case "encapsulated":
            return (_foil(hull, "keel", at=0.35, root=0.28, tip=0.62, rake=0.45),)
        case "twin":
            offset = hull.beam_m * 0.2
            return (_foil(hull, "keel", at=0.41, root=0.15, tip=0.75, rake=0.22, offset_m=offset),)
        case "lifting" | "centreboard":
            return (_foil(hull, "keel", at=0.42, root=0.09, tip=0.75, rake=0.35),)
        case "bulb-on-foil":
            return _bulb_on_foil(hull)
        case "long":
            return (_long_keel(hull),)
        case "none":
            return ()


def shallow_keel(hull: "Hull") -> Appendage:
    """The shallow keel of a motor boat, down to her draught."""
    foot = -hull.draught_m
    start, end = _at(hull, 0.30), _at(hull, 0.78)
    lower = ((_at(hull, 0.745), foot), (_at(hull, 0.40), foot))
    return Appendage(kind="keel", outline=(*_root(hull, start, end), *lower), thickness=0.03)


def rudders(hull: "Hull", rudder: Rudder) -> tuple[Appendage, ...]:
    """Rudder and skeg of a sailing boat."""
    depth = -hull.draught_m
    match rudder:
        case "spade":
            return (_spade(hull, 0.82 * depth, 0.0),)
        case "twin":
            return (_spade(hull, 0.62 * depth, hull.beam_m * 0.2),)
        case "full-skeg":
            return _on_skeg(hull, 0.80 * depth, 0.80 * depth)
        case "part-skeg":
            return _on_skeg(hull, 0.44 * depth, 0.80 * depth)
        case "transom":
            return (_on_transom(hull, 0.78 * depth),)
        case "keel-hung":
            return (_keel_hung(hull),)


def motor_rudders(hull: "Hull", offset_m: float) -> Appendage:
    """A rudder behind each propeller of a motor boat: together 4.5 % of length by draught (common practice)."""
    stock = _at(hull, 0.945)
    top, foot = hull.bottom(stock) - 0.02, -hull.draught_m + 0.03
    height = max(top - foot, 0.15)
    chord = 0.045 * hull.waterline_m * hull.draught_m / (2 if offset_m else 1) / height
    fore, aft = stock - 0.25 * chord, min(stock + 0.75 * chord, hull.length_m)
    outline = (
        (fore, hull.bottom(fore) - 0.02),
        (aft, hull.bottom(aft) - 0.02),
        (aft - 0.06 * chord, foot),
        (fore, foot),
    )
    return Appendage(kind="rudder", outline=outline, offset_m=offset_m, thickness=0.08)


def drives(
    hull: "Hull", drive: Drive, *, offset_m: float, hub: float, aperture: bool
) -> tuple[Appendage, ...]:
    """Propeller, shaft and bracket, or the leg that carries the propeller.

    Args:
        hull: The canoe body.
        drive: How the propeller is driven.
        offset_m: Distance from the centreline, m; 0 for a single propeller.
        hub: Where the propeller of a shaft turns, as a share of the waterline.
        aperture: It turns between a long keel and its rudder instead.
    """
    match drive:
        case "shaft":
            return (_propeller(hull, 0.905, 0.55),) if aperture else _shaft(hull, hub, offset_m)
        case "saildrive":
            return _leg(hull, _at(hull, 0.66), offset_m)
        case "pod":
            return _leg(hull, _at(hull, 0.88), offset_m)
        case "sterndrive":
            return _leg(hull, None, offset_m, head=0.4)
        case "outboard":
            return _leg(hull, None, offset_m, head=1.3)
        case "jet":
            return ()


def tunnel(hull: "Hull") -> Appendage:
    """A thruster's tunnel in the forefoot, where the hull is first deep enough for it."""
    radius = 0.0105 * hull.waterline_m
    along = next(
        (each / 100 for each in range(6, 30) if -hull.bottom(_at(hull, each / 100)) > 4.2 * radius),
        0.3,
    )
    station = _at(hull, along)
    return Appendage(
        kind="tunnel",
        outline=_ellipse((station, hull.bottom(station) + 1.9 * radius), radius, radius),
    )


def _at(hull: "Hull", share: float) -> float:
    return hull.waterline_at_m + share * hull.waterline_m


def _root(hull: "Hull", start_m: float, end_m: float) -> tuple[Profile, ...]:
    """The bottom of the canoe body between two stations."""
    steps = (start_m + (end_m - start_m) * each / 16 for each in range(17))
    return tuple((each, hull.bottom(each)) for each in steps)


def _foil(
    hull: "Hull",
    kind: Kind,
    *,
    at: float,
    root: float,
    tip: float,
    rake: float,
    offset_m: float = 0.0,
) -> Appendage:
    """A fin down to the draught; `rake` is the lean of its leading edge, aft over down."""
    start, chord, foot = _at(hull, at), root * hull.waterline_m, -hull.draught_m
    span = hull.bottom(start + chord / 2) - foot
    lead, low = start + rake * span, tip * chord
    lower = (
        (lead + low, foot),
        (lead + 0.10 * low, foot),
        (lead + 0.03 * low, foot + 0.02 * span),
        (lead, foot + 0.07 * span),
    )
    return Appendage(
        kind=kind,
        outline=(*_root(hull, start, start + chord), *lower),
        offset_m=offset_m,
        thickness=0.12,
    )


def _bulb_on_foil(hull: "Hull") -> tuple[Appendage, ...]:
    foil = _foil(hull, "keel", at=0.43, root=0.085, tip=0.85, rake=0.06)
    length, thick = 0.2 * hull.waterline_m, 0.016 * hull.waterline_m
    middle = (_at(hull, 0.43) + 0.06 * hull.waterline_m, -hull.draught_m + thick)
    bulb = Appendage(kind="bulb", outline=_ellipse(middle, length / 2, thick), thickness=0.15)
    return (foil, bulb)


def _long_keel(hull: "Hull") -> Appendage:
    """A keel that grows out of the forefoot and runs level from amidships to the heel of the sternpost."""
    foot = -hull.draught_m
    start, level, end = _at(hull, 0.20), _at(hull, 0.60), _at(hull, 0.945)
    forefoot = []
    for each in range(15, 0, -1):
        share = each / 16
        station = start + (level - start) * share
        bottom = hull.bottom(station)
        forefoot.append((station, bottom + (foot - bottom) * share**1.6))
    lower = ((_at(hull, 0.87), foot), (level, foot), *forefoot)
    return Appendage(kind="keel", outline=(*_root(hull, start, end), *lower), thickness=0.035)


def _keel_hung(hull: "Hull") -> Appendage:
    """A blade along the after edge of a long keel."""
    head, heel, chord = _at(hull, 0.945), _at(hull, 0.87), 0.07 * hull.waterline_m
    foot = -hull.draught_m
    outline = (
        (head, hull.bottom(head)),
        (
            min(head + 0.6 * chord, hull.length_m),
            hull.bottom(min(head + 0.6 * chord, hull.length_m)),
        ),
        (heel + 1.45 * chord, 0.6 * foot),
        (heel + chord, 0.97 * foot),
        (heel, foot),
    )
    return Appendage(kind="rudder", outline=outline, thickness=0.06)


def _spade(hull: "Hull", foot: float, offset_m: float) -> Appendage:
    stock, chord = _at(hull, 0.925), 0.064 * hull.waterline_m
    fore, aft = stock - 0.22 * chord, stock + 0.78 * chord
    outline = (
        (fore, hull.bottom(fore) - 0.02),
        (aft, hull.bottom(aft) - 0.02),
        (aft - 0.12 * chord, foot + 0.03 * chord),
        (aft - 0.18 * chord, foot),
        (fore + 0.22 * chord, foot),
        (fore + 0.12 * chord, foot + 0.08 * chord),
    )
    return Appendage(kind="rudder", outline=outline, offset_m=offset_m, thickness=0.12)


def _on_skeg(hull: "Hull", skeg_foot: float, foot: float) -> tuple[Appendage, Appendage]:
    """A skeg and the blade behind it; below a skeg that ends early the blade reaches forward."""
    stock, chord = _at(hull, 0.915), 0.062 * hull.waterline_m
    start, heel = _at(hull, 0.795), stock - 0.042 * hull.waterline_m
    skeg = (*_root(hull, start, stock), (stock, skeg_foot), (heel, skeg_foot))
    aft = min(stock + chord, hull.length_m)
    blade = [
        (stock, hull.bottom(stock)),
        (stock + 0.55 * (aft - stock), hull.bottom(stock + 0.55 * (aft - stock))),
        (aft, hull.bottom(aft) + 0.18 * foot),
        (stock + 0.86 * chord, foot + 0.06 * chord),
        (stock + 0.76 * chord, foot),
        (stock, foot),
    ]
    if skeg_foot > foot:
        horn = stock - 0.22 * chord
        blade[-1:] = [
            (horn + 0.06 * chord, foot),
            (horn, skeg_foot - 0.03),
            (stock, skeg_foot - 0.03),
        ]
    return (
        Appendage(kind="skeg", outline=skeg, thickness=0.08),
        Appendage(kind="rudder", outline=tuple(blade), thickness=0.1),
    )


def _on_transom(hull: "Hull", foot: float) -> Appendage:
    chord, aft = 0.055 * hull.waterline_m, hull.length_m
    head = 0.55 * hull.sheer(aft)
    outline = (
        (aft, head),
        (aft + 0.5 * chord, head),
        (aft + chord, 0.0),
        (aft + 0.9 * chord, foot + 0.05 * chord),
        (aft + 0.8 * chord, foot),
        (aft + 0.1 * chord, foot),
        (aft, hull.bottom(aft)),
    )
    return Appendage(kind="rudder", outline=outline, thickness=0.08)


def _shaft(hull: "Hull", along: float, offset_m: float) -> tuple[Appendage, ...]:
    exit_at, hub = _at(hull, along - 0.115), _at(hull, along)
    radius = 0.024 * hull.waterline_m
    height = hull.bottom(hub) - 1.32 * radius
    strut = hub - 0.018 * hull.waterline_m
    on_shaft = height + (hub - strut) / (hub - exit_at) * (hull.bottom(exit_at) - height)
    wide = 0.006 * hull.waterline_m
    bracket = (
        (strut - 2.2 * wide, hull.bottom(strut - 2.2 * wide)),
        (strut + 0.2 * wide, hull.bottom(strut + 0.2 * wide)),
        (strut + 0.8 * wide, on_shaft - wide * 0.6),
        (strut - 1.2 * wide, on_shaft - wide * 0.6),
    )
    return (
        Appendage(kind="bracket", outline=bracket, offset_m=offset_m),
        Appendage(
            kind="shaft",
            outline=((exit_at, hull.bottom(exit_at)), (hub, height)),
            offset_m=offset_m,
        ),
        Appendage(
            kind="propeller",
            outline=_ellipse((hub, height), 0.22 * radius, radius),
            offset_m=offset_m,
        ),
    )


def _propeller(hull: "Hull", along: float, depth: float) -> Appendage:
    radius = 0.02 * hull.waterline_m
    centre = (_at(hull, along), -depth * hull.draught_m)
    return Appendage(kind="propeller", outline=_ellipse(centre, 0.22 * radius, radius))


def _leg(
    hull: "Hull", station_m: float | None, offset_m: float, head: float = 0.0
) -> tuple[Appendage, ...]:
    """A leg with the propeller at its after end: below the hull, or behind the transom up to a share of it."""
    radius = 0.021 * hull.waterline_m
    wide = 0.55 * radius
    behind = station_m is None
    station_m = hull.length_m + 1.5 * wide if station_m is None else station_m
    top = hull.bottom(min(station_m, hull.length_m))
    hub = min(top, -0.2 * hull.canoe_draught_m) - (0.6 if behind else 1.35) * radius
    top = head * hull.sheer(hull.length_m) if behind else top
    leg = (
        (station_m - 1.3 * wide, top),
        (station_m + 0.9 * wide, top),
        (station_m + 0.7 * wide, hub + 0.4 * wide),
        (station_m + 1.6 * wide, hub),
        (station_m + 0.7 * wide, hub - 0.45 * wide),
        (station_m - 1.5 * wide, hub - 0.3 * wide),
        (station_m - 0.9 * wide, hub + 0.4 * wide),
    )
    return (
        Appendage(kind="leg", outline=leg, offset_m=offset_m),
        Appendage(
            kind="propeller",
            outline=_ellipse((station_m + 1.8 * wide, hub), 0.22 * radius, radius),
            offset_m=offset_m,
        ),
    )


def _ellipse(centre: Profile, half_length: float, half_height: float) -> tuple[Profile, ...]:
    x, z = centre
    turns: Sequence[float] = [2 * pi * each / 32 for each in range(32)]
    return tuple((x + half_length * cos(each), z + half_height * sin(each)) for each in turns)
