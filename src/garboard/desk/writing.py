"""A finding with its recommendations and their costs as one form, and what was filled in as entries again.

What stayed as it was gives no entry; what was emptied is taken back. A photograph that the finding shows is printed.
"""

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, tzinfo
from types import MappingProxyType
from typing import Any

from garboard.desk.filled import filled, texts_of
from garboard.desk.forms import Field, Rows, Texts, fields_of, indices
from garboard.desk.keep import Make, versions
from garboard.desk.labels import kind_words
from garboard.desk.told import line_of
from garboard.judgement.agreement import out_of_step
from garboard.judgement.drafts import free_name
from garboard.judgement.ranking import URGENCIES, Advice, Ranked
from garboard.notebook.body import Cost, Finding, Photo, Recommendation, Withdrawal
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

CHOSEN = ("name", "phrase", "evidence", "photos")
"""Fields of a finding that are not typed."""

_TICKED = ("how_known", "evidence", "photos")
_MAY_BE_EMPTY = ("seen", "why", "because")
_ADVICE_MAY_BE_EMPTY = ("by_whom", "by_when", "verified")
_SAYS_SOMETHING = ("what", "by_whom", "verified", "why", "caution")
_COST_SAYS_SOMETHING = ("low_minor", "high_minor", "basis")
_AS_THE_FINDING = "Left empty in a new one: by when the finding says"
_NONE: Texts = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class CostSheet:
    """A cost to fill in; `entry` is the one that stands, empty for a new one."""

    entry: str
    at: str
    fields: tuple[Field | Rows, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AdviceSheet:
    """A recommendation to fill in, with its costs; the last of them is for one more."""

    entry: str
    at: str
    fields: tuple[Field | Rows, ...]
    costs: tuple[CostSheet, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A finding to fill in: its words, its places, and its recommendations, the last of them for one more."""

    words: tuple[Field | Rows, ...]
    places: Rows
    advice: tuple[AdviceSheet, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """What a form comes to: entries to keep, or what is wrong by path.

    `finding` is the body of the finding, None where it is not whole.
    """

    finding: Finding | None
    entries: tuple[Entry[Any], ...]
    problems: Texts


def rivals(survey: Survey, entry: Entry[Any]) -> tuple[Entry[Any], ...]:
    """The other corrections of what an entry corrects, which stand beside it and stay when it is taken back."""
    ids = {each for heads in survey.heads.values() if entry.id in heads for each in heads}
    return tuple(survey.by_id[each] for each in sorted(ids - {entry.id}))


def taken_back(survey: Survey, entry: Entry[Any]) -> str:
    """What is to be said after an entry was taken back with its versions, and what stands now.

    Args:
        survey: As it was before.
        entry: What was taken back.
    """
    earlier = len(versions(survey, entry)) - 1
    beside = rivals(survey, entry)
    with_it = f", with {earlier} earlier version{'' if earlier == 1 else 's'}" if earlier else ""
    stands = f"What was written beside it is in force now: “{line_of(beside[0].body).rstrip('.')}”." if beside else "Nothing of it is in force now; it is legible in the history."  # fmt: skip
    return f"Taken back: {kind_words(entry.kind)} “{line_of(entry.body).rstrip('.')}”{with_it}. {stands}"


def texts_of_finding(finding: Finding, advice: Sequence[Advice], zone: tzinfo) -> dict[str, str]:
    """The texts of a form that shows a finding as it stands."""
    texts = texts_of(finding, zone)
    for number, each in enumerate(advice):
        at = f"advice.{number}."
        texts |= _put_under(at, texts_of(each.entry.body, zone)) | {f"{at}entry": each.entry.id}
        for place, cost in enumerate(each.costs):
            cost_at = f"{at}costs.{place}."
            texts |= _put_under(cost_at, texts_of(cost.body, zone)) | {f"{cost_at}entry": cost.id}
    return texts


def sheet(texts: Texts, problems: Texts, *, currency: str, today: date) -> Sheet:
    """The form, filled with texts.

    Args:
        texts: By path; recommendations under "advice.0.", their costs under "advice.0.costs.0.".
        problems: By path, what is wrong.
        currency: Of a cost nobody has given yet.
        today: Its date.
    """
    words = fields_of(Finding, texts, problems, CHOSEN, (*_MAY_BE_EMPTY, "how_known", "places"))
    places = next(each for each in words if isinstance(each, Rows))
    rows = _with_one_more("advice", texts)
    doubts = _out_of_step(texts, rows)
    return Sheet(
        words=tuple(each for each in words if each is not places),
        places=places,
        advice=tuple(
            _advice_sheet(f"advice.{each}.", texts, problems, doubt, currency, today)
            for each, doubt in zip(rows, doubts, strict=True)
        ),
    )


def sent(survey: Survey, found: Ranked | None, texts: Texts, zone: tzinfo, make: Make) -> Sent:
    """What was filled in.

    Args:
        survey: The survey.
        found: The finding as it stands, or None for a new one.
        texts: By path, as the browser sent them.
        zone: The zone of times.
        make: Makes an entry.
    """
    problems: dict[str, str] = {}
    entries: list[Entry[Any]] = []
    before = found.entry if found else None
    finding = _finding(survey, before, texts, zone, problems)
    of = before
    if finding and (before is None or before.body != finding):
        of = make(finding, _replaced(survey, before), _changed(before, finding))
        entries.append(of)
    entries += _printed(survey, before, finding, make) if finding else ()
    standing = {each.entry.id: each for each in found.advice} if found else {}
    for number in indices("advice", texts):
        at = f"advice.{number}."
        known = standing.get(texts.get(f"{at}entry", ""))
        entries += _advice(survey, known, of, at, texts, zone, problems, make)
    return Sent(finding=finding, entries=() if problems else tuple(entries), problems=problems)


def _finding(
    survey: Survey,
    before: Entry[Finding] | None,
    texts: Texts,
    zone: tzinfo,
    problems: dict[str, str],
) -> Finding | None:
    known: dict[str, Any] = {each: "" for each in _MAY_BE_EMPTY if _is_empty(texts, each)}
    known |= {each: [] for each in ("how_known", "places") if _is_empty(texts, each)}
    known["name"] = before.body.name if before else ""
    read = filled(Finding, texts, zone, known)
    problems |= read.problems
    if read.body is None:
        return None
    if before:
        # A browser sends ticks in the order they stand in on the page, which says nothing.
        ticked = {each: getattr(before.body, each) for each in _TICKED}
        same = {each: was for each, was in ticked.items() if set(was) == set(getattr(read.body, each))}  # fmt: skip
        return dataclasses.replace(read.body, **same)
    taken = {each.name for each in survey.bodies(Finding)}
    return dataclasses.replace(read.body, name=free_name(read.body.title, taken))


def _printed(
    survey: Survey, before: Entry[Finding] | None, finding: Finding, make: Make
) -> Iterator[Entry[Any]]:
    """The photographs that a finding shows anew, marked for print where they were not: the report shows them with it.

    One that it showed already and that is not printed was held back since, on purpose.
    """
    shown = before.body.photos if before else ()
    for each in dict.fromkeys(id_ for id_ in finding.photos if id_ not in shown):
        standing = survey.current(each)
        if (
            len(standing) == 1
            and isinstance(standing[0].body, Photo)
            and not standing[0].body.printed
        ):
            photo = dataclasses.replace(standing[0].body, printed=True)
            yield make(photo, (standing[0].id,), "A finding shows it")


def _is_empty(texts: Texts, path: str) -> bool:
    """Whether a field, and every field within it, was left empty."""
    return not any(texts[each].strip() for each in texts if each == path or each.startswith(f"{path}."))  # fmt: skip


def _advice(
    survey: Survey,
    known: Advice | None,
    finding: Entry[Finding] | None,
    at: str,
    texts: Texts,
    zone: tzinfo,
    problems: dict[str, str],
    make: Make,
) -> Iterator[Entry[Any]]:
    own = _taken_from(at, texts)
    if not any(own.get(each, "").strip() for each in _SAYS_SOMETHING):
        if known:
            yield make(
                Withdrawal(), versions(survey, known.entry), "The recommendation was emptied"
            )
        return
    of = known.entry.body.finding if known else finding.id if finding else ""
    if known is None and not own.get("by_when", "").strip():
        own = {**own, "by_when": _by_when(texts)}
    empty = {each: "" for each in _ADVICE_MAY_BE_EMPTY if not own.get(each, "").strip()}
    read = filled(Recommendation, own, zone, {"finding": of, **empty})
    problems |= _put_under(at, read.problems)
    if read.body is None:
        return
    entry = known.entry if known else None
    if entry is None or entry.body != read.body:
        entry = make(read.body, (entry.id,) if entry else (), _changed(entry, read.body))
        yield entry
    standing = {each.id: each for each in known.costs} if known else {}
    for number in indices(f"{at}costs", texts):
        cost_at = f"{at}costs.{number}."
        cost = standing.get(texts.get(f"{cost_at}entry", ""))
        yield from _cost(survey, cost, entry, cost_at, texts, zone, problems, make)


def _cost(
    survey: Survey,
    known: Entry[Cost] | None,
    advice: Entry[Recommendation],
    at: str,
    texts: Texts,
    zone: tzinfo,
    problems: dict[str, str],
    make: Make,
) -> Iterator[Entry[Any]]:
    own = _taken_from(at, texts)
    if not any(own.get(each, "").strip() for each in _COST_SAYS_SOMETHING):
        if known:
            yield make(Withdrawal(), versions(survey, known), "The cost was emptied")
        return
    of = known.body.recommendation if known else advice.id
    read = filled(Cost, own, zone, {"recommendation": of})
    found = dict(read.problems)
    if read.body and read.body.low_minor > read.body.high_minor:
        found["low_minor"] = "The band begins above its end. Exchange the two figures."
    problems |= _put_under(at, found)
    if read.body and not found and (known is None or known.body != read.body):
        yield make(read.body, (known.id,) if known else (), _changed(known, read.body))


def _replaced(survey: Survey, before: Entry[Finding] | None) -> tuple[str, ...]:
    """What a correction takes the place of: where several stand side by side, all of them."""
    return tuple(each.id for each in survey.current(survey.first(before).id)) if before else ()


def _changed(before: Entry[Any] | None, body: Any) -> str | None:
    """Why an entry is corrected, said by what differs."""
    if before is None:
        return None
    names = [each.name for each in dataclasses.fields(body)]
    differing = [each.replace("_minor", "").replace("_", " ") for each in names if getattr(before.body, each) != getattr(body, each)]  # fmt: skip
    return f"Written anew at the desk: {', '.join(differing)}"


def _advice_sheet(
    at: str, texts: Texts, problems: Texts, doubt: str, currency: str, today: date
) -> AdviceSheet:
    own = _taken_from(at, texts)
    wrong = _taken_from(at, problems)
    hints = {"by_when": doubt or _AS_THE_FINDING}
    fields = tuple(
        dataclasses.replace(each, hint=hints.get(each.path, each.hint))
        for each in fields_of(Recommendation, own, wrong, ("finding",), _ADVICE_MAY_BE_EMPTY)
    )
    rows = _with_one_more(f"{at}costs", texts)
    return AdviceSheet(
        entry=texts.get(f"{at}entry", ""),
        at=at,
        fields=_renamed(at, fields),
        costs=tuple(
            _cost_sheet(f"{at}costs.{each}.", texts, problems, currency, today) for each in rows
        ),
    )


def _cost_sheet(at: str, texts: Texts, problems: Texts, currency: str, today: date) -> CostSheet:
    own = {"currency": currency, "on": today.isoformat(), **_taken_from(at, texts)}
    # A recommendation may do without any cost.
    of_cost = [each.name for each in dataclasses.fields(Cost)]
    fields = fields_of(Cost, own, _taken_from(at, problems), ("recommendation",), of_cost)
    return CostSheet(entry=texts.get(f"{at}entry", ""), at=at, fields=_renamed(at, fields))


def _out_of_step(texts: Texts, rows: Sequence[int]) -> tuple[str, ...]:
    """For each recommendation the doubt about when it is wanted, beside the finding's urgency."""
    urgency = next((each for each in URGENCIES if each == texts.get("urgency")), None)
    if urgency is None:
        return ("",) * len(rows)
    steps = out_of_step(urgency, [texts.get(f"advice.{each}.by_when", "") for each in rows])
    return tuple(f'This is {step} than the finding says ("{urgency}"). Look at both.' if step else "" for step in steps)  # fmt: skip


def _by_when(texts: Texts) -> str:
    """When a recommendation is wanted of which it is not said: as urgent as the finding is."""
    within = texts.get("within", "").strip()
    urgency = texts.get("urgency", "")
    return within if within and urgency == "within a stated time" else urgency


def _with_one_more(path: str, texts: Texts) -> list[int]:
    """The rows that texts speak of, and an empty one after them."""
    rows = indices(path, texts)
    return [*rows, max(rows, default=-1) + 1]


def _taken_from(at: str, texts: Texts) -> Texts:
    return {path.removeprefix(at): text for path, text in texts.items() if path.startswith(at)}


def _put_under(at: str, texts: Texts) -> dict[str, str]:
    return {f"{at}{path}": text for path, text in texts.items()}


def _renamed(at: str, fields: Sequence[Field | Rows]) -> tuple[Field | Rows, ...]:
    return tuple(dataclasses.replace(each, path=f"{at}{each.path}") for each in fields)
