"""Entry ids: UUIDv7, so that sorting by id is sorting by time.

Source: RFC 9562 (2024), section 5.7.
"""

import hashlib
from datetime import datetime
from uuid import UUID

_LATEST_MS = (1 << 48) - 1


def uuid7(at: datetime, rand: int) -> UUID:
    """A UUIDv7 for a moment.

    Args:
        at: Aware; from 1970 on. Only its milliseconds enter the id.
        rand: 74 bits, from a random source or a digest.

    Raises:
        ValueError: The moment is before 1970, or rand does not fit in 74 bits.
    """
    milliseconds = int(at.timestamp() * 1000)
    if not 0 <= milliseconds <= _LATEST_MS:
        raise ValueError(f"A UUIDv7 cannot hold the time {at.isoformat()}.")
    if not 0 <= rand < 1 << 74:
        raise ValueError(f"The random part of a UUIDv7 has 74 bits; {rand} does not fit.")
    high, low = rand >> 62, rand & ((1 << 62) - 1)
    return UUID(int=milliseconds << 80 | 0x7 << 76 | high << 64 | 0b10 << 62 | low)


def derived_id(at: datetime, *parts: str) -> str:
    """The id of something read from plain files: the same content at the same time gives the same id.

    Args:
        at: When it was done; aware.
        parts: What identifies the content, in order.
    """
    digest = hashlib.sha256("\x1f".join(parts).encode()).digest()
    return str(uuid7(at, int.from_bytes(digest[:10], "big") >> 6))


def is_uuid7(text: str) -> bool:
    """Whether the text is a UUIDv7 in its canonical lower-case form."""
    try:
        parsed = UUID(text)
    except ValueError:
        return False
    return parsed.version == 7 and str(parsed) == text
