"""Entries written as a folder of plain files, so that reading it gives the very same entries back.

What plain files cannot carry exactly (replaced and withdrawn entries, kinds of a newer version, issues, odd
spacing) goes into notebook.jsonl, line by line.
"""

import re
import shutil
import tempfile
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import tomli_w

from garboard.dossier.envelope import COLUMNS, Voice, stated_of
from garboard.dossier.evidence import in_words, keys_of
from garboard.dossier.layout import (
    BOAT_TOML,
    CSV_TABLES,
    FILED,
    FINDINGS,
    NOTEBOOK,
    ORIGINALS,
    READINGS,
    SURVEY_TABLES,
    SURVEY_TOML,
    TOLD_MD,
)
from garboard.dossier.pages import (
    FindingPage,
    read_finding,
    read_reading_set,
    read_told,
    write_finding,
    write_reading_set,
    write_told,
)
from garboard.dossier.photograph import format_of, taken_at
from garboard.dossier.settings import inward, outward
from garboard.dossier.table import cell_of, columns_of, decode, read_table, write_table
from garboard.notebook.body import (
    Amendment,
    Boat,
    Cost,
    Finding,
    Memo,
    Photo,
    Reading,
    ReadingSet,
    Recommendation,
    Recording,
    Told,
    Value,
)
from garboard.notebook.canonical import canonical
from garboard.notebook.entry import Entry, to_line
from garboard.notebook.fold import fold
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.shape import read, write

_NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,79}")
_FILE_NAME = re.compile(r"[^/\\\x00-\x1f.][^/\\\x00-\x1f]{0,200}")
_IN_TOML = frozenset({*SURVEY_TABLES.values(), Boat})
_IN_CSV = {cls: name for name, cls in CSV_TABLES.items()}


def write_dossier(
    entries: Iterable[Entry[Any]], folder: Path, voice: Voice, files: Mapping[str, Path]
) -> None:
    """Write a dossier; the folder appears whole or not at all.

    Args:
        entries: All entries of one survey.
        folder: Must not exist yet.
        voice: The author, device and time that the dossier states once.
        files: Where the photographs and sounds lie, by SHA-256.

    Raises:
        FileExistsError: The folder is there already.
        OSError: It could not be written.
    """
    if folder.exists():
        raise FileExistsError(f"{folder} is there already; name a folder that is not.")
    texts, copies = _laid_out(tuple(entries), voice, files)
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix=f".{folder.name}-") as scratch:
        draft = Path(scratch) / folder.name
        for name, text in texts.items():
            path = draft / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="\n")
        for name, source in copies.items():
            (draft / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(source, draft / name)
        draft.rename(folder)


def _laid_out(
    entries: tuple[Entry[Any], ...], voice: Voice, files: Mapping[str, Path]
) -> tuple[dict[str, str], dict[str, Path]]:
    survey = fold(entries)
    plain: dict[type[Any], list[Entry[Any]]] = defaultdict(list)
    taken: set[str] = set()
    for entry in survey.standing:
        if _is_carried(entry, voice, files, taken):
            plain[type(entry.body)].append(entry)
    _drop_orphans(plain)
    ordered = [
        entry
        for cls in (*SURVEY_TABLES.values(), Boat, *CSV_TABLES.values(), Told, ReadingSet)
        if cls not in (Value, Amendment)
        for entry in (
            sorted(plain[cls], key=lambda each: each.body.name) if cls is ReadingSet else plain[cls]
        )
    ]
    sheet = _Sheet(voice, keys_of(ordered))
    for entry in ordered:
        sheet.add(entry)
    for entry in (*plain[Amendment], *plain[Value]):
        sheet.add(entry)
    advice, costs = _by(plain[Recommendation], "finding"), _by(plain[Cost], "recommendation")
    for entry in sorted(plain[Finding], key=lambda each: f"{each.body.name}.md"):
        sheet.add_finding(entry, advice.get(entry.id, ()), costs)
    carried = {entry.id for found in plain.values() for entry in found}
    history = [entry for entry in (*survey.entries, *survey.clashes) if entry.id not in carried or entry in survey.clashes]  # fmt: skip
    texts = sheet.texts()
    if history:
        texts[NOTEBOOK] = "".join(f"{to_line(entry).decode()}\n" for entry in history)
    copies = {
        f"{_IN_CSV[cls].rpartition('/')[0]}/{entry.body.file}": files[entry.body.sha256]
        for cls in FILED
        for entry in plain[cls]
    }
    for entry in history:
        if isinstance(entry.body, FILED) and entry.body.sha256 in files:
            copies[f"{ORIGINALS}/{entry.body.sha256}"] = files[entry.body.sha256]
    return texts, copies


class _Sheet:
    """The files of a dossier, filled entry by entry in the order in which they are read."""

    def __init__(self, voice: Voice, keys: Mapping[str, tuple[str, ...]]) -> None:
        self.voice = voice
        self.keys = keys
        self.like: Counter[tuple[str, bytes]] = Counter()
        self.settings: dict[str, list[dict[str, Any]]] = defaultdict(list)
        self.boat: dict[str, Any] = {}
        self.rows: dict[str, list[dict[str, str]]] = defaultdict(list)
        self.told: list[tuple[dict[str, Any], dict[str, str]]] = []
        self.pages: dict[str, str] = {}

    def add(self, entry: Entry[Any]) -> None:
        """Put one entry where it belongs."""
        cls, stated, fields = type(entry.body), self._stated(entry), write(entry.body)
        if cls is Boat:
            self.boat = {**fields, **stated}
        elif cls is Told:
            self.told.append((fields, stated))
        elif cls is ReadingSet:
            page = write_reading_set(fields, stated, tuple(columns_of(Reading)))
            self.pages[f"{READINGS}/{entry.body.name}.csv"] = page
        elif cls in _IN_CSV:
            self.rows[_IN_CSV[cls]].append({**_cells(cls, fields), **stated})
        else:
            name = next(name for name, each in SURVEY_TABLES.items() if each is cls)
            if cls is Value:
                fields["comparables"] = in_words(fields.get("comparables", ()), self.keys)
            self.settings[name].append({**outward(fields), **stated})

    def add_finding(
        self,
        entry: Entry[Finding],
        advice: Iterable[Entry[Recommendation]],
        costs: Mapping[str, tuple[Entry[Cost], ...]],
    ) -> None:
        """Put a finding on its page, with what is recommended and what that may cost."""
        table = _front(entry.body, self.keys) | self._stated(entry)
        table["recommendation"] = []
        for each in advice:
            fields = write(each.body) | self._stated(each)
            del fields["finding"]
            fields["cost"] = []
            for cost in costs.get(each.id, ()):
                money = outward(write(cost.body)) | self._stated(cost)
                del money["recommendation"]
                fields["cost"].append(money)
            table["recommendation"].append({key: value for key, value in fields.items() if value != []})  # fmt: skip
        page = FindingPage(table=table, seen=entry.body.seen, why=entry.body.why)
        self.pages[f"{FINDINGS}/{entry.body.name}.md"] = write_finding(page)

    def texts(self) -> dict[str, str]:
        """The text of each file by its name."""
        head = {
            "survey": self.voice.survey,
            "author": self.voice.author,
            "device": self.voice.device,
            "at": self.voice.at.isoformat(),
        }
        tables = {name: found[0] if len(found) == 1 else found for name, found in self.settings.items()}  # fmt: skip
        texts = {
            SURVEY_TOML: tomli_w.dumps({**head, **tables}),
            BOAT_TOML: tomli_w.dumps(self.boat),
        }
        for name, rows in self.rows.items():
            headings = (*columns_of(CSV_TABLES[name], ("media_type",)), *COLUMNS)
            texts[name] = write_table(headings, rows)
        if self.told:
            texts[TOLD_MD] = write_told(self.told)
        return texts | self.pages

    def _stated(self, entry: Entry[Any]) -> dict[str, str]:
        like = (entry.kind, canonical(write(entry.body)))
        stated = stated_of(entry, self.voice, self.like[like])
        self.like[like] += 1
        return stated


def _cells(cls: type[Any], fields: Mapping[str, Any]) -> dict[str, str]:
    cells = {}
    for heading, (path, _) in columns_of(cls, ("media_type",)).items():
        value: Any = fields
        for step in path:
            value = value.get(step) if isinstance(value, Mapping) else None
        cells[heading] = cell_of(value)
    return cells


def front_of(finding: Finding, entries: Iterable[Entry[Any]]) -> dict[str, Any]:
    """The table in front of a finding's page, its evidence in words."""
    return _front(finding, keys_of(entries))


def _front(finding: Finding, keys: Mapping[str, tuple[str, ...]]) -> dict[str, Any]:
    table: dict[str, Any] = write(finding)
    for key in ("name", "seen", "why"):
        del table[key]
    table["evidence"] = in_words(finding.evidence, keys)
    table["photos"] = [
        int(each.removeprefix("photo ")) if each.startswith("photo ") else each
        for each in in_words(finding.photos, keys)
    ]
    return {key: value for key, value in table.items() if value != []}


def _drop_orphans(plain: dict[type[Any], list[Entry[Any]]]) -> None:
    """A recommendation is written on its finding's page, a cost with its recommendation, or not plainly at all."""
    findings = {entry.id for entry in plain[Finding]}
    plain[Recommendation] = [e for e in plain[Recommendation] if e.body.finding in findings]
    advice = {entry.id for entry in plain[Recommendation]}
    plain[Cost] = [entry for entry in plain[Cost] if entry.body.recommendation in advice]
    if len(plain[Boat]) > 1:
        plain[Boat] = plain[Boat][-1:]


def _by(entries: Iterable[Entry[Any]], name: str) -> dict[str, tuple[Entry[Any], ...]]:
    found: dict[str, tuple[Entry[Any], ...]] = {}
    for entry in entries:
        of = getattr(entry.body, name)
        found[of] = (*found.get(of, ()), entry)
    return found


def _is_carried(
    entry: Entry[Any], voice: Voice, files: Mapping[str, Path], taken: set[str]
) -> bool:
    """Whether a plain file gives this entry back exactly."""
    for text in (entry.author, entry.device, entry.why or "x"):
        if text != text.strip() or not text.isprintable() or not text:
            return False
    try:
        return entry.survey == voice.survey and _comes_back(entry.body, voice, files, taken)
    except (Refused, ValueError):
        return False


def _comes_back(body: Any, voice: Voice, files: Mapping[str, Path], taken: set[str]) -> bool:
    cls, fields = type(body), write(body)
    problems: list[Problem] = []
    back: Any = None
    if cls in FILED and not _has_file(body, voice, files, taken):
        return False
    if cls in _IN_CSV:
        headings = tuple(columns_of(cls, ("media_type",)))
        table = write_table(headings, [_cells(cls, fields)])
        rows = read_table(_as_file(table), "", cls, problems, leave_out=("media_type",))
        back = dict(rows[0].fields) if len(rows) == 1 else {}
        if cls is Photo:
            back = {"caption": "", **back, "media_type": body.media_type}
    elif cls in _IN_TOML or cls in (Recommendation, Cost):
        back = inward(cls, tomllib.loads(tomli_w.dumps(outward(fields))), "", problems)
    elif cls is Told:
        rows = read_told(_as_file(write_told([(fields, {})])), "", problems)
        back = rows[0].fields if len(rows) == 1 else {}
    elif cls is ReadingSet and _is_free(f"{READINGS}/{body.name}", body.name, taken):
        page = write_reading_set(fields, {}, tuple(columns_of(Reading)))
        back, _ = read_reading_set(_as_file(page), "", body.name, problems)
    elif cls is Finding and _is_free(f"{FINDINGS}/{body.name}", body.name, taken):
        page = write_finding(FindingPage(table=_front(body, {}), seen=body.seen, why=body.why))
        read_page = read_finding(_as_file(page), "", problems)
        if read_page is not None and not body.phrase:
            back = {**read_page.table, "name": body.name, "seen": read_page.seen, "why": read_page.why}  # fmt: skip
        elif read_page is not None:
            back = fields if read_page.seen == body.seen and read_page.why == body.why else None
    return back is not None and not problems and read(cls, back, "") == body


def _as_file(text: str) -> str:
    """A text as it comes back from a file."""
    return decode(text.encode(), "", [])


def _has_file(
    body: Photo | Memo | Recording, voice: Voice, files: Mapping[str, Path], taken: set[str]
) -> bool:
    path = files.get(body.sha256)
    is_table = _IN_CSV[type(body)].endswith(f"/{body.file}")
    if path is None or is_table or not _FILE_NAME.fullmatch(body.file):
        return False
    if isinstance(body, Photo):
        if format_of(path) != body.media_type:
            return False
        if body.taken is None and taken_at(path, voice.at.tzinfo) is not None:
            return False
    name = f"{type(body).__name__}/{body.file.lower()}"
    is_free = name not in taken
    taken.add(name)
    return is_free


def _is_free(key: str, name: str, taken: set[str]) -> bool:
    is_free = bool(_NAME.fullmatch(name)) and key not in taken
    taken.add(key)
    return is_free
