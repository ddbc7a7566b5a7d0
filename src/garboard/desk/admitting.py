"""Surveyors let into a desk by a link that is good once."""

from collections.abc import Callable
from datetime import timedelta

from garboard.desk.context import Desk
from garboard.desk.pages.sign_in import CHOOSE
from garboard.notebook.problem import Problem, Refused
from garboard.store import accounts, links

_LASTS = timedelta(days=1)


def first_link(desk: Desk, ask: Callable[[], tuple[str, str]]) -> str | None:
    """The token of a link for the first surveyor where nobody can sign in yet, else None.

    Args:
        desk: The desk.
        ask: Gives name and sign-in name, where nobody was let in before.

    Raises:
        Refused: A name is missing.
    """
    with desk.database.reading() as connection:
        known = accounts.all_users(connection)
    if any(each.password_hash for each in known):
        return None
    name, sign_in = (known[0].name, known[0].sign_in) if known else ask()
    return admitted(desk, name=name, sign_in=sign_in)


def admitted(desk: Desk, *, name: str, sign_in: str) -> str:
    """The token of a link by which a surveyor chooses a password; a known one chooses a new one.

    Args:
        desk: The desk.
        name: As it stands in reports; a known surveyor keeps the one there is.
        sign_in: What is typed to sign in.

    Raises:
        Refused: A name is missing.
    """
    with desk.database.writing() as connection:
        user = accounts.user_named(connection, sign_in) or accounts.add_user(
            connection,
            sign_in=sign_in,
            name=name,
            now=desk.clock(),
            random_bytes=desk.random_bytes,
        )
        return links.make(
            connection,
            CHOOSE,
            user.id,
            lasts=_LASTS,
            now=desk.clock(),
            random_bytes=desk.random_bytes,
        )


def shut_out(desk: Desk, sign_in: str) -> str:
    """Shut an account, and give the name of its surveyor; the entries stay.

    Raises:
        Refused: Nobody signs in by this name.
    """
    with desk.database.writing() as connection:
        user = accounts.user_named(connection, sign_in)
        if user is None:
            what, do = f'nobody signs in as "{sign_in}"', "Write it as it is typed to sign in"
            raise Refused([Problem(where="account", what=what, do=do)])
        accounts.close_user(connection, user.id, desk.clock())
        return user.name
