"""The typesetter: a folder of regular files in, PDF or pictures out.

It runs in a process of its own with a time-out, sees only the files given to it, uses no packages and no fonts
but the report's own. For what is finished the process is short-lived and is told the time: the same input gives
the same bytes. For what is being written one stands ready, and sets again in a moment what changed little.

Raises:
    NotSet: The typesetter refused the document or took too long; says what it said.
"""

import json
import re
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

from garboard.report.fonts import SANS_FOLDER, SERIF_FOLDER

_PATH = re.compile(r"\S*main\.typ")
TIME_OUT_S = 300.0
PDF_STANDARDS = ("a-3a", "ua-1")


class NotSet(RuntimeError):
    """The document could not be set."""


def pdf(sources: Mapping[str, bytes], *, issued_unix: int, time_out_s: float) -> bytes:
    """A PDF that is PDF/A-3a and PDF/UA-1 at once.

    Args:
        sources: Content by name; "main.typ" is the document, the rest is what it reads.
        issued_unix: The time written into the file, s since 1970.
        time_out_s: When to give up, s.
    """
    options = {"format": "pdf", "pdf_standards": PDF_STANDARDS, "timestamp": issued_unix}
    (made,) = _run(sources, "report.pdf", options, time_out_s)
    return made


def pngs(sources: Mapping[str, bytes], *, ppi: float, time_out_s: float) -> list[bytes]:
    """Each page as a PNG, at `ppi` pixels to the inch."""
    return _run(sources, "{0p}.png", {"format": "png", "ppi": ppi}, time_out_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pages:
    """How many pages were set, on which each label stands, and which of them to show.

    `mib` is the memory that setting them has taken so far, MiB.
    """

    count: int
    at: Mapping[str, int]
    shown: int
    mib: int


class Standing:
    """A typesetter that stands ready to set one document again and again. For one thread at a time.

    The operations raise `NotSet`, after which it may be asked again; `is_over` says that it may not.
    """

    def __init__(self, *, time_out_s: float) -> None:
        """Begin its process; give up any one answer after so long, s."""
        self.is_over = False
        self._time_out_s = time_out_s
        self._folder = tempfile.TemporaryDirectory(prefix="garboard-pages-")
        self._root = Path(self._folder.name)
        self._held: dict[str, bytes] = {}
        self._process = subprocess.Popen(  # noqa: S603 - this interpreter and our own script, no shell
            [sys.executable, "-I", str(files("garboard.report") / "compile_again.py")],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )
        self._say({"root": str(self._root), "fonts": [str(SERIF_FOLDER), str(SANS_FOLDER)]})

    def set(
        self, sources: Mapping[str, bytes], labels: Iterable[str], about: tuple[str, str]
    ) -> Pages:
        """Set the pages.

        Args:
            sources: Content by name, as for `pdf`.
            labels: What to find the pages of.
            about: Two of the labels, the second may be empty: the page shown is the first between them that
                differs from before, or else the one where the first stands.
        """
        for name in self._held.keys() - sources.keys():
            (self._root / name).unlink()
        for name, content in sources.items():
            if self._held.get(name) != content:
                _put(self._root / name, content)
        self._held = dict(sources)
        answer, _ = self._asked({"set": sorted(labels), "about": about})
        return Pages(
            count=answer["pages"], at=answer["at"], shown=answer["shown"], mib=answer["mib"]
        )

    def draw(self, page: int, *, ppi: float) -> bytes:
        """A page of those set last, from 1, as a JPEG at `ppi` pixels to the inch."""
        _, content = self._asked({"draw": page, "ppi": ppi})
        return content

    def close(self) -> None:
        """End the process and remove its files."""
        self.is_over = True
        self._process.kill()
        self._process.wait()
        for pipe in (self._process.stdin, self._process.stdout):
            assert pipe is not None
            # What it was not told any more cannot be sent now.
            with suppress(BrokenPipeError):
                pipe.close()
        self._folder.cleanup()

    def _say(self, words: Mapping[str, Any]) -> None:
        assert self._process.stdin is not None
        self._process.stdin.write(json.dumps(words).encode() + b"\n")
        self._process.stdin.flush()

    def _asked(self, words: Mapping[str, Any]) -> tuple[Mapping[str, Any], bytes]:
        assert self._process.stdout is not None
        answer: Mapping[str, Any] = {}
        content = b""
        with self._patience(), suppress(BrokenPipeError):
            self._say(words)
            line = self._process.stdout.readline()
            if line.endswith(b"\n"):
                answer = json.loads(line)
                content = self._process.stdout.read(answer.get("bytes", 0))
        # An answer broken off is none.
        if not answer or len(content) < answer.get("bytes", 0):
            self.is_over = True
            raise NotSet("The typesetter ended before it was done, or took too long. Try again.")
        if "problem" in answer:
            raise NotSet(_said(answer["problem"]))
        return answer, content

    @contextmanager
    def _patience(self) -> Iterator[None]:
        """Let the process end where it takes too long: reading from it then ends too."""
        timer = threading.Timer(self._time_out_s, self._process.kill)
        timer.daemon = True
        timer.start()
        try:
            yield
        finally:
            timer.cancel()


def _run(
    sources: Mapping[str, bytes], output: str, options: Mapping[str, Any], time_out_s: float
) -> list[bytes]:
    with tempfile.TemporaryDirectory(prefix="garboard-report-") as folder:
        root, made = Path(folder) / "root", Path(folder) / "made"
        made.mkdir()
        for name, content in sources.items():
            _put(root / name, content)
        job = {
            "root": str(root),
            "fonts": [str(SERIF_FOLDER), str(SANS_FOLDER)],
            "output": str(made / output),
            "compile": options,
        }
        _compile(job, time_out_s)
        return [path.read_bytes() for path in sorted(made.iterdir())]


def _compile(job: Mapping[str, Any], time_out_s: float) -> None:
    script = str(files("garboard.report") / "compile_once.py")
    try:
        done = subprocess.run(  # noqa: S603 - this interpreter and our own script, no shell
            [sys.executable, "-I", script],
            input=json.dumps(job).encode(),
            capture_output=True,
            timeout=time_out_s,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise NotSet(
            f"The report was not set within {time_out_s:g} s. Try again with fewer photographs."
        ) from error
    if done.returncode != 0:
        raise NotSet(_said(done.stderr.decode(errors="replace").strip()))


def _put(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def _said(words: str) -> str:
    return f"The report could not be set. The typesetter said: {_PATH.sub('report.typ', words)}"
