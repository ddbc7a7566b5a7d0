"""Nothing the store acknowledged is ever missing: real processes, killed at any moment, and two at once."""

import multiprocessing
import os
import subprocess
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from multiprocessing.context import ForkServerProcess
from pathlib import Path
from random import Random
from typing import Any

import pytest
from cast import SURVEY, entry, entry_id
from survives.store_child import BEGUN, add_batches, check, upload

from garboard.notebook.body import Remark
from garboard.notebook.problem import Refused
from garboard.store import entries
from garboard.store.folder import open_store

# Children are forked from a process that has imported the store already, so that a kill costs little.
PROCESSES = multiprocessing.get_context("forkserver")
PROCESSES.set_forkserver_preload(["garboard.desk.app"])
KILLS, AT_ONCE = 200, 4
DOES = (add_batches, upload)
LONGEST_WAIT_S = 0.03
LONG_S = 300.0
MANY = 10**6


class Child:
    """A process and what it told before it ended."""

    def __init__(self, does: Callable[..., None], *arguments: Any) -> None:
        self._reader, writer = PROCESSES.Pipe(duplex=False)
        self._process: ForkServerProcess = PROCESSES.Process(target=does, args=(*arguments, writer))
        self._process.start()
        writer.close()

    def killed_after(self, tellings: int, seconds: float) -> set[Any]:
        """What it told before it was killed, so long after it had told so many things."""
        told = [self._reader.recv() for _ in range(tellings)]
        self._process.join(seconds)
        self._process.kill()
        return {*told, *self._told()} - {BEGUN}

    def done(self) -> set[Any]:
        """What it told, having come to its end by itself."""
        told = self._told()
        assert self._process.exitcode == 0
        return told

    def _told(self) -> set[Any]:
        told = set()
        with suppress(EOFError):
            while self._reader.poll(LONG_S):
                told.add(self._reader.recv())
        self._process.join(LONG_S)
        self._reader.close()
        return told - {BEGUN}


def killed_one_by_one(children: list[Child], dice: Random) -> set[Any]:
    """What children told before each was killed, at moments of their own."""
    moments = [(dice.randint(1, 4), dice.uniform(0, LONGEST_WAIT_S)) for _ in children]
    with ThreadPoolExecutor(len(children)) as pool:
        return set().union(*pool.map(Child.killed_after, children, *zip(*moments, strict=True)))


def test_nothing_acknowledged_is_lost_or_halved_by_200_kills(tmp_path: Path) -> None:
    dice, batches, files = Random(1), set[int](), set[str]()

    for first in range(0, KILLS, AT_ONCE):
        numbers = range(first, first + AT_ONCE)
        children = [Child(DOES[number % 2], tmp_path, number, MANY) for number in numbers]
        told = killed_one_by_one(children, dice)
        new_files = {each for each in told if isinstance(each, str)}
        batches |= told - new_files
        files |= new_files

        assert Child(check, tmp_path, numbers, new_files).done() >= told

    assert len(batches) > KILLS / 2
    assert len(files) > KILLS / 2
    assert Child(check, tmp_path, range(KILLS), files).done() >= batches | files


def test_several_processes_make_one_new_store_and_write_it_at_once(tmp_path: Path) -> None:
    writers = [Child(add_batches, tmp_path, 1, 40), Child(add_batches, tmp_path, 2, 40)]
    senders = [Child(upload, tmp_path, 3, 10), Child(upload, tmp_path, 3, 10)]

    batches = set.union(*(writer.done() for writer in writers))
    files = set.union(*(sender.done() for sender in senders))

    assert (len(batches), len(files)) == (80, 10)
    assert Child(check, tmp_path, [1, 2], files).done() == batches | files


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    mount = tmp_path / "disk"
    mount.mkdir()
    as_root = [] if os.geteuid() == 0 else ["sudo"]
    subprocess.run([*as_root, "mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", mount], check=True)
    yield mount
    subprocess.run([*as_root, "umount", "-l", mount], check=True)


def test_a_disk_that_fills_is_said_and_costs_nothing_that_was_kept(small_disk: Path) -> None:
    store, acknowledged = open_store(small_disk / "store"), []

    def fill() -> None:
        for number in range(MANY):
            store.surveys.add([entry(number, Remark(text="x" * 2000))])
            acknowledged.append(entry_id(number))

    with pytest.raises(
        Refused, match=r"the disk is full, and nothing of this was kept\. Make room"
    ):
        fill()
    with pytest.raises(Refused, match="the disk is full, and this file was not kept"):
        store.blobs.put([b"x" * 3_000_000])
    store.close()

    again = open_store(small_disk / "store")
    with again.database.reading() as connection:
        assert entries.missing(connection, acknowledged) == ()
    survey = again.surveys.get(SURVEY)
    assert survey is not None
    assert len(survey.entries) == len(acknowledged) > 10
    assert list((small_disk / "store" / "parts").iterdir()) == []
    again.close()
