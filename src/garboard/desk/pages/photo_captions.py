"""Captions, typed one after the other."""

from dataclasses import replace

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import survey_of
from garboard.desk.forms import Texts
from garboard.desk.pictures import correct_photos, in_order, standing
from garboard.desk.render import see, survey_page
from garboard.notebook.body import Photo
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Refused

_WHY = "captioned"


def show(request: Request) -> Response:
    """The photographs without a caption, or all, each with a line to type in."""
    survey = survey_of(request)
    photos, is_all = in_order(survey), request.query_params.get("show") == "all"
    return survey_page(
        request,
        survey,
        "photographs",
        "photo_captions.html",
        heading="Captions",
        photos=[each for each in photos if is_all or not each.body.caption],
        is_all=is_all,
        total=len(photos),
        missing=sum(not each.body.caption for each in photos),
    )


def keep(request: Request, form: Texts) -> Response:
    """Keep the lines that differ from what stands."""
    survey = survey_of(request)
    correct_photos(request, survey, _changed(survey, form), _WHY)
    return see(f"/s/{survey.id}/photographs/captions{'?show=all' if form.get('show') else ''}")


def keep_one(request: Request, form: Texts) -> Response:
    """Keep one line as it is left, and say which entry it is now."""
    survey = survey_of(request)
    changed = _changed(survey, form)
    try:
        kept = correct_photos(request, survey, changed, _WHY)
    except Refused as refused:
        return JSONResponse({"problems": [str(each) for each in refused.problems]}, 422)
    return JSONResponse({"entry": kept[0].id if kept else next(iter(changed), "")})


def _changed(survey: Survey, form: Texts) -> dict[str, Photo]:
    """The photographs of the lines that were sent, as they shall be.

    A line names the entry it was shown for: only what was typed over that is taken, so that a page left open long
    takes nothing back.
    """
    found = {}
    for each in (name.partition(".")[2] for name in form if name.startswith("caption.")):
        entry = standing(survey, each)
        shown: Photo = survey.by_id[each].body
        caption = " ".join(form[f"caption.{each}"].split())
        printed = "yes" in form.get(f"printed.{each}", "").split("\n")
        found[entry.id] = replace(
            entry.body,
            caption=entry.body.caption if caption == shown.caption else caption,
            printed=entry.body.printed if printed == shown.printed else printed,
        )
    return found


ROUTES = (
    Route("/s/{survey}/photographs/captions", show),
    Route("/s/{survey}/photographs/captions", posted(keep), methods=["POST"]),
    Route("/s/{survey}/photographs/caption", posted(keep_one), methods=["POST"]),
)
