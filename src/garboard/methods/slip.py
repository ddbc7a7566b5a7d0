"""Slip and tip speed: shaft turns, pitch and the boat's speed tested against each other.

"revolutions" on `propeller-shaft` are the shaft's own, and go with a "speed" on `trial-speed-and-power` whose place
has the same words, as "2000 rpm, mean of two ways"; pitch and diameter are those read on the `propeller`. Turns of the
engine say nothing here without the ratio of the gearbox, which no reading holds.
"""

from collections.abc import Iterator, Sequence
from math import hypot, pi
from statistics import fmean

from garboard.boat.units import KNOT_M_PER_S
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import (
    Measured,
    above_zero,
    belonging,
    gear_of,
    judged,
    measured,
    relative,
    unsaid,
)
from garboard.methods.result import Result
from garboard.methods.zone import place_words
from garboard.notebook.fold import Survey

_SPEED_RATIO, _TURNS_RATIO, _PITCH_RATIO = 0.03, 0.02, 0.02
# Standard uncertainties where no instrument states one, working figures.
_SIZE_MM = 1.0


@method(
    name="Speed of the screw",
    what_for="How fast a propeller would screw itself forward without slip.",
    symbols={"shaft_rpm": "of the shaft, rpm", "pitch_mm": "mm", "result": "kn"},
    limits="Shaft turns, not the engine's; measured mean pitch if there is one.",
    source="definition",
    standing="common practice",
    text="read",
)
def advance_kn(shaft_rpm: float, pitch_mm: float) -> float:
    """Pitch times turns.

    Args:
        shaft_rpm: 0 or more.
        pitch_mm: Above 0.

    Returns:
        kn.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(advance_kn(1000, 457.2), 2)
    14.81
    """
    above_zero(pitch_mm=pitch_mm)
    if shaft_rpm < 0:
        raise ValueError(f"Turns are 0 or more; {shaft_rpm:g} rpm was given.")
    return shaft_rpm / 60 * pitch_mm / 1000 / KNOT_M_PER_S


@method(
    name="Apparent slip",
    what_for="A test of turns, ratio, pitch and speed against each other.",
    symbols={
        "speed_kn": "through the water, kn",
        "shaft_rpm": "rpm",
        "pitch_mm": "mm",
        "result": "ratio",
    },
    limits=(
        "Apparent, not true, slip: the wake is left out. Mean of two runs in opposite directions. Out of the usual "
        "band is a question (tachometer, ratio, pitch, fouling, log), never a defect by itself; below zero an input "
        "is wrong."
    ),
    source="definition",
    standing="common practice",
    text="read",
)
def slip_ratio(speed_kn: float, shaft_rpm: float, pitch_mm: float) -> float:
    """What is missing of the speed of the screw.

    Args:
        speed_kn: 0 or more.
        shaft_rpm: Above 0.
        pitch_mm: Above 0.

    Returns:
        Ratio; negative where the boat outruns the screw.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(slip_ratio(10, 1000, 457.2), 3)
    0.325
    """
    above_zero(shaft_rpm=shaft_rpm, pitch_mm=pitch_mm)
    if speed_kn < 0:
        raise ValueError(f"A speed is 0 kn or more; {speed_kn:g} was given.")
    return 1 - speed_kn / advance_kn(shaft_rpm, pitch_mm)


@method(
    name="Standard uncertainty of the slip",
    what_for="What speed, turns and pitch are worth together.",
    symbols={
        "slip": "ratio",
        "speed_u_ratio": "relative standard uncertainty of the speed",
        "turns_u_ratio": "of the turns",
        "pitch_u_ratio": "of the pitch",
        "result": "ratio",
    },
    limits="Independent inputs.",
    source="law of propagation, JCGM 100:2008, 5.1",
    standing="guidance",
    text="second hand",
)
def slip_uncertainty_ratio(
    slip: float, speed_u_ratio: float, turns_u_ratio: float, pitch_u_ratio: float
) -> float:
    """Relative parts by root of squares, times what is not slip.

    Args:
        slip: Ratio.
        speed_u_ratio: 0 or more.
        turns_u_ratio: 0 or more.
        pitch_u_ratio: 0 or more.

    Returns:
        Ratio.

    >>> round(slip_uncertainty_ratio(0.32, 0.03, 0.02, 0.02), 3)
    0.028
    """
    return abs(1 - slip) * hypot(speed_u_ratio, turns_u_ratio, pitch_u_ratio)


@method(
    name="Slip to be expected",
    what_for="A first idea of the slip at a speed.",
    symbols={"speed_kn": "kn", "result": "ratio"},
    limits="A line through many boats; have a surprising one checked.",
    source="Gerr, Propeller Handbook: 1.4 over the 0.57 power of the speed in knots",
    standing="guidance",
    text="memory",
)
def expected_slip_ratio(speed_kn: float) -> float:
    """The handbook's line.

    Args:
        speed_kn: Above 0.

    Returns:
        Ratio.

    Raises:
        ValueError: The speed is not above zero.

    >>> round(expected_slip_ratio(10), 2)
    0.38
    """
    above_zero(speed_kn=speed_kn)
    return float(1.4 / speed_kn**0.57)


@method(
    name="Tip speed",
    what_for="Whether noise and erosion by cavitation are to be expected.",
    symbols={"diameter_mm": "mm", "shaft_rpm": "rpm", "result": "m/s"},
    limits="Round the circle only; the boat's own speed is left out.",
    source="definition",
    standing="common practice",
    text="read",
)
def tip_speed_m_per_s(diameter_mm: float, shaft_rpm: float) -> float:
    """Circumference times turns.

    Args:
        diameter_mm: Above 0.
        shaft_rpm: 0 or more.

    Returns:
        m/s.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(tip_speed_m_per_s(457.2, 1000), 2)
    23.94
    """
    above_zero(diameter_mm=diameter_mm)
    if shaft_rpm < 0:
        raise ValueError(f"Turns are 0 or more; {shaft_rpm:g} rpm was given.")
    return pi * diameter_mm / 1000 * shaft_rpm / 60


def results(survey: Survey) -> tuple[Result, ...]:
    """Slip at each step the shaft's turns were read at, and the tip speed at the fastest."""
    return tuple(_of_turns(survey))


def _of_turns(survey: Survey) -> Iterator[Result]:
    diameters = measured(survey, "diameter", "propeller", uncertainty=_SIZE_MM)
    turns = measured(survey, "revolutions", "propeller-shaft", uncertainty=0.0)
    speeds = measured(survey, "speed", "trial-speed-and-power", uncertainty=0.0)
    pitches = measured(survey, "pitch", "propeller", uncertainty=0.0)
    for each in turns:
        yield _of_slip(survey, each, speeds, pitches)
    fastest_of = {gear_of(each.place): each for each in sorted(turns, key=lambda each: each.value)}
    for gear, fastest in fastest_of.items():
        diameter = belonging(gear, diameters)
        what = f"tip speed of the propeller on {place_words(gear)}"
        if diameter is None:
            why = "The propeller's diameter was not read."
            yield unsaid("slip.tip_speed_m_per_s", what, "m/s", [fastest], why)
            continue
        speed = tip_speed_m_per_s(diameter.value, fastest.value)
        yield judged(
            "slip.tip_speed_m_per_s",
            what,
            speed,
            speed * hypot(relative(fastest, _TURNS_RATIO), diameter.uncertainty / diameter.value),
            criteria()["propeller-tip-speed"],
            [fastest, diameter],
            [f"At {fastest.value:g} rpm, the fastest read on the shaft."],
        )


def _of_slip(
    survey: Survey, turns: Measured, speeds: Sequence[Measured], pitches: Sequence[Measured]
) -> Result:
    what = f"apparent slip of the propeller on {place_words(turns.place)}"
    step = turns.place.words.strip().casefold()
    speed = next((each for each in speeds if each.place.words.strip().casefold() == step), None)
    nearest = belonging(turns.place, pitches)
    own = [
        each
        for each in pitches
        if nearest and each.value > 0 and gear_of(each.place) == gear_of(nearest.place)
    ]
    if speed is None or not own or turns.value <= 0:
        missing = (
            "No speed was read under the same words as the shaft's turns."
            if speed is None
            else "The propeller's pitch was not read, or the shaft did not turn."
        )
        return unsaid("slip.slip_ratio", what, "", [turns], missing)
    pitch = fmean(each.value for each in own)
    slip = slip_ratio(speed.value, turns.value, pitch)
    doubt = slip_uncertainty_ratio(
        slip, relative(speed, _SPEED_RATIO), relative(turns, _TURNS_RATIO), _PITCH_RATIO
    )
    low, high = (criteria()[each] for each in _slip_band(survey))
    said = [
        f"{speed.value:g} kn at {turns.value:g} rpm and {pitch:.0f} mm; usual {low.limit:g} to {high.limit:g}.",
        "Below zero: one of the inputs is wrong." if slip < 0 else "",
        "Apparent slip; speed through the water, mean of two opposite runs.",
    ]
    limit = low if slip < (low.limit + high.limit) / 2 else high
    return judged("slip.slip_ratio", what, slip, doubt, limit, [turns, speed, *own], said)


def _slip_band(survey: Survey) -> tuple[str, str]:
    boat = survey.boat
    kind = "motor"
    if boat is not None and boat.speed == "planing":
        kind = "planing"
    elif boat is not None and boat.rig not in (None, "none"):
        kind = "sailing"
    return f"propeller-slip-{kind}-low", f"propeller-slip-{kind}-high"
