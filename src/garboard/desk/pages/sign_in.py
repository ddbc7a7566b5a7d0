"""Signing in and out, and the one-time link by which a new surveyor chooses a password."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.access import COOKIE
from garboard.desk.asked import posted
from garboard.desk.context import desk_of
from garboard.desk.forms import Texts
from garboard.desk.render import page, see
from garboard.notebook.problem import Refused
from garboard.store import accounts, links, sessions

CHOOSE = "choose a password"
"""What a one-time link to this page is for."""

_YEAR_S = 365 * 24 * 3600


def show(request: Request) -> Response:
    """The form to sign in with."""
    return page(request, "sign_in.html", after=_after(request), problems=(), name="")


def enter(request: Request, form: Texts) -> Response:
    """Sign in with name and password."""
    desk, name = desk_of(request), form.get("name", "")
    try:
        user = accounts.sign_in(
            desk.database,
            name,
            form.get("password", ""),
            address=request.client.host if request.client else "",
            now=desk.clock(),
        )
    except Refused as refused:
        return page(
            request,
            "sign_in.html",
            status=422,
            after=form.get("after", "/"),
            problems=refused.problems,
            name=name,
        )
    return begun(request, user.id, form.get("after", "/"))


def leave(request: Request, _: Texts) -> Response:
    """Sign out on this device."""
    desk = desk_of(request)
    with desk.database.writing() as connection:
        session = request.state.session
        sessions.revoke(connection, session.user.id, session.id, desk.clock())
    gone = see("/sign-in")
    gone.delete_cookie(COOKIE)
    return gone


def welcome(request: Request) -> Response:
    """Where a one-time link leads: choose a password."""
    desk = desk_of(request)
    with desk.database.reading() as connection:
        user_id = links.look(connection, CHOOSE, request.path_params["token"], desk.clock())
        user = accounts.user_of(connection, user_id)
    return page(request, "welcome.html", user=user, problems=())


def choose(request: Request, form: Texts) -> Response:
    """Keep the chosen password, and sign in with it."""
    desk, token = desk_of(request), request.path_params["token"]
    try:
        kept = accounts.hashed(form.get("password", ""))
    except Refused as refused:
        with desk.database.reading() as connection:
            user_id = links.look(connection, CHOOSE, token, desk.clock())
            user = accounts.user_of(connection, user_id)
        return page(request, "welcome.html", status=422, user=user, problems=refused.problems)
    with desk.database.writing() as connection:
        user_id = links.use(connection, CHOOSE, token, desk.clock())
        accounts.set_password(connection, user_id, kept)
        sessions.revoke_all(connection, user_id, desk.clock())
    return begun(request, user_id, "/")


def begun(request: Request, user_id: str, after: str, device: str = "") -> Response:
    """A session begun on this device, under a name of its own or one by its browser, and the page asked for."""
    desk = desk_of(request)
    with desk.database.writing() as connection:
        token = sessions.begin(
            connection,
            user_id,
            device=device or device_of(request),
            now=desk.clock(),
            random_bytes=desk.random_bytes,
        )
    answer = see(after if _is_ours(after) else "/")
    answer.set_cookie(
        COOKIE,
        token,
        max_age=_YEAR_S,
        httponly=True,
        samesite="lax",
        secure=request.url.scheme == "https",
    )
    return answer


def _after(request: Request) -> str:
    after = request.query_params.get("after", "/")
    return after if _is_ours(after) else "/"


def _is_ours(address: str) -> bool:
    """An address of this server, which no link can make lead elsewhere."""
    return address.startswith("/") and not address.startswith(("//", "/\\"))


def device_of(request: Request) -> str:
    """What a device is, by what its browser says of it; a tablet that does not say so passes for a computer."""
    said = request.headers.get("user-agent", "")
    if "Tablet" in said:
        return "Tablet"
    is_mobile = "Mobile" in said or request.headers.get("sec-ch-ua-mobile") == "?1"
    return "Phone" if is_mobile else "Computer"


ROUTES = (
    Route("/sign-in", show),
    Route("/sign-in", posted(enter), methods=["POST"]),
    Route("/sign-out", posted(leave), methods=["POST"]),
    Route("/welcome/{token}", welcome),
    Route("/welcome/{token}", posted(choose), methods=["POST"]),
)
