"""How each part that was called for stands: examined, reached in part, not reached, not fitted, or silent."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from garboard.catalogue.schedule import Called, schedule
from garboard.notebook.body import (
    Examination,
    Limitation,
    Observation,
    Place,
    ReadingSet,
    Sounding,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

State = Literal[
    "examined",
    "examined in part",
    "not reached",
    "not fitted",
    "not called for",
    "not written up",
    "silent",
]

# Methods that leave no trace on the boat and need no one's leave: called for, they are owed.
_OWED = frozenset(
    {"sound", "moisture", "thickness", "pit", "move", "operate", "electrical", "half-cell",
     "temperature", "leak-test", "borescope"}
)  # fmt: skip
# A moisture meter says nothing through metal.
_METAL = ("steel", "aluminium")
_METHOD_OF = {
    "moisture": "moisture",
    "thickness": "thickness",
    "pit depth": "pit",
    "potential": "half-cell",
    "resistance": "electrical",
    "voltage": "electrical",
    "temperature": "temperature",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PartState:
    """A called part with what was done about it.

    "not written up" was sounded, read or observed, and nobody recorded its examination.

    `unused` are the methods called for that nobody used and no limitation explains.
    """

    called: Called
    state: State
    examinations: tuple[Entry[Examination], ...]
    limitations: tuple[Entry[Limitation], ...]
    unused: tuple[str, ...]

    @property
    def is_place(self) -> bool:
        """Whether it is a place of the boat; a duty of the surveyor's own counts among none."""
        return not self.called.part.is_duty


def called_parts(survey: Survey) -> tuple[Called, ...]:
    """The schedule of a survey; empty while instruction or boat is missing.

    A part that was examined is there, whatever the boat is stated to have. A re-inspection looks at the listed parts
    alone.
    """
    instruction, boat = survey.instruction, survey.boat
    if instruction is None or boat is None:
        return ()
    listed = instruction.purpose == "re-inspection"
    found = schedule(
        boat,
        "damage" if listed else instruction.purpose,
        instruction.visits,
        instruction.asked_parts,
        {
            each.place.part
            for each in survey.bodies(Examination)
            if each.extent in ("whole", "part")
        },
    )
    return tuple(each for each in found if not listed or each.part.id in instruction.asked_parts)


def part_states(survey: Survey) -> tuple[PartState, ...]:
    """Each called part, in walking order, with how it stands."""
    examined = _by_part(survey.of(Examination))
    limited = _by_part(survey.of(Limitation))
    used = methods_used(survey)
    owed = _OWED - ({"moisture"} if survey.boat and survey.boat.material in _METAL else set())
    return tuple(_state(each, examined, limited, used, owed) for each in called_parts(survey))


def covers(stated: Place, called: Place) -> bool:
    """Whether what is stated of a place speaks of a called place.

    No side speaks of both sides, no number of the whole row of like parts; a side or number that the called
    place does not have, and a coordinate, change nothing.
    """
    return (
        stated.part == called.part
        and (called.side is None or stated.side in (None, called.side))
        and (called.number is None or stated.number in (None, called.number))
    )


def speaks_of(examination: Examination, called: Place) -> bool:
    """Whether an examination is one of this called place: a numbered part is examined by its number."""
    place = examination.place
    looked_at = examination.extent in ("whole", "part")
    return covers(place, called) and not (looked_at and called.number and not place.number)


def _state(
    called: Called,
    examined: Mapping[str, tuple[Entry[Examination], ...]],
    limited: Mapping[str, tuple[Entry[Limitation], ...]],
    used: Mapping[str, tuple[tuple[str, Place], ...]],
    owed: frozenset[str],
) -> PartState:
    place = called.place
    looks = tuple(e for e in examined.get(place.part, ()) if speaks_of(e.body, place))
    limits = tuple(e for e in limited.get(place.part, ()) if covers(e.body.place, place))
    extents = {entry.body.extent for entry in looks}
    state: State = "silent"
    if extents & {"whole", "part"}:
        state = "examined" if "whole" in extents and not limits else "examined in part"
    elif limits:
        state = "not reached"
    elif "not fitted" in extents:
        state = "not fitted"
    elif "not called for" in extents:
        state = "not called for"
    traces = {how for how, at in used.get(place.part, ()) if covers(at, place)}
    if state == "silent" and traces:
        state = "not written up"
    done = traces | {how for entry in looks for how in entry.body.how}
    done |= {how for entry in limits for how in entry.body.how}
    unused = tuple(how for how in called.part.how if how in owed and how not in done)
    return PartState(
        called=called,
        state=state,
        examinations=looks,
        limitations=limits,
        unused=unused if state in ("examined", "examined in part") else (),
    )


def _by_part(entries: tuple[Entry[Any], ...]) -> dict[str, tuple[Entry[Any], ...]]:
    found: dict[str, list[Entry[Any]]] = defaultdict(list)
    for entry in entries:
        found[entry.body.place.part].append(entry)
    return {part: tuple(each) for part, each in found.items()}


def methods_used(survey: Survey) -> dict[str, tuple[tuple[str, Place], ...]]:
    """By part, the methods that soundings, readings and observations show were used, with the place."""
    found: dict[str, dict[tuple[str, Place], None]] = defaultdict(dict)
    for sounding in survey.bodies(Sounding):
        if sounding.heard != "not sounded":
            found[sounding.place.part]["sound", _bare(sounding.place)] = None
    for observation in survey.bodies(Observation):
        found[observation.place.part]["look", _bare(observation.place)] = None
    for reading_set in survey.bodies(ReadingSet):
        method = _METHOD_OF.get(reading_set.quantity, "measure")
        for reading in reading_set.readings:
            if not reading.reference:
                found[reading.place.part][method, _bare(reading.place)] = None
    return {part: tuple(methods) for part, methods in found.items()}


def _bare(place: Place) -> Place:
    """A place without its coordinates, so that a grid of readings counts once."""
    return Place(part=place.part, side=place.side, number=place.number)
