"""Photographs arriving: each kept byte for byte, numbered once, with its camera's time and a first look at it.

Those sent on the page of a part are of that part at once.
"""

import re
import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from garboard.catalogue.naming import named
from garboard.desk.arriving import Arrivals, Said
from garboard.desk.context import desk_of, survey_of
from garboard.desk.keep import keep
from garboard.desk.pictures import copy_of, correct_photos, looked_at, taken_time
from garboard.desk.render import survey_page
from garboard.judgement.stretches import place_at
from garboard.notebook.body import Photo, Place
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.numbering import next_at_the_desk
from garboard.store.blobs import Blob

MOST_PHOTO_BYTES = 256 * 2**20
KINDS = frozenset({"image/jpeg", "image/heic", "image/png", "image/tiff"})
WANTED = "JPEG, HEIC, PNG or TIFF"
ACCEPT = ",".join((*sorted(KINDS), ".heic", ".heif"))
EACH_WANTED = f"{WANTED}, each up to {MOST_PHOTO_BYTES // 2**20} MB"
"""What a form that sends photographs accepts, and says that it does."""

_SUFFIX = {"image/jpeg": ".jpg", "image/heic": ".heic", "image/png": ".png", "image/tiff": ".tif"}
_MOST_NAME = 100
_CLOCK_SLACK = timedelta(days=1)

# Numbers are given one at a time, so that none is given twice.
_turn = threading.Lock()


def order(request: Request, blob: Blob) -> str:
    """When its camera took a photograph, so that numbers run as it was taken; those without a time come last."""
    desk = desk_of(request)
    # Looked at here, where several are at work at once; numbers are given one after the other.
    looked_at(desk, blob.sha256)
    taken = taken_time(desk, survey_of(request), blob.sha256)
    return taken.at.astimezone(UTC).isoformat() if taken else "without a time"


def held(request: Request, sha256: str) -> str:
    """Where a photograph of this hash is in the survey already."""
    return _held(survey_of(request), sha256)


def held_of_part(request: Request, sha256: str) -> str:
    """The same, where it needs no place any more; one without a place is given this one when it is sent."""
    survey = survey_of(request)
    entry = _entry(survey, sha256)
    return _held(survey, sha256) if entry and entry.body.place else ""


def keep_photo_of_part(request: Request, blob: Blob, name: str) -> str:
    """Keep a photograph as one of the part that the address names."""
    place = place_at(request.path_params["key"])
    if place is None:
        raise HTTPException(404, "There is no such part of a boat.")
    survey = survey_of(request)
    entry = _entry(survey, blob.sha256)
    if entry is None:
        return keep_photo(request, blob, name, place)
    if entry.body.place is None:
        photos = {entry.id: replace(entry.body, place=place)}
        correct_photos(request, survey, photos, "added on the page of its part")
        return f"{_here(entry.body)}, and now one of this part."
    return _held(survey, blob.sha256)


def keep_photo(request: Request, blob: Blob, name: str, place: Place | None = None) -> str:
    """Keep the entry of a photograph that arrived, and make its first copies.

    Args:
        request: Of somebody signed in.
        blob: Its bytes.
        name: Under which it came.
        place: What it shows, where that is known.
    """
    desk = desk_of(request)
    look = looked_at(desk, blob.sha256)
    # No copy is altered, and the camera's time is read from the original.
    taken = taken_time(desk, survey_of(request), blob.sha256)
    is_ahead = taken is not None and taken.at > desk.now() + _CLOCK_SLACK
    with _turn:
        survey = survey_of(request)
        if already := _held(survey, blob.sha256):
            return already
        photo = Photo(
            number=next_number(survey),
            file=free_name(survey, name, blob.media_type),
            sha256=blob.sha256,
            media_type=blob.media_type,
            caption="",
            place=place,
            taken=taken.at if taken and not is_ahead else None,
            printed=False,
        )
        keep(request, survey.id, photo)
    words = [f"Kept as photograph {photo.number}."]
    if look and look.problem:
        words.append(f"It is kept as it came, but cannot be shown: {look.problem}.")
    else:
        copy_of(desk, photo, "thumb")
    if taken is None:
        words.append("Its camera's time is missing.")
    elif is_ahead:
        words.append(f"Its camera's clock shows {_moment(taken.at)}, which lies in the future, so it has no time yet.")  # fmt: skip
    elif taken.added:
        words.append(f"Its time is told as by the others of its camera, whose clock was set right: {_moment(taken.at.astimezone(desk.zone))}.")  # fmt: skip
    return " ".join(words)


def next_number(survey: Survey) -> int:
    """One more than the highest the desk ever gave, to photographs withdrawn since as well."""
    used = (entry.body.number for entry in survey.entries if isinstance(entry.body, Photo))
    return next_at_the_desk(used)


def free_name(survey: Survey, name: str, media_type: str) -> str:
    """The name a file came with, made harmless, and told from the others where two cameras count alike.

    Those of photographs withdrawn since are taken as well: what was said of one by its name is not said of another.
    """
    plain = "".join(each for each in re.split(r"[/\\]", name)[-1] if each.isprintable())
    stem, dot, suffix = plain.strip().lstrip(".").rpartition(".")
    if not dot:
        stem, suffix = suffix, ""
    stem, suffix = stem.strip()[:_MOST_NAME] or "photograph", f".{suffix[:8]}" if suffix else _SUFFIX[media_type]  # fmt: skip
    taken = {each.body.file.lower() for each in survey.entries if isinstance(each.body, Photo)}
    found, count = f"{stem}{suffix}", 1
    while found.lower() in taken:
        count += 1
        found = f"{stem} {count}{suffix}"
    return found


def _held(survey: Survey, sha256: str) -> str:
    entry = _entry(survey, sha256)
    return f"{_here(entry.body)}." if entry else ""


def _here(photo: Photo) -> str:
    of = f", of {named(photo.place)}" if photo.place else ""
    return f"Here already, as photograph {photo.number}{of}"


def _entry(survey: Survey, sha256: str) -> Entry[Photo] | None:
    return next((each for each in survey.of(Photo) if each.body.sha256 == sha256), None)


def _moment(when: datetime) -> str:
    return f"{when.day} {when:%B %Y, %H:%M}"


def _said(request: Request, said: tuple[Said, ...]) -> Response:
    return survey_page(
        request,
        survey_of(request),
        "photographs",
        "photo_upload.html",
        heading="Photographs sent",
        said=said,
        part=request.path_params.get("key", ""),
    )


ARRIVALS = Arrivals(
    address="/s/{survey}/photographs/upload",
    media_types=KINDS,
    wanted=WANTED,
    limit_bytes=MOST_PHOTO_BYTES,
    if_larger="Save it smaller, beside the original",
    order=order,
    held=held,
    keep=keep_photo,
    page=_said,
)

OF_PART = replace(
    ARRIVALS,
    address="/s/{survey}/photographs/of/{key}",
    held=held_of_part,
    keep=keep_photo_of_part,
)
"""The same, of one part."""

ROUTES = (*ARRIVALS.routes(), *OF_PART.routes())
