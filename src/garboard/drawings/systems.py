"""Drawings of systems: water through openings against the pumps, and batteries on the scale of their rest voltage.

Plain values in, one SVG out. Everything is told by shape, hatching and number; nothing by colour.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

from garboard.drawings import svg
from garboard.drawings.sheet import spread
from garboard.methods.batteries import CHARGE_AT_REST
from garboard.methods.flooding import inflow_l_per_min

WIDTH_MM = 150.0
"""Width of every sheet here, mm."""

_LEFT_MM = 14.0
_ROW_MM = 6.0
_COLUMN_MM = 60.0
_STEPS = 40
_CUSTOMARY_BORES_MM = (20.0, 25.0, 38.0, 50.0)
_COEFFICIENTS = (0.5, 0.8)
_HELD = svg.Hatch(angle_deg=45, spacing_mm=1.6, colour=svg.HAIRLINE)
_HALF_FULL = svg.Hatch(angle_deg=135, spacing_mm=1.6, colour=svg.HAIRLINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """An opening through the hull: its bore, mm, and how deep it lies, m; above the water that is 0 or less."""

    label: str
    bore_mm: float
    depth_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rested:
    """A battery at rest: its voltage as of six cells, V, and how far either way that may be out."""

    label: str
    rest_v: float
    doubt_v: float = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axis:
    """Values laid out along one direction of the sheet."""

    low: float
    high: float
    start_mm: float
    end_mm: float

    def at(self, value: float) -> float:
        share = (min(self.high, max(self.low, value)) - self.low) / (self.high - self.low)
        return self.start_mm + share * (self.end_mm - self.start_mm)


# Inflow


def inflow_plot(
    title: str, openings: Sequence[Opening] = (), *, pumps_l_per_min: float | None = None
) -> str:
    """Inflow over depth for the bores of the boat, her openings on it, and what her pumps hold.

    Args:
        title: What is drawn.
        openings: Those of the boat; without any, customary bores are drawn.
        pumps_l_per_min: What the pumps together were measured to move; None where nobody measured.

    Raises:
        ValueError: A bore is not above zero, or the pumps move less than nothing.
    """
    if any(not each.bore_mm > 0 for each in openings):
        raise ValueError("An opening to be drawn has a bore above zero.")
    if pumps_l_per_min is not None and not pumps_l_per_min >= 0:
        raise ValueError(f"Pumps move 0 L/min or more; {pumps_l_per_min:g} was given.")
    wet = [each for each in openings if each.depth_m > 0]
    bores = sorted({each.bore_mm for each in wet}) or list(_CUSTOMARY_BORES_MM)
    deepest = max([0.5, *(1.25 * each.depth_m for each in wet)])
    most = max(
        inflow_l_per_min(bores[-1], deepest),
        1.1 * (pumps_l_per_min or 0.0),
        *(inflow_l_per_min(each.bore_mm, each.depth_m, _COEFFICIENTS[1]) for each in wet),
        1.0,
    )
    foot = 72.0
    across = _Axis(low=0, high=deepest, start_mm=_LEFT_MM, end_mm=WIDTH_MM - 14)
    up = _Axis(low=0, high=_top(most), start_mm=foot, end_mm=14.0)
    listed, height = _listed(openings, foot + 12)
    parts = [
        *_grid(across, up),
        *_pumps(across, up, pumps_l_per_min),
        *_curves(across, up, bores, pumps_l_per_min),
        *_openings(across, up, openings),
        *listed,
    ]
    return svg.drawing(
        WIDTH_MM,
        height,
        title=title,
        desc=_inflow_words(openings, bores, deepest, pumps_l_per_min),
        parts=parts,
        hatches=[_HELD],
    )


def _step(most: float) -> float:
    """A round step that gives about five lines: 1, 2 or 5 times a power of ten."""
    rough = most / 5
    power = 10.0 ** floor(log10(rough))
    return next(each * power for each in (1, 2, 5, 10) if each * power >= rough * 0.999)


def _top(most: float) -> float:
    return _step(most) * ceil(most / _step(most) - 1e-9)


def _grid(across: _Axis, up: _Axis) -> Iterator[str]:
    step = _step(up.high)
    for line in range(round(up.high / step) + 1):
        y = up.at(line * step)
        yield svg.line(
            (across.start_mm, y), (across.end_mm, y), width_mm=svg.HAIR_MM, colour=svg.HAIRLINE
        )
        words = svg.number(line * step)
        yield svg.text((across.start_mm - 1.5, y + 0.75), words, size_mm=svg.SMALL_MM, anchor="end")
    step = _step(across.high)
    for tick in range(floor(across.high / step + 1e-9) + 1):
        x = across.at(tick * step)
        yield svg.line((x, up.start_mm), (x, up.start_mm + 1))
        yield svg.text(
            (x, up.start_mm + 3.8), svg.number(tick * step), size_mm=svg.SMALL_MM, anchor="middle"
        )
    yield svg.line((across.start_mm, up.start_mm), (across.end_mm, up.start_mm))
    yield svg.text((0, up.end_mm - 3.5), "L/min", size_mm=svg.SMALL_MM)
    middle = (across.start_mm + across.end_mm) / 2
    words = "metres below the water outside"
    yield svg.text((middle, up.start_mm + 7.2), words, size_mm=svg.SMALL_MM, anchor="middle")


def _pumps(across: _Axis, up: _Axis, pumps_l_per_min: float | None) -> Iterator[str]:
    if pumps_l_per_min is None:
        return
    y = up.at(pumps_l_per_min)
    yield svg.rectangle(
        (across.start_mm, y),
        across.end_mm - across.start_mm,
        up.start_mm - y,
        fill=_HELD.fill,
        width_mm=0,
    )
    yield svg.line((across.start_mm, y), (across.end_mm, y), width_mm=0.4, dash=svg.DASHED)


def _curves(
    across: _Axis, up: _Axis, bores_mm: Sequence[float], pumps_l_per_min: float | None
) -> Iterator[str]:
    """A curve for each bore; at their ends what they are, and the pumps among them."""
    ends = []
    for bore in bores_mm:
        depths = [across.high * (each / _STEPS) ** 2 for each in range(_STEPS + 1)]
        line = [(across.at(each), up.at(inflow_l_per_min(bore, each))) for each in depths]
        yield svg.polyline(line)
        ends.append((line[-1][1], f"{svg.number(bore, 1)} mm"))
    if pumps_l_per_min is not None:
        ends.append((up.at(pumps_l_per_min), f"pumps {pumps_l_per_min:.0f}"))
    ends.sort()
    heights = spread([y for y, _ in ends], 2.8, up.end_mm, up.start_mm)
    for (_, words), y in zip(ends, heights, strict=True):
        yield svg.text((across.end_mm + 1.5, y + 0.75), words, size_mm=svg.SMALL_MM)


def _openings(across: _Axis, up: _Axis, openings: Sequence[Opening]) -> Iterator[str]:
    """Each opening as a dot with its spread, joined to its number in a row above the curves."""
    drawn = sorted(
        (each.depth_m, number, each) for number, each in enumerate(openings, 1) if each.depth_m > 0
    )
    first, last = across.start_mm + 3, across.end_mm
    gap = min(5.0, (last - first) / max(1, len(drawn)))
    places = spread([across.at(depth) for depth, _, _ in drawn], gap, first, last)
    for (depth, number, each), place in zip(drawn, places, strict=True):
        x = across.at(depth)
        least, most = (up.at(inflow_l_per_min(each.bore_mm, depth, one)) for one in _COEFFICIENTS)
        y = up.at(inflow_l_per_min(each.bore_mm, depth))
        yield svg.line((place, 8.0), (x, min(y, most)), width_mm=svg.HAIR_MM)
        yield svg.line((x, least), (x, most), width_mm=svg.BOLD_MM)
        yield svg.circle((x, y), 1.0, fill=svg.INK, width_mm=0)
        yield svg.call_out((place, 6.0), number)


def _listed(openings: Sequence[Opening], top: float) -> tuple[list[str], float]:
    """The openings by their numbers, and the height of the sheet."""
    parts = []
    for number, each in enumerate(openings, 1):
        y = top + 3.6 * number
        parts.append(svg.text((3, y), str(number), size_mm=svg.SMALL_MM, anchor="end", weight=600))
        parts.append(
            svg.text(
                (5, y), svg.shortened(each.label, _COLUMN_MM, svg.SMALL_MM), size_mm=svg.SMALL_MM
            )
        )
        parts.append(svg.text((5 + _COLUMN_MM + 3, y), _flow_words(each), size_mm=svg.SMALL_MM))
    foot = top + 3.6 * len(openings) + 5
    note = "Boat upright and afloat at her own waterline; as she sinks more comes in."
    if openings:
        note = f"Bars: from a hole half choked to a short pipe. {note}"
    parts.append(svg.text((0, foot), note, size_mm=svg.SMALL_MM))
    return parts, foot + 2


def _flow_words(each: Opening) -> str:
    if each.depth_m <= 0:
        return f"{each.bore_mm:g} mm, above the water as she floats upright"
    flow = inflow_l_per_min(each.bore_mm, each.depth_m)
    return f"{each.bore_mm:g} mm, {each.depth_m:.2f} m down: {flow:.0f} L/min"


def _inflow_words(
    openings: Sequence[Opening],
    bores_mm: Sequence[float],
    deepest_m: float,
    pumps_l_per_min: float | None,
) -> str:
    told = [f"{each.label}, {_flow_words(each)}." for each in openings] or [
        f"A bore of {bore:g} mm at {deepest_m:g} m: {inflow_l_per_min(bore, deepest_m):.0f} L/min."
        for bore in bores_mm
    ]
    pumps = (
        "What the pumps move was not measured."
        if pumps_l_per_min is None
        else f"The pumps move {pumps_l_per_min:g} L/min."
    )
    return " ".join([*told, pumps])


# Batteries


def rest_voltage_scale(title: str, batteries: Sequence[Rested]) -> str:
    """Batteries on the scale of rest voltage, with the customary state of charge under it.

    Args:
        title: What was read.
        batteries: In the order they are listed.

    Raises:
        ValueError: There is no battery, or a doubt is negative.
    """
    if not batteries or any(not each.doubt_v >= 0 for each in batteries):
        raise ValueError("A scale of batteries needs one or more, with doubts of 0 V or more.")
    names = (
        max(
            svg.text_width_mm(svg.shortened(each.label, _COLUMN_MM, svg.SMALL_MM), svg.SMALL_MM)
            for each in batteries
        )
        + 4
    )
    across = _Axis(low=11.6, high=13.0, start_mm=names, end_mm=WIDTH_MM - 14)
    top = 7.0
    foot = top + _ROW_MM * len(batteries) + 1
    half_v = next(volts for volts, charge in CHARGE_AT_REST if charge == 50)
    left, right = across.at(across.low), across.at(half_v)
    parts = [
        svg.rectangle((left, top), right - left, foot - top, fill=_HALF_FULL.fill, width_mm=0),
        svg.line((right, top), (right, foot), width_mm=0.4, dash=svg.DASHED),
        svg.text(
            ((left + right) / 2, 4.5), "less than half full", size_mm=svg.SMALL_MM, anchor="middle"
        ),
        *_voltage_axis(across, foot),
    ]
    for index, each in enumerate(batteries):
        parts += _battery_row(each, top + _ROW_MM * (index + 0.5) + 0.5, across)
    return svg.drawing(
        WIDTH_MM,
        foot + 17,
        title=title,
        desc=" ".join(f"{each.label}: {each.rest_v:.2f} V at rest." for each in batteries),
        parts=parts,
        hatches=[_HALF_FULL],
    )


def _voltage_axis(across: _Axis, foot: float) -> Iterator[str]:
    yield svg.line((across.start_mm, foot), (across.end_mm, foot))
    for tenths in range(round(10 * across.low), round(10 * across.high) + 1, 2):
        x = across.at(tenths / 10)
        yield svg.line((x, foot), (x, foot + 1))
        words = f"{tenths / 10:.1f}"
        yield svg.text((x, foot + 3.8), words, size_mm=svg.SMALL_MM, anchor="middle")
    yield svg.text((across.end_mm + 5, foot + 3.8), "V", size_mm=svg.SMALL_MM)
    for volts, charge in CHARGE_AT_REST:
        x = across.at(volts)
        yield svg.line((x, foot + 6.2), (x, foot + 7.2), width_mm=svg.BOLD_MM)
        words = f"{charge:g}"
        yield svg.text((x, foot + 10.2), words, size_mm=svg.SMALL_MM, anchor="middle")
    full = across.at(CHARGE_AT_REST[-1][0])
    yield svg.text((full + 4, foot + 10.2), "% full, customary", size_mm=svg.SMALL_MM)
    words = "Six cells of lead-acid with liquid acid, rested; bars are how far sources differ."
    yield svg.text((0, foot + 15.2), words, size_mm=svg.SMALL_MM)


def _battery_row(battery: Rested, y: float, across: _Axis) -> Iterator[str]:
    low, high = (across.at(battery.rest_v + each) for each in (-battery.doubt_v, battery.doubt_v))
    yield svg.text(
        (0, y + 0.75), svg.shortened(battery.label, _COLUMN_MM, svg.SMALL_MM), size_mm=svg.SMALL_MM
    )
    yield svg.line((low, y), (high, y), width_mm=1.2, colour=svg.PAPER)
    yield svg.line((low, y), (high, y))
    for x in (low, high):
        yield svg.line((x, y - 1), (x, y + 1))
    if across.low <= battery.rest_v <= across.high:
        yield svg.circle((across.at(battery.rest_v), y), 1.0, fill=svg.INK, width_mm=0)
    else:
        beyond, out = (across.low, -4.0) if battery.rest_v < across.low else (across.high, 4.0)
        x = across.at(beyond)
        yield svg.arrow((x - out, y), (x, y))
    yield svg.text(
        (WIDTH_MM, y + 0.75),
        f"{battery.rest_v:.2f}",
        size_mm=svg.SMALL_MM,
        anchor="end",
        weight=600,
    )
