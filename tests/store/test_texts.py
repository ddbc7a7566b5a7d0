"""Every version of a text is kept; the latest counts."""

from cast import DAY

from garboard.store import texts
from garboard.store.folder import Store


def kept(store: Store, text: str, name: str = "Terms") -> texts.OwnText:
    with store.database.writing() as connection:
        return texts.keep(connection, "terms", name, text, by="Ines Caldervane", now=DAY)


def test_every_version_stays_and_is_found_by_its_hash(store: Store) -> None:
    first, second = kept(store, "one"), kept(store, "two")
    kept(store, "other", name="Letter")

    with store.database.reading() as connection:
        assert texts.versions(connection, "terms", "Terms") == (second, first)
        assert texts.of_sha256(connection, first.sha256) == first


def test_the_same_text_again_is_the_same_version(store: Store) -> None:
    first = kept(store, "one")

    assert kept(store, "one") == first


def test_a_text_that_was_put_away_is_not_offered(store: Store) -> None:
    kept(store, "one")
    letter = kept(store, "dear", name="Letter")
    kept(store, "")

    with store.database.reading() as connection:
        assert texts.latest(connection, "terms") == (letter,)
