"""The description of the API after OpenAPI 3.1, its schemas made from the kinds of entries themselves.

Source: OpenAPI Specification 3.1.0; JSON Schema, draft 2020-12; both from memory, and checked by a validator in the
tests.
"""

import dataclasses
import types
from collections.abc import Mapping
from datetime import date, datetime
from functools import cache
from importlib.metadata import version
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from garboard.desk.access import COOKIE
from garboard.desk.api.entries import MOST_ENTRIES
from garboard.desk.api.files import MOST_FILE_BYTES, PIECE_BYTES
from garboard.notebook.body import KINDS, Range
from garboard.notebook.shape import hints

Schema = dict[str, Any]

_UUID: Schema = {"type": "string", "format": "uuid", "description": "A UUIDv7, small letters."}
_SHA256: Schema = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
_WHOLE: Schema = {"type": "integer", "minimum": 0}
_TEXTS: Schema = {"type": "array", "items": {"type": "string"}}
_PLAIN: Mapping[Any, Schema] = types.MappingProxyType(
    {
        str: {"type": "string"},
        bool: {"type": "boolean"},
        int: {"type": "integer"},
        float: {"type": "number"},
        date: {"type": "string", "format": "date"},
        datetime: {"type": "string", "format": "date-time"},
    }
)


def show(_: Request) -> Response:
    """The description itself."""
    return JSONResponse(description())


@cache
def description() -> Schema:
    """The whole description."""
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Garboard desk",
            "version": version("garboard"),
            "description": "Entries and files exchanged with devices and other desks. Sending again does no harm; what is acknowledged is on the disk.",
        },
        "security": [{"device": []}, {"browser": []}],
        "paths": _paths(),
        "components": {
            "securitySchemes": {
                "device": {"type": "http", "scheme": "bearer"},
                "browser": {"type": "apiKey", "in": "cookie", "name": COOKIE},
            },
            "schemas": {
                "Problems": _object(problems=_TEXTS),
                "Entry": {
                    "description": "One act of the survey, never changed once written.",
                    "oneOf": [{"$ref": f"#/components/schemas/{_name(kind)}Entry"} for kind in KINDS],
                },
                **{f"{_name(kind)}Entry": _entry(kind) for kind in KINDS},
                **{_name(kind): schema_of(cls) for kind, cls in KINDS.items()},
            },
        },
    }  # fmt: skip


def schema_of(hint: Any) -> Schema:
    """The JSON Schema of a type as `notebook.shape` reads and writes it."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        limits = [each for each in inner[1:] if isinstance(each, Range)]
        made = dict(schema_of(inner[0]))
        for each in limits:
            made |= {"minimum": each.low, "maximum": each.high}
            made |= {"description": each.unit} if each.unit else {}
        return made
    if origin in (Union, types.UnionType):
        return schema_of(next(each for each in inner if each is not type(None)))
    if origin is Literal:
        return {"enum": list(inner)}
    if origin is tuple:
        return {"type": "array", "items": schema_of(inner[0])}
    if origin is not None:
        return {"type": "object", "additionalProperties": schema_of(inner[1])}
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return _record(hint)
    return dict(_PLAIN[hint])


def _record(cls: type) -> Schema:
    fields = dataclasses.fields(cls)
    needed = [
        each.name
        for each in fields
        if each.default is dataclasses.MISSING and each.default_factory is dataclasses.MISSING
    ]
    return {
        "type": "object",
        "description": (cls.__doc__ or "").split("\n")[0],
        "properties": {each.name: schema_of(hints(cls)[each.name]) for each in fields},
        "required": needed,
        "additionalProperties": False,
    }


def _entry(kind: str) -> Schema:
    return {
        "type": "object",
        "required": ["id", "survey", "at", "author", "device", "kind", "body"],
        "additionalProperties": False,
        "properties": {
            "id": _UUID,
            "survey": _UUID,
            "at": {"type": "string", "format": "date-time", "description": "With its offset."},
            "author": {"type": "string", "minLength": 1},
            "device": {"type": "string", "minLength": 1},
            "kind": {"const": kind},
            "body": {"$ref": f"#/components/schemas/{_name(kind)}"},
            "replaces": {"type": "array", "items": _UUID},
            "why": {"type": ["string", "null"]},
        },
    }


def _name(kind: str) -> str:
    return "".join(word.capitalize() for word in kind.split())


def _paths() -> Schema:
    entry = {"$ref": "#/components/schemas/Entry"}
    survey = _query("survey", _UUID, "Only of this survey.")
    refused = _object(number={"type": ["integer", "null"]}, id={"type": "string"}, problems=_TEXTS)
    return {
        "/api/entries": {
            "get": _act(
                "Entries that arrived after a cursor, in the order of arrival",
                _object(
                    entries={"type": "array", "items": entry},
                    cursor={**_WHOLE, "description": "To go on from; 0 at first."},
                    more={"type": "boolean", "description": "There is more at once."},
                ),
                parameters=[
                    _query("since", _WHOLE, "The cursor."),
                    survey,
                    _query("limit", {"type": "integer", "minimum": 1, "maximum": MOST_ENTRIES}, "At most so many."),
                ],
            ),
            "post": _act(
                "Keep entries; those that make no sense are named one by one, the others are kept",
                _object(
                    held={"type": "array", "items": _UUID, "description": "Safe here, new or not."},
                    new={**_WHOLE, "description": "How many were not here before."},
                    refused={"type": "array", "items": refused},
                ),
                body=_object(entries={"type": "array", "maxItems": MOST_ENTRIES, "items": entry}),
            ),
        },
        "/api/entries/missing": {
            "post": _act(
                "Which entries of a list are not here",
                _object(missing={"type": "array", "items": _UUID}),
                body=_object(ids={"type": "array", "items": _UUID}),
            )
        },
        "/api/surveys": {
            "get": _act(
                "The surveys, the latest changed first",
                _object(
                    surveys={
                        "type": "array",
                        "items": _object(
                            id=_UUID,
                            boat={"type": "string"},
                            client={"type": "string"},
                            purpose={"type": "string"},
                            changed_at={"type": "string", "format": "date-time"},
                            cursor=_WHOLE,
                            digest=_SHA256,
                        ),
                    }
                ),
                parameters=[_query("limit", _WHOLE, "At most so many."), _query("skip", _WHOLE, "Pass over so many.")],
            )
        },
        "/api/news": {
            "get": {
                "summary": "Server-sent events: the latest cursor, whenever something arrived",
                "parameters": [_query("since", _WHOLE, "The cursor known."), survey],
                "responses": {
                    "200": {
                        "description": 'Events "new"; their data is the cursor.',
                        "content": {"text/event-stream": {"schema": {"type": "string"}}},
                    },
                    **_failures(),
                },
            }
        },
        "/api/files/missing": {
            "post": _act(
                "Which files of a list are not here whole",
                _object(missing={"type": "array", "items": _SHA256}),
                body=_object(sha256={"type": "array", "items": _SHA256}),
            )
        },
        "/api/files/{sha256}": {
            "get": {
                "summary": "A file as it came, proved against its hash",
                "parameters": [_hash()],
                "responses": {
                    "200": {
                        "description": "Its bytes.",
                        "content": {"application/octet-stream": {}},
                    },
                    **_failures(),
                },
            },
            "put": _act(
                f"The next bytes of a file, best {PIECE_BYTES} at once, {MOST_FILE_BYTES} at most in all",
                _object(offset={**_WHOLE, "description": "How many bytes have arrived."}),
                parameters=[_hash(), _query("offset", _WHOLE, "Where the bytes belong.")],
                content={"application/octet-stream": {}},
            ),
        },
        "/api/files/{sha256}/offset": {
            "get": _act(
                "How much of a file has arrived",
                _object(offset=_WHOLE, whole={"type": "boolean"}),
                parameters=[_hash()],
            )
        },
        "/api/files/{sha256}/finish": {
            "post": _act(
                "Keep a file that has arrived; it is acknowledged only if its bytes have the hash",
                _object(sha256=_SHA256, size=_WHOLE, media_type={"type": "string"}),
                parameters=[_hash()],
            )
        },
        "/api/openapi.json": {"get": _act("This description", {"type": "object"})},
    }  # fmt: skip


def _act(
    summary: str,
    answer: Schema,
    *,
    parameters: list[Schema] | None = None,
    body: Schema | None = None,
    content: Schema | None = None,
) -> Schema:
    sent = content or ({"application/json": {"schema": body}} if body else None)
    return {
        "summary": summary,
        **({"parameters": parameters} if parameters else {}),
        **({"requestBody": {"required": True, "content": sent}} if sent else {}),
        "responses": {
            "200": {
                "description": "Done.",
                "content": {"application/json": {"schema": answer}},
            },
            **_failures(),
        },
    }


def _failures() -> Schema:
    said = {"application/json": {"schema": {"$ref": "#/components/schemas/Problems"}}}
    return {"default": {"description": "Refused, with everything that is wrong.", "content": said}}


def _object(**properties: Schema) -> Schema:
    return {"type": "object", "properties": properties, "required": list(properties)}


def _query(name: str, schema: Schema, words: str) -> Schema:
    return {"name": name, "in": "query", "description": words, "schema": schema}


def _hash() -> Schema:
    return {"name": "sha256", "in": "path", "required": True, "schema": _SHA256}


ROUTES = (Route("/api/openapi.json", show),)
