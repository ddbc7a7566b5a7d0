"""A new enquiry: the few things learned in the first call, from which a survey is opened."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.before import Asked, Before, surveyed_before
from garboard.desk.context import desk_of, who
from garboard.desk.earlier import own_person
from garboard.desk.filled import filled
from garboard.desk.forms import Field, Texts, fields_of
from garboard.desk.keep import keep
from garboard.desk.render import page, see
from garboard.notebook.body import Arrangement, Boat, Instruction, Told
from garboard.notebook.problem import Problem, Refused
from garboard.store.tokens import new_id

GROUPS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "Who asks, and what for": ("client", "purpose", "payer", "may_rely", "copies"),
        "By when, and where": ("due", "place", "visits"),
        "The boat, as she was described": (
            "name", "design", "year", "loa_m", "identity_number", "registration",
        ),
        "What decides which parts are looked at": (
            "hulls", "material", "keel", "rudder", "rig", "drive", "fuel", "deck",
        ),
        "In the client's own words": ("questions", "notes"),
    }
)  # fmt: skip
"""What the first call is asked, field by field."""

CLOSED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "More about the client": ("client_address", "telephone", "email", "fee"),
        "More about the job": ("specialists", "exclusions", "history"),
    }
)
"""What may be said in it as well, behind a summary that opens."""

_BESIDE = (
    Field(
        path="telephone",
        label="The client's telephone",
        kind="line",
        hint="For your own use, as the e-mail address: neither leaves the notebook",
    ),
    Field(path="email", label="The client's e-mail", kind="line"),
    Field(
        path="fee",
        label="The fee that was named",
        kind="line",
        hint="With what it covers, and what comes on top. The terms show it as the price",
    ),
    Field(
        path="history",
        label="What the client says of her past",
        kind="text",
        hint="Groundings, lightning, sinking, work on keel or hull, earlier surveys, claims",
    ),
)

NOTES: Mapping[str, str] = MappingProxyType(
    {
        "What decides which parts are looked at": (
            "What stays unanswered counts as possible: every part that it could mean is called for until it is answered."
        )
    }
)
"""What is said above a group."""

_OF_BOAT = (
    *GROUPS["The boat, as she was described"],
    *GROUPS["What decides which parts are looked at"],
)
_NONE: Texts = MappingProxyType({})


def show(request: Request) -> Response:
    """The form, with what the address says of it filled in."""
    return _form(request, dict(request.query_params), _NONE, ())


def known(request: Request) -> Response:
    """Whether this boat was surveyed before, while the form is filled in."""
    return page(request, "_before.html", found=_before(request, request.query_params), asked=True)


def opened(request: Request, form: Texts) -> Response:
    """Open a survey with what was learned."""
    desk = desk_of(request)
    instruction = filled(Instruction, form, desk.zone)
    bodies: list[Any] = [instruction.body]
    problems = {**instruction.problems}
    if any(form.get(each, "").strip() for each in _OF_BOAT):
        # The notes of the call are the instruction's.
        boat = filled(Boat, {each: form.get(each, "") for each in _OF_BOAT}, desk.zone)
        bodies.append(boat.body)
        problems |= boat.problems
    if instruction.body:
        bodies += _said_beside(form, instruction.body.client)
    if problems:
        return _form(request, form, problems, (), status=422)
    survey = new_id(desk.now(), desk.random_bytes)
    try:
        keep(request, survey, *bodies, own_person(desk, who(request)))
    except Refused as refused:
        return _form(request, form, _NONE, refused.problems, status=422)
    return see(f"/s/{survey}/")


def _said_beside(form: Texts, client: str) -> Iterator[Arrangement | Told]:
    """What was said that belongs neither to the instruction nor to the boat."""
    said = {each.path: form.get(each.path, "").strip() for each in _BESIDE}
    if reached := ", ".join(filter(None, (said["telephone"], said["email"]))):
        yield Arrangement(what="contact", words=reached, with_whom=client)
    if said["fee"]:
        yield Arrangement(what="fee", words=said["fee"], with_whom=client)
    if said["history"]:
        yield Told(who=f"{client}, in the first call", said=said["history"])


def _form(
    request: Request,
    texts: Texts,
    problems: Texts,
    refused: tuple[Problem, ...],
    status: int = 200,
) -> Response:
    of_boat: dict[str, Any] = {each.path: each for each in fields_of(Boat, texts, problems)}
    # A boat is asked about without a name as well, and then is not kept yet.
    of_boat["name"] = replace(of_boat["name"], needed=False)
    of_instruction = {each.path: each for each in fields_of(Instruction, texts, problems)}
    beside = {each.path: replace(each, value=texts.get(each.path, "")) for each in _BESIDE}
    by_path = {**of_boat, **of_instruction, **beside}
    return page(
        request,
        "enquiry.html",
        status=status,
        at="new",
        notes=NOTES,
        groups={name: [by_path[each] for each in paths] for name, paths in GROUPS.items()},
        closed={name: [by_path[each] for each in paths] for name, paths in CLOSED.items()},
        problems=refused,
        found=_before(request, texts),
        asked=any(texts.get(each) for each in ("name", "identity_number", "registration")),
    )


def _before(request: Request, texts: Texts) -> tuple[Before, ...]:
    asked = Asked(
        identity_number=texts.get("identity_number", ""),
        registration=texts.get("registration", ""),
        name=texts.get("name", ""),
        client=texts.get("client", ""),
    )
    with desk_of(request).database.reading() as connection:
        return surveyed_before(connection, asked)


ROUTES = (
    Route("/new", show),
    Route("/new", posted(opened), methods=["POST"]),
    Route("/new/known", known),
)
