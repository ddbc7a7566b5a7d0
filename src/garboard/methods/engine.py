"""The engine screened: compression, revolutions on trial, temperatures, power from fuel. Never certified.

"pressures" on the engine whose words say compression are those of its cylinders. "revolutions" on
`trial-speed-and-power` are the engine's, with the maker's rated ones as `original` beside the highest. A
"temperature" there or on the cooling says "coolant" with "fresh" or "raw", or lies on the wet exhaust. A "flow" whose
words say fuel is what the engine burns.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType

from garboard.methods.bounds import not_below_zero
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import (
    Measured,
    above_zero,
    gear_of,
    judged,
    measured,
    unlimited,
    unsaid,
)
from garboard.methods.noted import says
from garboard.methods.result import Result
from garboard.methods.zone import place_words
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey

ENGINE = ("engine-exterior", "engine-identity", "engine-cold-start", "engine-fluids")
TRIAL = "trial-speed-and-power"
EXHAUST = "wet-exhaust"
COOLING = ("raw-water-cooling", TRIAL, "trial-after-run", "engine-cold-start")

CAUTION = (
    "The engine maker's data stand above every figure here, and an engineer decides. Engine stopped, key out and cool "
    "before a hand goes near belts, shafts or caps; full throttle only by the owner's leave."
)

_GAUGE_BAR = 0.3
_COUNTER_RATIO = 0.01
_SURFACE_C = 3.0
_POWER_RATIO = 0.12

# Density, kg/L, and specific consumption, kg/kWh: middles of what is usual; common practice.
_FUELS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"diesel": (0.84, 0.22), "petrol": (0.74, 0.315)}
)


@method(
    name="Spread of compression",
    what_for="Whether the cylinders of an engine are alike.",
    symbols={"pressures_bar": "highest of each cylinder, bar", "result": "% of the highest"},
    limits=(
        "Engine hot, throttle open, battery strong, the same gauge on every cylinder. What is enough in itself only the "
        "maker says."
    ),
    source="definition: highest less lowest, over the highest",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def compression_spread_pct(pressures_bar: Sequence[float]) -> float:
    """Highest less lowest over the highest.

    Args:
        pressures_bar: `(n,)` pressures, bar; two or more, 0 or more each, one above 0.

    Returns:
        Per cent, 0 to 100.

    Raises:
        ValueError: Fewer than two, one negative, or none above zero.

    >>> round(compression_spread_pct((28.1, 27.4, 27.9, 24.6)), 1)
    12.5
    """
    if len(pressures_bar) < 2 or min(pressures_bar) < 0 or max(pressures_bar) <= 0:
        raise ValueError(
            "A spread needs the pressures of two cylinders or more, 0 bar or more each and not all 0; "
            f"{tuple(pressures_bar)} were given."
        )
    return 100 * (max(pressures_bar) - min(pressures_bar)) / max(pressures_bar)


@method(
    name="Revolutions against the rated ones",
    what_for="Whether propeller, bottom and engine suit each other.",
    symbols={
        "reached_rpm": "highest at full throttle, rpm",
        "rated_rpm": "by the maker, rpm",
        "result": "% above the rated ones, below them negative",
    },
    limits="Clean bottom, usual load, calm and deep water; a rev counter may be some per cent out.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def revolutions_pct(reached_rpm: float, rated_rpm: float) -> float:
    """Reached less rated over rated.

    Args:
        reached_rpm: rpm; 0 or more.
        rated_rpm: rpm; above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(revolutions_pct(3420, 3600), 1)
    -5.0
    """
    above_zero(rated_rpm=rated_rpm)
    not_below_zero(reached_rpm=reached_rpm)
    return 100 * (reached_rpm / rated_rpm - 1)


@method(
    name="Power asked by the propeller",
    what_for="How much power a fixed propeller takes at lower revolutions.",
    symbols={
        "revolutions_ratio": "over those of full power",
        "exponent": "3 for a displacement hull, 2.5 to 3 planing",
        "result": "% of full power",
    },
    limits="Fixed pitch, steady running.",
    source="propeller law",
    standing="common practice",
    text="read",
)
def propeller_power_pct(revolutions_ratio: float, exponent: float = 3.0) -> float:
    """The ratio to the power of the exponent.

    Args:
        revolutions_ratio: 0 or more.
        exponent: Above 0.

    Returns:
        Per cent of full power.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(propeller_power_pct(0.9), 1)
    72.9
    """
    not_below_zero(revolutions_ratio=revolutions_ratio)
    above_zero(exponent=exponent)
    return float(100 * revolutions_ratio**exponent)


@method(
    name="Power from fuel burnt",
    what_for="What an engine gives, from what it burns.",
    symbols={
        "fuel_l_per_h": "L/h",
        "density_kg_per_l": "diesel 0.82 to 0.86, petrol about 0.74, kg/L",
        "consumption_kg_per_kwh": "diesel 0.20 to 0.24, petrol 0.28 to 0.35, kg/kWh",
        "result": "kW",
    },
    limits="To about 12 %; specific consumption rises at light load.",
    source="definition of specific consumption; its usual figures are of the trade and from memory",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def power_from_fuel_kw(
    fuel_l_per_h: float, density_kg_per_l: float, consumption_kg_per_kwh: float
) -> float:
    """Mass of fuel an hour over specific consumption.

    Args:
        fuel_l_per_h: L/h; 0 or more.
        density_kg_per_l: kg/L; above 0.
        consumption_kg_per_kwh: kg/kWh; above 0.

    Returns:
        kW.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(power_from_fuel_kw(20, 0.84, 0.215), 1)
    78.1
    """
    not_below_zero(fuel_l_per_h=fuel_l_per_h)
    above_zero(density_kg_per_l=density_kg_per_l, consumption_kg_per_kwh=consumption_kg_per_kwh)
    return fuel_l_per_h * density_kg_per_l / consumption_kg_per_kwh


@method(
    name="Temperature at its highest",
    what_for="The hottest reading of a thing during the run.",
    symbols={"readings_c": "°C", "result": "°C"},
    limits="Infrared reads shiny metal low: tape or paint under the spot. Settled, under load.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def hottest_c(readings_c: Sequence[float]) -> float:
    """The greatest of the readings.

    Args:
        readings_c: `(n,)` temperatures, °C; one or more.

    Returns:
        °C.

    Raises:
        ValueError: There is no reading.

    >>> hottest_c((62.0, 71.0))
    71.0
    """
    if not readings_c:
        raise ValueError("The hottest of no readings cannot be told.")
    return max(readings_c)


def results(survey: Survey) -> tuple[Result, ...]:
    """Compression of each engine, revolutions reached on trial, temperatures, and power from fuel."""
    pressures = measured(survey, "pressure", *ENGINE, uncertainty=_GAUGE_BAR)
    turns = measured(survey, "revolutions", TRIAL, uncertainty=0.0)
    heats = measured(survey, "temperature", *COOLING, EXHAUST, uncertainty=_SURFACE_C)
    flows = measured(survey, "flow", TRIAL, "fuel-supply", uncertainty=0.0)
    squeezed = [each for each in pressures if says(each, "compression")]
    return (
        *map(_of_compression, _by_engine(squeezed)),
        *map(_of_turns, _by_engine(turns)),
        *_of_heats(heats),
        *(_of_fuel(survey, each) for each in flows if says(each, "fuel")),
    )


def _by_engine(found: Iterable[Measured]) -> tuple[tuple[Measured, ...], ...]:
    engines: dict[Place, list[Measured]] = defaultdict(list)
    for each in found:
        engines[gear_of(each.place)].append(each)
    return tuple(map(tuple, engines.values()))


def _engine(place: Place) -> str:
    """Which engine a place of the machinery belongs to, in words."""
    which = (place.side or "", "" if place.number is None else str(place.number))
    return " ".join(filter(None, ("engine", *which)))


def _of_compression(found: Sequence[Measured]) -> Result:
    name = "engine.compression_spread_pct"
    what = f"spread of compression, {_engine(found[0].place)}"
    values = [each.value for each in found]
    try:
        spread = compression_spread_pct(values)
    except ValueError as problem:
        return unsaid(name, what, "%", found, str(problem), CAUTION)
    doubt = 100 * 2**0.5 * max(each.uncertainty for each in found) / max(values)
    defer, look = criteria()["engine-compression-defer"], criteria()["engine-compression"]
    lowest = min(found, key=lambda each: each.value).place.words
    cylinder = re.sub(r"\bcompression\b[\s,:]*", "", lowest, flags=re.IGNORECASE).strip(" ,")
    said = [
        f"From {min(values):g} to {max(values):g} bar in {len(values)} cylinders; the lowest, {cylinder or 'not named'}.",
        "Whether any of them is enough in itself, only the maker's figure says.",
        CAUTION,
    ]
    limit = defer if spread > defer.limit else look
    return judged(name, what, spread, doubt, limit, found, said)


def _of_turns(found: Sequence[Measured]) -> Result:
    name = "engine.revolutions_pct"
    what = f"highest revolutions on trial, {_engine(found[0].place)}"
    best = max(found, key=lambda each: each.value)
    rated = next((each.original for each in found if each.original), None)
    if rated is None or rated <= 0:
        return unsaid(name, what, "%", [best], "The maker's rated revolutions were not noted.")
    off = revolutions_pct(max(0.0, best.value), rated)
    stated = 100 * best.uncertainty / rated
    low, high = criteria()["engine-below-rated"], criteria()["engine-above-rated"]
    said = [
        f"{best.value:g} of {rated:g} rpm rated, if the highest read was at full throttle.",
        "Below: propeller, fouling or a tired engine; an engine held below its rating is overloaded.",
        CAUTION,
    ]
    limit = low if off < (low.limit + high.limit) / 2 else high
    doubt = stated or 100 * _COUNTER_RATIO
    return judged(name, what, off, doubt, limit, [best], said)


def _of_heats(heats: Sequence[Measured]) -> Iterator[Result]:
    exhausts = [each for each in heats if each.place.part == EXHAUST or says(each, "exhaust")]
    for found in _by_engine(exhausts):
        yield _of_heat(found, "wet exhaust", ("engine-exhaust",))
    for word in ("fresh", "raw"):
        coolants = [each for each in heats if says(each, "coolant") and says(each, word)]
        for found in _by_engine(coolants):
            limits = (f"engine-coolant-{word}-low", f"engine-coolant-{word}-high")
            yield _of_heat(found, f"coolant, {word} water", limits)
    for each in heats:
        if says(each, "coolant") and not says(each, "fresh", "raw"):
            what = f"coolant at {place_words(each.place)}"
            why = "Whether the engine is cooled by fresh or by raw water was not noted."
            yield unsaid("engine.hottest_c", what, "°C", [each], why)


def _of_heat(found: Sequence[Measured], of: str, limits: tuple[str, ...]) -> Result:
    value = hottest_c([each.value for each in found])
    ends = [criteria()[each] for each in limits]
    middle = sum(each.limit for each in ends) / len(ends)
    limit = ends[0] if value < middle else ends[-1]
    words = found[0].place.words
    hottest = place_words(found[0].place) if words else of
    what = f"temperature of {hottest if _is_named(of, hottest) else f'{of}, {hottest}'}"
    doubt = max(each.uncertainty for each in found)
    return judged("engine.hottest_c", what, value, doubt, limit, found, [CAUTION])


def _is_named(of: str, words: str) -> bool:
    """Whether words name a thing, each word of it somewhere."""
    return all(each in words.casefold() for each in re.findall(r"[a-z]+", of))


def _of_fuel(survey: Survey, flow: Measured) -> Result:
    name, what = "engine.power_from_fuel_kw", f"power of the engine, {place_words(flow.place)}"
    fuel = survey.boat.fuel if survey.boat else None
    if fuel is None or fuel not in _FUELS or flow.value < 0:
        return unsaid(name, what, "kW", [flow], "Which fuel the engine burns is not known.")
    density, consumption = _FUELS[fuel]
    power = power_from_fuel_kw(60 * flow.value, density, consumption)
    said = [f"From {60 * flow.value:.1f} L/h of {fuel} at usual figures of consumption.", CAUTION]
    return unlimited(name, what, power, "kW", _POWER_RATIO * power, [flow], said)
