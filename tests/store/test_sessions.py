"""A session is one user on one device, until it is ended from anywhere."""

from datetime import timedelta

from cast import DAY
from sqlalchemy import text

from garboard.store import accounts, sessions
from garboard.store.folder import Store


def user(store: Store, sign_in: str = "ines") -> str:
    with store.database.writing() as connection:
        return accounts.add_user(connection, sign_in=sign_in, name=sign_in.title(), now=DAY).id


def begin(store: Store, user_id: str, device: str = "tablet-1") -> str:
    with store.database.writing() as connection:
        return sessions.begin(connection, user_id, device=device, now=DAY)


def test_a_token_stands_for_its_user_and_device(store: Store) -> None:
    token = begin(store, user(store))

    session = sessions.check(store.database, token, DAY)

    assert session is not None
    assert (session.user.name, session.device, session.seen_at) == ("Ines", "tablet-1", DAY)


def test_any_other_token_stands_for_nobody(store: Store) -> None:
    token = begin(store, user(store))

    assert sessions.check(store.database, token[:-1], DAY) is None
    assert sessions.check(store.database, "", DAY) is None


def test_a_token_is_long_random_and_nowhere_in_the_store(store: Store) -> None:
    ines = user(store)
    tokens = {begin(store, ines) for _ in range(10)}

    with store.database.reading() as connection:
        kept = str(connection.execute(text("SELECT * FROM sessions")).all())
    assert len(tokens) == 10
    assert all(len(token) == 43 and token not in kept for token in tokens)


def test_a_session_in_use_stays_and_one_that_lies_unused_ends(store: Store) -> None:
    token = begin(store, user(store))

    for month in range(1, 13):
        seen = sessions.check(store.database, token, DAY + timedelta(days=30 * month))
        assert seen is not None

    assert sessions.check(store.database, token, DAY + timedelta(days=360 + 181)) is None


def test_a_session_ends_on_one_device_and_goes_on_on_the_others(store: Store) -> None:
    ines, another = user(store), user(store, "another")
    tablet, desk, theirs = begin(store, ines), begin(store, ines, "desk"), begin(store, another)
    with store.database.writing() as connection:
        lost = next(each for each in sessions.of_user(connection, ines, DAY) if each.device == "tablet-1")  # fmt: skip
        sessions.revoke(connection, another, lost.id, DAY)
        assert len(sessions.of_user(connection, ines, DAY)) == 2

        sessions.revoke(connection, ines, lost.id, DAY)

    assert sessions.check(store.database, tablet, DAY) is None
    assert sessions.check(store.database, desk, DAY) is not None
    assert sessions.check(store.database, theirs, DAY) is not None


def test_all_sessions_but_this_one_can_be_ended_at_once(store: Store) -> None:
    ines = user(store)
    tokens = [begin(store, ines, f"device {number}") for number in range(3)]
    here = sessions.check(store.database, tokens[1], DAY)
    assert here is not None

    with store.database.writing() as connection:
        sessions.revoke_all(connection, ines, DAY, but=here.id)
    assert [sessions.check(store.database, each, DAY) for each in tokens] == [None, here, None]

    with store.database.writing() as connection:
        sessions.revoke_all(connection, ines, DAY)
    assert sessions.check(store.database, tokens[1], DAY) is None


def test_the_sessions_of_a_shut_account_end_with_it(store: Store) -> None:
    ines = user(store)
    token = begin(store, ines)

    with store.database.writing() as connection:
        accounts.close_user(connection, ines, DAY)

    assert sessions.check(store.database, token, DAY) is None
