"""One's own account: the devices signed in, and how to end them; the password; the time zone of the desk."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, who
from garboard.desk.filled import whole_number
from garboard.desk.forms import Texts
from garboard.desk.notes import say
from garboard.desk.pages.passkeys import passkeys_shown
from garboard.desk.render import page, see
from garboard.desk.zones import choices
from garboard.notebook.problem import Problem, Refused
from garboard.store import accounts, sessions


def show(request: Request) -> Response:
    """The account and its devices."""
    return _shown(request, ())


def end(request: Request, form: Texts) -> Response:
    """End the session of another device."""
    desk, number = desk_of(request), whole_number(form.get("session", ""))
    if number is not None:
        with desk.database.writing() as connection:
            sessions.revoke(connection, who(request).id, number, desk.clock())
        say(request, "That device is signed out.")
    return see("/account")


def change(request: Request, form: Texts) -> Response:
    """Change the password; every other device has to sign in again."""
    desk, user = desk_of(request), who(request)
    try:
        accounts.sign_in(
            desk.database,
            user.sign_in,
            form.get("old", ""),
            address=request.client.host if request.client else "",
            now=desk.clock(),
        )
        kept = accounts.hashed(form.get("new", ""))
    except Refused as refused:
        return _shown(request, refused.problems, status=422)
    with desk.database.writing() as connection:
        accounts.set_password(connection, user.id, kept)
        sessions.revoke_all(connection, user.id, desk.clock(), but=request.state.session.id)
    say(request, "The password is changed; all other devices have to sign in again.")
    return see("/account")


def choose_zone(request: Request, form: Texts) -> Response:
    """Write and show times in another zone from now on, for everybody at this desk."""
    desk = desk_of(request)
    try:
        desk.zones.choose(form.get("zone", ""), by=who(request).name, now=desk.clock())
    except Refused as refused:
        return _shown(request, refused.problems, status=422)
    say(request, f"Times are written and shown in the zone {desk.zones.name} from now on.")
    return see("/account#time")


def _shown(request: Request, problems: tuple[Problem, ...], status: int = 200) -> Response:
    desk = desk_of(request)
    with desk.database.reading() as connection:
        found = sessions.of_user(connection, who(request).id, desk.clock())
    return page(
        request,
        "account.html",
        status=status,
        at="account",
        devices=found,
        own=request.state.session.id,
        zone=desk.zone,
        now=desk.now(),
        zone_name=desk.zones.name,
        lost=desk.zones.lost,
        zones=choices(),
        is_offered=any(desk.zones.name == name for name, _ in choices()),
        passkeys=passkeys_shown(request),
        problems=problems,
    )


ROUTES = (
    Route("/account", show),
    Route("/account/end", posted(end), methods=["POST"]),
    Route("/account/zone", posted(choose_zone), methods=["POST"]),
    Route("/account/password", posted(change), methods=["POST"]),
)
