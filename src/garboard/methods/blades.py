"""The propeller of a survey: its blades against their nominal and each other, its clearances.

What the entries hold, all on the part `propeller`, side or number telling several apart: a set of "pitch" has one
reading for each blade and radius, its place named like "blade 2, 0.7 R", with the stamped pitch as `original`, and
`scale` naming the class where it is known ("class I"); "diameter" and "length" (that of a section, as "section at
0.7 R of blade 1") have the size as made as `original`; "angle" goes from each blade to the next; "gap" is the
clearance of the tips to the hull, or of the hub to the bearing where "hub" is named. Thickness of blades is left to
a workshop.
"""

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot
from statistics import fmean
from typing import TypeVar

from garboard.methods.criteria import criteria
from garboard.methods.measured import (
    Measured,
    belonging,
    gear_of,
    judged,
    measured,
    relative,
    unlimited,
    unsaid,
)
from garboard.methods.propeller import (
    CAUTION,
    HAND_RATIO,
    Class,
    allowed_mm,
    blade_play_mm,
    clearance_pct,
    departure_pct,
    spread_pct,
    uneven_deg,
)
from garboard.methods.result import Result
from garboard.methods.zone import place_words
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey

K = TypeVar("K")

_CLASSES: tuple[Class, ...] = ("s", "i", "ii", "iii")
_SCOPE_MM = (800.0, 2500.0)
# Standard uncertainties where no instrument states one, working figures.
_SIZE_MM = 1.0
_GAP_MM = 1.0
_PLAY_MM = 0.1
_SHAFT_MM = 0.05
_ANGLE_DEG = 0.5
_LENGTH_M = 0.001
_BLADE = re.compile(r"\bblade\s*(\w+)")
_RADIUS = re.compile(r"\b(\d?\.\d+)\s*r\b")
_CLASS = re.compile(r"\b(s|iii|ii|i)\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pitches:
    """The pitch of one propeller: by blade, the pitch read at each share of the radius, mm, "" where it was not noted.

    `nominal_mm` is as stamped, where one was noted; `tolerance_pct` that of a blade's mean by the class applied, where
    the standard covers the propeller; `uncertainty_pct` the standard uncertainty of a reading.
    """

    place: Place
    blades: tuple[tuple[str, tuple[tuple[str, float], ...]], ...]
    nominal_mm: float | None
    tolerance_pct: float | None
    uncertainty_pct: float
    used: tuple[str, ...]


def pitches(survey: Survey) -> tuple[Pitches, ...]:
    """The propellers whose pitch was read, in the order they were read."""
    diameters = measured(survey, "diameter", "propeller", uncertainty=_SIZE_MM)
    return tuple(
        _pitches(gear, readings, _outside(gear, diameters) == "", _customary(survey))
        for gear, readings in _pitch_by_gear(survey).items()
        if min(each.value for each in readings) > 0
    )


def results(survey: Survey) -> tuple[Result, ...]:
    """Pitch, blades, sizes and clearances, as far as readings were taken of them."""
    diameters = measured(survey, "diameter", "propeller", uncertainty=_SIZE_MM)
    return (
        *_of_pitch(survey, diameters),
        *_of_sizes(survey, diameters),
        *_of_angles(survey, diameters),
        *_of_gaps(survey, diameters),
        *_of_play(survey),
    )


def _of_pitch(survey: Survey, diameters: Sequence[Measured]) -> Iterator[Result]:
    for gear, readings in _pitch_by_gear(survey).items():
        yield from _of_one_pitch(gear, readings, diameters, _customary(survey))


def _pitch_by_gear(survey: Survey) -> dict[Place, list[Measured]]:
    return _grouped(
        measured(survey, "pitch", "propeller", uncertainty=0.0), lambda each: gear_of(each.place)
    )


def _pitches(
    gear: Place, readings: Sequence[Measured], is_covered: bool, customary: Class
) -> Pitches:
    nominal_mm = _nominal_mm(readings)
    limit = criteria()[f"propeller-pitch-blade-{_class_of(readings[0], customary)}"]
    return Pitches(
        place=gear,
        blades=tuple(
            (
                f"blade {blade}",
                tuple((_first(_RADIUS, each.named), each.value) for each in found),
            )
            for blade, found in _by_blade(readings).items()
        ),
        nominal_mm=nominal_mm,
        tolerance_pct=limit.limit if is_covered and nominal_mm else None,
        uncertainty_pct=100 * _relative(readings),
        used=tuple(dict.fromkeys(each.entry for each in readings)),
    )


def _by_blade(readings: Sequence[Measured]) -> dict[str, list[Measured]]:
    return _grouped(readings, lambda each: _first(_BLADE, each.named) or "not named")


def _nominal_mm(readings: Sequence[Measured]) -> float | None:
    """The pitch stamped on the hub, where one and the same was noted."""
    nominals = {each.original for each in readings if each.original}
    return nominals.pop() if len(nominals) == 1 else None


def _of_one_pitch(
    gear: Place, readings: Sequence[Measured], diameters: Sequence[Measured], customary: Class
) -> Iterator[Result]:
    name = place_words(gear)
    if min(each.value for each in readings) <= 0:
        why = "A pitch of nothing was noted."
        yield unsaid("propeller.departure_pct", f"pitch of {name}", "%", readings, why)
        return
    blades = _by_blade(readings)
    nominal = _nominal_mm(readings)
    why = _outside(gear, diameters)
    hand = "" if readings[0].uncertainty else _by_hand(_class_of(readings[0], customary))
    if nominal:
        for what, limit, found in _levels((name, nominal), readings, blades):
            yield _departure(
                f"pitch of {what}",
                (f"propeller-pitch-{limit}", fmean(each.value for each in found), nominal),
                found,
                _class_of(readings[0], customary),
                [why, hand, CAUTION],
                bool(why),
            )
    else:
        yield unsaid(
            "propeller.departure_pct",
            f"pitch of {name} against its nominal",
            "%",
            readings,
            "The pitch stamped on the hub was not noted, or differs from reading to reading.",
        )
    if len(blades) > 1:
        means = [fmean(each.value for each in found) for found in blades.values()]
        spread = spread_pct(means)
        yield unlimited(
            "propeller.spread_pct",
            f"spread of the blades of {name} in pitch",
            spread,
            "%",
            100 * 2**0.5 * _relative(readings),
            readings,
            [
                f"{len(blades)} blades, mean pitch {min(means):.1f} to {max(means):.1f} mm; no limit holds for it.",
                "For folding and feathering blades sameness is all that can be judged.",
                CAUTION,
            ],
        )


def _levels(
    of: tuple[str, float], readings: Sequence[Measured], blades: Mapping[str, Sequence[Measured]]
) -> Iterator[tuple[str, str, Sequence[Measured]]]:
    """What the standard looks at: the propeller, each blade, and the radius and the place that depart most."""
    name, nominal = of
    yield f"{name}, mean of all", "propeller", readings
    if len(blades) > 1:
        for blade, found in blades.items():
            yield f"{name}, blade {blade}", "blade", found
    for level, several in (("radius", _by_radius(blades)), ("place", _by_place(blades))):
        if several:
            where, found = max(
                several.items(),
                key=lambda each: abs(fmean(one.value for one in each[1]) - nominal),
            )
            yield f"{name}, {where}, which departs most", level, found


def _by_radius(blades: Mapping[str, Sequence[Measured]]) -> dict[str, list[Measured]]:
    """Each radius of each blade, where a blade was read at more than one."""
    found = {
        f"blade {blade} at {radius} R": read
        for blade, readings in blades.items()
        for radius, read in _grouped(readings, lambda each: _first(_RADIUS, each.named)).items()
        if radius
    }
    return found if len(found) > len(blades) else {}


def _by_place(blades: Mapping[str, Sequence[Measured]]) -> dict[str, list[Measured]]:
    """Each reading by itself, where a radius of a blade was read at several places."""
    radii = _by_radius(blades)
    if all(len(read) == 1 for read in radii.values()):
        return {}
    return {
        f"{where}, reading {number}": [each]
        for where, read in radii.items()
        for number, each in enumerate(read, 1)
    }


def _of_sizes(survey: Survey, diameters: Sequence[Measured]) -> Iterator[Result]:
    lengths = measured(survey, "length", "propeller", uncertainty=_LENGTH_M)
    sections = [
        replace(
            each,
            value=1000 * each.value,
            original=1000 * each.original if each.original else None,
            uncertainty=1000 * each.uncertainty,
        )
        for each in lengths
    ]
    for each in (*diameters, *sections):
        is_section = each not in diameters
        what = f"{'length of section' if is_section else 'diameter'} of {place_words(each.place)}"
        if not each.original:
            if is_section:
                why = "Its size as made was not noted."
                yield unsaid("propeller.departure_pct", what, "%", [each], why)
            continue
        grade = _class_of(each, _customary(survey))
        limit = "propeller-diameter"
        if is_section:
            limit = "propeller-section"
            least = criteria()[f"propeller-section-least-{grade}"].limit
            share = criteria()[f"propeller-section-{grade}"].limit
            if allowed_mm(each.original, share, least) == least:
                limit = "propeller-section-least"
        why = _outside(each.place, diameters)
        yield _departure(
            what, (limit, each.value, each.original), [each], grade, [why, CAUTION], bool(why)
        )


def _departure(
    what: str,
    case: tuple[str, float, float],
    used: Sequence[Measured],
    grade: Class,
    caveats: Sequence[str],
    is_outside: bool,
) -> Result:
    """A size against its nominal, judged by a class where the standard covers the propeller."""
    limit, found, nominal = case
    share = departure_pct(nominal, found)
    criterion = criteria().get(f"{limit}-{grade}")
    in_mm = criterion is not None and criterion.unit == "mm"
    per_cent = nominal / 100 if in_mm else 1.0
    doubt = per_cent * 100 * _relative(used)
    sizes = f"Found {found:.1f} mm, nominal {nominal:g} mm ({_signed(share)} %)."
    if criterion is None or is_outside:
        said = [*caveats, sizes]
        return unlimited("propeller.departure_pct", what, abs(share), "%", doubt, used, said)
    said = [sizes, *caveats]
    return judged(
        "propeller.departure_pct", what, abs(share) * per_cent, doubt, criterion, used, said
    )


def _signed(share_pct: float) -> str:
    return f"{share_pct:+.1f}".replace("-", "\N{MINUS SIGN}")


def _of_angles(survey: Survey, diameters: Sequence[Measured]) -> Iterator[Result]:
    by_gear: dict[Place, list[Measured]] = defaultdict(list)
    for each in measured(survey, "angle", "propeller", uncertainty=_ANGLE_DEG):
        by_gear[gear_of(each.place)].append(each)
    for gear, readings in by_gear.items():
        what = f"angle from blade to blade of {place_words(gear)}"
        turn = sum(each.value for each in readings)
        if len(readings) < 2 or abs(turn - 360) > 2 * len(readings) * readings[0].uncertainty:
            yield unsaid(
                "propeller.uneven_deg",
                what,
                "°",
                readings,
                f"The angles read add up to {turn:g}°, not to a full turn: read from each blade to the next.",
            )
            continue
        worst = max(uneven_deg(each.value, len(readings)) for each in readings)
        why = _outside(gear, diameters)
        used, said = readings, [why, f"The greatest of {len(readings)} departures.", CAUTION]
        if why:
            doubt = readings[0].uncertainty
            yield unlimited("propeller.uneven_deg", what, worst, "°", doubt, used, said)
            continue
        limit = criteria()[f"propeller-angle-{_class_of(readings[0], _customary(survey))}"]
        yield judged(
            "propeller.uneven_deg", what, worst, readings[0].uncertainty, limit, used, said
        )


def _of_play(survey: Survey) -> Iterator[Result]:
    by_gear: dict[Place, list[Measured]] = defaultdict(list)
    for each in measured(survey, "play", "propeller", uncertainty=_PLAY_MM):
        by_gear[gear_of(each.place)].append(each)
    for gear, readings in by_gear.items():
        values = [each.value for each in readings]
        yield unlimited(
            "propeller.blade_play_mm",
            f"play of the blades, {place_words(gear)}",
            blade_play_mm(values),
            "mm",
            readings[0].uncertainty,
            readings,
            [
                f"{', '.join(f'{each:g}' for each in values)} mm, as read. No limit is published for the pin of a "
                "folding blade: its maker's figure decides.",
                CAUTION,
            ],
        )


def _of_gaps(survey: Survey, diameters: Sequence[Measured]) -> Iterator[Result]:
    shafts = measured(survey, "diameter", "propeller-shaft", uncertainty=_SHAFT_MM)
    for each in measured(survey, "gap", "propeller", uncertainty=_GAP_MM):
        is_hub = "hub" in each.named
        against = belonging(each.place, shafts if is_hub else diameters)
        thing = "shaft" if is_hub else "propeller"
        what = f"{'hub to bearing' if is_hub else 'tip clearance'} of {place_words(each.place)}"
        if against is None:
            yield unsaid(
                "propeller.clearance_pct",
                what,
                f"% of the {thing}'s diameter",
                [each],
                f"The diameter of the {thing} was not read; the gap is {each.value:g} mm.",
            )
            continue
        share = clearance_pct(each.value, against.value)
        limit = criteria()["propeller-hub" if is_hub else _tip_limit(survey)]
        doubt = hypot(each.uncertainty, each.value / against.value * against.uncertainty)
        yield judged(
            "propeller.clearance_pct",
            what,
            share,
            100 * doubt / against.value,
            limit,
            [each, against],
            [f"{each.value:g} mm of {against.value:g} mm.", CAUTION],
        )


def _tip_limit(survey: Survey) -> str:
    boat = survey.boat
    if boat is not None and boat.speed == "planing":
        return "propeller-tip-fast"
    if boat is not None and boat.rig not in (None, "none"):
        return "propeller-tip-auxiliary"
    return "propeller-tip"


def _customary(survey: Survey) -> Class:
    """The class customary for a boat: I for planing craft, II for cruising ones."""
    return "i" if survey.boat is not None and survey.boat.speed == "planing" else "ii"


def _class_of(reading: Measured, customary: Class) -> Class:
    named = _CLASS.search(reading.scale.casefold())
    if named is None:
        return customary
    return next(each for each in _CLASSES if each == named[1])


def _outside(gear: Place, diameters: Sequence[Measured]) -> str:
    """Why the standard does not cover a propeller; empty where it does."""
    diameter = belonging(gear, diameters)
    if diameter is None:
        return "The propeller's diameter was not read, and ISO 484-2 covers 0.80 to 2.50 m only; no class is applied."
    low, high = _SCOPE_MM
    if low <= diameter.value <= high:
        return ""
    return (
        f"At {diameter.value:g} mm the propeller lies outside ISO 484-2 (0.80 to 2.50 m), whose least tolerances in "
        "mm are not known here: no class is applied."
    )


def _by_hand(grade: Class) -> str:
    limit = criteria()[f"propeller-pitch-propeller-{grade}"]
    if limit.limit > 2 * 100 * HAND_RATIO:
        return ""
    return (
        f"Taken as read by hand, drop over an arc, good to {100 * HAND_RATIO:.1f} % (standard): too coarse for a "
        f"tolerance of {limit.limit:g} %."
    )


def _relative(used: Sequence[Measured]) -> float:
    """Relative standard uncertainty; errors of one instrument do not average out."""
    return max(relative(each, HAND_RATIO) for each in used)


def _first(pattern: re.Pattern[str], words: str) -> str:
    found = pattern.search(words)
    return found[1] if found else ""


def _grouped(readings: Iterable[Measured], key: Callable[[Measured], K]) -> dict[K, list[Measured]]:
    found: dict[K, list[Measured]] = defaultdict(list)
    for each in readings:
        found[key(each)].append(each)
    return found
