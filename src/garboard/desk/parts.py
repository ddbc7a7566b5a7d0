"""The parts a form offers: those of this boat first, by their ids and names."""

from garboard.catalogue.parts import catalogue
from garboard.judgement.states import called_parts
from garboard.notebook.fold import Survey


def part_choices(survey: Survey) -> tuple[tuple[str, str], ...]:
    """Part ids with their names: in walking order where a boat is known, then all others."""
    called = called_parts(survey) if survey.boat and survey.instruction else ()
    ids = dict.fromkeys((*(each.part.id for each in called), *catalogue().parts))
    return tuple((each, catalogue().parts[each].name) for each in ids)
