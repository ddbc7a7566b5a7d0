"""The time, which everything here is told by somebody else."""

from collections.abc import Callable
from datetime import UTC, datetime

Clock = Callable[[], datetime]
"""Gives the time, aware."""


def utc_now() -> datetime:
    """The time by this computer's clock."""
    return datetime.now(UTC)
