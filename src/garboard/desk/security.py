"""What every answer carries and every request must satisfy, before any page is asked.

The pages run no inline script, load nothing from elsewhere and are framed by nobody else; a request that changes
something must come from a page of this server or carry a device's own token.
"""

from collections.abc import Mapping
from types import MappingProxyType

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import HTTPConnection
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "media-src 'self' blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "frame-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'self'",
        "base-uri 'none'",
    )
)
"""Of the pages; the policy of Content Security Policy Level 3."""

HEADERS: Mapping[str, str] = MappingProxyType(
    {
        "content-security-policy": POLICY,
        "x-content-type-options": "nosniff",
        "referrer-policy": "same-origin",
        "cross-origin-opener-policy": "same-origin",
        "cross-origin-resource-policy": "same-origin",
        "permissions-policy": "geolocation=(), payment=(), usb=()",
    }
)

MOST_BYTES = 64 * 2**20
"""The largest body of one request; larger files come in pieces."""

LOCAL = frozenset({"localhost", "127.0.0.1", "::1"})
"""The names under which a computer finds a desk on itself."""

_TOO_MUCH = "That is more than one request may bring; send it in pieces."
_SAFE = frozenset({"GET", "HEAD", "OPTIONS"})


class Guarded:
    """An application behind the headers, the check of origin and the limit of size."""

    def __init__(self, app: ASGIApp) -> None:
        """Stand before an application."""
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or refuse it in words."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                if scope["scheme"] == "https":
                    headers.setdefault("strict-transport-security", "max-age=31536000")
                headers.setdefault("cache-control", "no-store")
            await send(message)

        refusal = _refusal(scope["method"], Headers(scope=scope))
        if refusal:
            status, words = refusal
            await PlainTextResponse(words, status)(scope, receive, send_guarded)
            return
        await self.app(scope, _limited(receive), send_guarded)


def is_overheard(request: HTTPConnection) -> bool:
    """Whether others can read what is sent on its way: by plain HTTP from another computer."""
    return request.url.scheme == "http" and request.url.hostname not in LOCAL


def _refusal(method: str, headers: Headers) -> tuple[int, str] | None:
    """Why a request is not let in, if so."""
    length = headers.get("content-length", "0")
    if not length.isdecimal() or int(length) > MOST_BYTES:
        return 413, _TOO_MUCH
    if method in _SAFE or headers.get("authorization", "").startswith("Bearer "):
        return None
    # Browsers say where a request comes from; none can be made to leave this out or lie about it.
    site = headers.get("sec-fetch-site")
    if site is not None:
        is_ours = site in ("same-origin", "none")
    else:
        is_ours = headers.get("origin", "").partition("://")[2] == headers.get("host", "")
    return None if is_ours else (403, "This came from another site's page and was not carried out.")


def _limited(receive: Receive) -> Receive:
    """The body of a request, refused where it grows beyond the limit whatever it announced."""
    taken = 0

    async def limited() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > MOST_BYTES:
            raise HTTPException(413, _TOO_MUCH)
        return message

    return limited
