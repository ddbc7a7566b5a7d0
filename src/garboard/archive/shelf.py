"""Finished files on a disk: each whole or not at all, and one of an issued report never overwritten."""

import os
import re
import tempfile
from collections.abc import Mapping
from pathlib import Path

from garboard.disk import sync_folder

_ISSUED = re.compile(r"-v(\d+)\.[a-z]+$")


def version_in(name: str) -> int | None:
    """The version of an issued report that a file's name bears; None where it is of no issue.

    >>> version_in("Q-2026-014-v2.pdf"), version_in("Q-2026-014-draft.pdf")
    (2, None)
    """
    found = _ISSUED.search(name)
    return int(found[1]) if found else None


def put(folder: Path, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Put finished files in a folder; names those of an issue that are there already and stay as they are.

    Args:
        folder: Made where there is none.
        files: Their content by name.

    Raises:
        OSError: The disk is full, or nobody may write there; nothing was written by halves.
    """
    folder.mkdir(parents=True, exist_ok=True)
    kept = tuple(name for name in files if version_in(name) and (folder / name).exists())
    with tempfile.TemporaryDirectory(dir=folder, prefix=".writing-") as scratch:
        for name, content in files.items():
            with (Path(scratch) / name).open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        for name in files:
            if name not in kept:
                (Path(scratch) / name).replace(folder / name)
        sync_folder(folder)
    return kept
