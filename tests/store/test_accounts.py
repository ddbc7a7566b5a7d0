"""Only those with an account, and the right password or passkey, come in."""

from datetime import timedelta

import pytest
from argon2 import PasswordHasher
from cast import DAY
from sqlalchemy import text

from garboard.notebook.ids import is_uuid7
from garboard.notebook.problem import Refused
from garboard.store import accounts
from garboard.store.accounts import User, hashed, sign_in
from garboard.store.folder import Store

PASSWORD = "a hull, a keel and a rudder"
HASHED = hashed(PASSWORD)


def ines(store: Store, password_hash: str | None = HASHED) -> User:
    with store.database.writing() as connection:
        user = accounts.add_user(connection, sign_in="Ines@Example.org ", name="Ines Caldervane", now=DAY)  # fmt: skip
        if password_hash:
            accounts.set_password(connection, user.id, password_hash)
    return user


def signed_in(store: Store, password: str = PASSWORD, *, name: str = "ines@example.org", after_s: float = 0) -> User:  # fmt: skip
    at = DAY + timedelta(seconds=after_s)
    return sign_in(store.database, name, password, address="192.0.2.7", now=at)


def test_the_right_password_opens_whatever_the_case_of_the_name(store: Store) -> None:
    user = ines(store)

    assert is_uuid7(user.id)
    assert signed_in(store, name=" INES@example.ORG").id == user.id


def test_a_password_is_the_same_however_the_keyboard_composed_it(store: Store) -> None:
    ines(store, hashed("ein schöner Kahn"))

    assert signed_in(store, "ein scho\u0308ner Kahn").name == "Ines Caldervane"


@pytest.mark.parametrize(
    ("name", "password"),
    [("ines@example.org", "a hull, a keel"), ("nobody@example.org", PASSWORD), ("", ""), ("ines@example.org", "x" * 10**6)],
)  # fmt: skip
def test_a_wrong_half_is_refused_and_it_is_not_said_which(store: Store, name: str, password: str) -> None:  # fmt: skip
    ines(store)

    with pytest.raises(Refused, match="name and password do not belong together"):
        signed_in(store, password, name=name)


def test_an_account_without_password_or_shut_lets_nobody_in(store: Store) -> None:
    user = ines(store, None)

    with pytest.raises(Refused, match="do not belong together"):
        signed_in(store, "")
    with store.database.writing() as connection:
        accounts.set_password(connection, user.id, HASHED)
        accounts.close_user(connection, user.id, DAY)
    with pytest.raises(Refused, match="do not belong together"):
        signed_in(store)


def test_many_wrong_passwords_make_even_the_right_one_wait(store: Store) -> None:
    ines(store)
    for _ in range(5):
        with pytest.raises(Refused, match="do not belong together"):
            signed_in(store, "a wrong password")

    with pytest.raises(Refused, match=r"5 attempts that failed\. Wait 2 seconds"):
        signed_in(store)

    assert signed_in(store, after_s=2).name == "Ines Caldervane"
    assert signed_in(store, after_s=2).name == "Ines Caldervane"


def test_a_password_is_kept_as_argon2id_and_never_shown(store: Store) -> None:
    user = ines(store)

    with store.database.reading() as connection:
        (kept,) = connection.scalars(text("SELECT password_hash FROM users"))
        assert kept not in repr(accounts.user_of(connection, user.id))
    assert kept.startswith("$argon2id$")


def test_a_password_kept_by_weaker_rules_is_kept_anew(store: Store) -> None:
    weak = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1).hash(PASSWORD)
    user = ines(store, weak)

    signed_in(store)

    with store.database.reading() as connection:
        kept = accounts.user_of(connection, user.id)
    assert kept is not None
    assert kept.password_hash != weak
    assert signed_in(store).id == user.id


@pytest.mark.parametrize("password", ["", "eleven char", "x" * 201])
def test_a_password_too_short_or_too_long_is_refused(password: str) -> None:
    with pytest.raises(Refused, match=r"Choose one of 12 to 200; a sentence is easy"):
        hashed(password)


def test_a_name_to_sign_in_with_belongs_to_one(store: Store) -> None:
    ines(store)

    with pytest.raises(Refused, match=r'"INES@example\.org" is taken already'), store.database.writing() as connection:  # fmt: skip
        accounts.add_user(connection, sign_in="INES@example.org", name="Another", now=DAY)
    with pytest.raises(Refused, match="a name is missing"), store.database.writing() as connection:
        accounts.add_user(connection, sign_in=" ", name="Another", now=DAY)

    with store.database.reading() as connection:
        assert [user.name for user in accounts.all_users(connection)] == ["Ines Caldervane"]


def add_passkey(store: Store, user: User, credential_id: bytes = b"\x01\xff") -> None:
    with store.database.writing() as connection:
        accounts.add_passkey(
            connection, user.id, credential_id=credential_id, public_key=b"key", sign_count=3, name="tablet", now=DAY
        )  # fmt: skip


def test_a_passkey_is_kept_used_and_removed(store: Store) -> None:
    user = ines(store)
    add_passkey(store, user)
    later = DAY + timedelta(hours=1)

    with store.database.writing() as connection:
        accounts.passkey_used(connection, b"\x01\xff", 4, later)
        kept = accounts.passkey_of(connection, b"\x01\xff")
        assert kept is not None
        assert (kept.user, kept.name, kept.sign_count, kept.used_at) == (user.id, "tablet", 4, later)  # fmt: skip
        assert accounts.passkeys_of(connection, user.id) == (kept,)

        accounts.remove_passkey(connection, "another user", b"\x01\xff")
        assert accounts.passkey_of(connection, b"\x01\xff") == kept
        accounts.remove_passkey(connection, user.id, b"\x01\xff")
        assert accounts.passkeys_of(connection, user.id) == ()


def test_a_passkey_is_kept_once(store: Store) -> None:
    user = ines(store)
    add_passkey(store, user)

    with pytest.raises(Refused, match="this one is known already"):
        add_passkey(store, user)


def test_a_passkey_of_a_shut_account_is_none(store: Store) -> None:
    user = ines(store)
    add_passkey(store, user)

    with store.database.writing() as connection:
        accounts.close_user(connection, user.id, DAY)

        assert accounts.passkey_of(connection, b"\x01\xff") is None


def test_a_password_changed_while_the_old_one_is_tried_counts_already(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    user, is_right = ines(store), accounts._is_right

    def changed_meanwhile(tried: User | None, password: str) -> bool:
        with store.database.writing() as connection:
            accounts.set_password(connection, user.id, hashed("another hull and keel"))
        return is_right(tried, password)

    monkeypatch.setattr(accounts, "_is_right", changed_meanwhile)

    with pytest.raises(Refused, match="do not belong together"):
        signed_in(store)
