"""What a photograph's own bytes tell: its format, and when its camera says it was taken."""

import hashlib
from datetime import datetime, tzinfo
from pathlib import Path

from PIL import Image

from garboard.store.media import HEAD_BYTES, media_type

# The camera's time, its fraction ignored, and its offset (Exif 2.31, tags 36867 and 36881).
_TAKEN, _OFFSET = 36867, 36881

_PRINTED = ("image/jpeg", "image/png", "image/tiff", "image/heic")


def sha256_of(path: Path) -> str:
    """SHA-256 of a file, in hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def format_of(path: Path) -> str | None:
    """The media type of a photograph by its first bytes, or None if it is none we can print."""
    with path.open("rb") as file:
        kind = media_type(file.read(HEAD_BYTES))
    return kind if kind in _PRINTED else None


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
