"""Drawings of gear: bearing clearance against its limits, blades of a propeller against each other, loads of keel bolts.

Plain values in, one SVG out. Everything is told by shape, hatching and number; nothing by colour.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from garboard.drawings import svg

WIDTH_MM = 150.0
"""Width of every sheet here, mm."""

_NAMES_MM = 40.0
_ROW_MM = 8.5
_ARROW_MM = 20.0
_BOLT_MM = 2.4
_FITTED = svg.Hatch(angle_deg=135, spacing_mm=0.8)
_BAND = svg.Hatch(angle_deg=45, spacing_mm=1.0, width_mm=0.09, colour=svg.HAIRLINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A limit on an axis, and what it asks for in a word or two."""

    value: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingBar:
    """One bearing: clearance on the diameter and its standard uncertainty, shaft, and a new bearing's clearance, mm."""

    label: str
    clearance_mm: float
    shaft_mm: float
    uncertainty_mm: float = 0.0
    fitted_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BladeRow:
    """One blade of a propeller: the pitch read at each radius, the radius in words, mm."""

    label: str
    pitches: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltMark:
    """One keel bolt in the plan of the joint: along it and off the pressed edge, m, its load, and what is left of it.

    `left_ratio` is of its section, 1 for a whole bolt, None where it was not measured.
    """

    label: str
    along_m: float
    arm_m: float
    load_kn: float
    left_ratio: float | None = None


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

    def marks(self) -> tuple[float, ...]:
        """Round values along the axis, four to ten of them."""
        rough = (self.high - self.low) / 8
        power = 10.0 ** math.floor(math.log10(rough))
        step = next(each * power for each in (1, 2, 5, 10) if each * power >= rough * (1 - 1e-9))
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return tuple(each * step for each in range(first, last + 1))


# Bearings


def clearance_bars(title: str, bearings: Sequence[BearingBar], limits: Sequence[Limit]) -> str:
    """Each bearing as a bar, in per cent of its shaft, with the limits across all of them.

    Args:
        title: Which bearings.
        bearings: In order.
        limits: In per cent of the shaft, rising.

    Raises:
        ValueError: There is no bearing, or a shaft is not above zero.
    """
    if not bearings or min(each.shaft_mm for each in bearings) <= 0:
        raise ValueError("Clearance bars need a bearing or more, each with a shaft above zero.")
    reach = [100 * _most_mm(each) / each.shaft_mm for each in bearings]
    most = max([*reach, *(each.value for each in limits), 1.0]) * 1.12
    across = _Axis(low=0.0, high=most, start_mm=_NAMES_MM, end_mm=WIDTH_MM - 30.0)
    top = 5.0 + 3.2 * len(limits)
    foot = top + _ROW_MM * len(bearings) + 1.0
    parts = [*_limit_lines(limits, across, top, foot)]
    for index, each in enumerate(bearings):
        parts += _bearing(each, top + _ROW_MM * index + 1.5, across)
    parts += _axis(across, foot, "clearance on the diameter, % of the shaft")
    parts += _bearing_key(foot + 12.0)
    return svg.drawing(
        WIDTH_MM,
        foot + 15.0,
        title=title,
        desc=" ".join(
            [
                *(f"{_bearing_words(each)}." for each in bearings),
                *(f"Limit {each.value:g} %: {each.words}." for each in limits),
            ]
        ),
        parts=parts,
        hatches=[svg.RISING, _FITTED],
    )


def _most_mm(of: BearingBar) -> float:
    """How far right a bearing reaches, mm."""
    return max(of.clearance_mm + 2 * of.uncertainty_mm, *(of.fitted_mm or (0.0,)))


def _bearing(of: BearingBar, y: float, across: _Axis) -> Iterator[str]:
    percent = 100 / of.shaft_mm
    start, end = across.at(0.0), across.at(percent * of.clearance_mm)
    height = 3.6
    yield svg.text((0.0, y + 2.8), svg.shortened(of.label, _NAMES_MM - 2.0))
    yield svg.rectangle(
        (start, y), max(end - start, 0.01), height, fill=svg.RISING.fill, width_mm=svg.LINE_MM
    )
    if of.uncertainty_mm:
        low = across.at(percent * max(0.0, of.clearance_mm - 2 * of.uncertainty_mm))
        high = across.at(percent * (of.clearance_mm + 2 * of.uncertainty_mm))
        yield _whisker(low, high, y + height / 2)
    if of.fitted_mm:
        least, most = (across.at(percent * each) for each in of.fitted_mm)
        yield svg.rectangle(
            (least, y + height + 0.4),
            most - least,
            1.3,
            fill=_FITTED.fill,
            width_mm=svg.FINE_MM,
        )
    words = f"{of.clearance_mm:.2f} mm, {percent * of.clearance_mm:.1f} %"
    yield svg.text((across.end_mm + 2.0, y + 2.8), words, weight=600)


def _bearing_words(of: BearingBar) -> str:
    new = f", new {of.fitted_mm[0]:g} to {of.fitted_mm[1]:g} mm" if of.fitted_mm else ""
    share = 100 * of.clearance_mm / of.shaft_mm
    return (
        f"{of.label}: {of.clearance_mm:.2f} mm on a shaft of {of.shaft_mm:g} mm, {share:.1f} %{new}"
    )


def _bearing_key(y: float) -> Iterator[str]:
    yield svg.rectangle((0.0, y - 2.2), 5.0, 2.6, fill=svg.RISING.fill, width_mm=svg.FINE_MM)
    yield svg.text((6.5, y), "found, with its range at 95 %", size_mm=svg.SMALL_MM)
    yield svg.rectangle((52.0, y - 1.6), 5.0, 1.3, fill=_FITTED.fill, width_mm=svg.FINE_MM)
    yield svg.text((58.5, y), "a new bearing", size_mm=svg.SMALL_MM)
    yield svg.line((84.0, y - 0.8), (91.0, y - 0.8), dash=svg.DASHED)
    yield svg.text((92.5, y), "limit of wear, by custom", size_mm=svg.SMALL_MM)


# Propeller


def pitch_spread(
    title: str,
    blades: Sequence[BladeRow],
    *,
    nominal_mm: float | None = None,
    tolerance_pct: float | None = None,
    uncertainty_pct: float = 0.0,
) -> str:
    """Each blade's pitch at its radii, and its mean, on one scale of millimetres.

    Args:
        title: Which propeller.
        blades: In order.
        nominal_mm: As stamped, where it is known.
        tolerance_pct: Of a blade's mean by the class applied; drawn only beside a nominal pitch.
        uncertainty_pct: Standard uncertainty of one reading, per cent.

    Raises:
        ValueError: There is no blade, or one without a reading above zero.
    """
    if not blades or any(not each.pitches or min(_values(each)) <= 0 for each in blades):
        raise ValueError("A spread needs a blade or more, each with a pitch above zero.")
    across = _pitch_axis(blades, nominal_mm, tolerance_pct or 0.0, uncertainty_pct)
    top = 8.0
    foot = top + _ROW_MM * len(blades) + 1.0
    parts = [*_nominal(nominal_mm, tolerance_pct, across, top, foot)]
    for index, each in enumerate(blades):
        parts += _blade(each, top + _ROW_MM * (index + 0.55), across, uncertainty_pct)
    parts += _axis(across, foot, "pitch, mm")
    parts += _blade_key(foot + 12.0, uncertainty_pct, tolerance_pct if nominal_mm else None)
    means = [_mean(each) for each in blades]
    spread = f"{100 * (max(means) - min(means)) / (sum(means) / len(means)):.1f} %"
    return svg.drawing(
        WIDTH_MM,
        foot + 15.0,
        title=title,
        desc=" ".join(
            [
                *(f"{each.label}: mean {_mean(each):.1f} mm." for each in blades),
                f"Spread of the means {spread}.",
                f"Nominal {nominal_mm:g} mm." if nominal_mm else "Nominal pitch not known.",
            ]
        ),
        parts=parts,
        hatches=[_BAND] if nominal_mm and tolerance_pct else [],
    )


def _values(of: BladeRow) -> list[float]:
    return [value for _, value in of.pitches]


def _mean(of: BladeRow) -> float:
    values = _values(of)
    return sum(values) / len(values)


def _pitch_axis(
    blades: Sequence[BladeRow], nominal: float | None, tolerance: float, doubt: float
) -> _Axis:
    reach = 2 * doubt / 100
    values = [value for each in blades for value in _values(each)]
    ends = [
        *(value * (1 + side * reach) for value in (min(values), max(values)) for side in (-1, 1)),
        *(nominal * (1 + side * tolerance / 100) for side in (-1, 1) if nominal),
    ]
    low, high = min(ends), max(ends)
    margin = 0.08 * (high - low) or 0.02 * high
    return _Axis(
        low=low - margin, high=high + margin, start_mm=_NAMES_MM - 12.0, end_mm=WIDTH_MM - 22.0
    )


def _nominal(
    nominal: float | None, tolerance: float | None, across: _Axis, top: float, foot: float
) -> Iterator[str]:
    if nominal is None:
        yield svg.text((across.start_mm, 3.2), "nominal pitch not known", size_mm=svg.SMALL_MM)
        return
    x = across.at(nominal)
    if tolerance:
        low, high = (across.at(nominal * (1 + side * tolerance / 100)) for side in (-1, 1))
        yield svg.rectangle(
            (low, top - 2.0), high - low, foot - top + 2.0, fill=_BAND.fill, width_mm=0
        )
        yield svg.line((low, top - 2.0), (low, foot), width_mm=svg.HAIR_MM)
        yield svg.line((high, top - 2.0), (high, foot), width_mm=svg.HAIR_MM)
    yield svg.line((x, top - 3.0), (x, foot), width_mm=svg.FINE_MM, dash=svg.DASHED)
    words = f"nominal {nominal:g} mm"
    half = svg.text_width_mm(words, svg.SMALL_MM) / 2
    middle = min(max(x, half), WIDTH_MM - half)
    yield svg.text((middle, 3.6), words, size_mm=svg.SMALL_MM, anchor="middle")


def _blade(of: BladeRow, y: float, across: _Axis, doubt: float) -> Iterator[str]:
    mean = _mean(of)
    yield svg.text((0.0, y + 0.8), svg.shortened(of.label, across.start_mm - 2.0))
    yield svg.line(
        (across.start_mm, y), (across.end_mm, y), width_mm=svg.HAIR_MM, colour=svg.HAIRLINE
    )
    if doubt:
        low, high = (across.at(mean * (1 + side * 2 * doubt / 100)) for side in (-1, 1))
        yield _whisker(low, high, y)
    for value in _values(of):
        yield svg.circle((across.at(value), y), 0.8, fill=svg.PAPER, width_mm=svg.FINE_MM)
    x = across.at(mean)
    yield svg.line((x, y - 2.4), (x, y + 2.4), width_mm=svg.BOLD_MM)
    yield svg.text((across.end_mm + 2.0, y + 0.8), f"{mean:.1f} mm", weight=600)


def _blade_key(y: float, doubt: float, tolerance: float | None) -> Iterator[str]:
    yield svg.circle((1.0, y - 0.8), 0.8, fill=svg.PAPER, width_mm=svg.FINE_MM)
    yield svg.text((3.0, y), "a radius", size_mm=svg.SMALL_MM)
    yield svg.line((19.0, y - 2.4), (19.0, y + 0.8), width_mm=svg.BOLD_MM)
    yield svg.text((21.0, y), "mean of the blade", size_mm=svg.SMALL_MM)
    x = 48.0
    if doubt:
        yield _whisker(x, x + 8.0, y - 0.8)
        yield svg.text((x + 9.5, y), "range at 95 %", size_mm=svg.SMALL_MM)
        x += 34.0
    if tolerance:
        yield svg.rectangle((x, y - 2.2), 6.0, 2.8, fill=_BAND.fill, width_mm=svg.HAIR_MM)
        yield svg.text((x + 7.5, y), f"class tolerance, {tolerance:g} %", size_mm=svg.SMALL_MM)


# Keel bolts


def keel_bolts(title: str, bolts: Sequence[BoltMark], *, shared: str) -> str:
    """The joint in plan, its bolts off the edge that is pressed when the keel hangs level, each with its load.

    A ring is the bolt as made, the disc in it what is left; an empty ring was not measured.

    Args:
        title: Which joint.
        bolts: In any order.
        shared: In words, how the load was shared among them.

    Raises:
        ValueError: There is no bolt, or an arm or a load is below zero.
    """
    if not bolts or min(min(each.arm_m, each.load_kn) for each in bolts) < 0:
        raise ValueError(
            "A sketch of keel bolts needs one or more, with arms and loads of 0 or more."
        )
    most_kn = max(each.load_kn for each in bolts) or 1.0
    along = [each.along_m for each in bolts]
    length = (max(along) - min(along)) or 1.0
    across = _Axis(
        low=min(along) - 0.08 * length,
        high=max(along) + 0.08 * length,
        start_mm=6.0,
        end_mm=WIDTH_MM - 6.0,
    )
    widest = max(each.arm_m for each in bolts) or 0.1
    deep = min(
        36.0, max(16.0, widest * (across.end_mm - across.start_mm) / (across.high - across.low))
    )
    edge = 8.0 + _ARROW_MM + deep
    up = _Axis(low=0.0, high=widest, start_mm=edge, end_mm=edge - deep)
    parts = [*_joint(across, edge)]
    for each in sorted(bolts, key=lambda bolt: -bolt.arm_m):
        parts += _bolt(each, (across.at(each.along_m), up.at(each.arm_m)), most_kn)
    parts += _bolt_key(edge + 10.0, shared)
    return svg.drawing(
        WIDTH_MM,
        edge + 17.5,
        title=title,
        desc=" ".join([f"{shared}.", *(f"{_bolt_words(each)}." for each in bolts)]),
        parts=parts,
        hatches=[svg.RISING],
    )


def _joint(across: _Axis, edge: float) -> Iterator[str]:
    left, right = across.start_mm, across.end_mm
    yield svg.rectangle((left, edge), right - left, 2.4, fill=svg.RISING.fill, width_mm=0)
    yield svg.line((left, edge), (right, edge), width_mm=svg.BOLD_MM)
    yield svg.text(
        (left, edge + 5.6), "edge that is pressed, keel hanging level", size_mm=svg.SMALL_MM
    )
    yield svg.text(
        (right, edge + 5.6), "bow to the left, not to scale", size_mm=svg.SMALL_MM, anchor="end"
    )


def _bolt(of: BoltMark, at: svg.Point, most_kn: float) -> Iterator[str]:
    x, y = at
    tip = y - _BOLT_MM - max(2.2, (_ARROW_MM - 6.0) * of.load_kn / most_kn)
    yield svg.arrow((x, y), (x, tip), width_mm=svg.LINE_MM)
    yield svg.circle(at, _BOLT_MM, fill=svg.PAPER, width_mm=svg.LINE_MM)
    if of.left_ratio:
        yield svg.circle(at, _BOLT_MM * math.sqrt(of.left_ratio) * 0.86, fill=svg.INK, width_mm=0)
    yield svg.text(
        (x, tip - 1.0), f"{of.load_kn:.1f} kN", size_mm=svg.SMALL_MM, anchor="middle", halo=True
    )
    left = "" if of.left_ratio is None else f", {100 * of.left_ratio:.0f} %"
    yield svg.text(
        (x + _BOLT_MM + 0.8, y + 0.8), f"{of.label}{left}", size_mm=svg.SMALL_MM, halo=True
    )


def _bolt_key(y: float, shared: str) -> Iterator[str]:
    yield svg.circle((8.0, y), 1.8, fill=svg.PAPER)
    yield svg.circle((8.0, y), 1.3, fill=svg.INK, width_mm=0)
    yield svg.text(
        (11.0, y + 0.8),
        "disc: section left, where seen; empty ring: not measured",
        size_mm=svg.SMALL_MM,
    )
    yield svg.text((6.0, y + 5.0), shared, size_mm=svg.SMALL_MM)


def _bolt_words(of: BoltMark) -> str:
    left = (
        "not measured"
        if of.left_ratio is None
        else f"{100 * of.left_ratio:.0f} % of its section left"
    )
    return f"Bolt {of.label}: {of.load_kn:.1f} kN, {of.arm_m:g} m off the edge, {left}"


# All of them


def _limit_lines(limits: Sequence[Limit], across: _Axis, top: float, foot: float) -> Iterator[str]:
    for index, each in enumerate(limits):
        x, y = across.at(each.value), 3.2 + 3.2 * index
        words = f"{each.value:g} %: {each.words}"
        fits = x + 1.0 + svg.text_width_mm(words, svg.SMALL_MM) <= WIDTH_MM
        yield svg.line((x, y - 2.0), (x, foot), width_mm=svg.LINE_MM, dash=svg.DASHED)
        yield svg.text(
            (x + 1.0, y) if fits else (x - 1.0, y),
            words,
            size_mm=svg.SMALL_MM,
            anchor="start" if fits else "end",
            halo=True,
        )


def _axis(across: _Axis, y: float, words: str) -> Iterator[str]:
    yield svg.line((across.start_mm, y), (across.end_mm, y))
    for each in across.marks():
        x = across.at(each)
        yield svg.line((x, y), (x, y + 0.9))
        yield svg.text((x, y + 3.6), svg.number(each, 2), size_mm=svg.SMALL_MM, anchor="middle")
    middle = (across.start_mm + across.end_mm) / 2
    yield svg.text((middle, y + 7.0), words, size_mm=svg.SMALL_MM, anchor="middle")


def _whisker(low: float, high: float, y: float) -> str:
    return "".join(
        (
            svg.line((low, y), (high, y), width_mm=svg.FINE_MM),
            svg.line((low, y - 0.8), (low, y + 0.8), width_mm=svg.FINE_MM),
            svg.line((high, y - 0.8), (high, y + 0.8), width_mm=svg.FINE_MM),
        )
    )
