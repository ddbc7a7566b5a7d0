"""Who comes in: everything is shut but the few pages listed here; a cookie or a device's token opens it.

A browser sends the token of its session as a cookie, a device or a program as a bearer token. Both are sessions of
the store and can be revoked there.
"""

from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import HTTPConnection
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from garboard.desk.context import Desk
from garboard.notebook.problem import Refused
from garboard.store.sessions import check

COOKIE = "garboard"

OPEN = (
    "/sign-in", "/sign-in/", "/welcome/", "/terms/", "/static/", "/fonts/", "/trust", "/trust/", "/yard/", "/pair/",
)  # fmt: skip
"""What can be reached without signing in; every other address cannot."""


class SignedIn:
    """An application behind the sign-in: a request goes on with its user and session, or not at all."""

    def __init__(self, app: ASGIApp, desk: Desk) -> None:
        """Stand before an application of a desk."""
        self.app = app
        self.desk = desk

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or send it to the sign-in."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        connection = HTTPConnection(scope)
        token = _token(connection)
        found = None
        try:
            if token:
                found = await run_in_threadpool(check, self.desk.database, token, self.desk.clock())
        except Refused as refused:
            await PlainTextResponse(str(refused), 503)(scope, receive, send)
            return
        if found:
            connection.state.session, connection.state.user = found, found.user
        if found or _is_open(scope["path"]):
            await self.app(scope, receive, send)
            return
        await _to_sign_in(scope)(scope, receive, send)


def _is_open(path: str) -> bool:
    return any(path == each or (each.endswith("/") and path.startswith(each)) for each in OPEN)


def _token(connection: HTTPConnection) -> str:
    bearer = connection.headers.get("authorization", "")
    if bearer.startswith("Bearer "):
        return bearer.removeprefix("Bearer ").strip()
    return connection.cookies.get(COOKIE, "")


def _to_sign_in(scope: Scope) -> Response:
    if scope["path"].startswith("/api/"):
        return JSONResponse(
            {
                "problems": [
                    "Sign in first; a session that was ended, or lay unused for half a year, opens nothing."
                ]
            },
            401,
        )
    after = quote(scope["path"]) if scope["method"] == "GET" else "/"
    return RedirectResponse(f"/sign-in?after={after}", 303)
