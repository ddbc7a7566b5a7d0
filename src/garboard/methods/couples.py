"""Galvanic couples: metals in one wet contact, how far apart they lie, and which of them is small.

Two sorts of entry speak of couples. An observation that names two metals ("manganese bronze propeller on stainless
316 shaft") is a couple; one that names a single metal at an underwater part of a steel or aluminium hull, or of an
aluminium drive leg, is a couple with that. A reading set of areas with "bare" in its name lists bare metal: each
reading's note names the metal, and readings of one set that name the same thing in `to` are bonded together.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations
from math import sqrt
from types import MappingProxyType
from typing import Literal

from garboard.catalogue.naming import named
from garboard.methods.alloys import METALS, current_rate_mm_per_y, grade
from garboard.methods.campaign import latest
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.result import Result, verdict_of
from garboard.notebook.body import Observation, Place, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Eaten = Literal["the first", "the second", "either"]

SERIES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "magnesium": (-1.63, -1.60),
        "zinc": (-1.03, -0.98),
        "aluminium": (-1.00, -0.76),
        "steel or cast iron": (-0.72, -0.60),
        "low-alloy steel": (-0.63, -0.57),
        "stainless 304, active": (-0.58, -0.44),
        "stainless 410 or 430, active": (-0.57, -0.45),
        "nickel cast iron": (-0.54, -0.43),
        "stainless 316, active": (-0.46, -0.33),
        "aluminium bronze": (-0.40, -0.31),
        "brass": (-0.40, -0.31),
        "copper": (-0.37, -0.30),
        "lead-tin solder": (-0.36, -0.27),
        "aluminium brass": (-0.36, -0.26),
        "stainless 410 or 416, passive": (-0.35, -0.23),
        "manganese bronze": (-0.34, -0.26),
        "tin bronze": (-0.32, -0.24),
        "silicon bronze": (-0.29, -0.25),
        "cupro-nickel 90-10": (-0.28, -0.22),
        "stainless 430, passive": (-0.28, -0.20),
        "lead": (-0.25, -0.19),
        "cupro-nickel 70-30": (-0.24, -0.17),
        "nickel-aluminium bronze": (-0.22, -0.14),
        "nickel": (-0.20, -0.10),
        "silver": (-0.15, -0.10),
        "nickel-copper": (-0.14, -0.03),
        "stainless 304, passive": (-0.10, -0.04),
        "stainless 316, passive": (-0.10, 0.00),
        "titanium": (0.04, 0.06),
        "graphite or carbon fibre": (0.20, 0.30),
        "bronze, kind not known": (-0.40, -0.14),
        "stainless, active or passive": (-0.58, 0.00),
    }
)
"""Potential in flowing sea water, V against a saturated calomel cell, low and high: an educational series of a
national corrosion association, read. Carbon fibre with graphite is from memory. The last two span the rows of
their kind. Active stainless is that of still or shielded water, as in a stern tube."""

SERIES_HALF_V = 0.05
"""How far one source's series lies from another's, V; added to each end of a metal's range."""

OXYGEN_A_PER_M2 = 0.1
"""Current that oxygen lets a bare cathode draw, A/m²; right within a factor of two, as for anodes."""

CAUTION = (
    "A couple is judged where it is wet: no gap tells a rate. Paint the nobler metal, never the eaten one alone, and "
    "check with a reference electrode afloat."
)

# What people write for each metal, the more telling first; a match is taken out before the next is tried.
_WORDS: tuple[tuple[str, str], ...] = (
    ("nickel-aluminium bronze", r"nickel[- ]aluminium[- ]bronze|\bnab\b"),
    ("aluminium bronze", r"aluminium bronze"),
    ("aluminium brass", r"aluminium brass|admiralty brass"),
    ("manganese bronze", r"manganese bronze"),
    ("silicon bronze", r"silicon bronze"),
    ("tin bronze", r"tin bronze|gunmetal|phosphor bronze"),
    ("bronze, kind not known", r"bronze"),
    ("brass", r"brass|\bdzr\b|cw6\d\dn"),
    ("cupro-nickel 70-30", r"70[-/]30(?: cupro-?nickel)?"),
    ("cupro-nickel 90-10", r"90[-/]10(?: cupro-?nickel)?|cupro-?nickel"),
    ("nickel-copper", r"nickel[- ]copper"),
    (
        "stainless 316, active",
        r"(?:active )?stainless(?: steel)? 316,? active|active stainless 316",
    ),
    (
        "stainless 316, passive",
        r"(?:passive )?stainless(?: steel)? 316,? passive|passive stainless 316",
    ),
    ("stainless, active or passive", r"stainless(?: steel)?(?: 3(?:04|16))?|\b316l?\b|\b304l?\b"),
    ("graphite or carbon fibre", r"graphite|carbon[- ]fibre|\bcarbon\b(?! steel)"),
    ("titanium", r"titanium"),
    ("magnesium", r"magnesium"),
    ("zinc", r"\bzinc\b"),
    ("aluminium", r"aluminium"),
    ("copper", r"copper"),
    ("lead", r"\blead (?:keel|ballast|bulb)"),
    ("steel or cast iron", r"cast iron|\biron\b|\bsteel\b|galvani[sz]ed"),
)
# An anode is meant to be eaten, a colour is no metal, and what is denied is not there.
_NO_COUPLE = re.compile(
    r"(?:zinc|aluminium|magnesium) anodes?|copper[- ]colou?red|\b(?:no|without) [\w-]+(?: [\w-]+)?"
)
_HULLS: Mapping[str, str] = MappingProxyType(
    {"steel": "steel or cast iron", "aluminium": "aluminium"}
)
_LEGS = frozenset(["saildrive-leg", "sterndrive-leg", "outboard-motor"])
_UNDER_WATER = frozenset(
    [
        "skin-fitting", "seacock", "hull-drain", "raw-water-intake", "transducer", "propeller",
        "propeller-shaft", "shaft-bracket", "stern-tube", "rudder-blade", "rudder-stock", "rudder-hangings",
        "thruster", "tabs-and-fins", "earth-plate", "aluminium-galvanic-sites", "hull-isolation", "keel-bolt",
        "keel-joint", "iron-keel", "plank-fastenings", "wood-decay-at-metals", "bottom-coating",
    ]
)  # fmt: skip
_AS_ALLOY: Mapping[str, str] = MappingProxyType(
    {
        "steel or cast iron": "carbon steel",
        "aluminium": "aluminium",
        "zinc": "zinc",
        "magnesium": "magnesium",
        "copper": "copper",
        "brass": "brass 60/40",
        "manganese bronze": "brass 60/40",
        "tin bronze": "gunmetal",
    }
)


@method(
    name="Gap of a couple",
    what_for="How hard two metals in one wet contact drive each other.",
    symbols={
        "one": "a metal of the series",
        "other": "a metal of the series",
        "result": "V between the middles of their ranges",
    },
    limits=(
        "A warning, never a rate: area, paint, oxygen and distance matter as much. Flowing sea water; neighbours in "
        "the series change places between sources."
    ),
    source="galvanic series in flowing sea water, a public educational table of a national corrosion association",
    standing="guidance",
    text="read",
    defer=CAUTION,
)
def gap_v(one: str, other: str) -> float:
    """Distance between the middles of two metals' ranges.

    Args:
        one: A metal, as the series names it.
        other: Another.

    Returns:
        V, 0 or more.

    Raises:
        ValueError: A metal is not in the series.

    >>> round(gap_v("stainless 316, passive", "aluminium"), 2)
    0.83
    """
    return abs(_middle_v(one) - _middle_v(other))


@method(
    name="Standard uncertainty of a gap",
    what_for="What a gap from a printed series is worth.",
    symbols={"one": "a metal", "other": "a metal", "result": "V"},
    limits="Ranges of the series and the difference between sources, each taken as even; no ohmic drop.",
    source="rectangular distribution, JCGM 100:2008, 4.3.7; 0.05 V between sources is the method's own",
    standing="working figure",
    text="memory",
)
def gap_uncertainty_v(one: str, other: str) -> float:
    """Half-widths of both ranges, over √3, by root of squares.

    Args:
        one: A metal, as the series names it.
        other: Another.

    Returns:
        Standard uncertainty, V.

    Raises:
        ValueError: A metal is not in the series.

    >>> round(gap_uncertainty_v("silicon bronze", "zinc"), 3)
    0.059
    """
    halves = [(high - low) / 2 + SERIES_HALF_V for low, high in map(_range_v, (one, other))]
    return sqrt(sum(each**2 for each in halves) / 3)


@method(
    name="Metal that is eaten",
    what_for="Which metal of a couple gives way.",
    symbols={"one": "a metal", "other": "a metal", "result": "the first, the second, or either"},
    limits="Where the ranges overlap either may be eaten, and the water decides.",
    source="order of the galvanic series",
    standing="guidance",
    text="read",
)
def eaten(one: str, other: str) -> Eaten:
    """The metal whose whole range lies below the other's.

    Args:
        one: A metal, as the series names it.
        other: Another.

    Returns:
        Which is eaten.

    Raises:
        ValueError: A metal is not in the series.

    >>> eaten("brass", "stainless 316, passive"), eaten("brass", "copper")
    ('the first', 'either')
    """
    (low, high), (other_low, other_high) = _range_v(one), _range_v(other)
    if high < other_low:
        return "the first"
    return "the second" if other_high < low else "either"


@method(
    name="Area ratio of a couple",
    what_for="A small eaten metal on a large noble one goes fast.",
    symbols={
        "noble_m2": "bare nobler metal, m²",
        "eaten_m2": "bare metal that is eaten, m²",
        "result": "ratio",
    },
    limits="Bare, wetted metal in the same water and contact; paint counts as bare at its scratches only.",
    source="definition; that small anodes on large cathodes are to be avoided: ASTM G82-98 (2014), 4.4 and 4.5",
    standing="standard",
    text="read",
)
def area_ratio(noble_m2: float, eaten_m2: float) -> float:
    """Nobler area over eaten area.

    Args:
        noble_m2: m²; 0 or more.
        eaten_m2: m²; above 0.

    Returns:
        Above 1 where the eaten metal is the smaller.

    Raises:
        ValueError: An area is out of its range.

    >>> area_ratio(0.5, 0.01)
    50.0
    """
    if noble_m2 < 0 or eaten_m2 <= 0:
        raise ValueError(
            "A ratio needs a nobler area of 0 m² or more and an eaten one above 0; "
            f"{noble_m2:g} and {eaten_m2:g} were given."
        )
    return noble_m2 / eaten_m2


@method(
    name="Attack on the eaten metal",
    what_for="The class of risk of a couple, oxygen at the nobler metal being what holds it back.",
    symbols={
        "noble_a_per_m2": "current the nobler metal can draw, A/m²",
        "noble_m2": "m²",
        "eaten_m2": "m²",
        "equivalent_g": "of the eaten metal, g a mole of electrons",
        "density_g_per_cm3": "of the eaten metal, g/cm³",
        "result": "mm a year",
    },
    limits=(
        "Right within a factor of two at best and too high where the nobler metal is far off or painted: state the "
        "class, not the rate. 0.1 A/m² is usual."
    ),
    source="oxygen-limited couple with Faraday's law in the form of ASTM G102",
    standing="guidance",
    text="second hand",
    defer=CAUTION,
)
def attack_mm_per_y(
    noble_a_per_m2: float,
    noble_m2: float,
    eaten_m2: float,
    equivalent_g: float,
    density_g_per_cm3: float,
) -> float:
    """All the nobler metal's current, spread over the eaten one.

    Args:
        noble_a_per_m2: A/m²; 0 or more.
        noble_m2: m²; 0 or more.
        eaten_m2: m²; above 0.
        equivalent_g: g a mole of electrons; above 0.
        density_g_per_cm3: g/cm³; above 0.

    Returns:
        mm a year, over the eaten metal's own corrosion.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(attack_mm_per_y(0.1, 0.5, 0.01, 27.92, 7.87), 2)
    5.8
    """
    return current_rate_mm_per_y(
        noble_a_per_m2 * area_ratio(noble_m2, eaten_m2), equivalent_g, density_g_per_cm3
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Couple:
    """Two metals in one wet contact; their bare areas, m², where they were measured.

    `eaten` is the one that gives way, or None where either may.
    """

    one: str
    other: str
    eaten: str | None
    place: Place
    where: str
    one_m2: float | None
    other_m2: float | None
    used: tuple[str, ...]


def metals_named(words: str) -> tuple[str, ...]:
    """The metals of the series that words name, in the order they stand.

    >>> metals_named("manganese bronze propeller on a stainless shaft")
    ('manganese bronze', 'stainless, active or passive')
    """
    left = _NO_COUPLE.sub(lambda match: " " * len(match.group()), words.casefold())
    found: list[tuple[int, str]] = []
    for metal, pattern in _WORDS:
        for match in re.finditer(pattern, left):
            found.append((match.start(), metal))
            left = left[: match.start()] + " " * len(match.group()) + left[match.end() :]
    return tuple(dict.fromkeys(metal for _, metal in sorted(found)))


def couples(survey: Survey) -> tuple[Couple, ...]:
    """The couples that observations and lists of bare metal name."""
    return (*_of_areas(survey), *_of_observations(survey))


def areas_of(couple: Couple) -> tuple[float, float] | None:
    """The nobler and the eaten area of a couple, m²; None where either may be eaten or an area is not known."""
    if not couple.eaten or not couple.one_m2 or not couple.other_m2:
        return None
    first_goes = couple.eaten == couple.one
    return (couple.other_m2, couple.one_m2) if first_goes else (couple.one_m2, couple.other_m2)


def gap_of(couple: Couple) -> Result:
    """The gap of a couple, judged."""
    limit = criteria()["couples-gap"]
    gap = gap_v(couple.one, couple.other)
    doubt = gap_uncertainty_v(couple.one, couple.other)
    return Result(
        method="couples.gap_v",
        what=f"gap of {_names(couple)}",
        value=gap,
        unit="V",
        verdict=verdict_of(gap, doubt, limit),
        used=couple.used,
        uncertainty=doubt,
        criterion=limit,
        place=couple.place,
        caveats=tuple(_caveats(couple)),
    )


def results(survey: Survey) -> tuple[Result, ...]:
    """For each couple its gap, and where areas are known their ratio; "cannot say" for areas without their metal."""
    return (
        *(result for couple in couples(survey) for result in _results_of(couple)),
        *_unnamed(survey),
    )


def _range_v(metal: str) -> tuple[float, float]:
    if metal not in SERIES:
        raise ValueError(f'The galvanic series holds no "{metal}".')
    return SERIES[metal]


def _middle_v(metal: str) -> float:
    low, high = _range_v(metal)
    return (low + high) / 2


def _couple(
    one: str,
    other: str,
    place: Place,
    where: str,
    used: tuple[str, ...],
    one_m2: float | None = None,
    other_m2: float | None = None,
) -> Couple:
    which = eaten(one, other)
    return Couple(
        one=one,
        other=other,
        eaten=None if which == "either" else one if which == "the first" else other,
        place=place,
        where=where,
        one_m2=one_m2,
        other_m2=other_m2,
        used=used,
    )


def _area_sets(survey: Survey) -> tuple[Entry[ReadingSet], ...]:
    return tuple(each for each in latest(survey, "area") if "bare" in each.body.name.casefold())


def _of_areas(survey: Survey) -> Iterator[Couple]:
    for entry in _area_sets(survey):
        bonded: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
        places: dict[str, Place] = {}
        for reading in entry.body.readings:
            for metal in metals_named(reading.note)[:1]:
                bonded[reading.to.strip()][metal] += reading.value / 1e4
                places.setdefault(metal, reading.place)
        for to, areas in bonded.items():
            for one, other in combinations(areas, 2):
                where = f"bonded to {to}" if to else f"in {entry.body.name}"
                yield _couple(one, other, places[one], where, (entry.id,), areas[one], areas[other])


def _of_observations(survey: Survey) -> Iterator[Couple]:
    hull = _HULLS.get(survey.boat.material or "") if survey.boat else None
    for entry in survey.of(Observation):
        place = entry.body.place
        if place.part not in _UNDER_WATER and place.part not in _LEGS:
            continue
        metals = metals_named(entry.body.seen)
        against = "aluminium" if place.part in _LEGS else hull
        if len(metals) == 1 and against and against not in metals:
            metals = (*metals, against)
        for one, other in combinations(metals, 2):
            yield _couple(one, other, place, f"at {named(place)}", (entry.id,))


def _results_of(couple: Couple) -> Iterator[Result]:
    yield gap_of(couple)
    areas = areas_of(couple)
    if areas:
        yield _ratio(couple, *areas)


def _names(couple: Couple) -> str:
    return f"{couple.one} with {couple.other}, {couple.where}"


def _caveats(couple: Couple) -> Iterator[str]:
    if couple.eaten:
        yield f"The {couple.eaten} is the one that is eaten."
    else:
        yield "Their ranges overlap: either may be eaten, and the water decides."
    if "stainless, active or passive" in (couple.one, couple.other):
        yield "Stainless is far less noble in still or shielded water, as in a stern tube, than in the open."
    if couple.one_m2 is None:
        yield "Named in an observation: that the two touch in the same water is taken from it, and no area is known."
    yield CAUTION


def _ratio(couple: Couple, noble_m2: float, eaten_m2: float) -> Result:
    caveats = [
        f"{1e4 * noble_m2:.0f} cm² of the nobler metal on {1e4 * eaten_m2:.0f} cm² of the {couple.eaten}."
    ]
    metal = METALS.get(_AS_ALLOY.get(couple.eaten or "", ""))
    if metal:
        slow, fast = (
            grade(
                attack_mm_per_y(
                    each, noble_m2, eaten_m2, metal.equivalent_g, metal.density_g_per_cm3
                )
            )
            for each in (OXYGEN_A_PER_M2 / 2, OXYGEN_A_PER_M2 * 2)
        )
        band = slow if slow == fast else f"{slow} to {fast}"
        caveats.append(f"Class of attack without an anode, as handbooks grade rates: {band}.")
    return Result(
        method="couples.area_ratio",
        what=f"nobler area to eaten area, {_names(couple)}",
        value=area_ratio(noble_m2, eaten_m2),
        unit="times the eaten area",
        verdict="not comparable",
        used=couple.used,
        uncertainty_why="Bare areas are estimates.",
        place=couple.place,
        caveats=(
            *caveats,
            "No limit is held; a small eaten metal on a large noble one is avoided.",
        ),
    )


def _unnamed(survey: Survey) -> Iterator[Result]:
    for entry in _area_sets(survey):
        bare = [each for each in entry.body.readings if not metals_named(each.note)]
        if bare:
            yield Result(
                method="couples.gap_v",
                what=f"couples of {len(bare)} bare areas in {entry.body.name}",
                value=None,
                unit="V",
                verdict="cannot say",
                used=(entry.id,),
                place=bare[0].place,
                caveats=("Their metal was not named; write it in the note of each.",),
            )
