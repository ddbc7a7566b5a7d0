"""Challenges handed out for passkeys: each answered once, soon, or not at all."""

import threading
from collections import OrderedDict
from datetime import datetime, timedelta

from garboard.notebook.problem import Problem, Refused

LASTS = timedelta(minutes=5)
_MOST = 1000


class Challenges:
    """The challenges that await an answer, by the name the browser keeps. Safe to use from several threads."""

    def __init__(self) -> None:
        """Await nothing yet."""
        self._awaited: OrderedDict[str, tuple[bytes, datetime]] = OrderedDict()
        self._lock = threading.Lock()

    def hand_out(self, name: str, challenge: bytes, now: datetime) -> None:
        """Await an answer to a challenge; the oldest is forgotten where too many wait."""
        with self._lock:
            self._awaited[name] = (challenge, now)
            while len(self._awaited) > _MOST:
                self._awaited.popitem(last=False)

    def take(self, name: str, now: datetime) -> bytes:
        """The challenge under a name, which is then answered.

        Raises:
            Refused: None is awaited under it, or the answer comes too late.
        """
        with self._lock:
            challenge, handed_out = self._awaited.pop(name, (b"", now - 2 * LASTS))
        if now - handed_out > LASTS:
            what, do = "this took too long, or was done already", "Begin again"
            raise Refused([Problem(where="passkey", what=what, do=do)])
        return challenge
