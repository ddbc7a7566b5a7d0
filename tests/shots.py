"""Small photographs as a camera writes them: with its time, its name, a place and a serial number."""

import hashlib
import io
from datetime import datetime

import numpy as np
import pillow_heif
from PIL import Image

pillow_heif.register_heif_opener(thumbnails=False)


def shot(
    seed: int = 1,
    *,
    taken: datetime | None = datetime(2026, 5, 12, 9, 41),  # noqa: DTZ001 - a camera knows no zone
    size: tuple[int, int] = (640, 480),
    kind: str = "JPEG",
    camera: str = "Near",
    orientation: int = 1,
) -> bytes:
    """A photograph; each seed gives another picture."""
    rng = np.random.default_rng(seed)
    rough = (rng.random((24, 32, 3)) * 200 + 20).astype(np.uint8)
    picture = Image.fromarray(rough).resize(size, Image.Resampling.NEAREST)
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x0110] = camera
    exif.get_ifd(0x8825)[2] = (50.0, 4.0, 12.0)
    exif.get_ifd(0x8769)[0xA431] = "SERIAL-0417"
    if taken:
        exif.get_ifd(0x8769)[36867] = f"{taken:%Y:%m:%d %H:%M:%S}"
    held = io.BytesIO()
    picture.save(held, kind, exif=exif.tobytes() if kind == "HEIF" else exif)
    return held.getvalue()


def sha256_of(content: bytes) -> str:
    """Its hash, by which it is known."""
    return hashlib.sha256(content).hexdigest()
