"""The database: opened with its tables up to date, read by many at once, written by one at a time.

Raises:
    Refused: The store cannot be opened, or could not be read or written; says why and what to do.
"""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from alembic.operations import Operations
from alembic.runtime.migration import MigrationContext, MigrationStep
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as NoConnection

from garboard.notebook.problem import Problem, Refused
from garboard.store import sqlite

_MIGRATIONS = Path(__file__).parent / "migrations"


class Database:
    """Transactions over an engine; each ends committed whole, or leaves no trace.

    Writers follow one another, so that the order of `entries.seq` is the order of commits and a device that
    has read up to a number has missed nothing below it.
    """

    def __init__(self, engine: Engine, where: str) -> None:
        """Stand on an engine; `where` names the database to people."""
        self._engine = engine
        self._writer = engine.execution_options(writes=True)
        self._where = where
        # Left to SQLite, a thread that writes without pause keeps the others waiting for seconds.
        self._turn = threading.RLock()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that sees one state of the store and cannot change it."""
        with self._in_words(), self._engine.begin() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction of the only writer; waits for its turn, and is on the disk when it ends."""
        with self._turn, self._in_words(), self._writer.begin() as connection:
            yield connection

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    @contextmanager
    def _in_words(self) -> Iterator[None]:
        try:
            yield
        except NoConnection as error:
            what, do = "too many ask of it at once", "Try again in a minute"
            raise Refused([Problem(where=self._where, what=what, do=do)]) from error
        except DBAPIError as error:
            problem = sqlite.problem_of(error, self._where)
            if problem is None:
                raise
            raise Refused([problem]) from error


def open_database(path: Path) -> Database:
    """The database in a file, made or brought up to date first.

    Raises:
        Refused: It was made by a newer version, is no store, or cannot be opened.
    """
    database = Database(sqlite.engine(path), str(path))
    try:
        _bring_up_to_date(database, str(path))
    except BaseException:
        database.close()
        raise
    return database


def _bring_up_to_date(database: Database, where: str) -> None:
    script = ScriptDirectory(_MIGRATIONS)
    with database.reading() as connection:
        is_behind = _held(connection, script, where) != script.get_current_head()
    while is_behind:
        # The step is chosen under the writer's lock: two programs may open a new store at once.
        with database.writing() as connection:
            is_behind = _step(connection, script, _held(connection, script, where))


def _held(connection: Connection, script: ScriptDirectory, where: str) -> str | None:
    """The revision the tables are at, None where there are none yet."""
    held = MigrationContext.configure(connection).get_current_revision()
    if held is not None and held not in {each.revision for each in script.walk_revisions()}:
        raise Refused(
            [
                Problem(
                    where=where,
                    what=f"this store was made by a newer version of Garboard (its tables are at {held})",
                    do="Open it with that version or a later one; nothing in it was changed",
                )
            ]
        )
    return held


def _step(connection: Connection, script: ScriptDirectory, held: str | None) -> bool:
    """Take the next migration, if there is one, in the transaction of the connection."""
    ahead = list(script.iterate_revisions("head", held or "base"))
    if not ahead:
        return False
    step = MigrationStep.upgrade_from_script(script.revision_map, ahead[-1])
    context = MigrationContext.configure(connection, opts={"fn": lambda _held, _context: [step]})
    with Operations.context(context):
        context.run_migrations()
    return True
