"""The drying of a laminate as a curve with its range, on a time scale from days to decades."""

import math
from collections.abc import Iterator

from garboard.drawings import svg
from garboard.methods.drying import HALF, MOST, Drying, in_words

_LEFT_MM, _RIGHT_MM, _TOP_MM = 11.0, 4.0, 9.0
_LINE_MM = 3.4
_YEAR_D = 365.25
_MARKS: tuple[tuple[float, str], ...] = (
    (1, "1 day"),
    (7, "1 week"),
    (_YEAR_D / 12, "1 month"),
    (_YEAR_D / 4, "3 months"),
    (_YEAR_D, "1 year"),
    (3 * _YEAR_D, "3"),
    (10 * _YEAR_D, "10"),
    (30 * _YEAR_D, "30"),
    (100 * _YEAR_D, "100 years"),
)
_BAND = svg.Hatch(angle_deg=45, spacing_mm=1.1, width_mm=0.13, colour=svg.HAIRLINE)


def drying_curve(of: Drying, width_mm: float = 110.0) -> str:
    """The share of the water that has left against time: hatched from the fastest to the slowest laminate.

    The heavy line is the middle of the range and never stands alone; half and nine tenths are marked with the times
    between which they fall.

    Args:
        of: The drying of one laminate.
        width_mm: Width of the sheet, mm; 90 or more.

    Raises:
        ValueError: The sheet is too narrow.
    """
    if width_mm < 90:
        raise ValueError(f"This plot needs 90 mm or more; {width_mm} mm is too narrow.")
    bottom = _TOP_MM + (width_mm - _LEFT_MM - _RIGHT_MM) * 0.5
    on = _Sheet(of, width_mm - _RIGHT_MM, bottom)
    fast, usual, slow = (
        [on.at(days, shares[each]) for days, shares in of.curve] for each in range(3)
    )
    lines = svg.wrapped(_words(of), width_mm)
    start = bottom + 13.0
    return svg.drawing(
        width_mm,
        start + _LINE_MM * (len(lines) - 1) + 1.2,
        title=f"Drying of the laminate, {of.name}",
        desc=_words(of),
        hatches=[_BAND],
        parts=[
            svg.text((0.0, 3.2), f"Drying of the laminate, {of.name}", weight=600),
            svg.text((0.0, 7.0), "% of the water that will leave", size_mm=svg.SMALL_MM),
            svg.polygon([*fast, *slow[::-1]], fill=_BAND.fill, width_mm=0),
            *_grid(on),
            svg.polyline(fast, width_mm=svg.FINE_MM),
            svg.polyline(slow, width_mm=svg.FINE_MM),
            svg.polyline(usual, width_mm=svg.BOLD_MM),
            *_span(on, HALF, of.half_days),
            *_span(on, MOST, of.most_days),
            svg.text(
                ((_LEFT_MM + on.right) / 2, bottom + 8.0),
                "time in warmth and dry air like those given",
                size_mm=svg.SMALL_MM,
                anchor="middle",
            ),
            *(svg.text((0.0, start + n * _LINE_MM), line) for n, line in enumerate(lines)),
        ],
    )


class _Sheet:
    """From days and share to millimetres, time on a scale of ratios."""

    def __init__(self, of: Drying, right: float, bottom: float) -> None:
        self.right, self.bottom = right, bottom
        self._first, self._last = math.log(of.curve[0][0]), math.log(of.curve[-1][0])

    def at(self, days: float, share: float) -> svg.Point:
        along = (math.log(days) - self._first) / (self._last - self._first)
        up = share * (self.bottom - _TOP_MM)
        return _LEFT_MM + along * (self.right - _LEFT_MM), self.bottom - up

    def holds(self, days: float) -> bool:
        return self._first <= math.log(days) <= self._last


def _grid(on: _Sheet) -> Iterator[str]:
    yield svg.line((_LEFT_MM, _TOP_MM), (_LEFT_MM, on.bottom))
    yield svg.line((_LEFT_MM, on.bottom), (on.right, on.bottom))
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        y = on.bottom - share * (on.bottom - _TOP_MM)
        yield svg.line((_LEFT_MM - 0.9, y), (_LEFT_MM, y))
        yield svg.text(
            (_LEFT_MM - 1.6, y + 0.8), f"{100 * share:.0f}", size_mm=svg.SMALL_MM, anchor="end"
        )
    taken = -math.inf
    for days, words in _MARKS:
        if not on.holds(days):
            continue
        x, y = on.at(days, 0.0)
        yield svg.line((x, y), (x, y + 0.9))
        half = svg.text_width_mm(words, svg.SMALL_MM) / 2
        if x - half > taken + 1.0 and x + half <= on.right + _RIGHT_MM:
            yield svg.text((x, y + 3.8), words, size_mm=svg.SMALL_MM, anchor="middle")
            taken = x + half


def _span(on: _Sheet, share: float, days: tuple[float, float, float]) -> Iterator[str]:
    """A share's level across the band, its ends marked with their times."""
    short, usual, long = (on.at(each, share) for each in days)
    yield svg.line((_LEFT_MM, short[1]), short, width_mm=svg.HAIR_MM, dash=svg.DASHED)
    yield svg.line(short, long, width_mm=svg.LINE_MM, colour=svg.ACCENT)
    for end in (short, long):
        yield svg.line(
            (end[0], end[1] - 1.1), (end[0], end[1] + 1.1), width_mm=svg.LINE_MM, colour=svg.ACCENT
        )
    yield svg.circle(usual, 0.9, fill=svg.INK, width_mm=0)
    yield svg.text(
        (short[0] - 1.2, short[1] - 0.9), in_words(days[0]), weight=600, anchor="end", halo=True
    )
    label = in_words(days[2])
    fits = long[0] + 1.2 + 1.08 * svg.text_width_mm(label) <= on.right + _RIGHT_MM
    yield svg.text(
        (long[0] + 1.2, long[1] + 2.9) if fits else (on.right + _RIGHT_MM, long[1] + 4.0),
        label,
        weight=600,
        anchor="start" if fits else "end",
        halo=True,
    )


def _words(of: Drying) -> str:
    faces = "one face closed" if of.open_faces == 1 else "both faces open"
    half, most = (
        f"{in_words(short)} to {in_words(long)}" for short, _, long in (of.half_days, of.most_days)
    )
    return (
        f"{of.thickness_mm:g} mm of solid laminate, {faces}, kept at {of.laminate_c:g} °C: half of the water gone after {half}, "
        f"nine tenths after {most}. Heavy line: the middle of the range. No date follows from it; blister fluid, voids and "
        "a barrier coat are not in it."
    )
