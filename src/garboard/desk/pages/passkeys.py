"""Passkeys: made on the account page, signed in with on the sign-in page.

Source: Web Authentication, Level 3, as the library `webauthn` carries it out.
"""

import json
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route
from webauthn import (
    generate_authentication_options,
    generate_registration_options,
    options_to_json,
    verify_authentication_response,
    verify_registration_response,
)
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url
from webauthn.helpers.exceptions import WebAuthnException
from webauthn.helpers.structs import (
    AuthenticatorSelectionCriteria,
    PublicKeyCredentialDescriptor,
    ResidentKeyRequirement,
    UserVerificationRequirement,
)

from garboard.desk.asked import posted
from garboard.desk.challenges import LASTS, Challenges
from garboard.desk.context import desk_of, who
from garboard.desk.forms import Texts
from garboard.desk.pages.sign_in import begun
from garboard.desk.render import see
from garboard.notebook.problem import Problem, Refused
from garboard.store import accounts
from garboard.store.tokens import new_token

_AWAITED = "garboard-passkey"


def offer_making(request: Request) -> Response:
    """What the browser needs to make a passkey for the signed-in surveyor."""
    desk, user = desk_of(request), who(request)
    with desk.database.reading() as connection:
        known = accounts.passkeys_of(connection, user.id)
    options = generate_registration_options(
        rp_id=_host(request),
        rp_name="Garboard",
        user_name=user.sign_in,
        user_id=user.id.encode(),
        user_display_name=user.name,
        exclude_credentials=[
            PublicKeyCredentialDescriptor(id=each.credential_id) for each in known
        ],
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED,
            user_verification=UserVerificationRequirement.REQUIRED,
        ),
    )
    return _offered(request, options_to_json(options), options.challenge)


async def make(request: Request) -> Response:
    """Keep the public half of a passkey just made."""
    sent = await _sent(request)
    return await run_in_threadpool(_made, request, sent)


def _made(request: Request, sent: dict[str, Any]) -> Response:
    desk = desk_of(request)
    try:
        proved = verify_registration_response(
            credential=sent["credential"],
            expected_challenge=_challenge(request),
            expected_rp_id=_host(request),
            expected_origin=_origin(request),
            require_user_verification=True,
        )
    except Refused:
        raise
    except (WebAuthnException, KeyError, TypeError, ValueError) as problem:
        raise _not_proved() from problem
    with desk.database.writing() as connection:
        accounts.add_passkey(
            connection,
            who(request).id,
            credential_id=proved.credential_id,
            public_key=proved.credential_public_key,
            sign_count=proved.sign_count,
            name=str(sent.get("name", ""))[:80],
            now=desk.clock(),
        )
    return JSONResponse({"after": "/account"})


def offer_entering(request: Request) -> Response:
    """What the browser needs to sign in with any passkey it has for this desk."""
    options = generate_authentication_options(
        rp_id=_host(request), user_verification=UserVerificationRequirement.REQUIRED
    )
    return _offered(request, options_to_json(options), options.challenge)


async def enter(request: Request) -> Response:
    """Sign in with a passkey."""
    sent = await _sent(request)
    return await run_in_threadpool(_entered, request, sent)


def _entered(request: Request, sent: dict[str, Any]) -> Response:
    desk = desk_of(request)
    try:
        credential_id = base64url_to_bytes(sent["credential"]["id"])
        with desk.database.reading() as connection:
            held = accounts.passkey_of(connection, credential_id)
        if held is None:
            raise _not_proved()
        proved = verify_authentication_response(
            credential=sent["credential"],
            expected_challenge=_challenge(request),
            expected_rp_id=_host(request),
            expected_origin=_origin(request),
            credential_public_key=held.public_key,
            credential_current_sign_count=held.sign_count,
            require_user_verification=True,
        )
    except Refused:
        raise
    except (WebAuthnException, KeyError, TypeError, ValueError) as problem:
        raise _not_proved() from problem
    with desk.database.writing() as connection:
        accounts.passkey_used(connection, credential_id, proved.new_sign_count, desk.clock())
    signed_in = begun(request, held.user, str(sent.get("after", "/")))
    answer = JSONResponse({"after": signed_in.headers["location"]})
    answer.headers["set-cookie"] = signed_in.headers["set-cookie"]
    return answer


def forget(request: Request, form: Texts) -> Response:
    """Forget a passkey."""
    try:
        credential_id = base64url_to_bytes(form.get("passkey", ""))
    except ValueError:
        return see("/account")
    with desk_of(request).database.writing() as connection:
        accounts.remove_passkey(connection, who(request).id, credential_id)
    return see("/account")


def passkeys_shown(request: Request) -> list[dict[str, Any]]:
    """The passkeys of the signed-in surveyor, for the account page."""
    desk = desk_of(request)
    with desk.database.reading() as connection:
        found = accounts.passkeys_of(connection, who(request).id)
    return [
        {
            "id": bytes_to_base64url(each.credential_id),
            "name": each.name,
            "made": each.created_at.astimezone(desk.zone),
            "used": each.used_at.astimezone(desk.zone) if each.used_at else None,
        }
        for each in found
    ]


def _offered(request: Request, options: str, challenge: bytes) -> Response:
    desk = desk_of(request)
    name = new_token(desk.random_bytes)
    _challenges(request).hand_out(name, challenge, desk.clock())
    answer = Response(options, media_type="application/json")
    answer.set_cookie(
        _AWAITED,
        name,
        max_age=int(LASTS.total_seconds()),
        httponly=True,
        samesite="strict",
        secure=request.url.scheme == "https",
    )
    return answer


def _challenge(request: Request) -> bytes:
    return _challenges(request).take(request.cookies.get(_AWAITED, ""), desk_of(request).clock())


def _challenges(request: Request) -> Challenges:
    found: Challenges = request.app.state.challenges
    return found


async def _sent(request: Request) -> dict[str, Any]:
    try:
        sent = json.loads(await request.body())
    except (ValueError, RecursionError):
        sent = None
    if not isinstance(sent, dict):
        raise _not_proved()
    return sent


def _host(request: Request) -> str:
    return request.url.hostname or ""


def _origin(request: Request) -> str:
    return f"{request.url.scheme}://{request.url.netloc}"


def _not_proved() -> Refused:
    problem = Problem(
        where="passkey",
        what="it is not known here, or did not prove itself",
        do="Sign in with your password, and make a new passkey on your account's page",
    )
    return Refused([problem])


ROUTES = (
    Route("/account/passkeys/offer", offer_making, methods=["POST"]),
    Route("/account/passkeys", make, methods=["POST"]),
    Route("/account/passkeys/forget", posted(forget), methods=["POST"]),
    Route("/sign-in/passkey/offer", offer_entering, methods=["POST"]),
    Route("/sign-in/passkey", enter, methods=["POST"]),
)
