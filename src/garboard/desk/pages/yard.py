"""The page for the yard as a browser fetches it, and what it asks of the desk besides entries and files."""

import hashlib
import json
from collections.abc import Mapping
from datetime import tzinfo
from functools import cache
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from garboard.desk.before import Asked, surveyed_before
from garboard.desk.context import desk_of, survey_of, who
from garboard.desk.security import POLICY
from garboard.notebook.body import Photo
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.numbering import numbers_of_device
from garboard.yard.bundle import Asset, assets
from garboard.yard.plan import plan_of

SHARED = (
    "/static/reset.css",
    "/static/tokens.css",
    "/static/mark.svg",
    "/fonts/sans",
    "/fonts/serif",
)
"""What the page shares with the desk."""

_DESK_STATIC = Path(__file__).parents[1] / "static"
# Python in the browser is compiled there, and runs in a worker of the page's own.
_POLICY = POLICY.replace("script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'")
_POLICY += "; worker-src 'self'; manifest-src 'self'"
_INDEX = "index.html"
_WORKER = "sw.js"


def show(request: Request) -> Response:
    """The page itself, or one of its files."""
    name = request.path_params.get("name") or _INDEX
    if name == "files.js":
        return Response(_listed(), media_type="text/javascript", headers=_HEADERS)
    asset = assets().get(name)
    if asset is None:
        raise HTTPException(404, "The page for the yard has no such file.")
    return _sent(request, asset)


def me(request: Request) -> Response:
    """Who is signed in on this device, what the device is called, and which numbers its photographs bear."""
    session = request.state.session
    numbers = numbers_of_device(session.id)
    return JSONResponse({"name": who(request).name, "device": session.device, "photographs": numbers})  # fmt: skip


def plan(request: Request) -> Response:
    """What a survey's page needs to capture before the calculations have started there."""
    return JSONResponse(plan_of(survey_of(request)))


def earlier(request: Request) -> Response:
    """The photographs of this boat's parts there are: of this survey, and of those before it for the same client."""
    desk, survey = desk_of(request), survey_of(request)
    boat, instruction = survey.boat, survey.instruction
    # A name alone may be that of another boat.
    asked = Asked(
        identity_number=boat.identity_number if boat else "",
        registration=boat.registration if boat else "",
        client=instruction.client if instruction else "",
        survey=survey.id,
    )
    with desk.database.reading() as connection:
        before = surveyed_before(connection, asked)
    others = (desk.surveys.get(each.survey) for each in before if each.survey)
    found = [
        _earlier(photo, of, desk.zone) for of in (survey, *others) if of for photo in of.of(Photo)
    ]
    return JSONResponse({"photographs": [each for each in found if each["part"]]})


def _earlier(photo: Entry[Photo], of: Survey, zone: tzinfo) -> dict[str, str]:
    body = photo.body
    return {
        "part": body.place.part if body.place else "",
        "number": str(body.number),
        "caption": body.caption,
        "taken": body.taken.astimezone(zone).date().isoformat() if body.taken else "",
        "address": f"/s/{of.id}/photo/{photo.id}/thumb",
    }


_HEADERS: Mapping[str, str] = {
    "content-security-policy": _POLICY,
    "cache-control": "no-cache",
    "permissions-policy": "camera=(self), microphone=(self), geolocation=(), payment=(), usb=()",
}


def _sent(request: Request, asset: Asset) -> Response:
    headers = {**_HEADERS, "vary": "accept-encoding"}
    if asset.packed is not None and "gzip" in request.headers.get("accept-encoding", ""):
        return Response(asset.packed, media_type=asset.media_type, headers={**headers, "content-encoding": "gzip"})  # fmt: skip
    return Response(asset.content, media_type=asset.media_type, headers=headers)


@cache
def _listed() -> str:
    """The files to be put by for a day with no signal, and the version that they make together."""
    version = hashlib.sha256()
    for name, asset in sorted(assets().items()):
        version.update(name.encode() + hashlib.sha256(asset.content).digest())
    for path in sorted(_DESK_STATIC / Path(each).name for each in SHARED if "/static/" in each):
        version.update(hashlib.sha256(path.read_bytes()).digest())
    names = [f"/yard/{name}" for name in assets() if name not in (_INDEX, _WORKER)]
    listed = {"version": version.hexdigest()[:16], "files": ["/yard/", *names, *SHARED]}
    return f"self.YARD = {json.dumps(listed)}\n"


ROUTES = (
    Route("/yard/", show),
    Route("/yard/{name:path}", show),
    Route("/api/earlier/{survey}", earlier),
    Route("/api/me", me),
    Route("/api/plan/{survey}", plan),
)
