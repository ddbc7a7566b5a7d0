"""The ways from a dossier to a PDF that `report.py` measures, each run as a process of its own.

A process pays for what it imports, so each way imports its own.
"""

import json
import subprocess
import sys
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

AT = datetime(2026, 7, 1, 12, tzinfo=UTC)
PASSPHRASE = "invented"
THREADS = 2

_LIKE_OURS = {
    "SelectPdfVersion": {"type": "long", "value": "3"},
    "PDFUACompliance": {"type": "boolean", "value": "true"},
}

# As a grid of many rows, which is how browsers get the photographs, WeasyPrint 70 needs minutes or gives up.
_PLAIN = """
.photographs { display: block !important }
.photographs figure { display: inline-block !important; width: 31%; margin-right: 2% }
"""


def floor(work: Path) -> None:
    """What no way can do without: each photograph decoded, reduced and encoded, to the sizes given."""
    import cv2
    import simplejpeg

    def reduced(name: str, long_edge_px: int) -> int:
        original = (work / "dossier" / "photos" / name).read_bytes()
        pixels = simplejpeg.decode_jpeg(original, min_width=long_edge_px)
        height, width = pixels.shape[:2]
        size = (long_edge_px, round(long_edge_px * height / width))
        pixels = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA)
        return len(simplejpeg.encode_jpeg(pixels, quality=82, colorsubsampling="420"))

    sizes = json.loads((work / "sizes.json").read_text())
    with ThreadPoolExecutor(THREADS) as workers:
        list(workers.map(reduced, sizes, sizes.values()))


def garboard(work: Path) -> None:
    """Ours, whole: read, worked out, composed, set, signed."""
    from garboard.archive.sign import open_key

    key = open_key((work / "key.p12").read_bytes(), PASSPHRASE, at=AT)
    (work / "garboard.pdf").write_bytes(_made(work, "pdf", key=key))


def weasyprint(work: Path) -> None:
    """Our web page, set by WeasyPrint."""
    from weasyprint import CSS, HTML

    page = HTML(string=_made(work, "html").decode())
    page.write_pdf(
        work / "weasyprint.pdf", stylesheets=[CSS(string=_PLAIN)], pdf_variant="pdf/ua-1"
    )


def libreoffice(work: Path) -> None:
    """Our DOCX file, set by LibreOffice; its profile is kept, so that only the first run makes one."""
    word = work / "libreoffice.docx"
    word.write_bytes(_made(work, "docx"))
    profile = f"-env:UserInstallation={(work / 'profile').as_uri()}"
    kind = f"pdf:writer_pdf_Export:{json.dumps(_LIKE_OURS)}"
    subprocess.run(
        ["soffice", profile, "--headless", "--convert-to", kind, "--outdir", work, word],
        capture_output=True,
        check=True,
    )


WAYS: Mapping[str, Callable[[Path], None]] = {
    way.__name__: way for way in (floor, garboard, weasyprint, libreoffice)
}


def _made(work: Path, name: str, **how: Any) -> bytes:
    from garboard.archive.publish import published
    from garboard.dossier.read import read_dossier

    dossier = read_dossier(work / "dossier", AT)
    done = published(dossier.entries, dossier.files, at=AT, formats=(name,), **how)
    if done.is_draft:
        raise SystemExit(
            f"The survey has gaps, so its report is a draft and not signed: {done.gaps}"
        )
    return next(content for file, content in done.files.items() if file.endswith(f".{name}"))


if __name__ == "__main__":
    WAYS[sys.argv[1]](Path(sys.argv[2]))
