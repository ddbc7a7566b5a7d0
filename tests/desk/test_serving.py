"""The desk as a real process: served, reached by HTTPS over its own authority, and ended."""

import os
import re
import secrets
import shlex
import signal
import socket
import ssl
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import closing, suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509

from garboard.desk.certificates import certificates
from garboard.desk.context import open_desk
from garboard.store import accounts

BIN = Path(sys.executable).parent / "garboard"
NOW = datetime(2026, 5, 12, tzinfo=UTC)


def free_port() -> int:
    """One below those that systems give to connections going out, which may take any of theirs at any moment."""
    while True:
        port = secrets.choice(range(20_000, 32_000))
        with closing(socket.socket()) as probe, suppress(OSError):
            probe.bind(("127.0.0.1", port))
            return port


def garboard(*words: str | Path) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [BIN, *map(str, words)], capture_output=True, text=True, check=False, timeout=120,
        env={**os.environ, "COLUMNS": "200"},
    )  # fmt: skip


class Served:
    """A desk served by a process of its own."""

    def __init__(self, folder: Path, *words: str) -> None:
        self.port = free_port()
        command = [str(BIN), "serve", str(folder), "--port", str(self.port), *words]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)  # fmt: skip

    def get(self, path: str, port: int | None = None, context: ssl.SSLContext | None = None) -> str:
        scheme = "https" if context else "http"
        address = f"{scheme}://localhost:{port or self.port}{path}"
        until = time.monotonic() + 120
        while True:
            try:
                with urllib.request.urlopen(address, context=context) as answer:
                    said: bytes = answer.read()
                    return said.decode()
            except urllib.error.URLError as error:
                is_starting = isinstance(error.reason, ConnectionRefusedError)
                if not is_starting or self.process.poll() is not None or time.monotonic() > until:
                    raise
                time.sleep(0.05)

    def end(self) -> tuple[int, str, str]:
        self.process.send_signal(signal.SIGINT)
        try:
            out, err = self.process.communicate(timeout=60)
        except subprocess.TimeoutExpired:
            self.process.kill()
            raise
        return self.process.returncode, out, err


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A desk that Ines Caldervane was let into."""
    folder = tmp_path / "desk"
    done = garboard("admit", folder, "--name", "Ines Caldervane", "--sign-in", "ines")
    link = re.search(r"/welcome/(\S+)", done.stdout)
    assert link, done.stderr
    (folder / "link").write_text(link[0])
    return folder


def test_the_first_link_is_printed_once_and_opens_the_door(folder: Path) -> None:
    served = Served(folder)
    shown = served.get((folder / "link").read_text())
    code, out, err = served.end()

    assert "Welcome, Ines Caldervane" in shown
    assert out.count("/welcome/") == 1
    assert f"http://localhost:{served.port}/" in out
    assert (code, err) == (0, "")


def test_a_surveyor_who_is_shut_out_has_no_door(folder: Path) -> None:
    done = garboard("shut-out", folder, "INES")
    unknown = garboard("shut-out", folder, "nobody")

    opened = open_desk(folder)
    with opened.database.reading() as connection:
        user = accounts.user_named(connection, "ines")
    opened.close()
    assert done.stdout.strip() == "Ines Caldervane cannot sign in any more."
    assert user is not None
    assert user.closed_at is not None
    assert (unknown.returncode, unknown.stdout) == (1, "")


def test_a_port_that_is_taken_is_said_with_what_to_type_for_another(folder: Path) -> None:
    with closing(socket.create_server(("127.0.0.1", 0))) as taken:
        port = taken.getsockname()[1]
        done = garboard("serve", folder, "--port", str(port), "--network")

    assert done.returncode == 1
    assert "End the desk that runs already, or give another port" in done.stderr
    typed = re.search("“(.*)”", done.stderr)
    assert typed is not None
    program, *words = shlex.split(typed[1])
    other = int(words[3])
    assert abs(other - port) == 10
    assert words == ["serve", str(folder), "--port", str(other), "--network", "--secure-port", "8418"]  # fmt: skip
    assert Path(program).name == "garboard"


def test_the_network_is_served_over_the_desks_own_authority(folder: Path) -> None:
    secure = free_port()
    served = Served(folder, "--network", "--secure-port", str(secure))
    served.get("/sign-in")
    context = ssl.create_default_context(cafile=folder / "certificates" / "authority.crt")

    shown = served.get("/sign-in", secure, context)
    explained = served.get("/trust")
    with pytest.raises(urllib.error.URLError, match="CERTIFICATE_VERIFY_FAILED"):
        served.get("/sign-in", secure, ssl.create_default_context())
    served.end()

    assert "<h1>Sign in</h1>" in shown
    assert "Fingerprint" in explained


def names_of(path: Path) -> set[str]:
    held = x509.load_pem_x509_certificate(path.read_bytes())
    stated = held.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return {str(each.value) for each in stated}


def test_the_authority_stays_while_the_computer_moves(tmp_path: Path) -> None:
    first = certificates(tmp_path, ["localhost", "192.168.1.20"], NOW)
    authority, server = first.authority.read_bytes(), first.server.read_bytes()
    again = certificates(tmp_path, ["192.168.1.20", "localhost"], NOW + timedelta(days=300))
    same = again.server.read_bytes()
    moved = certificates(tmp_path, ["localhost", "10.0.0.7"], NOW + timedelta(days=301))

    assert same == server
    assert moved.authority.read_bytes() == authority
    assert moved.server.read_bytes() != server
    assert names_of(moved.server) == {"localhost", "10.0.0.7"}


def test_a_certificate_is_renewed_before_it_ends(tmp_path: Path) -> None:
    server = certificates(tmp_path, ["localhost"], NOW).server.read_bytes()

    later = certificates(tmp_path, ["localhost"], NOW + timedelta(days=380))

    assert later.server.read_bytes() != server


def test_a_certificate_beside_the_key_of_another_is_made_anew(tmp_path: Path) -> None:
    here = certificates(tmp_path / "here", ["localhost"], NOW)
    other = certificates(tmp_path / "other", ["localhost"], NOW)
    here.key.write_bytes(other.key.read_bytes())

    again = certificates(tmp_path / "here", ["localhost"], NOW)

    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(again.server, again.key)
    assert again.key.read_bytes() != other.key.read_bytes()


def test_the_authority_vouches_for_nothing_public(tmp_path: Path) -> None:
    names = ["localhost", "192.168.1.20", "example.com", "8.8.8.8", "2001:db8::1"]

    made = certificates(tmp_path, names, NOW)

    held = x509.load_pem_x509_certificate(made.authority.read_bytes())
    limits = held.extensions.get_extension_for_class(x509.NameConstraints)
    assert names_of(made.server) == {"localhost", "192.168.1.20"}
    assert limits.critical
    assert made.key.stat().st_mode & 0o077 == 0
