"""The schedule as its page narrows it, and the particulars nobody answered that parts are called for because of."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from garboard.catalogue.parts import catalogue
from garboard.catalogue.schedule import Called
from garboard.desk.forms import fields_of
from garboard.judgement.states import State
from garboard.judgement.stretches import (
    STATES,
    Stop,
)
from garboard.notebook.body import Boat

_FITTED = "fitted"


@dataclass(frozen=True, slots=True, kw_only=True)
class Filter:
    """Some of the places: `words` say which."""

    words: str
    takes: Callable[[Stop], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unanswered:
    """A particular of the boat that nobody has answered, and how many parts are called for because of that.

    `at` is its place on the boat's form.
    """

    label: str
    at: str
    parts: int = 0


def _standing(state: State) -> Callable[[Stop], bool]:
    return lambda stop: stop.state.is_place and stop.state.state == state


FILTERS: Mapping[str, Filter] = MappingProxyType(
    {
        **{each: Filter(words=words, takes=_standing(each)) for each, words in STATES.items()},
        "found": Filter(words="something found", takes=lambda stop: stop.is_found),
        "limited": Filter(
            words="in part or not reached",
            takes=lambda stop: (
                stop.state.is_place and stop.state.state in ("examined in part", "not reached")
            ),
        ),
        "duties": Filter(
            words="duties of your own, nothing recorded",
            takes=lambda stop: not stop.state.is_place and stop.state.state == "silent",
        ),
    }
)
"""What the schedule can be narrowed to, by the word in the address: one state, or what is looked for most."""


def unanswered(called: Iterable[Called]) -> tuple[Unanswered, ...]:
    """The particulars that nobody has answered and parts hang on, those with most parts first."""
    hanging = {(fact, each.part.id) for each in called for fact in each.unstated}
    counted = Counter(fact for fact, _ in hanging)
    # Ties by name, so that a page looks the same each time.
    facts = sorted(counted, key=lambda fact: (-counted[fact], fact))
    return tuple(
        Unanswered(label=_labels()[fact], at=_at(fact), parts=counted[fact]) for fact in facts
    )


def leans_on(called: Called) -> tuple[Unanswered, ...]:
    """What a place is called for because of, each question about what she has by itself."""
    found = []
    for fact in called.unstated:
        if fact == _FITTED:
            questions = catalogue().vocabulary.fittings
            found += [
                Unanswered(label=questions[each], at=f"{_FITTED}-{each}")
                for each in called.fittings
            ]
        else:
            found.append(Unanswered(label=_labels()[fact], at=_at(fact)))
    return tuple(found)


@cache
def _labels() -> Mapping[str, str]:
    return {each.path: each.label for each in fields_of(Boat, {})}


def _at(fact: str) -> str:
    """Where a particular stands on the boat's form: several ticks are a group."""
    return f"{fact}-group" if fact == "deck" else fact
