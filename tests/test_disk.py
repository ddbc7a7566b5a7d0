"""A file is replaced whole or not at all, and read by nobody it is not for."""

import os
import threading
from pathlib import Path

import pytest

from garboard.disk import write_whole


def test_a_file_keeps_who_may_read_it_until_told_otherwise(tmp_path: Path) -> None:
    path = tmp_path / "notebook.jsonl"
    write_whole(path, b"first", mode=0o600)

    write_whole(path, b"second")

    assert path.read_bytes() == b"second"
    assert path.stat().st_mode & 0o777 == 0o600


def test_a_disk_that_will_not_write_leaves_what_was_there_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "key.p12"
    path.write_bytes(b"first")

    def fail(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(OSError, match="No space"):
        write_whole(path, b"second")

    assert path.read_bytes() == b"first"
    assert [*tmp_path.iterdir()] == [path]


def test_two_who_write_one_file_at_once_leave_one_of_them_whole(tmp_path: Path) -> None:
    path = tmp_path / "key.p12"
    contents = [bytes([each]) * 100_000 for each in range(2)]

    def write(content: bytes) -> None:
        for _ in range(50):
            write_whole(path, content)
            assert path.read_bytes() in contents

    threads = [threading.Thread(target=write, args=(each,)) for each in contents]
    for each in threads:
        each.start()
    for each in threads:
        each.join()

    assert path.read_bytes() in contents
    assert [*tmp_path.iterdir()] == [path]
