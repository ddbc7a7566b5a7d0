"""Copies of photographs for a report, made from the original bytes; the originals are never touched.

A copy is an upright sRGB JPEG of the size its slot needs, cropped and marked where its photograph says so, and
holds nothing else: no location, no serial number, no colour profile, no thumbnail. A photograph that cannot be shown becomes a placeholder that says so,
with a `Problem` for whoever issues the report.

A photograph's bytes come from a function that may raise `LookupError` or `OSError` where there are none.
"""

import io
import textwrap
from collections import deque
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from math import ceil
from types import MappingProxyType
from typing import Any

import cv2
import numpy as np
import pillow_heif
import simplejpeg
from PIL import Image, ImageCms, ImageDraw, ImageFont, UnidentifiedImageError

from garboard.drawings.svg import HAIRLINE, INK
from garboard.notebook.problem import Problem
from garboard.report.document import Across, Document, Picture, pictures
from garboard.report.edits import NONE, Edits
from garboard.report.fonts import SANS
from garboard.report.marks import WHOLE, Pixels, cropped, marked

Originals = Callable[[str], bytes]
"""The bytes of an original by its SHA-256."""

SLOT_PX: Mapping[Across, int] = MappingProxyType({1: 1600, 2: 1000, 3: 700})
"""The long edge of a copy, px, by how many photographs stand side by side: about 250 px to the inch."""

MOST_PX = 100_000_000
"""A picture of more pixels is refused by what its header says, before anything is decoded."""

_QUALITY = 82
_FORMATS = ("JPEG", "PNG", "TIFF", "HEIF", "AVIF", "WEBP")
_ORIENTATION = 0x0112
_HARMLESS = ("extraneous bytes", "JFIF revision", "Adobe color transform", "SOS parameters")
_WORKERS = 2

# The check of size is ours, in `_opened`, where it gives a reason; Pillow's would warn at a limit of its own.
Image.MAX_IMAGE_PIXELS = None
pillow_heif.register_heif_opener(thumbnails=False)
Image.init()


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """A JPEG to print; where there is a `problem` it is a placeholder and not the photograph."""

    jpeg: bytes
    width_px: int
    height_px: int
    problem: Problem | None = None


class _Unfit(Exception):
    """Why an original cannot be shown, and what to do about it."""

    def __init__(self, what: str, do: str) -> None:
        super().__init__(what)
        self.do = do


def copies(
    document: Document, original: Originals, slot_px: Mapping[Across, int] = SLOT_PX
) -> Iterator[tuple[str, Copy]]:
    """One copy of each photograph of a document by its name there, sized to the widest slot it stands in.

    Two are made at a time.

    Args:
        document: The photographs it shows.
        original: Gives an original's bytes by its SHA-256; called from this thread only.
        slot_px: The long edge of a copy, px, by how many stand side by side.
    """
    wanted: dict[str, tuple[Picture, int]] = {}
    for picture, across in pictures(document):
        _, so_far_px = wanted.get(picture.copy, (picture, 0))
        wanted[picture.copy] = (picture, max(so_far_px, slot_px[across]))
    under_way: deque[tuple[str, Future[Copy]]] = deque()
    with ThreadPoolExecutor(_WORKERS) as workers:
        for copy, (picture, long_edge_px) in wanted.items():
            name = f"Photo {picture.photo_number}"
            try:
                held = original(picture.sha256)
            except (LookupError, OSError):
                problem = _problem(name, _Unfit("its original is not there", "Add the file again"))
                made = workers.submit(placeholder, problem, name=name, long_edge_px=long_edge_px)
            else:
                made = workers.submit(
                    print_copy, held, name=name, long_edge_px=long_edge_px, edits=picture.edits
                )
            under_way.append((copy, made))
            if len(under_way) > _WORKERS:
                first, ready = under_way.popleft()
                yield first, ready.result()
        for first, ready in under_way:
            yield first, ready.result()


def print_copy(original: bytes, *, name: str, long_edge_px: int, edits: Edits = NONE) -> Copy:
    """A copy of one photograph, or a placeholder with the problem.

    Args:
        original: The file as the camera wrote it: JPEG, HEIC, PNG, TIFF, AVIF or WebP.
        name: What a person calls it: "Photo 12" or a file's name.
        long_edge_px: Long edge of the copy, px; a smaller original is not enlarged.
        edits: How it is cropped and marked.
    """
    try:
        pixels = _edited(original, long_edge_px, edits)
    except _Unfit as unfit:
        problem = _problem(name, unfit)
    except Exception:  # noqa: BLE001 - a decoder fails in many ways; whichever it was, the reader is told
        problem = _problem(name, _damaged())
    else:
        return _coded(pixels)
    return placeholder(problem, name=name, long_edge_px=long_edge_px)


def placeholder(problem: Problem, *, name: str, long_edge_px: int) -> Copy:
    """A pale picture that says which photograph should stand here and why it does not."""
    width, height = long_edge_px, long_edge_px * 3 // 4
    page = Image.new("RGB", (width, height), "#f3f1ec")
    pen = ImageDraw.Draw(page)
    pen.rectangle((0, 0, width - 1, height - 1), outline=HAIRLINE, width=max(1, width // 400))
    size = width / 18
    lines = [f"{name} cannot be shown:", *textwrap.wrap(f"{problem.what}.", 28)]
    pen.multiline_text(
        (width / 2, height / 2),
        "\n".join(lines),
        fill=INK,
        font=ImageFont.truetype(str(SANS), size),
        anchor="mm",
        align="center",
        spacing=size * 0.4,
    )
    return _coded(np.asarray(page), problem)


def _problem(name: str, unfit: _Unfit) -> Problem:
    return Problem(where=name, what=str(unfit), do=unfit.do)


def _coded(pixels: Pixels, problem: Problem | None = None) -> Copy:
    height, width = pixels.shape[:2]
    jpeg = simplejpeg.encode_jpeg(
        np.ascontiguousarray(pixels), quality=_QUALITY, colorspace="RGB", colorsubsampling="420"
    )
    return Copy(jpeg=jpeg, width_px=width, height_px=height, problem=problem)


def _edited(original: bytes, long_edge_px: int, edits: Edits) -> Pixels:
    """The picture at its final size, cropped and marked."""
    crop = edits.crop or WHOLE
    least_share = min(crop.right - crop.left, crop.bottom - crop.top)
    whole = _upright(original, ceil(long_edge_px / least_share))
    shown = _fitted(cropped(whole, crop), long_edge_px)
    return marked(shown, crop, edits.marks) if edits.marks else shown


def _upright(original: bytes, long_edge_px: int) -> Pixels:
    """The whole picture as it should be seen, in sRGB, its long edge no longer than this."""
    opened = _opened(original)
    pixels = None
    if opened.format in {"JPEG", "MPO"} and opened.mode in {"L", "RGB"}:
        pixels = _jpeg_pixels(original, opened.size, long_edge_px)
    if pixels is None:
        pixels = _pillow_pixels(opened)
    turn = opened.getexif().get(_ORIENTATION, 1)
    pixels = _fitted(pixels, long_edge_px)
    # CMYK was already converted from its profile on the way to RGB.
    if (profile := opened.info.get("icc_profile")) and opened.mode != "CMYK":
        pixels = _in_srgb(pixels, profile)
    return _turned(pixels, turn)


def _opened(original: bytes) -> Image.Image:
    """The picture with its header read and judged, nothing decoded."""
    try:
        opened = Image.open(io.BytesIO(original), formats=_FORMATS)
    except UnidentifiedImageError as error:
        raise _Unfit(
            "its file is damaged or is not a picture of a kind that can be read",
            "Add it again from the camera, or save it as JPEG",
        ) from error
    width, height = opened.size
    if width * height > MOST_PX:
        raise _Unfit(
            f"it has {width} by {height} pixels, more than the {MOST_PX // 1_000_000} million allowed",
            "Add a smaller version of it beside the original",
        )
    return opened


def _jpeg_pixels(original: bytes, size: tuple[int, int], long_edge_px: int) -> Pixels | None:
    """A JPEG decoded at the least scale that still holds the copy; nothing where only Pillow reads it."""
    width, height = size
    enough = {"min_width" if width >= height else "min_height": min(long_edge_px, max(size))}
    decode: Callable[..., Pixels] = simplejpeg.decode_jpeg
    try:
        return decode(original, colorspace="RGB", **enough)
    except ValueError as error:
        if any(words in str(error) for words in _HARMLESS):
            return None
        raise _damaged() from error


def _pillow_pixels(opened: Image.Image) -> Pixels:
    """Whatever is not an ordinary JPEG, decoded whole: transparency on white, deep pixels to eight bits."""
    opened.load()
    if opened.mode.startswith("I"):
        grey = (np.asarray(opened).astype(np.uint32) >> 8).clip(0, 255).astype(np.uint8)
        return np.dstack([grey, grey, grey])
    if opened.mode == "CMYK":
        return np.asarray(_from_cmyk(opened))
    if opened.has_transparency_data:
        on_white = Image.new("RGBA", opened.size, "white")
        on_white.alpha_composite(opened.convert("RGBA"))
        return np.asarray(on_white.convert("RGB"))
    return np.asarray(opened.convert("RGB"))


def _damaged() -> _Unfit:
    return _Unfit(
        "its file is damaged or ends too early",
        "Copy it again from the camera, or leave the photograph out and say so",
    )


def _from_cmyk(opened: Image.Image) -> Image.Image:
    if profile := opened.info.get("icc_profile"):
        try:
            return _converted(opened, profile)
        except ImageCms.PyCMSError:
            pass
    return opened.convert("RGB")


def _in_srgb(pixels: Pixels, profile: bytes) -> Pixels:
    """Colours from a camera's own space in sRGB; a profile that cannot be read leaves them as they are."""
    try:
        return np.asarray(_converted(Image.fromarray(pixels), profile))
    except ImageCms.PyCMSError:
        return pixels


def _converted(picture: Image.Image, profile: bytes) -> Image.Image:
    try:
        camera = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    except OSError as error:
        raise ImageCms.PyCMSError(error) from error
    srgb: Any = ImageCms.createProfile("sRGB")
    converted = ImageCms.profileToProfile(picture, camera, srgb, outputMode="RGB")
    return picture if converted is None else converted


def _fitted(pixels: Pixels, long_edge_px: int) -> Pixels:
    height, width = pixels.shape[:2]
    scale = long_edge_px / max(height, width)
    if scale >= 1:
        return pixels
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    return np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def _turned(pixels: Pixels, orientation: int) -> Pixels:
    """The picture upright after the orientation its camera noted (EXIF tag 274, values 1 to 8)."""
    match orientation:
        case 2:
            return pixels[:, ::-1]
        case 3:
            return pixels[::-1, ::-1]
        case 4:
            return pixels[::-1]
        case 5:
            return pixels.transpose(1, 0, 2)
        case 6:
            return pixels.transpose(1, 0, 2)[:, ::-1]
        case 7:
            return pixels.transpose(1, 0, 2)[::-1, ::-1]
        case 8:
            return pixels.transpose(1, 0, 2)[::-1]
        case _:
            return pixels
