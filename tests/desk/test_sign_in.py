"""Signing in: everything is shut, few pages are open, and wrong passwords get slower."""

from datetime import timedelta

import pytest
from desk.conftest import Clock
from starlette.testclient import TestClient

from garboard.desk.access import COOKIE
from garboard.desk.context import Desk
from garboard.desk.pages.sign_in import CHOOSE
from garboard.store import accounts, links

SENTENCE = "the tide waits for no surveyor"


@pytest.fixture
def link(desk: Desk) -> str:
    """A one-time link by which Ines Caldervane chooses a password."""
    with desk.database.writing() as connection:
        user = accounts.add_user(connection, sign_in="ines", name="Ines Caldervane", now=desk.now())
        token = links.make(connection, CHOOSE, user.id, lasts=timedelta(days=1), now=desk.now())
    return f"/welcome/{token}"


@pytest.mark.parametrize("path", ["/", "/new", "/account", "/search?q=x", "/s/1/history", "/api/entries", "/nothing"])  # fmt: skip
def test_nothing_is_shown_to_a_stranger(stranger: TestClient, path: str) -> None:
    answer = stranger.get(path)

    assert answer.status_code in (303, 401)
    assert answer.headers.get("location", "/sign-in").startswith("/sign-in")


def test_after_signing_in_the_page_asked_for_is_shown(stranger: TestClient, link: str) -> None:
    stranger.post(link, data={"password": SENTENCE})
    stranger.cookies.clear()

    asked = stranger.get("/account")
    form = {"name": "INES", "password": SENTENCE, "after": "/account"}
    entered = stranger.post(asked.headers["location"].partition("?")[0], data=form)

    assert asked.headers["location"] == "/sign-in?after=/account"
    assert entered.headers["location"] == "/account"
    assert "Ines Caldervane" in stranger.get("/account").text


@pytest.mark.parametrize("after", ["//evil.example", "https://evil.example", "/\\evil.example"])
def test_signing_in_leads_nowhere_else(stranger: TestClient, link: str, after: str) -> None:
    stranger.post(link, data={"password": SENTENCE})

    entered = stranger.post("/sign-in", data={"name": "ines", "password": SENTENCE, "after": after})

    assert entered.headers["location"] == "/"


def test_a_welcome_link_is_used_once(stranger: TestClient, link: str) -> None:
    first = stranger.post(link, data={"password": SENTENCE})
    again = stranger.post(link, data={"password": "another sentence altogether"})

    assert first.status_code == 303
    assert again.status_code == 422
    assert "used already" in again.text


def test_a_short_password_is_refused_and_the_link_still_good(
    stranger: TestClient, link: str
) -> None:
    short = stranger.post(link, data={"password": "short"})
    then = stranger.post(link, data={"password": SENTENCE})

    assert short.status_code == 422
    assert "12 to 200" in short.text
    assert then.status_code == 303


def test_wrong_passwords_are_slowed_down(stranger: TestClient, link: str, clock: Clock) -> None:
    stranger.post(link, data={"password": SENTENCE})
    wrong = {"name": "ines", "password": "not the sentence"}

    said = [stranger.post("/sign-in", data=wrong).text for _ in range(7)]
    right_too_soon = stranger.post("/sign-in", data={**wrong, "password": SENTENCE})
    clock.time += timedelta(minutes=16)
    right_later = stranger.post("/sign-in", data={**wrong, "password": SENTENCE})

    assert "do not belong together" in said[0]
    assert "Wait" in said[-1]
    assert right_too_soon.status_code == 422
    assert right_later.status_code == 303


def test_the_cookie_is_kept_from_scripts_and_plain_connections(
    stranger: TestClient, link: str
) -> None:
    kept = stranger.post(link, data={"password": SENTENCE}).headers["set-cookie"]

    assert kept.startswith(f"{COOKIE}=")
    assert {"HttpOnly", "Secure", "SameSite=lax"} <= {each.strip() for each in kept.split(";")}


def test_signing_out_ends_the_session_itself(stranger: TestClient, link: str) -> None:
    stranger.post(link, data={"password": SENTENCE})
    token = stranger.cookies[COOKIE]

    stranger.post("/sign-out")
    stranger.cookies.set(COOKIE, token)

    assert stranger.get("/account").status_code == 303


def test_a_new_password_ends_the_other_devices(stranger: TestClient, link: str) -> None:
    stranger.post(link, data={"password": SENTENCE})
    other = stranger.cookies[COOKIE]
    stranger.post("/sign-in", data={"name": "ines", "password": SENTENCE})

    changed = stranger.post(
        "/account/password", data={"old": SENTENCE, "new": "quite another sentence"}
    )
    here = stranger.get("/account").status_code
    stranger.cookies.clear()
    stranger.cookies.set(COOKIE, other)

    assert changed.status_code == 303
    assert here == 200
    assert stranger.get("/account").status_code == 303


def test_a_password_is_not_changed_without_the_old_one(stranger: TestClient, link: str) -> None:
    stranger.post(link, data={"password": SENTENCE})

    changed = stranger.post(
        "/account/password", data={"old": "guessed by somebody", "new": "quite another sentence"}
    )

    assert changed.status_code == 422
    assert "do not belong together" in changed.text


@pytest.mark.parametrize(
    ("headers", "device"),
    [
        ({"user-agent": "Mozilla/5.0 (Linux) Mobile"}, "Phone"),
        ({"user-agent": "Mozilla/5.0 (Linux; Tablet)"}, "Tablet"),
        ({"user-agent": "Mozilla/5.0 (Linux)", "sec-ch-ua-mobile": "?1"}, "Phone"),
        ({"user-agent": "Mozilla/5.0 (Linux)", "sec-ch-ua-mobile": "?0"}, "Computer"),
    ],
)  # fmt: skip
def test_a_device_is_called_what_its_browser_says_it_is(
    stranger: TestClient, link: str, headers: dict[str, str], device: str
) -> None:
    stranger.post(link, data={"password": SENTENCE}, headers=headers)

    assert stranger.get("/api/me").json()["device"] == device
