"""The zones and parts of a boat, read from the data files beside this one.

`catalogue()` raises `CatalogueError`, which lists everything wrong with the data at once.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType

from garboard.catalogue.applies import Applies, Facts, read_applies
from garboard.catalogue.table import Table, refuse_if_any, table_of
from garboard.catalogue.vocabulary import Vocabulary, read_vocabulary
from garboard.notebook.problem import Problem

_SLUG = re.compile(r"[a-z]+(-[a-z]+)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class More:
    """How many more of a part are usual on a boat longer than a length that meets a test."""

    add: int
    longer_than_m: int
    applies: Applies

    def counts(self, loa_m: float | None, facts: Facts) -> bool:
        """Whether they are to be expected; what nobody has stated of her does not speak against them."""
        is_longer = loa_m is None or loa_m > self.longer_than_m
        return is_longer and not self.applies.refusing(facts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A place on a boat that can be examined, and how a competent hand goes about it.

    `per` says how it is multiplied; where that is a number, `usual` says how many the smallest and plainest boat
    commonly has, and `more` how many come to them on others;
    `could_hide` completes "cannot be excluded", `would_lift` says what would lift the limitation; `limits`
    are the reasons that commonly keep it from being reached; `purposes` those that call for it; `if_asked`
    parts are called for only where the instruction names them, `trial` parts only where a trial was agreed;
    one that `is_duty` is the surveyor's own and no place of the boat; `caution` is shown before the work.
    """

    id: str
    zone: str
    name: str
    applies: Applies
    per: str
    usual: int
    more: tuple[More, ...]
    how: tuple[str, ...]
    steps: str
    look_for: tuple[str, ...]
    could_hide: str
    would_lift: str
    limits: tuple[str, ...]
    purposes: tuple[str, ...]
    basis: str
    caution: str = ""
    if_asked: bool = False
    trial: bool = False
    is_duty: bool = False

    def usual_on(self, loa_m: float | None, facts: Facts) -> int:
        """How many there commonly are on a boat.

        Args:
            loa_m: Length of her hull, m; above 0, or None where nobody has stated it.
            facts: What is stated of her.
        """
        return self.usual + sum(each.add for each in self.more if each.counts(loa_m, facts))


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A region of the boat with its parts in the order in which they are met."""

    slug: str
    name: str
    intro: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """All zones in order, all parts by id, and the vocabularies they are written in."""

    zones: tuple[Zone, ...]
    parts: Mapping[str, Part]
    vocabulary: Vocabulary


@cache
def catalogue() -> Catalogue:
    """The catalogue of this release.

    Raises:
        CatalogueError: The data files are wrong; it lists all that is wrong with them.
    """
    return read_catalogue(files("garboard.catalogue"))


def is_duty(part: str) -> bool:
    """Whether a part is a duty of the surveyor's own; one that this version does not know is a place."""
    known = catalogue().parts.get(part)
    return known is not None and known.is_duty


def read_catalogue(root: Traversable) -> Catalogue:
    """The catalogue written under a root: `vocabulary.toml`, `fittings.toml`, `parts/<zone>.toml`.

    Raises:
        CatalogueError: The files are wrong; it lists all that is wrong with them.
    """
    problems: list[Problem] = []
    vocabulary = read_vocabulary(root, problems)
    zones = tuple(_zone(root, slug, vocabulary, problems) for slug in vocabulary.zones)
    _refuse_doubles(zones, problems)
    _refuse_strays(root, vocabulary, problems)
    _refuse_idle_fittings(zones, vocabulary, problems)
    refuse_if_any(problems)
    parts = {part.id: part for zone in zones for part in zone.parts}
    return Catalogue(zones=zones, parts=MappingProxyType(parts), vocabulary=vocabulary)


def _zone(root: Traversable, slug: str, vocabulary: Vocabulary, problems: list[Problem]) -> Zone:
    path = f"parts/{slug}.toml"
    table = table_of(root, path, problems)
    if not len(table):
        return Zone(slug=slug, name="", intro="", parts=())
    if table.text("zone") not in ("", slug):
        table.refuse("zone", f"the file of {slug} names another zone", f'Write "{slug}"')
    zone = Zone(
        slug=slug,
        name=table.text("name"),
        intro=table.text("intro"),
        parts=tuple(_part(each, slug, path, vocabulary, problems) for each in table.tables("part")),
    )
    table.close()
    return zone


def _part(
    cells: object, zone: str, path: str, vocabulary: Vocabulary, problems: list[Problem]
) -> Part:
    named = cells.get("id") if isinstance(cells, dict) else None
    table = Table(f"{path}: {named or 'a part without id'}", cells, problems)
    usual = table.count("usual")
    part = Part(
        id=table.text("id"),
        zone=zone,
        name=table.text("name"),
        applies=read_applies(table, vocabulary),
        per=table.one_of("per", vocabulary.per),
        usual=usual or 1,
        more=_more(table, vocabulary) if "more" in table else (),
        how=table.several_of("how", vocabulary.how),
        steps=table.text("steps"),
        look_for=table.texts("look_for"),
        could_hide=table.text("could_hide"),
        would_lift=table.text("would_lift"),
        limits=table.several_of("limits", vocabulary.reasons, needed=False),
        purposes=table.several_of(
            "purposes", vocabulary.purposes, vocabulary.groups.get("purposes")
        ),
        basis=table.text("basis"),
        caution=table.text("caution", needed=False),
        if_asked=table.flag("if_asked"),
        trial=table.flag("trial"),
        is_duty=table.flag("duty"),
    )
    if part.more and usual is None:
        table.refuse("more", "nothing is there to add to", "Give a usual number first")
    if ("number" in part.per) != (usual is not None):
        table.refuse(
            "usual",
            f'a part per "{part.per}" {"has" if usual else "lacks"} a usual number',
            "Give one where the part is numbered, and only there",
        )
    table.close()
    return part


def _more(table: Table, vocabulary: Vocabulary) -> tuple[More, ...]:
    found: list[More] = []
    for cells in table.tables("more"):
        row = Table(f"{table.where} more", cells, table.problems)
        if "longer_than_m" not in row and "applies" not in row:
            row.refuse("", "this asks nothing of the boat", "Add it to the usual number instead")
        found.append(
            More(
                add=row.count("add") or 0,
                longer_than_m=row.count("longer_than_m") or 0,
                applies=read_applies(row, vocabulary),
            )
        )
        if "add" not in row:
            row.refuse("add", "it is missing", "Say how many more there are")
        row.close()
    return tuple(found)


def _refuse_doubles(zones: Iterable[Zone], problems: list[Problem]) -> None:
    seen: dict[str, str] = {}
    for part in (part for zone in zones for part in zone.parts):
        where = f"parts/{part.zone}.toml: {part.id}"
        if not _SLUG.fullmatch(part.id):
            problems.append(
                Problem(where=where, what="this is no slug", do="Use small letters and hyphens")
            )
        if part.id in seen:
            problems.append(
                Problem(
                    where=where,
                    what=f"parts/{seen[part.id]}.toml has a part of this id already",
                    do="Give one of them another id",
                )
            )
        seen.setdefault(part.id, part.zone)


def _refuse_strays(root: Traversable, vocabulary: Vocabulary, problems: list[Problem]) -> None:
    folder = root.joinpath("parts")
    names = sorted(each.name for each in folder.iterdir()) if folder.is_dir() else ()
    problems.extend(
        Problem(
            where=f"parts/{name}",
            what="no zone has this name",
            do="Add it to zones in vocabulary.toml, or take the file away",
        )
        for name in names
        if name.endswith(".toml") and name.removesuffix(".toml") not in vocabulary.zones
    )


def _refuse_idle_fittings(
    zones: Iterable[Zone], vocabulary: Vocabulary, problems: list[Problem]
) -> None:
    asked = {slug for zone in zones for part in zone.parts for slug in part.applies.asks("fitted")}
    problems.extend(
        Problem(
            where=f"fittings.toml: {slug}",
            what="no part turns on this fitting",
            do="Name it in the applies of a part, or take it out",
        )
        for slug in vocabulary.fittings
        if slug not in asked
    )
