"""A phone let in by a code: once, in time, as the surveyor who showed it, under its own name."""

import re
from datetime import timedelta

import pytest
from desk.conftest import Clock
from starlette.testclient import TestClient

from garboard.desk.app import application
from garboard.desk.context import Desk


@pytest.fixture
def phone(desk: Desk) -> TestClient:
    """A device that nobody signed in on."""
    client = TestClient(application(desk), base_url="https://desk", follow_redirects=False)
    client.headers["sec-fetch-site"] = "same-origin"
    return client


def code(browser: TestClient) -> str:
    found = re.search(r'href="https://desk(/pair/[^"]+)"', browser.post("/account/pair").text)
    assert found
    return found[1]


def test_a_phone_is_let_in_under_its_own_name(browser: TestClient, phone: TestClient) -> None:
    address = code(browser)

    assert "Ines Caldervane" in phone.get(address).text
    answer = phone.post(address, data={"device": "phone in the left pocket"})

    assert answer.headers["location"] == "/yard/"
    me = phone.get("/api/me").json()
    assert (me["name"], me["device"]) == ("Ines Caldervane", "phone in the left pocket")
    assert "phone in the left pocket" in browser.get("/account").text


def test_a_code_lets_in_once(browser: TestClient, phone: TestClient) -> None:
    address = code(browser)
    phone.post(address, data={"device": "phone"})

    again = phone.post(address, data={"device": "another"})

    assert again.status_code == 422
    assert "used already" in again.text


def test_a_code_is_not_good_for_long(browser: TestClient, phone: TestClient, clock: Clock) -> None:
    address = code(browser)
    clock.time += timedelta(minutes=16)

    assert "good until" in phone.get(address).text


def test_only_somebody_signed_in_shows_a_code(phone: TestClient) -> None:
    answer = phone.post("/account/pair")

    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in")


def test_other_devices_are_sent_to_the_network(desk: Desk, browser: TestClient) -> None:
    app = application(desk, network="https://192.168.1.5:8418")
    here = TestClient(app, base_url="https://desk", cookies=dict(browser.cookies))

    shown = here.post("/account/pair", headers={"sec-fetch-site": "same-origin"}).text

    assert "https://192.168.1.5:8418/pair/" in shown


def test_a_code_is_worth_nothing_once_a_device_was_ended(browser: TestClient, phone: TestClient) -> None:  # fmt: skip
    first = code(browser)
    phone.post(first, data={"device": "phone"})
    second = code(browser)
    shown = browser.get("/account").text
    session = re.search(r'name="session" value="(\d+)"', shown)
    assert session

    browser.post("/account/end", data={"session": session[1]})

    assert "used already" in phone.post(second, data={"device": "another"}).text
