"""Who may come in: users, their passwords and their passkeys.

Raises:
    Refused: A name is taken, a password too weak, or a sign-in wrong; never says which half of it was.
"""

import unicodedata
from dataclasses import asdict, dataclass, field
from datetime import datetime
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from sqlalchemy import Connection, delete, select, update

from garboard.notebook.problem import Problem, Refused
from garboard.store import attempts
from garboard.store.database import Database
from garboard.store.tables import INSERT, passkeys, users
from garboard.store.tokens import SYSTEM, RandomBytes, new_id

_SHORTEST, _LONGEST = 12, 200
# Argon2id with the parameters the library recommends (RFC 9106, section 4, the second).
_HASHER = PasswordHasher()


@dataclass(frozen=True, slots=True, kw_only=True)
class User:
    """Somebody with an account; `closed_at` says since when it is shut."""

    id: str
    sign_in: str
    name: str
    password_hash: str | None = field(repr=False)
    created_at: datetime
    closed_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Passkey:
    """A passkey's public half, by the name its user gave it."""

    credential_id: bytes
    user: str
    name: str
    public_key: bytes
    sign_count: int
    created_at: datetime
    used_at: datetime | None


def add_user(
    connection: Connection,
    *,
    sign_in: str,
    name: str,
    now: datetime,
    random_bytes: RandomBytes = SYSTEM,
) -> User:
    """Open an account without a password; a one-time link lets its user choose one, or add a passkey.

    Args:
        connection: Of a writing transaction.
        sign_in: What is typed to sign in, an e-mail address or any other name; case makes no difference.
        name: As it stands in reports.
        now: The time; aware.
        random_bytes: A random source.

    Raises:
        Refused: A name is empty, or the sign-in name is taken.
    """
    if not _folded(sign_in) or not name.strip():
        raise _refused("account", "a name is missing", "Give a name, and one to sign in with")
    user = User(
        id=new_id(now, random_bytes),
        sign_in=_folded(sign_in),
        name=name.strip(),
        password_hash=None,
        created_at=now,
        closed_at=None,
    )
    statement = (
        INSERT[connection.dialect.name](users)
        .values(asdict(user))
        .on_conflict_do_nothing(index_elements=["sign_in"])
        .returning(users.c.id)
    )
    if connection.execute(statement).one_or_none() is None:
        raise _refused(
            "account", f'"{sign_in}" is taken already', "Choose another name to sign in with"
        )
    return user


def user_of(connection: Connection, user_id: str) -> User | None:
    """A user by id, or None."""
    row = connection.execute(select(users).where(users.c.id == user_id)).one_or_none()
    return User(**row._mapping) if row else None


def user_named(connection: Connection, sign_in: str) -> User | None:
    """A user by the name to sign in with, or None."""
    query = select(users).where(users.c.sign_in == _folded(sign_in))
    row = connection.execute(query).one_or_none()
    return User(**row._mapping) if row else None


def all_users(connection: Connection) -> tuple[User, ...]:
    """Every user, closed accounts too, by name."""
    found = connection.execute(select(users).order_by(users.c.name, users.c.id))
    return tuple(User(**row._mapping) for row in found)


def close_user(connection: Connection, user_id: str, now: datetime) -> None:
    """Shut an account; its sessions end with it, its entries stay."""
    connection.execute(update(users).where(users.c.id == user_id).values(closed_at=now))


def hashed(password: str) -> str:
    """A password as it is kept; takes a tenth of a second, so do it outside a transaction.

    Raises:
        Refused: It is too short or too long.
    """
    if not _SHORTEST <= len(password) <= _LONGEST:
        raise _refused(
            "password",
            f"it has {len(password)} characters",
            f"Choose one of {_SHORTEST} to {_LONGEST}; a sentence is easy to keep in mind",
        )
    return _HASHER.hash(_composed(password))


def set_password(connection: Connection, user_id: str, password_hash: str) -> None:
    """Give a user a new password, as `hashed` made it. Revoke the sessions beside it."""
    connection.execute(
        update(users).where(users.c.id == user_id).values(password_hash=password_hash)
    )


def sign_in(database: Database, name: str, password: str, *, address: str, now: datetime) -> User:
    """The user with this name and password.

    Attempts are counted by name and by address, and slowed down when they fail.

    Args:
        database: Used in short transactions of its own.
        name: The name to sign in with.
        password: As typed.
        address: Where the attempt comes from.
        now: The time; aware.

    Raises:
        Refused: The two do not belong together, the account is shut, or it is too soon to try again.
    """
    keys = {f"name {_folded(name)[:200]}": 5, f"address {address[:200]}": 20}
    with database.writing() as connection:
        for key, free in keys.items():
            attempts.begin(connection, key, free=free, now=now)
        user = user_named(connection, name)
    if not _is_right(user, password) or user is None or user.closed_at:
        raise _wrong_sign_in()
    with database.writing() as connection:
        # A password that was changed, or an account that was shut, while this one was tried counts already.
        held = user_of(connection, user.id)
        if held is None or held.closed_at or held.password_hash != user.password_hash:
            raise _wrong_sign_in()
        for key in keys:
            attempts.succeeded(connection, key)
        if user.password_hash and _HASHER.check_needs_rehash(user.password_hash):
            set_password(connection, user.id, _HASHER.hash(_composed(password)))
    return user


def add_passkey(
    connection: Connection,
    user_id: str,
    *,
    credential_id: bytes,
    public_key: bytes,
    sign_count: int,
    name: str,
    now: datetime,
) -> None:
    """Keep the public half of a passkey that was just made and proved.

    Raises:
        Refused: This passkey is kept already.
    """
    passkey = Passkey(
        credential_id=credential_id,
        user=user_id,
        name=name.strip() or "passkey",
        public_key=public_key,
        sign_count=sign_count,
        created_at=now,
        used_at=None,
    )
    statement = (
        INSERT[connection.dialect.name](passkeys)
        .values(asdict(passkey))
        .on_conflict_do_nothing(index_elements=["credential_id"])
        .returning(passkeys.c.name)
    )
    if connection.execute(statement).one_or_none() is None:
        raise _refused("passkey", "this one is known already", "Sign in with it")


def passkey_of(connection: Connection, credential_id: bytes) -> Passkey | None:
    """A passkey by its credential id; None too where its user's account is shut."""
    query = (
        select(passkeys)
        .join(users)
        .where(passkeys.c.credential_id == credential_id, users.c.closed_at.is_(None))
    )
    row = connection.execute(query).one_or_none()
    return Passkey(**row._mapping) if row else None


def passkeys_of(connection: Connection, user_id: str) -> tuple[Passkey, ...]:
    """A user's passkeys, oldest first."""
    query = select(passkeys).where(passkeys.c.user == user_id)
    found = connection.execute(query.order_by(passkeys.c.created_at, passkeys.c.credential_id))
    return tuple(Passkey(**row._mapping) for row in found)


def passkey_used(
    connection: Connection, credential_id: bytes, sign_count: int, now: datetime
) -> None:
    """Note that a passkey was used, with the count its device gave."""
    connection.execute(
        update(passkeys)
        .where(passkeys.c.credential_id == credential_id)
        .values(sign_count=sign_count, used_at=now)
    )


def remove_passkey(connection: Connection, user_id: str, credential_id: bytes) -> None:
    """Forget a passkey of a user."""
    connection.execute(
        delete(passkeys).where(
            passkeys.c.user == user_id, passkeys.c.credential_id == credential_id
        )
    )


def _is_right(user: User | None, password: str) -> bool:
    """Whether the password is the user's; takes as long where there is no such user."""
    known = user.password_hash if user else None
    try:
        _HASHER.verify(known or _nobodys(), _composed(password[: _LONGEST + 1]))
    except (VerificationError, InvalidHashError):
        return False
    return known is not None


@cache
def _nobodys() -> str:
    return _HASHER.hash("")


def _composed(password: str) -> str:
    """The same characters, however the keyboard composed them (RFC 8265, section 4.1)."""
    return unicodedata.normalize("NFC", password)


def _folded(sign_in: str) -> str:
    return unicodedata.normalize("NFKC", sign_in).strip().casefold()


def _wrong_sign_in() -> Refused:
    return _refused(
        "sign-in",
        "name and password do not belong together",
        "Try again, or ask for a new password",
    )


def _refused(where: str, what: str, do: str) -> Refused:
    return Refused([Problem(where=where, what=what, do=do)])
