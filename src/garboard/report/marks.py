"""Crops, arrows, circles and blur on the pixels of an upright copy.

An arrow or a circle is a line of ink with an edge of paper on both sides, so that it stands out from light and from
dark and survives a photocopy. What is blurred is lost: at most 16 averages of the whole box are left of it.
"""

from collections.abc import Callable, Iterable
from math import ceil, floor, hypot

import cv2
import numpy as np
from numpy.typing import NDArray

from garboard.drawings.svg import INK, PAPER
from garboard.notebook.body import Crop, Mark

Pixels = NDArray[np.uint8]
_Point = tuple[float, float]
_Colour = tuple[int, int, int]

WHOLE = Crop(left=0, top=0, right=1, bottom=1)

_CELLS = 4
# Of the long edge: about 0.4 mm where two photographs stand side by side.
_LINE_SHARE = 1 / 200
_LEAST_LINE_PX = 3


def cropped(pixels: Pixels, crop: Crop) -> Pixels:
    """What a crop leaves of a picture.

    Args:
        pixels: `(height, width, 3)`, upright.
        crop: Its edges, as shares of the picture.
    """
    height, width = pixels.shape[:2]
    left, top = floor(crop.left * width), floor(crop.top * height)
    right, bottom = ceil(crop.right * width), ceil(crop.bottom * height)
    return pixels[min(top, height - 1) : max(bottom, top + 1), min(left, width - 1) : max(right, left + 1)]  # fmt: skip


def marked(pixels: Pixels, crop: Crop, marks: Iterable[Mark]) -> Pixels:
    """A picture with its marks; the one given stays as it is.

    Args:
        pixels: `(height, width, 3)`, upright and cropped already.
        crop: How it was cropped, for marks lie on the whole picture.
        marks: What it bears; blur lies under arrows and circles.
    """
    copy = np.ascontiguousarray(pixels).copy()
    for mark in sorted(marks, key=lambda mark: mark.sort != "blur"):
        start, end = _on(copy, crop, mark.from_x, mark.from_y), _on(copy, crop, mark.to_x, mark.to_y)  # fmt: skip
        match mark.sort:
            case "blur":
                _blur(copy, start, end)
            case "circle":
                _circle(copy, start, end)
            case "arrow":
                _arrow(copy, start, end)
    return copy


def _on(pixels: Pixels, crop: Crop, x: float, y: float) -> _Point:
    """Where a share of the whole picture lies on a cropped one, px."""
    height, width = pixels.shape[:2]
    across = (x - crop.left) / (crop.right - crop.left)
    down = (y - crop.top) / (crop.bottom - crop.top)
    return across * width, down * height


def _blur(pixels: Pixels, start: _Point, end: _Point) -> None:
    height, width = pixels.shape[:2]
    columns = [min(width, max(0, each)) for each in _around(start[0], end[0])]
    rows = [min(height, max(0, each)) for each in _around(start[1], end[1])]
    box = pixels[slice(*rows), slice(*columns)]
    if not box.size:
        return
    tall, broad = box.shape[:2]
    cells = (max(1, _CELLS * broad // max(broad, tall)), max(1, _CELLS * tall // max(broad, tall)))
    averages = cv2.resize(np.ascontiguousarray(box), cells, interpolation=cv2.INTER_AREA)
    box[:] = cv2.resize(averages, (broad, tall), interpolation=cv2.INTER_LINEAR)


def _around(one: float, other: float) -> tuple[int, int]:
    """Whole pixels that hold everything between two places."""
    return floor(min(one, other)), ceil(max(one, other))


def _circle(pixels: Pixels, start: _Point, end: _Point) -> None:
    centre = _whole(((start[0] + end[0]) / 2, (start[1] + end[1]) / 2))
    axes = _whole((abs(end[0] - start[0]) / 2, abs(end[1] - start[1]) / 2))

    def draw(colour: _Colour, line_px: int) -> None:
        cv2.ellipse(pixels, centre, axes, 0, 0, 360, colour, line_px, cv2.LINE_AA)

    _edged(pixels, draw)


def _arrow(pixels: Pixels, tail: _Point, point: _Point) -> None:
    length = hypot(point[0] - tail[0], point[1] - tail[1])
    if not length:
        return
    along = ((point[0] - tail[0]) / length, (point[1] - tail[1]) / length)
    head = min(length, 6 * _line_px(pixels))
    neck = (point[0] - head * along[0], point[1] - head * along[1])
    aside = (-along[1] * head * 0.4, along[0] * head * 0.4)
    corners = (point, (neck[0] + aside[0], neck[1] + aside[1]), (neck[0] - aside[0], neck[1] - aside[1]))  # fmt: skip
    shape = np.array([_whole(each) for each in corners], dtype=np.int32)

    def draw(colour: _Colour, line_px: int) -> None:
        cv2.line(pixels, _whole(tail), _whole(neck), colour, line_px, cv2.LINE_AA)
        cv2.fillPoly(pixels, [shape], colour, cv2.LINE_AA)
        outline_px = max(1, line_px - _line_px(pixels))
        cv2.polylines(pixels, [shape], True, colour, outline_px, cv2.LINE_AA)

    _edged(pixels, draw)


def _edged(pixels: Pixels, draw: Callable[[_Colour, int], None]) -> None:
    """Draw in paper first and in ink over it."""
    line_px = _line_px(pixels)
    draw(_rgb(PAPER), line_px + 2 * ceil(line_px * 0.6))
    draw(_rgb(INK), line_px)


def _line_px(pixels: Pixels) -> int:
    long_edge_px: int = max(pixels.shape[:2])
    return max(_LEAST_LINE_PX, round(long_edge_px * _LINE_SHARE))


def _whole(point: _Point) -> tuple[int, int]:
    return round(point[0]), round(point[1])


def _rgb(colour: str) -> _Colour:
    red, green, blue = bytes.fromhex(colour.removeprefix("#"))
    return red, green, blue
