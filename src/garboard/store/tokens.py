"""Secrets handed out: random where they are made, a hash where they are kept."""

import base64
import hashlib
import secrets
from collections.abc import Callable
from datetime import datetime

from garboard.notebook.ids import uuid7

RandomBytes = Callable[[int], bytes]
"""Gives so many random bytes."""

SYSTEM: RandomBytes = secrets.token_bytes
"""The random source of the operating system."""

_TOKEN_BYTES = 32


def new_id(at: datetime, random_bytes: RandomBytes) -> str:
    """A UUIDv7 for something made at a time."""
    return str(uuid7(at, int.from_bytes(random_bytes(10), "big") >> 6))


def new_token(random_bytes: RandomBytes) -> str:
    """A secret of 256 bits that can stand in a link."""
    return base64.urlsafe_b64encode(random_bytes(_TOKEN_BYTES)).rstrip(b"=").decode()


def hash_of(token: str) -> str:
    """What is kept of a secret. It is long and random, so one round of SHA-256 does."""
    return hashlib.sha256(token.encode()).hexdigest()
