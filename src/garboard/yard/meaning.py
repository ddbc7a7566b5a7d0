"""What was captured so far means, in sentences."""

from collections.abc import Collection, Iterable
from typing import Any

from garboard.catalogue.naming import capital, key
from garboard.judgement.states import covers, part_states
from garboard.methods.result import Result
from garboard.methods.written import judged_words, measure, trouble_lies
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey
from garboard.notebook.vet import places_of

_TELLING = ("beyond", "at the limit")


def meaning_of(survey: Survey, results: Iterable[Result]) -> dict[str, Any]:
    """Every result in a sentence, what stands out first, with the keys of the places of the walk it speaks of.

    Args:
        survey: The survey.
        results: What its readings mean.
    """
    called = [each.called.place for each in part_states(survey)]
    found = sorted(results, key=lambda each: each.verdict not in _TELLING)
    return {"results": [_meant(each, survey, called) for each in found]}


def _meant(of: Result, survey: Survey, called: Collection[Place]) -> dict[str, Any]:
    spoken_of = _places(of, survey)
    said, *caveats = [_judged(of), *of.caveats] if of.value is not None else of.caveats or [""]
    return {
        "method": of.method,
        "what": of.what,
        "value": measure(of.value, of.uncertainty, of.unit),
        "said": said,
        "caveats": caveats,
        "keys": [key(each) for each in called if any(covers(one, each) for one in spoken_of)],
    }


def _judged(of: Result) -> str:
    words = judged_words(of)
    words = f"{capital(words)}"
    if of.criterion is None:
        return "" if of.verdict == "not comparable" else f"{words}."
    return f"{words} (trouble: {trouble_lies(of.criterion)})."


def _places(of: Result, survey: Survey) -> Collection[Place]:
    """The place a result names, or those of the entries it rests on."""
    if of.place:
        return {of.place}
    used = (survey.by_id[each] for each in of.used if each in survey.by_id)
    return {place for each in used for place in places_of(each.body)}
