"""Failures make the next try wait, and waiting long enough always helps."""

from datetime import datetime, timedelta

import pytest
from cast import DAY

from garboard.notebook.problem import Refused
from garboard.store import attempts
from garboard.store.folder import Store


def attempt(store: Store, now: datetime, key: str = "name ines") -> None:
    with store.database.writing() as connection:
        attempts.begin(connection, key, free=3, now=now)


def test_each_failure_too_many_doubles_the_wait_up_to_a_quarter_of_an_hour(store: Store) -> None:
    now = DAY
    for wait_s in (0, 0, 0, 2, 4, 8, 16, 32, 64, 128, 256, 512, 900, 900, 900):
        if wait_s:
            with pytest.raises(Refused, match="attempts that failed"):
                attempt(store, now + timedelta(seconds=wait_s - 1))

        now += timedelta(seconds=wait_s)
        attempt(store, now)


def test_it_is_said_how_long_to_wait(store: Store) -> None:
    for wait_s in (0, 0, 0, 2, 6, 14, 30, 62, 126):
        attempt(store, DAY + timedelta(seconds=wait_s))

    with pytest.raises(Refused, match=r"sign-in: there were 9 attempts that failed. Wait 2 minutes, then try again\."):  # fmt: skip
        attempt(store, DAY + timedelta(seconds=127))


def test_attempts_that_were_refused_are_not_held_against_anybody(store: Store) -> None:
    for _ in range(3):
        attempt(store, DAY)
    for _ in range(50):
        with pytest.raises(Refused):
            attempt(store, DAY + timedelta(seconds=1))

    attempt(store, DAY + timedelta(seconds=2))


def test_success_and_a_day_of_rest_wipe_the_slate(store: Store) -> None:
    for key in ("name ines", "address 192.0.2.7"):
        for _ in range(3):
            attempt(store, DAY, key)

    with store.database.writing() as connection:
        attempts.succeeded(connection, "name ines")
    attempt(store, DAY)
    for _ in range(3):
        attempt(store, DAY + timedelta(days=1, seconds=1), "address 192.0.2.7")


def test_one_who_fails_makes_nobody_else_wait(store: Store) -> None:
    for _ in range(3):
        attempt(store, DAY)

    attempt(store, DAY, "name another")


def test_of_two_attempts_at_once_the_earlier_may_come_second(store: Store) -> None:
    attempt(store, DAY + timedelta(seconds=1))

    attempt(store, DAY)

    attempt(store, DAY + timedelta(seconds=2))
    with pytest.raises(Refused, match="there were 3 attempts that failed"):
        attempt(store, DAY + timedelta(seconds=3))


def test_a_clock_that_was_set_back_makes_nobody_wait_until_it_has_caught_up(store: Store) -> None:
    for _ in range(3):
        attempt(store, DAY + timedelta(days=400))

    attempt(store, DAY)
