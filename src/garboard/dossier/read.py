"""A folder of plain files read into entries: the same folder gives the same entries, with the same ids.

Everything wrong is collected and the folder refused whole (`Refused`); nothing is kept by halves.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from garboard.catalogue.parts import catalogue
from garboard.dossier.envelope import Voice, entry_of
from garboard.dossier.evidence import keys_of, resolved
from garboard.dossier.layout import (
    BOAT_TOML,
    CSV_TABLES,
    FILED,
    FINDINGS,
    NOTEBOOK,
    ORIGINALS,
    READINGS,
    REPORT,
    SURVEY_TABLES,
    SURVEY_TOML,
    TOLD_MD,
)
from garboard.dossier.pages import read_finding, read_reading_set, read_told
from garboard.dossier.photograph import format_of, sha256_of, taken_at
from garboard.dossier.settings import inward, load, split, tables
from garboard.dossier.table import decode, read_table
from garboard.notebook.body import (
    KINDS,
    Amendment,
    Boat,
    Cost,
    Examination,
    Finding,
    Issue,
    Memo,
    Photo,
    Place,
    ReadingSet,
    Recommendation,
    Recording,
    Told,
    Value,
)
from garboard.notebook.canonical import canonical
from garboard.notebook.entry import Entry, read_lines
from garboard.notebook.ids import is_uuid7
from garboard.notebook.numbering import next_at_the_desk
from garboard.notebook.problem import Problem, Refused, nearest
from garboard.notebook.shape import moment, read, write
from garboard.notebook.vet import Known, vet

_KIND_OF = {cls: kind for kind, cls in KINDS.items()}
_IGNORED = {".DS_Store", "Thumbs.db", "desktop.ini"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Dossier:
    """A dossier as read: its entries, and where the photographs and sounds lie, by SHA-256.

    `open_places` are rows of examined.csv that name a place and say nothing of it yet.
    """

    voice: Voice
    entries: tuple[Entry[Any], ...]
    files: Mapping[str, Path]
    open_places: tuple[Place, ...] = ()


def read_dossier(folder: Path, now: datetime) -> Dossier:
    """The entries of a dossier.

    Args:
        folder: The dossier.
        now: The time of reading; dates after it are refused.

    Raises:
        Refused: With everything that is wrong in any of its files.
    """
    if not folder.is_dir():
        raise Refused(
            [
                Problem(
                    where=str(folder),
                    what="there is no such folder",
                    do="Name the folder of a dossier",
                )
            ]
        )
    return _Reading(folder, now).whole()


class _Reading:
    """One pass over a folder, collecting entries and problems."""

    def __init__(self, folder: Path, now: datetime) -> None:
        self.folder = folder
        self.now = now
        self.problems: list[Problem] = []
        self.entries: list[Entry[Any]] = []
        self.where: dict[str, str] = {}
        self.files: dict[str, Path] = {}
        self.open_places: list[Place] = []
        self.like: Counter[tuple[str, bytes]] = Counter()

    def whole(self) -> Dossier:
        """The dossier, or Refused."""
        text = self._text(SURVEY_TOML, needed=True)
        data = load(text, SURVEY_TOML, self.problems)
        if self.problems:
            raise Refused(self.problems)
        voice = self._voice(data)
        if voice is None:
            raise Refused(self.problems)
        self.voice = voice
        self._survey(data, text)
        self._boat()
        for name, cls in CSV_TABLES.items():
            self._csv(name, cls)
        self._unlisted_photographs()
        self._originals()
        for row in read_told(self._text(TOLD_MD), TOLD_MD, self.problems):
            self._keep(Told, row.fields, row.envelope, f"{TOLD_MD}:{row.line}")
        for path in self._pages(READINGS, ".csv"):
            self._reading_set(path)
        history = self._history()
        self._amendments(data, text, history)
        keys = keys_of(self.entries)
        self._values(data, text, keys)
        for path in self._pages(FINDINGS, ".md"):
            self._finding(path, keys)
        self._strangers()
        words = catalogue().vocabulary
        known = Known(
            parts=catalogue().parts, how=words.how, reasons=words.reasons, fittings=words.fittings
        )
        vetted = vet([*self.entries, *history], known=known, now=self.now, where=self.where)
        self.problems += vetted.problems
        if not vetted.accepted and not self.problems:
            self.problems.append(
                Problem(
                    where=SURVEY_TOML,
                    what="the dossier says nothing yet",
                    do="Fill in [instruction]",
                )
            )
        if self.problems:
            raise Refused(self.problems)
        return Dossier(
            voice=self.voice,
            entries=vetted.accepted,
            files=self.files,
            open_places=tuple(self.open_places),
        )

    def _voice(self, data: Mapping[str, Any]) -> Voice | None:
        before = len(self.problems)
        wanted = {
            "survey": "the survey's id, a UUIDv7",
            "author": "who surveys",
            "device": "where it is written",
            "at": "when the survey began, with offset",
        }
        for name, words in wanted.items():
            if not str(data.get(name, "")).strip():
                self.problems.append(
                    Problem(where=f"{SURVEY_TOML} {name}", what="it is missing", do=f"Give {words}")
                )
        if len(self.problems) > before:
            return None
        if not is_uuid7(str(data["survey"])):
            self.problems.append(
                Problem(
                    where=f"{SURVEY_TOML} survey",
                    what=f"{data['survey']!r} is not a UUIDv7",
                    do="Copy the id of the survey",
                )
            )
        stated = data["at"]
        try:
            at = moment(stated.isoformat() if isinstance(stated, datetime) else str(stated))
        except ValueError as problem:
            self.problems.append(
                Problem(
                    where=f"{SURVEY_TOML} at",
                    what=str(problem),
                    do="Write it as 2026-05-12T09:00:00+01:00",
                )
            )
            return None
        if len(self.problems) > before:
            return None
        return Voice(
            survey=data["survey"], author=str(data["author"]), device=str(data["device"]), at=at
        )

    def _survey(self, data: Mapping[str, Any], text: str) -> None:
        for name in data:
            if name not in {*SURVEY_TABLES, "survey", "author", "device", "at"}:
                self.problems.append(
                    Problem(
                        where=f"{SURVEY_TOML} {name}",
                        what=f'there is no "{name}" in a survey',
                        do=nearest(name, SURVEY_TABLES),
                    )
                )
        for name, cls in SURVEY_TABLES.items():
            if cls in (Value, Amendment):
                continue
            for line, table in tables(data, text, name):
                where = f"{SURVEY_TOML}:{line} {name}"
                fields, stated = split(table)
                self._keep(cls, inward(cls, fields, where, self.problems), stated, where)

    def _amendments(self, data: Mapping[str, Any], text: str, history: tuple[Entry[Any], ...]) -> None:  # fmt: skip
        """Amendments; one that names no issue amends the latest."""
        issued = [entry.id for entry in history if isinstance(entry.body, Issue)]
        for line, table in tables(data, text, "amendment"):
            fields, stated = split(table)
            if isinstance(fields, dict) and issued:
                fields.setdefault("issue", max(issued))
            self._keep(Amendment, fields, stated, f"{SURVEY_TOML}:{line} amendment")

    def _values(self, data: Mapping[str, Any], text: str, keys: Mapping[str, tuple[str, ...]]) -> None:  # fmt: skip
        for line, table in tables(data, text, "value"):
            where = f"{SURVEY_TOML}:{line} value"
            fields, stated = split(table)
            fields = inward(Value, fields, where, self.problems)
            if isinstance(fields, dict) and "comparables" in fields:
                listed = self._listed(fields["comparables"], f"{where} comparables")
                fields["comparables"] = resolved(
                    listed, keys, f"{where} comparables", self.problems
                )
            self._keep(Value, fields, stated, where)

    def _boat(self) -> None:
        text = self._text(BOAT_TOML, needed=True)
        data = load(text, BOAT_TOML, self.problems)
        if data:
            fields, stated = split(data)
            self._keep(Boat, inward(Boat, fields, BOAT_TOML, self.problems), stated, BOAT_TOML)

    def _csv(self, name: str, cls: type[Any]) -> None:
        rows = read_table(self._text(name), name, cls, self.problems, leave_out=("media_type",))
        for row in rows:
            where = f"{name}:{row.line}"
            fields = dict(row.fields)
            if cls is Examination and set(fields) == {"place"}:
                self._open(fields["place"], where)
                continue
            if cls in FILED and not self._with_file(cls, name, fields, where):
                continue
            self._keep(cls, fields, row.envelope, where)

    def _open(self, place: Any, where: str) -> None:
        try:
            self.open_places.append(read(Place, place, where))
        except Refused as refused:
            self.problems += refused.problems

    def _with_file(self, cls: type[Any], name: str, fields: dict[str, Any], where: str) -> bool:  # fmt: skip
        """Whether the file of a photograph or a sound is there and unaltered; completes the fields."""
        folder = self.folder / name.rpartition("/")[0]
        path = folder / str(fields.get("file", ""))
        if (
            not fields.get("file")
            or not path.is_file()
            or path.resolve().parent != folder.resolve()
        ):
            self.problems.append(
                Problem(
                    where=f"{where} file",
                    what=f'there is no file "{fields.get("file", "")}" in {folder.name}/',
                    do="Put the file there, or take the row out",
                )
            )
            return False
        sha256 = sha256_of(path)
        if fields.setdefault("sha256", sha256) != sha256:
            self.problems.append(
                Problem(
                    where=f"{where} sha256",
                    what=f'"{fields["file"]}" has been altered since it was listed',
                    do="Bring back the original",
                )
            )
        self.files[sha256] = path
        if cls is Photo:
            fields.setdefault("number", self._next_number())
            fields.setdefault("caption", "")
            self._photograph(path, fields, where)
        return True

    def _next_number(self) -> int:
        return next_at_the_desk(
            each.body.number for each in self.entries if isinstance(each.body, Photo)
        )

    def _photograph(self, path: Path, fields: dict[str, Any], where: str) -> None:
        kind = format_of(path)
        if kind is None:
            self.problems.append(
                Problem(
                    where=f"{where} file",
                    what=f'"{path.name}" is no photograph we can print',
                    do="Use JPEG, HEIC, PNG or TIFF",
                )
            )
        fields["media_type"] = kind or "image/jpeg"
        if "taken" not in fields:
            taken = taken_at(path, self.voice.at.tzinfo)
            if taken:
                fields["taken"] = taken.isoformat()

    def _unlisted_photographs(self) -> None:
        """Photographs that nobody listed yet come in as well, unprinted, for the gaps to name."""
        listed = {entry.body.file for entry in self.entries if isinstance(entry.body, Photo)}
        folder = self.folder / "photos"
        for path in sorted(folder.iterdir()) if folder.is_dir() else ():
            if path.name in listed or path.name == "photos.csv" or _is_ignored(path):
                continue
            if path.is_dir():
                self.problems.append(
                    Problem(
                        where=f"photos/{path.name}",
                        what="photographs in a folder of their own are not read",
                        do="Put them into photos/ itself",
                    )
                )
                continue
            fields = {"file": path.name, "caption": "", "printed": False}
            where = f"photos/{path.name}"
            if self._with_file(Photo, "photos/photos.csv", fields, where):
                self._keep(Photo, fields, {}, where)

    def _originals(self) -> None:
        """Files that no table lists, kept by their hash for the entries in notebook.jsonl."""
        folder = self.folder / ORIGINALS
        for path in sorted(folder.iterdir()) if folder.is_dir() else ():
            if _is_ignored(path):
                continue
            if not path.is_file():
                self.problems.append(
                    Problem(
                        where=f"{ORIGINALS}/{path.name}",
                        what="a folder lies where only files belong",
                        do="Take it out",
                    )
                )
                continue
            sha256 = sha256_of(path)
            self.files.setdefault(sha256, path)
            if sha256 != path.name:
                self.problems.append(
                    Problem(
                        where=f"{ORIGINALS}/{path.name}",
                        what="this file has been altered since it was kept",
                        do="Bring back the original",
                    )
                )

    def _reading_set(self, path: Path) -> None:
        where = f"{READINGS}/{path.name}"
        text = decode(path.read_bytes(), where, self.problems)
        fields, stated = read_reading_set(text, where, path.stem, self.problems)
        self._keep(ReadingSet, fields, stated, where)

    def _finding(self, path: Path, keys: Mapping[str, tuple[str, ...]]) -> None:
        where = f"{FINDINGS}/{path.name}"
        page = read_finding(decode(path.read_bytes(), where, self.problems), where, self.problems)
        if page is None:
            return
        fields, stated = split(page.table)
        advice = fields.pop("recommendation", [])
        fields |= {"name": path.stem, "seen": page.seen, "why": page.why}
        for name in ("evidence", "photos"):
            listed = self._listed(fields.get(name, []), f"{where} {name}")
            words = [
                f"photo {each}" if name == "photos" and each.isdecimal() else each
                for each in listed
            ]
            fields[name] = resolved(words, keys, f"{where} {name}", self.problems)
        finding = self._keep(Finding, fields, stated, where)
        # What is recommended is read even then, so that every fault of a page is named at once.
        id_ = finding.id if finding else self.voice.survey
        for number, table in enumerate(advice if isinstance(advice, list) else [advice], 1):
            self._recommendation(id_, table, f"{where} recommendation {number}")

    def _listed(self, value: Any, where: str) -> list[str]:
        """A list of words; a single one counts as a list of one."""
        several = value if isinstance(value, list) else [value]
        if all(isinstance(each, str | int) and not isinstance(each, bool) for each in several):
            return [str(each) for each in several]
        self.problems.append(
            Problem(
                where=where,
                what="this is not a list of names",
                do='Write it as ["photo 12", "told 1"]',
            )
        )
        return []

    def _recommendation(self, finding: str, table: Any, where: str) -> None:
        fields, stated = split(table)
        costs = fields.pop("cost", []) if isinstance(fields, dict) else []
        if isinstance(fields, dict):
            fields["finding"] = finding
        entry = self._keep(Recommendation, fields, stated, where)
        id_ = entry.id if entry else finding
        for each in costs if isinstance(costs, list) else [costs]:
            fields, stated = split(each)
            fields = inward(Cost, fields, f"{where} cost", self.problems)
            if isinstance(fields, dict):
                fields["recommendation"] = id_
            self._keep(Cost, fields, stated, f"{where} cost")

    def _history(self) -> tuple[Entry[Any], ...]:
        """What plain files cannot say: replaced and withdrawn entries, kinds of a newer version, issues."""
        entries, problems = read_lines(self._text(NOTEBOOK), NOTEBOOK)
        self.problems += problems
        for entry in entries:
            if entry.survey != self.voice.survey:
                self.problems.append(
                    Problem(
                        where=NOTEBOOK,
                        what=f"the entry {entry.id} belongs to another survey",
                        do="Move it to the dossier of its own survey",
                    )
                )
        return entries

    def _strangers(self) -> None:
        """Files that no part of a dossier is made of are named, so that nothing in them is lost."""
        known = {
            SURVEY_TOML,
            BOAT_TOML,
            TOLD_MD,
            NOTEBOOK,
            *CSV_TABLES,
            FINDINGS,
            READINGS,
            ORIGINALS,
        }
        known |= {name.partition("/")[0] for name in CSV_TABLES}
        for path in sorted(self.folder.iterdir()):
            speaks = path.is_dir() or path.suffix.lower() in {
                ".csv",
                ".toml",
                ".md",
                ".tsv",
                ".jsonl",
            }
            if path.name in known | {REPORT} or _is_ignored(path) or not speaks:
                continue
            self.problems.append(
                Problem(
                    where=path.name,
                    what=f"no such {'folder' if path.is_dir() else 'file'} belongs to a dossier",
                    do=nearest(path.name, sorted(known), "Move it out of the dossier"),
                )
            )
        self._unlisted_sounds("memos", Memo, "spoken note", "its seconds")
        self._unlisted_sounds("strikes", Recording, "recorded strike", "its place")

    def _unlisted_sounds(self, name: str, cls: type[Any], thing: str, needs: str) -> None:
        listed = {entry.body.file for entry in self.entries if isinstance(entry.body, cls)}
        folder = self.folder / name
        for path in sorted(folder.iterdir()) if folder.is_dir() else ():
            if path.name not in listed | {f"{name}.csv"} and not _is_ignored(path):
                self.problems.append(
                    Problem(
                        where=f"{name}/{path.name}",
                        what=f"this {thing} is not listed",
                        do=f"Add a row with {needs} to {name}/{name}.csv",
                    )
                )

    def _keep(self, cls: type[Any], fields: Any, stated: Mapping[str, str], where: str) -> Entry[Any] | None:  # fmt: skip
        try:
            body = read(cls, fields, where)
        except Refused as refused:
            # A dossier writes money in whole units, under names without the ending.
            self.problems += [
                replace(
                    each, where=each.where.replace("_minor", ""), do=each.do.replace("_minor", "")
                )
                for each in refused.problems
            ]
            return None
        kind = _KIND_OF[cls]
        like = (kind, canonical(write(body)))
        entry = entry_of(body, kind, stated, self.voice, self.like[like], where, self.problems)
        self.like[like] += 1
        self.entries.append(entry)
        self.where[entry.id] = where
        return entry

    def _text(self, name: str, *, needed: bool = False) -> str:
        path = self.folder / name
        if not path.is_file():
            if needed:
                self.problems.append(
                    Problem(
                        where=name,
                        what="the file is missing",
                        do='Make a new dossier with "garboard start", or bring the file back',
                    )
                )
            return ""
        return decode(path.read_bytes(), name, self.problems)

    def _pages(self, name: str, suffix: str) -> Iterator[Path]:
        folder = self.folder / name
        for path in sorted(folder.iterdir()) if folder.is_dir() else ():
            if _is_ignored(path):
                continue
            if path.suffix.lower() != suffix:
                self.problems.append(
                    Problem(
                        where=f"{name}/{path.name}",
                        what=f"files in {name}/ end in {suffix}",
                        do="Rename or move the file",
                    )
                )
                continue
            yield path


def _is_ignored(path: Path) -> bool:
    return path.name.startswith(".") or path.name in _IGNORED
