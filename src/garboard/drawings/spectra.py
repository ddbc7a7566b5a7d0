"""The spectrum of a strike beside those of the reference strikes."""

import math
from collections.abc import Iterator, Sequence
from statistics import median

from garboard.drawings import svg
from garboard.methods.strikes import HIGH_HZ, LOW_HZ, Comparison, Strike

_LEFT_MM, _RIGHT_MM, _TOP_MM = 11.0, 4.0, 9.0
_LINE_MM = 3.4
_FLOOR_DB = -40.0
_MARKS = (
    (250, "250"),
    (500, "500"),
    (1000, "1000"),
    (2000, "2000"),
    (4000, "4000"),
    (8000, "8000"),
)
_BAND = svg.Hatch(angle_deg=135, spacing_mm=1.1, width_mm=0.13, colour=svg.HAIRLINE)


def strike_spectrum(of: Comparison, width_mm: float = 120.0) -> str:
    """How the power of a strike is spread over frequency, on the spread of the reference strikes.

    Hatched from the least to the most of the references with their middle as a broken line; the strike as a heavy one.
    Triangles under the axis stand at the centroids, filled for the strike and open for the references.

    Args:
        of: A strike beside its references; one of them at least could be read.
        width_mm: Width of the sheet, mm; 90 or more.

    Raises:
        ValueError: The sheet is too narrow, or nothing could be read.
    """
    if width_mm < 90:
        raise ValueError(f"This plot needs 90 mm or more; {width_mm} mm is too narrow.")
    if of.strike is None and not of.references:
        raise ValueError(f"There is no spectrum to draw. {of.why}".strip())
    right = width_mm - _RIGHT_MM
    bottom = _TOP_MM + (right - _LEFT_MM) * 0.45
    on = _Sheet(right, bottom)
    lines = svg.wrapped(_words(of), width_mm)
    key = bottom + 13.5
    start = key + 5.0
    return svg.drawing(
        width_mm,
        start + _LINE_MM * (len(lines) - 1) + 1.2,
        title="Spectrum of a strike beside the reference strikes",
        desc=_words(of),
        hatches=[_BAND] if of.references else [],
        parts=[
            svg.text((0.0, 3.2), "Strike beside the reference strikes", weight=600),
            svg.text((0.0, 7.0), "dB below the highest", size_mm=svg.SMALL_MM),
            *_reference(of.references, on),
            *_strike(of.strike, on),
            *_axes(on),
            *_centroids(of, on),
            *_key(of, key),
            *(svg.text((0.0, start + n * _LINE_MM), line) for n, line in enumerate(lines)),
        ],
    )


class _Sheet:
    """From frequency and level to millimetres, frequency on a scale of ratios."""

    def __init__(self, right: float, bottom: float) -> None:
        self.right, self.bottom = right, bottom

    def at(self, hertz: float, level_db: float) -> svg.Point:
        along = math.log(hertz / LOW_HZ) / math.log(HIGH_HZ / LOW_HZ)
        up = 1 - max(_FLOOR_DB, level_db) / _FLOOR_DB
        return (
            _LEFT_MM + along * (self.right - _LEFT_MM),
            self.bottom - up * (self.bottom - _TOP_MM),
        )


def _reference(references: Sequence[Strike], on: _Sheet) -> Iterator[str]:
    if not references:
        return
    # The references of one comparison were read at one rate, so they share their frequencies.
    frequencies = [hertz for hertz, _ in references[0].lines]
    levels = list(zip(*([level for _, level in each.lines] for each in references), strict=True))
    most, least, middle = (
        [on.at(hertz, of(each)) for hertz, each in zip(frequencies, levels, strict=True)]
        for of in (max, min, median)
    )
    yield svg.polygon([*most, *least[::-1]], fill=_BAND.fill, width_mm=0)
    yield svg.polyline(middle, width_mm=svg.LINE_MM, dash=svg.DASHED)


def _strike(strike: Strike | None, on: _Sheet) -> Iterator[str]:
    if strike is None:
        return
    yield svg.polyline([on.at(*each) for each in strike.lines], width_mm=svg.BOLD_MM)


def _axes(on: _Sheet) -> Iterator[str]:
    yield svg.line((_LEFT_MM, _TOP_MM), (_LEFT_MM, on.bottom))
    yield svg.line((_LEFT_MM, on.bottom), (on.right, on.bottom))
    for level in (0, -10, -20, -30, -40):
        _, y = on.at(LOW_HZ, level)
        yield svg.line((_LEFT_MM - 0.9, y), (_LEFT_MM, y))
        yield svg.text(
            (_LEFT_MM - 1.6, y + 0.8),
            f"{level}".replace("-", "−"),
            size_mm=svg.SMALL_MM,
            anchor="end",
        )
    for hertz, words in _MARKS:
        x, y = on.at(hertz, _FLOOR_DB)
        yield svg.line((x, y), (x, y + 0.9))
        yield svg.text((x, y + 6.0), words, size_mm=svg.SMALL_MM, anchor="middle")
    yield svg.text(
        ((_LEFT_MM + on.right) / 2, on.bottom + 9.4), "Hz", size_mm=svg.SMALL_MM, anchor="middle"
    )


def _centroids(of: Comparison, on: _Sheet) -> Iterator[str]:
    if of.references:
        middle_hz = median(each.centroid_hz for each in of.references)
        yield _triangle(on.at(middle_hz, _FLOOR_DB), svg.PAPER)
    if of.strike is not None:
        yield _triangle(on.at(of.strike.centroid_hz, _FLOOR_DB), svg.INK)


def _triangle(under: svg.Point, fill: str) -> str:
    x, y = under
    corners = [(x, y + 0.6), (x + 1.1, y + 2.6), (x - 1.1, y + 2.6)]
    return svg.polygon(corners, fill=fill, width_mm=svg.FINE_MM)


def _key(of: Comparison, y: float) -> Iterator[str]:
    x = 0.0
    if of.strike is not None:
        words = "the strike"
        yield svg.line((x, y - 0.8), (x + 6, y - 0.8), width_mm=svg.BOLD_MM)
        yield svg.text((x + 7.5, y), words, size_mm=svg.SMALL_MM)
        x += 11.5 + svg.text_width_mm(words, svg.SMALL_MM)
    if of.references:
        words = f"{len(of.references)} reference strikes, middle and range"
        yield svg.rectangle((x, y - 2.0), 6, 2.4, fill=_BAND.fill, width_mm=0)
        yield svg.line((x, y - 0.8), (x + 6, y - 0.8), width_mm=svg.LINE_MM, dash=svg.DASHED)
        yield svg.text((x + 7.5, y), words, size_mm=svg.SMALL_MM)
        x += 11.5 + svg.text_width_mm(words, svg.SMALL_MM)
    yield _triangle((x + 1.0, y - 2.9), svg.INK if of.strike else svg.PAPER)
    yield svg.text((x + 3.5, y), "middle of the sound", size_mm=svg.SMALL_MM)


def _words(of: Comparison) -> str:
    said = [of.said]
    if of.why:
        said.append(of.why)
    if of.strike is not None:
        said.append(
            f"Its middle lies at {of.strike.centroid_hz:.0f} Hz, its loudest at {of.strike.dominant_hz:.0f} Hz"
        )
        if of.references:
            middle_hz = median(each.centroid_hz for each in of.references)
            said[-1] += f"; the middle of the references at {middle_hz:.0f} Hz"
        said[-1] += "."
    said.append("Not validated on boats; the ear and the word for the place are the surveyor's.")
    return " ".join(said)
