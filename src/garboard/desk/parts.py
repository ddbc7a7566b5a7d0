"""The parts a form offers and shows by their names, those of this boat first."""

from collections.abc import Iterable

from garboard.catalogue.parts import catalogue
from garboard.judgement.states import called_parts
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, nearest


def part_choices(survey: Survey, first: Iterable[str] = ()) -> tuple[tuple[str, str], ...]:
    """Part ids with their names: those wanted first, then in walking order where a boat is known, then all others."""
    called = called_parts(survey) if survey.boat and survey.instruction else ()
    ids = dict.fromkeys((*first, *(each.part.id for each in called), *catalogue().parts))
    return tuple((each, catalogue().parts[each].name) for each in ids)


def part_name(text: str) -> str:
    """The name of the part that a text names by its id; the text itself where it names none."""
    part = catalogue().parts.get(text)
    return part.name if part else text


def no_such_part(text: str, where: str) -> Problem:
    """What is wrong with a text that names no part, and the one that was probably meant."""
    names = [each.name for each in catalogue().parts.values()]
    do = nearest(text, names, "Choose one from the list")
    return Problem(where=where, what=f"there is no part called “{text}”", do=do)
