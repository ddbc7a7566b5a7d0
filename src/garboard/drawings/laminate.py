"""Plots of laminate readings: meter readings beside the boat's own dry reference, and what a sounding could miss."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from garboard.catalogue.naming import capital
from garboard.drawings import svg
from garboard.methods.moisture import JudgedReading, MoistureMap, scale_number
from garboard.methods.sounding import CHANCE, Coverage, chance_on_square_grid
from garboard.methods.zone import Zone, skin_words, zone_of, zone_words

_MARK_MM = 1.5
_PITCH_MM = 1.65
_ROW_MOST_MM = 15.0
_ROW_LEAST_MM = 7.0
_LINE_MM = 3.4
_NAMES_MM = 34.0
_COUNTS_MM = 24.0

_BAND = svg.Hatch(angle_deg=45, spacing_mm=1.0, width_mm=0.09, colour=svg.HAIRLINE)


def moisture_strips(of: MoistureMap, width_mm: float = 150.0) -> str:
    """Every reading of a set as a mark on the meter's scale, a strip for each zone, beside the dry reference.

    Open marks are not distinguished from the reference, filled ones raised, filled diamonds much raised. Marks that
    would lie on each other are set side by side across the strip.

    Args:
        of: The map of one set.
        width_mm: Width of the sheet, mm; 110 or more.

    Raises:
        ValueError: The sheet is too narrow.
    """
    if width_mm < 110:
        raise ValueError(f"This plot needs 110 mm or more; {width_mm} mm is too narrow.")
    left, right = _NAMES_MM, width_mm - _COUNTS_MM
    scale = _Scale(_extent(of), (left + 2, right - 2))
    strips = _strips(of)
    heights = [_height_mm(each, scale) for each in strips]
    top = 8.5
    bottom = top + sum(heights)
    parts = [*_reference_band(of, scale, top, bottom)]
    y = top
    for strip, height in zip(strips, heights, strict=True):
        parts += _drawn(strip, scale, (y, height), right)
        y += height
    parts.append(svg.line((left, bottom), (right, bottom)))
    parts += _ticks(scale, bottom)
    parts.append(
        svg.text(
            ((left + right) / 2, bottom + 7.2),
            _axis_words(of),
            size_mm=svg.SMALL_MM,
            anchor="middle",
        )
    )
    key = _key(of, bottom + 12.0)
    return svg.drawing(
        width_mm,
        bottom + (13.0 if key else 9.0),
        title=f"Moisture readings, {of.name}",
        desc=of.said,
        parts=[*parts, *key],
        hatches=[_BAND] if of.reference else [],
    )


def detectability(of: Coverage, width_mm: float = 75.0) -> str:
    """The probability that a round patch held one of the places struck or read, by its size; the 95 % point marked.

    A thin broken line shows what as many strikes on an even square grid would reach.

    Args:
        of: The coverage of one zone.
        width_mm: Width of the sheet, mm; 60 or more.

    Raises:
        ValueError: The sheet is too narrow.
    """
    if width_mm < 60:
        raise ValueError(f"This plot needs 60 mm or more; {width_mm} mm is too narrow.")
    left, right, top, bottom = 11.0, width_mm - 4.0, 9.0, 9.0 + (width_mm - 15.0) * 0.62
    across = _Scale((0.0, max(of.unseen_m, of.across_m * 1.25)), (left, right))
    up = _Scale((0.0, 1.0), (bottom, top))
    heading = zone_words((of.part, of.side, of.number))
    parts = [
        svg.text((0.0, 3.2), f"{capital(heading)}", weight=600),
        svg.line((left, top), (left, bottom)),
        svg.line((left, bottom), (right, bottom)),
        *_ticks(across, bottom),
        *(
            svg.line((left - 0.9, up.mm(share)), (left, up.mm(share)))
            + svg.text(
                (left - 1.6, up.mm(share) + 0.8),
                f"{100 * share:.0f}",
                size_mm=svg.SMALL_MM,
                anchor="end",
            )
            for share in (0.0, 0.25, 0.5, 0.75, 1.0)
        ),
        svg.text((0.0, 7.0), "% of patches met", size_mm=svg.SMALL_MM),
        svg.text(
            ((left + right) / 2, bottom + 7.2),
            "size of a round patch, m across",
            size_mm=svg.SMALL_MM,
            anchor="middle",
        ),
        svg.polyline(
            _even_grid(of, across, up), width_mm=svg.FINE_MM, colour=svg.HAIRLINE, dash=svg.DASHED
        ),
        svg.polyline(
            ((across.mm(size), up.mm(share)) for size, share in of.curve), width_mm=svg.BOLD_MM
        ),
        *_marked_point(of, across, up),
    ]
    words = (
        f"{len(of.strikes)} places over {of.area_m2:.1f} m². Broken line: as many on an even grid of "
        f"{of.spacing_m:.2f} m. Met is not yet found."
    )
    lines = svg.wrapped(words, width_mm)
    parts += _set_lines(lines, bottom + 11.6)
    return svg.drawing(
        width_mm,
        bottom + 11.6 + _LINE_MM * len(lines),
        title=f"Probability that a patch was met, {heading}",
        desc=of.said,
        parts=parts,
    )


class _Scale:
    """From a value to millimetres on the sheet, on a straight line."""

    def __init__(self, values: tuple[float, float], sheet_mm: tuple[float, float]) -> None:
        self.low, self.high = values
        self._start, self._end = sheet_mm

    def mm(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self._start + share * (self._end - self._start)

    def marks(self) -> tuple[float, ...]:
        """Round values along the scale, five to ten of them."""
        rough = (self.high - self.low) / 8
        power = 10.0 ** math.floor(math.log10(rough))
        step = next(each * power for each in (1, 2, 5, 10) if each * power >= rough)
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return tuple(each * step for each in range(first, last + 1))


# Strips


@dataclass(frozen=True, slots=True, kw_only=True)
class _Strip:
    """The readings of one zone, or the dry reference."""

    name: str
    side: str
    readings: tuple[JudgedReading, ...]


def _extent(of: MoistureMap) -> tuple[float, float]:
    values = [each.value for each in of.readings]
    if of.reference:
        values.append(of.reference.raised_above)
    low, high = min(values), max(values)
    margin = (high - low) * 0.04 or 1.0
    return low - margin, high + margin


def _strips(of: MoistureMap) -> list[_Strip]:
    """The dry reference first, then each zone in the order it was read."""
    dry = tuple(each for each in of.readings if each.judged == "dry reference")
    rest: dict[Zone, list[JudgedReading]] = {}
    for each in of.readings:
        if each.judged != "dry reference":
            rest.setdefault(zone_of(each.place), []).append(each)
    strips = [_Strip(name="dry reference", side="", readings=dry)] if dry else []
    return strips + [
        _Strip(name=skin_words((part, None, number)), side=side or "", readings=tuple(found))
        for (part, side, number), found in rest.items()
    ]


def _rows(readings: Sequence[JudgedReading], scale: _Scale) -> list[tuple[JudgedReading, int]]:
    """Each reading with the row it is set in, counted from the middle of its strip, so that none covers another."""
    taken: dict[int, float] = {}
    placed = []
    for each in sorted(readings, key=lambda reading: reading.value):
        at = scale.mm(each.value)
        row = next(row for row in _outward() if row not in taken or at - taken[row] >= _PITCH_MM)
        taken[row] = at
        placed.append((each, row))
    return placed


def _outward() -> Iterator[int]:
    step = 0
    while True:
        yield -(step + 1) // 2 if step % 2 else step // 2
        step += 1


def _height_mm(strip: _Strip, scale: _Scale) -> float:
    rows = {row for _, row in _rows(strip.readings, scale)}
    for_marks = min(_ROW_MOST_MM, (max(rows) - min(rows) + 2) * _PITCH_MM)
    return max(_ROW_LEAST_MM, for_marks, (len(_names(strip)) + 0.6) * _LINE_MM)


def _names(strip: _Strip) -> list[tuple[str, float]]:
    """The lines of a strip's name, each with its size, mm."""
    name = capital(strip.name)
    lines = [(line, svg.TEXT_MM) for line in svg.wrapped(name, _NAMES_MM)]
    return [*lines, (strip.side, svg.SMALL_MM)] if strip.side else lines


def _drawn(strip: _Strip, scale: _Scale, place: tuple[float, float], right: float) -> Iterator[str]:
    top, height = place
    placed = _rows(strip.readings, scale)
    low, high = min(row for _, row in placed), max(row for _, row in placed)
    pitch = min(_PITCH_MM, (height - 2 * _PITCH_MM) / max(1, high - low))
    middle = top + height / 2
    yield svg.line((0.0, top), (right + _COUNTS_MM, top), width_mm=svg.HAIR_MM, colour=svg.HAIRLINE)
    lines = _names(strip)
    first = middle + 0.9 - (len(lines) - 1) / 2 * _LINE_MM
    for index, (words, size_mm) in enumerate(lines):
        yield svg.text((0.0, first + index * _LINE_MM), words, size_mm=size_mm)
    for each, row in placed:
        yield _mark(each, (scale.mm(each.value), middle + (row - (low + high) / 2) * pitch))
    yield svg.text((right + 2.0, middle + 0.9), _count_words(strip.readings), size_mm=svg.SMALL_MM)


def _count_words(readings: Sequence[JudgedReading]) -> str:
    if readings[0].judged == "dry reference":
        return f"{len(readings)} readings"
    raised = sum(each.judged in ("raised", "much raised") for each in readings)
    if readings[0].judged == "not judged":
        return f"{len(readings)}, not judged"
    return f"{raised} of {len(readings)} raised"


def _mark(reading: JudgedReading, at: svg.Point) -> str:
    (x, y), radius = at, _MARK_MM / 2
    if reading.judged == "much raised":
        corners = [
            (x, y - radius * 1.3),
            (x + radius * 1.3, y),
            (x, y + radius * 1.3),
            (x - radius * 1.3, y),
        ]
        return svg.polygon(corners, fill=svg.INK, width_mm=0)
    filled = svg.INK if reading.judged == "raised" else svg.PAPER
    return svg.circle(at, radius, fill=filled, width_mm=svg.FINE_MM)


def _reference_band(of: MoistureMap, scale: _Scale, top: float, bottom: float) -> list[str]:
    if of.reference is None:
        return [
            svg.text((scale.mm(scale.low), 3.2), "Not judged against a dry reference", weight=600)
        ]
    start, middle = scale.mm(scale.low), scale.mm(of.reference.median)
    limit = scale.mm(of.reference.raised_above)
    return [
        svg.rectangle((start, top), limit - start, bottom - top, fill=_BAND.fill, width_mm=0),
        svg.line((middle, top), (middle, bottom), width_mm=svg.FINE_MM, dash=svg.DASHED),
        svg.line((limit, top - 1.2), (limit, bottom), width_mm=svg.LINE_MM),
        svg.text((limit + 1.0, 6.6), f"raised above {scale_number(of.reference.raised_above)}"),
        svg.text((limit - 1.0, 6.6), "as the dry reference", anchor="end"),
    ]


def _axis_words(of: MoistureMap) -> str:
    scale = f", scale {of.scale}" if of.scale and of.scale not in of.unit else ""
    return f"meter reading, {of.unit}{scale}"


def _key(of: MoistureMap, y: float) -> list[str]:
    """What the marks mean; nothing where they are not judged."""
    parts, x = [], 0.0
    for judged, words in (
        ("not distinguished", "not distinguished from the dry reference"),
        ("raised", "raised"),
        ("much raised", "much raised"),
    ):
        if of.reference is None:
            break
        sample = next((each for each in of.readings if each.judged == judged), None)
        if sample is None:
            continue
        parts.append(_mark(sample, (x + 1.0, y - 0.8)))
        parts.append(svg.text((x + 3.0, y), words, size_mm=svg.SMALL_MM))
        x += 8.0 + svg.text_width_mm(words, svg.SMALL_MM)
    return parts


# Detectability


def _even_grid(of: Coverage, across: _Scale, up: _Scale) -> list[svg.Point]:
    return [
        (across.mm(size), up.mm(chance_on_square_grid(size / 2, of.spacing_m)))
        for size, _ in of.curve
    ]


def _marked_point(of: Coverage, across: _Scale, up: _Scale) -> list[str]:
    at = (across.mm(of.across_m), up.mm(CHANCE))
    foot = up.mm(0.0)
    label = f"{of.across_m:.2f} m"
    is_left = at[0] + 1.5 + svg.text_width_mm(label) > across.mm(across.high)
    return [
        svg.line((across.mm(0.0), at[1]), at, width_mm=svg.FINE_MM, colour=svg.ACCENT),
        svg.line(at, (at[0], foot), width_mm=svg.FINE_MM, colour=svg.ACCENT),
        svg.circle(at, 0.9, fill=svg.INK, width_mm=0),
        svg.text(
            (across.mm(0.0) + 1.2, at[1] - 0.9), f"{100 * CHANCE:.0f} %", size_mm=svg.SMALL_MM
        ),
        svg.text(
            (at[0] + (-1.5 if is_left else 1.5), foot - 1.6),
            label,
            weight=600,
            anchor="end" if is_left else "start",
            halo=True,
        ),
    ]


# Both


def _ticks(scale: _Scale, y: float) -> list[str]:
    marks = scale.marks()
    places = max(0, -math.floor(math.log10(min(b - a for a, b in pairwise(marks))) + 1e-9))
    return [
        svg.line((scale.mm(each), y), (scale.mm(each), y + 0.9))
        + svg.text(
            (scale.mm(each), y + 3.6),
            f"{each:.{places}f}" if each else "0",
            size_mm=svg.SMALL_MM,
            anchor="middle",
        )
        for each in marks
    ]


def _set_lines(lines: Sequence[str], y: float) -> list[str]:
    return [svg.text((0.0, y + index * _LINE_MM), line) for index, line in enumerate(lines)]
