"""Whether a boat was surveyed here before: asked before a job is accepted, and told without the other client's affairs."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from sqlalchemy import Connection

from garboard.store import listing
from garboard.store.listing import Listed
from garboard.store.words import squeezed

By = Literal["identity number", "registration", "name"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """An earlier survey of what may be the same boat.

    `by` says what is the same, the surest first; `on` the day of her survey, None where it came to none.
    `survey` is its id where it was made for the same client; of another client's survey nothing more is told.
    """

    by: By
    on: date | None
    purpose: str
    survey: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The boat asked about, and for whom; empty where it was not said. `survey` is not counted itself."""

    identity_number: str = ""
    registration: str = ""
    name: str = ""
    client: str = ""
    survey: str = ""


def surveyed_before(connection: Connection, asked: Asked) -> tuple[Before, ...]:
    """The earlier surveys of this boat, the surest first, then the latest."""
    by_id: dict[str, tuple[By, Listed]] = {}
    words: tuple[tuple[By, str], ...] = (
        ("identity number", asked.identity_number),
        ("registration", asked.registration),
        ("name", asked.name),
    )
    for by, text in words:
        name = squeezed(text)
        for row in listing.of_boat(connection, name) if name else ():
            if row.survey != asked.survey:
                by_id.setdefault(row.survey, (by, row))
    return tuple(_before(by, row, asked.client) for by, row in by_id.values())


def in_words(found: tuple[Before, ...]) -> str:
    """What the search found, as the conflict check can say it of the surveyor's own records."""
    return "; ".join(map(_words, found)) or "no earlier survey of this boat"


def _words(each: Before) -> str:
    what = f"surveyed on {each.on.day} {each.on:%B %Y}" if each.on else "asked about before"
    same = f"the same {each.by}" if each.by != "name" else "a boat of the same name"
    return f"{same}, {what} for {'this client' if each.survey else 'another client'}"


def _before(by: By, row: Listed, client: str) -> Before:
    is_same = bool(client) and _who(client) == _who(row.client)
    on = row.visit if row.stage not in ("enquiry", "booked", "not gone ahead") else None
    return Before(by=by, on=on, purpose=row.purpose, survey=row.survey if is_same else None)


def _who(client: str) -> str:
    """A client's name without what is said of them after a comma."""
    return squeezed(client.partition(",")[0])
