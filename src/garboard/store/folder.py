"""A store: one folder with the entries, the files and the accounts of a practice.

Raises:
    Refused: The store cannot be opened; says why.
"""

from dataclasses import dataclass
from pathlib import Path

from garboard.notebook.problem import Problem, Refused
from garboard.store.blobs import Blobs
from garboard.store.clock import Clock, utc_now
from garboard.store.copies import Copies
from garboard.store.database import Database, open_database
from garboard.store.surveys import Surveys

_DATABASE = "garboard.sqlite"


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """An open store. Entries enter through `surveys`, files through `blobs`; the rest takes a transaction."""

    database: Database
    surveys: Surveys
    blobs: Blobs
    copies: Copies

    def close(self) -> None:
        """Let go of its files."""
        self.database.close()


def open_store(folder: Path, clock: Clock = utc_now) -> Store:
    """Open a store, made first where there is none, and brought up to date where it is older.

    Args:
        folder: Nobody else may read it; it holds clients' papers and hashes of passwords.
        clock: Gives the time.

    Raises:
        Refused: It was made by a newer version, is no store, or cannot be written to.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        database = open_database(folder / _DATABASE)
        return Store(
            database=database,
            surveys=Surveys(database, clock),
            blobs=Blobs(folder, database, clock),
            copies=Copies(folder / "copies"),
        )
    except OSError as error:
        raise Refused(
            [
                Problem(
                    where=str(folder),
                    what=f"no store can be opened here ({error.strerror})",
                    do="Name a folder in which you may write",
                )
            ]
        ) from error
