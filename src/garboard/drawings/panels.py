"""The panels a map of the skin is drawn in: each side unrolled or as it is seen, the deck, or a window drawn larger.

A panel works both ways: it says where a place is drawn, and which place lies under a point of the sheet.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import dist
from types import MappingProxyType
from typing import Literal, TypeVar

from garboard.boat.area import Point
from garboard.boat.hull import Hull
from garboard.drawings import svg
from garboard.drawings.hull import Hand
from garboard.drawings.lines import (
    deck_lines,
    deck_outline,
    hangs,
    hung,
    profile_lines,
    shell_extent,
    shell_lines,
    shell_outline,
)
from garboard.drawings.sheet import (
    MARGIN_MM,
    SHEET_MM,
    Bow,
    Extent,
    Frame,
    ends_m,
    fitting_scale,
    station_axis,
)
from garboard.notebook.body import Place

T = TypeVar("T")

_HEAD_MM = 6.0
_STUMP_M = 1.1
_BESIDE_M = 0.25
_CROWD = 6
_DETAIL_HIGH_MM = 80.0
_HALF_HIGH_MM = 130.0
# How far beside the outline a point still counts as on its edge, and beside a mark as on the mark.
_EDGE_MM = 2.0
_NEAR_MM = 3.0
_HALVINGS = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place on the skin, as stations and levels and as a point."""

    station_m: float
    level_m: float
    across_m: float
    height_m: float
    is_on_deck: bool
    side: Hand
    is_centre: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One part of a map: a side unrolled or in profile, the deck, or a window on a side drawn larger.

    With a `window` the panel is cut off at it where `is_detail`, else it only shows where the window lies.
    """

    name: str
    shows_side: Hand | None
    frame: Frame
    head_mm: float
    axis_mm: float
    is_last: bool
    window: Extent | None = None
    is_detail: bool = False
    is_profile: bool = False

    @property
    def foot_mm(self) -> float:
        """Where the panel ends."""
        return self.axis_mm + (6.6 if self.is_last else 4.4)

    def shows(self, spot: Spot) -> bool:
        """Whether a place is drawn in this part."""
        if self.window and not self.is_detail:
            return False
        if self.shows_side is None:
            return spot.is_on_deck
        is_here = spot.side == self.shows_side or (self.is_profile and spot.is_centre)
        return is_here and not spot.is_on_deck and self._holds(spot)

    def at(self, spot: Spot) -> svg.Point:
        """Where a place is drawn."""
        if self.shows_side is None:
            return self.frame.at(spot.station_m, -spot.across_m)
        return self.frame.at(spot.station_m, spot.height_m if self.is_profile else spot.level_m)

    def place_under(
        self, hull: Hull, at: svg.Point, part: str, *, on_centreline: bool = False
    ) -> Place | None:
        """The place drawn at a point of the sheet, to the centimetre; None where no skin is drawn there.

        Args:
            hull: The hull that is drawn.
            at: A point of the sheet, mm; one just outside the outline is taken to lie on its edge.
            part: The part that the place lies on.
            on_centreline: It is meant on the centreline, where a level is plumb.
        """
        station, up = self.frame.under(at)
        edge_m = _EDGE_MM / self.frame.mm_per_m
        window = self.window
        if window and not (
            window.fore_m - edge_m <= station <= window.aft_m + edge_m
            and window.low_m - edge_m <= up <= window.top_m + edge_m
        ):
            return None
        if not -edge_m <= station <= hull.length_m + edge_m:
            return None
        station = round(min(hull.length_m, max(0.0, station)), 2)
        point = self._point(hull, station, up, edge_m)
        if point is None:
            return None
        if on_centreline:
            level = point[2] - hull.boot_top(station)
            return _rounded(hull.place(hull.nearest_point(station, level, "centre"), part))
        side: Hand = self.shows_side or ("port" if up > 0 else "starboard")
        return Place(
            part=part, side=side, station_m=station, level_m=round(hull.shell_level(point), 2)
        )

    def _point(self, hull: Hull, station_m: float, up_m: float, edge_m: float) -> Point | None:
        """The point of the skin that is drawn so high at a station; None off the skin."""
        reach = hull.reach(station_m)
        if self.shows_side is None:
            half = hull.deck_half_breadth(station_m)
            if abs(up_m) > half + edge_m:
                return None
            return _on_deck(hull, station_m, min(abs(up_m), half))
        if not self.is_profile:
            if not reach.foot_m - edge_m <= up_m <= reach.sheer_m + edge_m:
                return None
            return hull.nearest_point(station_m, min(reach.sheer_m, up_m))
        low, top = hull.foot(station_m), hull.sheer(station_m)
        if not low - edge_m <= up_m <= top + edge_m:
            return None
        height = min(top, max(low, up_m))
        return (station_m, hull.waterline_half_breadth(station_m, height), height)

    def _holds(self, spot: Spot) -> bool:
        """Whether a place lies within the window of a detail."""
        if self.window is None or not self.is_detail:
            return True
        x, y = self.at(spot)
        corners = self.corners()
        left, right = sorted((corners[0][0], corners[1][0]))
        return left <= x <= right and corners[2][1] <= y <= corners[0][1]

    def corners(self) -> list[svg.Point]:
        """The corners of the window on the sheet."""
        if self.window is None:
            return []
        ends = (self.window.fore_m, self.window.aft_m)
        return [
            *(self.frame.at(each, self.window.low_m) for each in ends),
            *(self.frame.at(each, self.window.top_m) for each in reversed(ends)),
        ]


Look = Literal[
    "port-shell", "port-shell-forward", "port-shell-after", "port-profile",
    "starboard-shell", "starboard-shell-forward", "starboard-shell-after", "starboard-profile",
    "deck",
]  # fmt: skip

LOOKS: Mapping[Look, str] = MappingProxyType(
    {
        "port-shell": "Port side unrolled",
        "port-shell-forward": "Port side unrolled, forward half",
        "port-shell-after": "Port side unrolled, after half",
        "port-profile": "Port side as it is seen",
        "starboard-shell": "Starboard side unrolled",
        "starboard-shell-forward": "Starboard side unrolled, forward half",
        "starboard-shell-after": "Starboard side unrolled, after half",
        "starboard-profile": "Starboard side as it is seen",
        "deck": "Deck from above",
    }
)
"""The panels that a boat can be pointed at in, in words."""


def panel_for(hull: Hull, look: Look) -> Panel:
    """One panel of a boat."""
    if look == "deck":
        return _whole(hull, None, _HEAD_MM, is_last=True)
    side: Hand = "port" if look.startswith("port") else "starboard"
    if look.endswith("profile"):
        return _profile(hull, side, LOOKS[look])
    if look.endswith("shell"):
        return _whole(hull, side, _HEAD_MM, is_last=True)
    extent, middle = shell_extent(hull), hull.length_m / 2
    ends = (0.0, middle) if look.endswith("forward") else (middle, hull.length_m)
    window = Extent(
        fore_m=ends[0] - _BESIDE_M,
        aft_m=ends[1] + _BESIDE_M,
        low_m=extent.low_m - _BESIDE_M,
        top_m=extent.top_m + _BESIDE_M,
    )
    bow: Bow = "left" if side == "port" else "right"
    name = f"{LOOKS[look]}, bow to the {bow}"
    return _detail(side, window, bow, _HEAD_MM, high_mm=_HALF_HIGH_MM, name=name)


def _profile(hull: Hull, side: Hand, words: str) -> Panel:
    fore, aft = ends_m(hull)
    heights = [height for each in hull.appendages for _, height in each.outline]
    top = max(hull.sheer(each * hull.length_m) for each in (0.0, 0.5, 1.0))
    scale = fitting_scale(aft - fore, SHEET_MM - 2 * MARGIN_MM)
    bow: Bow = "left" if side == "port" else "right"
    left = (SHEET_MM - (aft - fore) * 1000 / scale) / 2
    stem = left - fore * 1000 / scale if bow == "left" else SHEET_MM - left + fore * 1000 / scale
    zero = _HEAD_MM + 5.0 + (top + (_STUMP_M if hull.mast_at_m else 0.0)) * 1000 / scale
    return Panel(
        name=f"{words}, bow to the {bow}",
        shows_side=side,
        frame=Frame(zero_mm=(stem, zero), scale=scale, bow=bow),
        head_mm=_HEAD_MM,
        axis_mm=zero - min([-hull.canoe_draught_m, *heights]) * 1000 / scale + 3.5,
        is_last=True,
        is_profile=True,
    )


def panels_for(hull: Hull, spots: Sequence[Spot]) -> tuple[Panel, ...]:
    """Both sides, unless everything lies on deck, and the deck if anything does; or one side with a detail."""
    window = _window(hull, spots)
    if window:
        return _with_detail(hull, spots[0].side, window)
    wanted: list[Hand | None] = []
    if not spots or not all(each.is_on_deck for each in spots):
        wanted += ["port", "starboard"]
    if any(each.is_on_deck for each in spots):
        wanted.append(None)
    panels: list[Panel] = []
    head = _HEAD_MM
    for side in wanted:
        panels.append(_whole(hull, side, head, is_last=side == wanted[-1]))
        head = panels[-1].foot_mm + 1.5
    return tuple(panels)


def _whole(
    hull: Hull, side: Hand | None, head_mm: float, *, is_last: bool, window: Extent | None = None
) -> Panel:
    """A whole side, or the deck."""
    half = hull.beam_m / 2
    on_deck = Extent(fore_m=0.0, aft_m=hull.length_m, low_m=-half, top_m=half)
    extent = shell_extent(hull) if side else on_deck
    scale = fitting_scale(hull.length_m, SHEET_MM - 2 * MARGIN_MM)
    margin = (SHEET_MM - hull.length_m * 1000 / scale) / 2
    zero = head_mm + 5.0 + extent.top_m * 1000 / scale
    bow: Bow = "left" if side == "port" else "right"
    what = f"{side.capitalize()} side" if side else "Deck from above"
    return Panel(
        name=f"{what}, bow to the {bow}",
        shows_side=side,
        frame=Frame(
            zero_mm=(margin if bow == "left" else SHEET_MM - margin, zero), scale=scale, bow=bow
        ),
        head_mm=head_mm,
        axis_mm=zero - extent.low_m * 1000 / scale + 3.5,
        is_last=is_last,
        window=window,
    )


def _window(hull: Hull, spots: Sequence[Spot]) -> Extent | None:
    """The part of one side that holds everything, if it is small and full enough to be drawn larger."""
    on_one_side = len({each.side for each in spots}) == 1
    if len(spots) < _CROWD or not on_one_side or any(each.is_on_deck for each in spots):
        return None
    stations, levels = [each.station_m for each in spots], [each.level_m for each in spots]
    if max(stations) - min(stations) > hull.length_m / 5:
        return None
    return Extent(
        fore_m=min(stations) - _BESIDE_M,
        aft_m=max(stations) + _BESIDE_M,
        low_m=min(levels) - _BESIDE_M,
        top_m=max(levels) + _BESIDE_M,
    )


def _with_detail(hull: Hull, side: Hand, window: Extent) -> tuple[Panel, ...]:
    """A whole side that shows where the window lies, and the window."""
    whole = _whole(hull, side, _HEAD_MM, is_last=False, window=window)
    return (whole, _detail(side, window, whole.frame.bow, whole.foot_mm + 1.5))


def _detail(
    side: Hand,
    window: Extent,
    bow: Bow,
    head_mm: float,
    *,
    high_mm: float = _DETAIL_HIGH_MM,
    name: str = "",
) -> Panel:
    """A window on a side, as large as it fits."""
    length, height = window.aft_m - window.fore_m, window.top_m - window.low_m
    scale = max(fitting_scale(length, SHEET_MM - 2 * MARGIN_MM), fitting_scale(height, high_mm))
    mm_per_m = 1000 / scale
    zero = head_mm + 5.0 + window.top_m * mm_per_m
    left = (SHEET_MM - length * mm_per_m) / 2
    stem = (
        left - window.fore_m * mm_per_m
        if bow == "left"
        else SHEET_MM - left + window.fore_m * mm_per_m
    )
    return Panel(
        name=name or f"The part outlined above, 1:{scale} at full size",
        shows_side=side,
        frame=Frame(zero_mm=(stem, zero), scale=scale, bow=bow),
        head_mm=head_mm,
        axis_mm=zero - window.low_m * mm_per_m + 1.5,
        is_last=True,
        window=window,
        is_detail=True,
    )


def found_on(hull: Hull, placed: Iterable[tuple[Place, T]]) -> tuple[list[tuple[Spot, T]], str]:
    """What can be drawn, each with its spot, and words on how many cannot."""
    found: list[tuple[Spot, T]] = []
    without = 0
    for place, each in placed:
        if place.station_m is None or place.level_m is None:
            without += 1
            continue
        point = hull.nearest_point(place.station_m, place.level_m, place.side or "starboard")
        reach = hull.reach(point[0])
        # Off the centreline a level is one of the shell already, once it is brought onto the skin.
        level = min(reach.deck_m, max(reach.foot_m, place.level_m))
        if place.side == "centre":
            level = hull.shell_level(point)
        spot = Spot(
            station_m=point[0],
            level_m=level,
            across_m=point[1],
            height_m=point[2],
            is_on_deck=level > reach.sheer_m + 1e-9,
            side="port" if place.side == "port" else "starboard",
            is_centre=place.side == "centre",
        )
        found.append((spot, each))
    return found, f"Without a place on the skin: {without}." if without else ""


def nearest_on(
    hull: Hull, places: Sequence[Place], at: svg.Point, on: Sequence[Panel] = ()
) -> int | None:
    """Which of several places is drawn nearest to a point of the sheet; None where none is near it.

    Args:
        hull: The hull that is drawn.
        places: The places, as the map has them.
        at: A point of the sheet, mm.
        on: The panels of the map; else those that `panels_for` gives it.
    """
    found, _ = found_on(hull, [(place, index) for index, place in enumerate(places)])
    panels = on or panels_for(hull, [spot for spot, _ in found])
    away = [
        (dist(panel.at(spot), at), index)
        for panel in panels
        for spot, index in found
        if panel.shows(spot)
    ]
    distance, nearest = min(away, default=(_NEAR_MM + 1, -1))
    return nearest if distance <= _NEAR_MM else None


def panel_lines(hull: Hull, panel: Panel) -> list[str]:
    """The lines of the boat in a panel, its name and its ruler; in a detail cut off at its window."""
    drawn = profile_lines if panel.is_profile else shell_lines
    lines = (deck_lines if panel.shows_side is None else drawn)(hull, panel.frame)
    name = svg.text((MARGIN_MM, panel.head_mm + 3.0), panel.name, size_mm=svg.SMALL_MM, weight=600)
    if panel.window is None:
        return [
            name,
            *lines,
            *station_axis(panel.frame, panel.axis_mm, hull.length_m, named=panel.is_last),
        ]
    if not panel.is_detail:
        outline = svg.polygon(panel.corners(), colour=svg.ACCENT)
        return [
            name,
            *lines,
            outline,
            *station_axis(panel.frame, panel.axis_mm, hull.length_m, named=False),
        ]
    ends = panel.window.fore_m, panel.window.aft_m
    return [
        name,
        svg.cut([panel.corners()], lines),
        svg.polygon(panel.corners(), colour=svg.ACCENT),
        *station_axis(panel.frame, panel.axis_mm, ends[1], from_m=ends[0]),
    ]


def skins(hull: Hull, panel: Panel) -> list[list[svg.Point]]:
    """The outlines that have skin inside."""
    frame = panel.frame
    if panel.shows_side is None:
        return [deck_outline(hull, frame)]
    shell = [frame.at(*each) for each in shell_outline(hull)]
    return [shell, *(hung(hull, each, frame) for each in hangs(hull))]


def _on_deck(hull: Hull, station_m: float, across_m: float) -> Point:
    """The point of the deck so far from its middle."""
    reach = hull.reach(station_m)
    low, high = reach.sheer_m, reach.deck_m
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if hull.point(station_m, middle)[1] < across_m else (middle, high)
    return hull.point(station_m, low)


def _rounded(place: Place) -> Place:
    assert place.station_m is not None
    assert place.level_m is not None
    return replace(place, station_m=round(place.station_m, 2), level_m=round(place.level_m, 2))
