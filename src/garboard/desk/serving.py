"""The desk served: by HTTP to this computer alone, and where it is asked for by HTTPS to the network around."""

import asyncio
import logging
import socket
from collections.abc import Callable
from contextlib import suppress

import uvicorn
from starlette.types import ASGIApp

from garboard.desk.app import application
from garboard.desk.certificates import (
    FOLDER,
    Certificates,
    certificates,
    outward_name,
    own_names,
)
from garboard.desk.context import Desk
from garboard.notebook.problem import Problem, Refused


def serve(
    desk: Desk,
    *,
    port: int,
    network: bool = False,
    secure_port: int = 0,
    elsewhere: Callable[[int], str],
    ready: Callable[[], None] = lambda: None,
) -> None:
    """Serve a desk until it is told to end.

    Args:
        desk: The desk.
        port: Of HTTP, on this computer alone.
        network: Serve the network around by HTTPS as well.
        secure_port: Of HTTPS.
        elsewhere: What to type to serve on another port than the one that is taken.
        ready: Called once pages can be asked for.

    Raises:
        Refused: A port is taken.
    """
    logging.basicConfig(level=logging.WARNING, format="%(levelname)s %(name)s: %(message)s")
    servers: list[tuple[uvicorn.Server, socket.socket]] = []
    app = application(
        desk,
        is_ending=lambda: any(each.should_exit for each, _ in servers),
        network=f"https://{outward_name()}:{secure_port}" if network else "",
    )
    servers.append((_server(app), _listening("127.0.0.1", port, elsewhere)))
    if network:
        held = certificates(desk.folder / FOLDER, own_names(), desk.now())
        # The network around is what was asked for.
        servers.append((_server(app, held), _listening("0.0.0.0", secure_port, elsewhere)))  # noqa: S104
    # The server ends in good order on Ctrl+C, and then raises it again.
    with suppress(KeyboardInterrupt):
        asyncio.run(_run(servers, ready))


def _listening(host: str, port: int, elsewhere: Callable[[int], str]) -> socket.socket:
    try:
        return socket.create_server((host, port))
    except OSError as error:
        raise Refused(
            [
                Problem(
                    where=f"port {port}",
                    what=f"it cannot be served on ({error.strerror})",
                    do=f"End the desk that runs already, or give another port: “{elsewhere(port)}” opens it there",
                )
            ]
        ) from error


def _server(app: ASGIApp, secure: Certificates | None = None) -> uvicorn.Server:
    return uvicorn.Server(
        uvicorn.Config(
            app,
            log_level="warning",
            server_header=False,
            ssl_certfile=secure.server if secure else None,
            ssl_keyfile=secure.key if secure else None,
            timeout_graceful_shutdown=5,
            # The first server begins and ends the application; the second shares it.
            lifespan="off" if secure else "on",
        )
    )


async def _run(
    servers: list[tuple[uvicorn.Server, socket.socket]], ready: Callable[[], None]
) -> None:
    serving = [asyncio.create_task(each.serve(sockets=[at])) for each, at in servers]
    while not all(each.started for each, _ in servers):
        if any(each.done() for each in serving):
            break
        await asyncio.sleep(0.02)
    else:
        ready()
    await asyncio.wait(serving, return_when=asyncio.FIRST_COMPLETED)
    for each, _ in servers:
        each.should_exit = True
    await asyncio.gather(*serving)
