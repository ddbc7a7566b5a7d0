"""Surveys as plain files: a packed dossier brought into the desk, and a survey packed to be taken away."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from shutil import rmtree
from typing import Any

from sqlalchemy import Connection
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from garboard.desk.arriving import Arrivals, Said
from garboard.desk.asked import posted
from garboard.desk.context import Desk, desk_of, survey_of
from garboard.desk.dossiers import hand_out, take_in
from garboard.desk.filled import whole_number
from garboard.desk.forms import Texts
from garboard.desk.render import name_of, page, see, survey_page
from garboard.dossier.packed import pack, unpack
from garboard.notebook.problem import Refused
from garboard.store import jobs
from garboard.store.blobs import Blob
from garboard.store.jobs import Job
from garboard.store.worker import Cancelled, Handle, Worker

BRING, PACK = "bring in", "pack"

# A browser reads a file whole to know its hash, and holds no larger one.
_MOST_BYTES = 1_900 * 2**20
_FOLDER, _ROOM = "packed", "at-work"
_ACTIVE = ("ready", "running")
_SHOWN = 10


def show(request: Request) -> Response:
    """Where a dossier is brought in, and what became of the last ones."""
    return page(request, "bringing.html", at="bring", **_brought(request))


def under_way(request: Request) -> Response:
    """What is being brought in, as it stands."""
    return page(request, "_brought.html", **_brought(request))


def cancel(request: Request, form: Texts) -> Response:
    """Cancel bringing one in."""
    number = whole_number(form.get("job", ""))
    with desk_of(request).database.writing() as connection:
        job = jobs.get(connection, number) if number is not None else None
        if job is None or job.kind != BRING:
            raise HTTPException(404, "There is no such work under way.")
        jobs.ask_cancel(connection, job.id, desk_of(request).clock())
        is_over = job.state == "ready"
    if is_over:
        _forget(desk_of(request), job)
    return see("/bring")


def packing(request: Request) -> Response:
    """Where a survey is packed, and the file once it is."""
    return _packing(request, "packing.html")


def packing_now(request: Request) -> Response:
    """How far the packing is."""
    survey = survey_of(request)
    return page(request, "_packed.html", survey=survey, **_packed(request, survey.id))


def begin_packing(request: Request, _: Texts) -> Response:
    """Begin to pack a survey as it stands."""
    survey, desk = survey_of(request), desk_of(request)
    with desk.database.writing() as connection:
        latest = _latest_packing(connection, survey.id)
        if latest is None or latest.state not in _ACTIVE:
            arguments = {"name": _file_name(name_of(survey))}
            jobs.enqueue(connection, PACK, arguments, survey=survey.id, now=desk.clock())
    _wake(request)
    return see(f"/s/{survey.id}/plain-files")


def download(request: Request) -> Response:
    """The packed survey."""
    survey = survey_of(request)
    job = _packed(request, survey.id)["job"]
    path = _packed_file(desk_of(request), survey.id)
    if job is None or job.state != "done" or not path.is_file():
        raise HTTPException(404, "This survey is not packed yet.")
    return FileResponse(path, media_type="application/zip", filename=f"{job.arguments['name']}.zip")


# The work


def bring_in(desk: Desk, handle: Handle) -> Any:
    """Unpack a dossier and keep all of it."""
    handle.progress("Unpacking", 0.02)
    sha256 = handle.job.arguments["sha256"]
    try:
        with _room(desk, handle) as room:
            dossier = unpack(desk.blobs.path(sha256), room)
            survey = take_in(desk, dossier, handle.progress)
    except (Refused, Cancelled):
        # Where only the server ends, the job is begun again and needs its file.
        if not handle.is_stopped:
            _forget(desk, handle.job)
        raise
    _forget(desk, handle.job)
    found = desk.surveys.get(survey)
    return {"survey": survey, "boat": name_of(found) if found else ""}


def pack_survey(desk: Desk, handle: Handle) -> Any:
    """Write a survey as plain files and pack them into one."""
    survey = handle.job.survey or ""
    handle.progress("Writing the plain files", 0.1)
    target = _packed_file(desk, survey)
    target.parent.mkdir(exist_ok=True)
    with _room(desk, handle) as room:
        folder = room / handle.job.arguments["name"]
        hand_out(desk, survey, folder)
        handle.progress("Packing", 0.5)
        pack(folder, room / target.name)
        (room / target.name).replace(target)
    return {"size": target.stat().st_size}


JOBS = {BRING: bring_in, PACK: pack_survey}


def _forget(desk: Desk, job: Job) -> None:
    """Remove the packed file of a job that is over, unless another, as when it was sent twice, is still to bring it in."""
    with desk.database.reading() as connection:
        others = [each for each in jobs.recent(connection, kind=BRING) if each.id != job.id]
    sha256 = job.arguments["sha256"]
    if not any(each.state in _ACTIVE and each.arguments["sha256"] == sha256 for each in others):
        desk.blobs.forget(sha256)


@contextmanager
def _room(desk: Desk, handle: Handle) -> Iterator[Path]:
    """An empty folder for a job; what is in it was left by a try that broke off."""
    room = desk.folder / _ROOM / str(handle.job.id)
    rmtree(room, ignore_errors=True)
    room.mkdir(parents=True)
    try:
        yield room
    finally:
        rmtree(room, ignore_errors=True)


def _brought(request: Request) -> dict[str, Any]:
    with desk_of(request).database.reading() as connection:
        found = jobs.recent(connection, kind=BRING, limit=_SHOWN)
    return {"brought": found, "is_busy": any(each.state in _ACTIVE for each in found)}


def _packing(request: Request, template: str) -> Response:
    survey = survey_of(request)
    shown = _packed(request, survey.id)
    return survey_page(request, survey, "history", template, heading="As plain files", **shown)


def _packed(request: Request, survey: str) -> dict[str, Any]:
    with desk_of(request).database.reading() as connection:
        job = _latest_packing(connection, survey)
    return {"job": job, "is_busy": job is not None and job.state in _ACTIVE}


def _latest_packing(connection: Connection, survey: str) -> Job | None:
    return next(iter(jobs.recent(connection, survey=survey, kind=PACK, limit=1)), None)


def _packed_file(desk: Desk, survey: str) -> Path:
    return desk.folder / _FOLDER / f"{survey}.zip"


def _file_name(boat: str) -> str:
    """A boat's name as the name of a folder.

    >>> _file_name("Quillet of Orrow")
    'quillet-of-orrow'
    """
    return re.sub(r"[^a-z0-9]+", "-", boat.lower()).strip("-") or "survey"


def _begun(request: Request, blob: Blob, name: str) -> str:
    desk = desk_of(request)
    with desk.database.writing() as connection:
        jobs.enqueue(connection, BRING, {"sha256": blob.sha256, "name": name}, now=desk.clock())
    _wake(request)
    return "It is here whole, and is being brought in."


def _sent(request: Request, said: tuple[Said, ...]) -> Response:
    refused = [f"{each.name}: {each.words}" for each in said if not each.is_kept]
    return page(request, "bringing.html", at="bring", refused=refused, **_brought(request))


def _wake(request: Request) -> None:
    worker: Worker = request.app.state.worker
    worker.wake()


ARRIVALS = Arrivals(
    address="/bring/upload",
    media_types=frozenset({"application/zip"}),
    wanted="ZIP",
    limit_bytes=_MOST_BYTES,
    if_larger="Unpack it and take the folder in with the command garboard take-in",
    order=lambda *_: "",
    held=lambda *_: "",
    keep=_begun,
    page=_sent,
)

ROUTES = (
    Route("/bring", show),
    Route("/bring/now", under_way),
    Route("/bring/cancel", posted(cancel), methods=["POST"]),
    *ARRIVALS.routes(),
    Route("/s/{survey}/plain-files", packing),
    Route("/s/{survey}/plain-files", posted(begin_packing), methods=["POST"]),
    Route("/s/{survey}/plain-files/now", packing_now),
    Route("/s/{survey}/plain-files/zip", download),
)
