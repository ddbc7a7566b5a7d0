"""A computer's look at a photograph: what it measures on a reduced copy."""

import io

import cv2
import numpy as np
import simplejpeg
from numpy.typing import NDArray
from PIL import Image

from garboard.judgement.looks import Look
from garboard.report.copies import print_copy

LOOK_PX = 1000
"""The long edge of the copy that is measured; sharpness depends on it."""

_FIELDS = 4
_DARK, _BURNT = 8, 250
_MAKE, _MODEL = 0x010F, 0x0110
_MOST_WORDS = 60

Grey = NDArray[np.uint8]


def look_at(original: bytes) -> Look:
    """What is measured on a photograph's copy, or why none can be made.

    Args:
        original: The file as the camera wrote it.
    """
    copy = print_copy(original, name="it", long_edge_px=LOOK_PX)
    if copy.problem:
        problem = copy.problem.what
        return Look(width_px=copy.width_px, height_px=copy.height_px, problem=problem)
    grey: Grey = simplejpeg.decode_jpeg(copy.jpeg, colorspace="GRAY")[:, :, 0]
    return Look(
        width_px=copy.width_px,
        height_px=copy.height_px,
        sharpness=round(_sharpness(grey), 1),
        dark_share=round(float((grey <= _DARK).mean()), 3),
        burnt_share=round(float((grey >= _BURNT).mean()), 3),
        pattern=_pattern(grey),
        camera=_camera(original),
    )


def _sharpness(grey: Grey) -> float:
    edges = cv2.Laplacian(grey, cv2.CV_64F)
    fields = (
        field
        for band in np.array_split(edges, _FIELDS)
        for field in np.array_split(band, _FIELDS, axis=1)
    )
    return max(float(field.var()) for field in fields if field.size)


def _pattern(grey: Grey) -> str:
    """The signs of the picture's 64 broadest waves about their median."""
    small = cv2.resize(grey, (32, 32), interpolation=cv2.INTER_AREA).astype(np.float32)
    waves = cv2.dct(small)[:8, :8].flatten()
    bits = waves > np.median(waves[1:])
    return f"{int(''.join('1' if each else '0' for each in bits), 2):016x}"


def _camera(original: bytes) -> str:
    """Make and model, so that photographs of one clock can be told from those of another."""
    with Image.open(io.BytesIO(original)) as opened:
        exif = opened.getexif()
    words = " ".join(str(exif.get(tag, "")) for tag in (_MAKE, _MODEL))
    return " ".join("".join(each if each.isprintable() else " " for each in words).split())[:_MOST_WORDS]  # fmt: skip
