"""What kinds and fields are called: no name of the notebook is ever shown for want of words."""

from collections.abc import Iterator
from dataclasses import is_dataclass
from typing import get_args

import pytest

from garboard.desk.labels import field_words
from garboard.dossier.table import bare
from garboard.notebook.body import KINDS
from garboard.notebook.shape import hints


@pytest.mark.parametrize("kind", [each for each in KINDS if each != "withdrawal"])
def test_every_field_that_could_be_refused_has_words(kind: str) -> None:
    for path in paths_of(KINDS[kind]):
        said = list(field_words(kind, path))

        assert said, path
        assert not any("_" in each for each in said), said


def paths_of(cls: type, at: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """The path of every field of a body, and of all that lies in its rows and records."""
    for name, hint in hints(cls).items():
        held = (bare(hint), *get_args(bare(hint)))
        inner = next((each for each in held if isinstance(each, type) and is_dataclass(each)), None)
        row = f"{name}[1]" if get_args(bare(hint)) else name
        yield from {(*at, name), (*at, row)} if inner else {(*at, name)}
        if inner:
            yield from paths_of(inner, (*at, row))
