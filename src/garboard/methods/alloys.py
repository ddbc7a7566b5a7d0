"""Alloys under water: what dezincification leaves of a fitting, and what a loss of mass or a current means in metal.

A fitting is known by what an observation at it says: the mark cast in it ("CW617N", "DZR") or the name of the alloy.
Pink or copper-coloured metal under the scraper is noted as seen. Where a fitting was cut, an observation that speaks
of the cut gives the affected depth as its depth and the wall as its width.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from garboard.catalogue.naming import named
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.result import Result, verdict_of
from garboard.notebook.body import Observation
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Family = Literal[
    "plain brass",
    "high-zinc bronze",
    "resistant brass",
    "bronze",
    "plastic",
    "stainless",
    "unknown",
]
Service = Literal["below the waterline", "above the waterline"]
Risk = Literal[
    "loses its zinc",
    "loses its zinc slowly",
    "resists for a time",
    "does not lose zinc",
    "not known",
]
Grade = Literal["excellent", "good", "fair", "poor", "unacceptable"]

FARADAY_C_PER_MOL = 96_485.332
"""Charge of a mole of electrons, C; CODATA, exact since 2019 to more digits than are given here."""

HOURS_A_YEAR = 8766.0
"""A year of 365.25 days, h."""

CAUTION = (
    "Scrape, tap and test fittings only ashore, with the boat chocked, bungs to hand and the pumps clear; a fitting "
    "that fails afloat sinks the boat."
)

ZINC_PCT: Mapping[Family, float] = MappingProxyType(
    {
        "plain brass": 40.0,
        "high-zinc bronze": 39.0,
        "resistant brass": 36.0,
        "bronze": 5.0,
        "plastic": 0.0,
        "stainless": 0.0,
    }
)
"""Zinc in the middle of each family's usual composition, % by mass; from memory. Some bronzes hold none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """What the rate of a metal's loss is worked out from: grams a mole of electrons takes, and g/cm³.

    `equivalent_g` follows from the composition and the valences named in `as_ions`.
    """

    equivalent_g: float
    density_g_per_cm3: float
    as_ions: str


METALS: Mapping[str, Metal] = MappingProxyType(
    {
        "carbon steel": Metal(equivalent_g=27.92, density_g_per_cm3=7.87, as_ions="Fe2"),
        "stainless 304": Metal(equivalent_g=25.12, density_g_per_cm3=7.94, as_ions="Fe2 Cr3 Ni2"),
        "stainless 316": Metal(
            equivalent_g=25.50, density_g_per_cm3=7.98, as_ions="Fe2 Cr3 Ni2 Mo3"
        ),
        "aluminium": Metal(equivalent_g=8.99, density_g_per_cm3=2.70, as_ions="Al3"),
        "aluminium 5083": Metal(equivalent_g=9.14, density_g_per_cm3=2.66, as_ions="Al3 Mg2 Mn2"),
        "zinc": Metal(equivalent_g=32.69, density_g_per_cm3=7.13, as_ions="Zn2"),
        "magnesium": Metal(equivalent_g=12.15, density_g_per_cm3=1.74, as_ions="Mg2"),
        "copper": Metal(equivalent_g=63.55, density_g_per_cm3=8.94, as_ions="Cu1"),
        "brass 60/40": Metal(equivalent_g=32.13, density_g_per_cm3=8.40, as_ions="Cu2 Zn2"),
        "cupro-nickel 90/10": Metal(equivalent_g=31.51, density_g_per_cm3=8.94, as_ions="Cu2 Ni2"),
        "gunmetal": Metal(equivalent_g=34.3, density_g_per_cm3=8.8, as_ions="Cu2 Zn2 Sn2"),
    }
)
"""Equivalents computed at mid composition, densities of handbooks. Copper as Cu1 doubles what a current takes."""

# Words that name a family, in the order they are tried: the more telling first.
_NAMES: tuple[tuple[Family, str], ...] = (
    ("resistant brass", r"dzr|cw602n|\bcr\b|dezincification[- ]resistant|resistant brass"),
    ("high-zinc bronze", r"manganese bronze|naval brass|tobin"),
    ("plain brass", r"brass|cw617n|cw614n|muntz"),
    ("bronze", r"bronze|gunmetal|cc491k|cc492k|\blg[24]\b|cupro-?nickel"),
    ("plastic", r"plastic|nylon|composite|glass[- ]filled"),
    ("stainless", r"stainless"),
)
_FITTINGS = frozenset(
    ["skin-fitting", "seacock", "raw-water-intake", "heads-connections", "hull-drain"]
)
_PINK = re.compile(r"(?<!no )(?<!not )\bpink|copper[- ]colou?red|dezincified")
_CUT = re.compile(r"\bcut\b|\bsectioned\b|\bin section\b")
_LIFE: Mapping[Family, str] = MappingProxyType(
    {
        "resistant brass": "alloys-resistant-brass-life",
        "bronze": "alloys-bronze-life",
        "unknown": "alloys-unknown-life",
    }
)


@method(
    name="Equivalent weight of an alloy",
    what_for="How much of an alloy a given charge dissolves.",
    symbols={
        "shares": "share of each element by mass, 0 to 1",
        "valences": "electrons an atom of each gives up",
        "atomic_g": "atomic mass of each, g/mol",
        "result": "g a mole of electrons",
    },
    limits="Elements above 1 % only; the valences are a choice, and copper's alone moves the result by two.",
    source="form of ASTM G102, as its public extracts and an instrument tutorial give it",
    standing="standard",
    text="second hand",
)
def equivalent_g(
    shares: Sequence[float], valences: Sequence[float], atomic_g: Sequence[float]
) -> float:
    """One over the sum of share times valence over atomic mass.

    Args:
        shares: `(n,)` by mass, above 0, together 1 at most.
        valences: `(n,)` above 0.
        atomic_g: `(n,)` g/mol, above 0.

    Returns:
        g a mole of electrons.

    Raises:
        ValueError: The three do not go together, or one is out of its range.

    >>> round(equivalent_g((1.0,), (2,), (55.845,)), 2)
    27.92
    """
    if not shares or not len(shares) == len(valences) == len(atomic_g):
        raise ValueError(
            "Each element needs a share, a valence and an atomic mass; "
            f"{len(shares)}, {len(valences)} and {len(atomic_g)} were given."
        )
    if min(*shares, *valences, *atomic_g) <= 0 or sum(shares) > 1 + 1e-9:
        raise ValueError(
            "Shares, valences and atomic masses are above zero and the shares together at most 1; "
            f"{tuple(shares)}, {tuple(valences)} and {tuple(atomic_g)} were given."
        )
    return 1 / sum(f * n / w for f, n, w in zip(shares, valences, atomic_g, strict=True))


@method(
    name="Corrosion rate from a loss of mass",
    what_for="What a weighed coupon or part lost, as a thickness a year.",
    symbols={
        "lost_g": "g",
        "area_cm2": "wetted and bare, cm²",
        "hours": "in the water, h",
        "density_g_per_cm3": "g/cm³",
        "result": "mm a year",
    },
    limits="Even loss. Cleaned without taking sound metal; the area is that which was wetted and bare.",
    source="ASTM G1, with its constant of 87,600 for mm a year as three public pages print it",
    standing="standard",
    text="second hand",
)
def mass_loss_rate_mm_per_y(
    lost_g: float, area_cm2: float, hours: float, density_g_per_cm3: float
) -> float:
    """Lost volume over area and time.

    Args:
        lost_g: g; 0 or more.
        area_cm2: Bare and wetted, cm²; above 0.
        hours: h; above 0.
        density_g_per_cm3: g/cm³; above 0.

    Returns:
        mm a year of 8760 h.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(mass_loss_rate_mm_per_y(0.150, 20, 720, 7.87), 4)
    0.1159
    """
    if lost_g < 0 or min(area_cm2, hours, density_g_per_cm3) <= 0:
        raise ValueError(
            "A rate needs a loss of 0 g or more, and area, time and density above zero; "
            f"{lost_g:g} g, {area_cm2:g} cm², {hours:g} h and {density_g_per_cm3:g} g/cm³ were given."
        )
    return 8.76e4 * lost_g / (area_cm2 * hours * density_g_per_cm3)


@method(
    name="Corrosion rate from a current",
    what_for="What a current leaving a metal takes off it, as a thickness a year.",
    symbols={
        "current_a_per_m2": "over the bare metal, A/m²",
        "equivalent_g": "g a mole of electrons",
        "density_g_per_cm3": "g/cm³",
        "result": "mm a year",
    },
    limits="Even loss over the area, one valence; pits go faster.",
    source="Faraday's law, in the form of ASTM G102",
    standing="standard",
    text="second hand",
)
def current_rate_mm_per_y(
    current_a_per_m2: float, equivalent_g: float, density_g_per_cm3: float
) -> float:
    """Charge of a year, times the equivalent, over Faraday's constant and the density.

    Args:
        current_a_per_m2: A/m²; 0 or more.
        equivalent_g: g a mole of electrons; above 0.
        density_g_per_cm3: g/cm³; above 0.

    Returns:
        mm a year.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(current_rate_mm_per_y(0.1, 27.92, 7.87), 3)
    0.116
    """
    if current_a_per_m2 < 0 or min(equivalent_g, density_g_per_cm3) <= 0:
        raise ValueError(
            "A rate needs a current of 0 A/m² or more, and an equivalent and a density above zero; "
            f"{current_a_per_m2:g} A/m², {equivalent_g:g} g and {density_g_per_cm3:g} g/cm³ were given."
        )
    grams_m2 = current_a_per_m2 * HOURS_A_YEAR * 3600 * equivalent_g / FARADAY_C_PER_MOL
    return grams_m2 / density_g_per_cm3 / 1000


@method(
    name="Metal eaten by a current",
    what_for="What a stray current takes from the metal it leaves.",
    symbols={
        "current_a": "A, direct",
        "hours": "h",
        "equivalent_g": "g a mole of electrons",
        "result": "g",
    },
    limits="All of the current leaves as metal; the valence is a choice.",
    source="Faraday's law",
    standing="standard",
    text="read",
    defer="Stray current is traced the same day, faults of mains and shore power by a qualified marine electrician.",
)
def eaten_g(current_a: float, hours: float, equivalent_g: float) -> float:
    """Charge times equivalent over Faraday's constant.

    Args:
        current_a: A; 0 or more.
        hours: h; 0 or more.
        equivalent_g: g a mole of electrons; above 0.

    Returns:
        g.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(eaten_g(0.1, 30 * 24, 27.92), 1)
    75.0
    """
    if current_a < 0 or hours < 0 or equivalent_g <= 0:
        raise ValueError(
            "A loss needs a current and a time of 0 or more and an equivalent above zero; "
            f"{current_a:g} A, {hours:g} h and {equivalent_g:g} g were given."
        )
    return current_a * hours * 3600 * equivalent_g / FARADAY_C_PER_MOL


@method(
    name="Theoretical capacity of a metal",
    what_for="The charge a kilogram of metal can give; no anode gives all of it.",
    symbols={"equivalent_g": "g a mole of electrons", "result": "Ah/kg"},
    limits="An upper bound: self-corrosion takes its share.",
    source="Faraday's law",
    standing="standard",
    text="read",
)
def capacity_ah_per_kg(equivalent_g: float) -> float:
    """Faraday's constant over the equivalent.

    Args:
        equivalent_g: g a mole of electrons; above 0.

    Returns:
        Ah/kg.

    Raises:
        ValueError: The equivalent is not above zero.

    >>> round(capacity_ah_per_kg(32.69))
    820
    """
    if equivalent_g <= 0:
        raise ValueError(f"An equivalent is above zero; {equivalent_g:g} g was given.")
    return FARADAY_C_PER_MOL / 3600 / equivalent_g * 1000


@method(
    name="Grade of a corrosion rate",
    what_for="A word for a rate, as handbooks use it.",
    symbols={"rate_mm_per_y": "mm a year", "result": "excellent, good, fair, poor or unacceptable"},
    limits="General grading of metals in service, not a limit for boats: thin plate bears less.",
    source="bands of 0.025, 0.1, 0.5 and 1.0 mm a year, as a metallurgy site ascribes them to NACE",
    standing="guidance",
    text="second hand",
)
def grade(rate_mm_per_y: float) -> Grade:
    """The band a rate falls in.

    Args:
        rate_mm_per_y: mm a year; 0 or more.

    Returns:
        Excellent below 0.025, good to 0.1, fair to 0.5, poor to 1.0, unacceptable above.

    Raises:
        ValueError: The rate is negative.

    >>> grade(0.2)
    'fair'
    """
    if rate_mm_per_y < 0:
        raise ValueError(f"A rate is 0 mm a year or more; {rate_mm_per_y:g} was given.")
    if rate_mm_per_y < 0.025:
        return "excellent"
    if rate_mm_per_y <= 0.1:
        return "good"
    if rate_mm_per_y <= 0.5:
        return "fair"
    return "poor" if rate_mm_per_y <= 1.0 else "unacceptable"


@method(
    name="Wall lost to dezincification",
    what_for="How much of a fitting's wall is spongy copper, where it was cut.",
    symbols={
        "wall_mm": "of the fitting, mm",
        "affected_mm": "depth that has lost its zinc, mm",
        "result": "%",
    },
    limits="The place cut only; bends and thread roots are thinnest. One face: the other may be attacked too.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def wall_lost_pct(wall_mm: float, affected_mm: float) -> float:
    """Affected depth over wall.

    Args:
        wall_mm: mm; above 0.
        affected_mm: mm; 0 to the wall.

    Returns:
        Per cent.

    Raises:
        ValueError: The wall is not above zero, or the depth not within it.

    >>> round(wall_lost_pct(3.0, 0.9))
    30
    """
    if wall_mm <= 0 or not 0 <= affected_mm <= wall_mm:
        raise ValueError(
            f"An affected depth lies within a wall above zero; {affected_mm:g} of {wall_mm:g} mm was given."
        )
    return 100 * affected_mm / wall_mm


@method(
    name="Risk of dezincification",
    what_for="Whether a fitting's alloy loses its zinc where it serves.",
    symbols={
        "family": "plain brass, high-zinc bronze, resistant brass, bronze, plastic, stainless or unknown",
        "age_y": "years in service",
        "service": "below the waterline, or above the waterline",
        "result": "loses its zinc, slowly, resists for a time, does not, or not known",
    },
    limits=(
        "By name, mark and age alone. No pink under the scraper proves nothing about depth, and the inside of tails "
        "and threads is unseen unless dismantled. A mixed fitting is as good as its weakest part. Stainless has its "
        "own crevice attack, plastic its blows, fire and sunlight."
    ),
    source="common practice; compositions from memory",
    standing="common practice",
    text="memory",
    defer=CAUTION,
)
def dezincification_risk(family: Family, age_y: float, service: Service) -> Risk:
    """What an alloy does in sea water at an age; an unknown one counts as plain brass once it is five years old.

    Args:
        family: Of the alloy.
        age_y: Years in service; 0 or more.
        service: Where the fitting serves.

    Returns:
        The risk in words.

    Raises:
        ValueError: The age is negative, or the family or service is none of those known.

    >>> dezincification_risk("plain brass", 1, "below the waterline")
    'loses its zinc'
    """
    if age_y < 0:
        raise ValueError(f"An age is 0 years or more; {age_y:g} was given.")
    if service not in ("below the waterline", "above the waterline"):
        raise ValueError(f'A fitting serves below or above the waterline, not "{service}".')
    is_wet = service == "below the waterline"
    match family:
        case "plain brass":
            return "loses its zinc" if is_wet else "loses its zinc slowly"
        case "high-zinc bronze":
            return "loses its zinc slowly"
        case "resistant brass":
            return "resists for a time"
        case "bronze" | "plastic" | "stainless":
            return "does not lose zinc"
        case "unknown":
            old = age_y > criteria()["alloys-unknown-life"].limit
            return "loses its zinc" if is_wet and old else "not known"
        case _:
            raise ValueError(f'"{family}" is no family of alloys known here.')


def family_named(words: str) -> Family:
    """The family that words name, "unknown" where they name none.

    >>> family_named("ball valve marked CW617N"), family_named("DZR tail"), family_named("valve")
    ('plain brass', 'resistant brass', 'unknown')
    """
    said = words.casefold()
    return next((family for family, names in _NAMES if re.search(names, said)), "unknown")


def results(survey: Survey) -> tuple[Result, ...]:
    """For each observation of a fitting through the hull that names its metal, its colour or a cut: what follows."""
    return tuple(
        result
        for entry in survey.of(Observation)
        if entry.body.place.part in _FITTINGS
        for result in _of_fitting(survey, entry)
    )


def _of_fitting(survey: Survey, entry: Entry[Observation]) -> Iterator[Result]:
    said = entry.body.seen.casefold()
    family = family_named(said)
    if _PINK.search(said) and family != "plastic":
        yield _pink(entry, family)
    elif family != "unknown" or "not marked" in said or "unmarked" in said:
        yield _by_age(survey, entry, family)
    if _CUT.search(said) and entry.body.depth_mm is not None:
        yield _cut(entry)


def _pink(entry: Entry[Observation], family: Family) -> Result:
    limit = criteria()["alloys-pink"]
    return Result(
        method="alloys.dezincification_risk",
        what=f"pink or copper-coloured metal at {named(entry.body.place)}",
        value=1.0,
        unit="place",
        verdict=verdict_of(1.0, None, limit),
        used=(entry.id,),
        uncertainty_why="A colour was seen, nothing measured.",
        criterion=limit,
        place=entry.body.place,
        caveats=(
            *(
                ("Bronze of low zinc is red-gold by itself: scrape again beside it.",)
                if family == "bronze"
                else ()
            ),
            "The colour proves the attack, not its depth.",
            CAUTION,
        ),
    )


def _by_age(survey: Survey, entry: Entry[Observation], family: Family) -> Result:
    """What the alloy's name and the boat's age say."""
    built = survey.boat.year if survey.boat else None
    age_y = None if built is None else float(max(0, entry.at.year - built))
    is_above = (entry.body.place.level_m or 0.0) > 0
    risk = dezincification_risk(
        family, age_y or 0.0, "above the waterline" if is_above else "below the waterline"
    )
    alloy = "unmarked alloy" if family == "unknown" else family
    what = f"{alloy} at {named(entry.body.place)}: {risk}"
    caveats = [
        "The age is the boat's; the fitting may be younger.",
        "Inside of tails and threads is unseen unless dismantled.",
        CAUTION,
    ]
    if family in ("plain brass", "high-zinc bronze") and not is_above:
        limit = criteria()["alloys-zinc"]
        return Result(
            method="alloys.dezincification_risk",
            what=what,
            value=ZINC_PCT[family],
            unit="% zinc",
            verdict=verdict_of(ZINC_PCT[family], None, limit),
            used=(entry.id,),
            uncertainty_why="By its name; not analysed.",
            criterion=limit,
            place=entry.body.place,
            caveats=tuple(caveats[1:]),
        )
    life = criteria()[_LIFE[family]] if family in _LIFE and not is_above else None
    if age_y is None and life is not None:
        return Result(
            method="alloys.dezincification_risk",
            what=what,
            value=None,
            unit="years",
            verdict="cannot say",
            used=(entry.id,),
            place=entry.body.place,
            caveats=("The boat's year of build is not known, so no age is.", *caveats[1:]),
        )
    if life is None or age_y is None:
        return Result(
            method="alloys.dezincification_risk",
            what=what,
            value=ZINC_PCT.get(family),
            unit="% zinc",
            verdict="not comparable" if family in ZINC_PCT else "cannot say",
            used=(entry.id,),
            uncertainty_why="By its name; not analysed.",
            place=entry.body.place,
            caveats=(_other_ways(family, is_above=is_above), *caveats[1:]),
        )
    return Result(
        method="alloys.dezincification_risk",
        what=what,
        value=age_y,
        unit="years",
        verdict=verdict_of(age_y, None, life),
        used=(entry.id,),
        uncertainty_why="Years are counted whole.",
        criterion=life,
        place=entry.body.place,
        caveats=tuple(caveats),
    )


def _other_ways(family: Family, *, is_above: bool) -> str:
    if is_above:
        return "It lies above the boot-top, where no limit is held; salt water that stands in it attacks it all the same."
    if family == "plastic":
        return "It loses no zinc; blows, fire, sunlight and its maker's life decide."
    return (
        "It loses no zinc; it is attacked in crevices and under deposits where the water is still."
    )


def _cut(entry: Entry[Observation]) -> Result:
    what = f"wall lost where {named(entry.body.place)} was cut"
    try:
        if entry.body.width_mm is None or entry.body.depth_mm is None:
            raise ValueError("The wall was not noted; give it as the width of the observation.")
        lost = wall_lost_pct(entry.body.width_mm, entry.body.depth_mm)
    except ValueError as problem:
        return Result(
            method="alloys.wall_lost_pct",
            what=what,
            value=None,
            unit="%",
            verdict="cannot say",
            used=(entry.id,),
            place=entry.body.place,
            caveats=(str(problem),),
        )
    return Result(
        method="alloys.wall_lost_pct",
        what=what,
        value=lost,
        unit="%",
        verdict="not comparable",
        used=(entry.id,),
        uncertainty_why="The depth is read off a section at one place.",
        place=entry.body.place,
        caveats=(
            f"{entry.body.width_mm - entry.body.depth_mm:.1f} mm of sound wall left at this place.",
            "No limit is held; bends and thread roots are thinner.",
            CAUTION,
        ),
    )
