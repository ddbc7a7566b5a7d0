"""One's own account in a real browser: the time zone it proposes, and a desk that was opened without encryption."""

from collections.abc import Iterator
from datetime import UTC
from zoneinfo import ZoneInfo

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser.conftest import Served
from playwright.sync_api import Browser, Page, Route, expect

from garboard.desk.access import COOKIE

ELSEWHERE = "http://desk.example"


@pytest.fixture
def abroad(chromium: Browser, served: Served) -> Iterator[Page]:
    """A browser in Lisbon, signed in at a desk that does not know where it stands."""
    served.desk.zones.current, served.desk.zones.name = UTC, ""
    context = chromium.new_context(base_url=served.address, timezone_id="Europe/Lisbon")
    context.add_cookies([{"name": COOKIE, "value": served.token, "url": served.address}])
    yield context.new_page()
    context.close()


def test_the_zone_of_the_browser_is_proposed_and_counts_once_it_is_kept(
    abroad: Page, served: Served
) -> None:
    abroad.goto("/")
    abroad.get_by_role("link", name="choose it").click()
    expect(abroad.get_by_label("Where you work")).to_have_value("Europe/Lisbon")
    expect(abroad.get_by_text("Proposed by this browser")).to_be_visible()
    assert served.desk.zones.name == ""

    abroad.get_by_role("button", name="Keep this zone").click()

    expect(abroad.get_by_text("in the zone Europe/Lisbon from now on")).to_be_visible()
    assert served.desk.zone == ZoneInfo("Europe/Lisbon")
    expect(abroad.get_by_text("Proposed by this browser")).to_be_hidden()


@pytest.fixture
def unencrypted(chromium: Browser, served: Served) -> Iterator[Page]:
    """A browser that finds the desk by plain HTTP under a name that is not this computer's own."""
    context = chromium.new_context(base_url=ELSEWHERE)

    def carry(route: Route) -> None:
        asked = route.request
        headers = {**asked.all_headers(), "host": ELSEWHERE.removeprefix("http://")}
        to = asked.url.replace(ELSEWHERE, served.address)
        route.fulfill(response=route.fetch(url=to, headers=headers, max_redirects=0))

    context.route(f"{ELSEWHERE}/**", carry)
    yield context.new_page()
    context.close()


def test_a_desk_without_encryption_says_so_and_offers_no_passkey(
    unencrypted: Page, served: Served
) -> None:
    unencrypted.goto("/sign-in")

    expect(unencrypted.get_by_text("This connection is not encrypted.")).to_be_visible()
    expect(unencrypted.get_by_role("button", name="Sign in with a passkey")).to_be_hidden()
    assert not unencrypted.evaluate("window.isSecureContext")


def test_a_session_begun_without_encryption_is_kept_by_the_browser(
    unencrypted: Page, served: Served
) -> None:
    unencrypted.context.add_cookies([{"name": COOKIE, "value": served.token, "url": ELSEWHERE}])

    unencrypted.goto("/account")

    expect(unencrypted.get_by_text("This connection is not encrypted.")).to_be_visible()
    expect(unencrypted.get_by_role("button", name="Make a passkey here")).to_be_hidden()


def test_nothing_serious_stands_in_the_way_of_anybody(abroad: Page) -> None:
    abroad.goto("/account")

    found = Axe().run(abroad).response["violations"]

    assert [each["id"] for each in found if each["impact"] in ("serious", "critical")] == []
