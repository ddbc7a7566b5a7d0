"""The desk beside a general-purpose peer: entries pushed and pulled, pages opened, surveys searched.

    python benchmarks/desk.py

    garboard   our desk: entries checked by kind and range, vetted against the survey, kept in a table that only
               grows, folded, listed and made searchable in the same transaction
    django     Django REST framework on SQLite: a table and a serializer, the fields of an entry checked, its body
               any JSON; nothing folded, nothing searchable

Both are served by uvicorn in a process of their own, both commit with synchronous=FULL, and both are asked by the
same client on this computer. "entries/s" is the whole way over HTTP; "/peer" is how many times the peer's time ours
takes. The pages are ours alone: the median of several requests of a survey of 10,000 entries and 400 photographs,
after one that fills the caches, whose time stands beside it. "preview" is the demo's report with all its photographs:
from words of the summary sent to the changed page back as a picture, without the quarter of a second the page waits
for a pause in the typing. Compare ratios, never seconds of two computers.
"""

import json
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import httpx2
from fold import notebook

from garboard.dossier.read import read_dossier
from garboard.notebook.body import Instruction, Photo, Place
from garboard.notebook.entry import Entry, to_json
from garboard.notebook.ids import uuid7

HERE = Path(__file__).parent
ENTRIES, BATCH, PHOTOGRAPHS, SURVEYS, TIMES = 10_000, 500, 400, 1_000, 5
BEGAN = datetime(2026, 5, 12, 9, tzinfo=UTC)


@contextmanager
def served(name: str) -> Iterator[httpx2.Client]:
    """A client of a new server, which ends with it."""
    with tempfile.TemporaryDirectory(prefix="garboard-bench-") as folder:
        command = [sys.executable, HERE / "served.py", name, Path(folder) / "served"]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        try:
            port, token = process.stdout.readline().split(" ", 1)
            headers = {"authorization": f"Bearer {token.strip()}"}
            with httpx2.Client(base_url=f"http://127.0.0.1:{port}", headers=headers, timeout=300) as client:  # fmt: skip
                yield client
        finally:
            process.kill()
            process.wait()


def pushed_s(client: httpx2.Client, sent: list[bytes]) -> float:
    began = time.perf_counter()
    for body in sent:
        client.post("/api/entries", content=body, headers={"content-type": "application/json"}).raise_for_status()  # fmt: skip
    return time.perf_counter() - began


def pulled_s(client: httpx2.Client) -> float:
    began, cursor, more, count = time.perf_counter(), 0, True, 0
    while more:
        found = client.get("/api/entries", params={"since": cursor, "limit": 1000}).json()
        cursor, more, count = found["cursor"], found["more"], count + len(found["entries"])
    # A few corrections make no sense beside what they correct, and are refused by ours.
    assert count > 0.9 * ENTRIES, count
    return time.perf_counter() - began


def bodies(entries: list[Entry[Any]]) -> list[bytes]:
    shown = [to_json(each) for each in entries]
    return [json.dumps({"entries": shown[at : at + BATCH]}).encode() for at in range(0, len(shown), BATCH)]  # fmt: skip


def large_survey() -> list[Entry[Any]]:
    """The demo's sloop with soundings up to 10,000 entries and 400 photographs."""
    dossier = read_dossier(HERE.parent / "demo" / "quillet", datetime.now(UTC))
    survey = dossier.voice.survey
    photos = [
        Entry(
            id=str(uuid7(BEGAN + timedelta(seconds=n), n)),
            survey=survey,
            at=BEGAN + timedelta(seconds=n),
            author="Ines Caldervane",
            device="tablet-1",
            body=Photo(number=100 + n, file=f"{n}.jpg", sha256=f"{n:064x}", media_type="image/jpeg", caption=f"Photograph {n}", place=Place(part="keel-joint")),
        )
        for n in range(PHOTOGRAPHS - 74)
    ]  # fmt: skip
    more = notebook(ENTRIES - len(dossier.entries) - len(photos))
    rest = [Entry(**{name: getattr(each, name) for name in each.__slots__} | {"survey": survey}) for each in more]  # fmt: skip
    return [*dossier.entries, *photos, *rest]


def many_surveys() -> list[Entry[Any]]:
    return [
        Entry(
            id=str(uuid7(BEGAN, n * 2)),
            survey=str(uuid7(BEGAN, 10**6 + n)),
            at=BEGAN,
            author="Ines Caldervane",
            device="desk",
            body=Instruction(client=f"Client {n}", purpose="buy", questions=(f"Is the keel of boat {n} sound?",)),
        )
        for n in range(1, SURVEYS + 1)
    ]  # fmt: skip


def asked_ms(client: httpx2.Client, path: str) -> tuple[float, float]:
    """The first time and the median of the others, ms."""
    took = []
    for _ in range(TIMES + 1):
        began = time.perf_counter()
        client.get(path).raise_for_status()
        took.append(1000 * (time.perf_counter() - began))
    return took[0], statistics.median(took[1:])


def previewed_ms(client: httpx2.Client) -> tuple[float, float]:
    """From a changed summary to the picture of its page: the first time and the median of the others, ms."""
    dossier = read_dossier(HERE.parent / "demo" / "quillet", datetime.now(UTC))
    pushed_s(client, bodies(list(dossier.entries)))
    for sha256, path in dossier.files.items():
        sent = client.put(f"/api/files/{sha256}?offset=0", content=path.read_bytes())
        sent.raise_for_status()
        client.post(f"/api/files/{sha256}/finish").raise_for_status()
    base, took = f"/s/{dossier.voice.survey}", []
    for number in range(TIMES + 1):
        form = {"overall": f"Sound but for what is listed: draft {number}.", "about": "summary"}
        began = time.perf_counter()
        pages = client.post(f"{base}/report/summary/pages", data=form).raise_for_status().json()
        client.get(f"{base}/printed/{pages['page']}").raise_for_status()
        took.append(1000 * (time.perf_counter() - began))
    return took[0], statistics.median(took[1:])


def main() -> None:
    sent = bodies(list(notebook(ENTRIES)))
    print(f"{'':<28}{'entries/s':>10}{'/peer':>8}")
    peer: dict[str, float] = {}
    for name in ("django", "desk"):
        with served(name) as client:
            for what, seconds in (("pushed", pushed_s(client, sent)), ("pulled", pulled_s(client))):
                peer.setdefault(what, seconds)
                shown = "garboard" if name == "desk" else name
                print(f"{shown + ' ' + what:<28}{ENTRIES / seconds:>10,.0f}{seconds / peer[what]:>8.2f}", flush=True)  # fmt: skip
    with served("desk") as client:
        survey = large_survey()
        pushed_s(client, bodies(survey))
        pushed_s(client, bodies(many_surveys()))
        print(f"\n{'':<28}{'first ms':>10}{'ms':>8}")
        base = f"/s/{survey[0].survey}"
        for path in (f"{base}/", f"{base}/schedule", f"{base}/readings", f"{base}/photographs", f"{base}/findings", f"{base}/report", f"{base}/history", "/", "/search?q=keel", "/search?q=Quillet"):  # fmt: skip
            first, then = asked_ms(client, path)
            print(f"{path.removeprefix(base) or path:<28}{first:>10.0f}{then:>8.0f}", flush=True)
    with served("desk") as client:
        first, then = previewed_ms(client)
        print(f"{'preview':<28}{first:>10.0f}{then:>8.0f}", flush=True)


if __name__ == "__main__":
    main()
