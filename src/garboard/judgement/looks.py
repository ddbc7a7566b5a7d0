"""What is doubtful about a photograph, and which photographs show nearly the same.

A computer's look at a reduced copy only asks for a second look of one's own: it never takes a photograph out.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo

from garboard.catalogue.naming import key
from garboard.notebook.body import Arrangement, Conditions, Photo
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

# Working figures all, set on the demo's photographs and on blurred copies of them: change them here.
BLURRED = 20.0
"""Sharpness below which a photograph is doubted: variance of the Laplacian, grey levels squared."""
TOO_DARK = 0.6
"""Share of pixels without light above which it is."""
BURNT_OUT = 0.3
"""Share of pixels without anything but light above which it is."""
ALIKE_BITS = 6
"""Patterns that differ in no more bits, of 64, are nearly the same picture."""
ALIKE_WITHIN = timedelta(minutes=2)
"""Where both cameras' times are known, nearly the same pictures lie no further apart."""
ALIKE_AMONG = 12
"""Each is compared with as many before it, by number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What was measured on a reduced, upright copy of a photograph.

    `sharpness` is the variance of the Laplacian in the sharpest of 16 fields, so that a sharp detail before a
    smooth hull counts as sharp; `dark_share` and `burnt_share` are the shares of pixels clipped at either end;
    `pattern` is a perceptual hash of 64 bits in hexadecimal. `camera` is its make and model as the file tells
    them. Where there is a `problem` no copy can be made, and nothing was measured.

    Source:
        Sharpness: Pech-Pacheco et al., Diatom autofocusing in brightfield microscopy, ICPR 2000; pattern: the DCT
        hash of Zauner, Implementation and benchmarking of perceptual image hash functions, 2010; both from
        memory. Clipped pixels: common practice.
    """

    width_px: int
    height_px: int
    sharpness: float = 0.0
    dark_share: float = 0.0
    burnt_share: float = 0.0
    pattern: str = ""
    camera: str = ""
    problem: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """The days of a survey; none while nobody has said when it is.

    `zone` is that of the visit, None where it has not begun: then a moment is of the day it was written on.
    """

    dates: frozenset[date] = frozenset()
    zone: tzinfo | None = None

    def day_of(self, moment: datetime) -> date:
        """The day a moment fell on where the boat lay."""
        return moment.astimezone(self.zone).date() if self.zone else moment.date()


def doubts(photo: Photo, look: Look | None, days: Days) -> tuple[str, ...]:
    """What to look at again before a photograph is relied on; empty where nothing is doubtful.

    Args:
        photo: The photograph.
        look: What was measured, if it was.
        days: Those of the survey.
    """
    return (*(_of_picture(look) if look else ()), *_of_time(photo, days))


def of_another_day(photo: Photo, days: Days) -> str:
    """That a photograph was taken on no day of the survey, in words; empty where it was, or nobody can tell."""
    if photo.taken is None or not days.dates:
        return ""
    on = days.day_of(photo.taken)
    return (
        "" if on in days.dates else f"taken on {on.day} {on:%B %Y}, which is no day of the survey"
    )


def days_of(survey: Survey) -> Days:
    """The days on which a survey was made, as they were lived there; while none is recorded, those agreed."""
    visits = survey.bodies(Conditions)
    found: set[date] = set()
    for each in visits:
        last = (each.ended or each.began).astimezone(each.began.tzinfo).date()
        length = (last - each.began.date()).days
        found.update(each.began.date() + timedelta(days=day) for day in range(length + 1))
    agreed = (each.on for each in survey.bodies(Arrangement) if each.what == "visit" and each.on)
    zone = visits[-1].began.tzinfo if visits else None
    return Days(dates=frozenset(found or agreed), zone=zone)


def alike(photos: Sequence[tuple[Entry[Photo], Look]]) -> tuple[tuple[str, ...], ...]:
    """The ids of photographs that show nearly the same, two or more in each group, by number.

    Args:
        photos: In any order; those without a pattern, and those of different parts, are not alike.
    """
    ordered = sorted(photos, key=lambda each: (each[0].body.number, each[0].id))
    first_of: dict[str, str] = {}
    for place, (entry, look) in enumerate(ordered):
        for earlier, seen in reversed(ordered[max(0, place - ALIKE_AMONG) : place]):
            if _is_like(entry.body, look, earlier.body, seen):
                first_of[entry.id] = first_of.get(earlier.id, earlier.id)
                break
    groups: dict[str, list[str]] = {}
    for each, first in first_of.items():
        groups.setdefault(first, [first]).append(each)
    return tuple(tuple(group) for group in groups.values())


def _of_picture(look: Look) -> Iterator[str]:
    if look.problem:
        yield f"no copy of it can be shown: {look.problem}"
        return
    if look.dark_share > TOO_DARK:
        yield "most of it is too dark to show anything"
    elif look.sharpness < BLURRED:
        yield "it looks out of focus or shaken"
    if look.burnt_share > BURNT_OUT:
        yield "much of it is burnt out to white"


def _of_time(photo: Photo, days: Days) -> Iterator[str]:
    if photo.taken is None:
        yield "the camera's time is missing"
    elif words := of_another_day(photo, days):
        yield words


def _is_like(photo: Photo, look: Look, other: Photo, seen: Look) -> bool:
    if not look.pattern or not seen.pattern:
        return False
    if photo.place and other.place and key(photo.place) != key(other.place):
        return False
    if photo.taken and other.taken and abs(photo.taken - other.taken) > ALIKE_WITHIN:
        return False
    return (int(look.pattern, 16) ^ int(seen.pattern, 16)).bit_count() <= ALIKE_BITS
