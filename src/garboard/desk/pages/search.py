"""Search: every word ever written in any survey, and boats by name or number."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.context import desk_of
from garboard.desk.render import page
from garboard.store import search

MOST = 50


def show(request: Request) -> Response:
    """The surveys in which everything asked for stands."""
    asked = request.query_params.get("q", "").strip()
    with desk_of(request).database.reading() as connection:
        hits = search.search(connection, asked, limit=MOST) if asked else ()
    return page(request, "search.html", q=asked, hits=hits, most=MOST)


ROUTES = (Route("/search", show),)
