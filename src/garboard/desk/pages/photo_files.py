"""The bytes of photographs: copies for the screen, and the original for whoever asks for it."""

from urllib.parse import quote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import Route

from garboard.desk.context import desk_of, survey_of
from garboard.desk.pictures import LONG_EDGE_PX, Size, copy_of, looked_at
from garboard.notebook.body import Photo

# An entry never changes, and its copies with it: a correction has an address of its own.
_FOR_EVER = {"cache-control": "private, max-age=31536000, immutable"}


def copy(request: Request) -> Response:
    """A copy, made now where there is none: upright, reduced, without location or serial number."""
    desk, photo, size = desk_of(request), _photo(request), _size(request)
    jpeg, problem = copy_of(desk, photo, size)
    if size == "thumb":
        looked_at(desk, photo.sha256)
    return Response(jpeg, media_type="image/jpeg", headers={} if problem else _FOR_EVER)


def original(request: Request) -> Response:
    """The original, byte for byte, to be saved; it holds what its camera wrote into it."""
    photo = _photo(request)
    return StreamingResponse(
        desk_of(request).blobs.stream(photo.sha256),
        media_type=photo.media_type,
        headers={"content-disposition": f"attachment; filename*=UTF-8''{quote(photo.file)}"},
    )


def _photo(request: Request) -> Photo:
    """The photograph of just this entry, whether it stands or not."""
    found = survey_of(request).by_id.get(request.path_params["photo"])
    if found is None or not isinstance(found.body, Photo):
        raise HTTPException(404, "There is no such photograph in this survey.")
    return found.body


def _size(request: Request) -> Size:
    size: Size = request.url.path.rpartition("/")[2]  # type: ignore[assignment] # one address a size
    return size


ROUTES = (
    *(Route(f"/s/{{survey}}/photo/{{photo}}/{size}", copy) for size in LONG_EDGE_PX),
    Route("/s/{survey}/photo/{photo}/original", original),
)
