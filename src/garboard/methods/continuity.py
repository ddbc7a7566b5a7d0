"""Continuity: the resistance from one bonded thing to another, and insulation to the hull.

A reading goes from its place to what `to` names. A set whose mode speaks of insulation is judged as such: there
a high resistance is the good one.
"""

from collections import defaultdict
from collections.abc import Sequence
from math import hypot
from statistics import fmean

from garboard.methods.campaign import latest
from garboard.methods.climate import conditions_for
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.instrument import uncertainty_of
from garboard.methods.mains import PARTS as MAINS_PARTS
from garboard.methods.result import Criterion, Result, verdict_of
from garboard.methods.zone import place_words, touched_words
from garboard.notebook.body import Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

USUAL_UNCERTAINTY_OHM = 0.1
"""Standard uncertainty of an ordinary meter's zero with its leads; common practice."""

# Of a hand meter, in proportion to what it reads; common practice.
_METER_RATIO = 0.01

CAUTION = (
    "Battery and shore power off before measuring; faults of mains and shore power are for a qualified marine "
    "electrician. Nobody in the water near a boat or pontoon on shore power."
)


@method(
    name="Resistance without the leads",
    what_for="Take the meter's own leads out of a small resistance.",
    symbols={"read_ohm": "ohm", "leads_ohm": "leads held together, ohm", "result": "ohm"},
    limits="Two-wire meters do not resolve below about 0.2 ohm; use four wires or a known current.",
    source="common practice",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def without_leads_ohm(read_ohm: float, leads_ohm: float) -> float:
    """The reading less that of the leads; not below 0.

    Args:
        read_ohm: As read, ohm; 0 or more.
        leads_ohm: With the tips held together, ohm; 0 or more.

    Returns:
        ohm, 0 or more.

    Raises:
        ValueError: A resistance is negative.

    >>> round(without_leads_ohm(0.5, 0.3), 1)
    0.2
    """
    if read_ohm < 0 or leads_ohm < 0:
        raise ValueError(
            f"A resistance is 0 ohm or more; {read_ohm:g} and {leads_ohm:g} were given."
        )
    return max(0.0, read_ohm - leads_ohm)


@method(
    name="Voltage lost in a bond",
    what_for="What a bond's resistance takes from the little that drives an anode.",
    symbols={"current_a": "A", "resistance_ohm": "ohm", "result": "mV"},
    limits="Steady current; an anode has about 200 mV to spend in all.",
    source="Ohm's law",
    standing="common practice",
    text="read",
)
def bond_drop_mv(current_a: float, resistance_ohm: float) -> float:
    """Current times resistance.

    Args:
        current_a: Through the bond, A.
        resistance_ohm: Of the bond, ohm; 0 or more.

    Returns:
        mV.

    Raises:
        ValueError: The resistance is negative.

    >>> bond_drop_mv(0.1, 1.0)
    100.0
    """
    if resistance_ohm < 0:
        raise ValueError(f"A resistance is 0 ohm or more; {resistance_ohm:g} was given.")
    return 1000 * current_a * resistance_ohm


@method(
    name="Resistance of a copper lead",
    what_for="What a bonding lead of this length should measure.",
    symbols={"length_m": "m", "section_mm2": "of copper, mm²", "result": "ohm"},
    limits="Sound copper at 20 °C; joints come on top and usually matter more.",
    source="resistivity of copper, 0.0172 ohm mm²/m",
    standing="common practice",
    text="read",
)
def copper_lead_ohm(length_m: float, section_mm2: float) -> float:
    """Resistivity times length over section.

    Args:
        length_m: m; 0 or more.
        section_mm2: Of copper, mm²; above 0.

    Returns:
        ohm.

    Raises:
        ValueError: The length is negative or the section not above zero.

    >>> round(copper_lead_ohm(10, 8), 4)
    0.0215
    """
    if length_m < 0 or section_mm2 <= 0:
        raise ValueError(
            "A lead has a length of 0 m or more and a section above 0; "
            f"{length_m:g} m of {section_mm2:g} mm² was given."
        )
    return 0.0172 * length_m / section_mm2


@method(
    name="Leakage through insulation",
    what_for="The current that a resistance to the hull lets through.",
    symbols={"voltage_v": "V", "resistance_ohm": "ohm", "result": "mA"},
    limits="Direct current; battery disconnected and all loads off for the resistance.",
    source="Ohm's law",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def leakage_ma(voltage_v: float, resistance_ohm: float) -> float:
    """Voltage over resistance.

    Args:
        voltage_v: Of the battery, V.
        resistance_ohm: To the hull or the bonding, ohm; above 0.

    Returns:
        mA.

    Raises:
        ValueError: The resistance is not above zero.

    >>> round(leakage_ma(12.6, 1000), 1)
    12.6
    """
    if resistance_ohm <= 0:
        raise ValueError(f"Insulation has a resistance above zero; {resistance_ohm:g} was given.")
    return 1000 * voltage_v / resistance_ohm


@method(
    name="Resistance between two things",
    what_for="Whether two things are bonded, from readings with the meter's tips both ways round.",
    symbols={"readings_ohm": "ohm, either way round", "result": "ohm"},
    limits=(
        "Ashore: afloat the boat's own galvanic voltage upsets an ohmmeter. Bright metal at both ends; the "
        "contact counts for more than the lead."
    ),
    source="common practice: both polarities, and their mean",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def between_ohm(readings_ohm: Sequence[float]) -> float:
    """Mean of the readings of one pair.

    Args:
        readings_ohm: `(n,)` readings, ohm; at least one, 0 or more each.

    Returns:
        ohm.

    Raises:
        ValueError: There is no reading, or one is negative.

    >>> round(between_ohm((0.3, 0.5)), 1)
    0.4
    """
    if not readings_ohm or min(readings_ohm) < 0:
        raise ValueError(
            f"A bond needs readings of 0 ohm or more; {tuple(readings_ohm)} were given."
        )
    return fmean(readings_ohm)


def results(survey: Survey) -> tuple[Result, ...]:
    """One result for each pair of things measured, whichever way round."""
    return tuple(
        result for entry in latest(survey, "resistance") for result in _of_set(survey, entry)
    )


def _of_set(survey: Survey, entry: Entry[ReadingSet]) -> tuple[Result, ...]:
    pairs: dict[frozenset[str], list[Reading]] = defaultdict(list)
    for reading in entry.body.readings:
        # Insulation of the mains has limits of its own, in `mains`.
        if reading.place.part in MAINS_PARTS:
            continue
        pairs[frozenset((_plain(place_words(reading.place)), _plain(reading.to)))].append(reading)
    is_insulation = "insulation" in entry.body.mode.casefold()
    zero_ohm = uncertainty_of(survey, entry.body.instrument, USUAL_UNCERTAINTY_OHM)
    why_not = _why_not(survey, entry)
    return tuple(
        _of_pair(entry, readings, zero_ohm, why_not, is_insulation) for readings in pairs.values()
    )


def _of_pair(
    entry: Entry[ReadingSet],
    readings: Sequence[Reading],
    zero_ohm: float,
    why_not: str,
    is_insulation: bool,
) -> Result:
    first = readings[0]
    kind = "insulation" if is_insulation else "resistance"
    other = first.to.strip() or "something not named"
    what = f"{kind} from {touched_words(first.place)} to {other}"
    if not first.to.strip():
        why_not = "What the other tip touched was not noted."
    if why_not:
        return Result(
            method="continuity.between_ohm",
            what=what,
            value=None,
            unit="ohm",
            verdict="cannot say",
            used=(entry.id,),
            place=first.place,
            caveats=(why_not,),
        )
    value = between_ohm([reading.value for reading in readings])
    doubt = hypot(zero_ohm, _METER_RATIO * value)
    limit = _limit(value, is_insulation)
    return Result(
        method="continuity.between_ohm",
        what=what,
        value=value,
        unit="ohm",
        verdict=verdict_of(value, doubt, limit),
        used=(entry.id,),
        uncertainty=doubt,
        criterion=limit,
        place=first.place,
        caveats=_caveats(readings, value, is_insulation),
    )


def _plain(name: str) -> str:
    """A name without commas and capitals, so that a pair is known whichever way round it was noted."""
    return " ".join(name.replace(",", " ").casefold().split())


def _limit(value: float, is_insulation: bool) -> Criterion:
    """The limit that says most about a value: whether it is a bond at all, or a good one."""
    if is_insulation:
        fault = criteria()["continuity-insulation-fault"]
        return fault if value < fault.limit else criteria()["continuity-insulation"]
    apart = criteria()["continuity-not-bonded"]
    return apart if value > apart.limit else criteria()["continuity-bond"]


def _caveats(readings: Sequence[Reading], value: float, is_insulation: bool) -> tuple[str, ...]:
    if is_insulation:
        return (CAUTION,)
    caveats = []
    if len(readings) == 1:
        caveats.append("Read one way round only.")
    aim = criteria()["continuity-aim"]
    if aim.limit < value <= criteria()["continuity-bond"].limit:
        drop = bond_drop_mv(0.1, value)
        caveats.append(
            f"Above the {aim.limit:g} ohm to aim for: at 0.1 A it takes {drop:.0f} of about 200 mV."
        )
    return (*caveats, CAUTION)


def _why_not(survey: Survey, entry: Entry[ReadingSet]) -> str:
    conditions = conditions_for(survey, entry)
    if conditions is not None and conditions.body.lying == "afloat":
        return "The boat was afloat, where its own galvanic voltage upsets an ohmmeter."
    return ""
