"""The diary: every survey by how far it has come, what it waits for, and the days ahead."""

from dataclasses import dataclass
from datetime import date

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.context import desk_of
from garboard.desk.render import page
from garboard.judgement.steps import Stage
from garboard.store import listing
from garboard.store.listing import Listed

A_PAGE = 50
_OF_EACH = 6
_DAYS_AHEAD = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class List:
    """The surveys at one stage: its name, how many there are, and those that are shown."""

    stage: Stage
    name: str
    total: int
    shown: tuple[Listed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Deadline:
    """A day on which something falls: `words` say what, `near` how far off it is."""

    day: date
    words: str
    near: str
    is_past: bool
    survey: Listed


LISTS: dict[Stage, str] = {
    "at the boat": "At the boat",
    "enquiry": "Enquiries",
    "booked": "Booked",
    "to write": "To write",
    "to follow up": "To follow up",
    "out": "With the client",
    "not gone ahead": "Did not go ahead",
}
"""The lists of the diary: what is being surveyed now, then in the order of the work."""


def show(request: Request) -> Response:
    """The days ahead and the first of every list, or one list page by page."""
    asked = request.query_params.get("list", "")
    for stage in LISTS:
        if stage == asked:
            return _one_list(request, stage)
    desk = desk_of(request)
    with desk.database.reading() as connection:
        counts = listing.counts(connection)
        found = tuple(
            List(
                stage=stage,
                name=name,
                total=counts[stage],
                shown=listing.at_stage(connection, stage, limit=_OF_EACH),
            )
            for stage, name in LISTS.items()
            if counts.get(stage) and stage != "not gone ahead"
        )
        dated = listing.with_a_day(connection, limit=_DAYS_AHEAD)
    today = desk.now().date()
    return page(
        request,
        "diary.html",
        at="diary",
        lists=found,
        not_gone_ahead=counts.get("not gone ahead", 0),
        days=_deadlines(dated, today)[:_DAYS_AHEAD],
        now=desk.now(),
        zones=desk.zones,
    )


def _one_list(request: Request, stage: Stage) -> Response:
    number = request.query_params.get("page", "1")
    at = max(1, int(number)) if number.isdecimal() and len(number) < 10 else 1
    with desk_of(request).database.reading() as connection:
        total = listing.counts(connection).get(stage, 0)
        found = listing.at_stage(connection, stage, limit=A_PAGE, skip=(at - 1) * A_PAGE)
    return page(
        request,
        "diary_list.html",
        at="diary",
        list=List(stage=stage, name=LISTS[stage], total=total, shown=found),
        number=at,
        last=max(1, -(-total // A_PAGE)),
    )


def _deadlines(rows: tuple[Listed, ...], today: date) -> list[Deadline]:
    """What falls on which day, the earliest first."""
    found = []
    for row in rows:
        is_ahead = row.stage in ("enquiry", "booked")
        days = [
            ("visit", row.visit if is_ahead else None),
            (
                "report due",
                row.due if is_ahead or row.stage in ("at the boat", "to write") else None,
            ),
            ("follow up", row.day if row.stage == "to follow up" else None),
        ]
        found += [
            Deadline(day=day, words=words, near=near(day, today), is_past=day < today, survey=row)
            for words, day in days
            if day
        ]
    return sorted(found, key=lambda each: (each.day, each.survey.boat))


def near(day: date, today: date) -> str:
    """How far off a day is, in words.

    >>> near(date(2026, 5, 12), date(2026, 5, 13)), near(date(2026, 5, 20), date(2026, 5, 13))
    ('yesterday', 'in 7 days')
    """
    days = (day - today).days
    if abs(days) <= 1:
        return ("yesterday", "today", "tomorrow")[days + 1]
    return f"in {days} days" if days > 0 else f"{-days} days ago"


ROUTES = (Route("/", show),)
