"""The invented surveyor's own key, made on this computer for the demonstration and worth nothing.

Nobody vouches for it: its certificate is self-signed, and its subject says that the person is invented.
"""

from datetime import UTC, datetime
from pathlib import Path

from garboard.archive.own_key import own_key

NAME = "Ines Caldervane (invented, for demonstration)"
PASSPHRASE = "invented here"
PATH = Path(__file__).parent.parent / "build" / "demo" / "invented-key.p12"

_BEGINS = datetime(2026, 1, 1, tzinfo=UTC)


def key_file(path: Path = PATH) -> Path:
    """The PKCS #12 file of the invented surveyor; made when it is not there yet."""
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        made = path.with_suffix(".new")
        made.write_bytes(own_key(NAME, PASSPHRASE, at=_BEGINS))
        made.replace(path)
    return path
