"""Copies are at hand or made again; they never stand in for what they are not."""

from pathlib import Path

import pytest

from garboard.notebook.problem import Refused
from garboard.store.folder import Store

HASH = "ab" * 32


def test_a_copy_is_had_by_its_original_and_its_kind(store: Store) -> None:
    store.copies.put(HASH, "screen", b"small")
    store.copies.put(HASH, "print-300", b"larger")
    store.copies.put(HASH, "screen", b"smaller")

    assert store.copies.get(HASH, "screen") == b"smaller"
    assert store.copies.get(HASH, "print-300") == b"larger"
    assert store.copies.get("cd" * 32, "screen") is None


@pytest.mark.parametrize("spoilt", [b"", b"small", b"\x00" * 37])
def test_a_spoilt_copy_is_none(store: Store, tmp_path: Path, spoilt: bytes) -> None:
    store.copies.put(HASH, "screen", b"small")
    (kept,) = (tmp_path / "store" / "copies").rglob(HASH)

    kept.write_bytes(spoilt)

    assert store.copies.get(HASH, "screen") is None


def test_copies_can_all_be_removed_and_made_again(store: Store) -> None:
    store.copies.put(HASH, "screen", b"small")

    store.copies.clear()

    assert store.copies.get(HASH, "screen") is None
    store.copies.put(HASH, "screen", b"small")
    assert store.copies.get(HASH, "screen") == b"small"


def test_a_copy_has_a_proper_name(store: Store) -> None:
    with pytest.raises(ValueError, match="A kind of copy is small letters"):
        store.copies.put(HASH, "../originals", b"x")
    with pytest.raises(Refused, match="is not a SHA-256"):
        store.copies.get("../x", "screen")
