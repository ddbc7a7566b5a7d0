"""What a program sent: JSON with a list in it, refused in words where it is none."""

import json
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request

MOST_IDS = 50_000
"""How many ids or hashes one request may ask about."""


async def list_of(request: Request, name: str, most: int) -> list[Any]:
    """The list under a name in the JSON object of a request's body.

    Raises:
        HTTPException: The body is none, has no such list, or has too long a one.
    """
    try:
        body = json.loads(await request.body())
    except (ValueError, RecursionError) as problem:
        raise HTTPException(400, f"The body is not JSON ({problem}).") from None
    found = body.get(name) if isinstance(body, dict) else None
    if not isinstance(found, list):
        raise HTTPException(400, f'The body must be an object with a list "{name}".')
    if len(found) > most:
        raise HTTPException(413, f"{len(found)} at once are too many; send {most} or fewer.")
    return found


def whole_number(text: str, name: str) -> int:
    """A whole number from an address.

    Raises:
        HTTPException: It is none, or longer than any that is used here.
    """
    if not text.isdecimal() or len(text) > 18:
        raise HTTPException(400, f'"{name}" must be a whole number, not "{text[:40]}".')
    return int(text)
