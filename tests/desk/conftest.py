"""A desk over an empty folder, with a clock that stands still unless moved, and a surveyor signed in."""

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from garboard.desk.access import COOKIE
from garboard.desk.app import application
from garboard.desk.context import Desk, open_desk
from garboard.store import accounts, sessions

ZONE = timezone(timedelta(hours=1))


class Clock:
    """A clock that moves when it is told to."""

    def __init__(self) -> None:
        self.time = datetime(2026, 5, 12, 9, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.time += timedelta(milliseconds=1)
        return self.time


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def desk(tmp_path: Path, empty_store: Path, clock: Clock) -> Iterator[Desk]:
    shutil.copytree(empty_store, tmp_path / "desk")
    opened = open_desk(tmp_path / "desk", clock=clock, zone=ZONE)
    yield opened
    opened.close()


@pytest.fixture
def stranger(desk: Desk) -> Iterator[TestClient]:
    """A browser that nobody signed in on."""
    with TestClient(application(desk), base_url="https://desk", follow_redirects=False) as client:
        client.headers["sec-fetch-site"] = "same-origin"
        yield client


@pytest.fixture
def browser(desk: Desk, stranger: TestClient) -> TestClient:
    """A browser on which Ines Caldervane is signed in."""
    with desk.database.writing() as connection:
        user = accounts.add_user(connection, sign_in="ines", name="Ines Caldervane", now=desk.now())
        token = sessions.begin(connection, user.id, device="Browser", now=desk.now())
    stranger.cookies.set(COOKIE, token)
    return stranger
