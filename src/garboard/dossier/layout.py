"""Which file of a dossier holds which kind of entry."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from garboard.notebook.body import (
    Amendment,
    Answer,
    Arrangement,
    Comparable,
    Conditions,
    ConflictCheck,
    Consent,
    Examination,
    Instruction,
    Instrument,
    InstrumentCheck,
    Limitation,
    Memo,
    Observation,
    Person,
    Photo,
    Recording,
    Remark,
    Sounding,
    Summary,
    Terms,
    Value,
)

SURVEY_TOML = "survey.toml"
BOAT_TOML = "boat.toml"
TOLD_MD = "told.md"
EXAMINED_CSV = "examined.csv"
FINDINGS = "findings"
READINGS = "readings"
NOTEBOOK = "notebook.jsonl"
ORIGINALS = "originals"
REPORT = "report"

SURVEY_TABLES: Mapping[str, type[Any]] = MappingProxyType(
    {
        "instruction": Instruction,
        "terms": Terms,
        "consent": Consent,
        "conflict_check": ConflictCheck,
        "arrangement": Arrangement,
        "person": Person,
        "conditions": Conditions,
        "instrument": Instrument,
        "instrument_check": InstrumentCheck,
        "summary": Summary,
        "comparable": Comparable,
        "value": Value,
        "answer": Answer,
        "amendment": Amendment,
        "remark": Remark,
    }
)
"""The tables of survey.toml; each may stand once, or several times as an array of tables."""

CSV_TABLES: Mapping[str, type[Any]] = MappingProxyType(
    {
        EXAMINED_CSV: Examination,
        "limitations.csv": Limitation,
        "observed.csv": Observation,
        "soundings.csv": Sounding,
        "photos/photos.csv": Photo,
        "memos/memos.csv": Memo,
        "strikes/strikes.csv": Recording,
    }
)
"""The tables that are spreadsheets, one row an entry."""

FILED: tuple[type[Photo | Memo | Recording], ...] = (Photo, Memo, Recording)
"""The kinds of entry that come with a file beside their table."""
