"""Batteries: what a rest voltage, a tester and a charge tell, and the air that charging asks for.

What a "voltage" means is told by the words of its place or set: "rest", "charging" or "load test". A "current" is
the drain with everything off where they say "off" or "rest", and cranking current where they say "cranking" or
"conductance", with the rating on the case as its `original`. A "capacity" has the rated one as its `original`, a
voltage the nominal one; without it 12, 24 or 48 V is taken, whichever the reading can be of.
"""

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from garboard.methods.bounds import not_below_zero
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import Measured, above_zero, judged, measured, unsaid
from garboard.methods.noted import says
from garboard.methods.result import Result
from garboard.methods.uncertainty import rectangular_u
from garboard.methods.zone import place_words
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey

PARTS = ("lead-acid-battery", "trial-rest-readings", "charging-sources")
LITHIUM = "lithium-battery"

FARADAY_C_PER_MOL = 96_485.332
GAS_J_PER_MOL_K = 8.314_463
ATMOSPHERE_PA = 101_325.0
ZERO_C_K = 273.15

CELL_V = 2.0
"""Nominal voltage of a lead-acid cell."""

CHARGE_AT_REST: tuple[tuple[float, float], ...] = (
    (11.89, 0.0),
    (12.06, 25.0),
    (12.24, 50.0),
    (12.45, 75.0),
    (12.65, 100.0),
)
"""Rest voltage of six lead-acid cells with liquid acid, V, against state of charge, %; customary, from memory."""

CAUTION = (
    "Goggles on, rings off, insulated tools: charging batteries give off hydrogen, acid blinds, and a spanner across "
    "the posts burns to the bone. A swollen, hot or smelling battery is left alone and its charging stopped from "
    "outside; lithium cells are for the maker's agent. The maker's data stand above every figure here."
)

_SOURCES_DIFFER_V = 0.1
_METER_V = 0.02
_CRANKING_PCT = 2.5


@method(
    name="Rest voltage from the acid's density",
    what_for="Hydrometer and voltmeter tested against each other.",
    symbols={
        "specific_gravity": "of the acid at 25 °C",
        "cells": "in series, a count",
        "result": "V",
    },
    limits="Lead-acid with liquid acid, at rest for hours; a rule of thumb, to about 0.1 V a battery of six cells.",
    source="rule of thumb: each cell gives 0.845 V and the specific gravity",
    standing="common practice",
    text="memory",
    defer=CAUTION,
)
def rest_voltage_v(specific_gravity: float, cells: int = 6) -> float:
    """Cells times gravity and 0.845.

    Args:
        specific_gravity: 1.0 to 1.4.
        cells: 1 or more.

    Returns:
        V.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(rest_voltage_v(1.265), 2)
    12.66
    """
    if not 1.0 <= specific_gravity <= 1.4 or cells < 1:
        raise ValueError(
            "Acid has a specific gravity from 1.0 to 1.4, and a battery a cell or more; "
            f"{specific_gravity:g} and {cells} were given."
        )
    return cells * (specific_gravity + 0.845)


@method(
    name="State of charge from rest voltage",
    what_for="How full a battery is.",
    symbols={
        "rest_v": "V after hours without charge or load",
        "cells": "in series, a count",
        "result": "% of full, 0 to 100",
    },
    limits=(
        "Lead-acid with liquid acid near 25 °C, rested 6 to 24 hours; surface charge misleads by up to 0.3 V, gel and "
        "mat batteries read higher, and lithium iron phosphate tells nothing. Not a measure of capacity."
    ),
    source="customary table of rest voltage, read between its rows; sources differ by up to 0.1 V",
    standing="common practice",
    text="memory",
    defer=CAUTION,
)
def charge_pct(rest_v: float, cells: int = 6) -> float:
    """Between the rows of the customary table, and at its ends beyond them.

    Args:
        rest_v: V; above 0.
        cells: 1 or more.

    Returns:
        Per cent, 0 to 100.

    Raises:
        ValueError: The voltage is not above zero, or there is no cell.

    >>> charge_pct(12.24), charge_pct(12.9), charge_pct(11.0)
    (50.0, 100.0, 0.0)
    """
    above_zero(rest_v=rest_v, cells=cells)
    of_six_v = rest_v * 6 / cells
    volts = [each for each, _ in CHARGE_AT_REST]
    above = bisect_left(volts, of_six_v)
    if above in (0, len(volts)):
        return CHARGE_AT_REST[max(0, above - 1)][1] if above else 0.0
    (low_v, low), (high_v, high) = CHARGE_AT_REST[above - 1], CHARGE_AT_REST[above]
    return low + (high - low) * (of_six_v - low_v) / (high_v - low_v)


@method(
    name="Share of a rating",
    what_for="Capacity or cranking current measured against the figure on the case.",
    symbols={
        "measured": "Ah or A",
        "rated": "same unit",
        "result": "% of rated",
    },
    limits=(
        "By the same rule as the rating: hours of discharge, temperature, standard of cranking. A conductance tester "
        "compares with the rating on the case and measures no capacity."
    ),
    source="definition",
    standing="common practice",
    text="read",
)
def rated_pct(measured: float, rated: float) -> float:
    """Measured over rated.

    Args:
        measured: Ah or A; 0 or more.
        rated: Same unit; above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> rated_pct(80, 100)
    80.0
    """
    above_zero(rated=rated)
    not_below_zero(measured=measured)
    return 100 * measured / rated


@method(
    name="Hydrogen from a charge",
    what_for="How much gas a charge makes that no longer fills the battery.",
    symbols={
        "charge_ah": "into full cells, Ah",
        "cells": "in series, a count",
        "temperature_c": "of the gas, °C",
        "result": "L at one atmosphere",
    },
    limits="All of the charge making gas: the end of charging, or overcharge. Flammable from 4 % in air (from memory).",
    source="Faraday's law and the ideal gas",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def hydrogen_l(charge_ah: float, cells: int, temperature_c: float = 25.0) -> float:
    """Half a mole of gas for each mole of charge, at the temperature.

    Args:
        charge_ah: Ah; 0 or more.
        cells: 1 or more.
        temperature_c: Above -273.15 °C.

    Returns:
        L.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(hydrogen_l(1, 1), 3)
    0.456
    """
    above_zero(cells=cells, kelvin=temperature_c + ZERO_C_K)
    not_below_zero(charge_ah=charge_ah)
    moles = cells * charge_ah * 3600 / (2 * FARADAY_C_PER_MOL)
    return 1000 * moles * GAS_J_PER_MOL_K * (temperature_c + ZERO_C_K) / ATMOSPHERE_PA


@method(
    name="Air for charging",
    what_for="The change of air that keeps a charging battery's gas thin.",
    symbols={
        "cells": "in series, a count",
        "gas_ma_per_ah": "current that makes gas, mA for each Ah",
        "capacity_ah": "Ah",
        "result": "m³/h",
    },
    limits=(
        "A rule for stationary batteries, on boats a screen. Gas currents: liquid acid 5 on float and 20 at boost, "
        "sealed 1 and 8."
    ),
    source="form of IEC 62485-2",
    standing="standard",
    text="memory",
    defer=CAUTION,
)
def charging_air_m3_per_h(cells: int, gas_ma_per_ah: float, capacity_ah: float) -> float:
    """0.05 m³/h for each cell and ampere that makes gas.

    Args:
        cells: 1 or more.
        gas_ma_per_ah: mA/Ah; 0 or more.
        capacity_ah: Ah; 0 or more.

    Returns:
        m³/h.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(charging_air_m3_per_h(6, 20, 200), 2)
    1.2
    """
    above_zero(cells=cells)
    not_below_zero(gas_ma_per_ah=gas_ma_per_ah, capacity_ah=capacity_ah)
    return 0.05 * cells * gas_ma_per_ah * capacity_ah / 1000


@method(
    name="Vent openings for charging",
    what_for="The free opening in, and as much out, that lets the air through by itself.",
    symbols={"air_m3_per_h": "change of air, m³/h", "result": "cm² each, in and out"},
    limits="Free area behind grilles, low in and high out on opposite sides. A rule for stationary batteries.",
    source="form of IEC 62485-2",
    standing="standard",
    text="memory",
    defer=CAUTION,
)
def vent_opening_cm2(air_m3_per_h: float) -> float:
    """28 cm² for each m³/h.

    Args:
        air_m3_per_h: m³/h; 0 or more.

    Returns:
        cm².

    Raises:
        ValueError: The air is negative.

    >>> round(vent_opening_cm2(1.2), 1)
    33.6
    """
    not_below_zero(air_m3_per_h=air_m3_per_h)
    return 28 * air_m3_per_h


@method(
    name="Voltage as of six cells",
    what_for="A battery of any number of cells against the figures for one of six.",
    symbols={"read_v": "V", "cells": "in series, a count", "result": "V"},
    limits="Lead-acid; cells alike.",
    source="definition: in proportion to the cells",
    standing="common practice",
    text="read",
)
def of_six_cells_v(read_v: float, cells: int) -> float:
    """The voltage in proportion.

    Args:
        read_v: V.
        cells: 1 or more.

    Returns:
        V.

    Raises:
        ValueError: There is no cell.

    >>> of_six_cells_v(25.2, 12)
    12.6
    """
    above_zero(cells=cells)
    return read_v * 6 / cells


@method(
    name="Drain with everything off",
    what_for="What empties a battery while nobody is aboard.",
    symbols={"current_a": "A, either way round", "result": "mA"},
    limits="Switches off, chargers and shore supply off, and some minutes after the last was switched.",
    source="definition",
    standing="common practice",
    text="read",
)
def drain_ma(current_a: float) -> float:
    """The current without its sign, since a clamp or a lead may sit either way round.

    Args:
        current_a: A.

    Returns:
        mA, 0 or more.

    >>> drain_ma(-0.065)
    65.0
    """
    return 1000 * abs(current_a)


@dataclass(frozen=True, slots=True, kw_only=True)
class RestVoltage:
    """A lead-acid battery's voltage at rest, V, given as of six cells."""

    place: Place
    of_six_v: float
    used: tuple[str, ...]


def rest_voltages(survey: Survey) -> tuple[RestVoltage, ...]:
    """The batteries that were read at rest, in the order they were read."""
    return tuple(
        RestVoltage(
            place=each.place,
            of_six_v=of_six_cells_v(each.value, _cells(each)),
            used=(each.entry,),
        )
        for each in measured(survey, "voltage", *PARTS, uncertainty=_METER_V)
        if each.value > 0 and _is_rested(each)
    )


def results(survey: Survey) -> tuple[Result, ...]:
    """One result for each voltage, current and capacity read on a battery."""
    drained = (PARTS[0], PARTS[1], LITHIUM)
    return (
        *map(_of_voltage, measured(survey, "voltage", *PARTS, LITHIUM, uncertainty=_METER_V)),
        *map(_of_current, measured(survey, "current", *drained, uncertainty=0.0)),
        *map(_of_capacity, measured(survey, "capacity", PARTS[0], uncertainty=0.0)),
    )


def _of_voltage(volts: Measured) -> Result:
    name, what = "batteries.charge_pct", f"state of charge of {place_words(volts.place)}"
    if volts.place.part == LITHIUM:
        why = (
            "The voltage of a lithium battery says little; its maker's data and its display decide."
        )
        return unsaid(name, what, "%", [volts], why, CAUTION)
    if volts.value <= 0:
        return unsaid(name, what, "%", [volts], "It reads nothing: dead, disconnected or reversed.")
    if _is_load_test(volts):
        return _of_six_cells(volts, "load test", "batteries-load-test")
    if not _is_rested(volts):
        if says(volts, "charging") or volts.place.part == "charging-sources":
            return _of_charging(volts)
        why = "Whether the battery had rested, was charging or stood under load was not noted."
        return unsaid(name, what, "%", [volts], why)
    cells = _cells(volts)
    (empty_v, _), (full_v, full) = CHARGE_AT_REST[0], CHARGE_AT_REST[-1]
    doubt_v = hypot(rectangular_u(_SOURCES_DIFFER_V), of_six_cells_v(volts.uncertainty, cells))
    return judged(
        name,
        what,
        charge_pct(volts.value, cells),
        doubt_v * full / (full_v - empty_v),
        criteria()["batteries-half-charged"],
        [volts],
        tuple(_rest_caveats(volts, cells)),
    )


def _is_load_test(volts: Measured) -> bool:
    return "load test" in volts.named


def _is_rested(volts: Measured) -> bool:
    if _is_load_test(volts):
        return False
    return says(volts, "rest", "rested") or volts.place.part == "trial-rest-readings"


def _rest_caveats(volts: Measured, cells: int) -> Iterator[str]:
    yield f"{volts.value:g} V, taken as {cells} cells of lead-acid with liquid acid."
    if says(volts, "gel", "agm", "mat"):
        yield "Gel and mat batteries read higher, so it is less full than this."
    yield "A voltage tells the charge, not the capacity: an old battery reads as well as a new one."
    yield CAUTION


def _of_charging(volts: Measured) -> Result:
    low, high = (criteria()[f"batteries-charging-{each}"] for each in ("low", "high"))
    is_low = of_six_cells_v(volts.value, _cells(volts)) < (low.limit + high.limit) / 2
    return _of_six_cells(volts, "charging", (low if is_low else high).id)


def _of_six_cells(volts: Measured, at: str, limit: str) -> Result:
    cells = _cells(volts)
    return judged(
        "batteries.of_six_cells_v",
        f"voltage of {_at(place_words(volts.place), at)}",
        of_six_cells_v(volts.value, cells),
        of_six_cells_v(volts.uncertainty, cells),
        criteria()[limit],
        [volts],
        [f"{volts.value:g} V, taken as {cells} cells and given as for six.", CAUTION],
    )


def _at(words: str, what: str) -> str:
    """Words with what was going on, unless they say it themselves."""
    return words if what in words.casefold() else f"{words}, {what}"


def _cells(volts: Measured) -> int:
    """Cells in series by the nominal voltage noted, else the customary one that the reading is nearest to."""
    nominal_v = volts.original
    if not nominal_v or nominal_v < CELL_V:
        nominal_v = next((each for each, to in ((12, 18), (24, 36)) if volts.value < to), 48)
    return round(nominal_v / CELL_V)


def _of_current(current: Measured) -> Result:
    if says(current, "cranking", "conductance"):
        return _of_rating(current, "cranking current", "batteries-cranking", _CRANKING_PCT)
    what = f"current drawn from {place_words(current.place)}"
    if not says(current, "off", "rest"):
        why = "Whether everything was off, or cranking was tested, was not noted."
        return unsaid("batteries.drain_ma", what, "mA", [current], why)
    said = ["Alarms, clocks and bilge switches draw a little; ask what else.", CAUTION]
    drain, doubt = drain_ma(current.value), drain_ma(current.uncertainty)
    limit = criteria()["batteries-drain"]
    return judged("batteries.drain_ma", what, drain, doubt, limit, [current], said)


def _of_capacity(capacity: Measured) -> Result:
    return _of_rating(capacity, "capacity", "batteries-capacity", 0.0)


def _of_rating(read: Measured, of: str, limit: str, doubt_pct: float) -> Result:
    what = f"{of} of {place_words(read.place)}"
    if not read.original or read.original < 0:
        why = "The rating on the case, which it is compared with, was not noted."
        return unsaid("batteries.rated_pct", what, "%", [read], why)
    doubt = max(doubt_pct, 100 * read.uncertainty / read.original)
    said = [f"{read.value:g} of {read.original:g} rated.", CAUTION]
    share = rated_pct(max(0.0, read.value), read.original)
    return judged("batteries.rated_pct", what, share, doubt, criteria()[limit], [read], said)
