"""What was written on other devices since a page of a survey was made."""

from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.api.sent import whole_number
from garboard.desk.context import DEVICE, desk_of, survey_of, who
from garboard.desk.render import page
from garboard.desk.told import line_of
from garboard.notebook.entry import Entry
from garboard.store import entries

_SHOWN = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """An entry and what it says, in a line."""

    entry: Entry[Any]
    words: str


def show(request: Request) -> Response:
    """The latest entries after an arrival that the reader did not write at a desk, and how many came before them."""
    survey = survey_of(request)
    since = whole_number(request.query_params.get("since", "0"), "since")
    with desk_of(request).database.reading() as connection:
        rows = entries.of_survey(connection, survey.id, after=since)
    me = who(request).name
    others = [
        each
        for each in (entries.entry_of(row.line) for row in rows)
        if (each.author, each.device) != (me, DEVICE)
    ]
    return page(
        request,
        "_news.html",
        written=[Written(entry=each, words=line_of(each.body)) for each in others[-_SHOWN:]],
        more=max(0, len(others) - _SHOWN),
    )


ROUTES = (Route("/s/{survey}/news", show),)
