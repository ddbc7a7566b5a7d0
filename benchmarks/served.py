"""The servers that `desk.py` measures, each run as a process of its own: prints its port and a token, then serves.

python benchmarks/served.py desk FOLDER
python benchmarks/served.py django FOLDER
"""

import socket
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import uvicorn


def desk(folder: Path) -> tuple[Any, str]:
    """Our desk, with one device let in."""
    from garboard.desk.app import application
    from garboard.desk.context import open_desk
    from garboard.store import accounts, sessions

    opened = open_desk(folder)
    with opened.database.writing() as connection:
        user = accounts.add_user(
            connection, sign_in="ines", name="Ines Caldervane", now=opened.now()
        )
        token = sessions.begin(connection, user.id, device="tablet-1", now=opened.now())
    return application(opened), token


def django(folder: Path) -> tuple[Any, str]:
    """The least that Django REST framework does for the same: a table, a serializer, a list that is kept whole."""
    import django as framework
    from django.conf import settings

    folder.mkdir(parents=True, exist_ok=True)
    settings.configure(
        ALLOWED_HOSTS=["*"],
        ROOT_URLCONF="served_by_django",
        DATA_UPLOAD_MAX_MEMORY_SIZE=None,
        DATABASES={
            "default": {
                "ENGINE": "django.db.backends.sqlite3",
                "NAME": folder / "django.sqlite",
                "OPTIONS": {
                    "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
                    "transaction_mode": "IMMEDIATE",
                },
            }
        },
        REST_FRAMEWORK={
            "DEFAULT_AUTHENTICATION_CLASSES": [],
            "DEFAULT_PERMISSION_CLASSES": [],
            "UNAUTHENTICATED_USER": None,
            "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
        },
    )
    framework.setup()
    from django.core.asgi import get_asgi_application
    from django.db import connection
    from served_by_django import Entry

    with connection.schema_editor() as editor:
        editor.create_model(Entry)
    return get_asgi_application(), "none asked"


SERVERS: Mapping[str, Callable[[Path], tuple[Any, str]]] = {each.__name__: each for each in (desk, django)}  # fmt: skip


def main() -> None:
    app, token = SERVERS[sys.argv[1]](Path(sys.argv[2]))
    with socket.create_server(("127.0.0.1", 0)) as listening:
        print(listening.getsockname()[1], token, flush=True)
        lifespan = "on" if sys.argv[1] == "desk" else "off"
        config = uvicorn.Config(app, log_level="warning", lifespan=lifespan)
        uvicorn.Server(config).run(sockets=[listening])


if __name__ == "__main__":
    main()
