"""Passkeys in a real browser, with an authenticator that is only pretended."""

from collections.abc import Callable

import pytest
from playwright.sync_api import CDPSession, Page, expect


def with_authenticator(page: Page, *, verified: bool = True) -> tuple[CDPSession, str]:
    session = page.context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    options = {
        "protocol": "ctap2",
        "transport": "internal",
        "hasResidentKey": True,
        "hasUserVerification": True,
        "isUserVerified": verified,
        "automaticPresenceSimulation": True,
    }
    made = session.send("WebAuthn.addVirtualAuthenticator", {"options": options})
    return session, made["authenticatorId"]


def test_a_passkey_is_made_and_signs_in(open_page: Callable[..., Page]) -> None:
    page = open_page("/account")
    with_authenticator(page)

    page.get_by_label("What to call it").fill("office")
    page.get_by_role("button", name="Make a passkey here").click()
    expect(page.get_by_role("button", name="Forget office")).to_be_visible()
    page.get_by_role("button", name="Sign out here").click()
    page.get_by_role("button", name="Sign in with a passkey").click()

    expect(page.get_by_role("heading", name="Diary")).to_be_visible()


def test_a_forgotten_passkey_opens_nothing(open_page: Callable[..., Page]) -> None:
    page = open_page("/account")
    with_authenticator(page)
    page.get_by_role("button", name="Make a passkey here").click()

    page.get_by_role("button", name="Forget").click()
    page.get_by_role("button", name="Sign out here").click()
    page.get_by_role("button", name="Sign in with a passkey").click()

    expect(page.get_by_role("alert")).to_contain_text("is not known here")


@pytest.mark.parametrize("path", ["/sign-in", "/account"])
def test_a_browser_without_an_authenticator_says_so_in_words(
    open_page: Callable[..., Page], path: str
) -> None:
    page = open_page(path, signed_in=path != "/sign-in")
    refuse = "async () => { throw new DOMException('', 'NotAllowedError') }"
    page.evaluate(
        f"() => {{ navigator.credentials.get = navigator.credentials.create = {refuse} }}"
    )

    page.locator("button[data-passkey]").click()

    expect(page.get_by_role("alert")).to_contain_text("Nothing was done")
