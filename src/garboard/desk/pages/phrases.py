"""Wordings: those of one's own, to keep, edit and put away, and those of the catalogue to begin from."""

from types import MappingProxyType

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.naming import capital
from garboard.catalogue.parts import catalogue
from garboard.catalogue.phrases import phrases
from garboard.desk.asked import posted
from garboard.desk.context import desk_of, who
from garboard.desk.forms import Field, Texts
from garboard.desk.notes import say
from garboard.desk.parts import part_name
from garboard.desk.render import page, see
from garboard.desk.wordings import (
    FIELDS,
    keep_wording,
    own_wordings,
    put_away,
    texts_from_finding,
    texts_of_wording,
    title_of,
    wording,
)
from garboard.judgement.drafts import free_name
from garboard.judgement.ranking import URGENCIES
from garboard.notebook.problem import Problem, Refused

_NONE: Texts = MappingProxyType({})
_LONG = ("seen", "why", "what", "caution")
_LABELS = {
    "title": "Heading",
    "seen": "What was found",
    "why": "Why it matters",
    "urgency": "By when",
    "because": "What makes it that urgent",
    "what": "What is to be done",
    "by_whom": "Who should do it",
    "verified": "How it is seen to be done",
    "caution": "What to beware of",
}


def show(request: Request) -> Response:
    """All wordings."""
    own = own_wordings(desk_of(request))
    names = {each.text.name for each in own}
    return page(
        request,
        "phrases.html",
        at="phrases",
        own=[
            (
                each,
                title_of(each.phrase, ()) if each.phrase else each.text.name,
                [part_name(part) for part in each.phrase.parts] if each.phrase else [],
            )
            for each in own
        ],
        catalogue=[
            (id_, title_of(each, ())) for id_, each in phrases().items() if id_ not in names
        ],
    )


def one(request: Request) -> Response:
    """A wording to edit: one's own, or one of the catalogue to make one's own."""
    name = request.path_params["name"]
    found = wording(desk_of(request), name)
    if found is None:
        raise HTTPException(404, "There is no such wording.")
    return _page(request, name, texts_of_wording(found))


def begin(request: Request) -> Response:
    """A new wording."""
    return _page(request, "", _NONE)


def from_finding(request: Request, form: Texts) -> Response:
    """A new wording begun from a finding as it is being written."""
    return _page(request, "", texts_from_finding(form))


def keep(request: Request, form: Texts) -> Response:
    """Keep a wording of one's own, as its next version."""
    desk, name = desk_of(request), form.get("name", "").strip()
    taken = {each.text.name for each in own_wordings(desk)} | phrases().keys()
    name = name or free_name(form.get("title", "").replace("{", "").replace("}", ""), taken)
    try:
        kept = keep_wording(desk, name, form, who(request).name)
    except Refused as refused:
        return _page(request, form.get("name", ""), form, refused.problems, status=422)
    say(request, f"Kept: wording “{title_of(kept, ())}”.")
    return see(f"/phrases#{name}")


def away(request: Request, form: Texts) -> Response:
    """Put a wording of one's own away; its versions stay."""
    put_away(desk_of(request), form.get("name", ""), who(request).name)
    return see("/phrases")


def _page(
    request: Request,
    name: str,
    texts: Texts,
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    by_field = {each.where.rpartition(" ")[2]: each for each in problems}
    known = {"parts", *FIELDS}
    fields = [
        Field(
            path=each,
            label=_LABELS[each],
            kind="choice" if each == "urgency" else "text" if each in _LONG else "line",
            value=texts.get(each, ""),
            choices=tuple((urgency, urgency) for urgency in URGENCIES) if each == "urgency" else (),
            needed=each != "caution",
            problem=_words(by_field.get(each)),
        )
        for each in FIELDS
    ]
    return page(
        request,
        "phrase.html",
        status=status,
        at="phrases",
        name=name,
        # What came with a finding was never kept as a wording.
        is_unkept=request.method == "POST",
        is_own=any(each.text.name == name for each in own_wordings(desk_of(request))),
        fields=fields,
        parts=[
            part_name(each.strip()) for each in texts.get("parts", "").split("\n") if each.strip()
        ],
        parts_problem=_words(by_field.get("parts")),
        choices=[(id_, each.name) for id_, each in catalogue().parts.items()],
        slots=catalogue().vocabulary.slots,
        problems=[each for each in problems if each.where.rpartition(" ")[2] not in known],
    )


def _words(problem: Problem | None) -> str:
    if problem is None:
        return ""
    do = problem.do if problem.do.endswith("?") else f"{problem.do}."
    return f"{capital(problem.what)}. {do}"


ROUTES = (
    Route("/phrases", show),
    Route("/phrases", posted(keep), methods=["POST"]),
    Route("/phrases/new", begin),
    Route("/phrases/from", posted(from_finding), methods=["POST"]),
    Route("/phrases/away", posted(away), methods=["POST"]),
    Route("/phrases/of/{name}", one),
)
