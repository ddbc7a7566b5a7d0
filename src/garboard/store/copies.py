"""Smaller copies of originals for print and screen: quick to have at hand, made again when lost."""

import hashlib
import re
import shutil
from pathlib import Path

import obstore
from obstore.store import LocalStore

from garboard.store.blobs import checked

_KIND = re.compile(r"[a-z0-9-]{1,40}")
_DIGEST_BYTES = hashlib.sha256().digest_size


class Copies:
    """Copies by the hash of their original and their kind. They are not synced: a spoilt one is none."""

    def __init__(self, folder: Path) -> None:
        """Keep copies in a folder of their own, which may be removed at any time."""
        self._folder = folder
        self._store = LocalStore(folder, mkdir=True)

    def get(self, sha256: str, kind: str) -> bytes | None:
        """A copy, or None where it must be made."""
        try:
            held = bytes(obstore.get(self._store, _key(sha256, kind)).bytes())
        except FileNotFoundError:
            return None
        digest, content = held[:_DIGEST_BYTES], held[_DIGEST_BYTES:]
        return content if hashlib.sha256(content).digest() == digest else None

    def put(self, sha256: str, kind: str, content: bytes) -> None:
        """Keep a copy, in place of an earlier one.

        Args:
            sha256: Of the original.
            kind: Which copy: small letters, figures and hyphens.
            content: Its bytes.
        """
        # Its own hash stands before it: after a power cut a copy may be there and hold nothing.
        digest = hashlib.sha256(content).digest()
        obstore.put(self._store, _key(sha256, kind), digest + content)

    def clear(self) -> None:
        """Remove every copy."""
        shutil.rmtree(self._folder, ignore_errors=True)


def _key(sha256: str, kind: str) -> str:
    if not _KIND.fullmatch(kind):
        raise ValueError(f"A kind of copy is small letters, figures and hyphens, not {kind!r}.")
    return f"{kind}/{checked(sha256)[:2]}/{sha256}"
