"""What a file is by its first bytes; what its sender calls it is never believed."""

HEAD_BYTES = 32
"""How many first bytes are looked at."""

UNKNOWN = "application/octet-stream"

_BEGINNINGS = (
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"II*\x00", "image/tiff"),
    (b"MM\x00*", "image/tiff"),
    (b"%PDF-", "application/pdf"),
    (b"PK\x03\x04", "application/zip"),
    (b"OggS", "audio/ogg"),
    (b"ID3", "audio/mpeg"),
    (b"\x1aE\xdf\xa3", "video/webm"),
)
# RIFF and the ISO base media format say further on what they hold.
_RIFF = {b"WEBP": "image/webp", b"WAVE": "audio/wav"}
_HEIF = (b"heic", b"heix", b"hevc", b"mif1", b"msf1")


def media_type(head: bytes) -> str:
    """The media type of a file.

    Args:
        head: Its first bytes, `HEAD_BYTES` or more where it has so many.

    >>> media_type(b"%PDF-1.7")
    'application/pdf'
    """
    for beginning, kind in _BEGINNINGS:
        if head.startswith(beginning):
            return kind
    if head[:4] == b"RIFF":
        return _RIFF.get(head[8:12], UNKNOWN)
    if head[4:8] == b"ftyp":
        brand = head[8:12]
        return "image/heic" if brand in _HEIF else "audio/mp4" if brand == b"M4A " else "video/mp4"
    return UNKNOWN
