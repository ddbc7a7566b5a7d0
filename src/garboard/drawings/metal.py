"""Drawings of metal: plate thickness panel by panel, potentials on their scale, anodes eaten, a life running out.

Plain values in, one SVG out. Everything is told by shape, hatching and number; nothing by colour.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor

from garboard.drawings import svg

WIDTH_MM = 150.0
"""Width of every sheet here, mm."""

_LEFT_MM = 10.0
_ROW_MM = 6.0
_LINE_MM = 2.9
_COLUMN_MM = 38.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelBar:
    """One panel of a thickness strip, mm; what nobody knows is None, and a panel not read has no `now_mm`."""

    label: str
    original_mm: float | None = None
    now_mm: float | None = None
    least_mm: float | None = None
    earlier_mm: float | None = None
    limit_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PotentialMark:
    """One potential, mV, with its standard uncertainty, and whether it lies within its limits, in words."""

    label: str
    potential_mv: float
    uncertainty_mv: float
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AnodeBar:
    """One anode: per cent eaten, None where it cannot be told; the band that was expected; what it means."""

    label: str
    eaten_pct: float | None
    words: str
    expected_pct: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauged:
    """A thickness at a time: the year as a decimal, mm, and its standard uncertainty."""

    year: float
    thickness_mm: float
    uncertainty_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axis:
    """Values laid out along one direction of the sheet."""

    low: float
    high: float
    start_mm: float
    end_mm: float

    def at(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.start_mm + share * (self.end_mm - self.start_mm)


def _column_mm(words: Sequence[str]) -> float:
    """The width of a column of words, the longest of them cut."""
    return max(svg.text_width_mm(_cut(each), svg.SMALL_MM) for each in words)


def _cut(words: str) -> str:
    return svg.shortened(words, _COLUMN_MM, svg.SMALL_MM)


def _lines(words: str) -> list[str]:
    """Words in the lines that a column of words has room for; a long word alone is cut."""
    return [_cut(each) for each in svg.wrapped(words, _COLUMN_MM, svg.SMALL_MM)]


def _lines_mm(words: Sequence[str]) -> float:
    """The width of a column of words in lines."""
    lines = [line for each in words for line in _lines(each)]
    return max((svg.text_width_mm(each, svg.SMALL_MM) for each in lines), default=0.0)


def _in_lines(x: float, y: float, words: str) -> Iterator[str]:
    """Words in lines, their middle level with the row's."""
    lines = _lines(words)
    for index, line in enumerate(lines):
        down = _LINE_MM * (index - (len(lines) - 1) / 2)
        yield svg.text((x, y + 0.75 + down), line, size_mm=svg.SMALL_MM)


# Thickness strip


def thickness_strip(title: str, panels: Sequence[PanelBar]) -> str:
    """Each panel as a bar from zero: now, least, earlier, original and limit.

    Args:
        title: What was gauged, and which side.
        panels: In order from the stem; those not read stay blank.

    Raises:
        ValueError: No panel has a thickness.
    """
    known = [
        each
        for panel in panels
        for each in (panel.original_mm, panel.now_mm, panel.earlier_mm, panel.limit_mm)
        if each is not None
    ]
    if not known:
        raise ValueError("A thickness strip needs a panel with a thickness; none has one.")
    foot = 56.0
    up = _Axis(low=0, high=max(1, ceil(max(known))), start_mm=foot, end_mm=10.0)
    across = _Axis(low=0, high=len(panels), start_mm=_LEFT_MM, end_mm=WIDTH_MM)
    parts = [*_strip_key(panels, 3.0), *_strip_axis(up)]
    for index, panel in enumerate(panels):
        parts += _panel_bar(panel, across.at(index), across.at(index + 1), up)
    return svg.drawing(
        WIDTH_MM,
        foot + 14,
        title=title,
        desc=" ".join(_panel_words(panel) for panel in panels),
        parts=[*parts, *_strip_rows(foot)],
        hatches=[svg.RISING],
    )


def _strip_key(panels: Sequence[PanelBar], y: float) -> Iterator[str]:
    """The signs that occur, with their words."""
    x = _LEFT_MM
    for words, of, sign in (
        ("mean now", "now_mm", svg.rectangle((0, -2.0), 5, 2.4, fill=svg.RISING.fill, width_mm=svg.FINE_MM)),
        ("least now", "least_mm", _least((2.5, -0.8))),
        ("earlier survey", "earlier_mm", svg.circle((2.5, -0.8), 0.9, fill=svg.PAPER)),
        ("original", "original_mm", svg.line((0, -0.8), (5, -0.8), width_mm=svg.BOLD_MM)),
        ("limit of the mean", "limit_mm", svg.line((0, -0.8), (5, -0.8), dash=svg.DASHED, width_mm=0.4)),
    ):  # fmt: skip
        if all(getattr(each, of) is None for each in panels):
            continue
        yield svg.group([sign], at=(x, y))
        yield svg.text((x + 6.5, y), words, size_mm=svg.SMALL_MM)
        x += 6.5 + svg.text_width_mm(words, svg.SMALL_MM) + 6


def _strip_axis(up: _Axis) -> Iterator[str]:
    every = max(1, round(up.high / 6))
    for thickness in range(0, int(up.high) + 1, every):
        y = up.at(thickness)
        yield svg.line((_LEFT_MM, y), (WIDTH_MM, y), width_mm=svg.HAIR_MM, colour=svg.HAIRLINE)
        yield svg.text(
            (_LEFT_MM - 1.5, y + 0.75), str(thickness), size_mm=svg.SMALL_MM, anchor="end"
        )
    yield svg.text((0, up.end_mm - 1.5), "mm", size_mm=svg.SMALL_MM)


def _strip_rows(foot: float) -> Iterator[str]:
    for drop, words in ((3.8, "m aft"), (7.6, "now"), (11.2, "lost %")):
        yield svg.text((0, foot + drop), words, size_mm=svg.SMALL_MM)


def _panel_bar(panel: PanelBar, left: float, right: float, up: _Axis) -> Iterator[str]:
    middle, inset, foot = (left + right) / 2, (right - left) * 0.22, up.start_mm
    yield _under((middle, foot + 3.8), panel.label)
    if panel.now_mm is None:
        yield _under((middle, foot + 7.6), "–")
    else:
        top = up.at(panel.now_mm)
        yield svg.rectangle(
            (left + inset, top),
            right - left - 2 * inset,
            foot - top,
            fill=svg.RISING.fill,
            width_mm=svg.FINE_MM,
        )
        yield _under((middle, foot + 7.6), f"{panel.now_mm:.1f}", weight=600)
        if panel.original_mm:
            lost = 100 * (1 - panel.now_mm / panel.original_mm)
            yield _under((middle, foot + 11.2), _signed(lost))
    if panel.original_mm is not None:
        y = up.at(panel.original_mm)
        yield svg.line((left, y), (right, y), width_mm=svg.BOLD_MM)
    if panel.limit_mm is not None:
        y = up.at(panel.limit_mm)
        yield svg.line((left, y), (right, y), width_mm=0.4, dash=svg.DASHED)
    if panel.earlier_mm is not None:
        yield svg.circle((middle - inset / 2, up.at(panel.earlier_mm)), 0.9, fill=svg.PAPER)
    if panel.least_mm is not None:
        yield _least((middle + inset / 2, up.at(panel.least_mm)))


def _least(at: svg.Point) -> str:
    """A filled mark that stands clear of hatching."""
    return svg.circle(at, 1.1, fill=svg.PAPER, width_mm=0) + svg.circle(
        at, 0.8, fill=svg.INK, width_mm=0
    )


def _under(at: svg.Point, words: str, weight: int = 400) -> str:
    return svg.text(at, words, size_mm=svg.SMALL_MM, anchor="middle", weight=weight)


def _panel_words(panel: PanelBar) -> str:
    if panel.now_mm is None:
        return f"{panel.label} m: not read."
    told = [f"mean {panel.now_mm:.1f} mm"]
    told += [
        f"{name} {value:.1f}"
        for name, value in (
            ("least", panel.least_mm),
            ("earlier", panel.earlier_mm),
            ("original", panel.original_mm),
            ("limit", panel.limit_mm),
        )
        if value is not None
    ]
    if panel.limit_mm is not None and panel.now_mm < panel.limit_mm:
        told.append("below the limit")
    return f"{panel.label} m: {', '.join(told)}."


# Potential scale


def potential_scale(
    title: str,
    marks: Sequence[PotentialMark],
    *,
    electrode: str,
    under_mv: float | None = None,
    over_mv: float | None = None,
) -> str:
    """Potentials on one scale, the more negative to the left, over the bands of the hull.

    Args:
        title: What was read.
        marks: In the order they are listed.
        electrode: The reference electrode all are given against.
        under_mv: Least negative potential that protects, mV; None where no limit is held.
        over_mv: Most negative one wanted, mV; None where no limit is held.

    Raises:
        ValueError: There is no potential, or no electrode is named.
    """
    if not marks or not electrode.strip():
        raise ValueError("A scale of potentials needs one potential or more and its electrode.")
    limits = [each for each in (over_mv, under_mv) if each is not None]
    ends = [each.potential_mv for each in marks] + limits
    names = _lines_mm([each.label for each in marks]) + 3
    told = _lines_mm([each.words for each in marks])
    across = _Axis(
        low=floor(min(ends) / 100) * 100 - 100,
        high=ceil(max(ends) / 100) * 100 + 100,
        start_mm=names,
        end_mm=WIDTH_MM - told - 16,
    )
    top = 9.0
    heights = [_potential_row_mm(each) for each in marks]
    foot = top + sum(heights) + 1
    parts = [
        *_bands(across, top, foot, under_mv, over_mv),
        *_potential_axis(across, foot, electrode),
    ]
    y = top + 0.5
    for each, height in zip(marks, heights, strict=True):
        parts += _potential_row(each, y + height / 2, across)
        y += height
    return svg.drawing(
        WIDTH_MM,
        foot + 11,
        title=title,
        desc=_potential_words(marks, electrode, under_mv, over_mv),
        parts=parts,
        hatches=[_OVER, _UNDER],
    )


_OVER = svg.Hatch(angle_deg=135, spacing_mm=1.6, colour=svg.HAIRLINE)
_UNDER = svg.Hatch(angle_deg=45, spacing_mm=1.6, colour=svg.HAIRLINE)


def _bands(
    across: _Axis, top: float, foot: float, under_mv: float | None, over_mv: float | None
) -> Iterator[str]:
    """What is too much hatched falling, what is too little hatched rising, each named above."""
    bands: list[tuple[str, float, float, str]] = []
    if over_mv is not None:
        bands.append(("more than wanted", across.low, over_mv, _OVER.fill))
    if under_mv is not None:
        bands.append(("too little", under_mv, across.high, _UNDER.fill))
    if under_mv is not None and over_mv is not None:
        bands.append(("protected", over_mv, under_mv, "none"))
    for words, start, end, fill in bands:
        left, right = across.at(start), across.at(end)
        yield svg.rectangle((left, top), right - left, foot - top, fill=fill, width_mm=0)
        size = min(svg.SMALL_MM, svg.SMALL_MM * (right - left) / svg.text_width_mm(words))
        yield svg.text(((left + right) / 2, 3.0), words, size_mm=size, anchor="middle")
    for limit in (over_mv, under_mv):
        if limit is not None:
            x = across.at(limit)
            yield svg.line((x, top), (x, foot), width_mm=0.4, dash=svg.DASHED)
            yield svg.text((x, top - 1.5), _signed(limit), size_mm=svg.SMALL_MM, anchor="middle")


def _potential_axis(across: _Axis, foot: float, electrode: str) -> Iterator[str]:
    yield svg.line((across.start_mm, foot), (across.end_mm, foot))
    every = 100 if across.high - across.low <= 1000 else 200
    for value in range(int(across.low), int(across.high) + 1, every):
        x = across.at(value)
        yield svg.line((x, foot), (x, foot + 1))
        yield svg.text((x, foot + 3.8), _signed(value), size_mm=svg.SMALL_MM, anchor="middle")
    words = f"mV against {electrode}; each bar reaches as far as its ±"
    yield svg.text((across.start_mm, foot + 8.5), words, size_mm=svg.SMALL_MM)


def _potential_row(mark: PotentialMark, y: float, across: _Axis) -> Iterator[str]:
    low = max(across.low, mark.potential_mv - 2 * mark.uncertainty_mv)
    high = min(across.high, mark.potential_mv + 2 * mark.uncertainty_mv)
    yield from _in_lines(0, y, mark.label)
    yield _whisker((across.at(low), y), (across.at(high), y))
    yield svg.circle((across.at(mark.potential_mv), y), 1.0, fill=svg.INK, width_mm=0)
    right = across.end_mm + 12
    yield svg.text(
        (right, y + 0.75),
        _signed(mark.potential_mv),
        size_mm=svg.SMALL_MM,
        anchor="end",
        weight=600,
    )
    yield from _in_lines(right + 3, y, mark.words)


def _potential_row_mm(mark: PotentialMark) -> float:
    return max(
        _ROW_MM, *(_LINE_MM * len(_lines(words)) + 1.5 for words in (mark.label, mark.words))
    )


def _whisker(start: svg.Point, end: svg.Point) -> str:
    """A bar of uncertainty with its end strokes, on paper so that hatching does not swallow it."""
    level = start[1] == end[1]
    dx, dy = (0.0, 1.0) if level else (1.0, 0.0)
    ends = "".join(
        svg.line((x - dx, y - dy), (x + dx, y + dy), width_mm=svg.LINE_MM) for x, y in (start, end)
    )
    return svg.line(start, end, width_mm=1.2, colour=svg.PAPER) + svg.line(start, end) + ends


def _signed(value: float) -> str:
    """A whole number with a true minus sign, and none before zero.

    >>> _signed(-850), _signed(-0.2)
    ('−850', '0')
    """
    return f"{round(value) or 0}".replace("-", "−")


def _potential_words(
    marks: Sequence[PotentialMark], electrode: str, under_mv: float | None, over_mv: float | None
) -> str:
    told = [f"Potentials against {electrode}, in millivolts."]
    if under_mv is not None:
        told.append(f"Protection is wanted at {_signed(under_mv)} or more negative.")
    if over_mv is not None:
        told.append(f"Beyond {_signed(over_mv)} is more than wanted.")
    told += [
        f"{each.label}: {_signed(each.potential_mv)}{f', {each.words}' if each.words else ''}."
        for each in marks
    ]
    return " ".join(told)


# Anodes


def anode_picture(title: str, anodes: Sequence[AnodeBar]) -> str:
    """Each anode as it was found over its outline when new, with the loss that was expected.

    Args:
        title: Which anodes.
        anodes: In the order they are listed.

    Raises:
        ValueError: There is no anode, or a share lies outside 0 to 100 %.
    """
    if not anodes:
        raise ValueError("A picture of anodes needs one anode or more; none was given.")
    for each in anodes:
        for share in (each.eaten_pct or 0.0, *(each.expected_pct or ())):
            if not 0 <= share <= 100:
                raise ValueError(f"A share eaten is 0 to 100 %; {each.label} has {share:g} %.")
    names = _column_mm([each.label for each in anodes]) + 3
    told = _column_mm([each.words for each in anodes])
    end = min(names + 62, WIDTH_MM - told - 16)
    across = _Axis(low=100, high=0, start_mm=names, end_mm=end)
    top, row = 9.0, 9.0
    foot = top + row * len(anodes)
    half = across.at(50)
    parts = [
        *_anode_key(names, any(each.expected_pct for each in anodes)),
        svg.line((half, top - 1), (half, foot), width_mm=0.4, dash=svg.DASHED),
    ]
    for index, each in enumerate(anodes):
        parts += _anode_row(each, top + row * index, across)
    parts += _anode_axis(across, foot)
    return svg.drawing(
        WIDTH_MM,
        foot + 11,
        title=title,
        desc=" ".join(_anode_words(each) for each in anodes),
        parts=parts,
        hatches=[svg.RISING],
    )


def _anode_key(left: float, is_expected: bool) -> Iterator[str]:
    x = left
    for words, sign in (
        ("left", _block(_Axis(low=100, high=0, start_mm=0, end_mm=6), 0.0, -2.6, 3.0)),
        ("as new", _outline(0, 6, -2.6, 3.0)),
        ("loss expected", _bracket(0, 6, -1.6) if is_expected else ""),
        ("half gone", svg.line((3, -2.6), (3, 0.6), width_mm=0.4, dash=svg.DASHED)),
    ):
        if not sign:
            continue
        yield svg.group([sign], at=(x, 3.4))
        yield svg.text((x + 7.5, 3.4), words, size_mm=svg.SMALL_MM)
        x += 7.5 + svg.text_width_mm(words, svg.SMALL_MM) + 6


def _anode_row(anode: AnodeBar, y: float, across: _Axis) -> Iterator[str]:
    yield svg.text((0, y + 3.2), _cut(anode.label), size_mm=svg.SMALL_MM)
    yield _outline(across.start_mm, across.end_mm, y, 5.0)
    if anode.eaten_pct is not None:
        yield _block(across, anode.eaten_pct, y, 5.0)
    if anode.expected_pct is not None:
        low, high = sorted(anode.expected_pct)
        yield _bracket(across.at(high), across.at(low), y + 6.3)
    share = "?" if anode.eaten_pct is None else f"{anode.eaten_pct:.0f} %"
    right = across.end_mm + 12
    yield svg.text((right, y + 3.2), share, size_mm=svg.SMALL_MM, anchor="end", weight=600)
    yield svg.text((right + 3, y + 3.2), _cut(anode.words), size_mm=svg.SMALL_MM)


def _outline(left: float, right: float, y: float, height: float) -> str:
    """The outline of a new anode, its ends bevelled as they are cast."""
    bevel = height * 0.3
    corners = [(left, y + height), (left + bevel, y), (right - bevel, y), (right, y + height)]
    return svg.polygon(corners, width_mm=svg.FINE_MM, dash=(1.0, 0.7))


def _block(across: _Axis, eaten_pct: float, y: float, height: float) -> str:
    """What is left of an anode, from the left end of its outline."""
    left, right = across.at(100), across.at(eaten_pct)
    bevel = min(height * 0.3, (right - left) / 2)
    if right - left <= 0:
        return ""
    corners = [(left, y + height), (left + bevel, y), (right - bevel, y), (right, y + height)]
    return svg.polygon(corners, fill=svg.RISING.fill)


def _bracket(left: float, right: float, y: float) -> str:
    return svg.polyline(
        [(left, y - 0.9), (left, y), (right, y), (right, y - 0.9)], width_mm=svg.LINE_MM
    )


def _anode_axis(across: _Axis, foot: float) -> Iterator[str]:
    yield svg.line((across.start_mm, foot), (across.end_mm, foot))
    for share in range(0, 101, 20):
        x = across.at(share)
        yield svg.line((x, foot), (x, foot + 1))
        yield svg.text((x, foot + 3.8), str(share), size_mm=svg.SMALL_MM, anchor="middle")
    yield svg.text(
        ((across.start_mm + across.end_mm) / 2, foot + 8.5),
        "% eaten",
        size_mm=svg.SMALL_MM,
        anchor="middle",
    )


def _anode_words(anode: AnodeBar) -> str:
    eaten = "loss not known" if anode.eaten_pct is None else f"{anode.eaten_pct:.0f} % eaten"
    expected = ""
    if anode.expected_pct is not None:
        low, high = sorted(anode.expected_pct)
        expected = f", {low:.0f} to {high:.0f} % expected"
    words = f": {anode.words}" if anode.words else ""
    told = f"{anode.label}, {eaten}{expected}{words}"
    return told if told.endswith((".", "?")) else f"{told}."


# Remaining life


def life_line(
    title: str,
    earlier: Gauged,
    now: Gauged,
    *,
    limit_mm: float,
    shortest_y: float,
    life_y: float | None = None,
) -> str:
    """Two surveys of one panel, and the years until its limit: the best estimate and the shortest likely.

    Args:
        title: Which panel.
        earlier: The earlier survey.
        now: The present one, later.
        limit_mm: Thickness at which it is renewed, mm.
        shortest_y: Lower bound of the life, years; 0 or more.
        life_y: Best estimate, years; None where no loss is shown.

    Raises:
        ValueError: The surveys are not in order, or a life is negative.
    """
    if now.year <= earlier.year:
        raise ValueError(
            f"The present survey follows the earlier one; {now.year:g} is not after {earlier.year:g}."
        )
    if shortest_y < 0 or (life_y is not None and life_y < 0):
        raise ValueError(f"A life is 0 years or more; {shortest_y:g} and {life_y} were given.")
    # Beyond a century the line says nothing more and the surveys would shrink to a point.
    last = min(now.year + max(shortest_y, life_y or 0.0), now.year + 100) + 1
    ends = [
        each.thickness_mm + way * 2 * each.uncertainty_mm
        for each in (earlier, now)
        for way in (-1, 1)
    ]
    low, high = floor(2 * min(*ends, limit_mm) - 0.7) / 2, ceil(2 * max(ends)) / 2
    foot = 58.0
    across = _Axis(
        low=floor(earlier.year - 0.5), high=ceil(last), start_mm=_LEFT_MM, end_mm=WIDTH_MM - 5
    )
    up = _Axis(low=low, high=high, start_mm=foot, end_mm=6.0)
    parts = [
        *_life_axes(across, up),
        *_limit_line(across, up, limit_mm),
        *_falls(across, up, now, limit_mm, shortest_y, life_y),
        svg.line(
            (across.at(earlier.year), up.at(earlier.thickness_mm)),
            (across.at(now.year), up.at(now.thickness_mm)),
        ),
    ]
    for each in (earlier, now):
        parts += _gauged(across, up, each)
    return svg.drawing(
        WIDTH_MM,
        foot + 10,
        title=title,
        desc=_life_words(earlier, now, limit_mm, shortest_y, life_y),
        parts=parts,
    )


def _life_axes(across: _Axis, up: _Axis) -> Iterator[str]:
    foot = up.start_mm
    span = up.high - up.low
    every_mm = next(each for each in (0.5, 1.0, 2.0, 5.0, 10.0, span) if span / each <= 10)
    for step in range(int(span / every_mm) + 1):
        thickness = up.low + step * every_mm
        y = up.at(thickness)
        yield svg.line(
            (across.start_mm, y), (across.end_mm, y), width_mm=svg.HAIR_MM, colour=svg.HAIRLINE
        )
        yield svg.text(
            (_LEFT_MM - 1.5, y + 0.75), f"{thickness:.1f}", size_mm=svg.SMALL_MM, anchor="end"
        )
    yield svg.text((0, up.end_mm - 2.5), "mm", size_mm=svg.SMALL_MM)
    years = across.high - across.low
    every = next(each for each in (1, 2, 5, 10, 20, 50) if years / each <= 16)
    first = ceil(across.low / every) * every
    for year in range(int(first), int(across.high) + 1, every):
        x = across.at(year)
        yield svg.line((x, foot), (x, foot + 1))
        yield svg.text((x, foot + 3.8), str(year), size_mm=svg.SMALL_MM, anchor="middle")


def _limit_line(across: _Axis, up: _Axis, limit_mm: float) -> Iterator[str]:
    y = up.at(limit_mm)
    yield svg.line((across.start_mm, y), (across.end_mm, y), width_mm=0.4, dash=svg.DASHED)
    words = f"limit {limit_mm:.2f} mm"
    yield svg.text((across.start_mm + 1, y - 1.2), words, size_mm=svg.SMALL_MM, halo=True)


def _falls(
    across: _Axis,
    up: _Axis,
    now: Gauged,
    limit_mm: float,
    shortest_y: float,
    life_y: float | None,
) -> Iterator[str]:
    """From the present thickness down to the limit: shortest likely, and best estimate."""
    start = (across.at(now.year), up.at(now.thickness_mm))
    for life, words, dash, drop in (
        (life_y, "best estimate", svg.CHAIN, 6.6),
        (shortest_y, "shortest likely", (0.4, 0.8), 3.6),
    ):
        if life is None:
            continue
        year = min(now.year + life, across.high)
        end = (across.at(year), up.at(limit_mm))
        yield svg.line(start, end, dash=dash, width_mm=svg.LINE_MM)
        yield svg.polygon(
            [
                (end[0], end[1] - 1.1),
                (end[0] + 1.1, end[1]),
                (end[0], end[1] + 1.1),
                (end[0] - 1.1, end[1]),
            ],
            fill=svg.PAPER,
        )
        yield svg.text(
            (end[0], end[1] + drop),
            f"{words} {life:.1f} years",
            size_mm=svg.SMALL_MM,
            halo=True,
            anchor="end" if end[0] > WIDTH_MM - 35 else "start",
        )


def _gauged(across: _Axis, up: _Axis, gauged: Gauged) -> Iterator[str]:
    x, doubt = across.at(gauged.year), 2 * gauged.uncertainty_mm
    at = (x, up.at(gauged.thickness_mm))
    yield _whisker((x, up.at(gauged.thickness_mm - doubt)), (x, up.at(gauged.thickness_mm + doubt)))
    yield svg.circle(at, 0.9, fill=svg.INK, width_mm=0)
    yield svg.text(
        (x + 1.8, at[1] - 1.2),
        f"{gauged.thickness_mm:.2f}",
        size_mm=svg.SMALL_MM,
        halo=True,
        weight=600,
    )


def _life_words(
    earlier: Gauged, now: Gauged, limit_mm: float, shortest_y: float, life_y: float | None
) -> str:
    best = (
        f"best estimate {life_y:.1f} years"
        if life_y is not None
        else "no best estimate can be given"
    )
    return (
        f"{earlier.thickness_mm:.2f} mm in {earlier.year:.1f}, {now.thickness_mm:.2f} mm in "
        f"{now.year:.1f}; the limit is {limit_mm:.2f} mm. Shortest likely life {shortest_y:.1f} years, {best}."
    )
