"""The sheet a drawing of the boat is laid out on: scale, frame, ruler, foot, and room for call-outs."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Literal

from garboard.boat.hull import Hull
from garboard.drawings import svg

Bow = Literal["right", "left"]

SHEET_MM = 160.0
MARGIN_MM = 8.0
RING_MM = 2.0
ROW_MM = 5.0

# Metres between the ticks of the ruler, and how many of them to a number.
_TICKS = ((0.1, 1), (0.1, 5), (1.0, 1), (1.0, 2), (1.0, 5), (10.0, 1), (1000.0, 1))
_SCALES = (10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where the boat lies on the sheet: metres of boat to millimetres of paper.

    `zero_mm` is the point of the sheet for 0 m aft of the stem and 0 m up; `scale` is the number under the 1.
    """

    zero_mm: svg.Point
    scale: int
    bow: Bow

    @property
    def mm_per_m(self) -> float:
        """Millimetres of paper for a metre of boat."""
        return 1000 / self.scale

    def at(self, along_m: float, up_m: float) -> svg.Point:
        """The point of the sheet for metres aft of the stem and metres upward."""
        aft = -self.mm_per_m if self.bow == "right" else self.mm_per_m
        x, y = self.zero_mm
        return (x + aft * along_m, y - up_m * self.mm_per_m)

    def under(self, at: svg.Point) -> tuple[float, float]:
        """Metres aft of the stem and metres upward of what is drawn at a point of the sheet."""
        (x, y), (zero_x, zero_y) = at, self.zero_mm
        aft = -self.mm_per_m if self.bow == "right" else self.mm_per_m
        return ((x - zero_x) / aft, (zero_y - y) / self.mm_per_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Extent:
    """What a drawing has to hold, m: aft of the stem from and to, upward from and to."""

    fore_m: float
    aft_m: float
    low_m: float
    top_m: float


def ends_m(hull: Hull) -> tuple[float, float]:
    """Stations of the foremost and aftermost thing, m."""
    stations = [station for each in hull.appendages for station, _ in each.outline]
    return min([0.0, *stations]), max([hull.length_m, *stations])


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """How a drawing is laid out, mm from the top: rows of call-outs above and below, axis, foot."""

    frame: Frame
    height_mm: float
    above_mm: float
    below_mm: float
    axis_mm: float


def fitting_scale(length_m: float, room_mm: float) -> int:
    """The largest customary scale at which a length fits; the number under the 1.

    Raises:
        ValueError: The length is not above zero or fits at none of them.
    """
    if not length_m > 0:
        raise ValueError(f"A length to be drawn is above zero, not {length_m} m.")
    for scale in _SCALES:
        if length_m * 1000 / scale <= room_mm:
            return scale
    raise ValueError(f"{length_m} m does not fit on {room_mm:.0f} mm of paper at 1:{_SCALES[-1]}.")


def sheet_for(
    extent: Extent, *, bow: Bow, above: int = 0, below: int = 0, top_mm: float = 9.0
) -> Sheet:
    """A sheet with the boat in its middle and room for so many call-outs above and below."""
    room = SHEET_MM - 2 * MARGIN_MM
    length = extent.aft_m - extent.fore_m
    scale = fitting_scale(length, room)
    mm_per_m = 1000 / scale
    drawn = length * mm_per_m
    left = MARGIN_MM + (room - drawn) / 2
    x = (
        left + drawn + extent.fore_m * mm_per_m
        if bow == "right"
        else left - extent.fore_m * mm_per_m
    )
    rows_above, rows_below = rows_of(above), rows_of(below)
    above_mm = top_mm + rows_above * ROW_MM - ROW_MM / 2
    zero = top_mm + rows_above * ROW_MM + (2.0 if above else 0.0) + extent.top_m * mm_per_m
    foot = zero - extent.low_m * mm_per_m
    below_mm = foot + 2.0 + ROW_MM / 2
    axis = foot + 3.0 + rows_below * ROW_MM + (2.0 if below else 0.0)
    return Sheet(
        frame=Frame(zero_mm=(x, zero), scale=scale, bow=bow),
        height_mm=axis + 14.0,
        above_mm=above_mm,
        below_mm=below_mm,
        axis_mm=axis,
    )


def rows_of(call_outs: int) -> int:
    """How many rows so many call-outs take up."""
    return ceil(call_outs * ROW_MM / (SHEET_MM - 2 * MARGIN_MM))


def station_axis(
    frame: Frame, y_mm: float, to_m: float, *, from_m: float = 0.0, named: bool = True
) -> list[str]:
    """A ruler along the boat, in metres aft of the stem; `named` says so in words."""
    step, every = next(
        (step, every) for step, every in _TICKS if step * every * frame.mm_per_m > 7 or step == 1000
    )
    ends = (frame.at(from_m, 0)[0], y_mm), (frame.at(to_m, 0)[0], y_mm)
    parts = [svg.line(*ends, width_mm=svg.HAIR_MM)]
    for each in range(ceil(from_m / step - 1e-9), floor(to_m / step + 1e-9) + 1):
        x, long = frame.at(each * step, 0)[0], each % every == 0
        tick = 1.2 if long else 0.7
        parts.append(svg.line((x, y_mm), (x, y_mm + tick), width_mm=svg.HAIR_MM))
        if long:
            words = svg.number(each * step, 1)
            parts.append(svg.text((x, y_mm + 3.6), words, size_mm=svg.SMALL_MM, anchor="middle"))
    if named:
        middle = ((ends[0][0] + ends[1][0]) / 2, y_mm + 6.6)
        words = "metres aft of the stem"
        parts.append(svg.text(middle, words, size_mm=svg.SMALL_MM, anchor="middle"))
    return parts


def furniture(frame: Frame, foot_mm: float, note: str = "") -> tuple[list[str], float]:
    """What stands at the foot of every sheet: scale bar, scale, that it is schematic, and a note in lines.

    Args:
        frame: Where the boat lies.
        foot_mm: Height of the sheet without the note.
        note: Words below the rest.

    Returns:
        The elements, and the height of the whole sheet, mm.
    """
    y, right = foot_mm - 2.0, SHEET_MM - MARGIN_MM
    words = f"{svg.SCHEMATIC}. 1:{frame.scale} at full size."
    parts = [
        svg.scale_bar((MARGIN_MM, y), frame.mm_per_m),
        svg.text((right, y), words, size_mm=svg.SMALL_MM, anchor="end"),
    ]
    for each in svg.wrapped(note, SHEET_MM - 2 * MARGIN_MM, svg.SMALL_MM):
        y += 3.6
        parts.append(svg.text((MARGIN_MM, y), each, size_mm=svg.SMALL_MM))
    return parts, y + 2.0


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Positions in the same order, a gap apart, moved as little as can be from where they were wanted.

    Args:
        wanted: In ascending order.
        gap: Least distance between neighbours.
        low: No position is less; where they do not all fit, the last ones pass `high`.
        high: No position is more, if they fit.

    Source:
        Least squares under order constraints: pooling of neighbours that stand in each other's way.

    >>> spread([10, 10, 30], 4, 0, 40)
    [8.0, 12.0, 30.0]
    """
    pools: list[tuple[float, int]] = []
    for index, each in enumerate(wanted):
        mean, count = each - index * gap, 1
        while pools and pools[-1][0] > mean:
            before, many = pools.pop()
            mean, count = (before * many + mean * count) / (many + count), many + count
        pools.append((mean, count))
    upper = max(low, high - gap * max(0, len(wanted) - 1))
    flat = [min(upper, max(low, mean)) for mean, count in pools for _ in range(count)]
    return [float(each + index * gap) for index, each in enumerate(flat)]
