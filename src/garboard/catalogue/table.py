"""A table of a data file, read cell by cell; what is wrong with it is collected, never raised at once.

Raises nothing itself. Loaders end with `refuse_if_any`, which raises `CatalogueError` with everything found.
"""

import tomllib
from collections.abc import Collection, Iterator, Mapping
from importlib.resources.abc import Traversable
from typing import Any

from garboard.notebook.problem import Problem, Refused

Groups = Mapping[str, tuple[str, ...]]


class CatalogueError(Refused):
    """The data of the catalogue refused whole; `problems` lists everything that is wrong with it."""


class Table:
    """One table of a data file; each cell is asked for once, and `close` reports those nobody asked for."""

    def __init__(self, where: str, cells: object, problems: list[Problem]) -> None:
        """Take the cells of a table that stands at a place, such as `parts/keel.toml: keel-bolt`."""
        self.where = where
        self.problems = problems
        self._cells: Mapping[str, Any] = cells if isinstance(cells, dict) else {}
        self._asked: set[str] = set()
        if not isinstance(cells, dict):
            self.refuse("", f"{cells!r} is not a table", "Write a table of keys and values")

    def __contains__(self, key: str) -> bool:
        """Whether the cell was written."""
        return key in self._cells

    def refuse(self, key: str, what: str, do: str) -> None:
        """Keep one problem of a cell."""
        self.problems.append(Problem(where=f"{self.where} {key}".rstrip(), what=what, do=do))

    def text(self, key: str, *, needed: bool = True) -> str:
        """A cell of words; empty where it may be left out and was."""
        value = self._taken(key)
        if value is None and not needed:
            return ""
        if not isinstance(value, str) or value != value.strip() or not value:
            self.refuse(
                key, f"{value!r} is not a text without blanks around it", "Write some words"
            )
            return ""
        return value

    def one_of(self, key: str, among: Collection[str]) -> str:
        """A cell with one word of a closed vocabulary."""
        value = self.text(key)
        if value and value not in among:
            self.refuse(key, f'"{value}" is not known', f"Use one of {', '.join(among)}")
        return value

    def texts(self, key: str, *, needed: bool = True) -> tuple[str, ...]:
        """A cell with a list of words, each once."""
        value = self._taken(key)
        if value is None and not needed:
            return ()
        if not isinstance(value, list) or not value:
            self.refuse(key, f"{value!r} is not a list", "Write a list with at least one entry")
            return ()
        for each in value:
            is_word = isinstance(each, str | int) and not isinstance(each, bool)
            if not is_word or not str(each).strip() or str(each) != str(each).strip():
                self.refuse(key, f"{each!r} is not a text without blanks around it", "Correct it")
        words = tuple(map(str, value))
        for each in sorted({word for word in words if words.count(word) > 1}):
            self.refuse(key, f'"{each}" stands twice', "Write it once")
        return words

    def several_of(
        self,
        key: str,
        among: Collection[str],
        groups: Groups | None = None,
        *,
        needed: bool = True,
    ) -> tuple[str, ...]:
        """A cell with words of a closed vocabulary, or names of groups of them, which are opened out."""
        opened: dict[str, None] = {}
        for each in self.texts(key, needed=needed):
            found = (groups or {}).get(each, (each,))
            opened.update(dict.fromkeys(found))
            if found == (each,) and each not in among:
                known = (*among, *(groups or {}))
                self.refuse(key, f'"{each}" is not known', f"Use some of {', '.join(known)}")
        return tuple(opened)

    def flag(self, key: str) -> bool:
        """A cell that is true or left out."""
        value = self._taken(key)
        if value not in (None, True):
            self.refuse(key, f"{value!r} is not true", "Write true or leave the key out")
        return value is True

    def count(self, key: str) -> int | None:
        """A cell with a whole number above zero, or None where it was left out."""
        value = self._taken(key)
        if value is None:
            return None
        if not isinstance(value, int) or isinstance(value, bool) or value < 1:
            self.refuse(
                key, f"{value!r} is not a number of things", "Write a whole number above zero"
            )
            return None
        return value

    def tables(self, key: str) -> Iterator[object]:
        """The entries of a list of tables, unread."""
        value = self._taken(key)
        if not isinstance(value, list) or not value:
            self.refuse(key, "there is no list of tables here", f"Write at least one [[{key}]]")
            return
        yield from value

    def inner(self, key: str) -> "Table":
        """A table within this one; an empty one where it was left out."""
        value = self._taken(key)
        return Table(f"{self.where} {key}", {} if value is None else value, self.problems)

    def __iter__(self) -> Iterator[str]:
        """The keys as they were written."""
        return iter(self._cells)

    def __len__(self) -> int:
        """How many keys were written."""
        return len(self._cells)

    def close(self) -> None:
        """Refuse every cell that nobody asked for."""
        for key in self._cells:
            if key not in self._asked:
                self.refuse(key, "this key is not known", "Correct its name or take it out")

    def _taken(self, key: str) -> Any:
        self._asked.add(key)
        return self._cells.get(key)


def table_of(root: Traversable, path: str, problems: list[Problem]) -> Table:
    """A data file as a table; an empty one, and a problem, where it is missing or is not TOML."""
    try:
        text = root.joinpath(*path.split("/")).read_text(encoding="utf-8")
    except FileNotFoundError:
        problems.append(Problem(where=path, what="the file is missing", do="Put it back"))
        return Table(path, {}, problems)
    except UnicodeDecodeError as error:
        problems.append(Problem(where=path, what=f"this is not TOML: {error}", do="Correct it"))
        return Table(path, {}, problems)
    return table_in(text, path, problems)


def table_in(text: str, where: str, problems: list[Problem]) -> Table:
    """A text as a table; an empty one, and a problem, where it is not TOML."""
    cells: dict[str, Any] = {}
    try:
        cells = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        problems.append(Problem(where=where, what=f"this is not TOML: {error}", do="Correct it"))
    return Table(where, cells, problems)


def refuse_if_any(problems: list[Problem]) -> None:
    """Stop at the end of a load if anything was wrong.

    Raises:
        CatalogueError: There is a problem; it lists all of them.
    """
    if problems:
        raise CatalogueError(problems)
