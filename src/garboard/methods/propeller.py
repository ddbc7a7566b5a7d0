"""The propeller in figures: pitch and sizes, sameness of the blades, balance and clearances.

Pure arithmetic on one propeller; `blades` applies it to a survey, `slip` goes with it.
"""

from collections.abc import Mapping, Sequence
from math import atan, degrees, hypot, pi
from statistics import fmean
from types import MappingProxyType
from typing import Literal

from garboard.methods.declaration import method
from garboard.methods.measured import above_zero

Class = Literal["s", "i", "ii", "iii"]

CAUTION = (
    "Engine isolated, key out and a tag on the panel before a hand touches the propeller; blades have sharp edges. "
    "Straightening and welding are for a propeller workshop."
)
HAND_RATIO = 0.014
"""Relative standard uncertainty of a pitch by drop and arc, 0.25 mm in 25.4 and 0.2° in 20°; computed."""

_ISO = "ISO 484-2:1981, as two propeller makers' public summaries give it"
_CORRECTION: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"s": (15.0, 0.0005), "i": (25.0, 0.001), "ii": (40.0, 0.001), "iii": (75.0, 0.001)}
)


# Pitch and sizes


@method(
    name="Pitch from a drop",
    what_for="The pitch of a blade at one radius, from how far it falls over an arc.",
    symbols={"drop_mm": "axial drop, mm", "arc_deg": "arc it falls over, °", "result": "mm"},
    limits="Pressure face, one radius; a cupped edge raises the working pitch and is not in it.",
    source="geometry of the helix",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def pitch_from_drop_mm(drop_mm: float, arc_deg: float) -> float:
    """Drop over the arc's share of a turn.

    Args:
        drop_mm: Axial, mm; above 0.
        arc_deg: Above 0, at most 360.

    Returns:
        mm.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(pitch_from_drop_mm(25.4, 20), 1)
    457.2
    """
    above_zero(drop_mm=drop_mm, arc_deg=arc_deg)
    if arc_deg > 360:
        raise ValueError(f"An arc is at most 360°; {arc_deg:g}° was given.")
    return 360 * drop_mm / arc_deg


@method(
    name="Blade angle",
    what_for="The angle of the face at a radius, to set or read a protractor by.",
    symbols={"pitch_mm": "mm", "radius_mm": "mm", "result": "°"},
    limits="At that radius only.",
    source="geometry of the helix",
    standing="common practice",
    text="read",
)
def blade_angle_deg(pitch_mm: float, radius_mm: float) -> float:
    """Arc tangent of pitch over circumference.

    Args:
        pitch_mm: Above 0.
        radius_mm: Above 0.

    Returns:
        Degrees from the plane of the disc.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(blade_angle_deg(457.2, 160.02), 2)
    24.45
    """
    above_zero(pitch_mm=pitch_mm, radius_mm=radius_mm)
    return degrees(atan(pitch_mm / (2 * pi * radius_mm)))


@method(
    name="Standard uncertainty of a pitch from a drop",
    what_for="Whether a pitch measured by hand can be held against a class at all.",
    symbols={
        "drop_mm": "mm",
        "drop_u_mm": "standard uncertainty, mm",
        "arc_deg": "°",
        "arc_u_deg": "standard uncertainty, °",
        "result": "% of the pitch",
    },
    limits="Drop and arc independent.",
    source="law of propagation, JCGM 100:2008, 5.1",
    standing="guidance",
    text="second hand",
)
def pitch_uncertainty_pct(
    drop_mm: float, drop_u_mm: float, arc_deg: float, arc_u_deg: float
) -> float:
    """Relative parts of drop and arc, by root of squares.

    Args:
        drop_mm: mm; above 0.
        drop_u_mm: mm; 0 or more.
        arc_deg: °; above 0.
        arc_u_deg: °; 0 or more.

    Returns:
        Per cent of the pitch.

    Raises:
        ValueError: Drop or arc is not above zero.

    >>> round(pitch_uncertainty_pct(25.4, 0.25, 20, 0.2), 1)
    1.4
    """
    above_zero(drop_mm=drop_mm, arc_deg=arc_deg)
    return 100 * hypot(drop_u_mm / drop_mm, arc_u_deg / arc_deg)


@method(
    name="Departure from nominal",
    what_for="How far a pitch or a size is from what it should be.",
    symbols={"nominal": "mm", "found": "mm", "result": "% of the nominal"},
    limits="The pitch stamped on a hub is nominal, and may be that before a change of pitch.",
    source="definition",
    standing="common practice",
    text="read",
)
def departure_pct(nominal: float, found: float) -> float:
    """Difference over the nominal.

    Args:
        nominal: As made, mm; above 0.
        found: As read or mean, mm; 0 or more.

    Returns:
        Per cent; positive where more was found.

    Raises:
        ValueError: The nominal is not above zero, or what was found is negative.

    >>> departure_pct(400, 406)
    1.5
    """
    above_zero(nominal=nominal)
    if found < 0:
        raise ValueError(f"A size is 0 mm or more; {found:g} was given.")
    return 100 * (found - nominal) / nominal


@method(
    name="Tolerance on a size",
    what_for="What a class allows where it sets per cent and a least number of millimetres.",
    symbols={
        "nominal_mm": "mm",
        "share_pct": "% of the nominal",
        "least_mm": "mm that are allowed in any case",
        "result": "mm, either way",
    },
    limits=(
        "A tolerance of making, not of service; diameters of 0.80 to 2.50 m. For pitch the standard has least "
        "millimetres too, which are not known here."
    ),
    source=_ISO,
    standing="standard",
    text="second hand",
    defer="The standard's own text and a propeller workshop.",
)
def allowed_mm(nominal_mm: float, share_pct: float, least_mm: float = 0.0) -> float:
    """The share of the nominal, or the least millimetres where those are more.

    Args:
        nominal_mm: Above 0.
        share_pct: 0 or more.
        least_mm: 0 or more.

    Returns:
        mm.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(allowed_mm(457.2, 0.75), 2), allowed_mm(200, 2, 10)
    (3.43, 10)
    """
    above_zero(nominal_mm=nominal_mm)
    if share_pct < 0 or least_mm < 0:
        raise ValueError(
            f"A tolerance is 0 or more; {share_pct:g} % and {least_mm:g} mm were given."
        )
    return max(nominal_mm * share_pct / 100, least_mm)


@method(
    name="Spread of the blades",
    what_for="Whether the blades are alike: what shakes a boat is one blade unlike the others.",
    symbols={"means": "mean pitch of each blade, mm", "result": "% of their mean"},
    limits="Blades read at the same radii. For folding and feathering blades sameness is all that can be judged.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def spread_pct(means: Sequence[float]) -> float:
    """Greatest less least, over the mean.

    Args:
        means: `(n,)` of each blade; two or more, above 0.

    Returns:
        Per cent, 0 or more.

    Raises:
        ValueError: Fewer than two blades, or one not above zero.

    >>> round(spread_pct((396, 400, 404)), 6)
    2.0
    """
    if len(means) < 2 or min(means) <= 0:
        raise ValueError(
            f"A spread needs two blades or more, each above zero; {tuple(means)} were given."
        )
    return 100 * (max(means) - min(means)) / fmean(means)


@method(
    name="Blades evenly set",
    what_for="How far the angle from one blade to the next is from even.",
    symbols={"angle_deg": "°", "blades": "number", "result": "°, without sign"},
    limits="Blades locked where they fold or feather.",
    source=_ISO,
    standing="standard",
    text="second hand",
)
def uneven_deg(angle_deg: float, blades: int) -> float:
    """Difference from a full turn shared among the blades.

    Args:
        angle_deg: From one blade to the next; 0 to 360.
        blades: Two or more.

    Returns:
        Degrees, 0 or more.

    Raises:
        ValueError: An argument is out of its range.

    >>> uneven_deg(121.5, 3)
    1.5
    """
    if not 0 <= angle_deg <= 360 or blades < 2:
        raise ValueError(
            f"Blades stand 0 to 360° apart and are two or more; {angle_deg:g}° and {blades} were given."
        )
    return abs(angle_deg - 360 / blades)


@method(
    name="Residual mass of static balance",
    what_for="The most that may still hang at the tip after static balancing.",
    symbols={
        "mass_kg": "of the propeller, kg",
        "radius_m": "m",
        "shaft_rpm": "rpm",
        "grade": "class s, i, ii or iii",
        "result": "g at the tip",
    },
    limits="Solid propellers in a workshop; have it checked there.",
    source="ISO 484-2: lesser of C M / (R n²) and K M",
    standing="standard",
    text="memory",
    defer="The standard's own text and a propeller workshop.",
)
def residual_g(mass_kg: float, radius_m: float, shaft_rpm: float, grade: Class) -> float:
    """The lesser of the two rules.

    Args:
        mass_kg: Above 0.
        radius_m: Above 0.
        shaft_rpm: Above 0.
        grade: One of the four.

    Returns:
        g.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(residual_g(25, 0.2286, 1000, "i"), 2)
    2.73
    """
    above_zero(mass_kg=mass_kg, radius_m=radius_m, shaft_rpm=shaft_rpm)
    if grade not in _CORRECTION:
        raise ValueError(f'A class is one of s, i, ii and iii, not "{grade}".')
    by_speed, by_mass = _CORRECTION[grade]
    return 1000 * min(by_speed * mass_kg / (radius_m * shaft_rpm**2), by_mass * mass_kg)


@method(
    name="Play of the blades",
    what_for="How far folding or feathering blades rock on their pins, to compare them with each other.",
    symbols={"readings_mm": "at the tips, mm", "result": "mm, the greatest"},
    limits="No limit is published: the maker's figure decides, and one blade unlike the others is looked into.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def blade_play_mm(readings_mm: Sequence[float]) -> float:
    """The greatest reading.

    Args:
        readings_mm: `(n,)` mm; one or more, 0 or more each.

    Returns:
        mm.

    Raises:
        ValueError: There is no reading, or one is negative.

    >>> blade_play_mm((4.0, 6.0))
    6.0
    """
    if not readings_mm or min(readings_mm) < 0:
        raise ValueError(f"Play needs readings of 0 mm or more; {tuple(readings_mm)} were given.")
    return max(readings_mm)


# Clearances


@method(
    name="Clearance in diameters",
    what_for="The gap at the blade tips as a share of the propeller.",
    symbols={"gap_mm": "mm", "diameter_mm": "of the propeller, mm", "result": "% of the diameter"},
    limits="The least gap of any blade; engine mounts and a rubber bearing let the tip move.",
    source="definition",
    standing="common practice",
    text="read",
)
def clearance_pct(gap_mm: float, diameter_mm: float) -> float:
    """Gap over diameter.

    Args:
        gap_mm: 0 or more.
        diameter_mm: Above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(clearance_pct(74, 610), 1)
    12.1
    """
    above_zero(diameter_mm=diameter_mm)
    if gap_mm < 0:
        raise ValueError(f"A clearance is 0 mm or more; {gap_mm:g} was given.")
    return 100 * gap_mm / diameter_mm


@method(
    name="Class factor of tip clearance",
    what_for="What a ship's rule would ask for above and ahead of a propeller, to see which of its rules governs.",
    symbols={
        "length_m": "m",
        "block": "block coefficient",
        "power_kw": "kW",
        "twin": "two screws",
        "result": "K, of the diameter",
    },
    limits="Written for ships; for small craft its least percentages govern, and it is a recommendation.",
    source="Lloyd's Register Rules for Ships, July 2000, Part 3, Chapter 6, Table 6.7.2",
    standing="class rule",
    text="read",
    defer="A naval architect.",
)
def class_clearance_ratio(
    length_m: float, block: float, power_kw: float, *, twin: bool = False
) -> float:
    """The rule's factor K.

    Args:
        length_m: Above 0.
        block: Above 0, at most 1.
        power_kw: On one shaft; above 0.
        twin: Whether there are two.

    Returns:
        K.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(class_clearance_ratio(12, 0.4, 60), 4)
    0.0915
    """
    above_zero(length_m=length_m, block=block, power_kw=power_kw)
    if block > 1:
        raise ValueError(f"A block coefficient is at most 1; {block:g} was given.")
    factor = 2.56 if twin else 3.48
    return (0.1 + length_m / 3050) * (factor * block * power_kw / length_m**2 + 0.3)
