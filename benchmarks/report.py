"""A large report beside general-purpose ways of making the same one: 300 photographs, 2,000 readings.

    python benchmarks/report.py                             # the whole, about ten minutes
    python benchmarks/report.py --photographs 30 --runs 1    # to see that it works

The survey is the invented one of demo/harrowmere with more readings and with photographs of 12 megapixels
(3.2 MB each) made up here. Each row is a whole process, started anew, from the dossier to the finished
file; the rows take turns, and each figure is the median of the runs.

    floor          each photograph decoded, reduced and encoded by the libraries we use, on two threads,
                   to the sizes our layout asks for; nothing is read, composed, set or signed
    garboard       reading, working out, composing, setting, signing: the PDF we deliver
    weasyprint     the same dossier as our web page (three abreast at 640 px instead of 700), then set by
                   WeasyPrint as PDF/UA-1; not PDF/A, not signed, nothing inside
    libreoffice    the same dossier as our DOCX file, then set by LibreOffice as PDF/A-3 and PDF/UA-1;
                   not signed, nothing inside

How to read the figures. "wall" is what one waits, with the least and the most of the runs; it grows when
others use the computer. "cpu" is the processors' time of all processes together and grows less: where the
two tell different stories, believe cpu. "peak" is the most memory that all processes together held at one
moment, looked at fifty times a second; pages that two of them share are counted twice. "/floor" and "/ours"
are wall time over that row's wall time, and in brackets cpu over cpu. Compare rows of one run only, never
figures of two computers. The same layout was not asked of all: see the pages.

Linux only: memory is read from /proc. All files are made in a temporary folder and removed.
"""

import argparse
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image
from pyhanko.pdf_utils.reader import PdfFileReader
from ways import AT, THREADS, WAYS

from garboard.dossier.read import Dossier, read_dossier
from garboard.judgement.gaps import gaps
from garboard.methods.library import results_of
from garboard.notebook.body import ReadingSet
from garboard.notebook.fold import fold
from garboard.report.compose import compose
from garboard.report.copies import SLOT_PX
from garboard.report.document import pictures

DEMO = Path(__file__).parent.parent / "demo"
sys.path.insert(0, str(DEMO))
from certificate import key_file  # noqa: E402 - the demo is no package

READINGS = 2000
WIDTH_PX, HEIGHT_PX = 4000, 3000
LOOK_EVERY_S = 0.02


# Measuring


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One process and its children, from start to end."""

    wall_s: float
    cpu_s: float
    peak_mib: float


def measured(way: str, work: Path) -> Run:
    made = work / f"{way}.pdf"
    made.unlink(missing_ok=True)
    began = time.perf_counter()
    child = subprocess.Popen([sys.executable, Path(__file__).parent / "ways.py", way, work])
    peak = 0
    while not (ended := os.wait4(child.pid, os.WNOHANG))[0]:
        peak = max(peak, _held_bytes(child.pid))
        time.sleep(LOOK_EVERY_S)
    wall_s = time.perf_counter() - began
    _, status, usage = ended
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode or (way != "floor" and not made.exists()):
        raise SystemExit(f"{way} failed; see above.")
    return Run(wall_s=wall_s, cpu_s=usage.ru_utime + usage.ru_stime, peak_mib=peak / 2**20)


def _held_bytes(pid: int) -> int:
    """What a process and all below it hold in memory."""
    try:
        resident = int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * os.sysconf(
            "SC_PAGESIZE"
        )
        below = [
            int(child)
            for thread in Path(f"/proc/{pid}/task").iterdir()
            for child in (thread / "children").read_text().split()
        ]
    except (FileNotFoundError, ProcessLookupError):
        return 0
    return resident + sum(map(_held_bytes, below))


# The survey


def prepare(work: Path, photographs: int) -> None:
    """The demo's dossier with photographs and more readings, a key, and the sizes our layout asks for."""
    folder = work / "dossier"
    shutil.copytree(DEMO / "harrowmere", folder, ignore=shutil.ignore_patterns("photos"))
    _add_photographs(folder / "photos", photographs)
    _show_with_findings(folder / "findings", photographs)
    _add_readings(folder / "readings", READINGS - _readings(read_dossier(folder, AT)))
    key_file(work / "key.p12")

    dossier = read_dossier(folder, AT)
    survey = fold(dossier.entries)
    results = results_of(survey)
    document = compose(survey, results, gaps(survey, results), at=AT)
    sizes: dict[str, int] = {}
    for picture, across in pictures(document):
        name = dossier.files[picture.sha256].name
        sizes[name] = max(sizes.get(name, 0), SLOT_PX[across])
    (work / "sizes.json").write_text(json.dumps(sizes))
    print(
        f"{len(sizes)} photographs, {_readings(dossier)} readings, {len(dossier.entries)} entries."
    )


def _readings(dossier: Dossier) -> int:
    return sum(len(e.body.readings) for e in dossier.entries if isinstance(e.body, ReadingSet))


def _add_photographs(folder: Path, count: int) -> None:
    folder.mkdir()
    texture = _texture()
    numbers = range(1, count + 1)
    with ThreadPoolExecutor(THREADS) as workers:
        list(workers.map(lambda number: _photograph(folder, number, texture), numbers))
    rows = [f"{n},{n:04}.jpg,Bottom plating at mark {n},bottom-plate-thickness" for n in numbers]
    (folder / "photos.csv").write_text("\n".join(["photo,file,caption,part", *rows]) + "\n")


def _texture() -> NDArray[np.int16]:
    """Fine texture to lay over a scene, larger than a photograph: two grains, as paint and a sensor give."""
    dice = np.random.default_rng(0)
    shape = (HEIGHT_PX + 500, WIDTH_PX + 500)
    fine, coarse = (dice.normal(0, sigma, shape).astype(np.float32) for sigma in (14, 60))
    grain = cv2.GaussianBlur(fine, (0, 0), 0.6) + cv2.GaussianBlur(coarse, (0, 0), 4)
    return np.dstack([grain.astype(np.int16)] * 3)


def _photograph(folder: Path, number: int, texture: NDArray[np.int16]) -> None:
    """A smooth scene under texture, with what a camera notes; every fourth one stands upright."""
    dice = np.random.default_rng(number)
    patches = dice.integers(40, 216, (5, 6, 3), np.uint8)
    scene = cv2.resize(patches, (WIDTH_PX, HEIGHT_PX), interpolation=cv2.INTER_CUBIC)
    top, left = dice.integers(0, 500, 2)
    grain = texture[top : top + HEIGHT_PX, left : left + WIDTH_PX]
    noted = Image.Exif()
    noted[0x0112] = 1 if number % 4 else 6
    noted.get_ifd(0x8769)[36867] = f"2026:06:16 {9 + number // 60:02}:{number % 60:02}:00"
    picture = Image.fromarray(cv2.add(scene, grain, dtype=cv2.CV_8U))
    picture.save(folder / f"{number:04}.jpg", quality=90, exif=noted)


def _show_with_findings(folder: Path, photographs: int) -> None:
    """Two photographs with each finding, which stand larger there than in the sequence at the end."""
    for place, path in enumerate(sorted(folder.glob("*.md"))):
        text = path.read_text()
        if "\nphotos = " not in text and 2 * place + 2 <= photographs:
            shown = f"+++\nphotos = [{2 * place + 1}, {2 * place + 2}]\n"
            path.write_text(text.replace("+++\n", shown, 1))


def _add_readings(folder: Path, count: int) -> None:
    """Sound plate read once more on a closer grid, with the gauge and on the day of the demo's own set."""
    dice = np.random.default_rng(1)
    header = [
        line
        for line in (folder / "bottom-2026.csv").read_text().splitlines()
        if line.startswith("#")
    ]
    rows = [
        f"bottom-plate-thickness,{'port' if n % 2 else 'starboard'},"
        f"{2 + (n // 2 % 90) * 0.08:.2f},{-0.4 - (n // 180) * 0.12:.2f},{dice.normal(5.8, 0.04):.2f},6.0"
        for n in range(count)
    ]
    table = [*header, "part,side,station_m,level_m,as_read,original", *rows]
    (folder / "bottom-close-2026.csv").write_text("\n".join(table) + "\n")


# The table


def show(runs: Mapping[str, list[Run]], work: Path) -> None:
    wall = {way: statistics.median(run.wall_s for run in some) for way, some in runs.items()}
    cpu = {way: statistics.median(run.cpu_s for run in some) for way, some in runs.items()}
    peak = {way: statistics.median(run.peak_mib for run in some) for way, some in runs.items()}

    def beside(way: str, other: str) -> str:
        return f"{wall[way] / wall[other]:.2f} ({cpu[way] / cpu[other]:.2f})"

    line = "{:<12}{:>8}{:>15}{:>8}{:>10}{:>7}{:>7}{:>16}{:>16}"
    print(
        line.format(
            "", "wall s", "least to most", "cpu s", "peak MiB", "pages", "MB", "/floor", "/ours"
        )
    )
    for way, some in runs.items():
        times = [run.wall_s for run in some]
        pages, mb = _pages_and_mb(work / f"{way}.pdf")
        print(
            line.format(
                way,
                f"{wall[way]:.1f}",
                f"{min(times):.1f} to {max(times):.1f}",
                f"{cpu[way]:.1f}",
                f"{peak[way]:.0f}",
                pages,
                mb,
                beside(way, "floor"),
                beside(way, "garboard"),
            )
        )
    print()
    for goal, value, is_met in (
        (
            "at most 1.5 times the floor",
            beside("garboard", "floor"),
            wall["garboard"] <= 1.5 * wall["floor"],
        ),
        (
            "at least 5 times faster than LibreOffice",
            beside("libreoffice", "garboard"),
            wall["libreoffice"] >= 5 * wall["garboard"],
        ),
        (
            "never slower than WeasyPrint",
            beside("weasyprint", "garboard"),
            wall["weasyprint"] >= wall["garboard"],
        ),
        ("under 1024 MiB", f"{peak['garboard']:.0f} MiB", peak["garboard"] < 1024),
    ):
        print(f"{'met    ' if is_met else 'NOT met'}  {goal}: {value}")


def _pages_and_mb(pdf: Path) -> tuple[str, str]:
    if not pdf.exists():
        return "", ""
    with pdf.open("rb") as file:
        pages = PdfFileReader(file).root["/Pages"]["/Count"]
    return str(pages), f"{pdf.stat().st_size / 1e6:.1f}"


def main() -> None:
    parser = argparse.ArgumentParser(
        description="Measure a large report beside other ways of making it."
    )
    parser.add_argument("--photographs", type=int, default=300)
    parser.add_argument("--runs", type=int, default=3)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="garboard-bench-") as folder:
        work = Path(folder)
        print("Making the survey", flush=True)
        prepare(work, asked.photographs)
        runs: dict[str, list[Run]] = {way: [] for way in WAYS}
        for turn in range(1, asked.runs + 1):
            for way in WAYS:
                print(f"Turn {turn} of {asked.runs}: {way}", flush=True)
                runs[way].append(measured(way, work))
        print()
        show(runs, work)


if __name__ == "__main__":
    main()
