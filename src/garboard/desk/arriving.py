"""Files arriving at a page: in pieces known by their hash, so that an upload goes on where it broke off, or whole.

`static/upload.js` speaks with these addresses; a plain form does without it. Answers to the pieces are JSON: what
was kept in words, how much arrived, or the problems. Files that are sent together are kept in an order of their own
once all of them are here.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, BinaryIO

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from garboard.catalogue.naming import capital
from garboard.desk.asked import posted
from garboard.desk.context import desk_of
from garboard.desk.forms import Texts
from garboard.notebook.problem import Problem, Refused
from garboard.store.blobs import Blob
from garboard.store.media import HEAD_BYTES, media_type

_MOST_FILES = 1000
_PIECE_BYTES = 1 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What became of one file of a form, in words; `is_kept` where it is here now."""

    name: str
    words: str
    is_kept: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrivals:
    """What may arrive at an address, and what becomes of it."""

    address: str
    """A path of the desk, with `{survey}` in it where the files are of one."""
    media_types: frozenset[str]
    wanted: str
    """The kinds of file in words, as "JPEG or PNG"."""
    limit_bytes: int
    if_larger: str
    """What to do with a larger file."""
    order: Callable[[Request, Blob], str]
    """Where a file comes among those sent with it: they are kept in the order of this text, then of their names."""
    held: Callable[[Request, str], str]
    """Where a file of this hash is already, in words; empty where it is nowhere."""
    keep: Callable[[Request, Blob, str], str]
    """Keep a file that arrived, under the name it came with; says what became of it."""
    page: Callable[[Request, tuple[Said, ...]], Response]
    """Shows what became of the files of a plain form."""

    def routes(self) -> tuple[Route, ...]:
        """The addresses that files arrive at."""
        one = f"{self.address}/{{sha256}}"
        return (
            Route(self.address, self._form, methods=["POST"]),
            Route(one, self._look, methods=["GET"]),
            Route(one, self._piece, methods=["POST"]),
            Route(f"{one}/finish", posted(self._finish), methods=["POST"]),
            Route(f"{one}/keep", posted(self._keep), methods=["POST"]),
        )

    def _look(self, request: Request) -> Response:
        """How much of a file is here, before it is sent."""
        return _answered(lambda: self._announced(request))

    async def _piece(self, request: Request) -> Response:
        """The next bytes of a file."""
        content = await request.body()
        return await run_in_threadpool(_answered, lambda: self._arrived(request, content))

    def _finish(self, request: Request, _: Texts) -> Response:
        """The end of a file: it is proved against its hash, and waits for those sent with it."""
        return _answered(lambda: {"order": self.order(request, self._finished(request))})

    def _keep(self, request: Request, form: Texts) -> Response:
        """A file that is here is kept, after those that come before it."""
        return _answered(
            lambda: {"kept": self.keep(request, self._finished(request), form.get("name", ""))}
        )

    async def _form(self, request: Request) -> Response:
        """Whole files of a form."""
        async with request.form(max_files=_MOST_FILES) as form:
            sent = [each for each in form.getlist("file") if isinstance(each, UploadFile)]
            said = await run_in_threadpool(self._together, request, sent)
        if "application/json" not in request.headers.get("accept", ""):
            return await run_in_threadpool(self.page, request, said)
        refused = [f"{each.name}: {each.words}" for each in said if not each.is_kept]
        if refused:
            return JSONResponse({"problems": refused}, 422)
        return JSONResponse({"kept": " ".join(each.words for each in said)})

    def _announced(self, request: Request) -> dict[str, Any]:
        sha256, size = request.path_params["sha256"], request.query_params.get("size", "")
        if words := self.held(request, sha256):
            return {"kept": words}
        if not size.isdecimal() or int(size) == 0:
            raise _refused("the file is empty", "Choose it again where it comes from")
        if int(size) > self.limit_bytes:
            most = self.limit_bytes // 2**20
            raise _refused(f"the file is larger than {most} MB", self.if_larger)  # fmt: skip
        return {"arrived": desk_of(request).blobs.offset(sha256)}

    def _arrived(self, request: Request, content: bytes) -> dict[str, Any]:
        at = request.query_params.get("at", "")
        if not at.isdecimal():
            raise _refused("it is not said where the bytes belong", "Send the file again")
        if int(at) == 0:
            self._sniff(content[:HEAD_BYTES])
        blobs, sha256 = desk_of(request).blobs, request.path_params["sha256"]
        return {"arrived": blobs.append(sha256, int(at), [content], limit_bytes=self.limit_bytes)}

    def _finished(self, request: Request) -> Blob:
        blob = desk_of(request).blobs.finish(request.path_params["sha256"])
        # A file that another page brought may be of another kind.
        if blob.media_type not in self.media_types:
            raise self._of_another_kind()
        return blob

    def _together(self, request: Request, files: Iterable[UploadFile]) -> tuple[Said, ...]:
        """Whole files: those that make no sense first, then the others in the order in which they are kept."""
        refused, here = [], []
        for each in files:
            name = each.filename or "a file without a name"
            try:
                blob = self._whole(request, each)
                here.append((self.order(request, blob), name, blob))
            except Refused as problem:
                refused.append(Said(name=name, words=_words(problem), is_kept=False))
        here.sort(key=lambda each: each[:2])
        return (*refused, *(self._said(request, blob, name) for _, name, blob in here))

    def _whole(self, request: Request, file: UploadFile) -> Blob:
        self._sniff(file.file.read(HEAD_BYTES))
        file.file.seek(0)
        return desk_of(request).blobs.put(_pieces(file.file), limit_bytes=self.limit_bytes)

    def _said(self, request: Request, blob: Blob, name: str) -> Said:
        try:
            words = self.held(request, blob.sha256) or self.keep(request, blob, name)
        except Refused as refused:
            return Said(name=name, words=_words(refused), is_kept=False)
        return Said(name=name, words=words, is_kept=True)

    def _sniff(self, head: bytes) -> None:
        """Refuse what is of no use here by its first bytes, before any of it is kept."""
        if media_type(head) not in self.media_types:
            raise self._of_another_kind()

    def _of_another_kind(self) -> Refused:
        return _refused(
            f"by its first bytes it is no {self.wanted} file, whatever its name says",
            f"Choose a {self.wanted} file",
        )


def _answered(work: Callable[[], dict[str, Any]]) -> Response:
    try:
        return JSONResponse(work())
    except Refused as refused:
        return JSONResponse({"problems": [_words(refused)]}, 422)


def _words(refused: Refused) -> str:
    """Why a file was not kept, and what to do; which it is stands beside it."""
    return " ".join(f"{capital(each.what)}. {each.do}." for each in refused.problems)  # fmt: skip


def _pieces(file: BinaryIO) -> Iterator[bytes]:
    while piece := file.read(_PIECE_BYTES):
        yield piece


def _refused(what: str, do: str) -> Refused:
    return Refused([Problem(where="upload", what=what, do=do)])
