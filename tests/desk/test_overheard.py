"""A desk opened by plain HTTP: what its cookies are, what works no more, and what the pages say of it."""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from starlette.testclient import TestClient

from garboard.desk.access import COOKIE
from garboard.desk.app import application
from garboard.desk.context import Desk
from garboard.store import accounts, sessions

SAID = "This connection is not encrypted."
ELSEWHERE = "http://192.168.1.5:8417"
PASSWORD = "a boat in a bottle"


@contextmanager
def opened(desk: Desk, address: str, network: str = "") -> Iterator[TestClient]:
    """A browser at an address of the desk."""
    app = application(desk, network=network)
    with TestClient(app, base_url=address, follow_redirects=False) as client:
        client.headers["sec-fetch-site"] = "same-origin"
        yield client


@pytest.fixture
def token(desk: Desk) -> str:
    """The token of Ines Caldervane's session; she has a password as well."""
    with desk.database.writing() as connection:
        user = accounts.add_user(connection, sign_in="ines", name="Ines Caldervane", now=desk.now())
        accounts.set_password(connection, user.id, accounts.hashed(PASSWORD))
        return sessions.begin(connection, user.id, device="Browser", now=desk.now())


@pytest.mark.parametrize("path", ["/sign-in", "/account"])
@pytest.mark.parametrize(
    ("address", "is_said"),
    [
        (ELSEWHERE, True),
        ("http://desk.example", True),
        ("http://localhost:8417", False),
        ("http://127.0.0.1:8417", False),
        ("http://[::1]:8417", False),
        ("https://192.168.1.5:8418", False),
    ],
)
def test_that_others_can_read_it_is_said_only_where_they_can(
    desk: Desk, token: str, address: str, is_said: bool, path: str
) -> None:
    with opened(desk, address) as browser:
        page = browser.get(path, headers={"cookie": f"{COOKIE}={token}"}).text

    assert (SAID in page) == is_said


def test_where_the_desk_serves_the_network_its_safe_address_is_named(desk: Desk) -> None:
    with opened(desk, ELSEWHERE, network="https://192.168.1.5:8418") as browser:
        page = browser.get("/sign-in").text

    assert '<a href="https://192.168.1.5:8418">' in page
    assert "--network" not in page


@pytest.mark.parametrize(("address", "is_secure"), [(ELSEWHERE, False), ("https://desk", True)])
def test_the_cookie_of_a_session_goes_by_plain_http_only_where_it_was_given_so(
    desk: Desk, token: str, address: str, is_secure: bool
) -> None:
    with opened(desk, address) as browser:
        answer = browser.post("/sign-in", data={"name": "ines", "password": PASSWORD})

        cookie = answer.headers["set-cookie"]
        assert answer.status_code == 303
        assert ("Secure" in cookie) == is_secure
        assert "HttpOnly" in cookie
        assert "SameSite=lax" in cookie
        assert browser.get("/").status_code == 200


def test_plain_http_is_not_told_to_become_https(desk: Desk) -> None:
    with opened(desk, ELSEWHERE) as browser:
        headers = browser.get("/sign-in").headers

    assert "strict-transport-security" not in headers
