"""What a photograph's own bytes tell: its format, and when its camera says it was taken."""

import hashlib
from datetime import datetime, tzinfo
from pathlib import Path

from PIL import Image

# The camera's time, its fraction ignored, and its offset (Exif 2.31, tags 36867 and 36881).
_TAKEN, _OFFSET = 36867, 36881

_BEGINNINGS = (
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"II*\x00", "image/tiff"),
    (b"MM\x00*", "image/tiff"),
)
_HEIF_BRANDS = (b"heic", b"heix", b"hevc", b"mif1", b"msf1")


def sha256_of(path: Path) -> str:
    """SHA-256 of a file, in hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def media_type(path: Path) -> str | None:
    """The format of a photograph by its first bytes, or None if it is none we can print."""
    with path.open("rb") as file:
        start = file.read(32)
    for beginning, kind in _BEGINNINGS:
        if start.startswith(beginning):
            return kind
    if start[4:8] == b"ftyp" and start[8:12] in _HEIF_BRANDS:
        return "image/heic"
    return None


def taken_at(path: Path, zone: tzinfo | None) -> datetime | None:
    """When the camera says it took the photograph; in `zone` where it names no offset of its own.

    None where it says nothing that can be read.
    """
    try:
        with Image.open(path) as image:
            exif = image.getexif().get_ifd(0x8769)
        day, clock = str(exif[_TAKEN]).strip("\x00 ").split(" ")
        taken = datetime.fromisoformat(f"{day.replace(':', '-')}T{clock}")
        offset = str(exif.get(_OFFSET, "")).strip("\x00 ")
        return (
            datetime.fromisoformat(f"{taken.isoformat()}{offset}")
            if offset
            else taken.replace(tzinfo=zone)
        )
    except (OSError, KeyError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None
