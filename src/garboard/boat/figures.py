"""The figures of the boat: ratios and rules of thumb from her main particulars.

None of them is a defect, and none is a judgement of stability; each carries its source and the words to
print beside it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot, isfinite, log10, sqrt

from garboard.boat.units import FOOT_M, KNOT_M_PER_S, POUND_KG
from garboard.notebook.body import Boat

GRAVITY_M_PER_S2 = 9.806_65
SEA_WATER_KG_PER_M3 = 1025.0
_FOOT3_M3 = FOOT_M**3
_POUNDS_A_CUBIC_FOOT = 64.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure of the boat: what it is, its value and unit, its formula, source and the caution beside it."""

    what: str
    value: float
    unit: str
    formula: str
    source: str
    caution: str = ""


def displacement_length(displacement_kg: float, lwl_m: float) -> float:
    """Displacement in long tons over the cube of a hundredth of the waterline in feet.

    Args:
        displacement_kg: At the stated condition, kg; above 0.
        lwl_m: Waterline length, m; above 0.

    Raises:
        ValueError: A number is not above zero.

    Source:
        Common practice of yacht design; the form is printed in many handbooks.

    >>> round(displacement_length(6000, 9.5), 1)
    195.0
    """
    _above_zero(displacement_kg=displacement_kg, lwl_m=lwl_m)
    return (displacement_kg / POUND_KG / 2240) / float((0.01 * lwl_m / FOOT_M) ** 3)


def sail_area_displacement(sail_area_m2: float, displacement_kg: float) -> float:
    """Sail area in square feet over the two-thirds power of the volume of displacement in cubic feet.

    Args:
        sail_area_m2: Main triangle and the whole fore triangle, m²; above 0.
        displacement_kg: kg; above 0.

    Raises:
        ValueError: A number is not above zero.

    Source:
        Common practice of yacht design (sea water at 64 lb a cubic foot); from memory.

    >>> round(sail_area_displacement(62, 6000), 2)
    19.09
    """
    _above_zero(sail_area_m2=sail_area_m2, displacement_kg=displacement_kg)
    return sail_area_m2 / FOOT_M**2 / float(_volume_ft3(displacement_kg) ** (2 / 3))


def ballast_ratio(ballast_kg: float, displacement_kg: float) -> float:
    """Ballast over displacement; cruising boats usually carry 0.35 to 0.45.

    Raises:
        ValueError: A number is not above zero, or the ballast outweighs the boat.

    Source:
        Definition; the usual range is common practice.

    >>> ballast_ratio(2100, 6000)
    0.35
    """
    _above_zero(ballast_kg=ballast_kg, displacement_kg=displacement_kg)
    if ballast_kg > displacement_kg:
        raise ValueError(
            f"The ballast, {ballast_kg:.0f} kg, outweighs the boat, {displacement_kg:.0f} kg."
        )
    return ballast_kg / displacement_kg


def capsize_screening(beam_m: float, displacement_kg: float) -> float:
    """Beam in feet over the cube root of the volume of displacement in cubic feet; 2.0 or less is wanted offshore.

    Raises:
        ValueError: A number is not above zero.

    Limits:
        Knows beam and weight alone, neither ballast nor form: a screen, not a measure of stability.

    Source:
        Drawn up after the inquiry into the 1979 Fastnet race; as printed in handbooks, read at second hand.

    >>> round(capsize_screening(3.6, 6000), 3)
    1.998
    """
    _above_zero(beam_m=beam_m, displacement_kg=displacement_kg)
    return beam_m / FOOT_M / float(_volume_ft3(displacement_kg) ** (1 / 3))


def motion_comfort(displacement_kg: float, lwl_m: float, loa_m: float, beam_m: float) -> float:
    """Brewer's comfort ratio: weight over an area of waterplane, with beam weighted.

    Raises:
        ValueError: A number is not above zero.

    Source:
        Brewer's ratio with the exponent 4/3, as printed in handbooks; from memory.

    >>> round(motion_comfort(6000, 9.5, 11.2, 3.6), 1)
    23.0
    """
    _above_zero(displacement_kg=displacement_kg, lwl_m=lwl_m, loa_m=loa_m, beam_m=beam_m)
    length_ft = (0.7 * lwl_m + 0.3 * loa_m) / FOOT_M
    return displacement_kg / POUND_KG / (0.65 * length_ft * float((beam_m / FOOT_M) ** (4 / 3)))


def hull_speed_kn(lwl_m: float) -> float:
    """The speed at which the boat's own wave is as long as her waterline, kn.

    Raises:
        ValueError: The length is not above zero.

    Limits:
        No limit for light or planing craft.

    Source:
        1.34 times the root of the waterline in feet: common practice; Froude number about 0.40.

    >>> round(hull_speed_kn(9.5), 2)
    7.48
    """
    _above_zero(lwl_m=lwl_m)
    return 1.34 * sqrt(lwl_m / FOOT_M)


def froude_number(speed_kn: float, lwl_m: float) -> float:
    """Speed over the root of gravity times waterline length.

    Raises:
        ValueError: A number is not above zero.

    Source:
        Definition.

    >>> round(froude_number(8, 9.5), 3)
    0.426
    """
    _above_zero(speed_kn=speed_kn, lwl_m=lwl_m)
    return speed_kn * KNOT_M_PER_S / sqrt(GRAVITY_M_PER_S2 * lwl_m)


def metacentric_height_m(beam_m: float, roll_period_s: float, coefficient: float = 0.80) -> float:
    """Metacentric height from the period of a free roll, m.

    Args:
        beam_m: m; above 0.
        roll_period_s: A full roll, out and back, s; above 0.
        coefficient: Between 0.73 and 1.0 by loading and type; keel yachts with tall masts lie at the upper end.

    Raises:
        ValueError: A number is not above zero.

    Limits:
        Small free roll in calm water with slack moorings; no substitute for an inclining test. A coefficient
        uncertain by 0.05 and a period by 0.1 s in 3 s make the result uncertain by 14 %.

    Source:
        IMO Resolution A.749(18), Annex 3; read at second hand.

    >>> round(metacentric_height_m(3.4, 3.0), 3)
    0.822
    """
    _above_zero(beam_m=beam_m, roll_period_s=roll_period_s, coefficient=coefficient)
    return (coefficient * beam_m / roll_period_s) ** 2


def metacentric_range_m(
    beam_m: float, roll_period_s: float, least: float = 0.75, greatest: float = 1.0
) -> tuple[float, float]:
    """The metacentric heights a free roll allows where the coefficient is not known from a sister, m.

    Args:
        beam_m: m; above 0.
        roll_period_s: A full roll, out and back, s; above 0.
        least: Smallest coefficient that may hold; above 0.
        greatest: Greatest; not below `least`.

    Raises:
        ValueError: A number is not above zero, or the coefficients are the wrong way round.

    >>> tuple(round(each, 2) for each in metacentric_range_m(3.4, 3.0))
    (0.72, 1.28)
    """
    if least > greatest:
        raise ValueError(
            f"The coefficients run from the smaller up; {least:g}, {greatest:g} given."
        )
    return (
        metacentric_height_m(beam_m, roll_period_s, least),
        metacentric_height_m(beam_m, roll_period_s, greatest),
    )


def metacentric_uncertainty_ratio(
    coefficient: float, coefficient_u: float, roll_period_s: float, period_u_s: float
) -> float:
    """Relative standard uncertainty of a metacentric height from the roll.

    Args:
        coefficient: Above 0.
        coefficient_u: Its standard uncertainty; 0.05 is the spread of the published figures.
        roll_period_s: s; above 0.
        period_u_s: Its standard uncertainty, s.

    Raises:
        ValueError: A coefficient or a period is not above zero.

    Source:
        Law of propagation, JCGM 100:2008, 5.1.

    >>> round(metacentric_uncertainty_ratio(0.80, 0.05, 3.0, 0.1), 2)
    0.14
    """
    _above_zero(coefficient=coefficient, roll_period_s=roll_period_s)
    return 2 * hypot(coefficient_u / coefficient, period_u_s / roll_period_s)


def paint_l(area_m2: float, coats: int, coverage_m2_per_l: float) -> float:
    """Paint for an area, litres.

    Args:
        area_m2: m²; above 0.
        coats: 1 or more.
        coverage_m2_per_l: Practical, from the tin, for one coat; above 0.

    Raises:
        ValueError: A number is not above zero.

    Limits:
        What stays in tins, trays and rollers is in a practical coverage, not in a theoretical one.

    >>> round(paint_l(26.7, 2, 9.0), 1)
    5.9
    """
    _above_zero(area_m2=area_m2, coats=coats, coverage_m2_per_l=coverage_m2_per_l)
    return area_m2 * coats / coverage_m2_per_l


def kilograms_a_centimetre(
    lwl_m: float, waterline_beam_m: float, coefficient: float, *, salt: bool = True
) -> float:
    """The weight that sinks the boat by a centimetre, kg/cm.

    Args:
        lwl_m: m; above 0.
        waterline_beam_m: m; above 0.
        coefficient: Of the waterplane: 0.65 to 0.72 sailing, 0.75 to 0.82 motor.
        salt: Sea water at 1025 kg/m³, else fresh at 1000.

    Raises:
        ValueError: A number is not above zero.

    Source:
        Definition; coefficients are common practice.

    >>> round(kilograms_a_centimetre(9.5, 3.0, 0.68), 1)
    198.6
    """
    _above_zero(lwl_m=lwl_m, waterline_beam_m=waterline_beam_m, coefficient=coefficient)
    return coefficient * lwl_m * waterline_beam_m * (SEA_WATER_KG_PER_M3 if salt else 1000.0) / 100


def gross_tonnage_international(enclosed_m3: float) -> float:
    """Gross tonnage from the volume of all enclosed spaces.

    Raises:
        ValueError: The volume is not above zero.

    Limits:
        The convention applies from 24 m length.

    Source:
        International Convention on Tonnage Measurement of Ships, 1969, regulation 3; 46 CFR 69.57 (read).

    >>> round(gross_tonnage_international(100), 2)
    24.0
    """
    _above_zero(enclosed_m3=enclosed_m3)
    return (0.2 + 0.02 * log10(enclosed_m3)) * enclosed_m3


def gross_tonnage_simplified(
    length_m: float,
    breadth_m: float,
    depth_m: float,
    *,
    sailing: bool,
    keel_in_depth: bool = False,
    barge: bool = False,
) -> float:
    """Gross register tonnage by the simplified measurement of the United States, for a single hull.

    Args:
        length_m: Overall length, m; above 0.
        breadth_m: Overall breadth, m; above 0.
        depth_m: Overall depth, m; above 0.
        sailing: Designed for sailing, else a ship-shaped motor boat.
        keel_in_depth: The depth of a sailing hull includes her keel.
        barge: A motor boat shaped like a barge.

    Raises:
        ValueError: A number is not above zero.

    Limits:
        A deck structure as large as the hull is added by its own volume; not done here. No rounding.

    Source:
        46 CFR 69.209; read in quotation.

    >>> round(gross_tonnage_simplified(12.8016, 4.2672, 2.1336, sailing=False), 2)
    27.58
    """
    _above_zero(length_m=length_m, breadth_m=breadth_m, depth_m=depth_m)
    sail, motor = (0.375 if keel_in_depth else 0.50), (0.84 if barge else 0.67)
    factor = sail if sailing else motor
    return factor * length_m * breadth_m * depth_m / _FOOT3_M3 / 100


def net_tonnage_simplified(
    gross_tons: float, *, sailing: bool, engine_in_hull: bool = True
) -> float:
    """Net register tonnage by the simplified measurement of the United States.

    Args:
        gross_tons: Gross by the same measurement, register tons; above 0.
        sailing: Designed for sailing.
        engine_in_hull: Whether propelling machinery stands in the hull.

    Raises:
        ValueError: The gross tonnage is not above zero.

    Limits:
        No rounding.

    Source:
        Form of the United States Coast Guard to 46 CFR 69, subpart E; read.

    >>> round(net_tonnage_simplified(15.0, sailing=True), 2)
    13.5
    """
    _above_zero(gross_tons=gross_tons)
    if not engine_in_hull:
        return gross_tons
    return gross_tons * (0.9 if sailing else 0.8)


def thames_measurement(length_m: float, beam_m: float) -> float:
    """Thames Measurement tonnage.

    Args:
        length_m: Stem to sternpost on deck, m; above the beam.
        beam_m: Extreme beam, m; above 0.

    Raises:
        ValueError: A number is not above zero, or the boat is wider than long.

    Source:
        The rule of 1855, (L − B)·B²/188 in feet; read in an encyclopaedia.

    >>> round(thames_measurement(36 * 0.3048, 10.5 * 0.3048), 2)
    14.95
    """
    _above_zero(length_m=length_m, beam_m=beam_m, length_beyond_beam_m=length_m - beam_m)
    return (length_m - beam_m) * beam_m**2 / _FOOT3_M3 / 188


# Of a later boat nobody asks for her tonnage by the rule of 1855; a working figure.
_THAMES_LAST_YEAR = 1970


def figures_of(boat: Boat) -> tuple[Figure, ...]:
    """The figures that the stated particulars allow and that serve such a boat, in the order of print.

    Particulars that are missing, or not above zero, leave their figures out, as does a boat of another kind than
    they were made for.
    """
    return tuple(figure for make in _FIGURES if (figure := _stated(make, boat)) is not None)


def _stated(make: Callable[[Boat], Figure], boat: Boat) -> Figure | None:
    try:
        return make(boat)
    except ValueError:
        return None


def _displacement_length(boat: Boat) -> Figure:
    return Figure(
        what="displacement/length ratio",
        value=displacement_length(boat.displacement_kg or 0, boat.lwl_m or 0),
        unit="",
        formula="(displacement in long tons) / (0.01 × waterline in feet)³",
        source="common practice of yacht design",
    )


def _sail_area_displacement(boat: Boat) -> Figure:
    return Figure(
        what="sail area/displacement ratio",
        value=sail_area_displacement(boat.sail_area_m2 or 0, boat.displacement_kg or 0),
        unit="",
        formula="(sail area in ft²) / (displacement in lb / 64)^(2/3)",
        source="common practice of yacht design; from memory",
        caution="Sail area as stated; meant are the main triangle and the whole fore triangle.",
    )


def _ballast_ratio(boat: Boat) -> Figure:
    return Figure(
        what="ballast ratio",
        value=ballast_ratio(boat.ballast_kg or 0, boat.displacement_kg or 0),
        unit="",
        formula="ballast / displacement",
        source="definition",
        caution="Says nothing of how low the ballast lies.",
    )


def _capsize_screening(boat: Boat) -> Figure:
    if not (boat.sail_area_m2 or boat.ballast_kg or boat.rig not in (None, "none")):
        raise ValueError(f"Capsize screening is for sailing boats; {boat.name} carries no sail.")
    return Figure(
        what="capsize screening",
        value=capsize_screening(boat.beam_m or 0, boat.displacement_kg or 0),
        unit="",
        formula="(beam in ft) / (displacement in lb / 64)^(1/3)",
        source="drawn up after the inquiry into the 1979 Fastnet race; read at second hand",
        caution="Knows beam and weight alone, neither ballast nor form; not a measure of stability.",
    )


def _only_of_displacement(boat: Boat, figure: str) -> None:
    """Refuse a figure made for boats that stay in the water for one that is built to plane.

    Where her speed is not stated, a motorboat driven as planing boats are is taken for one.
    """
    is_driven_so = boat.rig == "none" and boat.drive in ("sterndrive", "outboard", "jet")
    if boat.speed == "planing" or (boat.speed is None and is_driven_so):
        raise ValueError(f"{figure} is for boats that do not plane; {boat.name} is built to.")


def _motion_comfort(boat: Boat) -> Figure:
    _only_of_displacement(boat, "Motion comfort")
    return Figure(
        what="motion comfort ratio",
        value=motion_comfort(
            boat.displacement_kg or 0, boat.lwl_m or 0, boat.loa_m or 0, boat.beam_m or 0
        ),
        unit="",
        formula="(displacement in lb) / (0.65 × (0.7 waterline + 0.3 length) × beam^(4/3)), feet",
        source="Brewer’s ratio, as printed in handbooks; from memory",
        caution="Compares boats of one kind; it is no promise of comfort.",
    )


def _hull_speed(boat: Boat) -> Figure:
    _only_of_displacement(boat, "Hull speed")
    return Figure(
        what="hull speed",
        value=hull_speed_kn(boat.lwl_m or 0),
        unit="kn",
        formula="1.34 × √(waterline in ft)",
        source="common practice",
        caution="No limit for light craft.",
    )


def _thames_measurement(boat: Boat) -> Figure:
    if boat.year is None or boat.year > _THAMES_LAST_YEAR:
        raise ValueError(
            f"Thames Measurement is met in the papers of old yachts; {boat.name} is not known to be one."
        )
    return Figure(
        what="Thames Measurement",
        value=thames_measurement(boat.loa_m or 0, boat.beam_m or 0),
        unit="tons",
        formula="(length − beam) × beam² / 188, feet",
        source="the rule of 1855; read in an encyclopaedia",
        caution="Worked on the length of hull; the rule measures from stem to sternpost on deck.",
    )


_FIGURES = (
    _displacement_length,
    _sail_area_displacement,
    _ballast_ratio,
    _capsize_screening,
    _motion_comfort,
    _hull_speed,
    _thames_measurement,
)


def _volume_ft3(displacement_kg: float) -> float:
    return displacement_kg / POUND_KG / _POUNDS_A_CUBIC_FOOT


def _above_zero(**values: float) -> None:
    for name, value in values.items():
        if not (value > 0 and isfinite(value)):
            raise ValueError(f"{name} must be above zero; it is {value}.")
