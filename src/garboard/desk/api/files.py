"""Files sent in pieces by their SHA-256 and fetched again, byte for byte."""

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from garboard.desk.api.sent import names_of, whole_number
from garboard.desk.context import desk_of

MOST_FILE_BYTES = 2**30
"""The largest file that is taken."""

PIECE_BYTES = 4 * 2**20
"""How much a device best sends at once."""


async def missing(request: Request) -> Response:
    """Which files of a list are not here whole."""
    hashes = await names_of(request, "sha256")
    found = await run_in_threadpool(desk_of(request).blobs.missing, hashes)
    return JSONResponse({"missing": found})


def arrived(request: Request) -> Response:
    """How many bytes of a file have arrived."""
    sha256 = request.path_params["sha256"]
    blobs = desk_of(request).blobs
    kept = blobs.find(sha256)
    return JSONResponse({"offset": blobs.offset(sha256), "whole": kept is not None})


async def append(request: Request) -> Response:
    """The next bytes of a file, from the offset named; how many have arrived then."""
    offset = whole_number(request.query_params.get("offset", "0"), "offset")
    piece = await request.body()
    have_arrived = await run_in_threadpool(
        desk_of(request).blobs.append,
        request.path_params["sha256"],
        offset,
        [piece],
        limit_bytes=MOST_FILE_BYTES,
    )
    return JSONResponse({"offset": have_arrived})


def finish(request: Request) -> Response:
    """A file whole: kept if its bytes have the hash, and acknowledged only then."""
    kept = desk_of(request).blobs.finish(request.path_params["sha256"])
    return JSONResponse({"sha256": kept.sha256, "size": kept.size, "media_type": kept.media_type})


def fetch(request: Request) -> Response:
    """A file as it came, proved against its hash; always to be saved, never shown as a page."""
    desk, sha256 = desk_of(request), request.path_params["sha256"]
    kept = desk.blobs.find(sha256)
    if kept is None:
        raise HTTPException(404, "This file is not here. Send it first.")
    # Proved before the first byte goes out: a spoilt file is refused, not sent.
    return StreamingResponse(
        desk.blobs.stream(sha256),
        media_type=kept.media_type,
        headers={
            "content-length": str(kept.size),
            "content-disposition": f'attachment; filename="{sha256}"',
            "content-security-policy": "sandbox",
            "cache-control": "private, max-age=31536000, immutable",
            "etag": f'"{sha256}"',
        },
    )


ROUTES = (
    Route("/api/files/missing", missing, methods=["POST"]),
    Route("/api/files/{sha256}", fetch),
    Route("/api/files/{sha256}", append, methods=["PUT"]),
    Route("/api/files/{sha256}/offset", arrived),
    Route("/api/files/{sha256}/finish", finish, methods=["POST"]),
)
