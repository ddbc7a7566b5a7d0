"""Our own stand-in for the world: a clock that is told the time."""

from datetime import datetime, timedelta

from cast import DAY


class FakeClock:
    """A clock that stands still until it is put forward."""

    def __init__(self, now: datetime = DAY) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now

    def forward(self, by: timedelta) -> datetime:
        self.now += by
        return self.now
