"""Captions, typed one after the other."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import survey_of
from garboard.desk.forms import Texts
from garboard.desk.keep import FILLED_FROM, overtaken
from garboard.desk.pictures import correct_photos, in_order, standing
from garboard.desk.render import see, survey_page
from garboard.notebook.body import Photo
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused

_WHY = "captioned"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A photograph with the line to type in; `late` says that the line was changed meanwhile by another."""

    entry: Entry[Photo]
    caption: str
    printed: bool
    late: tuple[Problem, ...] = ()

    @property
    def photo(self) -> Photo:
        """The photograph as it shall be."""
        return replace(self.entry.body, caption=self.caption, printed=self.printed)


def show(request: Request) -> Response:
    """The photographs without a caption, or all, each with a line to type in."""
    survey = survey_of(request)
    is_all = request.query_params.get("show") == "all"
    photos = [each for each in in_order(survey) if is_all or not each.body.caption]
    return _page(request, survey, [_as_it_stands(each) for each in photos], is_all)


def keep(request: Request, form: Texts) -> Response:
    """Keep the lines that differ from what stands; none where one was changed meanwhile."""
    survey, lines = survey_of(request), _sent(request, form)
    if any(each.late for each in lines):
        return _page(request, survey, lines, bool(form.get("show")), status=422)
    correct_photos(request, survey, {each.entry.id: each.photo for each in lines}, _WHY)
    return see(f"/s/{survey.id}/photographs/captions{'?show=all' if form.get('show') else ''}")


def keep_one(request: Request, form: Texts) -> Response:
    """Keep one line as it is left, and say which entry it is now."""
    survey, lines = survey_of(request), _sent(request, form)
    now = next((each.entry.id for each in lines), "")
    try:
        if late := [problem for each in lines for problem in each.late]:
            raise Refused(late)
        kept = correct_photos(request, survey, {each.entry.id: each.photo for each in lines}, _WHY)
    except Refused as refused:
        said = [str(each) for each in refused.problems]
        return JSONResponse({"problems": said, "entry": now}, 422)
    captionless = _captionless(in_order(survey_of(request)))
    return JSONResponse({"entry": kept[0].id if kept else now, "captionless": captionless})


def _page(
    request: Request, survey: Survey, lines: Sequence[Line], is_all: bool, status: int = 200
) -> Response:
    photos = in_order(survey)
    return survey_page(
        request,
        survey,
        "photographs",
        "photo_captions.html",
        status=status,
        heading="Captions",
        lines=lines,
        is_all=is_all,
        total=len(photos),
        captionless=_captionless(photos),
    )


def _captionless(photos: Sequence[Entry[Photo]]) -> str:
    """How many have no caption, in words."""
    without = sum(not each.body.caption for each in photos)
    if not without:
        return "Every photograph has its caption."
    return f"{without} of {len(photos)} {'has' if without == 1 else 'have'} no caption."


def _as_it_stands(entry: Entry[Photo]) -> Line:
    return Line(entry=entry, caption=entry.body.caption, printed=entry.body.printed)


def _sent(request: Request, form: Texts) -> list[Line]:
    """The lines of a form. Each names the entry it was filled from: one where nothing was typed is as it stands."""
    survey, found = survey_of(request), []
    for id_ in (name.partition(".")[2] for name in form if name.startswith("caption.")):
        entry = standing(survey, id_)
        now, shown = _as_it_stands(entry), _as_it_stands(survey.by_id[id_])
        caption = " ".join(form[f"caption.{id_}"].split())
        printed = "yes" in form.get(f"printed.{id_}", "").split("\n")
        typed = replace(now, caption=caption, printed=printed)
        if (caption, printed) == (shown.caption, shown.printed):
            typed = now
        # What was changed of a photograph besides its line leaves the line as it was shown.
        elif (now.caption, now.printed) not in ((shown.caption, shown.printed), (caption, printed)):
            late = overtaken(request, survey, {FILLED_FROM: id_}, [entry])
            typed = replace(typed, late=late)
        found.append(typed)
    return found


ROUTES = (
    Route("/s/{survey}/photographs/captions", show),
    Route("/s/{survey}/photographs/captions", posted(keep), methods=["POST"]),
    Route("/s/{survey}/photographs/caption", posted(keep_one), methods=["POST"]),
)
