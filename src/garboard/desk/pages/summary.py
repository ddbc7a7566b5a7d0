"""The summary: the surveyor's own words for the front page, and an answer to each of the client's questions."""

from types import MappingProxyType

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.forms import Field, Texts
from garboard.desk.keep import filled_from, in_turn, maker, overtaken
from garboard.desk.keep import keep as kept
from garboard.desk.missing import gaps_of
from garboard.desk.notes import note_within, say
from garboard.desk.pages.printed import answer, unshown
from garboard.desk.preview import as_if_kept
from garboard.desk.render import see, survey_page
from garboard.notebook.body import Summary
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused

_LABEL = "summary"
_NONE: Texts = MappingProxyType({})


def show(request: Request) -> Response:
    """The summary as it stands."""
    survey = survey_of(request)
    body = survey.last(Summary) or Summary(overall="")
    texts = {"overall": body.overall, "next_steps": "\n".join(body.next_steps)}
    texts |= {f"answer.{place}": each for place, each in enumerate(body.answers)}
    return _page(request, survey, texts)


def keep(request: Request, form: Texts) -> Response:
    """Keep it, in place of the one that stands; nothing where nothing was changed."""
    survey = survey_of(request)
    body, wrong = _read(survey, form)
    before = survey.of(Summary)
    if [entry.body for entry in before] == [body]:
        say(request, "Nothing was changed, so nothing was written.")
        return see(f"/s/{survey.id}/report/summary")
    if late := overtaken(request, survey, form, before):
        return _page(request, survey, form, wrong, problems=late, status=422)
    if body is None:
        return _page(request, survey, form, wrong, status=422)
    replaces = tuple(entry.id for entry in before)
    try:
        kept(request, survey.id, body, replaces=replaces, why="Written anew at the desk" if before else None)  # fmt: skip
    except Refused as refused:
        return _page(request, survey, form, problems=refused.problems, status=422)
    return see(f"/s/{survey.id}/report/summary")


def pages(request: Request, form: Texts) -> Response:
    """The report's pages with the summary as it is being written."""
    survey = survey_of(request)
    body, wrong = _read(survey, form)
    if body is None:
        return unshown(wrong, form)
    before = survey.of(Summary)
    is_same = [entry.body for entry in before] == [body]
    replaces = tuple(entry.id for entry in before)
    added = () if is_same else (maker(request, survey.id)(body, replaces, None),)
    state = as_if_kept(desk_of(request), survey, added)
    found = gaps_of(desk_of(request), state)
    return answer(request, state, _LABEL, [gap for gap in found if gap.where == "summary"])


def _page(
    request: Request,
    survey: Survey,
    texts: Texts,
    wrong: Texts = _NONE,
    *,
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    questions = survey.instruction.questions if survey.instruction else ()
    return survey_page(
        request,
        survey,
        "report",
        "summary.html",
        status=status,
        heading="Summary",
        overall=Field(
            path="overall",
            label="The boat as a whole",
            kind="text",
            value=texts.get("overall", ""),
            hint="Three sentences for somebody who does not know boats: what she is like, what decides, what could not be seen",
            problem=wrong.get("overall", ""),
        ),
        answers=[
            Field(
                path=f"answer.{place}",
                label=question,
                kind="text",
                value=texts.get(f"answer.{place}", ""),
                problem=wrong.get(f"answer.{place}", ""),
            )
            for place, question in enumerate(questions)
        ],
        next_steps=Field(
            path="next_steps",
            label="What to do now, in order",
            kind="lines",
            value=texts.get("next_steps", ""),
            hint="One step a line: what, and with whom",
        ),
        is_unkept=status != 200,
        of=filled_from(survey.of(Summary)),
        kept=note_within(request),
        problems=problems,
    )


def _read(survey: Survey, form: Texts) -> tuple[Summary | None, Texts]:
    """The summary that was filled in, or what is wrong by path."""
    asked = len(survey.instruction.questions) if survey.instruction else 0
    answers = [_text(form, f"answer.{place}") for place in range(asked)]
    while answers and not answers[-1]:
        answers.pop()
    wrong = {
        f"answer.{place}": "Answer this one too: the answers after it would stand under the wrong questions."
        for place, each in enumerate(answers)
        if not each
    }
    overall = _text(form, "overall")
    if not overall:
        wrong["overall"] = "Say how the boat is as a whole."
    steps = tuple(line.strip() for line in _text(form, "next_steps").split("\n") if line.strip())
    body = Summary(overall=overall, answers=tuple(answers), next_steps=steps)
    return (None if wrong else body), wrong


def _text(form: Texts, path: str) -> str:
    return form.get(path, "").replace("\r\n", "\n").strip()


ROUTES = (
    Route("/s/{survey}/report/summary", show),
    Route("/s/{survey}/report/summary", posted(in_turn(keep)), methods=["POST"]),
    Route("/s/{survey}/report/summary/pages", posted(pages), methods=["POST"]),
)
