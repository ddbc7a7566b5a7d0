"""What a browser sent: a form as texts by name, and handlers that need nothing but that.

Handlers are plain functions run in a thread, for the store waits on the disk.
"""

from collections.abc import Awaitable, Callable

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from garboard.desk.forms import Texts
from garboard.desk.notes import carried

Endpoint = Callable[[Request], Awaitable[Response]]

_MOST_FIELDS = 20_000


def posted(handler: Callable[[Request, Texts], Response]) -> Endpoint:
    """A handler of a form's texts; several values of one name are lines of one text.

    The page it leads to says what was kept.
    """

    async def endpoint(request: Request) -> Response:
        async with request.form(max_files=0, max_fields=_MOST_FIELDS) as form:
            texts = texts_in(form)
        return carried(request, await run_in_threadpool(handler, request, texts))

    return endpoint


def texts_in(form: FormData) -> Texts:
    """The texts of a form by name."""
    return {
        name: "\n".join(each for each in form.getlist(name) if isinstance(each, str) and each)
        for name in form
    }
