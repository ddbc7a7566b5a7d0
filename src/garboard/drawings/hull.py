"""Views of the boat as line drawings: both profiles, plan, sections, unrolled shell, with numbered call-outs.

Bow to the right for the starboard side and to the left for the port side, as she is seen from outside.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import cos, pi, sin
from typing import Literal

from garboard.boat.appendage import Appendage
from garboard.boat.hull import Hull, Reach, hull_of
from garboard.drawings import svg
from garboard.drawings.lines import OUTLINE_MM, plan_lines, profile_lines, shell_extent, shell_lines
from garboard.drawings.sheet import (
    MARGIN_MM,
    RING_MM,
    ROW_MM,
    SHEET_MM,
    Extent,
    Frame,
    Sheet,
    ends_m,
    fitting_scale,
    furniture,
    rows_of,
    sheet_for,
    spread,
    station_axis,
)
from garboard.notebook.body import Boat, Place

Hand = Literal["starboard", "port"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A numbered call-out for something at a place."""

    number: int
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """One drawing: the SVG document, its title, and what it shows for those who do not see it."""

    svg: str
    title: str
    alt: str


def hull_views(boat: Boat, marks: Sequence[Mark] = ()) -> tuple[View, ...]:
    """Profiles, plan, sections and unrolled shell of a boat, each with the marks that show in it.

    Args:
        boat: Her main particulars.
        marks: Call-outs; one whose place has no station is named in words and not drawn.

    Raises:
        ValueError: Length or beam is missing.
    """
    hull = hull_of(boat)
    return (
        profile(hull, marks, "starboard"),
        profile(hull, marks, "port"),
        plan(hull, marks),
        sections(hull, marks),
        unrolled_shell(hull, marks, "starboard"),
        unrolled_shell(hull, marks, "port"),
    )


def profile(hull: Hull, marks: Sequence[Mark], side: Hand) -> View:
    """One side of the boat; marks on the centreline show with the starboard side."""
    spots = [each for each in _spots(hull, marks) if each.side == side and not each.is_on_deck]
    heights = [height for each in hull.appendages for _, height in each.outline]
    stump = 1.15 if hull.mast_at_m else 0.1
    fore, aft = ends_m(hull)
    sheet = sheet_for(
        Extent(
            fore_m=fore,
            aft_m=aft,
            low_m=min(-hull.canoe_draught_m, *heights, 0.0),
            top_m=max(
                hull.sheer(0), hull.sheer(hull.length_m), hull.sheer(hull.length_m / 2) + stump
            ),
        ),
        bow="right" if side == "starboard" else "left",
        above=sum(each.is_above for each in spots),
        below=sum(not each.is_above for each in spots),
    )
    parts = [
        *profile_lines(hull, sheet.frame),
        *station_axis(hull, sheet.frame, sheet.axis_mm),
        *_in_rows(sheet, spots, lambda spot: sheet.frame.at(spot.point[0], spot.point[2])),
    ]
    return _view(
        hull, sheet, f"{side.capitalize()} side, bow to the {sheet.frame.bow}", parts, marks, spots
    )


def plan(hull: Hull, marks: Sequence[Mark]) -> View:
    """The boat from above, bow to the right and port side upward, with the marks on deck."""
    spots = [each for each in _spots(hull, marks) if each.is_on_deck]
    fore, aft = ends_m(hull)
    half = hull.beam_m / 2
    sheet = sheet_for(
        Extent(fore_m=fore, aft_m=aft, low_m=-half, top_m=half),
        bow="right",
        above=sum(each.point[1] < 0 for each in spots),
        below=sum(each.point[1] >= 0 for each in spots),
    )
    parts = [
        *plan_lines(hull, sheet.frame),
        *station_axis(hull, sheet.frame, sheet.axis_mm),
        *_in_rows(
            sheet,
            spots,
            lambda spot: sheet.frame.at(spot.point[0], -spot.point[1]),
            goes_above=lambda spot: spot.point[1] < 0,
        ),
    ]
    return _view(hull, sheet, "From above, bow to the right, port side upward", parts, marks, spots)


def unrolled_shell(hull: Hull, marks: Sequence[Mark], side: Hand) -> View:
    """The skin of one side laid flat: stations true, girths stretched out from the boot-top."""
    spots = [each for each in _spots(hull, marks) if each.side == side and not each.is_on_deck]
    sheet = sheet_for(
        shell_extent(hull),
        bow="right" if side == "starboard" else "left",
        above=sum(each.is_above for each in spots),
        below=sum(not each.is_above for each in spots),
    )
    parts = [
        *shell_lines(hull, sheet.frame),
        *station_axis(hull, sheet.frame, sheet.axis_mm),
        *_in_rows(sheet, spots, lambda spot: sheet.frame.at(spot.station_m, spot.level_m)),
    ]
    title = f"Shell unrolled, {side} side, bow to the {sheet.frame.bow}"
    return _view(hull, sheet, title, parts, marks, spots)


# Sections


def sections(hull: Hull, marks: Sequence[Mark]) -> View:
    """The after body from astern and the fore body from ahead, with the marks of each."""
    spots = _spots(hull, marks)
    middle = hull.length_m / 2
    column = ROW_MM + 2.0
    room = (SHEET_MM - 2 * MARGIN_MM - 4 * column - 4) / 2
    scale = fitting_scale(hull.beam_m, room)
    mm_per_m = 1000 / scale
    top = max(hull.sheer(0), hull.sheer(hull.length_m)) + 0.15
    deep = max(hull.draught_m, hull.canoe_draught_m)
    zero = 9.0 + top * mm_per_m
    foot = zero + deep * mm_per_m
    parts: list[str] = []
    for body, centre, starboard in (("after", 0.25, 1.0), ("fore", 0.75, -1.0)):
        x = MARGIN_MM + (SHEET_MM - 2 * MARGIN_MM) * centre
        here = [each for each in spots if (each.station_m > middle) == (body == "after")]

        def on_sheet(
            half_breadth_m: float, height_m: float, x: float = x, towards: float = starboard
        ) -> svg.Point:
            return (x + towards * half_breadth_m * mm_per_m, zero - height_m * mm_per_m)

        parts += _body_lines(hull, body == "after", on_sheet)
        parts += _in_columns(here, on_sheet, x, room / 2 + column - RING_MM, (6.0, foot + 4.0))
        seen = "from astern" if body == "after" else "from ahead"
        parts.append(
            svg.text(
                (x, foot + 6.5),
                f"{body.capitalize()} body, {seen}",
                size_mm=svg.SMALL_MM,
                anchor="middle",
            )
        )
    sheet = Sheet(
        frame=Frame(zero_mm=(SHEET_MM / 2, zero), scale=scale, bow="right"),
        height_mm=foot + 20,
        above_mm=0,
        below_mm=0,
        axis_mm=foot + 6.5,
    )
    return _view(hull, sheet, "Sections, ten to the length of the hull", parts, marks, spots)


def _body_lines(
    hull: Hull, after: bool, on_sheet: Callable[[float, float], svg.Point]
) -> list[str]:
    half = hull.beam_m / 2
    shares = range(10, 4, -1) if after else range(1, 6)
    parts = (
        [_appendages_end_on(each, hull, on_sheet) for each in hull.appendages]
        if after
        else [
            _appendages_end_on(each, hull, on_sheet)
            for each in hull.appendages
            if each.kind in ("keel", "bulb")
        ]
    )
    parts += [
        svg.line(
            on_sheet(-half - 0.2, 0), on_sheet(half + 0.2, 0), width_mm=svg.HAIR_MM, dash=svg.CHAIN
        ),
        svg.line(
            on_sheet(0, -hull.draught_m - 0.1),
            on_sheet(0, hull.sheer(0) + 0.1),
            width_mm=svg.HAIR_MM,
            dash=svg.CHAIN,
        ),
    ]
    for share in shares:
        section = hull.section(hull.length_m * share / 10)
        whole = [on_sheet(y, z) for y, z in reversed(section)] + [
            on_sheet(-y, z) for y, z in section[1:]
        ]
        heavy = share == 5
        parts.append(svg.polyline(whole, width_mm=OUTLINE_MM if heavy else svg.FINE_MM))
    stations = [hull.length_m * each / 40 for each in (range(20, 41) if after else range(21))]
    for towards in (1, -1):
        sheer = [
            on_sheet(towards * hull.deck_half_breadth(each), hull.sheer(each)) for each in stations
        ]
        edge = [
            on_sheet(
                towards * hull.waterline_half_breadth(each, hull.boot_top(each)),
                max(hull.boot_top(each), hull.bottom(each)),
            )
            for each in stations
            if hull.bottom(each) <= hull.boot_top(each)
        ]
        parts.append(svg.polyline(sheer, width_mm=svg.LINE_MM))
        parts.append(svg.polyline(edge, width_mm=svg.FINE_MM))
    return parts


def _appendages_end_on(
    each: Appendage, hull: Hull, on_sheet: Callable[[float, float], svg.Point]
) -> str:
    """Keel, skeg, rudder or propeller as it is seen from ahead or astern."""
    heights = [height for _, height in each.outline]
    foot, head = min(heights), max(heights)
    stations = [station for station, _ in each.outline]
    shapes = []
    for towards in (1, -1) if each.offset_m else (1,):
        centre = towards * each.offset_m
        if each.kind == "propeller":
            radius = (head - foot) / 2
            ring = [
                (centre + radius * cos(k * pi / 16), (head + foot) / 2 + radius * sin(k * pi / 16))
                for k in range(32)
            ]
            shapes.append(svg.polygon([on_sheet(*at) for at in ring], width_mm=svg.FINE_MM))
        elif each.kind in ("keel", "bulb", "rudder"):
            half = max(0.5 * each.thickness * (max(stations) - min(stations)) * 0.8, 0.02)
            outline = (
                (centre - half, head),
                (centre + half, head),
                (centre + 0.7 * half, foot),
                (centre - 0.7 * half, foot),
            )
            shapes.append(
                svg.polygon([on_sheet(*at) for at in outline], fill=svg.PAPER, width_mm=svg.FINE_MM)
            )
    return "".join(shapes)


# The view


def _view(
    hull: Hull,
    sheet: Sheet,
    title: str,
    parts: Iterable[str],
    marks: Sequence[Mark],
    spots: Sequence["_Spot"],
) -> View:
    unplaced = [str(each.number) for each in marks if each.place.station_m is None]
    note = f"Without a place on the hull: {', '.join(unplaced)}." if unplaced else ""
    told = "; ".join(_told(each) for each in spots)
    alt = " ".join(
        filter(
            None,
            (
                f"{title}, of {hull.name}, a line drawing at 1:{sheet.frame.scale}.",
                f"Call-outs: {told}." if told else "No call-outs.",
                note,
                f"{svg.SCHEMATIC}.",
            ),
        )
    )
    head = svg.text((MARGIN_MM, 4.2), title, weight=600)
    drawn = svg.drawing(
        SHEET_MM,
        sheet.height_mm,
        title=f"{hull.name}: {title}",
        desc=alt,
        parts=[head, *parts, *furniture(sheet.frame, sheet.height_mm, note=note)],
    )
    return View(svg=drawn, title=title, alt=alt)


# Call-outs


@dataclass(frozen=True, slots=True, kw_only=True)
class _Spot:
    """A mark found on the hull; `is_exact` is false where only the station is known."""

    mark: Mark
    station_m: float
    level_m: float
    side: Hand
    point: tuple[float, float, float]
    reach: Reach
    is_exact: bool

    @property
    def is_on_deck(self) -> bool:
        """It lies inboard of the sheer."""
        return self.level_m > self.reach.sheer_m + 1e-9

    @property
    def is_above(self) -> bool:
        """It lies at the boot-top or above."""
        return self.level_m >= 0


def _spots(hull: Hull, marks: Sequence[Mark]) -> list[_Spot]:
    found = []
    for mark in marks:
        place = mark.place
        if place.station_m is None:
            continue
        point = hull.nearest_point(place.station_m, place.level_m or 0.0, place.side or "starboard")
        found.append(
            _Spot(
                mark=mark,
                station_m=point[0],
                level_m=hull.shell_level(point),
                side="port" if place.side == "port" else "starboard",
                point=point,
                reach=hull.reach(point[0]),
                is_exact=place.level_m is not None,
            )
        )
    return found


def _told(spot: _Spot) -> str:
    place = spot.mark.place
    where = f"{spot.mark.number}, {place.part.replace('-', ' ')}, {place.station_m:.2f} m aft of the stem"
    if place.level_m is None:
        return where
    towards = "below" if place.level_m < 0 else "above"
    return f"{where}, {abs(place.level_m):.2f} m {towards} the boot-top"


def _in_rows(
    sheet: Sheet,
    spots: Sequence[_Spot],
    on_sheet: Callable[[_Spot], svg.Point],
    goes_above: Callable[[_Spot], bool] = lambda spot: spot.is_above,
) -> list[str]:
    """Call-outs in rows above and below the boat, each over its spot as nearly as its neighbours allow."""
    parts: list[str] = []
    for upward in (True, False):
        row = [(each, on_sheet(each)) for each in spots if goes_above(each) == upward]
        row.sort(key=lambda each: (each[1], each[0].mark.number))
        tiers = rows_of(len(row))
        for tier in range(tiers):
            here = row[tier::tiers]
            away = -tier * ROW_MM if upward else tier * ROW_MM
            y = (sheet.above_mm if upward else sheet.below_mm) + away
            xs = spread([x for _, (x, _) in here], ROW_MM, MARGIN_MM, SHEET_MM - MARGIN_MM)
            parts += _leaders(here, [(x, y) for x in xs])
    return parts


def _in_columns(
    spots: Sequence[_Spot],
    on_sheet: Callable[[float, float], svg.Point],
    centre_mm: float,
    away_mm: float,
    between_mm: tuple[float, float],
) -> list[str]:
    """Call-outs in a column on either hand of a section."""
    parts: list[str] = []
    for hand in (-1.0, 1.0):
        column = [(each, on_sheet(*each.point[1:])) for each in spots]
        column = [each for each in column if (each[1][0] < centre_mm) == (hand < 0)]
        column.sort(key=lambda each: (each[1][1], each[0].mark.number))
        ys = spread([y for _, (_, y) in column], ROW_MM, *between_mm)
        parts += _leaders(column, [(centre_mm + hand * away_mm, y) for y in ys])
    return parts


def _leaders(anchored: Sequence[tuple[_Spot, svg.Point]], rings: Sequence[svg.Point]) -> list[str]:
    """Leaders first, then dots and rings over them."""
    pairs = list(zip(anchored, rings, strict=True))
    leaders = [
        svg.line(at, ring, width_mm=svg.FINE_MM, colour=svg.ACCENT) for (_, at), ring in pairs
    ]
    dots = [
        svg.circle(
            at,
            0.6,
            fill=svg.ACCENT if spot.is_exact else svg.PAPER,
            width_mm=svg.FINE_MM,
            colour=svg.ACCENT,
        )
        for (spot, at), _ in pairs
    ]
    numbers = [svg.call_out(ring, spot.mark.number, radius_mm=RING_MM) for (spot, _), ring in pairs]
    return [*leaders, *dots, *numbers]
