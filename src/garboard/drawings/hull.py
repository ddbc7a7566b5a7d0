"""Views of the boat as line drawings: both profiles, plan, sections, unrolled shell, with numbered call-outs.

Bow to the right for the starboard side and to the left for the port side, as she is seen from outside.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from garboard.boat.appendage import Appendage
from garboard.boat.hull import Hull, Reach, hull_of
from garboard.catalogue.naming import located
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

_NEAR_MM = 12.0


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
        *station_axis(sheet.frame, sheet.axis_mm, hull.length_m),
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
        *station_axis(sheet.frame, sheet.axis_mm, hull.length_m),
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
        *station_axis(sheet.frame, sheet.axis_mm, hull.length_m),
        *_in_rows(sheet, spots, lambda spot: sheet.frame.at(spot.station_m, spot.level_m)),
    ]
    title = f"Shell unrolled, {side} side, bow to the {sheet.frame.bow}"
    return _view(hull, sheet, title, parts, marks, spots)


# Sections


def sections(hull: Hull, marks: Sequence[Mark]) -> View:
    """The after body from astern and the fore body from ahead, with the marks of each."""
    spots = _spots(hull, marks)
    column = ROW_MM + 2.0
    room = (SHEET_MM - 2 * MARGIN_MM - 4 * column - 4) / 2
    scale = fitting_scale(hull.beam_m, room)
    top = max(hull.sheer(0), hull.sheer(hull.length_m)) + 0.15
    zero = 9.0 + top * 1000 / scale
    foot = zero + max(hull.draught_m, hull.canoe_draught_m) * 1000 / scale
    bodies = [
        _Body(
            name=name,
            spots=tuple(each for each in spots if (each.station_m > hull.length_m / 2) == after),
            zero_mm=(MARGIN_MM + (SHEET_MM - 2 * MARGIN_MM) * centre, zero),
            starboard_mm=towards * 1000 / scale,
            stations=tuple(hull.length_m * each / 40 for each in rows),
        )
        for name, after, centre, towards, rows in (
            ("After body, from astern", True, 0.25, 1.0, range(40, 19, -1)),
            ("Fore body, from ahead", False, 0.75, -1.0, range(21)),
        )
    ]
    longest = max(each.column_length() for each in bodies)
    below = max(foot + 4.0, 6.0 + ROW_MM * longest)
    parts: list[str] = []
    for body in bodies:
        parts += _body_lines(hull, body)
        parts += _in_columns(
            body.spots, body.spot, body.zero_mm[0], room / 2 + column - RING_MM, (6.0, below)
        )
        caption = (body.zero_mm[0], below + 2.5)
        parts.append(svg.text(caption, body.name, size_mm=svg.SMALL_MM, anchor="middle"))
    sheet = Sheet(
        frame=Frame(zero_mm=(SHEET_MM / 2, zero), scale=scale, bow="right"),
        height_mm=below + 16.0,
        above_mm=0.0,
        below_mm=0.0,
        axis_mm=below,
    )
    return _view(hull, sheet, "Sections, ten to the length of the hull", parts, marks, spots)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Body:
    """Half the length of the boat seen from its end; `starboard_mm` is paper for a metre to starboard."""

    name: str
    spots: tuple["_Spot", ...]
    zero_mm: svg.Point
    starboard_mm: float
    stations: tuple[float, ...]

    def at(self, across_m: float, height_m: float) -> svg.Point:
        """The point of the sheet for metres to starboard and metres above the waterline."""
        x, y = self.zero_mm
        return (x + across_m * self.starboard_mm, y - height_m * abs(self.starboard_mm))

    def spot(self, spot: "_Spot") -> svg.Point:
        """The point of the sheet for a mark."""
        return self.at(spot.point[1], spot.point[2])

    def column_length(self) -> int:
        """The most call-outs on one hand."""
        left = sum(self.spot(each)[0] < self.zero_mm[0] for each in self.spots)
        return max(left, len(self.spots) - left)


def _body_lines(hull: Hull, body: _Body) -> list[str]:
    half, from_astern = hull.beam_m / 2, body.starboard_mm > 0
    hidden = () if from_astern else ("skeg", "rudder", "propeller", "bracket", "shaft", "leg")
    axes = (
        (body.at(-half - 0.2, 0), body.at(half + 0.2, 0)),
        (body.at(0, -hull.draught_m - 0.1), body.at(0, hull.sheer(0) + 0.1)),
    )
    parts = [_end_on(each, body) for each in hull.appendages if each.kind not in hidden]
    parts += [svg.line(*each, width_mm=svg.HAIR_MM, dash=svg.CHAIN) for each in axes]
    for station in body.stations[::4]:
        section = hull.section(station)
        across = [*((-y, z) for y, z in reversed(section)), *section[1:]]
        is_midship = station == hull.length_m * 20 / 40
        parts.append(
            svg.polyline(
                [body.at(*each) for each in across],
                width_mm=OUTLINE_MM if is_midship else svg.FINE_MM,
            )
        )
    painted = [each for each in body.stations if hull.bottom(each) <= hull.boot_top(each)]
    for side in (1, -1):
        sheer = [(side * hull.deck_half_breadth(each), hull.sheer(each)) for each in body.stations]
        edge = [
            (side * hull.waterline_half_breadth(each, hull.boot_top(each)), hull.boot_top(each))
            for each in painted
        ]
        parts.append(svg.polyline([body.at(*each) for each in sheer]))
        parts.append(svg.polyline([body.at(*each) for each in edge], width_mm=svg.FINE_MM))
    return parts


def _end_on(each: Appendage, body: _Body) -> str:
    """Keel, rudder or propeller as it is seen from ahead or astern; the rest does not show."""
    heights = [height for _, height in each.outline]
    stations = [station for station, _ in each.outline]
    foot, head = min(heights), max(heights)
    shapes = []
    for side in (1, -1) if each.offset_m else (1,):
        centre = side * each.offset_m
        if each.kind == "propeller":
            ring = svg.circle(
                body.at(centre, (head + foot) / 2),
                (head - foot) / 2 * abs(body.starboard_mm),
                width_mm=svg.FINE_MM,
            )
            shapes.append(ring)
        elif each.kind in ("keel", "bulb", "rudder"):
            half = max(0.4 * each.thickness * (max(stations) - min(stations)), 0.02)
            blade = ((-half, head), (half, head), (0.7 * half, foot), (-0.7 * half, foot))
            shapes.append(
                svg.polygon(
                    [body.at(centre + across, height) for across, height in blade],
                    fill=svg.PAPER,
                    width_mm=svg.FINE_MM,
                )
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
    drawn_numbers = {each.number for each in marks if each.place.station_m is not None}
    unplaced = sorted({each.number for each in marks} - drawn_numbers)
    named = ", ".join(str(each) for each in unplaced)
    note = f"Without a place on the hull: {named}." if unplaced else ""
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
    foot, height_mm = furniture(sheet.frame, sheet.height_mm, note)
    drawn = svg.drawing(
        SHEET_MM,
        height_mm,
        title=f"{hull.name}: {title}",
        desc=alt,
        parts=[head, *parts, *foot],
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
        return self.level_m > -0.005


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
    return f"{spot.mark.number}, {located(spot.mark.place)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _CallOut:
    """One ring: its number, and the dots it leads to."""

    number: int
    dots: tuple[tuple[svg.Point, bool], ...]

    def middle(self, axis: int) -> float:
        """Where the ring would best stand, along x (0) or y (1)."""
        return sum(at[axis] for at, _ in self.dots) / len(self.dots)


def _call_outs(
    spots: Iterable[_Spot], on_sheet: Callable[[_Spot], svg.Point], axis: int
) -> list[_CallOut]:
    """Call-outs in order along an axis; dots of one number that lie near each other share a ring."""
    shared: list[_CallOut] = []
    for spot in sorted(spots, key=lambda each: (each.mark.number, on_sheet(each)[axis])):
        dot = (on_sheet(spot), spot.is_exact)
        last = shared[-1] if shared else None
        if (
            last
            and last.number == spot.mark.number
            and dot[0][axis] - last.dots[-1][0][axis] <= _NEAR_MM
        ):
            shared[-1] = _CallOut(number=last.number, dots=(*last.dots, dot))
        else:
            shared.append(_CallOut(number=spot.mark.number, dots=(dot,)))
    return sorted(shared, key=lambda each: (each.middle(axis), each.number))


def _in_rows(
    sheet: Sheet,
    spots: Sequence[_Spot],
    on_sheet: Callable[[_Spot], svg.Point],
    goes_above: Callable[[_Spot], bool] = lambda spot: spot.is_above,
) -> list[str]:
    """Call-outs in rows above and below the boat, each over its spot as nearly as its neighbours allow."""
    placed: list[tuple[_CallOut, svg.Point]] = []
    for upward in (True, False):
        row = _call_outs([each for each in spots if goes_above(each) == upward], on_sheet, 0)
        tiers = rows_of(len(row))
        for tier in range(tiers):
            here = row[tier::tiers]
            away = -tier * ROW_MM if upward else tier * ROW_MM
            y = (sheet.above_mm if upward else sheet.below_mm) + away
            wanted = [each.middle(0) for each in here]
            xs = spread(wanted, ROW_MM, MARGIN_MM, SHEET_MM - MARGIN_MM)
            placed += [(each, (x, y)) for each, x in zip(here, xs, strict=True)]
    return _drawn(placed)


def _in_columns(
    spots: Sequence[_Spot],
    on_sheet: Callable[[_Spot], svg.Point],
    centre_mm: float,
    away_mm: float,
    between_mm: tuple[float, float],
) -> list[str]:
    """Call-outs in a column on either hand of a section."""
    placed: list[tuple[_CallOut, svg.Point]] = []
    for hand in (-1.0, 1.0):
        here = [each for each in spots if (on_sheet(each)[0] < centre_mm) == (hand < 0)]
        column = _call_outs(here, on_sheet, 1)
        ys = spread([each.middle(1) for each in column], ROW_MM, *between_mm)
        placed += [
            (each, (centre_mm + hand * away_mm, y)) for each, y in zip(column, ys, strict=True)
        ]
    return _drawn(placed)


def _drawn(placed: Sequence[tuple[_CallOut, svg.Point]]) -> list[str]:
    """Leaders first, then dots and rings over them."""
    leaders = [
        svg.line(at, ring, width_mm=svg.FINE_MM, colour=svg.ACCENT)
        for each, ring in placed
        for at, _ in each.dots
    ]
    dots = [
        svg.circle(
            at,
            0.6,
            fill=svg.ACCENT if is_exact else svg.PAPER,
            width_mm=svg.FINE_MM,
            colour=svg.ACCENT,
        )
        for each, _ in placed
        for at, is_exact in each.dots
    ]
    rings = [svg.call_out(ring, each.number, radius_mm=RING_MM) for each, ring in placed]
    return [*leaders, *dots, *rings]
