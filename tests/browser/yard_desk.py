"""A desk that can be ended and served again at the same address, for what phones do meanwhile."""

import multiprocessing
import socket
import weakref
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx2
from cast import QUILLET, entry
from survives.desk_child import admit, serve_at

from garboard.desk.context import open_desk
from garboard.notebook.body import Instruction

PROCESSES = multiprocessing.get_context("forkserver")


class Yard:
    """A desk with the survey of Quillet, served at an address that stays the same between its ends."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.token = admit(folder)
        desk = open_desk(folder)
        asked = Instruction(client="Tamsin Orrowby", purpose="buy")
        desk.surveys.add([entry(1, QUILLET), entry(2, asked)])
        desk.close()
        # Held, and not listened at: while nothing is served nobody else is given it, as a browser that tries to connect.
        held = socket.socket()
        weakref.finalize(self, held.close)
        held.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEPORT, 1)
        held.bind(("127.0.0.1", 0))
        self.port = held.getsockname()[1]
        self.address = f"http://localhost:{self.port}"

    @contextmanager
    def served(self) -> Iterator[None]:
        """The desk in a process that is killed at the end."""
        told, telling = PROCESSES.Pipe(duplex=False)
        process = PROCESSES.Process(target=serve_at, args=(self.folder, self.port, telling))
        process.start()
        try:
            assert told.poll(60)
            yield
        finally:
            process.kill()
            process.join()

    def entries(self) -> dict[str, Any]:
        """What the desk holds, by id; it is being served."""
        headers = {"authorization": f"Bearer {self.token}"}
        with httpx2.Client(base_url=self.address, headers=headers, timeout=60) as client:
            found: dict[str, Any] = {}
            cursor, more = 0, True
            while more:
                said = client.get("/api/entries", params={"since": cursor}).json()
                found |= {each["id"]: each for each in said["entries"]}
                cursor, more = said["cursor"], said["more"]
            return found

    def file(self, name: str) -> bytes:
        """A file of the desk; it is being served."""
        headers = {"authorization": f"Bearer {self.token}"}
        with httpx2.Client(base_url=self.address, headers=headers, timeout=60) as client:
            return client.get(f"/api/files/{name}").content
