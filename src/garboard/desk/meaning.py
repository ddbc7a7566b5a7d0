"""What readings mean, sorted as a page shows it: by what was read, then by method, what stands out first."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from garboard.desk.worked import Worked
from garboard.methods.declaration import METHODS, Method
from garboard.methods.result import Criterion, Result
from garboard.methods.written import judged_words, measure, trouble_lies
from garboard.notebook.body import Boat, Instruction, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.report.document import Drawing
from garboard.report.sections.case import Case
from garboard.report.sections.readings import readings

AIR, CHECKS = "air and skin", "the instruments themselves"
"""What results are called that rest on no set: on the conditions, on the checks of instruments."""

_BY_KIND = {"conditions": AIR, "instrument check": CHECKS}
_TELLING = ("beyond", "at the limit")
_JUDGED = {
    "within": "within the limit",
    "at the limit": "at the limit",
    "beyond": "beyond the limit",
    "have this checked": "have this checked",
    "cannot say": "cannot say",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One result in words."""

    result: Result
    value: str
    limit: str
    judged: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ByMethod:
    """The results of one method: those that stand out, the others, and the limits they were judged by."""

    method: Method
    telling: tuple[Line, ...]
    others: tuple[Line, ...]
    criteria: tuple[Criterion, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsaid:
    """What could not be computed, those of one reason together."""

    why: str
    whats: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What some results come to."""

    methods: tuple[ByMethod, ...]
    unsaid: tuple[Unsaid, ...]

    @property
    def is_uncertain(self) -> bool:
        """Whether some value has an uncertainty beside it."""
        lines = (line for each in self.methods for line in (*each.telling, *each.others))
        return any(line.result.uncertainty for line in lines)


def meaning_of(results: Iterable[Result]) -> Meaning:
    """Results sorted by their methods."""
    by_method: dict[str, list[Result]] = {}
    reasons: dict[str, list[str]] = {}
    for each in results:
        if each.value is None:
            why = each.caveats[0] if each.caveats else each.uncertainty_why
            reasons.setdefault(why, []).append(each.what)
        else:
            by_method.setdefault(each.method, []).append(each)
    return Meaning(
        methods=tuple(_by_method(id_, found) for id_, found in by_method.items()),
        unsaid=tuple(
            Unsaid(why=why, whats=tuple(dict.fromkeys(whats))) for why, whats in reasons.items()
        ),
    )


def results_on(survey: Survey, results: Iterable[Result], matter: str) -> tuple[Result, ...]:
    """The results that rest on readings of one quantity, or on the conditions or checks alone."""
    return tuple(each for each in results if _matter(survey, each) == matter)


def results_using(results: Iterable[Result], entries: Iterable[str]) -> tuple[Result, ...]:
    """The results that rest on some entries."""
    wanted = frozenset(entries)
    return tuple(each for each in results if not wanted.isdisjoint(each.used))


def drawings_on(worked: Worked, entries: Iterable[str]) -> tuple[Drawing, ...]:
    """The drawings of the report that rest on some entries."""
    wanted = frozenset(entries)
    return tuple(each for each in _drawings(worked) if not wanted.isdisjoint(each.rests_on))


def sets_of(survey: Survey, quantity: str) -> tuple[Entry[ReadingSet], ...]:
    """The sets of one quantity, in the order they were read."""
    found = (each for each in survey.of(ReadingSet) if each.body.quantity == quantity)
    return tuple(sorted(found, key=survey.done_at))


def _drawings(worked: Worked) -> tuple[Drawing, ...]:
    """All drawings of the readings as the report has them; it has none before the boat is known."""
    return worked.once("drawings", lambda: _drawn(worked))


def _drawn(worked: Worked) -> tuple[Drawing, ...]:
    survey = worked.survey
    if survey.boat is None:
        return ()
    case = Case(
        survey=survey,
        # No drawing asks what the survey is for; where nobody has said it yet, this stands for it.
        instruction=survey.instruction or Instruction(client="", purpose="buy"),
        boat=survey.boat,
        results=worked.results,
        gaps=(),
        at=survey.entries[-1].at,
        sounds=worked.sounds,
    )
    return tuple(each for each in readings(case) if isinstance(each, Drawing))


def _matter(survey: Survey, result: Result) -> str:
    """What a result is about: the quantity of the first set it rests on, else what else it rests on."""
    used = [survey.by_id[each] for each in result.used if each in survey.by_id]
    for each in used:
        if isinstance(each.body, ReadingSet):
            return each.body.quantity
    kinds = {each.kind for each in used if not isinstance(each.body, Boat)}
    return _BY_KIND.get(kinds.pop(), "") if len(kinds) == 1 else ""


def _by_method(id_: str, found: Sequence[Result]) -> ByMethod:
    lines = [line_of(each) for each in found]
    telling = [each for each in lines if each.result.verdict in _TELLING]
    others = [each for each in lines if each.result.verdict not in _TELLING]
    criteria = {each.criterion.id: each.criterion for each in found if each.criterion}
    return ByMethod(
        method=METHODS[id_],
        telling=tuple(telling),
        others=tuple(others),
        criteria=tuple(criteria.values()),
    )


def line_of(result: Result) -> Line:
    """A result in words."""
    is_free = result.criterion is None and result.verdict == "not comparable"
    words = judged_words(result)
    limit = trouble_lies(result.criterion) if result.criterion else ""
    return Line(
        result=result,
        value=measure(result.value, result.uncertainty, result.unit),
        limit=limit,
        judged="no limit held" if is_free else _JUDGED.get(words, words),
    )
