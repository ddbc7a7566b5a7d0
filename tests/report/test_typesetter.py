from pathlib import Path

import pytest

from garboard.report import typesetter

START = b'#set document(title: "Try")\n#set text(font: "IBM Plex Sans")\n'


def set_(source: bytes, time_out_s: float = 60, **sources: bytes) -> bytes:
    return typesetter.pdf(
        {"main.typ": START + source, **sources}, issued_unix=0, time_out_s=time_out_s
    )


def test_a_document_that_never_ends_is_given_up() -> None:
    endless = b"#for i in range(100000) { for j in range(100000) { if i == -j { [a] } } }"

    with pytest.raises(typesetter.NotSet, match="not set within 2 s"):
        set_(endless, time_out_s=2)


@pytest.mark.parametrize("path", ["../made", "/etc/hostname", "../../../../etc/hostname"])
def test_nothing_outside_the_given_files_can_be_read(path: str) -> None:
    with pytest.raises(typesetter.NotSet):
        set_(f'#read("{path}")'.encode())


def test_a_link_among_the_originals_is_copied_as_bytes_and_not_followed(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("keep out")
    (tmp_path / "notes.txt").symlink_to(secret)

    with pytest.raises(typesetter.NotSet):
        set_(f'#read("{tmp_path / "notes.txt"}")'.encode())


def test_no_package_is_fetched() -> None:
    with pytest.raises(typesetter.NotSet):
        set_(b'#import "@preview/nothing:0.1.0"', time_out_s=20)


def test_an_error_says_where_without_naming_this_machine() -> None:
    with pytest.raises(typesetter.NotSet) as refused:
        set_(b"#unknown-function()")

    assert "unknown variable" in str(refused.value)
    assert "report.typ" in str(refused.value)
    assert "/tmp" not in str(refused.value)


def test_each_page_becomes_a_picture() -> None:
    pages = typesetter.pngs(
        {"main.typ": START + b"#set page(width: 10mm, height: 10mm)\n" + b"a\n#pagebreak()\n" * 11},
        ppi=72,
        time_out_s=60,
    )

    assert len(pages) == 12
    assert all(page.startswith(b"\x89PNG") for page in pages)
