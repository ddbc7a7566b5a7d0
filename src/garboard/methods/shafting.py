"""The propeller shaft in figures: strength, whirling, wear and clearance, run-out, alignment of its coupling.

Pure arithmetic on one shaft; `stern_gear` applies it to a survey.
"""

from collections.abc import Mapping, Sequence
from math import pi, sqrt
from types import MappingProxyType

from garboard.methods.declaration import method
from garboard.methods.measured import above_zero

CAUTION = (
    "Engine isolated, key out and a tag on the panel before shaft or propeller is turned or lifted; keep hands from "
    "coupling and bracket."
)
DEFER = "The makers of engine, bearing and seal, the standard's own text, and a naval architect for the shaft."

STAINLESS_PA, STAINLESS_KG_PER_M3 = 193.05e9, 7889.0
"""Modulus and density taken for a shaft of stainless steel (28 million psi, 0.285 lb/in³); bronze is less stiff."""

# Clearances of new bearings, by shaft diameter in mm: from, to, least, most.
_FITTED_MM = ((19.0, 44.0, 0.08, 0.18), (50.0, 52.0, 0.13, 0.25), (63.0, 65.0, 0.13, 0.28))
_BLADE_SHARE: Mapping[str, Mapping[int, float]] = MappingProxyType(
    {
        "high-strength stainless": MappingProxyType({2: 18.1, 3: 17.5, 4: 16.3}),
        "bronze or nickel-copper": MappingProxyType({2: 14.5, 3: 14.0, 4: 13.1}),
    }
)

# Strength


@method(
    name="Torque of a shaft",
    what_for="What the engine turns the shaft with.",
    symbols={"power_kw": "at the shaft, kW", "shaft_rpm": "rpm", "result": "N m"},
    limits="Power at the shaft; some 0.96 of the engine's is left behind the gearbox (ABYC P-6, seen quoted).",
    source="definition of power",
    standing="common practice",
    text="read",
)
def torque_nm(power_kw: float, shaft_rpm: float) -> float:
    """Power over angular speed.

    Args:
        power_kw: Above 0.
        shaft_rpm: Above 0.

    Returns:
        N m.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(torque_nm(300, 1050), 1)
    2728.4
    """
    above_zero(power_kw=power_kw, shaft_rpm=shaft_rpm)
    return 60000 * power_kw / (2 * pi * shaft_rpm)


@method(
    name="Shaft diameter for a power",
    what_for="Whether a shaft is plausible for the engine.",
    symbols={
        "power_kw": "at the shaft, kW",
        "shaft_rpm": "rpm",
        "torsion_mpa": "yield in torsion, MPa; two thirds of that in tension for steels and nickel alloys",
        "factor": "of safety; 2 light petrol, 3 average yacht, 3.5 to 4 long range, more for hard service",
        "result": "mm",
    },
    limits=(
        "Solid round shaft in torsion alone: no bending, misalignment or corrosion; not for carbon or hollow shafts. "
        "30 % in power, factor or strength is 9 % in diameter. A screen, not a calculation of strength."
    ),
    source="torsion of a round bar, with factors as an extract of the Boat Mechanical Systems Handbook gives them",
    standing="guidance",
    text="read",
    defer=DEFER,
)
def shaft_mm(power_kw: float, shaft_rpm: float, torsion_mpa: float, factor: float = 3.0) -> float:
    """The diameter whose surface reaches the yield at so many times the torque.

    Args:
        power_kw: Above 0.
        shaft_rpm: Above 0.
        torsion_mpa: Above 0.
        factor: Above 0.

    Returns:
        mm.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(shaft_mm(300, 1050, 482), 1)
    44.2
    """
    above_zero(torsion_mpa=torsion_mpa, factor=factor)
    return float(
        (16 * factor * 1000 * torque_nm(power_kw, shaft_rpm) / (pi * torsion_mpa)) ** (1 / 3)
    )


@method(
    name="Strength a shaft asks for",
    what_for="The yield in torsion that a shaft of this size needs, to hold against its certificate.",
    symbols={
        "power_kw": "at the shaft, kW",
        "shaft_rpm": "rpm",
        "diameter_mm": "of the shaft, mm",
        "factor": "of safety",
        "result": "MPa, yield in torsion",
    },
    limits="As the diameter for a power, turned round.",
    source="torsion of a round bar",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def strength_needed_mpa(
    power_kw: float, shaft_rpm: float, diameter_mm: float, factor: float = 3.0
) -> float:
    """Shear at the surface under the torque, times the factor.

    Args:
        power_kw: Above 0.
        shaft_rpm: Above 0.
        diameter_mm: Above 0.
        factor: Above 0.

    Returns:
        MPa.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(strength_needed_mpa(300, 1050, 44.22))
    482
    """
    above_zero(diameter_mm=diameter_mm, factor=factor)
    return 16 * factor * 1000 * torque_nm(power_kw, shaft_rpm) / (pi * diameter_mm**3)


@method(
    name="Shaft diameter from the propeller",
    what_for="A rule of thumb to see that a shaft suits its propeller.",
    symbols={
        "propeller_mm": "diameter of the propeller, mm",
        "blades": "2, 3 or 4",
        "material": "of the shaft",
        "result": "mm",
    },
    limits="A rule of thumb for usual propellers.",
    source="an extract of the Boat Mechanical Systems Handbook",
    standing="guidance",
    text="read",
    defer=DEFER,
)
def shaft_by_propeller_mm(propeller_mm: float, blades: int, material: str) -> float:
    """The propeller's diameter over a number by blades and metal.

    Args:
        propeller_mm: Above 0.
        blades: 2 to 4.
        material: "high-strength stainless" or "bronze or nickel-copper".

    Returns:
        mm.

    Raises:
        ValueError: The diameter is not above zero, or blades or material are not in the rule.

    >>> round(shaft_by_propeller_mm(610, 4, "high-strength stainless"), 1)
    37.4
    """
    above_zero(propeller_mm=propeller_mm)
    share = _BLADE_SHARE.get(material, {}).get(blades)
    if share is None:
        raise ValueError(
            f"The rule knows 2 to 4 blades and shafts of {' or of '.join(_BLADE_SHARE)}; "
            f'{blades} blades and "{material}" were given.'
        )
    return propeller_mm / share


@method(
    name="Class shaft diameter",
    what_for="What a ship's rule would ask for, to compare.",
    symbols={
        "power_kw": "kW",
        "shaft_rpm": "rpm",
        "tensile_mpa": "tensile strength, MPa; more than 600 counts as 600",
        "k": "1.22 flanged or keyless, 1.26 with a key",
        "result": "mm",
    },
    limits="Ships: far heavier than the practice of yachts. Never a limit for one.",
    source="IACS UR M68",
    standing="class rule",
    text="memory",
    defer=DEFER,
)
def class_shaft_mm(power_kw: float, shaft_rpm: float, tensile_mpa: float, k: float = 1.26) -> float:
    """The rule's cube root.

    Args:
        power_kw: Above 0.
        shaft_rpm: Above 0.
        tensile_mpa: Above 0.
        k: Above 0.

    Returns:
        mm.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(class_shaft_mm(300, 1050, 600, 1.22), 1)
    72.6
    """
    above_zero(power_kw=power_kw, shaft_rpm=shaft_rpm, tensile_mpa=tensile_mpa, k=k)
    strength = min(tensile_mpa, 600.0)
    return float(100 * k * (power_kw / shaft_rpm * 560 / (strength + 160)) ** (1 / 3))


# Spacing and whirl


@method(
    name="First whirling speed",
    what_for="The turns at which a shaft between two bearings bows out by itself.",
    symbols={
        "span_m": "between bearings, m",
        "diameter_mm": "mm",
        "modulus_pa": "modulus of elasticity, Pa",
        "density_kg_per_m3": "kg/m³",
        "result": "rpm",
    },
    limits="Plain shaft, both ends pinned; water round it, an overhung propeller and soft bearings lower it.",
    source="first bending frequency of a pinned beam",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def whirl_rpm(
    span_m: float,
    diameter_mm: float,
    modulus_pa: float = STAINLESS_PA,
    density_kg_per_m3: float = STAINLESS_KG_PER_M3,
) -> float:
    """The first critical speed of a pinned round bar.

    Args:
        span_m: Above 0.
        diameter_mm: Above 0.
        modulus_pa: Above 0.
        density_kg_per_m3: Above 0.

    Returns:
        rpm.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(whirl_rpm(2.220, 44.45))
    1051
    """
    above_zero(
        span_m=span_m,
        diameter_mm=diameter_mm,
        modulus_pa=modulus_pa,
        density_kg_per_m3=density_kg_per_m3,
    )
    stiffness = modulus_pa * (diameter_mm / 1000) ** 2 / (16 * density_kg_per_m3)
    return 60 * pi / (2 * span_m**2) * sqrt(stiffness)


@method(
    name="Length that whirls",
    what_for="The distance of bearings at which a shaft would whirl at its fastest.",
    symbols={
        "shaft_rpm": "rpm",
        "diameter_mm": "mm",
        "modulus_pa": "Pa",
        "density_kg_per_m3": "kg/m³",
        "result": "m",
    },
    limits="No margin in it: 0.8 of it is the method's own figure.",
    source="first bending frequency of a pinned beam; the form of ABYC P-6 comes to the same (from memory)",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def whirl_length_m(
    shaft_rpm: float,
    diameter_mm: float,
    modulus_pa: float = STAINLESS_PA,
    density_kg_per_m3: float = STAINLESS_KG_PER_M3,
) -> float:
    """The span whose first whirling speed is this.

    Args:
        shaft_rpm: Above 0.
        diameter_mm: Above 0.
        modulus_pa: Above 0.
        density_kg_per_m3: Above 0.

    Returns:
        m.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(whirl_length_m(1050, 44.45), 2)
    2.22
    """
    above_zero(shaft_rpm=shaft_rpm)
    return sqrt(whirl_rpm(1.0, diameter_mm, modulus_pa, density_kg_per_m3) / shaft_rpm)


@method(
    name="Span against the length that whirls",
    what_for="How near a shaft comes to whirling at its fastest.",
    symbols={
        "span_m": "between bearings, m",
        "shaft_rpm": "rpm",
        "diameter_mm": "mm",
        "result": "1 at the first whirling speed",
    },
    limits="Plain stainless steel with pinned ends; bronze whirls earlier.",
    source="first bending frequency of a pinned beam",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def whirl_ratio(span_m: float, shaft_rpm: float, diameter_mm: float) -> float:
    """Span over the length that whirls.

    Args:
        span_m: Above 0.
        shaft_rpm: Above 0.
        diameter_mm: Above 0.

    Returns:
        Ratio.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(whirl_ratio(1.776, 1050, 44.45), 2)
    0.8
    """
    above_zero(span_m=span_m)
    return span_m / whirl_length_m(shaft_rpm, diameter_mm)


@method(
    name="Spacing of shaft bearings",
    what_for="The distance of two bearings in shaft diameters.",
    symbols={"span_m": "m", "shaft_mm": "mm", "result": "diameters"},
    limits="A first look; the whirling speed tells more.",
    source="definition",
    standing="common practice",
    text="read",
)
def spacing_diameters(span_m: float, shaft_mm: float) -> float:
    """Span over diameter.

    Args:
        span_m: Above 0.
        shaft_mm: Above 0.

    Returns:
        Diameters.

    Raises:
        ValueError: An argument is not above zero.

    >>> spacing_diameters(1.2, 30)
    40.0
    """
    above_zero(span_m=span_m, shaft_mm=shaft_mm)
    return 1000 * span_m / shaft_mm


# Bearings, run-out and coupling


@method(
    name="Wear of a shaft bearing",
    what_for="The clearance of a bearing in terms of its shaft.",
    symbols={"clearance_mm": "on the diameter, mm", "shaft_mm": "mm", "result": "% of the shaft"},
    limits=(
        "Say whether ashore, wet, propeller on. A tight, misaligned shaft shows no play; wear on one side is "
        "alignment; rubber that has let go of its shell can look new, and swells in oil."
    ),
    source="definition",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def wear_pct(clearance_mm: float, shaft_mm: float) -> float:
    """Clearance over shaft diameter.

    Args:
        clearance_mm: 0 or more.
        shaft_mm: Above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> wear_pct(1.2, 40)
    3.0
    """
    above_zero(shaft_mm=shaft_mm)
    if clearance_mm < 0:
        raise ValueError(f"A clearance is 0 mm or more; {clearance_mm:g} was given.")
    return 100 * clearance_mm / shaft_mm


@method(
    name="Clearance of a new bearing",
    what_for="What a water-lubricated bearing is fitted with.",
    symbols={"shaft_mm": "mm", "result": "least and most, mm on the diameter"},
    limits=(
        "As fitted, not a limit of wear. Sizes between those published are not filled in. For 38 mm another copy of "
        "the same table gives 0.10 to 0.23 mm."
    ),
    source="ABYC P-6, as a builder's procedure of 1978 and owners quote it",
    standing="standard",
    text="second hand",
    defer=DEFER,
)
def fitted_mm(shaft_mm: float) -> tuple[float, float]:
    """The published clearance for a shaft.

    Args:
        shaft_mm: mm.

    Returns:
        Least and most, mm.

    Raises:
        ValueError: No clearance is published here for such a shaft.

    >>> fitted_mm(30)
    (0.08, 0.18)
    """
    for low, high, least, most in _FITTED_MM:
        if low <= shaft_mm <= high:
            return least, most
    raise ValueError(f"No clearance of a new bearing is known here for a shaft of {shaft_mm:g} mm.")


@method(
    name="Run-out",
    what_for="How far a shaft turns out of true.",
    symbols={"readings_mm": "of the dial gauge round a turn, mm", "result": "mm, full reading"},
    limits="Turned slowly by hand in its own bearings; play and ovality are in it.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def run_out_mm(readings_mm: Sequence[float]) -> float:
    """Greatest less least; one reading alone is the full reading already.

    Args:
        readings_mm: `(n,)` mm; one or more.

    Returns:
        mm, 0 or more.

    Raises:
        ValueError: There is no reading.

    >>> round(run_out_mm((0.02, 0.10, -0.03)), 2), run_out_mm((0.10,))
    (0.13, 0.1)
    """
    if not readings_mm:
        raise ValueError("A run-out needs one reading or more; none was given.")
    if len(readings_mm) == 1:
        return abs(readings_mm[0])
    return max(readings_mm) - min(readings_mm)


@method(
    name="Depth of a groove",
    what_for="How deep a seal or bearing has worn into the shaft.",
    symbols={
        "original_mm": "diameter as made, mm",
        "found_mm": "at the groove, mm",
        "result": "mm",
    },
    limits="Worn evenly all round. A crevice pit in way of the seal is a reason to draw the shaft whatever its depth.",
    source="geometry",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def groove_mm(original_mm: float, found_mm: float) -> float:
    """Half of what is missing of the diameter; 0 where nothing is.

    Args:
        original_mm: Above 0.
        found_mm: 0 or more.

    Returns:
        mm, 0 or more.

    Raises:
        ValueError: An argument is out of its range.

    >>> groove_mm(30.0, 29.0)
    0.5
    """
    above_zero(original_mm=original_mm)
    if found_mm < 0:
        raise ValueError(f"A diameter is 0 mm or more; {found_mm:g} was given.")
    return max(0.0, (original_mm - found_mm) / 2)


@method(
    name="Gap of coupling faces",
    what_for="Whether engine and shaft are in line.",
    symbols={
        "gaps_mm": "at positions round the faces, mm",
        "flange_mm": "diameter of the flange, mm",
        "result": "µm for each mm of flange",
    },
    limits=(
        "Bolts out, faces just together, afloat after the boat has settled; centring is checked besides. Looked at "
        "again after one to three weeks' service."
    ),
    source="two engine makers' public handbooks: 0.001 in for each inch of flange",
    standing="guidance",
    text="read",
    defer="The engine maker's handbook.",
)
def misalignment_um_per_mm(gaps_mm: Sequence[float], flange_mm: float) -> float:
    """Greatest less least gap over the flange.

    Args:
        gaps_mm: `(n,)` mm; two or more, 0 or more each.
        flange_mm: Above 0.

    Returns:
        µm/mm, which is thousandths of an inch for each inch.

    Raises:
        ValueError: Fewer than two gaps, one negative, or no flange.

    >>> round(misalignment_um_per_mm((0.05, 0.15, 0.10, 0.10), 100), 6)
    1.0
    """
    above_zero(flange_mm=flange_mm)
    if len(gaps_mm) < 2 or min(gaps_mm) < 0:
        raise ValueError(
            f"A coupling needs gaps at two positions or more, 0 mm or more each; {tuple(gaps_mm)} were given."
        )
    return 1000 * (max(gaps_mm) - min(gaps_mm)) / flange_mm
