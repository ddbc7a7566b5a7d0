"""What the children of the survival tests do in processes of their own, to be killed in."""

import hashlib
from collections import Counter
from collections.abc import Collection
from multiprocessing.connection import Connection
from pathlib import Path
from random import Random

from cast import DAY, entry
from sqlalchemy import text

from garboard.notebook.body import Observation, Place
from garboard.notebook.ids import uuid7
from garboard.store import entries, listing
from garboard.store.folder import Store, open_store

BEGUN = "begun"
BATCH, MOST_BATCHES = 3, 10**6
MANY_BYTES = 10**9


def add_batches(folder: Path, child: int, most: int, told: Connection) -> None:
    """Add batches of entries to a survey of its own, and tell the number of each batch once it is kept."""
    told.send(BEGUN)
    store = open_store(folder)
    for number in range(child * MOST_BATCHES, child * MOST_BATCHES + most):
        seen = Observation(place=Place(part="keel-joint"), seen=f"batch {number}")
        store.surveys.add(
            entry(number * BATCH + each, seen, survey=_survey_of(child)) for each in range(BATCH)
        )
        told.send(number)


def upload(folder: Path, child: int, most: int, told: Connection) -> None:
    """Upload files in pieces, and tell the hash of each once it is kept."""
    told.send(BEGUN)
    store, dice = open_store(folder), Random(child)
    for _ in range(most):
        content = dice.randbytes(dice.randrange(1, 300_000))
        sha256 = hashlib.sha256(content).hexdigest()
        for start in range(0, len(content), 100_000):
            piece = content[start : start + 100_000]
            store.blobs.append(sha256, start, [piece], limit_bytes=MANY_BYTES)
        store.blobs.finish(sha256)
        told.send(sha256)


def check(folder: Path, children: Collection[int], files: set[str], told: Connection) -> None:
    """Tell the batches held of these children, and the files that are; fail where anything is half-written."""
    store = open_store(folder)
    with store.database.reading() as connection:
        assert connection.scalar(text("PRAGMA integrity_check")) == "ok"
    with store.database.writing() as connection:
        # The index of the search has just the passages that are held.
        connection.execute(text("INSERT INTO words(words, rank) VALUES ('integrity-check', 1)"))
    for child in children:
        for number in _batches(store, _survey_of(child)):
            told.send(number)
    for path in (folder / "originals").glob("*/*"):
        if path.name in files or store.blobs.find(path.name) is None:
            assert hashlib.sha256(path.read_bytes()).hexdigest() == path.name
    for each in files:
        assert store.blobs.read(each)
        told.send(each)


def _batches(store: Store, survey: str) -> set[int]:
    with store.database.reading() as connection:
        held = [entries.entry_of(row.line) for row in entries.of_survey(connection, survey)]
        row = listing.one(connection, survey)
    folded = store.surveys.get(survey)
    assert (folded and folded.digest) == (row and row.digest)
    numbers = Counter(int(each.body.seen.removeprefix("batch ")) for each in held)
    assert set(numbers.values()) <= {BATCH}
    return set(numbers)


def _survey_of(child: int) -> str:
    return str(uuid7(DAY, child))
