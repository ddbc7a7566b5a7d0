"""A small dossier in the surveyor's own text, for tests to spoil."""

import io
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from PIL import Image

from garboard.dossier.read import Dossier, read_dossier
from garboard.notebook.fold import Survey, fold
from garboard.notebook.problem import Refused

NOW = datetime(2026, 12, 1, tzinfo=UTC)

SURVEY_TOML = """
survey = "019e1b6a-1e80-7000-8000-000000000001"
author = "Ines Caldervane"
device = "tablet-1"
at = 2026-05-12T09:00:00+01:00

[instruction]
client = "Tamsin Orrowby"
purpose = "buy"

[[conditions]]
lying = "ashore"
began = 2026-05-12T09:00:00+01:00
"""
BOAT_TOML = """
name = "Quillet"
loa = "33 ft 6 in"
beam_m = 3.35
material = "grp"
keel = "bolted-iron"
"""


def write(folder: Path, **files: str | bytes) -> Path:
    """A dossier with these files besides the two it cannot be without; "a__b_csv" is a/b.csv."""
    given: dict[str, str | bytes] = {"survey_toml": SURVEY_TOML, "boat_toml": BOAT_TOML, **files}
    for key, content in given.items():
        name, _, suffix = key.replace("__", "/").rpartition("_")
        path = folder / f"{name}.{suffix}"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content.encode() if isinstance(content, str) else content)
    return folder


def dossier(folder: Path, **files: str | bytes) -> Dossier:
    """The dossier as read."""
    return read_dossier(write(folder, **files), NOW)


def survey(folder: Path, **files: str | bytes) -> Survey:
    """The survey it folds to."""
    return fold(dossier(folder, **files).entries)


def refusal(folder: Path, **files: str | bytes) -> str:
    """What is said of a dossier that is refused; empty if it is not."""
    try:
        dossier(folder, **files)
    except Refused as refused:
        return str(refused)
    return ""


def picture(kind: str = "JPEG", size: tuple[int, int] = (640, 480), **options: Any) -> bytes:
    """A photograph's bytes: a smooth ramp, which every decoder can show."""
    ramp = Image.linear_gradient("L").resize(size).convert("RGB")
    out = io.BytesIO()
    ramp.save(out, kind, **options)
    return out.getvalue()
