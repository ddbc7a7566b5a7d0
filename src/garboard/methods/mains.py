"""Shore power and mains on board: trip times of residual-current devices and insulation, as an electrician gave them.

A "time" on the mains' parts is a trip time in seconds; its set's scale or name gives the test current as a multiple
of the rated one ("1 ×", "5 ×") and, for a time-delayed device, the word "selective". A "resistance" whose place or
set speaks of insulation is in ohm, and the scale gives the test voltage ("500 V"). Nothing here is measured by
opening live gear.
"""

import re

from garboard.methods.bounds import not_below_zero
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import Measured, judged, measured, unsaid
from garboard.methods.noted import says
from garboard.methods.result import Criterion, Result
from garboard.methods.zone import place_words
from garboard.notebook.fold import Survey

PARTS = ("shore-supply", "ac-distribution", "generator")
"""The parts whose insulation and trip times are judged here."""

CAUTION = (
    "Mains voltage kills, and leakage kills swimmers near the boat: leakage or a missing earth means disconnect at "
    "the pontoon, tell the yard, nobody in the water. Testing, and every cover, is for a qualified electrician to "
    "local rules; an inverter keeps circuits live with the shore lead out."
)

_METER_MS = 2.0
_METER_RATIO = 0.05
_MULTIPLE = re.compile(r"(\d+(?:\.\d+)?)\s*(?:×|x\b|times\b)")
_VOLTS = re.compile(r"(\d+)\s*v\b")


@method(
    name="Trip time",
    what_for="How long a residual-current device lets a fault stand.",
    symbols={"time_s": "s", "result": "ms"},
    limits=(
        "Both half-waves, since the slower one counts. The device's own button proves the mechanism, not the time."
    ),
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def trip_ms(time_s: float) -> float:
    """The time in the unit of its limits.

    Args:
        time_s: s; 0 or more.

    Returns:
        ms.

    Raises:
        ValueError: The time is negative.

    >>> round(trip_ms(0.028))
    28
    """
    not_below_zero(time_s=time_s)
    return 1000 * time_s


@method(
    name="Insulation of the mains",
    what_for="Whether line and neutral are kept from the earth, and from each other.",
    symbols={"read_ohm": "ohm", "result": "Mohm"},
    limits="Supply off, electronics and surge arresters disconnected: the test voltage destroys them.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def insulation_mohm(read_ohm: float) -> float:
    """The resistance in the unit of its limits.

    Args:
        read_ohm: ohm; 0 or more.

    Returns:
        Megohm.

    Raises:
        ValueError: The resistance is negative.

    >>> insulation_mohm(2e6)
    2.0
    """
    not_below_zero(read_ohm=read_ohm)
    return read_ohm / 1e6


def trip_limits(multiple: float, *, is_selective: bool) -> tuple[Criterion, ...]:
    """The limits of a trip time at a multiple of the rated current: at most, and of a selective device at least.

    Args:
        multiple: Of the rated residual current; limits are held for 1 and 5, and for 2 of the general type.
        is_selective: Whether the device is delayed on purpose.

    Raises:
        ValueError: No limit is held for the multiple.
    """
    kind = "selective" if is_selective else "general"
    ids = [f"mains-trip-{kind}-{multiple:g}", f"mains-trip-{kind}-{multiple:g}-least"]
    found = tuple(criteria()[each] for each in ids if each in criteria())
    if not found:
        half = " Below its rating a device must not trip at half of it." if multiple < 1 else ""
        raise ValueError(
            f"No limit is held for the {kind} type at {multiple:g} times its rating.{half}"
        )
    return found


def results(survey: Survey) -> tuple[Result, ...]:
    """One result for each trip time and each insulation reading of the mains."""
    times = measured(survey, "time", *PARTS, uncertainty=_METER_MS / 1000)
    ohms = measured(survey, "resistance", *PARTS, uncertainty=0.0)
    return (
        *map(_of_time, times),
        *(_of_insulation(each) for each in ohms if says(each, "insulation")),
    )


def _of_time(time: Measured) -> Result:
    what = f"trip time of the residual-current device at {place_words(time.place)}"
    stated = _MULTIPLE.search(_noted(time))
    if stated is None:
        why = "The test current, as a multiple of the rated one, was not noted."
        return unsaid("mains.trip_ms", what, "ms", [time], why, CAUTION)
    multiple = float(stated[1])
    at = "at the rated current" if multiple == 1 else f"at {multiple:g} times the rated current"
    what = f"{what}, {at}"
    try:
        limits = trip_limits(multiple, is_selective=says(time, "selective"))
        value = trip_ms(time.value)
    except ValueError as problem:
        return unsaid("mains.trip_ms", what, "ms", [time], str(problem), CAUTION)
    said = [
        "The multiple of the current and its waveform decide which limit holds.",
        CAUTION,
    ]
    middle = sum(each.limit for each in limits) / len(limits)
    limit = limits[-1] if value < middle else limits[0]
    return judged("mains.trip_ms", what, value, 1000 * time.uncertainty, limit, [time], said)


def _of_insulation(ohms: Measured) -> Result:
    what = f"insulation of the mains at {place_words(ohms.place)}"
    stated = _VOLTS.search(_noted(ohms))
    limit = criteria().get(f"mains-insulation-{stated[1]}-v") if stated else None
    if limit is None:
        why = "The test voltage, 500 V or for extra-low voltage 250 V, was not noted."
        return unsaid("mains.insulation_mohm", what, "Mohm", [ohms], why, CAUTION)
    value = insulation_mohm(max(0.0, ohms.value))
    doubt = ohms.uncertainty / 1e6 or _METER_RATIO * value
    said = [f"At {stated[1]} V." if stated else "", CAUTION]
    return judged("mains.insulation_mohm", what, value, doubt, limit, [ohms], said)


def _noted(read: Measured) -> str:
    return f"{read.scale} {read.named}".casefold()
