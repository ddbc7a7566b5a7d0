"""What the copies of a photograph show: cropped, with arrows and circles, faces and names blurred beyond reading."""

from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import Filled, filled, texts_of
from garboard.desk.forms import Texts, fields_of
from garboard.desk.keep import filled_from, overtaken
from garboard.desk.pictures import copy_made, correct_photos, look_of, photo_of
from garboard.desk.render import see, survey_page
from garboard.notebook.body import Photo
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Refused
from garboard.notebook.shape import write
from garboard.report.edits import edits_of

_MADE_HERE = ("crop", "marks")
_PREVIEW_PX = 1000
_PLAIN_PX = (4, 3)


def show(request: Request) -> Response:
    """The whole picture, and what its copies bear."""
    survey = survey_of(request)
    entry = photo_of(request, survey)
    texts = texts_of(entry.body, desk_of(request).zone)
    return _page(request, survey, entry, Filled(texts=texts, body=None, problems={}))


def keep(request: Request, form: Texts) -> Response:
    """Keep what the copies shall show, or show first how they would look."""
    survey = survey_of(request)
    entry = photo_of(request, survey)
    sent = _edited(request, entry.body, form)
    late = overtaken(request, survey, form, [entry]) if sent.body != entry.body else ()
    if late or sent.body is None:
        return _page(request, survey, entry, sent, " ".join(map(str, late)), status=422)
    if form.get("act") == "preview":
        return _page(request, survey, entry, sent)
    said = edits_of(sent.body).said
    try:
        correct_photos(request, survey, {entry.id: sent.body}, f"copies {said}" if said else "copies left whole")  # fmt: skip
    except Refused as refused:
        return _page(request, survey, entry, sent, str(refused), status=422)
    return see(f"/s/{survey.id}/photo/{entry.id}")


def preview(request: Request) -> Response:
    """The copy as it would be printed with what the address says."""
    survey = survey_of(request)
    photo = photo_of(request, survey).body
    sent = _edited(request, photo, dict(request.query_params))
    if sent.body is None:
        return PlainTextResponse(" ".join(sent.problems.values()), 422)
    crop = sent.body.crop
    if crop and (crop.left >= crop.right or crop.top >= crop.bottom):
        return PlainTextResponse("The crop leaves nothing of the picture.", 422)
    made = copy_made(desk_of(request), photo, _PREVIEW_PX, edits_of(sent.body))
    return Response(made.jpeg, media_type="image/jpeg")


def _edited(request: Request, photo: Photo, form: Texts) -> Filled[Photo]:
    known = {name: value for name, value in write(photo).items() if name not in _MADE_HERE}
    texts = {name: text for name, text in form.items() if name.partition(".")[0] in _MADE_HERE}
    return filled(Photo, texts, desk_of(request).zone, known)


def _page(
    request: Request,
    survey: Survey,
    entry: Entry[Photo],
    sent: Filled[Photo],
    problem: str = "",
    status: int = 200,
) -> Response:
    others = tuple(name for name in write(entry.body) if name not in _MADE_HERE)
    look = look_of(desk_of(request), entry.body.sha256)
    fields = fields_of(
        Photo, sent.texts, sent.problems, (*others, "place", "taken", "printed", "cover")
    )
    return survey_page(
        request,
        survey,
        "photographs",
        "photo_editor.html",
        status=status,
        heading=f"Photograph {entry.body.number}: crop and mark",
        entry=entry,
        photo=entry.body,
        size=(look.width_px, look.height_px) if look else _PLAIN_PX,
        crop=[each for each in fields if each.path.startswith("crop.")],
        marks=next(each for each in fields if each.path == "marks"),
        asked=urlencode(
            {
                name: text
                for name, text in sent.texts.items()
                if name.partition(".")[0] in _MADE_HERE
            }
        ),
        of=filled_from([entry]),
        problem=problem,
    )


ROUTES = (
    Route("/s/{survey}/photo/{photo}/edit", show),
    Route("/s/{survey}/photo/{photo}/edit", posted(keep), methods=["POST"]),
    Route("/s/{survey}/photo/{photo}/preview", preview),
)
