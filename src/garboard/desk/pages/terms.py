"""Terms: the surveyor's own texts, version by version, and the page on which a client accepts them unsigned-in."""

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files

from sqlalchemy import Connection
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, who
from garboard.desk.forms import Texts
from garboard.desk.keep import accept
from garboard.desk.offered import Laid, as_text, laid_before_acceptance, laid_when_accepted
from garboard.desk.render import page, see
from garboard.notebook.body import Arrangement, Terms
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.store import links, texts
from garboard.store.links import Offer
from garboard.store.tokens import new_id

DEVICE = "acceptance link"
"""What an acceptance says of its device."""

PRACTICE = "letterhead"
"""The name of the text that says whose terms they are."""

_NAME_MOST = 200
_TEXT_MOST = 200_000


# The surveyor's own texts


def show(request: Request) -> Response:
    """The texts, and what each of their clauses is to say."""
    return _texts_page(request, {}, ())


def keep(request: Request, form: Texts) -> Response:
    """Keep a text as the latest version of its name; empty puts it away."""
    name, text = form.get("name", "").strip(), _plain(form.get("text", ""))
    problems = []
    if not name:
        problems.append(Problem(where="name", what="the text has no name", do="Give it one of a few words"))  # fmt: skip
    if len(name) > _NAME_MOST:
        problems.append(Problem(where="name", what="it is longer than a line", do="Give it one of a few words"))  # fmt: skip
    if len(text) > _TEXT_MOST:
        problems.append(_too_long("text"))
    if problems:
        return _texts_page(request, form, problems, status=422)
    _keep(request, "terms", name, text)
    return see("/terms-texts")


def keep_practice(request: Request, form: Texts) -> Response:
    """Keep what clients read of the practice."""
    text = _plain(form.get("practice", ""))
    if len(text) > _TEXT_MOST:
        return _texts_page(request, form, [_too_long("practice")], status=422)
    _keep(request, "practice", PRACTICE, text)
    return see("/terms-texts#practice")


def one(request: Request) -> Response:
    """One version of a text, by its SHA-256."""
    with desk_of(request).database.reading() as connection:
        found = texts.of_sha256(connection, request.path_params["sha256"])
        if found is None or found.kind != "terms":
            raise HTTPException(404, "There is no such text here.")
        versions = texts.versions(connection, "terms", found.name)
    zone = desk_of(request).zone
    return page(request, "terms_text.html", text=found, versions=versions, zone=zone)


def _texts_page(
    request: Request, form: Texts, problems: Sequence[Problem], status: int = 200
) -> Response:
    with desk_of(request).database.reading() as connection:
        own = texts.latest(connection, "terms")
        practice = practice_of(connection)
        named = request.query_params.get("name", "")
        begun = texts.one(connection, "terms", named) if named else None
    return page(
        request,
        "terms_texts.html",
        status=status,
        own=own,
        zone=desk_of(request).zone,
        clauses=clauses(),
        practice=form.get("practice", practice),
        name=form.get("name", begun.name if begun else "" if own else "Terms of survey"),
        text=form.get("text", begun.text if begun else ""),
        is_known=begun is not None,
        problems=problems,
    )


def _too_long(where: str) -> Problem:
    return Problem(where=where, what="it is longer than a book", do="Shorten it")


def _keep(request: Request, kind: texts.Kind, name: str, text: str) -> None:
    desk = desk_of(request)
    with desk.database.writing() as connection:
        texts.keep(connection, kind, name, text, by=who(request).name, now=desk.clock())


@cache
def clauses() -> tuple[Mapping[str, str], ...]:
    """What terms have to settle, clause by clause: `about`, `says`, and what to `beware` of."""
    text = files("garboard.desk").joinpath("clauses.toml").read_text("utf-8")
    found: list[Mapping[str, str]] = tomllib.loads(text)["clause"]
    return tuple(found)


# The client's page


def offered(request: Request) -> Response:
    """The terms that lie before a client, or those that were accepted."""
    try:
        found, survey, laid = _under(request)
    except Refused as refused:
        return _closed(request, refused)
    return _client_page(request, survey, laid, found)


def accepted(request: Request, form: Texts) -> Response:
    """Accept the terms as they were read."""
    try:
        found, survey, laid = _under(request)
    except Refused as refused:
        return _closed(request, refused)
    address = f"/terms/{request.path_params['token']}"
    if found.accepted_at:
        return see(address)
    name = form.get("accepted_by", "").strip()
    problems = dict(_wrong(form, name))
    if form.get("shown") != laid.digest:
        problems["shown"] = "Something was changed while you were reading. Please read it again."
    if problems:
        return _client_page(request, survey, laid, found, form, problems, status=422)
    try:
        _accept(request, survey, laid, found, name)
    except Refused as refused:
        return _closed(request, refused)
    return see(address)


def copy(request: Request) -> Response:
    """What was accepted, as a file to keep."""
    try:
        found, _, laid = _under(request)
    except Refused as refused:
        return _closed(request, refused)
    if found.accepted_at is None:
        raise HTTPException(404, "Nothing was accepted under this link yet.")
    with desk_of(request).database.reading() as connection:
        text = as_text(laid, practice_of(connection))
    headers = {"content-disposition": 'attachment; filename="terms-of-survey.txt"'}
    return Response(text, media_type="text/plain; charset=utf-8", headers=headers)


def _under(request: Request) -> tuple[Offer, Survey, Laid]:
    """What lies under the token of the address.

    Raises:
        Refused: It can no longer be read or accepted.
    """
    desk = desk_of(request)
    with desk.database.reading() as connection:
        found = links.offered(connection, request.path_params["token"], desk.clock())
        survey = desk.surveys.get(found.survey)
        assert survey is not None
        if found.accepted_at:
            return found, survey, laid_when_accepted(connection, survey, found.accepted_at)
        return found, survey, laid_before_acceptance(connection, found, survey)


def _wrong(form: Texts, name: str) -> Mapping[str, str]:
    problems = {}
    if form.get("agreed") != "yes":
        problems["agreed"] = "Set the mark to accept the terms."
    if not name or len(name) > _NAME_MOST or not name.isprintable():
        problems["accepted_by"] = "Write your name."
    return problems


def _accept(request: Request, survey: Survey, laid: Laid, found: Offer, name: str) -> None:
    desk, token = desk_of(request), request.path_params["token"]
    at = desk.now()
    sent = found.created_at.astimezone(desk.zone)
    fees = [each for each in survey.of(Arrangement) if each.body.what == "fee"]

    def entry(body: Terms | Arrangement, *replaces: str) -> Entry[Terms | Arrangement]:
        return Entry(
            id=new_id(at, desk.random_bytes),
            survey=survey.id,
            at=at,
            author=name,
            device=DEVICE,
            body=body,
            replaces=replaces,
            why="accepted with the terms" if replaces else None,
        )

    terms = Terms(
        version=laid.version,
        accepted_by=name,
        accepted_on=at.date(),
        how=f"by the link sent on {sent.day} {sent:%B %Y}",
        summary=laid.lines,
        sha256=laid.text.sha256,
    )
    made = [entry(terms)]
    if fees:
        fee = Arrangement(what="fee", words=laid.price, with_whom=name, on=at.date())
        made.append(entry(fee, *(each.id for each in fees)))

    def close(connection: Connection) -> None:
        if links.offered(connection, token, at).accepted_at:
            raise Refused([Problem(where="link", what="the terms were accepted already", do="Open it again")])  # fmt: skip
        links.accept(connection, token, at)

    accept(desk, tuple(made), close)


def _client_page(
    request: Request,
    survey: Survey,
    laid: Laid,
    found: Offer,
    form: Texts | None = None,
    problems: Mapping[str, str] | None = None,
    status: int = 200,
) -> Response:
    with desk_of(request).database.reading() as connection:
        practice = practice_of(connection)
    return _unlisted(
        page(
            request,
            "terms.html",
            status=status,
            who=None,
            boat=survey.boat.name if survey.boat else "",
            laid=laid,
            until=found.expires_at.astimezone(desk_of(request).zone),
            practice=practice,
            token=request.path_params["token"],
            form=form or {},
            problems=problems or {},
        )
    )


def _closed(request: Request, refused: Refused) -> Response:
    return _unlisted(
        page(request, "terms_closed.html", status=410, who=None, problems=refused.problems)
    )


def _unlisted(answer: Response) -> Response:
    answer.headers["x-robots-tag"] = "noindex"
    return answer


def practice_of(connection: Connection) -> str:
    """What clients read of the practice above its terms; empty while nobody wrote it."""
    found = texts.one(connection, "practice", PRACTICE)
    return found.text if found else ""


def _plain(text: str) -> str:
    return text.replace("\r\n", "\n").strip()


ROUTES = (
    Route("/terms-texts", show),
    Route("/terms-texts", posted(keep), methods=["POST"]),
    Route("/terms-texts/practice", posted(keep_practice), methods=["POST"]),
    Route("/terms-texts/{sha256}", one),
    Route("/terms/{token}", offered),
    Route("/terms/{token}", posted(accepted), methods=["POST"]),
    Route("/terms/{token}/copy", copy),
)
