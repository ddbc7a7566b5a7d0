"""The desk as a web application: every address, the guards before them, and what is said when something fails."""

import sys
import traceback
from collections.abc import AsyncIterator, Callable, Iterable, Iterator
from contextlib import asynccontextmanager
from functools import partial
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import ClientDisconnect, Request
from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from garboard.desk import pages
from garboard.desk.access import SignedIn
from garboard.desk.api import entries, files, openapi
from garboard.desk.challenges import Challenges
from garboard.desk.context import Desk
from garboard.desk.preview import Previews
from garboard.desk.render import page
from garboard.desk.security import Guarded
from garboard.notebook.problem import Problem, Refused
from garboard.report.fonts import SANS, SERIF_FOLDER
from garboard.store.worker import Function, Worker

STATIC = Path(__file__).parent / "static"
_API = (entries, files, openapi)
# Every module of `pages` is a page.
_PAGES = tuple(
    import_module(each.name) for each in iter_modules(pages.__path__, f"{pages.__name__}.")
)
_FACES = {
    "serif": SERIF_FOLDER / "IBMPlexSerif-Regular.ttf",
    "serif-italic": SERIF_FOLDER / "IBMPlexSerif-Italic.ttf",
    "serif-bold": SERIF_FOLDER / "IBMPlexSerif-SemiBold.ttf",
    "sans": SANS,
}
# What the framework says in its own words.
_UNSAID = {
    "Not Found": "There is nothing at this address.",
    "Method Not Allowed": "That cannot be done at this address.",
}


def application(
    desk: Desk, *, is_ending: Callable[[], bool] = lambda: False, network: str = ""
) -> ASGIApp:
    """The desk, ready to be served.

    Args:
        desk: The desk.
        is_ending: Whether the server shall end, so that what is sent without end ends too.
        network: The address at which other devices reach the desk; empty where they do not.
    """
    made = Starlette(
        routes=tuple(_routes()),
        lifespan=_running,
        middleware=[Middleware(SignedIn, desk=desk)],
        exception_handlers={
            Refused: _refused,
            ClientDisconnect: _gone,
            HTTPException: _not_so,
            Exception: _our_fault,
        },
    )
    made.state.desk = desk
    made.state.is_ending = is_ending
    made.state.network = network
    made.state.previews = Previews()
    made.state.worker = Worker(desk.database, dict(_jobs(desk)), desk.clock)
    made.state.challenges = Challenges()
    # Outermost, so that the answer to a mistake of our own is guarded as well.
    return Guarded(made)


@asynccontextmanager
async def _running(app: Starlette) -> AsyncIterator[None]:
    """The worker and the typesetters that stand ready live as long as the application runs."""
    await run_in_threadpool(app.state.desk.blobs.expire_parts)
    app.state.worker.start()
    try:
        yield
    finally:
        await run_in_threadpool(app.state.worker.stop)
        await run_in_threadpool(app.state.previews.close)


def _jobs(desk: Desk) -> Iterator[tuple[str, Function]]:
    """What the worker does, by kind: the JOBS of the pages, each a function of the desk and a job's handle."""
    for each in _PAGES:
        for kind, function in getattr(each, "JOBS", {}).items():
            yield kind, partial(function, desk)


def _routes() -> Iterable[BaseRoute]:
    yield Mount("/static", StaticFiles(directory=STATIC))
    yield Route("/fonts/{name}", _font)
    for each in (*_API, *_PAGES):
        yield from each.ROUTES


def _font(request: Request) -> Response:
    path = _FACES.get(request.path_params["name"])
    if path is None:
        raise HTTPException(404, "There is no such typeface.")
    headers = {"cache-control": "public, max-age=604800"}
    return FileResponse(path, media_type="font/ttf", headers=headers)


def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, Refused)
    said = "That cannot be shown" if request.method == "GET" else "That could not be kept"
    return _say(request, 422, said, error.problems)


def _not_so(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    said = _UNSAID.get(error.detail) or (error.detail if error.detail.endswith(".") else f"{error.detail}.")  # fmt: skip
    if error.detail in _UNSAID and request.url.path.startswith("/api/"):
        said = f"{said} /api/openapi.json says what can be asked here."
    return _say(request, error.status_code, said, ())


def _gone(request: Request, error: Exception) -> Response:
    """Whoever asked has gone in the middle of it; nobody is there to be told."""
    return Response(status_code=400)


def _our_fault(request: Request, error: Exception) -> Response:
    traceback.print_exception(error, file=sys.stderr)
    said = "Garboard made a mistake of its own. What was kept before is kept; nothing was kept by halves."
    return _say(request, 500, said, ())


def _say(request: Request, status: int, said: str, problems: tuple[Problem, ...]) -> Response:
    if request.url.path.startswith("/api/"):
        words = [str(each) for each in problems] or [said]
        return JSONResponse({"problems": words}, status)
    if request.headers.get("hx-request"):
        return PlainTextResponse("\n".join([said, *map(str, problems)]), status)
    return page(request, "said.html", status=status, said=said, problems=problems)
