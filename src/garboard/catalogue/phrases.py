"""Wordings for common findings, with slots for what only the boat can say.

`phrases()` raises `CatalogueError`, which lists everything wrong with the data at once.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache, partial
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType

from garboard.catalogue.naming import capital
from garboard.catalogue.parts import Catalogue, catalogue
from garboard.catalogue.table import CatalogueError, Table, refuse_if_any, table_in, table_of
from garboard.notebook.problem import Problem

_SLOT = re.compile(r"(?P<before>,? ?)\{(?P<name>[^{}]*)\}")
_WORDED = ("title", "seen", "why", "because", "what", "by_whom", "verified", "caution")


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase:
    """A wording for a finding and its recommendation: what is seen, why it matters, by when, what to do.

    `parts` are the ids it fits; `urgency` with the reason in `because`; `what` the one act recommended,
    `by_whom` and how it is `verified`. Slots stand in braces, such as `{where}`.
    """

    id: str
    parts: tuple[str, ...]
    title: str
    seen: str
    why: str
    urgency: str
    because: str
    what: str
    by_whom: str
    verified: str
    caution: str = ""

    @property
    def slots(self) -> tuple[str, ...]:
        """The slots it leaves open, in the order in which they are met."""
        texts = (getattr(self, name) for name in _WORDED)
        return tuple(dict.fromkeys(slot["name"] for text in texts for slot in _SLOT.finditer(text)))

    def filled(self, **slots: object) -> "Phrase":
        """The phrase with its slots filled.

        Args:
            slots: A value for each slot; an empty text leaves the slot out, with the comma or blank before it.

        Raises:
            ValueError: A slot is not filled, or a value has no slot to go into.
        """
        if missing := [name for name in self.slots if name not in slots]:
            raise ValueError(f'The phrase "{self.id}" wants {_listed(missing)}.')
        if stray := [name for name in slots if name not in self.slots]:
            raise ValueError(f'The phrase "{self.id}" has no slot {_listed(stray)}.')
        fill = partial(_filled, {name: str(value).strip() for name, value in slots.items()})
        return replace(
            self,
            title=capital(fill(self.title)),
            seen=capital(fill(self.seen)),
            why=capital(fill(self.why)),
            because=fill(self.because),
            what=capital(fill(self.what)),
            by_whom=fill(self.by_whom),
            verified=fill(self.verified),
            caution=capital(fill(self.caution)),
        )


@cache
def phrases() -> Mapping[str, Phrase]:
    """The phrases of this release by id, in the order of their file.

    Raises:
        CatalogueError: The data are wrong; it lists all that is wrong with them.
    """
    return read_phrases(files("garboard.catalogue"), catalogue())


def phrases_for(part: str) -> tuple[Phrase, ...]:
    """The phrases that fit a part, by its id."""
    return tuple(each for each in phrases().values() if part in each.parts)


def read_phrases(root: Traversable, known: Catalogue) -> Mapping[str, Phrase]:
    """The phrases of `phrases.toml` under a root.

    Raises:
        CatalogueError: The file is wrong; it lists all that is wrong with it.
    """
    problems: list[Problem] = []
    return _in_table(table_of(root, "phrases.toml", problems), known, problems)


def read_phrase(text: str, where: str, known: Catalogue) -> Phrase:
    """A phrase of somebody's own, written as those of the catalogue are.

    Args:
        text: One table of TOML, named by the phrase's id.
        where: What to call its place in messages.
        known: What it may speak of.

    Raises:
        CatalogueError: It is wrong; it lists all that is wrong with it.
    """
    problems: list[Problem] = []
    found = _in_table(table_in(text, where, problems), known, problems)
    if len(found) != 1:
        problem = Problem(where=where, what=f"there are {len(found)} phrases", do="Write one table")
        raise CatalogueError([problem])
    return next(iter(found.values()))


def _in_table(table: Table, known: Catalogue, problems: list[Problem]) -> Mapping[str, Phrase]:
    found = {slug: _phrase(slug, table.inner(slug), known) for slug in table}
    refuse_if_any(problems)
    return MappingProxyType(found)


def _phrase(slug: str, table: Table, known: Catalogue) -> Phrase:
    if ("part" in table) == ("parts" in table):
        table.refuse("part", "a phrase fits one part or a list of parts", "Write part or parts")
    phrase = Phrase(
        id=slug,
        parts=(
            table.several_of("parts", known.parts)
            if "parts" in table
            else (table.one_of("part", known.parts),)
        ),
        title=table.text("title"),
        seen=table.text("seen"),
        why=table.text("why"),
        urgency=table.one_of("urgency", known.vocabulary.urgencies),
        because=table.text("because"),
        what=table.text("what"),
        by_whom=table.text("by_whom"),
        verified=table.text("verified"),
        caution=table.text("caution", needed=False),
    )
    for slot in phrase.slots:
        if slot not in known.vocabulary.slots:
            allowed = ", ".join(known.vocabulary.slots)
            table.refuse("", f"there is no slot {{{slot}}}", f"Use some of {allowed}")
    for name in _WORDED:
        if re.search(r"[{}]", _SLOT.sub("", getattr(phrase, name))):
            table.refuse(name, "a brace stands alone", "Close the slot or take the brace out")
    table.close()
    return phrase


def _filled(given: Mapping[str, str], text: str) -> str:
    """The text with each slot replaced; an empty value takes the comma or blank before the slot with it."""

    def value(slot: re.Match[str]) -> str:
        found = given[slot["name"]]
        return slot["before"] + found if found else ""

    return _SLOT.sub(value, text).strip()


def _listed(names: Iterable[str]) -> str:
    return ", ".join(f"{{{name}}}" for name in names)
