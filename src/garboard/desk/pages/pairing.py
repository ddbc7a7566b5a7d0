"""A phone or tablet let in by a code that is read off the screen, good once and for some minutes."""

from datetime import timedelta

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.codes import code_of
from garboard.desk.context import desk_of, who
from garboard.desk.forms import Texts
from garboard.desk.pages.sign_in import begun, device_of
from garboard.desk.render import page
from garboard.desk.security import LOCAL
from garboard.store import accounts, links

PAIR = "let a device in"
"""What a one-time link to this page is for."""

_LASTS = timedelta(minutes=15)
_MOST_NAME = 60


def offer(request: Request, _: Texts) -> Response:
    """A code for one device of whoever is signed in."""
    desk = desk_of(request)
    with desk.database.writing() as connection:
        token = links.make(
            connection,
            PAIR,
            who(request).id,
            lasts=_LASTS,
            now=desk.clock(),
            random_bytes=desk.random_bytes,
        )
    network: str = request.app.state.network
    base = network or str(request.base_url).rstrip("/")
    address = f"{base}/pair/{token}"
    return page(
        request,
        "pairing.html",
        at="account",
        address=address,
        code=code_of(address),
        is_network=bool(network) or request.url.hostname not in LOCAL,
        minutes=int(_LASTS.total_seconds() // 60),
    )


def show(request: Request) -> Response:
    """Where the code leads, on the device: what it shall be called."""
    desk = desk_of(request)
    with desk.database.reading() as connection:
        user_id = links.look(connection, PAIR, request.path_params["token"], desk.clock())
        user = accounts.user_of(connection, user_id)
    # It is read with the camera of a phone or a tablet, whatever the browser calls itself.
    device = "tablet" if device_of(request) == "Tablet" else "phone"
    return page(request, "paired.html", user=user, device=device)


def let_in(request: Request, form: Texts) -> Response:
    """Sign the device in under its name, and open the page for the yard on it."""
    desk = desk_of(request)
    name = form.get("device", "").strip()[:_MOST_NAME]
    with desk.database.writing() as connection:
        user_id = links.use(connection, PAIR, request.path_params["token"], desk.clock())
    return begun(request, user_id, "/yard/", device=name)


ROUTES = (
    Route("/account/pair", posted(offer), methods=["POST"]),
    Route("/pair/{token}", show),
    Route("/pair/{token}", posted(let_in), methods=["POST"]),
)
