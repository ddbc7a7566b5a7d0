"""Photographs and other files, byte for byte as they came, known by their SHA-256.

An original is written under a passing name, synced, renamed to its hash, and its folder synced, before it is
registered; only then is it acknowledged. Reading goes through obstore, which serves a disk and an object store
alike. Its local store never syncs what it writes (obstore 0.12: no fsync among its system calls), so that a
power cut could take what was acknowledged: on a disk, originals are therefore written here.

Raises:
    Refused: A file is missing, spoilt, too large or not what its hash says; says what to do.
"""

import errno
import hashlib
import os
import re
import secrets
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import obstore
from obstore.store import LocalStore
from sqlalchemy import delete, select

from garboard.disk import sync_folder
from garboard.notebook.problem import Problem, Refused
from garboard.store.clock import Clock
from garboard.store.database import Database
from garboard.store.media import HEAD_BYTES, media_type
from garboard.store.tables import INSERT, blobs

_SHA256 = re.compile(r"[0-9a-f]{64}")
PASSING = "application/zip"
"""What is not kept once it was used."""

_PIECE_BYTES = 1 << 20
# SQLite binds no more than 32,766 values in one statement.
_AT_ONCE = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Blob:
    """An original that is kept: its hash, size in bytes, and media type by its first bytes."""

    sha256: str
    size: int
    media_type: str
    received_at: datetime


class Blobs:
    """The originals of a store. Safe to use from several threads and processes at once."""

    def __init__(self, folder: Path, database: Database, clock: Clock) -> None:
        """Keep originals in `folder/originals`, and in `folder/parts` what is still arriving."""
        self._originals = folder / "originals"
        self._parts = folder / "parts"
        for each in (self._originals, self._parts):
            each.mkdir(parents=True, exist_ok=True)
        sync_folder(folder)
        self._store = LocalStore(self._originals)
        self._database = database
        self._clock = clock

    def put(self, content: Iterable[bytes], *, limit_bytes: int | None = None) -> Blob:
        """Keep a file whole; one that is kept already stays as it is.

        Args:
            content: Its bytes in pieces.
            limit_bytes: The largest size allowed, or None.
        """
        return self._keep(_limited("upload", content, limit_bytes), None)

    def offset(self, sha256: str) -> int:
        """How many bytes of a file have arrived, so that an upload can go on from there."""
        if kept := self.find(sha256):
            return kept.size
        try:
            return self._part(sha256).stat().st_size
        except FileNotFoundError:
            return 0

    def append(
        self, sha256: str, offset: int, content: Iterable[bytes], *, limit_bytes: int
    ) -> int:
        """Take the next bytes of an upload and give how many have arrived; only `finish` promises to keep them.

        Args:
            sha256: What the whole file will have.
            offset: Where the bytes belong; at most as many as have arrived.
            content: The bytes in pieces.
            limit_bytes: The largest size allowed for the whole file; beyond it all that arrived is removed.
        """
        part = self._part(sha256)
        with _in_words(sha256), open(part, "r+b", opener=_made_at_need) as file:
            arrived = file.seek(0, os.SEEK_END)
            if not 0 <= offset <= arrived:
                if kept := self.find(sha256):
                    part.unlink(missing_ok=True)
                    return kept.size
                raise _refused(
                    sha256,
                    f"{arrived} bytes of it have arrived, so the next cannot begin at {offset}",
                    f"Go on from {arrived}",
                )
            file.seek(offset)
            try:
                file.writelines(_limited(sha256, content, limit_bytes - offset))
            except Refused:
                part.unlink(missing_ok=True)
                raise
            return file.seek(0, os.SEEK_END)

    def finish(self, sha256: str) -> Blob:
        """End an upload: what arrived is kept if it has this hash, else it is refused and removed.

        To finish once more what is kept does no harm.
        """
        part = self._part(sha256)
        try:
            with part.open("rb") as file:
                # Copied and not moved: nobody else can write to what is being hashed.
                blob = self._keep(iter(lambda: file.read(_PIECE_BYTES), b""), sha256)
        except FileNotFoundError:
            if kept := self.find(sha256):
                return kept
            raise _refused(sha256, "nothing of it has arrived", "Send it from the start") from None
        except _AnotherFile:
            part.unlink(missing_ok=True)
            # Another device may have ended the same upload meanwhile, and a third begun it again.
            if kept := self.find(sha256):
                return kept
            raise
        part.unlink(missing_ok=True)
        return blob

    def find(self, sha256: str) -> Blob | None:
        """A file that is kept; None where it is not, or does not lie there in its full length."""
        return self._found([sha256]).get(sha256)

    def missing(self, hashes: Collection[str]) -> tuple[str, ...]:
        """Which of the files are still to be sent, in the order given."""
        asked = list(dict.fromkeys(hashes))
        found = self._found(asked)
        return tuple(each for each in asked if each not in found)

    def read(self, sha256: str) -> bytes:
        """A file whole, proved against its hash."""
        content = b"".join(self._pieces(sha256))
        if hashlib.sha256(content).hexdigest() != sha256:
            raise _spoilt(sha256)
        return content

    def stream(self, sha256: str) -> Iterator[bytes]:
        """A file in pieces; all of it is proved against its hash before the first is given."""
        self._prove(sha256)
        return self._pieces(sha256)

    def path(self, sha256: str) -> Path:
        """Where a file lies, proved against its hash, for what reads from paths; never write there."""
        self._prove(sha256)
        return self._path(sha256)

    def forget(self, sha256: str) -> None:
        """Remove a ZIP file, which only passed through: no entry ever names one; of any other kind nothing is removed."""
        kept = self.find(sha256)
        if kept is None or kept.media_type != PASSING:
            return
        # Within the transaction: whoever sends the same file meanwhile has it wholly before or wholly after.
        with self._database.writing() as connection:
            connection.execute(delete(blobs).where(blobs.c.sha256 == sha256))
            self._path(sha256).unlink(missing_ok=True)

    def expire_parts(self, older_than: timedelta = timedelta(days=7)) -> int:
        """Remove uploads that nobody went on with for so long; give how many there were."""
        latest = (self._clock() - older_than).timestamp()
        removed = 0
        for each in self._parts.iterdir():
            # Whoever ends an upload may have removed it since the folder was read.
            with suppress(FileNotFoundError):
                if each.stat().st_mtime < latest:
                    each.unlink()
                    removed += 1
        return removed

    def _keep(self, content: Iterable[bytes], expected: str | None) -> Blob:
        passing = self._parts / f"{secrets.token_hex(16)}.new"
        digest, size, head = hashlib.sha256(), 0, b""
        try:
            with _in_words(expected or "upload"), passing.open("xb") as file:
                for piece in content:
                    digest.update(piece)
                    size += len(piece)
                    head = head if len(head) >= HEAD_BYTES else (head + piece)[:HEAD_BYTES]
                    file.write(piece)
                file.flush()
                os.fsync(file.fileno())
                sha256 = digest.hexdigest()
                if expected not in {None, sha256}:
                    raise _AnotherFile(
                        [
                            Problem(
                                where=str(expected),
                                what=f"what arrived is another file (its SHA-256 is {sha256})",
                                do="Send it again from the start",
                            )
                        ]
                    )
                return self._place(passing, sha256, size, media_type(head))
        finally:
            passing.unlink(missing_ok=True)

    def _place(self, passing: Path, sha256: str, size: int, kind: str) -> Blob:
        """Give a synced file its name and register it; a whole one of that name stays, a spoilt one is replaced."""
        kept, is_whole = self._path(sha256), False
        with suppress(Refused):
            is_whole = self._is_whole(sha256)
        with self._database.writing() as connection:
            kept.parent.mkdir(exist_ok=True)
            # It may have been forgotten since it was looked at.
            if not is_whole or not kept.exists():
                passing.chmod(0o444)
                passing.replace(kept)
            sync_folder(kept.parent)
            sync_folder(self._originals)
            connection.execute(
                INSERT[connection.dialect.name](blobs)
                .values(sha256=sha256, size=size, media_type=kind, received_at=self._clock())
                .on_conflict_do_nothing(index_elements=["sha256"])
            )
            row = connection.execute(select(blobs).where(blobs.c.sha256 == sha256)).one()
        return Blob(**row._mapping)

    def _found(self, hashes: Collection[str]) -> dict[str, Blob]:
        asked = [checked(each) for each in hashes]
        found: dict[str, Blob] = {}
        with self._database.reading() as connection:
            for start in range(0, len(asked), _AT_ONCE):
                some = blobs.c.sha256.in_(asked[start : start + _AT_ONCE])
                for row in connection.execute(select(blobs).where(some)):
                    found[row.sha256] = Blob(**row._mapping)
        return {each: blob for each, blob in found.items() if self._size(each) == blob.size}

    def _size(self, sha256: str) -> int | None:
        try:
            return int(obstore.head(self._store, _key(sha256))["size"])
        except FileNotFoundError:
            return None

    def _prove(self, sha256: str) -> None:
        if not self._is_whole(sha256):
            raise _spoilt(sha256)

    def _is_whole(self, sha256: str) -> bool:
        digest = hashlib.sha256()
        for piece in self._pieces(sha256):
            digest.update(piece)
        return digest.hexdigest() == sha256

    def _pieces(self, sha256: str) -> Iterator[bytes]:
        try:
            found = obstore.get(self._store, _key(sha256))
        except FileNotFoundError:
            raise _refused(
                sha256,
                "this file is not here",
                "Send it from the device that took it, or restore it from a copy of the store",
            ) from None
        return (bytes(piece) for piece in found.stream(min_chunk_size=_PIECE_BYTES))

    def _path(self, sha256: str) -> Path:
        return self._originals / _key(sha256)

    def _part(self, sha256: str) -> Path:
        return self._parts / checked(sha256)


def checked(sha256: str) -> str:
    """The text, if it is a SHA-256 in small hexadecimal digits; else it is refused."""
    if not _SHA256.fullmatch(sha256):
        raise _refused(
            "sha256", f"{sha256[:80]!r} is not a SHA-256", "Write its 64 small hexadecimal digits"
        )
    return sha256


def _key(sha256: str) -> str:
    return f"{checked(sha256)[:2]}/{sha256}"


def _limited(where: str, content: Iterable[bytes], limit_bytes: int | None) -> Iterator[bytes]:
    size = 0
    for piece in content:
        size += len(piece)
        if limit_bytes is not None and size > limit_bytes:
            raise _refused(where, "this file is larger than is allowed here", "Send a smaller one")
        yield piece


def _made_at_need(path: str, flags: int) -> int:
    """Open a file, or make it, in one step: whoever ends the same upload may remove it at any moment."""
    return os.open(path, flags | os.O_CREAT, 0o600)


@contextmanager
def _in_words(where: str) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        if error.errno not in {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}:
            raise
        raise _refused(
            where, "the disk is full, and this file was not kept", "Make room and send it again"
        ) from error


class _AnotherFile(Refused):
    """What arrived has not the hash it was announced with."""


def _refused(where: str, what: str, do: str) -> Refused:
    return Refused([Problem(where=where, what=what, do=do)])


def _spoilt(sha256: str) -> Refused:
    return _refused(
        sha256,
        "the bytes of this file have changed since it was kept, so it is not shown",
        "Send it again from the device that took it, or restore it from a copy of the store",
    )
