"""Photographs sorted to parts by the clock: the cameras' clocks set right, and places proposed with their reason."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from types import MappingProxyType

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.naming import key
from garboard.desk.asked import posted
from garboard.desk.context import Desk, desk_of, survey_of
from garboard.desk.forms import Texts
from garboard.desk.keep import filled_from, overtaken
from garboard.desk.notes import say
from garboard.desk.pictures import (
    CLOCK_WRONG,
    camera_of,
    correct_photos,
    in_order,
    kept_places,
    later,
    photo_of,
    placed_since,
    standing,
    taken_time,
    unmeasured,
    visit_zone,
)
from garboard.desk.render import see, survey_page
from garboard.desk.zones import moment_typed
from garboard.judgement.looks import days_of, of_another_day
from garboard.judgement.sorting import Choice, ClockOffset, choices, clock_offset, traces_of
from garboard.judgement.stretches import place_at
from garboard.notebook.body import Photo, Place
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused

_OFFSET = re.compile(r"([+-]?)\s*(?:(\d{1,4}):)?(\d{1,2}):(\d{1,2})")


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """The photographs of one camera that have a time; `found` is what its clock seems to be wrong by.

    `strangers` are those taken on no day of the survey.
    """

    name: str
    photos: tuple[Entry[Photo], ...]
    found: ClockOffset | None
    strangers: tuple[Entry[Photo], ...]

    @property
    def of(self) -> str:
        """What the form that sets its clock is filled from."""
        return filled_from(self.photos)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A photograph without a part, and the places it may show."""

    entry: Entry[Photo]
    choices: tuple[Choice, ...]


def show(request: Request) -> Response:
    """The cameras with their clocks, and the proposals."""
    return _page(request, ())


def accept(request: Request, form: Texts) -> Response:
    """Give photographs the places proposed: one, those ticked, or all on the page."""
    survey = survey_of(request)
    every = [name.removeprefix("place.") for name in form if name.startswith("place.")]
    ticked = form.get("photo", "").split("\n")
    wanted = [form["one"]] if form.get("one") else every if form.get("all") else ticked
    given: dict[str, Photo] = {}
    since: list[Photo] = []
    for each in filter(None, wanted):
        entry, place = standing(survey, each), place_at(form.get(f"place.{each}", ""))
        if place is None:
            return _page(request, (_problem("a place is not one of the boat's", "Choose it from the list"),), 422)  # fmt: skip
        if placed_since(survey, each, entry) and entry.body.place != place:
            since.append(entry.body)
        else:
            given[entry.id] = replace(entry.body, place=place)
    if since and not given:
        return _page(request, (_problem(kept_places(since)[:-1], "Give it a place on its own page, or on the sheet, if that is wrong"),), 422)  # fmt: skip
    if not given:
        return _page(request, (_problem("no photograph is ticked", "Tick those whose place is right"),), 422)  # fmt: skip
    try:
        correct_photos(request, survey, given, "sorted by the time it was taken")
    except Refused as refused:
        return _page(request, refused.problems, 422)
    if since:
        say(request, kept_places(since))
    return see(
        f"/s/{survey.id}/photo/{form['one']}"
        if form.get("back") == "photo"
        else f"/s/{survey.id}/photographs/sort"
    )


def set_clock(request: Request, form: Texts) -> Response:
    """Add an offset to the times of a camera's photographs."""
    survey, name = survey_of(request), form.get("camera", "")
    offset = offset_in(form.get("offset", ""))
    if offset is None:
        return _page(request, (_problem("the offset is not a time", "Write it as 1:03:15 or -0:02:30"),), 422)  # fmt: skip
    camera = next((each for each in _cameras(desk_of(request), survey, False) if each.name == name), None)  # fmt: skip
    if camera is None:
        return _page(request, (_problem("none with a time is of this camera", "Look at the list of cameras"),), 422)  # fmt: skip
    if late := overtaken(request, survey, form, camera.photos):
        return _page(request, late, 422, {name: form.get("offset", "")})
    return _set(request, survey, name, offset)


def set_by_picture(request: Request, form: Texts) -> Response:
    """Set a camera's clock by a photograph of a clock: what the clock in it shows is when it was taken."""
    survey = survey_of(request)
    entry, desk = photo_of(request, survey), desk_of(request)
    zone, taken = visit_zone(desk, survey), _taken(desk, survey, entry.body)
    if not form.get("shows", "").strip():
        raise Refused([_problem("what the clock shows is missing", "Type its day and time")])
    if taken is None:
        raise Refused([_problem("this photograph has no time", "Choose another of the same camera")])  # fmt: skip
    try:
        shows = moment_typed(form["shows"], zone, entry.body.taken)
    except ValueError as problem:
        raise Refused([_problem(str(problem), "Type the day and time that the clock shows")]) from None  # fmt: skip
    # Between instants, for the clocks may have changed between them.
    offset = shows.astimezone(UTC) - taken.astimezone(UTC)
    return _set(request, survey, camera_of(desk, entry.body.sha256), offset)


def offset_in(text: str) -> timedelta | None:
    """An offset as people write it, hours, minutes and seconds, or minutes and seconds; None if it is none.

    >>> str(offset_in("1:03:15")), offset_in("-2:30").total_seconds(), offset_in("soon")
    ('1:03:15', -150.0, None)
    """
    found = _OFFSET.fullmatch(text.strip().replace("\N{MINUS SIGN}", "-"))
    if found is None:
        return None
    sign, hours, minutes, seconds = found.groups()
    span = timedelta(hours=int(hours or 0), minutes=int(minutes), seconds=int(seconds))
    return -span if sign == "-" else span


def offset_as_text(offset: timedelta) -> str:
    """The same, written.

    >>> offset_as_text(-timedelta(hours=1, seconds=5))
    '-1:00:05'
    """
    seconds = round(abs(offset).total_seconds())
    sign = "-" if offset < timedelta(0) else ""
    return f"{sign}{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"


def _page(
    request: Request,
    problems: tuple[Problem, ...],
    status: int = 200,
    offsets: Texts = MappingProxyType({}),
) -> Response:
    survey, desk = survey_of(request), desk_of(request)
    traces = traces_of(survey)
    unplaced = [each for each in in_order(survey) if each.body.place is None]
    proposals = [
        Proposal(entry=each, choices=choices(each.body.taken, traces))
        for each in unplaced
        if each.body.taken
    ]
    found = [each for each in proposals if each.choices]
    return survey_page(
        request,
        survey,
        "photographs",
        "photo_sorting.html",
        status=status,
        heading="Sort to parts by time",
        problems=problems,
        cameras=_cameras(desk, survey, "find" in request.query_params),
        is_found="find" in request.query_params,
        traces=len(traces),
        unmeasured=len(unmeasured(desk, survey)),
        unplaced=len(unplaced),
        proposals=found,
        without=len(unplaced) - len(found),
        offsets=offsets,
        key=key,
        as_text=offset_as_text,
    )


def _set(request: Request, survey: Survey, name: str, offset: timedelta) -> Response:
    desk = desk_of(request)
    changed = {}
    for each in in_order(survey):
        if camera_of(desk, each.body.sha256) != name:
            continue
        taken = _taken(desk, survey, each.body)
        if taken:
            # In a zone, not by its offset: what was set to another season has that of the other.
            told = taken.astimezone(visit_zone(desk, survey))
            changed[each.id] = replace(each.body, taken=later(told, offset))
    correct_photos(request, survey, changed, f"{CLOCK_WRONG}: {offset_as_text(offset)} added")
    return see(f"/s/{survey.id}/photographs/sort")


def _taken(desk: Desk, survey: Survey, photo: Photo) -> datetime | None:
    """When a photograph was taken: what lay in the future has no time yet, but its file may tell one."""
    told = None if photo.taken else taken_time(desk, survey, photo.sha256)
    return told.at if told else photo.taken


def _cameras(desk: Desk, survey: Survey, is_wanted: bool) -> tuple[Camera, ...]:
    """The photographs with a time by their camera, and where wanted what each clock seems to be wrong by."""
    by_name: dict[str, list[Entry[Photo]]] = {}
    for each in in_order(survey):
        if each.body.taken:
            by_name.setdefault(camera_of(desk, each.body.sha256), []).append(each)
    traces, days = traces_of(survey) if is_wanted else (), days_of(survey)
    return tuple(
        Camera(
            name=name,
            photos=tuple(photos),
            found=clock_offset(_times(photos), traces),
            strangers=tuple(each for each in photos if of_another_day(each.body, days)),
        )
        for name, photos in sorted(by_name.items())
    )


def _times(photos: Iterable[Entry[Photo]]) -> list[tuple[datetime, Place | None]]:
    return [(each.body.taken, each.body.place) for each in photos if each.body.taken]


def _problem(what: str, do: str) -> Problem:
    return Problem(where="photographs", what=what, do=do)


ROUTES = (
    Route("/s/{survey}/photographs/sort", show),
    Route("/s/{survey}/photographs/sort", posted(accept), methods=["POST"]),
    Route("/s/{survey}/photographs/clock", posted(set_clock), methods=["POST"]),
    Route("/s/{survey}/photo/{photo}/clock", posted(set_by_picture), methods=["POST"]),
)
