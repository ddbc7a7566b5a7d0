"""Water through an opening below the waterline, against what the boat's pumps were seen to move.

A "diameter" on a part of the openings, with station and level, is the bore that would let water in if the fitting
failed; a "flow" on a bilge pump is what a bucket and a watch gave at its outlet, rated flow being that of a pump
without hose or lift. The boat is taken as upright and not yet sunk: as she settles the flow grows.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import pi, sqrt

from garboard.boat.hull import Hull
from garboard.methods.bounds import not_below_zero
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import Measured, above_zero, judged, measured, unlimited, unsaid
from garboard.methods.result import Criterion, Result
from garboard.methods.uncertainty import rectangular_u
from garboard.methods.zone import place_words, shell_of
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey

GRAVITY_M_PER_S2 = 9.80665

SHARP_EDGED = 0.6
"""Discharge coefficient of a hole with a sharp edge; 0.8 of a short pipe, 0.5 or less with hose or debris in it."""

OPENINGS = (
    "skin-fitting",
    "seacock",
    "sea-hose",
    "transducer",
    "raw-water-intake",
    "heads-connections",
    "hull-drain",
    "exhaust-outlet",
)
PUMPS = ("electric-bilge-pump", "manual-bilge-pump")

CAUTION = (
    "Bilge pumps are meant for ordinary bilge water, not for damage: a plug tied beside each opening, valves that "
    "shut and an alarm buy the time. Nothing is drawn, loosened or tried afloat without the owner's consent and a "
    "plug to hand."
)

_COEFFICIENTS = (0.5, 0.8)
_BORE_MM = 1.0
_FLOW_L_PER_MIN = 1.0
_HYDRAULICS = "Torricelli's law with a discharge coefficient, any textbook of hydraulics"


@method(
    name="Speed of water through a hole",
    what_for="How fast water comes in at a depth.",
    symbols={"depth_m": "of the hole below the water outside, m", "result": "m/s"},
    limits="Steady water, the hole small against its depth; speed without loss.",
    source="Torricelli's law, standard gravity 9.80665 m/s²",
    standing="common practice",
    text="read",
)
def inflow_speed_m_per_s(depth_m: float) -> float:
    """Root of twice gravity times depth.

    Args:
        depth_m: m; 0 or more.

    Returns:
        m/s.

    Raises:
        ValueError: The depth is negative.

    >>> round(inflow_speed_m_per_s(0.5), 3)
    3.132
    """
    not_below_zero(depth_m=depth_m)
    return sqrt(2 * GRAVITY_M_PER_S2 * depth_m)


@method(
    name="Inflow through an opening",
    what_for="How much water a failed fitting lets in.",
    symbols={
        "diameter_mm": "bore, mm",
        "depth_m": "below the water outside, m",
        "coefficient": "discharge coefficient, 0.5 to 0.8 as a rule",
        "result": "L/min",
    },
    limits=(
        "The boat's sinking and heel are left out; both raise the flow. The coefficient alone makes the figure "
        "doubtful from -17 to +33 %."
    ),
    source=_HYDRAULICS,
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def inflow_l_per_min(diameter_mm: float, depth_m: float, coefficient: float = SHARP_EDGED) -> float:
    """Coefficient times area times speed.

    Args:
        diameter_mm: Bore, mm; 0 or more.
        depth_m: m; 0 or more.
        coefficient: Above 0, at most 1.

    Returns:
        L/min.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(inflow_l_per_min(38, 0.5), 1)
    127.9
    """
    not_below_zero(diameter_mm=diameter_mm)
    area_m2 = pi * (diameter_mm / 1000) ** 2 / 4
    return _checked(coefficient) * area_m2 * inflow_speed_m_per_s(depth_m) * 60_000


@method(
    name="Time to flood a compartment",
    what_for="How long a compartment takes to fill from the hole up to the water outside.",
    symbols={
        "diameter_mm": "bore, mm",
        "depth_m": "of the hole below the water outside, m",
        "plan_m2": "plan area of the compartment, m²",
        "coefficient": "discharge coefficient",
        "result": "s",
    },
    limits="A compartment of constant plan area that stays where it is; a sinking boat fills faster.",
    source="integral of Torricelli's law over a falling head",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def fill_time_s(
    diameter_mm: float, depth_m: float, plan_m2: float, coefficient: float = SHARP_EDGED
) -> float:
    """Twice the volume up to the water outside over the inflow at the start.

    Args:
        diameter_mm: Bore, mm; above 0.
        depth_m: m; above 0.
        plan_m2: m²; 0 or more.
        coefficient: Above 0, at most 1.

    Returns:
        s.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(fill_time_s(38, 0.5, 2.0))
    939
    """
    above_zero(diameter_mm=diameter_mm, depth_m=depth_m)
    not_below_zero(plan_m2=plan_m2)
    at_first_m3_per_s = inflow_l_per_min(diameter_mm, depth_m, coefficient) / 60_000
    return 2 * plan_m2 * depth_m / at_first_m3_per_s


@method(
    name="Largest opening the pumps hold",
    what_for="The bore whose inflow the pumps just keep up with.",
    symbols={
        "capacity_l_per_min": "what the pumps move, L/min",
        "depth_m": "of the opening below the water outside, m",
        "coefficient": "discharge coefficient",
        "result": "mm",
    },
    limits="With the flow measured at the outlet, and while battery or arm lasts.",
    source="inflow through an opening, solved for the bore",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def opening_held_mm(
    capacity_l_per_min: float, depth_m: float, coefficient: float = SHARP_EDGED
) -> float:
    """The bore of equal flow.

    Args:
        capacity_l_per_min: L/min; 0 or more.
        depth_m: m; above 0.
        coefficient: Above 0, at most 1.

    Returns:
        mm.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(opening_held_mm(30, 0.5), 1)
    18.4
    """
    above_zero(depth_m=depth_m)
    not_below_zero(capacity_l_per_min=capacity_l_per_min)
    return sqrt(capacity_l_per_min / inflow_l_per_min(1.0, depth_m, coefficient))


@method(
    name="Flow by bucket and watch",
    what_for="What a pump really moves with its own hose and lift.",
    symbols={"litres": "caught at the outlet, L", "seconds": "s", "result": "L/min"},
    limits="Charging off, the battery as it would be at the berth; often half to two thirds of the rated flow.",
    source="definition",
    standing="common practice",
    text="read",
)
def flow_l_per_min(litres: float, seconds: float) -> float:
    """Volume over time.

    Args:
        litres: L; 0 or more.
        seconds: s; above 0.

    Returns:
        L/min.

    Raises:
        ValueError: The volume is negative or the time not above zero.

    >>> flow_l_per_min(10, 30)
    20.0
    """
    above_zero(seconds=seconds)
    not_below_zero(litres=litres)
    return 60 * litres / seconds


def pump_limit(length_m: float) -> Criterion:
    """What a bilge pump should move at least on a hull of a length.

    Raises:
        ValueError: The length is not above zero, or above the 24 m that the limits reach to.
    """
    above_zero(length_m=length_m)
    if length_m > 24:
        raise ValueError(f"The limits for bilge pumps end at 24 m; {length_m:g} m was given.")
    if length_m <= 6:
        return criteria()["flooding-pump-to-6-m"]
    return criteria()["flooding-pump-to-12-m" if length_m < 12 else "flooding-pump-from-12-m"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """An opening through the hull: its bore, mm, and its depth below the water as she floats upright, m."""

    place: Place
    bore_mm: float
    depth_m: float
    used: tuple[str, ...]


def openings(survey: Survey) -> tuple[Opening, ...]:
    """The openings whose depth is known from where they lie, in the order they were read."""
    hull = shell_of(survey)
    if hull is None:
        return ()
    found = []
    for each in _bores(survey):
        try:
            depth_m = _depth_m(hull, each)
        except ValueError:
            continue
        if each.value > 0:
            found.append(
                Opening(place=each.place, bore_mm=each.value, depth_m=depth_m, used=(each.entry,))
            )
    return tuple(found)


def pumped_l_per_min(survey: Survey) -> tuple[float, tuple[str, ...]] | None:
    """What the pumps together were measured to move, L/min, with its entries; None where none was measured."""
    pumps = _pumps(survey)
    if not pumps:
        return None
    return sum(each.value for each in pumps), tuple(dict.fromkeys(each.entry for each in pumps))


def results(survey: Survey) -> tuple[Result, ...]:
    """The flow of each pump against what her length asks for, and the inflow each opening would give."""
    pumps = _pumps(survey)
    hull = shell_of(survey)
    return (
        *(_of_pump(survey, pump) for pump in pumps),
        *(_of_opening(hull, opening, pumps) for opening in _bores(survey)),
    )


def _pumps(survey: Survey) -> tuple[Measured, ...]:
    return measured(survey, "flow", *PUMPS, uncertainty=_FLOW_L_PER_MIN)


def _bores(survey: Survey) -> tuple[Measured, ...]:
    return measured(survey, "diameter", *OPENINGS, uncertainty=_BORE_MM)


def _depth_m(hull: Hull, opening: Measured) -> float:
    """Raises a ValueError where the place does not tell it."""
    return -hull.point_of(opening.place)[2]


def _of_pump(survey: Survey, pump: Measured) -> Result:
    what = f"flow of {place_words(pump.place)}"
    length_m = survey.boat.loa_m if survey.boat else None
    if not length_m:
        why = "The length of the hull is not known, and the flow asked for goes by it."
        return unsaid("flooding.flow_l_per_min", what, "L/min", [pump], why)
    try:
        limit = pump_limit(length_m)
    except ValueError as problem:
        return unsaid("flooding.flow_l_per_min", what, "L/min", [pump], str(problem))
    said = [
        f"As measured, for a hull of {length_m:g} m.",
        "By hand: at 45 strokes a minute or fewer." if pump.place.part == PUMPS[1] else "",
        "On an older boat a benchmark, no breach.",
        CAUTION,
    ]
    value, doubt = pump.value, pump.uncertainty
    return judged("flooding.flow_l_per_min", what, value, doubt, limit, [pump], said)


def _of_opening(hull: Hull | None, opening: Measured, pumps: Sequence[Measured]) -> Result:
    name, what = "flooding.inflow_l_per_min", f"inflow if {place_words(opening.place)} failed"
    if hull is None:
        why = "The boat's main dimensions do not suffice to tell how deep the opening lies."
        return unsaid(name, what, "L/min", [opening], why)
    try:
        depth_m = _depth_m(hull, opening)
    except ValueError as problem:
        return unsaid(name, what, "L/min", [opening], str(problem))
    if depth_m <= 0:
        said = ["It lies above the water as she floats upright; heeled or laden it may not."]
        return unlimited(name, what, 0.0, "L/min", 0.0, [opening], [*said, CAUTION])
    inflow = inflow_l_per_min(opening.value, depth_m)
    low, high = _COEFFICIENTS
    spread = rectangular_u((high - low) / 2) / SHARP_EDGED
    said = [
        f"{opening.value:g} mm at {depth_m:.2f} m below the water, the depth taken from a schematic hull.",
        f"From {inflow * low / SHARP_EDGED:.0f} to {inflow * high / SHARP_EDGED:.0f} L/min with the shape of the hole.",
        *_against(inflow, depth_m, pumps),
        CAUTION,
    ]
    return unlimited(name, what, inflow, "L/min", spread * inflow, [opening, *pumps], said)


def _against(inflow: float, depth_m: float, pumps: Sequence[Measured]) -> Iterator[str]:
    if not pumps:
        yield "What the bilge pumps move was not measured."
        return
    moved = sum(each.value for each in pumps)
    held = opening_held_mm(moved, depth_m)
    keeps = "keep up with that" if moved >= inflow else "do not keep up with that"
    yield (
        f"The pumps together were measured at {moved:g} L/min and {keeps}; at this depth they hold an opening of "
        f"{held:.0f} mm."
    )


def _checked(coefficient: float) -> float:
    if not 0 < coefficient <= 1:
        raise ValueError(
            f"A discharge coefficient is above 0 and at most 1; {coefficient:g} was given."
        )
    return coefficient
