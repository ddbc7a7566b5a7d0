"""The heart beside a general-purpose peer: folding entries, and reading a dossier of many readings.

    python benchmarks/fold.py

    json.loads        the lines of a notebook made into plain dictionaries, nothing checked
    read_lines        the same lines made into checked entries
    fold              those entries made into a survey; one in twenty is a correction, one in a hundred
                      a withdrawal
    csv.DictReader    the table of one reading set made into plain dictionaries, nothing checked
    read_dossier      the dossier that holds this table read into checked entries, ids worked out

How to read the figures. "s" is the median of five in this process, processor time, so that others on the
computer disturb it little; "us each" is that for one entry or one reading; "/peer" is how many times the
peer's time over the same content. The peer does the least that can be done with the bytes: the ratio is the
price of types, units, ranges, ids and corrections, and is to stay the same from 5,000 to 50,000. Compare
ratios, never seconds of two computers.
"""

import csv
import gc
import json
import random
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any

from garboard.dossier.read import read_dossier
from garboard.notebook.body import Place, Sounding, Withdrawal
from garboard.notebook.entry import Entry, lines, read_lines
from garboard.notebook.fold import fold
from garboard.notebook.ids import uuid7

BOAT = Path(__file__).parent.parent / "demo" / "harrowmere" / "boat.toml"
BEGAN = datetime(2026, 5, 12, 9, tzinfo=UTC)
SURVEY = str(uuid7(BEGAN, 0))
ENTRIES = (5_000, 50_000)
READINGS = 50_000
TIMES = 5


def notebook(count: int) -> tuple[Entry[Any], ...]:
    """Soundings of a bottom, with corrections and withdrawals of earlier ones."""
    dice = random.Random(0)
    entries: list[Entry[Any]] = []
    for number in range(count):
        at = BEGAN + timedelta(seconds=number)
        earlier = (dice.choice(entries).id,) if entries else ()
        is_withdrawal, is_correction = number % 100 == 99, number % 20 == 9
        entries.append(
            Entry(
                id=str(uuid7(at, dice.getrandbits(74))),
                survey=SURVEY,
                at=at,
                author="Ines Caldervane",
                device="tablet-1",
                body=Withdrawal() if is_withdrawal else _sounding(dice),
                replaces=earlier if is_withdrawal or is_correction else (),
                why="tapped twice" if is_withdrawal else None,
            )
        )
    return tuple(entries)


def _sounding(dice: random.Random) -> Sounding:
    place = Place(
        part="bottom-laminate",
        side=dice.choice(("port", "starboard")),
        station_m=round(dice.uniform(0.5, 9.5), 2),
        level_m=round(dice.uniform(-1.2, -0.1), 2),
    )
    return Sounding(place=place, heard=dice.choices(("sound", "dull", "hollow"), (95, 4, 1))[0])


def dossier(folder: Path, count: int) -> Path:
    """A dossier with nothing but the demo's boat and one reading set; gives the table of the set."""
    dice = random.Random(0)
    (folder / "readings").mkdir()
    shutil.copy(BOAT, folder)
    (folder / "survey.toml").write_text(
        f'survey = "{SURVEY}"\nauthor = "Ines Caldervane"\ndevice = "tablet-1"\nat = {BEGAN.isoformat()}\n'
    )
    table = folder / "readings" / "bottom.csv"
    rows = [
        f"bottom-plate-thickness,port,{dice.uniform(0.5, 13):.2f},{dice.uniform(-1.5, 0):.2f},"
        f"{dice.gauss(5.8, 0.1):.2f},6.0"
        for _ in range(count)
    ]
    head = "part,side,station_m,level_m,as_read,original"
    table.write_text(
        "\n".join(["# quantity: thickness", "# unit: mm", "# instrument: gauge A", head, *rows])
    )
    return table


def cpu_s(act: Callable[[], object]) -> float:
    """The median processor time of an act, s."""
    times = []
    for _ in range(TIMES):
        gc.collect()
        began = time.process_time()
        act()
        times.append(time.process_time() - began)
    return statistics.median(times)


def show(what: str, count: int, seconds: float, peer_s: float) -> None:
    print(
        f"{what:<16}{count:>8,}{seconds:>9.3f}{seconds / count * 1e6:>9.1f}{seconds / peer_s:>9.1f}",
        flush=True,
    )


def main() -> None:
    print(f"{'':<16}{'how many':>8}{'s':>9}{'us each':>9}{'/peer':>9}")
    for count in ENTRIES:
        entries = notebook(count)
        text = b"\n".join(lines(entries)).decode()
        peer_s = cpu_s(partial(plain_lines, text))
        show("json.loads", count, peer_s, peer_s)
        show("read_lines", count, cpu_s(partial(read_lines, text, "notebook")), peer_s)
        show("fold", count, cpu_s(partial(fold, entries)), peer_s)
    with tempfile.TemporaryDirectory(prefix="garboard-bench-") as name:
        table = dossier(Path(name), READINGS)
        peer_s = cpu_s(partial(plain_table, table))
        show("csv.DictReader", READINGS, peer_s, peer_s)
        show("read_dossier", READINGS, cpu_s(partial(read_dossier, Path(name), BEGAN)), peer_s)


def plain_lines(text: str) -> list[Any]:
    return [json.loads(line) for line in text.split("\n")]


def plain_table(table: Path) -> list[Any]:
    with table.open(newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


if __name__ == "__main__":
    main()
