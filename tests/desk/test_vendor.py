"""What comes from elsewhere is what the lock file names."""

from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_copy_of_htmx_is_that_of_the_lock_file() -> None:
    ours = ROOT / "src" / "garboard" / "desk" / "static" / "vendor" / "htmx.min.js"
    theirs = ROOT / "node_modules" / "htmx.org" / "dist" / "htmx.min.js"

    assert ours.read_bytes() == theirs.read_bytes()
