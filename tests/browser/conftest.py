"""A real browser before a real server: the desk served on a free port of this computer, Chromium beside it."""

import shutil
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    expect,
    sync_playwright,
)

from garboard.desk.access import COOKIE
from garboard.desk.app import application
from garboard.desk.context import Desk, open_desk
from garboard.desk.dossiers import take_in
from garboard.store import accounts, sessions

DEMO = Path(__file__).parents[2] / "demo"
CHROMIUM = "/usr/bin/chromium"
PATIENCE_S = 60
"""How long a page may take; far longer than it does on a machine that has nothing else to do."""

expect.set_options(timeout=PATIENCE_S * 1000)


@dataclass(frozen=True)
class Served:
    """A desk at an address, and the token of Ines Caldervane's session."""

    desk: Desk
    address: str
    token: str


# Of a module, not of the session: its loop of events must not run when other tests begin one of their own.
@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def served(tmp_path: Path, empty_store: Path) -> Iterator[Served]:
    """An empty desk, served until the test ends."""
    shutil.copytree(empty_store, tmp_path / "desk")
    desk = open_desk(tmp_path / "desk")
    with desk.database.writing() as connection:
        user = accounts.add_user(connection, sign_in="ines", name="Ines Caldervane", now=desk.now())
        token = sessions.begin(connection, user.id, device="Computer", now=desk.now())
    config = uvicorn.Config(application(desk), port=0, log_level="warning")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield Served(desk, f"http://localhost:{_port(server, thread)}", token)
    finally:
        server.should_exit = True
        thread.join(PATIENCE_S)
        desk.close()
        assert not thread.is_alive(), "the server did not end"


def _port(server: uvicorn.Server, thread: threading.Thread) -> int:
    until = time.monotonic() + PATIENCE_S
    while not server.started:
        assert thread.is_alive(), "the server did not start"
        assert time.monotonic() < until, "the server did not start"
        time.sleep(0.01)
    port: int = server.servers[0].sockets[0].getsockname()[1]
    return port


@pytest.fixture
def open_page(chromium: Browser, served: Served) -> Iterator[Callable[..., Page]]:
    """Opens a page of the desk, signed in unless told otherwise; an error in the page's scripts fails the test."""
    contexts: list[BrowserContext] = []
    wrong: list[str] = []

    def opened(path: str, *, width: int = 1280, dark: bool = False, signed_in: bool = True) -> Page:
        context = chromium.new_context(
            base_url=served.address,
            viewport={"width": width, "height": 900},
            color_scheme="dark" if dark else "light",
        )
        context.set_default_timeout(PATIENCE_S * 1000)
        contexts.append(context)
        if signed_in:
            context.add_cookies([{"name": COOKIE, "value": served.token, "url": served.address}])
        page = context.new_page()
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("console", lambda said: wrong.append(said.text) if _is_wrong(said) else None)
        page.goto(path)
        return page

    yield opened
    for each in contexts:
        each.close()
    assert wrong == []


def _is_wrong(said: ConsoleMessage) -> bool:
    """An error; that something filled in was refused is none."""
    return said.type == "error" and "status of 422" not in said.text


@pytest.fixture
def demo(served: Served) -> str:
    """The demo's sloop in the desk: the address of her survey."""
    return f"/s/{take_in(served.desk, DEMO / 'quillet')}"
