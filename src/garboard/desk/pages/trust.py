"""How a phone on the same network comes to trust this desk: its own certificate authority, explained and handed out."""

import socket
from collections.abc import Iterator
from hashlib import sha256

from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509 import load_pem_x509_certificate
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.certificates import AUTHORITY, FOLDER
from garboard.desk.codes import code_of
from garboard.desk.context import desk_of
from garboard.desk.render import page


def show(request: Request) -> Response:
    """The page that explains it; without an authority it says how to get one."""
    authority = desk_of(request).folder / FOLDER / AUTHORITY
    address = f"https://{_host(request)}:{request.url.port or 443}/trust"
    return page(
        request,
        "trust.html",
        address=address if request.url.scheme == "https" else "",
        code=code_of(address),
        fingerprint=_fingerprint(authority.read_bytes()) if authority.exists() else "",
    )


def authority(request: Request) -> Response:
    """The authority's certificate, as phones install it."""
    path = desk_of(request).folder / FOLDER / AUTHORITY
    if not path.exists():
        raise HTTPException(404, "This desk serves no network, so it has no authority to trust.")
    headers = {"content-disposition": 'attachment; filename="garboard-desk.crt"'}
    return Response(path.read_bytes(), media_type="application/x-x509-ca-cert", headers=headers)


def _host(request: Request) -> str:
    host = request.url.hostname or ""
    return f"{socket.gethostname()}.local" if host in ("localhost", "127.0.0.1") else host


def _fingerprint(pem: bytes) -> str:
    """SHA-256 of the certificate in pairs of digits, as phones show it."""
    digest = sha256(load_pem_x509_certificate(pem).public_bytes(Encoding.DER)).hexdigest().upper()
    return " ".join(_pairs(digest))


def _pairs(digits: str) -> Iterator[str]:
    return (digits[at : at + 2] for at in range(0, len(digits), 2))


ROUTES = (
    Route("/trust", show),
    Route("/trust/authority.crt", authority),
)
