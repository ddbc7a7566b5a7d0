"""The words of forms: every field and every choice is said as a surveyor would say it."""

from collections.abc import Iterator
from dataclasses import is_dataclass

import pytest

from garboard.desk.forms import Field, Rows, fields_of
from garboard.dossier.table import bare
from garboard.notebook.body import KINDS, Withdrawal
from garboard.notebook.shape import hints

BY_HAND: dict[str, type] = {kind: cls for kind, cls in KINDS.items() if cls is not Withdrawal}


def flat(fields: tuple[Field | Rows, ...]) -> Iterator[Field]:
    for each in fields:
        if isinstance(each, Rows):
            yield from each.rows[0]
        else:
            yield each


def fields_by_name(cls: type) -> dict[str, Field | Rows]:
    return {each.path.rpartition(".")[2]: each for each in fields_of(cls, {})}


@pytest.mark.parametrize("kind", BY_HAND)
def test_every_field_of_every_kind_is_called_something_a_person_would_say(kind: str) -> None:
    cls = BY_HAND[kind]

    fields = fields_by_name(cls)

    named = {name: field.label for name, field in fields.items()}
    assert {each for each, hint in hints(cls).items() if not is_dataclass(bare(hint))} <= set(named)
    assert {name for name, label in named.items() if plain(label) == plain(name)} == set()
    assert not any("_" in label for label in named.values())


def plain(words: str) -> str:
    return words.replace("_", " ").casefold()


@pytest.mark.parametrize("kind", BY_HAND)
def test_no_two_fields_of_a_kind_are_called_the_same(kind: str) -> None:
    labels = [each.label for each in fields_of(BY_HAND[kind], {})]

    assert len(labels) == len(set(labels))


@pytest.mark.parametrize("kind", BY_HAND)
def test_every_choice_is_put_into_words(kind: str) -> None:
    said = [words for each in flat(fields_of(BY_HAND[kind], {})) for _, words in each.choices]

    assert [words for words in said if not words or "_" in words] == []
    assert {"grp", "carvel", "part-skeg", "ply", "no-papers", "buy"}.isdisjoint(said)
