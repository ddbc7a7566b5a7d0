"""The surveyor's own signing key: kept here as the file it came in, opened anew for each report.

Its passphrase is never kept. An opened key is lent to one job and lives in memory alone until that takes it; where
the program ended meanwhile the job fails, in words.
"""

import threading
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from garboard.desk.context import Desk
from garboard.disk import write_whole
from garboard.notebook.problem import Problem, Refused
from garboard.store.accounts import User

if TYPE_CHECKING:
    from garboard.archive.sign import SigningKey

MOST_BYTES = 1 << 20
"""The largest file that is taken for a key."""

_FOLDER = "keys"

_lent: dict[tuple[Path, int], "SigningKey"] = {}
_lock = threading.Lock()


def keep_key(desk: Desk, user: User, p12: bytes, passphrase: str) -> "SigningKey":
    """Keep the key of a surveyor, in place of an earlier one, once its passphrase has opened it.

    Raises:
        Refused: It is no key, is not for signing, or the passphrase does not open it; nothing was kept.
    """
    key = _opened(p12, passphrase, desk.now())
    place = _place(desk, user)
    place.parent.mkdir(mode=0o700, exist_ok=True)
    # Nobody else may read it.
    write_whole(place, p12, mode=0o600)
    return key


def make_key(desk: Desk, user: User, passphrase: str) -> "SigningKey":
    """Make a key in the name of a surveyor and keep it, in place of an earlier one.

    Raises:
        Refused: The passphrase is too short, or no certificate can carry the name; nothing was kept.
    """
    from garboard.archive.own_key import own_key

    try:
        p12 = own_key(user.name, passphrase, at=desk.now())
    except ValueError as problem:
        raise _in_words(problem) from None
    return keep_key(desk, user, p12, passphrase)


def kept_key(desk: Desk, user: User) -> bytes | None:
    """The key file of a surveyor as it lies here, protected by its passphrase; None where there is none."""
    try:
        return _place(desk, user).read_bytes()
    except FileNotFoundError:
        return None


def kept_since(desk: Desk, user: User) -> datetime | None:
    """When the key of a surveyor was kept here; None where there is none."""
    try:
        return datetime.fromtimestamp(_place(desk, user).stat().st_mtime, UTC)
    except FileNotFoundError:
        return None


def remove_key(desk: Desk, user: User) -> None:
    """Remove the key of a surveyor from this computer."""
    _place(desk, user).unlink(missing_ok=True)


def open_kept(desk: Desk, user: User, passphrase: str) -> "SigningKey":
    """The key of a surveyor, opened.

    Raises:
        Refused: There is none, the passphrase does not open it, or its certificate is not valid now.
    """
    p12 = kept_key(desk, user)
    if p12 is None:
        raise _refused("there is no key of yours here", "Give the desk your key first")
    return _opened(p12, passphrase, desk.now())


def lend(desk: Desk, job: int, key: "SigningKey") -> None:
    """Lend an opened key to a job; only in memory."""
    with _lock:
        _lent[desk.folder, job] = key


def borrowed(desk: Desk, job: int) -> "SigningKey":
    """The key that was lent to a job; it can be taken once.

    Raises:
        Refused: There is none any more.
    """
    with _lock:
        key = _lent.pop((desk.folder, job), None)
    if key is None:
        raise _refused(
            "the program ended before the report's files were there, and passwords are never kept",
            "Issue it again; what stands in the notebook as issued keeps its version",
        )
    return key


def _opened(p12: bytes, passphrase: str, at: datetime) -> "SigningKey":
    # Signatures are heavy; the desk starts without them.
    from garboard.archive.sign import open_key

    try:
        return open_key(p12, passphrase, at=at)
    except ValueError as problem:
        raise _in_words(problem) from None


def _place(desk: Desk, user: User) -> Path:
    return desk.folder / _FOLDER / f"{user.id}.p12"


def _in_words(problem: ValueError) -> Refused:
    what, _, do = str(problem).partition(". ")
    return _refused(what[:1].lower() + what[1:], do.rstrip(".") or "Give another key")


def _refused(what: str, do: str) -> Refused:
    return Refused([Problem(where="signing key", what=what, do=do)])
