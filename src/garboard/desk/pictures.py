"""Photographs as pages show them: their copies, made when they are asked for, and what was measured on them.

Copies and measurements lie beside each other in the store of copies, which may be emptied at any time.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from functools import lru_cache
from types import MappingProxyType
from typing import Literal

from starlette.exceptions import HTTPException
from starlette.requests import Request

from garboard.catalogue.naming import named
from garboard.desk.context import Desk
from garboard.desk.keep import correct
from garboard.desk.zones import with_offset
from garboard.dossier.photograph import taken_at
from garboard.judgement.looks import Look
from garboard.notebook.body import Conditions, Photo
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.shape import read, write
from garboard.report.copies import Copy, placeholder, print_copy
from garboard.report.edits import NONE, Edits, edits_of
from garboard.report.looks import look_at
from garboard.report.sections.words import day
from garboard.store.copies import Copies

Size = Literal["thumb", "screen", "whole"]

LONG_EDGE_PX: Mapping[str, int] = MappingProxyType({"thumb": 360, "screen": 1600, "whole": 1600})
"""By size; the whole is not cropped or marked, and shown to those who do that."""

CLOCK_WRONG = "its camera's clock was wrong"
"""How the reason begins for which a photograph's time is corrected with all of its camera."""

_LOOK = "look-1"
_MOST_LOOKS = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """When a photograph was taken, and what of that was added to what its camera's clock said."""

    at: datetime
    added: timedelta


def in_order(survey: Survey) -> tuple[Entry[Photo], ...]:
    """The photographs of a survey by number."""
    return tuple(sorted(survey.of(Photo), key=lambda entry: (entry.body.number, entry.id)))


def photo_of(request: Request, survey: Survey) -> Entry[Photo]:
    """The photograph that the address names, as it stands now.

    Raises:
        HTTPException: There is none, or two corrections of it wait to be chosen from.
    """
    return standing(survey, request.path_params["photo"])


def standing(survey: Survey, entry: str) -> Entry[Photo]:
    """What stands for a photograph's entry now, which may have been corrected since a page was shown.

    Raises:
        HTTPException: There is none, or two corrections of it wait to be chosen from.
    """
    found = [each for each in survey.current(entry) if isinstance(each.body, Photo)]
    if len(found) > 1:
        raise HTTPException(409, "Two corrections of this photograph stand side by side. Choose one of them in the history.")  # fmt: skip
    if not found:
        raise HTTPException(404, "There is no such photograph in this survey.")
    return found[0]


def placed_since(survey: Survey, sent: str, entry: Entry[Photo]) -> bool:
    """Whether a photograph was given another place after a page was shown.

    Args:
        survey: The survey.
        sent: The id of the entry that the page showed.
        entry: What stands for it now.
    """
    shown = survey.by_id[sent].body
    return entry.id != sent and isinstance(shown, Photo) and shown.place != entry.body.place


def kept_places(photos: Sequence[Photo]) -> str:
    """What to say of photographs that keep the place they were given since a page was shown.

    >>> kept_places([])
    ''
    """
    told = ", ".join(f"{each.number} ({named(each.place)})" for each in photos if each.place)
    bare = ", ".join(f"{each.number} (no part)" for each in photos if each.place is None)
    which = ", ".join(filter(None, (told, bare)))
    return (
        f"Sorted otherwise since this page was shown, and left so: photograph {which}."
        if which
        else ""
    )


def correct_photos(
    request: Request, survey: Survey, photos: Mapping[str, Photo], why: str
) -> tuple[Entry[Photo], ...]:
    """Keep photographs as they shall be, all or none; those that stay as they were are passed over.

    Args:
        request: Of somebody signed in.
        survey: The survey.
        photos: By the id of the entry that stands.
        why: The reason.
    """
    changed = {each: photo for each, photo in photos.items() if survey.by_id[each].body != photo}
    return correct(request, survey.id, changed, why)


def copy_of(desk: Desk, photo: Photo, size: Size) -> tuple[bytes, Problem | None]:
    """A copy of a photograph as JPEG; where it cannot be shown, a placeholder and why."""
    edits = NONE if size == "whole" else edits_of(photo)
    kind = f"{size}-{edits.key}" if edits.key else size
    held = desk.copies.get(photo.sha256, kind)
    if held is not None:
        return held, None
    made = copy_made(desk, photo, LONG_EDGE_PX[size], edits)
    if made.problem is None:
        desk.copies.put(photo.sha256, kind, made.jpeg)
    return made.jpeg, made.problem


def copy_made(desk: Desk, photo: Photo, long_edge_px: int, edits: Edits) -> Copy:
    """A copy of a photograph made now, as it would look with these edits."""
    name = f"Photograph {photo.number}"
    try:
        original = desk.blobs.read(photo.sha256)
    except Refused as refused:
        problem = Problem(where=name, what="its original is not here", do=refused.problems[0].do)
        return placeholder(problem, name=name, long_edge_px=long_edge_px)
    return print_copy(original, name=name, long_edge_px=long_edge_px, edits=edits)


def visit_zone(desk: Desk, survey: Survey) -> tzinfo:
    """The zone of the visit, by which clocks ran there that name none; this desk's where no visit is recorded."""
    visit = survey.last(Conditions)
    began = visit.began if visit else None
    # Entries state an offset alone; where it is this desk's on that day, other days have theirs.
    if began is None or began.utcoffset() == began.astimezone(desk.zone).utcoffset():
        return desk.zone
    return began.tzinfo or desk.zone


def camera_time(desk: Desk, survey: Survey, sha256: str) -> datetime | None:
    """When a camera says it took a photograph; None where it says nothing, or the original is not here."""
    return _written(desk, sha256, visit_zone(desk, survey))


def camera_wrote(desk: Desk, photo: Photo) -> str:
    """What a photograph's camera wrote, in words, where its pages tell another time; empty where they tell the same."""
    wrote = _written(desk, photo.sha256, None)
    told = photo.taken.astimezone(desk.zone).replace(tzinfo=None) if photo.taken else None
    if wrote is None or told == wrote.replace(tzinfo=None):
        return ""
    return f"{day(wrote)}, {wrote:%H:%M:%S}{f' ({wrote:%Z})' if wrote.tzinfo else ''}"


def _written(desk: Desk, sha256: str, zone: tzinfo | None) -> datetime | None:
    try:
        return taken_at(desk.blobs.path(sha256), zone)
    except Refused:
        return None


def later(at: datetime, added: timedelta) -> datetime:
    """A time so much after another, told in the same zone; the clocks may have changed between them."""
    return with_offset((at.astimezone(UTC) + added).astimezone(at.tzinfo))


def taken_time(desk: Desk, survey: Survey, sha256: str) -> Taken | None:
    """When a photograph was taken; None where its camera says nothing, or the original is not here."""
    told = camera_time(desk, survey, sha256)
    if told is None:
        return None
    added = _clock_set(desk, survey, sha256)
    return Taken(at=later(told, added), added=added)


def _clock_set(desk: Desk, survey: Survey, sha256: str) -> timedelta:
    """What was added in this survey to the times of the camera that took a photograph; nothing where it has no name."""
    look = looked_at(desk, sha256)
    if look is None or not look.camera:
        return timedelta(0)
    # Set twice, the last holds what both added.
    for entry in reversed(survey.entries):
        is_set = isinstance(entry.body, Photo) and (entry.why or "").startswith(CLOCK_WRONG)
        if not is_set or not survey.current(entry.id):
            continue
        photo: Photo = entry.body
        other = looked_at(desk, photo.sha256)
        told = camera_time(desk, survey, photo.sha256)
        if other and other.camera == look.camera and photo.taken and told:
            return photo.taken - told.astimezone(UTC)
    return timedelta(0)


def camera_of(desk: Desk, sha256: str) -> str:
    """The camera that a photograph's file names; empty where it names none, or nobody looked at it yet."""
    look = look_of(desk, sha256)
    return look.camera if look else ""


def look_of(desk: Desk, sha256: str) -> Look | None:
    """What was measured on a photograph, or None where nobody looked at it yet."""
    try:
        return _held_look(desk.copies, sha256)
    except LookupError:
        return None


def looked_at(desk: Desk, sha256: str) -> Look | None:
    """What is measured on a photograph, now if it was not before; None where its original is not here."""
    if (held := look_of(desk, sha256)) is not None:
        return held
    try:
        look = look_at(desk.blobs.read(sha256))
    except Refused:
        return None
    desk.copies.put(sha256, _LOOK, json.dumps(write(look)).encode())
    return look


def unmeasured(desk: Desk, survey: Survey) -> tuple[Entry[Photo], ...]:
    """The photographs nobody looked at yet, by number: those that came otherwise than through a page."""
    return tuple(each for each in in_order(survey) if look_of(desk, each.body.sha256) is None)


@lru_cache(maxsize=_MOST_LOOKS)
def _held_look(copies: Copies, sha256: str) -> Look:
    held = copies.get(sha256, _LOOK)
    if held is None:
        raise LookupError(sha256)
    return read(Look, json.loads(held), "look")
