"""Anodes: what was eaten against what should have been, and how long the rest lasts.

An anode that was not eaten is a question, never good news: it may not be connected. A set holds masses in kg,
with the new mass as `original`, or losses in per cent as seen by eye.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import pi, sqrt
from types import MappingProxyType
from typing import Literal

from garboard.methods.campaign import latest
from garboard.methods.climate import conditions_for
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.instrument import uncertainty_of
from garboard.methods.result import Result, verdict_of
from garboard.methods.zone import place_words
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Alloy = Literal["zinc", "aluminium", "magnesium"]
Suits = Literal["suits", "weak", "does not suit"]
Against = Literal["less than expected", "in line with what is expected", "more than expected"]

CAPACITY_AH_PER_KG: Mapping[Alloy, float] = MappingProxyType(
    {"zinc": 780.0, "aluminium": 2000.0, "magnesium": 1230.0}
)
"""Practical capacity in sea water, Ah/kg: DNV-RP-B401 for zinc and aluminium (read in transcription), a summary of
the ABS guidance notes on ships for magnesium (second hand)."""

BAND = 2.0
"""Bare metal and its current are known to a factor of two at best."""

BY_EYE_PCT = 10.0
"""Standard uncertainty of a loss judged by eye, percentage points; common practice."""

BY_SCALE_KG = 0.02
"""Standard uncertainty of a mass from a hanging scale, crust brushed off; common practice."""

_FRESH_BELOW = 0.5
_ALUMINIUM_FROM = 2.6
_ZINC_FROM = 5.0

UNEATEN = (
    "Ask, in this order: is there continuity from the anode's stud to shaft, propeller and rudder (coupling, "
    "shaft brush)?",
    "Is there paint on the anode, or is it of the wrong metal for the water, or passive under a hard crust?",
    "Was there little bare metal to protect, or was the boat out of the water, in mud or in fresh water?",
    "Did another boat's anodes feed this one through the shore earth?",
    "Then read the potential afloat against a reference electrode, with the anode in circuit.",
)
EATEN_FAST = (
    "Ask for stray current, a shore earth without isolation, new bare metal, too few anodes, a neighbour, or the "
    "wrong metal for the water."
)


@method(
    name="Share of an anode eaten",
    what_for="How much of an anode has gone.",
    symbols={
        "new_kg": "kg, without its insert",
        "now_kg": "kg, same",
        "result": "% of the new mass",
    },
    limits="Crust brushed off; both masses with or both without the insert.",
    source="definition",
    standing="common practice",
    text="read",
)
def eaten_pct(new_kg: float, now_kg: float) -> float:
    """Lost mass over new mass.

    Args:
        new_kg: When new, kg; above 0.
        now_kg: Now, kg; 0 to the new mass.

    Returns:
        Per cent, 0 to 100.

    Raises:
        ValueError: The new mass is not above zero, or the anode weighs more than new or less than nothing.

    >>> round(eaten_pct(1.00, 0.60))
    40
    """
    if new_kg <= 0:
        raise ValueError(f"A new anode weighs more than nothing; {new_kg:g} kg was given.")
    if not 0 <= now_kg <= new_kg:
        raise ValueError(
            f"An anode weighs between nothing and its new mass of {new_kg:g} kg, not {now_kg:g} kg."
        )
    return 100 * (new_kg - now_kg) / new_kg


@method(
    name="Mean current of an anode",
    what_for="The current an anode gave, from the mass it lost.",
    symbols={
        "lost_kg": "kg",
        "capacity_ah_per_kg": "practical capacity of the alloy, Ah/kg",
        "hours": "immersed, h",
        "result": "A",
    },
    limits="Time in the water only. Self-corrosion is within the practical capacity.",
    source="form of DNV-RP-B401",
    standing="guidance",
    text="second hand",
)
def mean_current_a(lost_kg: float, capacity_ah_per_kg: float, hours: float) -> float:
    """Charge over time.

    Args:
        lost_kg: kg; 0 or more.
        capacity_ah_per_kg: Ah/kg; above 0.
        hours: Immersed; above 0.

    Returns:
        A.

    Raises:
        ValueError: The loss is negative, or capacity or time not above zero.

    >>> round(mean_current_a(0.40, 780, 180 * 24), 4)
    0.0722
    """
    if lost_kg < 0 or capacity_ah_per_kg <= 0 or hours <= 0:
        raise ValueError(
            "A mean current needs a loss of 0 kg or more, a capacity and a time above zero; "
            f"{lost_kg:g} kg, {capacity_ah_per_kg:g} Ah/kg and {hours:g} h were given."
        )
    return lost_kg * capacity_ah_per_kg / hours


@method(
    name="Standard uncertainty of a mean current",
    what_for="What masses weighed, or guessed by eye, are worth.",
    symbols={
        "current_a": "A",
        "lost_kg": "kg",
        "mass_u_kg": "standard uncertainty of each mass, kg",
        "capacity_u_ratio": "relative standard uncertainty of the capacity",
        "result": "A",
    },
    limits="Two masses of equal uncertainty, independent.",
    source="law of propagation, JCGM 100:2008, 5.1",
    standing="guidance",
    text="second hand",
)
def current_uncertainty_a(
    current_a: float, lost_kg: float, mass_u_kg: float, capacity_u_ratio: float = 0.03
) -> float:
    """Relative parts of loss and capacity, by root of squares.

    Args:
        current_a: Mean current, A.
        lost_kg: kg; above 0.
        mass_u_kg: Of each mass, kg; 0 or more.
        capacity_u_ratio: Relative; 0 or more.

    Returns:
        A.

    Raises:
        ValueError: Nothing was lost.

    >>> round(current_uncertainty_a(0.0722, 0.40, 0.02), 4)
    0.0055
    """
    if lost_kg <= 0:
        raise ValueError(f"A current needs a loss above zero; {lost_kg:g} kg was given.")
    return current_a * sqrt(2 * (mass_u_kg / lost_kg) ** 2 + capacity_u_ratio**2)


@method(
    name="Days an anode still lasts",
    what_for="Time in the water until a chosen share is left.",
    symbols={
        "new_kg": "kg",
        "now_kg": "kg",
        "share_left": "of the new mass at which it is changed, 0 to 1",
        "current_a": "mean current, A",
        "capacity_ah_per_kg": "Ah/kg",
        "result": "days in the water",
    },
    limits="The same boat, berth, paint and water as before.",
    source="form of DNV-RP-B401; change at a half by common practice",
    standing="common practice",
    text="second hand",
)
def days_left(
    new_kg: float, now_kg: float, share_left: float, current_a: float, capacity_ah_per_kg: float
) -> float:
    """What may still be eaten over the rate it is eaten at; 0 where that share is passed.

    Args:
        new_kg: When new, kg; above 0.
        now_kg: Now, kg; 0 or more.
        share_left: Of the new mass, 0 to 1; 0.5 is the trade's usual point of change.
        current_a: A; above 0.
        capacity_ah_per_kg: Ah/kg; above 0.

    Returns:
        Days, 0 or more.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(days_left(1.00, 0.60, 0.5, 0.072222, 780))
    45
    """
    if new_kg <= 0 or now_kg < 0 or not 0 <= share_left <= 1:
        raise ValueError(
            "A life needs masses and a share from 0 to 1; "
            f"{new_kg:g} kg, {now_kg:g} kg and {share_left:g} were given."
        )
    if current_a <= 0 or capacity_ah_per_kg <= 0:
        raise ValueError(
            "A life needs a current and a capacity above zero; "
            f"{current_a:g} A and {capacity_ah_per_kg:g} Ah/kg were given."
        )
    return max(0.0, (now_kg - share_left * new_kg) * capacity_ah_per_kg / current_a / 24)


@method(
    name="Loss to be expected of the anodes",
    what_for="The mass that the bare metal should have eaten.",
    symbols={
        "areas_m2": "bare metal, m²",
        "densities_a_per_m2": "current asked by each, A/m²",
        "hours": "immersed, h",
        "capacity_ah_per_kg": "Ah/kg",
        "result": "kg of all anodes together",
    },
    limits=(
        "Densities are those of bare steel (0.05 to 0.10 A/m² moored, 0.10 to 0.25 used, more in a propeller's "
        "flow), borrowed for bronze and stainless: right within a factor of two at best."
    ),
    source="form of DNV-RP-B401",
    standing="guidance",
    text="second hand",
)
def expected_loss_kg(
    areas_m2: Sequence[float],
    densities_a_per_m2: Sequence[float],
    hours: float,
    capacity_ah_per_kg: float,
) -> float:
    """Current of all bare metal, times time, over capacity.

    Args:
        areas_m2: `(n,)` bare areas, m²; 0 or more each.
        densities_a_per_m2: `(n,)` densities, A/m²; 0 or more each.
        hours: Immersed; 0 or more.
        capacity_ah_per_kg: Ah/kg; above 0.

    Returns:
        kg.

    Raises:
        ValueError: Not one density for each area, or a value out of its range.

    >>> round(1000 * expected_loss_kg((0.15,), (0.10,), 180 * 24, 780), 1)
    83.1
    """
    if not areas_m2 or len(areas_m2) != len(densities_a_per_m2):
        raise ValueError(
            f"Each area needs its density; {len(areas_m2)} areas and {len(densities_a_per_m2)} were given."
        )
    if min(*areas_m2, *densities_a_per_m2, hours) < 0 or capacity_ah_per_kg <= 0:
        raise ValueError("Areas, densities and hours are 0 or more, and a capacity is above 0.")
    current_a = sum(a * i for a, i in zip(areas_m2, densities_a_per_m2, strict=True))
    return current_a * hours / capacity_ah_per_kg


@method(
    name="Wetted area of a propeller",
    what_for="The bare metal that a propeller puts to the anodes.",
    symbols={
        "diameter_m": "m",
        "blade_area_ratio": "expanded blade area over the disc",
        "hub_m2": "m²",
        "result": "m²",
    },
    limits="An estimate: both faces of the blades, and the hub.",
    source="geometry: twice the blade area ratio times the disc",
    standing="common practice",
    text="read",
)
def propeller_area_m2(diameter_m: float, blade_area_ratio: float, hub_m2: float = 0.0) -> float:
    """Both faces of the blades, and the hub.

    Args:
        diameter_m: m; above 0.
        blade_area_ratio: Above 0, at most 1.5.
        hub_m2: m²; 0 or more.

    Returns:
        m².

    Raises:
        ValueError: An argument is out of its range.

    >>> round(propeller_area_m2(0.45, 0.5), 3)
    0.159
    """
    if diameter_m <= 0 or not 0 < blade_area_ratio <= 1.5 or hub_m2 < 0:
        raise ValueError(
            "A propeller has a diameter above 0, a blade area ratio up to 1.5 and a hub of 0 m² or more; "
            f"{diameter_m:g} m, {blade_area_ratio:g} and {hub_m2:g} m² were given."
        )
    return 2 * blade_area_ratio * pi * diameter_m**2 / 4 + hub_m2


@method(
    name="Resistance of an anode on the hull",
    what_for="What the water lets out of an anode that sits flat on the hull.",
    symbols={
        "resistivity_ohm_m": "of the water, ohm m",
        "exposed_m2": "face and edges of the anode, m²",
        "result": "ohm",
    },
    limits="Within 10 to 15 % near a hull; crust and paint raise it by nobody knows how much.",
    source="short flush anodes in DNV-RP-B401: 0.315 times resistivity over the root of the area",
    standing="guidance",
    text="memory",
)
def flush_resistance_ohm(resistivity_ohm_m: float, exposed_m2: float) -> float:
    """Resistance from the anode to the water about it.

    Args:
        resistivity_ohm_m: ohm m; about 0.2 to 0.3 in the sea, 2 in a brackish river; above 0.
        exposed_m2: m²; above 0.

    Returns:
        ohm.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(flush_resistance_ohm(0.25, 0.041), 4)
    0.3889
    """
    if resistivity_ohm_m <= 0 or exposed_m2 <= 0:
        raise ValueError(
            "An anode's resistance needs a resistivity and an area above zero; "
            f"{resistivity_ohm_m:g} ohm m and {exposed_m2:g} m² were given."
        )
    return 0.315 * resistivity_ohm_m / sqrt(exposed_m2)


@method(
    name="Most an anode can give",
    what_for="Whether the fitted anodes could supply what is asked in this water.",
    symbols={
        "driving_v": "potential of the protected metal less the anode's, V",
        "resistance_ohm": "ohm",
        "result": "A",
    },
    limits="What is available; what bare metal draws is usually a tenth of it.",
    source="Ohm's law",
    standing="common practice",
    text="read",
)
def output_a(driving_v: float, resistance_ohm: float) -> float:
    """Driving voltage over resistance.

    Args:
        driving_v: V; 0 or more: 0.20 from zinc and 0.25 from aluminium to protected steel.
        resistance_ohm: ohm; above 0.

    Returns:
        A.

    Raises:
        ValueError: The voltage is negative, or the resistance not above zero.

    >>> round(output_a(0.20, 0.3889), 3)
    0.514
    """
    if driving_v < 0 or resistance_ohm <= 0:
        raise ValueError(
            "An output needs a driving voltage of 0 V or more and a resistance above zero; "
            f"{driving_v:g} V and {resistance_ohm:g} ohm were given."
        )
    return driving_v / resistance_ohm


@method(
    name="Anode against what was expected",
    what_for="Was as much eaten as the bare metal should have asked for?",
    symbols={"found": "kg or %", "expected": "same unit", "result": "less, in line or more"},
    limits="A factor of two either way is in line; never a single number.",
    source="factor of two: the method's own figure for bare areas and densities",
    standing="working figure",
    text="read",
)
def against_expected(found: float, expected: float) -> Against:
    """Where the loss lies to the band from half to twice the expected one.

    Args:
        found: What was eaten, kg or %; 0 or more.
        expected: What should have been, same unit; above 0.

    Returns:
        Less than expected, in line with it, or more.

    Raises:
        ValueError: The loss is negative, or nothing is expected.

    >>> against_expected(0.02, 0.083)
    'less than expected'
    """
    if found < 0 or expected <= 0:
        raise ValueError(
            "A comparison needs a loss of 0 or more and an expected loss above zero; "
            f"{found:g} and {expected:g} were given."
        )
    if found < expected / BAND:
        return "less than expected"
    return "more than expected" if found > expected * BAND else "in line with what is expected"


@method(
    name="Anode metal for the water",
    what_for="Whether an anode's metal works in this water.",
    symbols={
        "alloy": "zinc, aluminium or magnesium",
        "salinity": "practical salinity of the water",
        "result": "suits, weak, or does not suit",
    },
    limits=(
        "Zinc crusts and goes passive in fresh and nearly fresh water; aluminium is weak there; magnesium is for "
        "fresh water only, and never on an aluminium hull or drive in salt water. One metal on one bonded system."
    ),
    source="common practice: zinc from a salinity of 5, aluminium from 2.6, magnesium up to 0.5",
    standing="common practice",
    text="second hand",
)
def suits(alloy: Alloy, salinity: float) -> Suits:
    """How an anode's metal works in water of a salinity.

    Args:
        alloy: Of the anode.
        salinity: Practical salinity, 0 or more.

    Returns:
        Suits, weak, or does not suit.

    Raises:
        ValueError: The salinity is negative, or the metal is none of the three.

    >>> suits("zinc", 35), suits("zinc", 0.2), suits("magnesium", 35)
    ('suits', 'does not suit', 'does not suit')
    """
    if salinity < 0:
        raise ValueError(f"A salinity is 0 or more; {salinity:g} was given.")
    match alloy:
        case "zinc":
            if salinity >= _ZINC_FROM:
                return "suits"
            return "weak" if salinity >= _FRESH_BELOW else "does not suit"
        case "aluminium":
            return "suits" if salinity >= _ALUMINIUM_FROM else "weak"
        case "magnesium":
            return "suits" if salinity < _FRESH_BELOW else "does not suit"
        case _:
            raise ValueError(f'An anode is of zinc, aluminium or magnesium, not "{alloy}".')


@dataclass(frozen=True, slots=True, kw_only=True)
class Anode:
    """One anode as it was found; `eaten_pct` is None, with `why`, where its loss cannot be told.

    `water` says how its metal works in the water, where what was noted of it names the metal and the conditions
    the salinity.
    """

    entry: str
    place: Place
    eaten_pct: float | None
    uncertainty_pct: float
    why: str = ""
    water: str = ""


def anodes(survey: Survey) -> tuple[Anode, ...]:
    """The anodes that were weighed or judged by eye, in the order they were read."""
    return tuple(
        _anode(survey, entry, reading)
        for entry in latest(survey, "mass", "anode loss")
        for reading in entry.body.readings
        if _is_of_anode(entry.body, reading)
    )


def results(survey: Survey) -> tuple[Result, ...]:
    """One result for each anode: to be changed, working, or hardly eaten, which is a question."""
    found = anodes(survey)
    return tuple(_result(anode, found) for anode in found)


def _is_of_anode(read: ReadingSet, reading: Reading) -> bool:
    """Whether a reading is an anode's; other things are weighed on a boat as well."""
    named = "anode" in reading.place.part or "anode" in read.name.casefold()
    return named or read.quantity == "anode loss"


def _anode(survey: Survey, entry: Entry[ReadingSet], reading: Reading) -> Anode:
    water = _water(survey, entry, reading)
    if entry.body.quantity == "anode loss":
        return Anode(
            entry=entry.id,
            place=reading.place,
            eaten_pct=reading.value,
            uncertainty_pct=BY_EYE_PCT,
            water=water,
        )
    new_kg = float(reading.original) if reading.original else 0.0
    why = ""
    if new_kg <= 0:
        why = "The mass of the new anode is not known."
    elif reading.value > new_kg:
        why = (
            f"It weighs more now, {reading.value:g} kg, than new, {new_kg:g} kg: another anode, or a crust that "
            "hides the loss."
        )
    if why:
        return Anode(
            entry=entry.id, place=reading.place, eaten_pct=None, uncertainty_pct=0.0, why=why
        )
    scale_kg = uncertainty_of(survey, entry.body.instrument, BY_SCALE_KG)
    return Anode(
        entry=entry.id,
        place=reading.place,
        eaten_pct=eaten_pct(new_kg, reading.value),
        uncertainty_pct=100 * sqrt(2) * scale_kg / new_kg,
        water=water,
    )


def _water(survey: Survey, entry: Entry[ReadingSet], reading: Reading) -> str:
    """How the metal named in what was noted of an anode works in the water of the conditions."""
    conditions = conditions_for(survey, entry)
    salinity = conditions.body.salinity if conditions else None
    noted = f"{reading.note} {reading.place.words}".casefold()
    named = next((each for each in CAPACITY_AH_PER_KG if each in noted), None)
    if salinity is None or named is None:
        return ""
    match suits(named, salinity):
        case "suits":
            return ""
        case "weak":
            return f"Noted as {named}, which works weakly in water of a salinity of {salinity:g}."
        case "does not suit":
            return f"Noted as {named}, which does not suit water of a salinity of {salinity:g}."


def _result(anode: Anode, others: Sequence[Anode]) -> Result:
    place = anode.place
    what = f"share eaten of {place_words(place)}"
    if anode.eaten_pct is None:
        return Result(
            method="anodes.eaten_pct",
            what=what,
            value=None,
            unit="%",
            verdict="cannot say",
            used=(anode.entry,),
            place=place,
            caveats=(anode.why,),
        )
    uneaten, half = criteria()["anodes-uneaten"], criteria()["anodes-half"]
    is_uneaten = anode.eaten_pct < uneaten.limit
    limit = uneaten if is_uneaten else half
    # The band of a factor of two already holds the doubt about a loss that is too small.
    doubt = None if is_uneaten else anode.uncertainty_pct
    return Result(
        method="anodes.eaten_pct",
        what=what,
        value=anode.eaten_pct,
        unit="%",
        verdict=verdict_of(anode.eaten_pct, doubt, limit),
        used=(anode.entry,),
        uncertainty=anode.uncertainty_pct,
        criterion=limit,
        place=place,
        caveats=tuple(_caveats(anode, others)),
    )


def _caveats(anode: Anode, others: Sequence[Anode]) -> Iterator[str]:
    eaten = anode.eaten_pct or 0.0
    if eaten < criteria()["anodes-uneaten"].limit:
        yield from UNEATEN
        other = _eaten_other(anode, others)
        if other:
            yield (
                f"Another anode is half gone or more ({place_words(other.place)}): this one may not be connected "
                "to the same metal, or is of another alloy."
            )
    if eaten > criteria()["anodes-fast"].limit:
        yield EATEN_FAST
    if anode.water:
        yield anode.water
    yield (
        "Judged by a season's usual loss, since neither time in the water nor bare metal enters the readings."
    )


def _eaten_other(anode: Anode, others: Sequence[Anode]) -> Anode | None:
    """An anode of the same part that is half gone, other than this one."""
    half = criteria()["anodes-half"].limit
    return next(
        (
            each
            for each in others
            if each.place.part == anode.place.part
            and each.place != anode.place
            and each.eaten_pct is not None
            and each.eaten_pct >= half
        ),
        None,
    )
