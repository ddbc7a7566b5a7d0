"""What the page needs to capture before the calculations have started there, as JSON; and again whenever they are done."""

from collections.abc import Collection
from typing import Any, get_args, get_type_hints

from garboard.catalogue.parts import Part, catalogue
from garboard.judgement.states import part_states
from garboard.judgement.strays import SHELL, levels_on
from garboard.judgement.stretches import Stop, stops, stretches
from garboard.methods.strikes import FEWEST_REFERENCES
from garboard.notebook.body import KINDS, Answer, Conditions, Place, Quantity, Range
from garboard.notebook.fold import Survey
from garboard.notebook.vet import limits_of, needs_calibration, units_of
from garboard.yard.asked import open_of, questions_of
from garboard.yard.issued import issued_words
from garboard.yard.leaving import SORTS
from garboard.yard.strikes import MANY_REFERENCES

# What is read or photographed is told by its readings and photographs, never by a word that it was done.
_LEAVES_A_RECORD = frozenset(
    {"moisture", "thickness", "pit", "half-cell", "electrical", "temperature", "photo"}
)
_TOLD = frozenset({"ask", "paper"})
# Nobody examined it, and why not was answered in words among what is missing.
_ANSWERED = {"state": "answered", "words": "answered for in words"}


def plan_of(survey: Survey) -> dict[str, Any]:
    """The boat, the walk with how each place stands, what its parts call for, and the words of the vocabulary.

    `places` are in walking order; those of one stretch follow each other and share its `stretch`. After them come the
    surveyor's own duties, which are no places of the boat: `is_place` tells them apart. `issued` says that the report
    was issued, empty while it was not. `questions` are those
    that nobody has answered of the boat, `asks` those a place is called for because of. `units` has for each
    quantity its units with what can be read in them, `coordinates` what the figures of a place can be, and `air` those
    of a visit's air, so that nothing is kept in the yard that the desk must refuse; `lying` how she can lie during a
    visit; `sorts` what is left before the ladder goes is called by, in order; `kinds` what an entry of each kind is called;
    `references` how many reference strikes are needed, and wanted.
    """
    boat, vocabulary = survey.boat, catalogue().vocabulary
    along = stops(sorted(part_states(survey), key=lambda each: not each.is_place))
    places = [each for each in along if each.state.is_place]
    answered = {each.gap for each in survey.bodies(Answer)}
    return {
        "boat": boat.name if boat else "",
        "digest": survey.digest,
        "issued": issued_words(survey),
        "places": [
            *(
                {**_place(stop, answered), "stretch": stretch.slug, "zone": stretch.name}
                for stretch in stretches(places)
                for alike in stretch.groups
                for stop in alike.stops
            ),
            *(
                {**_place(stop, answered), "stretch": "duties", "zone": SORTS["duties"]}
                for stop in along[len(places) :]
            ),
        ],
        "parts": {stop.part.id: _part(stop.part) for stop in along},
        "questions": questions_of(stop.state.called for stop in along),
        "how": dict(vocabulary.how),
        "reasons": dict(vocabulary.reasons),
        "units": {each: _units(each) for each in get_args(Quantity)},
        "coordinates": _ranges(Place, "station_m", "level_m"),
        "air": _ranges(Conditions, "air_c", "humidity_pct"),
        "lying": dict(vocabulary.lying),
        "sorts": dict(SORTS),
        "kinds": {each: vocabulary.kind(each) for each in KINDS},
        "references": {"fewest": FEWEST_REFERENCES, "wanted": MANY_REFERENCES},
    }


def _units(quantity: str) -> dict[str, Any]:
    return {
        unit: {
            "range": list(limits_of(quantity, unit) or ()),
            "calibrated": needs_calibration(quantity, unit),
        }
        for unit in units_of(quantity)
    }


def _ranges(of: type, *names: str) -> dict[str, list[float]]:
    """The range of each figure of a body, as the notebook takes it."""
    hints = get_type_hints(of, include_extras=True)
    return {name: _range(hints[name]) for name in names}


def _range(hint: Any) -> list[float]:
    (found,) = (
        mark
        for each in get_args(hint)
        for mark in getattr(each, "__metadata__", ())
        if isinstance(mark, Range)
    )
    return [found.low, found.high]


def _place(of: Stop, answered: Collection[str]) -> dict[str, Any]:
    is_open = of.state.state in ("silent", "not written up")
    return {
        "key": of.key,
        "part": of.part.id,
        "side": of.place.side,
        "number": of.place.number,
        "name": of.name,
        "why": of.state.called.why,
        "is_place": of.state.is_place,
        "state": of.state.state,
        "words": of.words,
        **(_ANSWERED if is_open and f"silent {of.key}" in answered else {}),
        "is_found": of.is_found,
        "unused": list(of.state.unused),
        "asks": open_of(of.state.called),
    }


def _part(of: Part) -> dict[str, Any]:
    return {
        "name": of.name,
        "caution": of.caution,
        "how": list(of.how),
        "by_hand": [each for each in of.how if each not in _LEAVES_A_RECORD],
        # What papers and people say is not met in passing.
        "in_one_touch": not _TOLD & set(of.how),
        "has_place": not of.is_duty and not set(of.how) <= {*_TOLD, "photo"},
        "on_shell": of.id in SHELL,
        "levels_m": list(levels_on(of.id)),
        "steps": of.steps,
        "look_for": list(of.look_for),
        "limits": list(of.limits),
        "could_hide": of.could_hide,
        "would_lift": of.would_lift,
    }
