"""Finished files on a disk: whole, and those of an issue never overwritten."""

from pathlib import Path

import pytest

from garboard.archive.shelf import put


def test_what_was_issued_is_kept_and_a_draft_is_replaced(tmp_path: Path) -> None:
    put(tmp_path / "new", {"Q-1-v1.pdf": b"issued", "Q-1-draft.pdf": b"old"})

    kept = put(tmp_path / "new", {"Q-1-v1.pdf": b"again", "Q-1-draft.pdf": b"new"})

    assert kept == ("Q-1-v1.pdf",)
    assert {each.name: each.read_bytes() for each in (tmp_path / "new").iterdir()} == {
        "Q-1-v1.pdf": b"issued",
        "Q-1-draft.pdf": b"new",
    }


def test_nothing_is_left_behind_where_a_file_cannot_be_written(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="a/b"):
        put(tmp_path, {"Q-1.pdf": b"whole", "a/b": b"no such folder"})

    assert list(tmp_path.iterdir()) == []
