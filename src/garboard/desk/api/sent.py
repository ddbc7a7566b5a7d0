"""What a program sent: JSON with a list in it, refused in words where it is none."""

import json
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request

from garboard.notebook.shape import as_found

MOST_IDS = 50_000
"""How many ids or hashes one request may ask about."""


async def list_of(request: Request, name: str, most: int) -> list[Any]:
    """The list under a name in the JSON object of a request's body.

    Raises:
        HTTPException: The body is none, has no such list, or has too long a one.
    """
    wanted = f'Send an object with a list "{name}"'
    try:
        body = json.loads(await request.body())
    except (ValueError, RecursionError) as problem:
        raise HTTPException(400, f"The body is not JSON: {_trouble(problem)}. {wanted}.") from None
    found = body.get(name) if isinstance(body, dict) else None
    if not isinstance(found, list):
        raise HTTPException(400, f"The body: it holds no such list. {wanted}.")
    if len(found) > most:
        raise HTTPException(413, f"{len(found)} at once are too many; send {most} or fewer.")
    return found


async def names_of(request: Request, name: str) -> list[str]:
    """The ids or hashes under a name in the JSON object of a request's body.

    Raises:
        HTTPException: There is no such list, it is too long, or holds something else.
    """
    found = await list_of(request, name, MOST_IDS)
    for number, each in enumerate(found, 1):
        if not isinstance(each, str):
            raise HTTPException(400, f'"{name}", number {number}: {as_found(each)} stands where one belongs. Write each as a text.')  # fmt: skip
        if not each.isascii():
            # Half of a pair of surrogates cannot be sent back.
            found_here = as_found(each.encode(errors="replace").decode())
            raise HTTPException(400, f'"{name}", number {number}: {found_here} is no id or hash. Write it in plain letters and digits.')  # fmt: skip
    return found


def whole_number(text: str, name: str) -> int:
    """A whole number from an address.

    Raises:
        HTTPException: It is none, or longer than any that is used here.
    """
    if not text.isdecimal() or len(text) > 18:
        raise HTTPException(400, f'"{name}" must be a whole number, not "{text[:40]}".')
    return int(text)


def _trouble(problem: ValueError | RecursionError) -> str:
    match problem:
        case json.JSONDecodeError():
            return f"it goes wrong in line {problem.lineno}, character {problem.colno}"
        case UnicodeDecodeError():
            return f"byte {problem.start + 1} is not UTF-8"
        case RecursionError():
            return "it is nested too deep"
        case _:
            return "a number in it has too many digits"
