"""A typesetter that stands ready; run as a script, it answers one line of JSON on standard input after another.

The first line names `root` and `fonts`. Then {"set": labels, "about": [from, to]} compiles `main.typ` under the
root and answers how many `pages` there are, `at` which page each label stands, which page is `shown`, and how
much memory this process has held, in MiB; {"draw": page, "ppi": n} answers the page of the last compile as a JPEG.
An answer is a line of JSON, with `bytes` where so many follow it; `problem` says what went wrong. The end of
the input ends the process. Nothing of Garboard is imported.
"""

import json
import signal
import sys
from contextlib import suppress
from pathlib import Path
from typing import Any

import pypdfium2
import simplejpeg
import typst

_QUALITY = 90


class Pages:
    """One document, compiled again and again."""

    def __init__(self, root: str, fonts: list[str]) -> None:
        """Stand ready for `main.typ` under a root, which need not be there yet."""
        self._root = root
        self._fonts = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=False, font_paths=fonts
        )
        self._compiler: Any = None
        self._pdf: Any = None

    def set(self, labels: list[str], about: list[str]) -> dict[str, Any]:
        """Compile, and say what came out."""
        before = self._pdf
        self._compiler = self._compiler or typst.Compiler(
            str(Path(self._root) / "main.typ"),
            root=self._root,
            font_paths=self._fonts,
            ignore_system_fonts=True,
        )
        # Tags are for those who read the finished file, not for pictures of it.
        self._pdf = pypdfium2.PdfDocument(self._compiler.compile(format="pdf", pdf_tags=False))
        at = self._places(labels)
        first = at.get(about[0], 1)
        last = at.get(about[1], len(self._pdf)) if about[1] else first
        differing = (each for each in range(first, last + 1) if self._text(before, each) != self._text(self._pdf, each))  # fmt: skip
        shown = next(differing, first) if before else first
        if before:
            before.close()
        return {
            "pages": len(self._pdf),
            "at": at,
            "shown": shown,
            "mib": _mib(),
        }

    def draw(self, page: int, ppi: float) -> bytes:
        """A page as a JPEG."""
        drawn = self._pdf[page - 1].render(scale=ppi / 72)
        made: bytes = simplejpeg.encode_jpeg(
            drawn.to_numpy(), quality=_QUALITY, colorspace="BGR", colorsubsampling="444"
        )
        return made

    def _places(self, labels: list[str]) -> dict[str, int]:
        asked = "".join(f"{json.dumps(each)}," for each in labels)
        found = self._compiler.eval(f"({asked}).map(l => query(label(l)).map(it => it.location().page()))")  # fmt: skip
        pages = json.loads(found)
        return {label: each[0] for label, each in zip(labels, pages, strict=True) if each}

    @staticmethod
    def _text(pdf: Any, page: int) -> str:
        if pdf is None or page > len(pdf):
            return ""
        text: str = pdf[page - 1].get_textpage().get_text_bounded()
        return text


def _mib() -> int:
    """The memory this process has held at most, MiB; 0 where the system does not tell."""
    with suppress(ImportError):
        import resource

        held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        # In KiB, but on macOS in bytes.
        return int(held >> (20 if sys.platform == "darwin" else 10))
    return 0


def main() -> None:
    """Answer until the input ends."""
    # Ctrl+C is for the desk, which ends this process by ending its input.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    pages = Pages(**json.loads(sys.stdin.readline()))
    for line in sys.stdin:
        asked = json.loads(line)
        content = b""
        try:
            if "set" in asked:
                answer = pages.set(asked["set"], asked["about"])
            else:
                content = pages.draw(asked["draw"], asked["ppi"])
                answer = {"bytes": len(content)}
        except typst.TypstError as error:
            answer = {"problem": "\n".join([error.diagnostic or error.message, *error.hints])}
        sys.stdout.buffer.write(json.dumps(answer).encode() + b"\n" + content)
        sys.stdout.buffer.flush()


if __name__ == "__main__":
    main()
