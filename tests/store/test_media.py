"""A file is what its first bytes say."""

import pytest

from garboard.store.media import UNKNOWN, media_type


@pytest.mark.parametrize(
    ("head", "kind"),
    [
        (b"\xff\xd8\xff\xe0", "image/jpeg"),
        (b"\x89PNG\r\n\x1a\n", "image/png"),
        (b"MM\x00*", "image/tiff"),
        (b"%PDF-1.7", "application/pdf"),
        (b"RIFF\x00\x00\x00\x00WAVEfmt ", "audio/wav"),
        (b"RIFF\x00\x00\x00\x00WEBPVP8 ", "image/webp"),
        (b"RIFF\x00\x00\x00\x00AVI ", UNKNOWN),
        (b"\x00\x00\x00\x18ftypheic", "image/heic"),
        (b"\x00\x00\x00\x18ftypM4A ", "audio/mp4"),
        (b"\x00\x00\x00\x18ftypisom", "video/mp4"),
        (b"<html><script>", UNKNOWN),
        (b"", UNKNOWN),
    ],
)
def test_the_first_bytes_tell_what_a_file_is(head: bytes, kind: str) -> None:
    assert media_type(head) == kind
