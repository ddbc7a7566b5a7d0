"""What Garboard itself writes into a dossier: a new one to fill in, the rows of its schedule, an issue."""

import csv
import io
import tempfile
from collections.abc import Iterable
from datetime import datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

from garboard.catalogue.schedule import Called
from garboard.disk import write_whole
from garboard.dossier.layout import BOAT_TOML, EXAMINED_CSV, NOTEBOOK, SURVEY_TOML
from garboard.dossier.read import Dossier
from garboard.dossier.table import decode, separator_of
from garboard.judgement.states import covers
from garboard.notebook.body import Examination, Limitation
from garboard.notebook.entry import Entry, to_line
from garboard.notebook.ids import uuid7

_HEADINGS = ("at", "part", "side", "number", "extent", "how", "share_pct", "outcome", "found")


def start_dossier(
    folder: Path, *, boat: str, client: str, purpose: str, author: str, at: datetime, rand: int
) -> None:
    """Make a dossier to fill in; the folder appears whole or not at all.

    Args:
        folder: Must not exist, or be empty.
        boat: Her name.
        client: Who asks.
        purpose: A purpose of the vocabulary.
        author: Who surveys.
        at: When it is begun; aware.
        rand: 74 random bits for the survey's id.

    Raises:
        FileExistsError: There is something in the folder already.
    """
    if folder.exists() and any(folder.iterdir()):
        raise FileExistsError(f"{folder} is not empty; name a folder that is, or a new one.")
    stated = {
        "survey": str(uuid7(at, rand)),
        "author": author,
        "client": client,
        "purpose": purpose,
        "boat": boat,
        "at": at.isoformat(timespec="seconds"),
    }
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix=f".{folder.name}-") as scratch:
        draft = Path(scratch) / folder.name
        draft.mkdir()
        for name in ("photos", "readings", "findings"):
            (draft / name).mkdir()
        for name in (SURVEY_TOML, BOAT_TOML):
            text = files("garboard.dossier").joinpath("new", name).read_text("utf-8")
            for word, value in stated.items():
                text = text.replace(f"{{{word}}}", _quoted(value))
            (draft / name).write_text(text, encoding="utf-8")
        (draft / EXAMINED_CSV).write_text(",".join(_HEADINGS) + "\n", encoding="utf-8")
        if folder.exists():
            folder.rmdir()
        draft.rename(folder)


def add_schedule(folder: Path, dossier: Dossier, schedule: Iterable[Called]) -> int:
    """Add a row to examined.csv for each called place that has none; gives how many were added.

    A row that names only a place says nothing yet, and is passed over until it is filled in.
    """
    path = folder / EXAMINED_CSV
    text = decode(path.read_bytes(), EXAMINED_CSV, []) if path.exists() else ""
    head = next((line for line in text.splitlines() if line.strip()), ",".join(_HEADINGS))
    separator = separator_of(head)
    columns = [each.strip().lower() for each in next(csv.reader([head], delimiter=separator))]
    known = [e.body.place for e in dossier.entries if isinstance(e.body, Examination | Limitation)]
    missing = [
        each.place
        for each in schedule
        if not any(covers(place, each.place) for place in (*known, *dossier.open_places))
    ]
    if not missing:
        return 0
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, lineterminator="\n")
    writer.writerows(
        [getattr(place, column, None) or "" for column in columns] for place in missing
    )
    whole = text if text.strip() else head + "\n"
    added = (whole if whole.endswith("\n") else whole + "\n") + out.getvalue()
    write_whole(path, added.encode())
    return len(missing)


def add_line(folder: Path, entry: Entry[Any]) -> None:
    """Add an entry to the notebook lines of a dossier."""
    path = folder / NOTEBOOK
    text = path.read_text("utf-8") if path.exists() else ""
    whole = text if not text or text.endswith("\n") else text + "\n"
    write_whole(path, whole.encode() + to_line(entry) + b"\n")


def _quoted(text: str) -> str:
    """Text that can stand between the quotation marks of a TOML string."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return "".join(each if each.isprintable() else f"\\u{ord(each):04x}" for each in escaped)
