"""Computers of the project's own on one machine: each in a network namespace, with a cable to the desk that can be cut.

Needs Linux, iproute2 and the right to make namespaces.
"""

import subprocess
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from random import Random


@dataclass(frozen=True, slots=True, kw_only=True)
class Host:
    """A computer, and the address at which it finds the desk at the other end of its cable."""

    name: str
    desk_address: str

    def program(self, path: Path, program: str) -> Path:
        """A file that runs a program on this computer."""
        path.write_text(f'#!/bin/sh\nexec ip netns exec {self.name} {program} "$@"\n')
        path.chmod(0o755)
        return path

    def plug(self, how: str) -> None:
        """Put the cable in ("up") or pull it out ("down")."""
        _ip("-n", self.name, "link", "set", "eth0", how)

    @contextmanager
    def often_cut(self, dice: Random) -> Iterator[None]:
        """Within this the cable is pulled out and put in again, many times a second and sometimes for longer."""
        ended = threading.Event()

        def cut() -> None:
            while not ended.wait(dice.uniform(0.05, 0.6)):
                self.plug("down")
                ended.wait(dice.expovariate(4))
                self.plug("up")

        cutting = threading.Thread(target=cut)
        cutting.start()
        try:
            yield
        finally:
            ended.set()
            cutting.join()


@contextmanager
def network(desk: str, *others: str) -> Iterator[tuple[Host, ...]]:
    """The others, each with a cable of its own to the desk; every computer is gone at the end."""
    with ExitStack() as ends:
        for name in (desk, *others):
            _ip("netns", "add", name)
            ends.callback(_ip, "netns", "del", name)
            _ip("-n", name, "link", "set", "lo", "up")
        for at, name in enumerate(others, 1):
            _ip("-n", desk, "link", "add", f"eth{at}", "type", "veth", "peer", "name", "eth0", "netns", name)  # fmt: skip
            for host, link, end in ((desk, f"eth{at}", 1), (name, "eth0", 2)):
                _ip("-n", host, "address", "add", f"10.77.{at}.{end}/24", "dev", link)
                _ip("-n", host, "link", "set", link, "up")
        yield tuple(Host(name=name, desk_address=f"10.77.{at}.1") for at, name in enumerate(others, 1))  # fmt: skip


def _ip(*given: str) -> None:
    done = subprocess.run(["ip", *given], capture_output=True, text=True)
    assert done.returncode == 0, f"ip {' '.join(given)}: {done.stderr.strip() or 'refused'}"
