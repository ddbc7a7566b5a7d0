"""Drawings of metal: plate thickness panel by panel, potentials on their scale, anodes eaten, a life running out.

Plain values in, one SVG out. Everything is told by shape, hatching and number; nothing by colour.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil, floor, log10

from garboard.drawings.svg import (
    BOLD_MM,
    DASHED,
    FALLING,
    FINE_MM,
    HAIR_MM,
    HAIRLINE,
    PAPER,
    RISING,
    SMALL_MM,
    TEXT_MM,
    Point,
    arrow,
    circle,
    drawing,
    line,
    number,
    polygon,
    polyline,
    rectangle,
    text,
    text_width_mm,
)

SHEET_MM = 160.0
"""Width of every sheet here, mm: the text block of an A4 page."""

_LEFT_MM = 12.0
_RIGHT_MM = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelBar:
    """One panel of a thickness strip, mm; what nobody knows is None, and a panel not read has no `now_mm`."""

    label: str
    original_mm: float | None
    now_mm: float | None
    least_mm: float | None = None
    earlier_mm: float | None = None
    limit_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PotentialMark:
    """One potential, mV, with its standard uncertainty."""

    label: str
    potential_mv: float
    uncertainty_mv: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AnodeBar:
    """One anode: per cent eaten, None where it cannot be told, and the band that was expected, per cent."""

    label: str
    eaten_pct: float | None
    words: str
    expected_pct: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauged:
    """A thickness at a time: years as a decimal, mm, and its standard uncertainty."""

    year: float
    thickness_mm: float
    uncertainty_mm: float


# Thickness strip


def thickness_strip(title: str, panels: Sequence[PanelBar]) -> str:
    """Each panel as a bar from zero: now, earlier, original and limit.

    Args:
        title: What was gauged, which side.
        panels: In order from the stem; unread ones stay blank.

    Raises:
        ValueError: There is no panel, or none has a thickness.
    """
    known = [
        each
        for panel in panels
        for each in (panel.original_mm, panel.now_mm, panel.earlier_mm)
        if each is not None
    ]
    if not known:
        raise ValueError("A thickness strip needs one panel or more with a thickness.")
    highest = ceil(max(known))
    top, foot = 16.0, 66.0
    per_mm = (foot - top) / highest
    step = (SHEET_MM - _LEFT_MM - _RIGHT_MM) / len(panels)
    parts = [
        text((0, 4), title, weight=600),
        *_thickness_key(9.5),
        *_thickness_axis(highest, foot, per_mm),
    ]
    for index, panel in enumerate(panels):
        parts += _panel_bar(panel, _LEFT_MM + index * step, step, foot, per_mm)
    parts.append(
        text((_LEFT_MM, foot + 13), "Panels from the stem aft; mm below each bar.", size_mm=SMALL_MM)
    )
    return drawing(
        SHEET_MM,
        foot + 15,
        title=title,
        desc=" ".join(_panel_words(panel) for panel in panels),
        parts=parts,
        hatches=(RISING,),
    )


def _thickness_key(y: float) -> Iterator[str]:
    x = 0.0
    for words, sign in (
        ("mean now", rectangle((0, -2.2), 5, 2.6, fill=RISING.fill, width_mm=FINE_MM)),
        ("least now", circle((2.5, -0.9), 0.7, fill="#1c1a17", width_mm=0)),
        ("earlier survey", circle((2.5, -0.9), 0.9, fill=PAPER)),
        ("original", line((0, -0.9), (5, -0.9))),
        ("limit of the mean", line((0, -0.9), (5, -0.9), width_mm=BOLD_MM, dash=DASHED)),
    ):
        yield f'<g transform="translate({number(x)} {number(y)})">{sign}</g>'
        yield text((x + 6.5, y), words, size_mm=SMALL_MM)
        x += 6.5 + text_width_mm(words, SMALL_MM) + 6


def _thickness_axis(highest: int, foot: float, per_mm: float) -> Iterator[str]:
    right = SHEET_MM - _RIGHT_MM
    every = ceil(highest / 8)
    for thickness in range(0, highest + 1, every):
        y = foot - thickness * per_mm
        yield line((_LEFT_MM, y), (right, y), width_mm=HAIR_MM, colour=HAIRLINE)
        yield text((_LEFT_MM - 2, y + 0.8), str(thickness), size_mm=SMALL_MM, anchor="end")
    yield text((0, foot - highest * per_mm + 0.8), "mm", size_mm=SMALL_MM)


def _panel_bar(
    panel: PanelBar, left: float, step: float, foot: float, per_mm: float
) -> Iterator[str]:
    inset, middle, right = step * 0.18, left + step / 2, left + step
    yield text((middle, foot + 4), panel.label, size_mm=SMALL_MM, anchor="middle")
    if panel.now_mm is None:
        yield text((middle, foot + 8), "not read", size_mm=SMALL_MM, anchor="middle")
    else:
        height = panel.now_mm * per_mm
        yield rectangle(
            (left + inset, foot - height),
            step - 2 * inset,
            height,
            fill=RISING.fill,
            width_mm=FINE_MM,
        )
        written = f"{panel.now_mm:.1f}"
        yield text((middle, foot + 8), written, size_mm=SMALL_MM, anchor="middle", weight=600)
    for thickness, width, dash in (
        (panel.original_mm, 0.25, ()),
        (panel.limit_mm, BOLD_MM, DASHED),
    ):
        if thickness is not None:
            y = foot - thickness * per_mm
            yield line((left, y), (right, y), width_mm=width, dash=dash)
    if panel.earlier_mm is not None:
        yield circle((middle, foot - panel.earlier_mm * per_mm), 0.9, fill=PAPER)
    if panel.least_mm is not None:
        yield circle((middle, foot - panel.least_mm * per_mm), 0.95, fill=PAPER, width_mm=0)
        yield circle((middle, foot - panel.least_mm * per_mm), 0.7, fill="#1c1a17", width_mm=0)


def _panel_words(panel: PanelBar) -> str:
    if panel.now_mm is None:
        return f"{panel.label}: not read."
    told = [f"mean {panel.now_mm:.1f} mm"]
    for name, value in (
        ("least", panel.least_mm),
        ("earlier", panel.earlier_mm),
        ("original", panel.original_mm),
        ("limit", panel.limit_mm),
    ):
        if value is not None:
            told.append(f"{name} {value:.1f}")
    if panel.limit_mm is not None and panel.now_mm < panel.limit_mm:
        told.append("below the limit")
    return f"{panel.label}: {', '.join(told)}."


# Potential scale


def potential_scale(
    title: str,
    marks: Sequence[PotentialMark],
    *,
    electrode: str,
    under_mv: float | None,
    over_mv: float | None,
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
        raise ValueError("A potential scale needs one potential or more and its reference electrode.")
    ends = [each.potential_mv for each in marks]
    ends += [each for each in (under_mv, over_mv) if each is not None]
    low, high = floor(min(ends) / 100) * 100 - 100, ceil(max(ends) / 100) * 100 + 100
    left = 4 + max(text_width_mm(each.label, SMALL_MM) for each in marks)
    left, right = min(left, 60.0), SHEET_MM - 16
    per_mv = (right - left) / (high - low)

    def at(potential_mv: float) -> float:
        return left + (potential_mv - low) * per_mv

    top, row = 18.0, 6.0
    foot = top + row * len(marks) + 2
    parts = [text((0, 4), title, weight=600)]
    for band, start, end, hatch in _bands(low, high, under_mv, over_mv):
        parts.append(
            rectangle(
                (at(start), top - 2), at(end) - at(start), foot - top + 2, fill=hatch, width_mm=0
            )
        )
        parts.append(text((at((start + end) / 2), top - 7), band, size_mm=SMALL_MM, anchor="middle"))
    for limit in (over_mv, under_mv):
        if limit is not None:
            parts.append(
                line((at(limit), top - 2), (at(limit), foot), width_mm=BOLD_MM, dash=DASHED)
            )
            parts.append(
                text((at(limit), top - 3.2), _signed(limit), size_mm=SMALL_MM, anchor="middle")
            )
    for index, each in enumerate(marks):
        parts += _potential_row(each, top + row * (index + 0.5), at, right)
    parts += _potential_axis(low, high, foot, at)
    parts.append(
        text((left, foot + 10), f"mV against {electrode}; bars are twice the standard uncertainty; "
             "more negative to the left.", size_mm=SMALL_MM)
    )  # fmt: skip
    return drawing(
        SHEET_MM,
        foot + 12,
        title=title,
        desc=f"Potentials against {electrode}. "
        + " ".join(f"{each.label}: {_signed(each.potential_mv)} mV." for each in marks)
        + _limit_words(under_mv, over_mv),
        parts=parts,
        hatches=(RISING, FALLING),
    )
