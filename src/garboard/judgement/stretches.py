"""The walk: the places of a schedule in order, by stretches of one zone, and how each stands in words."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from types import MappingProxyType
from typing import get_args

from garboard.catalogue.naming import key, named
from garboard.catalogue.parts import Part, Zone, catalogue
from garboard.judgement.states import PartState, State
from garboard.notebook.body import Place, Side
from garboard.notebook.problem import Refused
from garboard.notebook.shape import read

STATES: Mapping[State, str] = MappingProxyType(
    {
        "silent": "nothing recorded",
        "not written up": "noted, examination not recorded",
        "not reached": "not reached",
        "examined in part": "examined in part",
        "examined": "examined whole",
        "not fitted": "not fitted",
        "not called for": "not called for, as agreed",
    }
)
"""How a place can stand, in words: what is still owed first."""

_SIDES = get_args(Side)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A place on the walk: its number on it, how it stands, and a name of this boat's own where it was given one."""

    at: int
    state: PartState

    @property
    def place(self) -> Place:
        """The place."""
        return self.state.called.place

    @property
    def part(self) -> Part:
        """The part of the catalogue that it is."""
        return self.state.called.part

    @property
    def key(self) -> str:
        """Its key, which stays the same."""
        return key(self.place)

    @property
    def which(self) -> str:
        """Side and number; empty where there is one alone."""
        return " ".join(str(each) for each in (self.place.side, self.place.number) if each)

    @property
    def own_name(self) -> str:
        """What it is called on this boat: the words of the place as it was last examined or found out of reach."""
        stated = [
            *(each.body.place for each in self.state.limitations),
            *(each.body.place for each in self.state.examinations),
        ]
        whole = (each.words for each in reversed(stated) if each.station_m is None)
        return next(filter(None, whole), "")

    @property
    def name(self) -> str:
        """Part, side and number, and its own name."""
        return ", ".join(filter(None, (named(self.place), self.own_name)))

    @property
    def is_found(self) -> bool:
        """Whether something was found there: a defect, or what looks like one."""
        last = self.state.examinations[-1].body.outcome if self.state.examinations else None
        return last in ("defect", "doubtful")

    @property
    def words(self) -> str:
        """How it stands."""
        shares = [e.body.share_pct for e in self.state.examinations if e.body.share_pct is not None]
        if self.state.state == "examined in part" and shares:
            return f"{STATES[self.state.state]}, about {shares[-1]:.0f} %"
        return STATES[self.state.state]


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """Places of one part that follow each other; what is called for holds for all of them.

    `is_first` says that the part was not met before in this stretch of the walk.
    """

    part: Part
    stops: tuple[Stop, ...]
    is_first: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of the walk in one zone; `slug` names it on the page, `again` that the zone was met before."""

    slug: str
    zone: Zone
    again: bool
    groups: tuple[Alike, ...]

    @property
    def counts(self) -> tuple[tuple[State, str, int], ...]:
        """How many of its places stand how."""
        return counts(stop for each in self.groups for stop in each.stops)

    @property
    def name(self) -> str:
        """The zone, with the side where all of it lies on one, or that it is met again."""
        sides = {stop.place.side for each in self.groups for stop in each.stops}
        side = next(iter(sides)) if len(sides) == 1 else None
        return ", ".join(filter(None, (self.zone.name, side or ("again" if self.again else ""))))


def stops(states: Iterable[PartState]) -> tuple[Stop, ...]:
    """The places of a schedule, numbered from 1 in walking order."""
    return tuple(Stop(at=number, state=state) for number, state in enumerate(states, 1))


def stretches(along: Iterable[Stop]) -> tuple[Stretch, ...]:
    """The walk by its stretches of one zone, like places together."""
    zones = {each.slug: each for each in catalogue().zones}
    met: Counter[str] = Counter()
    found = []
    for slug, here in groupby(along, key=lambda stop: stop.part.zone):
        met[slug] += 1
        again = met[slug] > 1
        named_so = f"{slug}-{met[slug]}" if again else slug
        found.append(Stretch(slug=named_so, zone=zones[slug], again=again, groups=_alike(here)))
    return tuple(found)


def _alike(here: Iterable[Stop]) -> tuple[Alike, ...]:
    met: set[str] = set()
    found = []
    for part, each in groupby(here, key=lambda stop: stop.part.id):
        is_first = part not in met
        found.append(Alike(part=catalogue().parts[part], stops=tuple(each), is_first=is_first))
        met.add(part)
    return tuple(found)


def counts(along: Iterable[Stop]) -> tuple[tuple[State, str, int], ...]:
    """How many places stand how, with the words for it; what nobody is, left out."""
    counted = Counter(stop.state.state for stop in along if stop.state.is_place)
    return tuple(
        (state, words, counted[state]) for state, words in STATES.items() if counted[state]
    )


def place_at(written: str) -> Place | None:
    """The place that a key names, or None where it names none."""
    part, *rest = written.split(" ")
    side = rest.pop(0) if rest and rest[0] in _SIDES else None
    number = rest.pop(0) if rest and rest[0].isdecimal() else None
    if rest or part not in catalogue().parts:
        return None
    try:
        return read(Place, {"part": part, "side": side, "number": number and int(number)}, "place")
    except Refused:
        return None


def beside(along: Sequence[Stop], place: Place) -> tuple[Stop | None, Stop | None, Stop | None]:
    """The stop before a place, that of the place itself, and the one after it."""
    at = next((i for i, stop in enumerate(along) if stop.place == place), None)
    if at is None:
        return (None, None, None)
    return (
        along[at - 1] if at else None,
        along[at],
        along[at + 1] if at + 1 < len(along) else None,
    )
