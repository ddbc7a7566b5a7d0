"""Entries pushed, pulled and asked for; and the news that there is something new."""

import asyncio
import json
from collections import defaultdict
from collections.abc import AsyncIterator, Iterable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from garboard.catalogue.naming import capital
from garboard.desk.api.sent import list_of, names_of, whole_number
from garboard.desk.context import Desk, desk_of
from garboard.desk.keep import known_words
from garboard.desk.labels import kind_words
from garboard.desk.refusals import in_words, wrong
from garboard.notebook.body import KINDS
from garboard.notebook.entry import Entry, from_json
from garboard.notebook.fold import Survey
from garboard.notebook.ids import is_uuid7
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.vet import vet
from garboard.store import entries, listing

MOST_ENTRIES = 2000
"""How many entries one request may bring or ask for."""

# What an entry is called that cannot be read.
_SENT = "entry"
_ENVELOPE: Mapping[str, str] = MappingProxyType(
    {
        "id": "its id",
        "survey": "the id of its survey",
        "at": "its time",
        "author": "who wrote it",
        "device": "on which device it was written",
        "kind": "of which kind it is",
        "body": "what was done",
        "replaces": "what it takes the place of",
        "why": "the reason for it",
    }
)
_LOOKS_EVERY_S = 0.4
_SAYS_IT_LIVES_EVERY = 40


async def push(request: Request) -> Response:
    """Keep entries: those that make sense, and say of each other one why it does not."""
    sent = await list_of(request, "entries", MOST_ENTRIES)
    return await run_in_threadpool(_kept, desk_of(request), sent)


def pull(request: Request) -> Response:
    """Entries that arrived after a cursor, as they were sent, in the order of arrival."""
    asked = request.query_params
    with desk_of(request).database.reading() as connection:
        found = entries.since(
            connection,
            whole_number(asked.get("since", "0"), "since"),
            survey=_survey_id(asked.get("survey")),
            limit=min(
                MOST_ENTRIES, max(1, whole_number(asked.get("limit", str(MOST_ENTRIES)), "limit"))
            ),
        )
    # The lines are JSON already, and go out as they came.
    lines = b",".join(row.line for row in found.rows)
    rest = json.dumps({"cursor": found.cursor, "more": not found.is_last})
    return Response(
        b'{"entries":[' + lines + b"]," + rest[1:].encode(), media_type="application/json"
    )


async def missing(request: Request) -> Response:
    """Which entries of a list are not here."""
    ids = await names_of(request, "ids")
    return await run_in_threadpool(_missing, desk_of(request), ids)


def surveys(request: Request) -> Response:
    """The surveys that are here, the latest changed first, and up to which arrival each speaks."""
    asked = request.query_params
    with desk_of(request).database.reading() as connection:
        found = listing.latest(
            connection,
            limit=min(MOST_ENTRIES, max(1, whole_number(asked.get("limit", "200"), "limit"))),
            skip=whole_number(asked.get("skip", "0"), "skip"),
        )
    return JSONResponse(
        {
            "surveys": [
                {
                    "id": each.survey,
                    "boat": each.boat,
                    "client": each.client,
                    "purpose": each.purpose,
                    "changed_at": each.changed_at.isoformat(),
                    "cursor": each.last_seq,
                    "digest": each.digest,
                }
                for each in found
            ]
        }
    )


def news(request: Request) -> Response:
    """A stream of server-sent events: the cursor of the latest arrival, whenever there is a later one."""
    after = request.headers.get("last-event-id") or request.query_params.get("since", "0")
    since = whole_number(after, "since")
    survey = _survey_id(request.query_params.get("survey"))
    return StreamingResponse(
        _events(request, since, survey),
        media_type="text/event-stream",
        headers={"x-accel-buffering": "no"},
    )


async def _events(request: Request, cursor: int, survey: str | None) -> AsyncIterator[str]:
    desk, silent = desk_of(request), 0
    yield "retry: 2000\n\n"
    while not (request.app.state.is_ending() or await request.is_disconnected()):
        latest = await run_in_threadpool(news_after, desk, cursor, survey)
        if latest is not None:
            cursor, silent = latest, 0
            yield f"id: {cursor}\nevent: new\ndata: {cursor}\n\n"
        elif silent == _SAYS_IT_LIVES_EVERY:
            silent = 0
            yield ": still here\n\n"
        silent += 1
        await asyncio.sleep(_LOOKS_EVERY_S)


def news_after(desk: Desk, cursor: int, survey: str | None) -> int | None:
    """The cursor of the latest arrival, of a survey or of all, if it is later than the one given."""
    with desk.database.reading() as connection:
        latest = entries.last_seq(connection, survey)
    return latest if latest > cursor else None


def _kept(desk: Desk, sent: list[Any]) -> Response:
    read: list[Entry[Any]] = []
    refused: list[dict[str, Any]] = []
    for number, each in enumerate(sent):
        try:
            read.append(from_json(each, _SENT))
        except Refused as problem:
            refused.append(_refusal(number, each, [*_unread(each, problem.problems)]))
    sound, doubtful = _vetted(desk, read)
    at = {_id_of(each): number for number, each in enumerate(sent)}
    refused += [_refusal(at[id_], {"id": id_}, found) for id_, found in doubtful.items()]
    new = desk.surveys.add(sound)
    return JSONResponse({"held": [each.id for each in sound], "new": len(new), "refused": refused})


def _unread(sent: Any, problems: Iterable[Problem]) -> Iterator[Problem]:
    """Why an entry could not be read, in words: what lies in its body in those of its form."""
    kind = str(sent.get("kind")) if isinstance(sent, dict) else ""
    called, body = capital(kind_words(kind) if kind in KINDS else _SENT), f"{_SENT} {kind}"
    for each in problems:
        if kind in KINDS and each.where == body:
            yield replace(each, where=called, what="what was done is not told by its fields")
        elif kind in KINDS and each.where.startswith(f"{body} "):
            yield wrong(each, kind, each.where.removeprefix(f"{body} "))
        else:
            name = each.where.removeprefix(_SENT).strip()
            yield replace(each, where=", ".join(filter(None, (called, _ENVELOPE.get(name, name)))))


def _vetted(
    desk: Desk, read: list[Entry[Any]]
) -> tuple[list[Entry[Any]], Mapping[str, list[Problem]]]:
    """The entries that make sense beside what is here, and by id what is wrong with the others."""
    by_survey: dict[str, list[Entry[Any]]] = defaultdict(list)
    for each in read:
        by_survey[each.survey].append(each)
    sound: list[Entry[Any]] = []
    doubtful: dict[str, list[Problem]] = defaultdict(list)
    for survey, some in by_survey.items():
        folded = desk.surveys.get(survey)
        vetted = vet(
            some,
            known=known_words(),
            now=desk.now(),
            held=_beside(folded, some),
            where={each.id: each.id for each in some},
        )
        sound += vetted.accepted
        for id_, problem in in_words(vetted.problems, some):
            doubtful[id_].append(problem)
    return sound, doubtful


def _beside(folded: Survey | None, some: list[Entry[Any]]) -> list[Entry[Any]]:
    """What is held already of the entries themselves and of what they replace; nothing else is asked of them."""
    if folded is None:
        return []
    wanted = {each.id for each in some} | {id_ for each in some for id_ in each.replaces}
    return [folded.by_id[each] for each in wanted if each in folded.by_id]


def _missing(desk: Desk, ids: list[str]) -> Response:
    with desk.database.reading() as connection:
        return JSONResponse({"missing": entries.missing(connection, ids)})


def _refusal(number: int, sent: Any, problems: list[Problem]) -> dict[str, Any]:
    words = [_sendable(str(each)) for each in problems]
    return {"number": number, "id": _sendable(_id_of(sent)), "problems": words}


def _sendable(text: str) -> str:
    """A text that may hold halves of characters, which no answer can carry."""
    return text.encode("utf-8", "replace").decode()


def _id_of(sent: Any) -> str:
    return str(sent.get("id", "")) if isinstance(sent, dict) else ""


def _survey_id(text: str | None) -> str | None:
    if text is not None and not is_uuid7(text):
        raise HTTPException(
            400, f'"{text[:40]}" is not the id of a survey. Give it as the list of surveys does.'
        )
    return text


ROUTES = (
    Route("/api/entries", pull),
    Route("/api/entries", push, methods=["POST"]),
    Route("/api/entries/missing", missing, methods=["POST"]),
    Route("/api/surveys", surveys),
    Route("/api/news", news),
)
