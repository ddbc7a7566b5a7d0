"""A desk served in a process of its own, to be killed in."""

import socket
from multiprocessing.connection import Connection
from pathlib import Path

import uvicorn

from garboard.desk.app import application
from garboard.desk.context import open_desk
from garboard.store import accounts, sessions


def admit(folder: Path) -> str:
    """Let Ines Caldervane into a new desk, and give the token of her device."""
    desk = open_desk(folder)
    with desk.database.writing() as connection:
        user = accounts.add_user(connection, sign_in="ines", name="Ines Caldervane", now=desk.now())
        token = sessions.begin(connection, user.id, device="tablet-1", now=desk.now())
    desk.close()
    return token


def serve(folder: Path, told: Connection) -> None:
    """Tell the port, and serve the desk there until killed."""
    serve_at(folder, 0, told)


def serve_at(folder: Path, port: int, told: Connection) -> None:
    """Serve the desk at a port, which another may hold for it, told once it is there, until killed."""
    app = application(open_desk(folder))
    with socket.create_server(("127.0.0.1", port), reuse_port=True) as listening:
        told.send(listening.getsockname()[1])
        uvicorn.Server(uvicorn.Config(app, log_level="critical")).run(sockets=[listening])
