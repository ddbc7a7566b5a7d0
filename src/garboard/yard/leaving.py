"""What must be dealt with before the ladder goes away, each with the place or instrument where that is done."""

from collections.abc import Iterator, Mapping
from typing import Literal

from garboard.catalogue.naming import key, named
from garboard.judgement.gap import Gap
from garboard.judgement.gaps import gaps
from garboard.judgement.states import PartState, covers, part_states
from garboard.notebook.body import Examination, Observation, Photo, Place
from garboard.notebook.fold import Survey

Sort = Literal[
    "parts", "unwritten", "asked", "methods", "limitations", "photographs", "instruments", "duties",
]  # fmt: skip

SORTS: Mapping[Sort, str] = {
    "parts": "Parts with nothing recorded",
    "unwritten": "Parts noted, their examination not recorded",
    "asked": "Parts of which nobody said whether she has them",
    "methods": "Methods not used",
    "limitations": "Limitations without words",
    "photographs": "Photographs missing",
    "instruments": "Instruments to check once more",
    "duties": "Duties of your own",
}
"""What each sort is called, in the order in which they are dealt with."""

_SORTS: dict[str, Sort] = {
    "silent": "parts",
    "ask": "asked",
    "unused": "methods",
    "limitation": "limitations",
    "unchecked": "instruments",
    "end": "instruments",
}
_AMISS = ("defect", "doubtful")


def leaving_of(survey: Survey) -> list[dict[str, str]]:
    """The list read while everything can still be reached, by sort and then in the order of the walk.

    `key` is that of the place where it is dealt with, empty where an instrument is meant. Whatever is owed of a duty of
    the surveyor's own is one of the duties, and among none of the boat's places.
    """
    states = {key(each.called.place): each for each in part_states(survey)}
    # What is owed on leaving does not turn on what the readings mean.
    owed = [_item(each) for each in gaps(survey, ()) if each.leaving and not each.answer]
    return [_as_noted(each, states) for each in (*_once_a_place(owed), *_unphotographed(survey))]


def _as_noted(item: dict[str, str], states: Mapping[str, PartState]) -> dict[str, str]:
    """Under its own sort what is a duty, and what was noted without an examination."""
    state = states.get(item["key"])
    if state and not state.is_place:
        return {**item, "sort": "duties"}
    if state and item["sort"] == "parts" and state.state == "not written up":
        return {**item, "sort": "unwritten"}
    return item


def _once_a_place(owed: list[dict[str, str]]) -> Iterator[dict[str, str]]:
    """A part that nobody looked at is one thing to do, however many questions hang on it."""
    told: set[str] = set()
    for each in owed:
        is_of_part = each["sort"] in ("parts", "asked")
        if not is_of_part or each["key"] not in told:
            yield each
        if is_of_part:
            told.add(each["key"])


def _item(of: Gap) -> dict[str, str]:
    sort = _SORTS[of.id.partition(" ")[0]]
    return {"sort": sort, "where": of.where, "what": of.what, "do": of.do, "key": _key(of)}


def _key(of: Gap) -> str:
    sort, _, rest = of.id.partition(" ")
    match sort:
        case "silent":
            return rest
        case "unused":
            return rest.partition(" ")[2]
        case "limitation":
            return rest.removeprefix("could hide ")
        case "ask":
            return rest.removesuffix(of.do).removesuffix("ask: ").strip()
        case _:
            return ""


def _unphotographed(survey: Survey) -> Iterator[dict[str, str]]:
    """Places that call for a photograph, or where something is amiss, of which there is none."""
    shown = [each.place for each in survey.bodies(Photo) if each.place]
    amiss = [each.place for each in survey.bodies(Examination) if each.outcome in _AMISS]
    amiss += [each.place for each in survey.bodies(Observation) if each.defect]
    for state in part_states(survey):
        place = state.called.place
        if any(covers(each, place) for each in shown):
            continue
        if any(covers(each, place) for each in amiss):
            yield _missing(place, "something was found amiss there, and no photograph shows it")
        elif _calls_for_one(state):
            yield _missing(place, "it is to be photographed, and there is no photograph of it")


def _calls_for_one(state: PartState) -> bool:
    return state.state in ("examined", "examined in part") and "photo" in state.called.part.how


def _missing(place: Place, what: str) -> dict[str, str]:
    do = "Photograph it, once whole and once near"
    return {"sort": "photographs", "where": named(place), "what": what, "do": do, "key": key(place)}
