"""What every answer carries, and which requests are turned away."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from starlette.testclient import TestClient

from garboard.desk.access import COOKIE
from garboard.desk.app import application
from garboard.desk.context import Desk
from garboard.desk.security import HEADERS, MOST_BYTES

FORM = {"name": "ines", "password": "x" * 12}


@pytest.mark.parametrize("path", ["/sign-in", "/static/tokens.css", "/nothing", "/fonts/sans"])
def test_every_answer_carries_the_policy(stranger: TestClient, path: str) -> None:
    headers = stranger.get(path).headers

    assert {name: headers[name] for name in HEADERS} == dict(HEADERS)
    assert "'unsafe" not in headers["content-security-policy"]
    assert headers["strict-transport-security"]


@pytest.mark.parametrize(
    "headers",
    [
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"sec-fetch-site": "", "origin": "https://evil.example"},
    ],
)
def test_another_sites_form_is_turned_away(stranger: TestClient, headers: dict[str, str]) -> None:
    if not headers["sec-fetch-site"]:
        del stranger.headers["sec-fetch-site"]
        headers = {"origin": headers["origin"]}

    answer = stranger.post("/sign-in", data=FORM, headers=headers)

    assert answer.status_code == 403
    assert "another site" in answer.text


def test_a_request_that_says_not_where_it_comes_from_is_turned_away(stranger: TestClient) -> None:
    del stranger.headers["sec-fetch-site"]

    assert stranger.post("/sign-in", data=FORM).status_code == 403


def test_an_older_browsers_own_form_is_let_in(stranger: TestClient) -> None:
    del stranger.headers["sec-fetch-site"]

    answer = stranger.post("/sign-in", data=FORM, headers={"origin": "https://desk"})

    assert answer.status_code == 422


def test_a_body_too_large_is_turned_away_before_it_is_read(stranger: TestClient) -> None:
    answer = stranger.post("/sign-in", headers={"content-length": str(MOST_BYTES + 1)})

    assert answer.status_code == 413


def test_a_body_that_grows_too_large_is_turned_away(stranger: TestClient) -> None:
    def pieces() -> Iterator[bytes]:
        yield b"name="
        for _ in range(MOST_BYTES // 2**20 + 1):
            yield bytes(2**20)

    answer = stranger.post("/sign-in/passkey", content=pieces())

    assert answer.status_code == 413
    assert "send it in pieces" in answer.text


def test_a_page_that_is_not_there_says_so(browser: TestClient) -> None:
    answer = browser.get("/nothing")

    assert answer.status_code == 404
    assert "<h1>" in answer.text


@pytest.mark.parametrize("path", ["/static/../app.py", "/static/%2e%2e/app.py", "/fonts/../app.py"])
def test_no_file_outside_is_served(browser: TestClient, path: str) -> None:
    assert browser.get(path).status_code == 404


def test_a_mistake_of_our_own_is_said_without_its_details(
    browser: TestClient, desk: Desk, capsys: pytest.CaptureFixture[str]
) -> None:
    class Broken:
        def get(self, _: str) -> None:
            raise RuntimeError("the secret detail")

    surveys: Any = Broken()
    app = application(replace(desk, surveys=surveys))
    with TestClient(app, base_url="https://desk", raise_server_exceptions=False) as client:
        client.cookies.set(COOKIE, browser.cookies[COOKIE])

        answer = client.get("/s/019e1b6a-1e80-7000-8000-00000000ffff/history")

    assert answer.status_code == 500
    assert "mistake of its own" in answer.text
    assert "secret" not in answer.text
    assert "secret" in capsys.readouterr().err
    assert answer.headers["content-security-policy"] == HEADERS["content-security-policy"]
