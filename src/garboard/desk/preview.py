"""The report's pages while they are being written: set again in a moment after each change.

A typesetter stands ready for each survey and surveyor that is writing, with copies of the photographs of the size
of a screen. It ends when nobody has asked it for a while, when others need its place, or with the desk.
"""

import io
import threading
from collections import OrderedDict
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from PIL import Image
from starlette.requests import Request

from garboard.desk.context import Desk
from garboard.desk.missing import gaps_of
from garboard.desk.worked import Worked, worked
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey, fold
from garboard.notebook.problem import Refused
from garboard.notebook.sharing import shared
from garboard.report.compose import compose
from garboard.report.copies import Copy, copies
from garboard.report.document import (
    Document,
    FindingBlock,
    Heading,
    Picture,
    Pictures,
    pictures,
)
from garboard.report.sections.case import Kept
from garboard.report.typesetter import Pages, Standing
from garboard.report.typst_pdf import sources_of

MOST_AT_ONCE = 3
"""How many typesetters stand ready; each holds some 600 MiB for a report of 80 pages."""

IDLE = timedelta(minutes=10)
_MOST_MIB = 2048
_PATIENCE_S = 120.0
_LONG_EDGE_PX = 800


def as_it_leaves(desk: Desk, survey: Survey) -> Worked:
    """A survey without what is private, as its report is made of it, and what it means."""
    now = worked(desk, survey)
    # Worked out and kept with the survey as it is, so that it holds for every state of the same evidence.
    _ = now.results
    return now.once("as it leaves", lambda: Worked(desk, fold(shared(survey.entries)), now))


def as_if_kept(desk: Desk, survey: Survey, entries: Iterable[Entry[Any]]) -> Worked:
    """A survey as it leaves, as if some entries were kept."""
    now = as_it_leaves(desk, survey)
    added = tuple(entries)
    return Worked(desk, fold((*now.survey.entries, *added)), now) if added else now


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """A place to turn to: what it is called and its page."""

    name: str
    page: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The pages as they stand: how many, which to show, and where things are."""

    count: int
    page: int
    chapters: tuple[Chapter, ...]


class Previews:
    """The typesetters of a desk that stand ready. Safe to use from several threads at once."""

    def __init__(self, idle: timedelta = IDLE) -> None:
        """Begin none yet; end each when nobody has asked it for so long."""
        self._idle_s = idle.total_seconds()
        self._writing: OrderedDict[str, _Writing] = OrderedDict()
        self._lock = threading.Lock()

    def show(self, desk: Desk, by: str, worked: Worked, about: str = "") -> Shown:
        """Set the pages of a survey as it stands, kept or not.

        Args:
            desk: Where it is kept, with its photographs.
            by: Who is writing.
            worked: The survey and what it means.
            about: The label of what is being written.

        Raises:
            Refused: The instruction or the boat is missing.
            NotSet: The pages could not be set.
        """
        while True:
            # One that had to make room for others before its turn came shows nothing.
            if shown := self._of(by, worked.survey.id).show(desk, worked, about):
                return shown

    def draw(self, by: str, survey: str, page: int, *, ppi: float) -> bytes | None:
        """A page of those set last, as a JPEG; None where there is none."""
        with self._lock:
            writing = self._writing.get(f"{by} {survey}")
        return writing.draw(page, ppi) if writing else None

    def close(self) -> None:
        """End all of them."""
        with self._lock:
            ended = list(self._writing.values())
            self._writing.clear()
        for each in ended:
            each.end()

    def _of(self, by: str, survey: str) -> "_Writing":
        name = f"{by} {survey}"
        ended: list[_Writing] = []
        with self._lock:
            found = self._writing.get(name)
            if found is None:
                found = self._writing[name] = _Writing(
                    self._idle_s, lambda idle: self._drop(name, idle)
                )
            self._writing.move_to_end(name)
            while len(self._writing) > MOST_AT_ONCE:
                ended.append(self._writing.popitem(last=False)[1])
        for each in ended:
            each.end()
        return found

    def _drop(self, name: str, idle: "_Writing") -> None:
        with self._lock:
            # Another may have taken its place since.
            if self._writing.get(name) is idle:
                del self._writing[name]
        idle.end()


class _Writing:
    """One survey being written: its typesetter and what is kept from one change to the next."""

    def __init__(self, idle_s: float, on_idle: "Callable[[_Writing], None]") -> None:
        self._idle_s = idle_s
        self._on_idle = on_idle
        self._lock = threading.Lock()
        self._kept = Kept()
        self._copies: dict[str, Copy] = {}
        self._standing: Standing | None = None
        self._pages: Pages | None = None
        self._timer: threading.Timer | None = None
        self._is_ended = False

    def show(self, desk: Desk, worked: Worked, about: str) -> Shown | None:
        """The pages set; None where this has ended already."""
        with self._lock:
            if self._is_ended:
                return None
            self._begin()
            document = compose(
                worked.survey,
                worked.results,
                gaps_of(desk, worked),
                at=desk.now(),
                sounds=worked.sounds,
                kept=self._kept,
            )
            self._copies |= _copies(desk, document, self._copies)
            wanted = {each.copy: self._copies[each.copy] for each, _ in pictures(document)}
            chapters = list(_chapters(document))
            self._pages = self._ready().set(
                sources_of(document, wanted),
                [label for label, _ in chapters],
                _from_to(about, [label for label, _ in chapters]),
            )
            at = self._pages.at
            return Shown(
                count=self._pages.count,
                page=self._pages.shown,
                chapters=(
                    Chapter(name="Title page", page=1),
                    *(
                        Chapter(name=name, page=at[label])
                        for label, name in chapters
                        if label in at
                    ),
                ),
            )

    def draw(self, page: int, ppi: float) -> bytes | None:
        with self._lock:
            if self._standing is None or self._pages is None or not 1 <= page <= self._pages.count:
                return None
            self._begin()
            return self._standing.draw(page, ppi=ppi)

    def end(self) -> None:
        with self._lock:
            self._is_ended = True
            if self._timer:
                self._timer.cancel()
            if self._standing:
                self._standing.close()
            self._standing = None

    def _begin(self) -> None:
        """Count idleness from now on."""
        if self._timer:
            self._timer.cancel()
        self._timer = threading.Timer(self._idle_s, self._on_idle, (self,))
        self._timer.daemon = True
        self._timer.start()

    def _ready(self) -> Standing:
        """The typesetter; another where it ended, or has grown too large."""
        too_large = self._pages is not None and self._pages.mib > _MOST_MIB
        if self._standing and (self._standing.is_over or too_large):
            self._standing.close()
            self._standing = None
        if self._standing is None:
            self._pages = None
            self._standing = Standing(time_out_s=_PATIENCE_S)
        return self._standing


def _chapters(document: Document) -> Iterator[tuple[str, str]]:
    """What can be turned to: label and name."""
    for block in document.blocks:
        if isinstance(block, FindingBlock):
            yield block.label, f"{block.number}. {block.title}"
        elif isinstance(block, Heading) and block.level == 1 and block.label:
            yield block.label, block.text


def _from_to(about: str, known: list[str]) -> tuple[str, str]:
    """The label, and that of what comes after it."""
    if about not in known:
        return "", ""
    place = known.index(about)
    return about, known[place + 1] if place + 1 < len(known) else ""


def _copies(desk: Desk, document: Document, held: Collection[str]) -> dict[str, Copy]:
    """Copies of the document's photographs for a screen, but for those held already."""
    found: dict[str, Copy] = {}
    missing: dict[str, Picture] = {}
    for picture, _ in pictures(document):
        if picture.copy not in held:
            kept = desk.copies.get(picture.sha256, _kind(picture))
            if kept:
                found[picture.copy] = _read(kept)
            else:
                missing[picture.copy] = picture
    alone = replace(
        document, cover=None, blocks=(Pictures(pictures=tuple(missing.values()), across=1),)
    )
    for name, copy in copies(alone, lambda sha256: _original(desk, sha256), {1: _LONG_EDGE_PX}):
        found[name] = copy
        if copy.problem is None:
            desk.copies.put(missing[name].sha256, _kind(missing[name]), copy.jpeg)
    return found


def _kind(picture: Picture) -> str:
    return f"page-{picture.edits.key}" if picture.edits.key else "page"


def _read(jpeg: bytes) -> Copy:
    with Image.open(io.BytesIO(jpeg)) as opened:
        return Copy(jpeg=jpeg, width_px=opened.width, height_px=opened.height)


def _original(desk: Desk, sha256: str) -> bytes:
    try:
        return desk.blobs.read(sha256)
    except Refused as refused:
        raise LookupError(sha256) from refused


def previews_of(request: Request) -> Previews:
    """The previews of the desk that a request came to."""
    found: Previews = request.app.state.previews
    return found
