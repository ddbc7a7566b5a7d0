import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from garboard.report import typesetter

START = b'#set document(title: "Try")\n#set text(font: "IBM Plex Sans")\n'


def set_(source: bytes, time_out_s: float = 60) -> bytes:
    return typesetter.pdf({"main.typ": START + source}, issued_unix=0, time_out_s=time_out_s)


def test_a_document_that_never_ends_is_given_up() -> None:
    endless = b"#for i in range(100000) { for j in range(100000) { if i == -j { [a] } } }"

    with pytest.raises(typesetter.NotSet, match="not set within 2 s"):
        set_(endless, time_out_s=2)


@pytest.mark.parametrize("path", ["../made", "/etc/hostname", "../../../../etc/hostname"])
def test_nothing_outside_the_given_files_can_be_read(path: str) -> None:
    with pytest.raises(typesetter.NotSet):
        set_(f'#read("{path}")'.encode())


def test_the_typesetter_sees_regular_files_in_a_folder_of_their_own(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen: dict[str, bool] = {}

    def look(job: Mapping[str, Any], time_out_s: float) -> None:
        root = Path(job["root"])
        files = (path for path in root.rglob("*") if not path.is_dir())
        seen.update({str(path.relative_to(root)): path.is_symlink() for path in files})
        Path(job["output"]).write_bytes(b"made")

    monkeypatch.setattr(typesetter, "_compile", look)

    sources = {"main.typ": START, "photos/0.jpg": b"a photograph"}
    typesetter.pdf(sources, issued_unix=0, time_out_s=60)

    assert seen == {"main.typ": False, "photos/0.jpg": False}


def test_no_package_is_fetched() -> None:
    with pytest.raises(typesetter.NotSet):
        set_(b'#import "@preview/nothing:0.1.0"', time_out_s=20)


def test_an_error_says_where_without_naming_this_machine() -> None:
    with pytest.raises(typesetter.NotSet) as refused:
        set_(b"#unknown-function()")

    assert "unknown variable" in str(refused.value)
    assert "report.typ" in str(refused.value)
    assert tempfile.gettempdir() not in str(refused.value)


def test_each_page_becomes_a_picture() -> None:
    pages = typesetter.pngs(
        {"main.typ": START + b"#set page(width: 10mm, height: 10mm)\n" + b"a\n#pagebreak()\n" * 11},
        ppi=72,
        time_out_s=60,
    )

    assert len(pages) == 12
    assert all(page.startswith(b"\x89PNG") for page in pages)
