"""One's own account: the devices that are signed in, and how one of them is signed out."""

import pytest
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.store import accounts, sessions


def signed_in(desk: Desk) -> list[int]:
    with desk.database.reading() as connection:
        user = accounts.user_named(connection, "ines")
        assert user is not None
        return [each.id for each in sessions.of_user(connection, user.id, desk.clock())]


def test_another_device_is_signed_out(browser: TestClient, desk: Desk) -> None:
    (own,) = signed_in(desk)
    with desk.database.writing() as connection:
        user = accounts.user_named(connection, "ines")
        assert user is not None
        sessions.begin(connection, user.id, device="Phone", now=desk.now())
    (other,) = set(signed_in(desk)) - {own}

    browser.post("/account/end", data={"session": str(other)})

    assert signed_in(desk) == [own]


def test_a_passkey_that_was_made_too_late_is_begun_again(browser: TestClient) -> None:
    answer = browser.post("/account/passkeys", json={"credential": {}})

    assert answer.status_code == 422
    assert "this took too long, or was done already. Begin again" in answer.text


@pytest.mark.parametrize("number", ["", "x", "-1", "9" * 25, "9" * 5000])
def test_a_device_that_is_none_is_passed_over(browser: TestClient, desk: Desk, number: str) -> None:
    before = signed_in(desk)

    answer = browser.post("/account/end", data={"session": number})

    assert answer.status_code == 303
    assert signed_in(desk) == before
