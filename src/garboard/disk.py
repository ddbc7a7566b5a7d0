"""Files that are on the disk whole, old or new, whatever happens: a kill, a full disk, a power cut.

What comes in pieces, and sets of files, are written where they are kept (store/blobs.py, archive/shelf.py).
"""

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, content: bytes, *, mode: int | None = None) -> None:
    """Write a file in place of an earlier one; it is on the disk when this returns.

    Args:
        path: In a folder that is there.
        content: All of it.
        mode: Who may read it, and nobody else from its first byte on; as before, or everybody, where not given.

    Raises:
        OSError: The disk is full, or nobody may write there; what was there stays.
    """
    # A passing name of its own, for two may write the same file at once.
    descriptor, name = tempfile.mkstemp(dir=path.parent, prefix=".writing-")
    passing = Path(name)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(descriptor)
        before = path.stat().st_mode if path.exists() else 0o644
        passing.chmod(before if mode is None else mode)
        passing.replace(path)
    finally:
        passing.unlink(missing_ok=True)
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Make new names in a folder outlive a power cut. Windows opens no folders, and needs no such call."""
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
