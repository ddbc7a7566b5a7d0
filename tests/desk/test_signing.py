"""The surveyor's own key lies on the disk whole or not at all."""

from concurrent.futures import ThreadPoolExecutor

from archive.certificates import PASSPHRASE, identity

from garboard.desk import signing
from garboard.desk.context import Desk
from garboard.store import accounts


def test_a_key_sent_twice_at_once_is_kept_whole(desk: Desk) -> None:
    with desk.database.writing() as connection:
        user = accounts.add_user(connection, sign_in="ines", name="Ines Caldervane", now=desk.now())
    p12 = identity("Ines Caldervane").p12

    with ThreadPoolExecutor(4) as sending:
        kept = [sending.submit(signing.keep_key, desk, user, p12, PASSPHRASE) for _ in range(40)]
        names = {each.result().name for each in kept}

    assert names == {"Ines Caldervane"}
    assert signing.kept_key(desk, user) == p12
