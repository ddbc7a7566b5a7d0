"""What a page says first: what was just kept, carried once through the redirect; or what has to be mended in its form."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from html.parser import HTMLParser
from typing import Any
from urllib.parse import quote, unquote

from starlette.requests import Request
from starlette.responses import Response

from garboard.desk.context import desk_of
from garboard.desk.labels import counted_kind, kind_words
from garboard.desk.told import about, line_of
from garboard.notebook.body import Withdrawal
from garboard.notebook.entry import Entry

COOKIE = "said"
_LASTS_S = 60
_MOST = 160
_WITHOUT_END = frozenset({"br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """A field that has to be mended: its id on the page, what it is called, and what is wrong."""

    id: str
    label: str
    words: str


# What was kept


def say(request: Request, words: str) -> None:
    """Say something on the page that this request leads to."""
    request.state.note = words


def add_kept(request: Request, entries: Sequence[Entry[Any]]) -> None:
    """Say that entries were kept, together with those this request kept before."""
    request.state.kept = kept = (*getattr(request.state, "kept", ()), *entries)
    say(request, _in_words(request, kept))


def carried(request: Request, answer: Response) -> Response:
    """An answer that leads to another page takes along what that page is to say."""
    words = getattr(request.state, "note", "")
    if words and answer.status_code == 303:
        answer.set_cookie(
            COOKIE,
            quote(words),
            max_age=_LASTS_S,
            httponly=True,
            samesite="lax",
            secure=request.url.scheme == "https",
        )
    return answer


def note_of(request: Request) -> str:
    """What a page is to say first, of this request or of the one that led to it."""
    words: str = getattr(request.state, "note", "")
    return words or unquote(request.cookies.get(COOKIE, ""))


def note_within(request: Request) -> str:
    """The same, for a part that htmx puts into a page whose top stays as it is."""
    return note_of(request) if request.headers.get("hx-request") else ""


def _in_words(request: Request, entries: Sequence[Entry[Any]]) -> str:
    if len(entries) == 1:
        return _one_in_words(request, entries[0])
    is_back = all(isinstance(each.body, Withdrawal) for each in entries)
    kinds = Counter(_subject(request, each)[0].kind for each in entries)
    told = ", ".join(counted_kind(kind, number) for kind, number in kinds.items())
    return f"{'Taken back' if is_back else 'Kept'}: {told}."


def _one_in_words(request: Request, entry: Entry[Any]) -> str:
    subject, is_in_force = _subject(request, entry)
    done = "Kept"
    if isinstance(entry.body, Withdrawal):
        done = "Put back" if is_in_force else "Taken back"
    elif entry.replaces:
        done = "Corrected"
    line = line_of(subject.body)
    short = line if len(line) <= _MOST else f"{line[:_MOST].rstrip()}…"
    return f"{done}: {kind_words(subject.kind)} “{short.rstrip('.')}”."


def _subject(request: Request, entry: Entry[Any]) -> tuple[Entry[Any], bool]:
    """What an entry is about first, itself or what it takes back, and whether that is in force by it."""
    survey = desk_of(request).surveys.get(entry.survey)
    found, is_in_force = about(survey, entry) if survey else ((), True)
    return (found[0] if found else entry), is_in_force


# What has to be mended


def mends_in(page: str) -> tuple[Mend, ...]:
    """The fields that a page marks as wrong, in its order; asked of the page itself, so that none is forgotten.

    Args:
        page: HTML whose wrong fields bear an id and `aria-invalid` (a group of them `data-wrong`), and name by
            `aria-describedby` what holds the words of class "problem".
    """
    found = _Marked()
    found.feed(page)
    found.close()
    return tuple(
        Mend(
            id=each,
            label=" ".join(found.labels[each].split()),
            words=" ".join(found.problems[about].split()),
        )
        for each, about in found.wrong.items()
    )


class _Marked(HTMLParser):
    """Reads the wrong fields of a page by id, with their labels, and problems by the id of what holds them."""

    def __init__(self) -> None:
        super().__init__()
        self.wrong: dict[str, str] = {}
        self.labels: defaultdict[str, str] = defaultdict(str)
        self.problems: defaultdict[str, str] = defaultdict(str)
        # Of every element that is open: its tag, the nearest id, and where its words go.
        self._open: list[tuple[str, str, tuple[defaultdict[str, str], str] | None]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        classes = given.get("class", "").split()
        _, near, into = self._open[-1] if self._open else ("", "", None)
        near = given.get("id", near)
        if (given.get("aria-invalid") == "true" or "data-wrong" in given) and "id" in given:
            self.wrong[near] = given.get("aria-describedby", "")
        if tag in _WITHOUT_END:
            return
        if tag == "label":
            into = (self.labels, given.get("for", ""))
        elif tag == "legend":
            into = (self.labels, near)
        elif "problem" in classes:
            into = (self.problems, near)
        elif "quiet" in classes:
            into = None
        self._open.append((tag, near, into))

    def handle_endtag(self, tag: str) -> None:
        if any(tag == each for each, _, _ in self._open):
            while self._open.pop()[0] != tag:
                pass

    def handle_data(self, data: str) -> None:
        into = self._open[-1][2] if self._open else None
        if into:
            words, name = into
            words[name] += f"{data} "
