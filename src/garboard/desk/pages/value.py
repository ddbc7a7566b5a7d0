"""The value: the opinions given, the boats compared with, and how far those lie apart."""

from types import MappingProxyType

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.desk.asked import posted
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import Filled, filled, texts_of
from garboard.desk.forms import Texts, fields_of
from garboard.desk.keep import filled_from, in_turn, keep_anew, maker, withdraw
from garboard.desk.notes import say
from garboard.desk.pages.printed import answer, unshown
from garboard.desk.preview import as_if_kept
from garboard.desk.render import see, survey_page
from garboard.desk.writing import taken_back
from garboard.notebook.body import Comparable, Value
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.report.sections.value import adjusted, spread

NEW = "new"
_NONE: Texts = MappingProxyType({})
_TICKED = ("comparables",)


def show(request: Request) -> Response:
    """The opinions and the comparables."""
    survey = survey_of(request)
    comparables = survey.of(Comparable)
    return survey_page(
        request,
        survey,
        "report",
        "value.html",
        heading="Value",
        values=sorted(survey.of(Value), key=lambda entry: entry.body.condition),
        comparables=[(entry, adjusted(entry.body)) for entry in comparables],
        spread=spread(tuple(entry.body for entry in comparables)) if comparables else "",
        today=desk_of(request).now().date().isoformat(),
        currency=survey.instruction.currency if survey.instruction else "EUR",
    )


def opinion(request: Request) -> Response:
    """An opinion of value to fill in: the one that stands, or a new one."""
    survey = survey_of(request)
    entry = _entry(request, survey)
    desk = desk_of(request)
    if entry:
        texts: Texts = texts_of(entry.body, desk.zone)
    else:
        currency = survey.instruction.currency if survey.instruction else "EUR"
        texts = {"currency": currency, "on": desk.now().date().isoformat(), "comparables": "\n".join(each.id for each in survey.of(Comparable))}  # fmt: skip
    return _page(request, survey, entry, Filled(texts=texts, body=None, problems=_NONE))


def keep(request: Request, form: Texts) -> Response:
    """Keep an opinion of value; nothing where nothing was changed."""
    survey = survey_of(request)
    entry = _entry(request, survey)
    sent = filled(Value, form, desk_of(request).zone)
    # The same new opinion sent twice is one.
    standing = (entry,) if entry else _saying(survey, sent.body)
    problems = keep_anew(request, survey, form, sent, standing)
    if problems is not None:
        return _page(request, survey, entry, sent, problems=problems, status=422)
    return see(f"/s/{survey.id}/value")


def pages(request: Request, form: Texts) -> Response:
    """The report's pages with an opinion as it is being written."""
    survey = survey_of(request)
    entry = _entry(request, survey)
    sent = filled(Value, form, desk_of(request).zone)
    if sent.body is None:
        return unshown(sent.problems, form)
    made = maker(request, survey.id)(sent.body, (entry.id,) if entry else (), None)
    state = as_if_kept(desk_of(request), survey, () if entry and entry.body == sent.body else (made,))  # fmt: skip
    return answer(request, state, "value")


def take_back(request: Request, form: Texts) -> Response:
    """Take an opinion back, every version of it, with the reason."""
    survey = survey_of(request)
    entry, why = _entry(request, survey), form.get("why", "").strip()
    if entry is None or not why:
        raise Refused([Problem(where="value", what="the reason is missing", do="Say why it is taken back")])  # fmt: skip
    withdraw(request, survey, [entry], why)
    say(request, taken_back(survey, entry))
    return see(f"/s/{survey.id}/value")


def _page(
    request: Request,
    survey: Survey,
    entry: Entry[Value] | None,
    sent: Filled[Value],
    *,
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    chosen = {
        standing.id: each
        for each in sent.texts.get("comparables", "").split("\n")
        for standing in survey.current(each)
    }
    return survey_page(
        request,
        survey,
        "report",
        "opinion.html",
        status=status,
        heading="An opinion of value",
        fields=fields_of(Value, sent.texts, sent.problems, leave_out=_TICKED),
        comparables=[
            (chosen.get(each.id, each.id), each, each.id in chosen)
            for each in survey.of(Comparable)
        ],
        entry=entry,
        is_unkept=status != 200,
        of=filled_from([entry] if entry else []),
        problems=problems,
    )


def _saying(survey: Survey, body: Value | None) -> tuple[Entry[Value], ...]:
    """An opinion that says the same, if there is one."""
    return tuple(each for each in survey.of(Value) if each.body == body)[:1]


def _entry(request: Request, survey: Survey) -> Entry[Value] | None:
    """The opinion that the address names as it stands now; None for a new one.

    Raises:
        HTTPException: There is none, or two corrections of it wait to be chosen from.
    """
    named = request.path_params["entry"]
    if named == NEW:
        return None
    found = [each for each in survey.current(named) if isinstance(each.body, Value)]
    if len(found) != 1:
        raise HTTPException(404, "There is no such opinion in this survey, or two that wait to be chosen from in the history.")  # fmt: skip
    return found[0]


ROUTES = (
    Route("/s/{survey}/value", show),
    Route("/s/{survey}/value/{entry}", opinion),
    Route("/s/{survey}/value/{entry}", posted(in_turn(keep)), methods=["POST"]),
    Route("/s/{survey}/value/{entry}/pages", posted(pages), methods=["POST"]),
    Route("/s/{survey}/value/{entry}/withdraw", posted(take_back), methods=["POST"]),
)
