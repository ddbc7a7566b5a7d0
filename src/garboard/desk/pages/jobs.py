"""The report's files: built in the background, issued with the surveyor's key, kept, sent out, and checked on request."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from garboard.archive.shelf import put, version_in
from garboard.desk import signing
from garboard.desk.asked import posted, texts_in
from garboard.desk.context import Desk, desk_of, survey_of, who
from garboard.desk.filled import whole_number
from garboard.desk.forms import Texts
from garboard.desk.keep import accept, keep
from garboard.desk.missing import other_boats
from garboard.desk.notes import say
from garboard.desk.originals import Originals
from garboard.desk.render import page, see, survey_page
from garboard.judgement.issues import issues
from garboard.notebook.body import Instruction
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.report.typesetter import NotSet
from garboard.store import jobs
from garboard.store.jobs import Job
from garboard.store.worker import Handle, Worker

if TYPE_CHECKING:
    from garboard.archive.sign import SigningKey

BUILD, ISSUE = "report", "issue"

FORMATS: Mapping[str, str] = {
    "pdf": "PDF, the report itself, with the notebook inside",
    "html": "web page, one file",
    "docx": "editable copy (DOCX)",
    "xlsx": "tables (XLSX)",
}
"""The files a report is made as, in words."""

_FOLDER = "reports"
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]*\.(pdf|html|docx|xlsx)")
_TYPES = {
    "pdf": "application/pdf",
    "html": "text/html",
    "docx": "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
_SHARES = {
    "Working out": 0.05,
    "Copying": 0.25,
    "Setting": 0.45,
    "Signing": 0.8,
    "Writing": 0.85,
}
_ACTIVE = ("ready", "running")


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A finished file: its name, its size in bytes, and the version of the issue it is of, if it is of one."""

    name: str
    size: int
    version: int | None


def build(request: Request, form: Texts) -> Response:
    """Begin to build the files that were asked for."""
    survey, desk = survey_of(request), desk_of(request)
    wanted = _formats(form)
    with desk.database.writing() as connection:
        _none_under_way(jobs.recent(connection, survey=survey.id))
        jobs.enqueue(connection, BUILD, {"formats": wanted}, survey=survey.id, now=desk.clock())
    _wake(request)
    return see(f"/s/{survey.id}/report#files")


def issue(request: Request, form: Texts) -> Response:
    """Begin to issue the report by the number that was given, signed with the surveyor's key."""
    survey, desk = survey_of(request), desk_of(request)
    key = signing.open_kept(desk, who(request), form.get("passphrase", ""))
    timestamp = _address(form.get("timestamp", "").strip())
    given = form.get("report_number", "").strip() or form.get("no_number")
    if not given and _is_to_be_numbered(survey):
        raise _refused("it has no number", "Give it one, or tick that it is issued without")
    _number(request, survey, form)
    asked = {
        "formats": _formats({"formats": "\n".join(FORMATS)}),
        "timestamp": timestamp,
        "delivered_to": _lines(form.get("delivered_to", "")),
    }
    with desk.database.writing() as connection:
        _none_under_way(jobs.recent(connection, survey=survey.id))
        job = jobs.enqueue(connection, ISSUE, asked, survey=survey.id, now=desk.clock())
        # Lent before anybody can see the job.
        signing.lend(desk, job, key)
    _wake(request)
    return see(f"/s/{survey.id}/report#files")


def number(request: Request, form: Texts) -> Response:
    """Keep the number of the report before it is issued, or that it has none yet."""
    survey = survey_of(request)
    _number(request, survey, form)
    return see(f"/s/{survey.id}/report#issue")


def cancel(request: Request, form: Texts) -> Response:
    """Cancel what is under way for this survey."""
    survey, desk = survey_of(request), desk_of(request)
    number = whole_number(form.get("job", ""))
    with desk.database.writing() as connection:
        job = None if number is None else jobs.get(connection, number)
        if job is None or job.survey != survey.id:
            raise HTTPException(404, "There is no such work under way.")
        jobs.ask_cancel(connection, job.id, desk.clock())
    return see(f"/s/{survey.id}/report#files")


def made(request: Request) -> Response:
    """The files and what is under way, as they stand; once it is issued the whole page has changed, and is asked for anew."""
    survey = survey_of(request)
    found = made_of(request, survey)
    answer = page(request, "_made.html", survey=survey, zone=desk_of(request).zone, **found)
    last = found["last_job"]
    if last and last.kind == ISSUE and last.state == "done":
        answer.headers["hx-refresh"] = "true"
    return answer


def download(request: Request) -> Response:
    """A finished file."""
    path = _file(request)
    return FileResponse(
        path,
        media_type=_TYPES[path.suffix[1:]],
        filename=path.name,
        content_disposition_type="attachment",
    )


def check(request: Request) -> Response:
    """Whether an issued PDF is as it was signed, by whom, when, and whether its notebook gives its findings."""
    # Signatures are heavy; the desk starts without them.
    from garboard.archive.verify import verify

    survey = survey_of(request)
    path = _file(request)
    answer = verify(path.read_bytes())
    return survey_page(
        request,
        survey,
        "report",
        "checked.html",
        heading=f"{path.name}, checked",
        file=path.name,
        state=answer.state,
        sentences=answer.sentences,
    )


def delivered(request: Request, form: Texts) -> Response:
    """Record who received an issue, and who since."""
    survey = survey_of(request)
    entry = next((each for each in issues(survey) if each.id == form.get("issue")), None)
    if entry is None:
        raise HTTPException(404, "There is no such issue of this report.")
    names = tuple(_lines(form.get("delivered_to", "")))
    # At its issue it was stated whom it is to be sent to; that it was is told by the first correction.
    if names != entry.body.delivered_to or (names and not entry.replaces):
        body = replace(entry.body, delivered_to=names)
        keep(request, survey.id, body, replaces=(entry.id,), why="To whom it was delivered")
    return see(f"/s/{survey.id}/report#issue")


async def give_key(request: Request) -> Response:
    """Keep the surveyor's signing key, once its passphrase has opened it."""
    survey = await run_in_threadpool(survey_of, request)
    async with request.form(max_files=1, max_part_size=signing.MOST_BYTES) as form:
        sent = form.get("key")
        p12 = await sent.read(signing.MOST_BYTES + 1) if isinstance(sent, UploadFile) else b""
        passphrase = texts_in(form).get("passphrase", "")
    if not p12 or len(p12) > signing.MOST_BYTES:
        raise Refused([Problem(where="signing key", what="no key file was sent", do="Choose the .p12 or .pfx file that your issuer gave you")])  # fmt: skip
    await run_in_threadpool(signing.keep_key, desk_of(request), who(request), p12, passphrase)
    return see(f"/s/{survey.id}/report#issue")


def make_key(request: Request, form: Texts) -> Response:
    """Make a key in the surveyor's own name and keep it; it proves less than one that an authority gave."""
    survey, passphrase = survey_of(request), form.get("passphrase", "")
    if passphrase != form.get("again", ""):
        raise Refused([Problem(where="signing key", what="the two passwords are not the same", do="Type it twice, the same way")])  # fmt: skip
    signing.make_key(desk_of(request), who(request), passphrase)
    say(request, "Your signing key is made. Take a copy of its file, and keep it with its password where you keep such things.")  # fmt: skip
    return see(f"/s/{survey.id}/report#issue")


def give_back_key(request: Request) -> Response:
    """The surveyor's own key file, to be kept elsewhere too; it is opened by its passphrase alone.

    Raises:
        HTTPException: There is none.
    """
    p12 = signing.kept_key(desk_of(request), who(request))
    if p12 is None:
        raise HTTPException(404, "There is no signing key of yours here.")
    headers = {"content-disposition": 'attachment; filename="signing-key.p12"', "cache-control": "no-store"}  # fmt: skip
    return Response(p12, media_type="application/x-pkcs12", headers=headers)


def take_key(request: Request, _: Texts) -> Response:
    """Remove the surveyor's signing key from this computer."""
    survey = survey_of(request)
    signing.remove_key(desk_of(request), who(request))
    return see(f"/s/{survey.id}/report#issue")


def made_of(request: Request, survey: Survey) -> dict[str, Any]:
    """What a page shows of a survey's files: those made, the work under way, the work done last, the key."""
    desk = desk_of(request)
    with desk.database.reading() as connection:
        found = jobs.recent(connection, survey=survey.id)
    ours = [each for each in found if each.kind in (BUILD, ISSUE)]
    return {
        "files": _made(desk, survey),
        "job": next((each for each in ours if each.state in _ACTIVE), None),
        "last_job": ours[0] if ours and ours[0].state not in _ACTIVE else None,
        "formats": FORMATS,
        "key_since": signing.kept_since(desk, who(request)),
        "issues": issues(survey),
        "receivers": _receivers(survey),
    }


# The work


def build_files(desk: Desk, handle: Handle) -> Any:
    """Build a report's files as the survey stands: a draft while something is in the way, else unsigned."""
    return _published(desk, handle, handle.job.arguments)


def issue_report(desk: Desk, handle: Handle) -> Any:
    """Issue a report: the issue is kept in the notebook first, then the files."""
    return _published(desk, handle, handle.job.arguments, signing.borrowed(desk, handle.job.id))


def _published(
    desk: Desk, handle: Handle, asked: Mapping[str, Any], key: "SigningKey | None" = None
) -> Any:
    # Photographs, PDF and signatures are heavy; the desk starts without them.
    from garboard.archive.publish import published

    survey = desk.surveys.get(handle.job.survey or "")
    if survey is None:
        raise _refused("the survey is not here any more", "Open it again")
    try:
        done = published(
            survey.entries,
            Originals(desk, survey),
            at=desk.now(),
            formats=tuple(asked["formats"]),
            key=key,
            timestamp_url=asked.get("timestamp") or None,
            delivered_to=tuple(asked.get("delivered_to", ())),
            other_boats=other_boats(desk, survey),
            progress=lambda words: handle.progress(words, _share(words)),
        )
    except NotSet as problem:
        raise _refused(str(problem).rstrip("."), "Look at the pages beside the text, and try again") from problem  # fmt: skip
    except Refused:
        raise
    except ValueError as problem:
        raise _refused(str(problem).rstrip("."), "Put it right, and issue it again") from problem
    if key and done.is_draft:
        count = sum(gap.is_open for gap in done.gaps)
        raise _refused(f"{count} {'thing stands' if count == 1 else 'things stand'} in the way; nothing was issued", "Close or answer them first")  # fmt: skip
    if done.issue:
        accept(desk, (done.issue,))
    kept = put(shelf_of(desk, survey.id), done.files)
    return {
        "files": list(done.files),
        "kept": list(kept),
        "issued": done.issue.body.version if done.issue else None,
        "is_draft": done.is_draft,
        "warnings": [str(each) for each in done.warnings],
    }


def _share(words: str) -> float | None:
    return next((share for said, share in _SHARES.items() if words.startswith(said)), None)


JOBS = {BUILD: build_files, ISSUE: issue_report}


def _formats(form: Texts) -> list[str]:
    wanted = form.get("formats", "").split("\n")
    chosen = [each for each in FORMATS if each in wanted]
    if not chosen:
        raise Refused([Problem(where="files", what="none is chosen", do="Choose at least one")])
    return chosen


def _address(text: str) -> str:
    if text and not text.startswith(("https://", "http://")):
        raise Refused([Problem(where="time-stamp service", what=f'"{text}" is no address of one', do="Write it with https:// before it")])  # fmt: skip
    return text


def _is_to_be_numbered(survey: Survey) -> bool:
    """Whether the report may be given a number; what was issued once keeps its own."""
    return survey.instruction is not None and not issues(survey)


def _number(request: Request, survey: Survey, form: Texts) -> None:
    """Keep the number the report is issued by."""
    asked, given = survey.instruction, form.get("report_number", "").strip()
    if asked and _is_to_be_numbered(survey) and given != asked.report_number:
        body = replace(asked, report_number=given)
        standing = [each.id for each in survey.of(Instruction) if each.body == asked]
        keep(request, survey.id, body, replaces=standing, why="The number it is issued by")


def _none_under_way(found: tuple[Job, ...]) -> None:
    if any(each.state in _ACTIVE and each.kind in (BUILD, ISSUE) for each in found):
        raise _refused("this survey's files are being made already", "Wait for them, or cancel that")  # fmt: skip


def _wake(request: Request) -> None:
    worker: Worker = request.app.state.worker
    worker.wake()


def _made(desk: Desk, survey: Survey) -> tuple[Made, ...]:
    """The finished files: the latest issue first, what is not issued last."""
    shelf = shelf_of(desk, survey.id)
    paths = [each for each in shelf.iterdir() if _NAME.fullmatch(each.name)] if shelf.is_dir() else []  # fmt: skip
    found = [
        Made(name=each.name, size=each.stat().st_size, version=version_in(each.name))
        for each in paths
    ]
    return tuple(sorted(found, key=lambda each: (-(each.version or 0), each.name)))


def _file(request: Request) -> Path:
    """The file that the address names.

    Raises:
        HTTPException: There is none.
    """
    survey = survey_of(request)
    name: str = request.path_params["name"]
    path = shelf_of(desk_of(request), survey.id) / name
    if not _NAME.fullmatch(name) or not path.is_file():
        raise HTTPException(404, "There is no such file of this survey.")
    return path


def shelf_of(desk: Desk, survey: str) -> Path:
    """The folder in which a survey's finished files lie."""
    return desk.folder / _FOLDER / survey


def _receivers(survey: Survey) -> str:
    """To whom a report commonly goes: the client, and who shall have a copy."""
    asked = survey.instruction
    return "\n".join(dict.fromkeys((asked.client, *asked.copies))) if asked else ""


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.split("\n") if line.strip()]


def _refused(what: str, do: str) -> Refused:
    return Refused([Problem(where="report", what=what, do=do)])


ROUTES = (
    Route("/s/{survey}/report/build", posted(build), methods=["POST"]),
    Route("/s/{survey}/report/issue", posted(issue), methods=["POST"]),
    Route("/s/{survey}/report/number", posted(number), methods=["POST"]),
    Route("/s/{survey}/report/cancel", posted(cancel), methods=["POST"]),
    Route("/s/{survey}/report/made", made),
    Route("/s/{survey}/report/delivered", posted(delivered), methods=["POST"]),
    Route("/s/{survey}/report/key", give_key, methods=["POST"]),
    Route("/s/{survey}/report/key/make", posted(make_key), methods=["POST"]),
    Route("/s/{survey}/report/key/file", give_back_key),
    Route("/s/{survey}/report/key/remove", posted(take_key), methods=["POST"]),
    Route("/s/{survey}/file/{name}", download),
    Route("/s/{survey}/file/{name}/check", check),
)
