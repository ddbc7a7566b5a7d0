"""The panels a map of the skin is drawn in: each side unrolled, the deck, or a close window drawn larger."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from garboard.boat.hull import Hull
from garboard.drawings import svg
from garboard.drawings.hull import Hand
from garboard.drawings.lines import (
    deck_lines,
    deck_outline,
    hangs,
    hung,
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
    fitting_scale,
    station_axis,
)
from garboard.notebook.body import Place

T = TypeVar("T")

_BESIDE_M = 0.25
_CROWD = 6
_DETAIL_HIGH_MM = 80.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place on the skin, as stations and levels and as a point."""

    station_m: float
    level_m: float
    across_m: float
    is_on_deck: bool
    side: Hand


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One part of a map: a side unrolled, the deck, or a window on a side drawn larger.

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
        return not spot.is_on_deck and spot.side == self.shows_side

    def at(self, spot: Spot) -> svg.Point:
        """Where a place is drawn."""
        up = -spot.across_m if self.shows_side is None else spot.level_m
        return self.frame.at(spot.station_m, up)

    def corners(self) -> list[svg.Point]:
        """The corners of the window on the sheet."""
        if self.window is None:
            return []
        ends = (self.window.fore_m, self.window.aft_m)
        return [
            *(self.frame.at(each, self.window.low_m) for each in ends),
            *(self.frame.at(each, self.window.top_m) for each in reversed(ends)),
        ]


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
    head = 6.0
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
    whole = _whole(hull, side, 6.0, is_last=False, window=window)
    length, height = window.aft_m - window.fore_m, window.top_m - window.low_m
    scale = max(
        fitting_scale(length, SHEET_MM - 2 * MARGIN_MM), fitting_scale(height, _DETAIL_HIGH_MM)
    )
    mm_per_m = 1000 / scale
    head = whole.foot_mm + 1.5
    zero = head + 5.0 + window.top_m * mm_per_m
    left = (SHEET_MM - length * mm_per_m) / 2
    bow = whole.frame.bow
    stem = (
        left - window.fore_m * mm_per_m
        if bow == "left"
        else SHEET_MM - left + window.fore_m * mm_per_m
    )
    detail = Panel(
        name=f"The part outlined above, 1:{scale} at full size",
        shows_side=side,
        frame=Frame(zero_mm=(stem, zero), scale=scale, bow=bow),
        head_mm=head,
        axis_mm=zero - window.low_m * mm_per_m + 1.5,
        is_last=True,
        window=window,
        is_detail=True,
    )
    return (whole, detail)


def found_on(hull: Hull, placed: Iterable[tuple[Place, T]]) -> tuple[list[tuple[Spot, T]], str]:
    """What can be drawn, each with its spot, and words on how many cannot."""
    found: list[tuple[Spot, T]] = []
    without = 0
    for place, each in placed:
        if place.station_m is None or place.level_m is None:
            without += 1
            continue
        point = hull.nearest_point(place.station_m, place.level_m, place.side or "starboard")
        level = hull.shell_level(point)
        spot = Spot(
            station_m=point[0],
            level_m=level,
            across_m=point[1],
            is_on_deck=level > hull.reach(point[0]).sheer_m + 1e-9,
            side="port" if place.side == "port" else "starboard",
        )
        found.append((spot, each))
    return found, f"Without a place on the skin: {without}." if without else ""


def panel_lines(hull: Hull, panel: Panel) -> list[str]:
    """The lines of the boat in a panel, its name and its ruler; in a detail cut off at its window."""
    lines = (deck_lines if panel.shows_side is None else shell_lines)(hull, panel.frame)
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
