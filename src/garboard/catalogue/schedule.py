"""The schedule: which parts this boat has and this purpose calls for, in walking order."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from garboard.catalogue.applies import FITTED, UNKNOWN, Facts, open_fittings
from garboard.catalogue.parts import Part, catalogue
from garboard.catalogue.vocabulary import Vocabulary
from garboard.catalogue.walking import orders
from garboard.notebook.body import Boat, Place, Side

_BOTH: tuple[Side, ...] = ("starboard", "port")
_ALL: tuple[Side, ...] = ("starboard", "centre", "port")
_PLAIN_FACTS = (
    "material", "keel", "rudder", "drive", "rig", "mast", "mast_step", "standing", "fuel", "exhaust",
    "speed", "hulls",
)  # fmt: skip
# No part is called for by these alone.
_WITH_A_MAST = ("mast_step", "sail_area_m2")
# A place number has three digits.
_MOST = 999


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """A place of this boat that the purpose calls for.

    `why` is a sentence; `ask` the questions whose answer could strike it out again, because the boat does
    not say, and `unstated` the particulars that they ask of, by field, with the `fittings` that are asked about;
    `usual` is True where its number is the usual one, not this boat's; `foreseen` are the reasons for a limitation
    that the visits agreed already give.
    """

    part: Part
    place: Place
    why: str
    ask: tuple[str, ...] = ()
    unstated: tuple[str, ...] = ()
    fittings: tuple[str, ...] = ()
    usual: bool = False
    foreseen: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NotFitted:
    """A part that this boat, as stated, does not have."""

    part: Part
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotCalledFor:
    """A part that this boat may have and this instruction does not call for."""

    part: Part
    because: str


def schedule(
    boat: Boat,
    purpose: str,
    visits: Iterable[str],
    asked: Iterable[str] = (),
    seen: Iterable[str] = (),
) -> tuple[Called, ...]:
    """What is to be examined, in the order in which this boat is walked.

    A part whose test turns on something nobody has stated is called for, with the question in `ask`: what
    is not known to be absent must be looked for. Damage takes every part the boat has, first those the
    instruction names.

    Args:
        boat: Her particulars as stated; `numbers` overrides how many there are of a part (for a part
            "side and number" on each side); 0 says there is none.
        purpose: A purpose of the vocabulary, such as "buy".
        visits: "ashore", "afloat", "trial"; a trial is afloat as well.
        asked: Ids of parts the instruction names besides what the purpose calls for.
        seen: Ids of parts that were examined: she has them, whatever is stated of her.

    Raises:
        ValueError: The purpose, a visit or an asked part is not known, or there is no visit.
    """
    brief = _brief(boat, purpose, visits, asked, seen)
    found = [
        called
        for part in catalogue().parts.values()
        if _left_out(part, brief) is None
        for called in _called(part, brief)
    ]
    order = next(each for each in orders() if each.suits(brief.facts, purpose))
    rank_of_part = {part: rank for rank, part in enumerate(catalogue().parts)}

    def rank(called: Called) -> tuple[int, ...]:
        zone, place = called.part.zone, called.place
        leg = next(i for i, leg in enumerate(order.legs) if leg.takes(zone, place, brief.asked))
        return (leg, *order.legs[leg].rank(zone, rank_of_part[place.part], place))

    return tuple(sorted(found, key=rank))


def left_out(
    boat: Boat, purpose: str, visits: Iterable[str], asked: Iterable[str] = ()
) -> tuple[NotFitted | NotCalledFor, ...]:
    """Every part that the schedule of the same arguments does not hold, and why, in catalogue order.

    Raises:
        ValueError: As `schedule`.
    """
    brief = _brief(boat, purpose, visits, asked)
    found = (_left_out(part, brief) for part in catalogue().parts.values())
    return tuple(each for each in found if each is not None)


def possible_fittings(boat: Boat) -> tuple[str, ...]:
    """What a boat may have by all else that is stated of her, in the order in which it is asked.

    >>> "trampoline" in possible_fittings(Boat(name="One", hulls=1))
    False
    >>> "trampoline" in possible_fittings(Boat(name="Nobody has counted"))
    True
    """
    facts = {**facts_of(boat, ()), "visit": None}
    possible = {
        each for part in catalogue().parts.values() for each in part.applies.counting(FITTED, facts)
    }
    return tuple(each for each in catalogue().vocabulary.fittings if each in possible)


def needless_particulars(boat: Boat) -> tuple[str, ...]:
    """What need not be stated of a boat, as all else that is stated of her leaves it without a meaning.

    >>> needless_particulars(Boat(name="One", rig="none", drive="sterndrive"))
    ('rudder', 'mast', 'standing', 'mast_step', 'sail_area_m2')
    >>> needless_particulars(Boat(name="Nobody has looked"))
    ()
    """
    facts = {**facts_of(boat, ()), "visit": None}
    tests = [part.applies for part in catalogue().parts.values()]
    needless = [
        fact
        for fact in _PLAIN_FACTS
        if any(test.asks(fact) for test in tests)
        and not any(test.counting(fact, facts) for test in tests)
    ]
    return (*needless, *(_WITH_A_MAST if "mast" in needless else ()))


def facts_of(boat: Boat, visits: Iterable[str]) -> Facts:
    """What is stated of a boat and a survey, in the form that tests ask of.

    An empty `deck` counts as not stated, and so does what is fitted where nothing is listed: that she has none of it
    is said in so many words.
    """
    is_asked = bool(boat.fitted or boat.fitted_unknown or boat.fitted_none)
    stated = {name: getattr(boat, name) for name in _PLAIN_FACTS}
    return {
        **{name: None if value is None else (str(value),) for name, value in stated.items()},
        "deck": tuple(boat.deck) or None,
        FITTED: boat.fitted if is_asked else None,
        UNKNOWN: boat.fitted_unknown,
        "visit": _agreed(visits),
    }


def _agreed(visits: Iterable[str]) -> tuple[str, ...]:
    once = tuple(dict.fromkeys(visits))
    return (*once, "afloat") if "trial" in once and "afloat" not in once else once


@dataclass(frozen=True, slots=True, kw_only=True)
class _Brief:
    """The arguments of a schedule, checked, with the facts they state."""

    boat: Boat
    purpose: str
    visits: tuple[str, ...]
    asked: tuple[str, ...]
    seen: frozenset[str]
    facts: Facts


def _brief(
    boat: Boat,
    purpose: str,
    visits: Iterable[str],
    asked: Iterable[str],
    seen: Iterable[str] = (),
) -> _Brief:
    vocabulary = catalogue().vocabulary
    agreed, named = _agreed(visits), tuple(asked)
    if purpose not in vocabulary.purposes:
        known = ", ".join(vocabulary.purposes)
        raise ValueError(f'"{purpose}" is not a purpose of survey; use one of {known}.')
    if not agreed:
        raise ValueError("A schedule needs at least one visit: ashore, afloat or trial.")
    for visit in agreed:
        if visit not in vocabulary.visits:
            raise ValueError(f'"{visit}" is not a visit; use ashore, afloat or trial.')
    for part in named:
        if part not in catalogue().parts:
            raise ValueError(f'The instruction names "{part}", which is no part of the catalogue.')
    return _Brief(
        boat=boat,
        purpose=purpose,
        visits=agreed,
        asked=named,
        seen=frozenset(seen),
        facts=facts_of(boat, agreed),
    )


def _left_out(part: Part, brief: _Brief) -> NotFitted | NotCalledFor | None:
    """Why a part is not called for, or None where it is."""
    vocabulary = catalogue().vocabulary
    if part.id in brief.asked:
        return None
    absent = None if part.id in brief.seen else _not_fitted(part, brief)
    if absent:
        return absent
    if "visit" in part.applies.refusing(brief.facts) or (
        part.trial and "trial" not in brief.visits
    ):
        wanted = part.applies.asks("visit") or ("trial",)
        return NotCalledFor(part=part, because=f"no visit agreed for it: {' or '.join(wanted)}")
    if part.if_asked:
        return NotCalledFor(part=part, because="examined only where the instruction names it")
    if brief.purpose not in ("damage", *part.purposes):
        words = vocabulary.purposes[brief.purpose]
        return NotCalledFor(part=part, because=f"not part of a {words}")
    return None


def _not_fitted(part: Part, brief: _Brief) -> NotFitted | None:
    """Which statement says that she does not have a part; a fitting that is stated is there against all others."""
    vocabulary = catalogue().vocabulary
    against = part.applies.refusing({**brief.facts, "visit": None})
    if against and not part.applies.is_of_fitted(brief.facts):
        words = "; ".join(_stated(fact, brief.facts, vocabulary) for fact in against)
        return NotFitted(part=part, because=f"as stated: {words}")
    if brief.boat.numbers.get(part.id) == 0:
        return NotFitted(part=part, because="as stated: none of them")
    return None


def _stated(fact: str, facts: Facts, vocabulary: Vocabulary) -> str:
    if fact == FITTED:
        return "nothing of the kind fitted"
    answers = vocabulary.answers(fact)
    words = ", ".join(answers.get(each, each) for each in facts[fact] or ())
    return f"{fact.replace('_', ' ')}, {words}"


def _called(part: Part, brief: _Brief) -> Iterator[Called]:
    vocabulary = catalogue().vocabulary
    why = _why(part, brief, vocabulary)
    # What the instruction names is called for whatever the answers are.
    unstated = () if part.id in brief.asked else part.applies.unstated(brief.facts)
    asked = part.applies.counting(FITTED, brief.facts) if FITTED in unstated else ()
    fittings = open_fittings(asked, brief.facts)
    ask = tuple(_questions(unstated, fittings, vocabulary))
    foreseen = tuple(_foreseen(part, brief.visits))
    places, usual = _places(part, brief, vocabulary)
    for place in places:
        yield Called(
            part=part,
            place=place,
            why=why,
            ask=ask,
            unstated=unstated,
            fittings=fittings,
            usual=usual,
            foreseen=foreseen,
        )


def _why(part: Part, brief: _Brief, vocabulary: Vocabulary) -> str:
    if part.id in brief.asked:
        return "The instruction names it."
    if brief.purpose == "damage":
        return "A survey of damage may come to any part on the way of the load."
    if part.trial:
        return "A trial under way was agreed."
    return f"A {vocabulary.purposes[brief.purpose]} calls for it."


def _questions(
    unstated: Iterable[str], fittings: Iterable[str], vocabulary: Vocabulary
) -> Iterator[str]:
    for fact in unstated:
        if fact == FITTED:
            yield from (f"ask: {vocabulary.fittings[slug]}" for slug in fittings)
        else:
            yield f"ask: {fact.replace('_', ' ')} not stated"


def _foreseen(part: Part, visits: tuple[str, ...]) -> Iterator[str]:
    if "ashore" not in visits and "afloat" in part.limits:
        yield "afloat"
    if "afloat" not in visits and "ashore" in part.limits:
        yield "ashore"
    if "trial" not in visits and "no-trial" in part.limits:
        yield "no-trial"


def _places(part: Part, brief: _Brief, vocabulary: Vocabulary) -> tuple[tuple[Place, ...], bool]:
    """The places of a part on this boat, and whether their number is only the usual one."""
    stated = _stated_count(part, brief.boat, vocabulary)
    usual = part.usual_on(brief.boat.loa_m, brief.facts)
    count = min(usual if stated is None else max(stated, 1), _MOST)
    match part.per:
        case "number":
            places = _numbered(part, count)
        case "side and number":
            places = tuple(
                Place(part=part.id, side=side, number=number)
                for side in _BOTH
                for number in range(1, count + 1)
            )
        case "one" | "mast":
            places = _several(part, count)
        case _:
            places = _sided(part, count)
    return places, stated is None


def _stated_count(part: Part, boat: Boat, vocabulary: Vocabulary) -> int | None:
    """How many there are as far as the boat says; None where she does not."""
    if part.id in boat.numbers:
        return boat.numbers[part.id]
    two_rudders = boat.rudder == "twin" or boat.hulls == len(_BOTH)
    return {
        "one": 1,
        "side": len(_ALL) if boat.hulls == len(_ALL) else len(_BOTH),
        "hull": boat.hulls,
        "engine": len(boat.engines) or None,
        "rudder": 2 if two_rudders else boat.rudder and 1,
        "keel": 2 if boat.keel == "twin" else boat.keel and 1,
        "mast": vocabulary.masts.get(boat.rig or ""),
    }.get(part.per)


def _several(part: Part, count: int) -> tuple[Place, ...]:
    """One place without a number, or several numbered ones."""
    return (Place(part=part.id),) if count == 1 else _numbered(part, count)


def _numbered(part: Part, count: int) -> tuple[Place, ...]:
    return tuple(Place(part=part.id, number=number) for number in range(1, count + 1))


def _sided(part: Part, count: int) -> tuple[Place, ...]:
    """One place, or two or three by their sides; more than three are numbered."""
    sides = {2: _BOTH, 3: _ALL}.get(count)
    if sides is None:
        return _several(part, count)
    return tuple(Place(part=part.id, side=side) for side in sides)
