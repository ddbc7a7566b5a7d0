"""What every page of the desk stands on: the store, the clock, the zone; and how a request reaches it."""

from dataclasses import dataclass
from datetime import datetime, tzinfo
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request

from garboard.desk.zones import Zones, own_zone, with_offset
from garboard.notebook.fold import Survey
from garboard.notebook.ids import is_uuid7
from garboard.store.accounts import User
from garboard.store.blobs import Blobs
from garboard.store.clock import Clock, utc_now
from garboard.store.copies import Copies
from garboard.store.database import Database
from garboard.store.folder import open_store
from garboard.store.surveys import Surveys
from garboard.store.tokens import SYSTEM, RandomBytes

DEVICE = "desk"
"""What an entry written here says of its device."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """The parts of one desk."""

    folder: Path
    database: Database
    surveys: Surveys
    blobs: Blobs
    copies: Copies
    clock: Clock
    zones: Zones
    random_bytes: RandomBytes

    @property
    def zone(self) -> tzinfo:
        """The one that times are typed and shown in here."""
        return self.zones.current

    def now(self) -> datetime:
        """The time here, with the offset that it has now, as entries state it."""
        return with_offset(self.clock().astimezone(self.zone))

    def close(self) -> None:
        """Let go of the store."""
        self.database.close()


def open_desk(
    folder: Path,
    *,
    clock: Clock = utc_now,
    zone: tzinfo | None = None,
    random_bytes: RandomBytes = SYSTEM,
) -> Desk:
    """A desk over a folder, made where there is none.

    Args:
        folder: Holds everything: database, originals, copies, keys.
        clock: Gives the time.
        zone: Gone by until one is chosen; this computer's where it is not given.
        random_bytes: A random source.

    Raises:
        Refused: The store cannot be opened.
    """
    store = open_store(folder, clock)
    return Desk(
        folder=folder,
        database=store.database,
        surveys=store.surveys,
        blobs=store.blobs,
        copies=store.copies,
        clock=clock,
        zones=Zones(store.database, zone or own_zone(clock)),
        random_bytes=random_bytes,
    )


def desk_of(request: Request) -> Desk:
    """The desk that a request came to."""
    desk: Desk = request.app.state.desk
    return desk


def who(request: Request) -> User:
    """Who is signed in; only for what nobody reaches who is not."""
    user: User = request.state.user
    return user


def survey_of(request: Request) -> Survey:
    """The survey that the address names.

    Raises:
        HTTPException: There is none.
    """
    named = request.path_params["survey"]
    found = desk_of(request).surveys.get(named) if is_uuid7(named) else None
    if found is None:
        raise HTTPException(404, "There is no such survey here.")
    return found
