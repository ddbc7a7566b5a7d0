"""What the desk's API acknowledged outlives the server: killed at random in the middle of syncs and uploads."""

import multiprocessing
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from itertools import count
from pathlib import Path
from random import Random

import httpx2
import pytest
from cast import SURVEY, entry
from survives.desk_child import admit, serve

from garboard.notebook.body import Remark
from garboard.notebook.entry import to_json

PROCESSES = multiprocessing.get_context("forkserver")
PROCESSES.set_forkserver_preload(["garboard.desk.app"])
# Twice as many in all: the two halves run beside each other.
KILLS, BATCH, PIECE = 100, 5, 20_000
LONGEST_WAIT_S = 0.5
LONG_S = 60.0


class Device:
    """A tablet that pushes entries and uploads files for as long as somebody answers."""

    def __init__(self, token: str) -> None:
        self.headers = {"authorization": f"Bearer {token}"}
        self.held: dict[str, dict[str, object]] = {}
        self.kept: dict[str, bytes] = {}
        self.numbers = count(1)
        self.dice = Random(2)

    def client(self, address: str) -> httpx2.Client:
        return httpx2.Client(base_url=address, headers=self.headers, timeout=LONG_S)

    def work(self, address: str, done: threading.Semaphore) -> None:
        """Push and upload until the server is gone; note only what it acknowledged, and count it."""
        with self.client(address) as client:
            try:
                while True:
                    self._push(client)
                    done.release()
                    self._upload(client)
                    done.release()
            except httpx2.TransportError:
                return

    def _push(self, client: httpx2.Client) -> None:
        sent = [to_json(entry(next(self.numbers), Remark(text="noted"))) for _ in range(BATCH)]
        answer = client.post("/api/entries", json={"entries": sent}).json()
        self.held |= {each["id"]: each for each in sent if each["id"] in answer["held"]}

    def _upload(self, client: httpx2.Client) -> None:
        content = self.dice.randbytes(self.dice.randrange(1, 5 * PIECE))
        name = sha256(content).hexdigest()
        for offset in range(0, len(content), PIECE):
            piece = content[offset : offset + PIECE]
            client.put(f"/api/files/{name}", params={"offset": offset}, content=piece)
        if client.post(f"/api/files/{name}/finish").status_code == 200:
            self.kept[name] = content


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address of a desk in a process that is killed at the end, whatever it is doing."""
    told, telling = PROCESSES.Pipe(duplex=False)
    process = PROCESSES.Process(target=serve, args=(folder, telling))
    process.start()
    try:
        assert told.poll(LONG_S)
        yield f"http://127.0.0.1:{told.recv()}"
    finally:
        process.kill()
        process.join()


@pytest.mark.parametrize("seed", [1, 2])
def test_what_the_desk_acknowledged_is_there_after_every_kill(tmp_path: Path, seed: int) -> None:
    device, dice = Device(admit(tmp_path)), Random(seed)

    for _ in range(KILLS):
        done = threading.Semaphore(0)
        with served(tmp_path) as address:
            working = threading.Thread(target=device.work, args=(address, done))
            working.start()
            # By what was done and not by the time alone: a slow machine does little in half a second.
            for _ in range(dice.randint(1, 2)):
                assert done.acquire(timeout=LONG_S)
            working.join(dice.uniform(0, LONGEST_WAIT_S))
        working.join(LONG_S)
        assert not working.is_alive()

    with served(tmp_path) as address, device.client(address) as client:
        pulled = {each["id"]: each for each in all_entries(client)}
        files = {name: client.get(f"/api/files/{name}").content for name in device.kept}

    assert len(device.held) > KILLS * BATCH / 2
    assert len(device.kept) > KILLS / 10
    assert {id_: pulled.get(id_) for id_ in device.held} == device.held
    assert files == device.kept


def all_entries(client: httpx2.Client) -> Iterator[dict[str, object]]:
    cursor, more = 0, True
    while more:
        found = client.get("/api/entries", params={"since": cursor, "survey": SURVEY}).json()
        yield from found["entries"]
        cursor, more = found["cursor"], found["more"]
