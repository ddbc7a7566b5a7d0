"""The typesetter: a folder of regular files in, PDF or pictures out.

It runs in a short-lived process with a time-out, sees only the files given to it, uses no packages and no
fonts but the report's own, and is told the time: the same input gives the same bytes.

Raises:
    NotSet: The typesetter refused the document or took too long; says what it said.
"""

import json
import re
import subprocess
import sys
import tempfile
from collections.abc import Mapping
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


def _run(
    sources: Mapping[str, bytes], output: str, options: Mapping[str, Any], time_out_s: float
) -> list[bytes]:
    with tempfile.TemporaryDirectory(prefix="garboard-report-") as folder:
        root, made = Path(folder) / "root", Path(folder) / "made"
        made.mkdir()
        for name, content in sources.items():
            path = root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
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
        said = _PATH.sub("report.typ", done.stderr.decode(errors="replace").strip())
        raise NotSet(f"The report could not be set. The typesetter said: {said}")
