"""Gas in the air and in the pipes: cooking gas, petrol vapour, carbon monoxide, oxygen.

A "pressure" on a gas part is that at the end of a tightness test, with the pressure at its start as `original`, bar,
taken by somebody licensed for it. A "diameter" on `gas-locker` is the bore of its drain. A "concentration" in parts a
million needs the gas in its words: propane, butane, hydrogen, oxygen, carbon monoxide.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from garboard.methods.bounds import not_below_zero
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import Measured, above_zero, gear_of, judged, measured, unsaid
from garboard.methods.noted import says
from garboard.methods.result import Result
from garboard.methods.zone import place_words
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey

ATMOSPHERE_PA = 101_325.0
ATMOSPHERE_MBAR = 1013.25
ZERO_C_K = 273.15
GAS_J_PER_MOL_K = 8.314_463
PROPANE_KG_PER_MOL = 0.044_096

LOWER_LIMIT_PCT: Mapping[str, float] = MappingProxyType(
    {"propane": 2.1, "butane": 1.8, "hydrogen": 4.0}
)
"""Lower flammable limit in air, % by volume; from memory."""

PIPES = ("gas-pipe", "gas-regulator", "gas-appliance")
AIR = (
    "smells-on-boarding",
    "gas-locker",
    "gas-appliance",
    "gas-and-co-detection",
    "diesel-heater",
    "solid-fuel-stove",
    "petrol-space",
    "machinery-space",
    "lead-acid-battery",
    "lithium-battery",
)

CAUTION = (
    "No joint, nipple or cap of a gas system is loosened unless by a fitter registered for gas. With gas or vapour in "
    "the air: cylinder shut, nothing switched, no flame, everybody off, vent low and high. No tank, locker or void is "
    "entered on the strength of a reading here."
)

_GAUGE_MBAR = 0.25
_BORE_MM = 0.5
_DETECTOR_RATIO = 0.1


@method(
    name="Vapour of propane",
    what_for="How much space the gas of a leak takes up.",
    symbols={"mass_kg": "of propane, kg", "temperature_c": "°C", "result": "m³ at one atmosphere"},
    limits="Ideal gas; heavier than air, it lies in the bilge and does not mix evenly.",
    source="ideal gas, molar mass 44.096 g/mol",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def propane_vapour_m3(mass_kg: float, temperature_c: float = 15.0) -> float:
    """Moles times molar volume.

    Args:
        mass_kg: kg; 0 or more.
        temperature_c: Above -273.15 °C.

    Returns:
        m³.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(propane_vapour_m3(1.0), 3)
    0.536
    """
    not_below_zero(mass_kg=mass_kg)
    above_zero(kelvin=temperature_c + ZERO_C_K)
    moles = mass_kg / PROPANE_KG_PER_MOL
    return moles * GAS_J_PER_MOL_K * (temperature_c + ZERO_C_K) / ATMOSPHERE_PA


@method(
    name="Propane that makes a space flammable",
    what_for="How little of a cylinder suffices.",
    symbols={"space_m3": "m³", "temperature_c": "°C", "result": "kg"},
    limits="Evenly mixed, which gas in a bilge is not: near the floor far less suffices. Lower limit 2.1 % from memory.",
    source="ideal gas; lower flammable limit of propane",
    standing="common practice",
    text="memory",
    defer=CAUTION,
)
def propane_to_lower_limit_kg(space_m3: float, temperature_c: float = 15.0) -> float:
    """The mass whose vapour is 2.1 % of the space.

    Args:
        space_m3: m³; 0 or more.
        temperature_c: Above -273.15 °C.

    Returns:
        kg.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(propane_to_lower_limit_kg(12), 2)
    0.47
    """
    not_below_zero(space_m3=space_m3)
    vapour_m3 = LOWER_LIMIT_PCT["propane"] / 100 * space_m3
    return vapour_m3 / propane_vapour_m3(1.0, temperature_c)


@method(
    name="Pressure lost in a tightness test",
    what_for="Whether the water column stood still.",
    symbols={"start_mbar": "mbar", "end_mbar": "mbar", "result": "mbar, above 0 where it fell"},
    limits=(
        "At constant temperature alone: one degree moves a system at 37 mbar by 3.6 mbar. Pressure and time of the "
        "test by the procedure in force."
    ),
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def lost_mbar(start_mbar: float, end_mbar: float) -> float:
    """Start less end.

    Args:
        start_mbar: Above the air's, mbar.
        end_mbar: Same.

    Returns:
        mbar; below zero where the pressure rose.

    >>> lost_mbar(37.0, 36.0)
    1.0
    """
    return start_mbar - end_mbar


@method(
    name="Leak from a fall of pressure",
    what_for="How much gas leaves a closed system.",
    symbols={
        "volume_l": "of the pipes, L",
        "lost_mbar": "fall of pressure, mbar",
        "seconds": "of the test, s",
        "result": "cm³/h at the pressure of the air",
    },
    limits="Constant temperature; the volume of pipes, hoses and gauge together.",
    source="Boyle's law",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def leak_cm3_per_h(volume_l: float, lost_mbar: float, seconds: float) -> float:
    """Volume times fall over the air's pressure and the time.

    Args:
        volume_l: L; above 0.
        lost_mbar: mbar.
        seconds: s; above 0.

    Returns:
        cm³/h.

    Raises:
        ValueError: Volume or time is not above zero.

    >>> round(leak_cm3_per_h(3, 1, 300), 1)
    35.5
    """
    above_zero(volume_l=volume_l, seconds=seconds)
    return 1000 * volume_l * lost_mbar / ATMOSPHERE_MBAR * 3600 / seconds


@method(
    name="Pressure moved by temperature",
    what_for="What a change of temperature does to a closed system under test.",
    symbols={
        "pressure_mbar": "above the air's, mbar",
        "temperature_c": "of the pipes, °C",
        "change_k": "K",
        "result": "mbar",
    },
    limits="Closed and stiff; the pressure of the air unchanged.",
    source="law of Gay-Lussac, absolute pressure over absolute temperature",
    standing="common practice",
    text="read",
)
def moved_by_temperature_mbar(pressure_mbar: float, temperature_c: float, change_k: float) -> float:
    """Absolute pressure in proportion to absolute temperature.

    Args:
        pressure_mbar: Above the air's, mbar; above -1013.25.
        temperature_c: Above -273.15 °C.
        change_k: K.

    Returns:
        mbar, signed as the change.

    Raises:
        ValueError: Pressure or temperature is not above absolute zero.

    >>> round(moved_by_temperature_mbar(37, 15, 1), 2)
    3.64
    """
    above_zero(absolute_mbar=pressure_mbar + ATMOSPHERE_MBAR, kelvin=temperature_c + ZERO_C_K)
    return (pressure_mbar + ATMOSPHERE_MBAR) * change_k / (temperature_c + ZERO_C_K)


@method(
    name="Share of the lower flammable limit",
    what_for="How near the air is to burning.",
    symbols={
        "ppm": "parts a million by volume",
        "lower_limit_pct": "lower flammable limit, % by volume",
        "result": "% of the lower flammable limit",
    },
    limits="A detector set for that gas and in calibration; top, middle and bottom of the space.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def flammable_pct(ppm: float, lower_limit_pct: float) -> float:
    """Concentration over the limit.

    Args:
        ppm: 0 or more.
        lower_limit_pct: Above 0.

    Returns:
        Per cent of the limit.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(flammable_pct(2100, 2.1))
    10
    """
    not_below_zero(ppm=ppm)
    above_zero(lower_limit_pct=lower_limit_pct)
    return ppm / 10_000 / lower_limit_pct * 100


@method(
    name="Share of the air",
    what_for="A concentration in the unit that oxygen is judged in.",
    symbols={"ppm": "parts a million by volume", "result": "% by volume"},
    limits="By volume.",
    source="definition",
    standing="common practice",
    text="read",
)
def air_pct(ppm: float) -> float:
    """A ten-thousandth of the parts a million.

    Args:
        ppm: 0 or more.

    Returns:
        Per cent by volume.

    Raises:
        ValueError: The concentration is negative.

    >>> air_pct(209_000)
    20.9
    """
    not_below_zero(ppm=ppm)
    return ppm / 10_000


@method(
    name="Bore of a drain",
    what_for="The narrowest place of the drain that a leak of heavy gas leaves by.",
    symbols={"bores_mm": "inside diameters along it, mm", "result": "mm"},
    limits="Nothing said of a dip that holds water, nor of where it ends.",
    source="definition",
    standing="common practice",
    text="read",
)
def narrowest_mm(bores_mm: Sequence[float]) -> float:
    """The least of the bores.

    Args:
        bores_mm: `(n,)` diameters, mm; one or more, 0 or more each.

    Returns:
        mm.

    Raises:
        ValueError: There is no bore, or one is negative.

    >>> narrowest_mm((19, 16))
    16
    """
    return min(_some(bores_mm))


@method(
    name="Carbon monoxide at its worst",
    what_for="The highest of the readings of a space.",
    symbols={"readings_ppm": "parts a million by volume", "result": "ppm"},
    limits="After minutes at the place, with appliances and engine running as in use; never tested by exhaust gas.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def highest_ppm(readings_ppm: Sequence[float]) -> float:
    """The greatest of the readings.

    Args:
        readings_ppm: `(n,)` concentrations; one or more, 0 or more each.

    Returns:
        ppm.

    Raises:
        ValueError: There is no reading, or one is negative.

    >>> highest_ppm((5, 35))
    35
    """
    return max(_some(readings_ppm))


def results(survey: Survey) -> tuple[Result, ...]:
    """Tightness tests, locker drains, and what was measured in the air."""
    pressures = measured(survey, "pressure", *PIPES, uncertainty=_GAUGE_MBAR / 1000)
    drains = measured(survey, "diameter", "gas-locker", uncertainty=_BORE_MM)
    airs = measured(survey, "concentration", *AIR, uncertainty=0.0)
    return (
        *map(_of_test, pressures),
        *(_of_drain(survey, each) for each in _by_place(drains)),
        *map(_of_monoxide, _by_place(each for each in airs if _is_monoxide(each))),
        *(_of_air(each) for each in airs if not _is_monoxide(each)),
    )


def _of_test(test: Measured) -> Result:
    what = f"tightness test at {place_words(test.place)}"
    if test.original is None:
        why = "The pressure at the start of the test was not noted."
        return unsaid("gas.lost_mbar", what, "mbar", [test], why, CAUTION)
    start, end = 1000 * test.original, 1000 * test.value
    lost, doubt = lost_mbar(start, end), 2**0.5 * 1000 * test.uncertainty
    shift = moved_by_temperature_mbar(max(0.0, start), 15.0, 1.0)
    warm = f"One degree of temperature alone moves it by {shift:.1f} mbar."
    if lost < -2 * doubt:
        why = "The pressure rose: the temperature changed, and the test tells nothing."
        return unsaid("gas.lost_mbar", what, "mbar", [test], why, warm, CAUTION)
    still = ": nothing moved that the gauge could show, and less than that is not excluded"
    moved = f"From {start:g} to {end:g} mbar{still if abs(lost) <= 2 * doubt else ''}."
    said = [moved, warm, CAUTION]
    limit = criteria()["gas-tightness"]
    return judged("gas.lost_mbar", what, lost, doubt, limit, [test], said)


def _of_drain(survey: Survey, bores: Sequence[Measured]) -> Result:
    year = survey.boat.year if survey.boat else None
    said = [
        "Written for United Kingdom inland boats; a benchmark elsewhere.",
        "Boats built before 2000 with 15 kg of gas or less: 12 mm, enlarged in proportion."
        if year is None or year < 2000
        else "",
        CAUTION,
    ]
    what = f"bore of the drain of {place_words(bores[0].place)}"
    limit, value = criteria()["gas-locker-drain"], narrowest_mm([each.value for each in bores])
    doubt = max(each.uncertainty for each in bores)
    return judged("gas.narrowest_mm", what, value, doubt, limit, bores, said)


def _is_monoxide(air: Measured) -> bool:
    return says(air, "monoxide", "co")


def _of_monoxide(airs: Sequence[Measured]) -> Result:
    what = f"carbon monoxide in the air at {place_words(airs[0].place)}"
    limit, value = criteria()["gas-carbon-monoxide"], highest_ppm([each.value for each in airs])
    doubt = max(each.uncertainty for each in airs) or _DETECTOR_RATIO * value
    return judged("gas.highest_ppm", what, value, doubt, limit, airs, [CAUTION])


def _of_air(air: Measured) -> Result:
    where = place_words(air.place)
    doubt = air.uncertainty or _DETECTOR_RATIO * air.value
    if says(air, "oxygen"):
        low, high = criteria()["gas-oxygen-low"], criteria()["gas-oxygen-high"]
        share = air_pct(max(0.0, air.value))
        limit = low if share < (low.limit + high.limit) / 2 else high
        doubt_pct = air.uncertainty / 10_000
        what = f"oxygen in the air at {where}"
        return judged("gas.air_pct", what, share, doubt_pct, limit, [air], [CAUTION])
    named = next((each for each in LOWER_LIMIT_PCT if says(air, each)), None)
    what = f"flammable gas in the air at {where}"
    if named is None:
        why = "Which gas it was, of propane, butane, hydrogen, oxygen and carbon monoxide, was not noted."
        return unsaid("gas.flammable_pct", what, "%", [air], why, CAUTION)
    lower_pct = LOWER_LIMIT_PCT[named]
    return judged(
        "gas.flammable_pct",
        what,
        flammable_pct(max(0.0, air.value), lower_pct),
        flammable_pct(doubt, lower_pct),
        criteria()["gas-flammable"],
        [air],
        [f"As {named}, flammable from {lower_pct:g} % (from memory).", CAUTION],
    )


def _by_place(found: Iterable[Measured]) -> tuple[tuple[Measured, ...], ...]:
    groups: dict[Place, list[Measured]] = defaultdict(list)
    for each in found:
        groups[gear_of(each.place)].append(each)
    return tuple(map(tuple, groups.values()))


def _some(values: Sequence[float]) -> Sequence[float]:
    if not values or min(values) < 0:
        raise ValueError(f"Readings are one or more of 0 or more; {tuple(values)} were given.")
    return values
