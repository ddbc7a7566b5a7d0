"""The report's pages as they will print: pictures of them, where to turn to, and what is missing beside them."""

from collections.abc import Iterable

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from garboard.catalogue.naming import capital
from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of, who
from garboard.desk.forms import Texts
from garboard.desk.preview import Shown, as_if_kept, previews_of
from garboard.desk.render import survey_page
from garboard.desk.worked import Worked
from garboard.judgement.gap import Gap
from garboard.judgement.ranking import ranked
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Refused
from garboard.report.typesetter import NotSet

PPI = 144
"""Of the pictures: sharp on a screen whose pixels are small, at the width a page is shown in."""


def show(request: Request) -> Response:
    """One page, with arrows to the others; all of it is links."""
    survey = survey_of(request)
    asked = request.query_params.get("page", "")
    shown: Shown | None = None
    problem = ""
    try:
        shown = shown_now(request, survey, request.query_params.get("at", ""))
    except (Refused, NotSet) as error:
        problem = str(error)
    page = int(asked) if asked.isdecimal() else shown.page if shown else 1
    return survey_page(
        request,
        survey,
        "report",
        "printed.html",
        heading="As it will print",
        shown=shown,
        page=min(max(1, page), shown.count) if shown else 1,
        problem=problem,
    )


def state(request: Request, form: Texts) -> Response:
    """How many pages there are as the survey stands, and where things are, for a page that shows them."""
    state = as_if_kept(desk_of(request), survey_of(request), ())
    return answer(request, state, form.get("about", ""))


def page(request: Request) -> Response:
    """A page of those set last, as a picture."""
    survey = survey_of(request)
    drawn = previews_of(request).draw(
        who(request).id, survey.id, request.path_params["page"], ppi=PPI
    )
    if drawn is None:
        raise HTTPException(404, "There is no such page any more.")
    return Response(drawn, media_type="image/jpeg")


def shown_now(request: Request, survey: Survey, about: str) -> Shown:
    """The pages of a survey as it stands."""
    desk = desk_of(request)
    return previews_of(request).show(desk, who(request).id, as_if_kept(desk, survey, ()), about)


def answer(request: Request, state: Worked, about: str, notes: Iterable[Gap] = ()) -> Response:
    """The pages of a survey, kept or not, for a page that shows them, with notes on the words.

    Args:
        request: Of whoever is writing.
        state: The survey with what is being written.
        about: The label of that.
        notes: What is missing or vague in it.
    """
    try:
        shown = previews_of(request).show(desk_of(request), who(request).id, state, about)
    except (Refused, NotSet) as error:
        return JSONResponse({"problem": str(error)})
    return JSONResponse(
        {
            "count": shown.count,
            "page": shown.page,
            "chapters": [{"name": each.name, "page": each.page} for each in shown.chapters],
            "notes": [f"{capital(each.what)}. {each.do}." for each in notes],
        }
    )


def unshown(problems: Texts, form: Texts) -> Response:
    """What is being written is not whole yet: the pages stay as they were; said is what was typed and cannot be taken.

    Args:
        problems: By path, what is wrong.
        form: By path, what was typed.
    """
    wrong = [each for path, each in problems.items() if form.get(path, "").strip()]
    words = "Shown when what is not whole yet is filled in."
    if wrong:
        words = f"Not shown yet: {' '.join(wrong)}"
    return JSONResponse({"problem": words, "fields": dict(problems)})


def label_of(survey: Survey, finding: str) -> str:
    """The label under which the report has a finding, by the id of any of its entries; empty where it has none."""
    standing = {entry.id for entry in survey.current(finding)}
    found = (f"finding-{each.number}" for each in ranked(survey) if each.entry.id in standing)
    return next(found, "")


ROUTES = (
    Route("/s/{survey}/printed", show),
    Route("/s/{survey}/printed", posted(state), methods=["POST"]),
    Route("/s/{survey}/printed/{page:int}", page),
)
