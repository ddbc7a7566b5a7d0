"""How a struck plate rings: the notes of a sound panel and of a loose patch, the length of a blow, the decay of a note.

Theory for the signals that `strikes` compares; it says why a disbond sounds as it does and never measures one.
"""

from collections.abc import Mapping
from math import cos, hypot, log, pi, sqrt
from types import MappingProxyType
from typing import Literal

from garboard.methods.declaration import method

Edge = Literal["clamped", "supported"]

# Of the lowest mode, λ²: clamped does not depend on Poisson's ratio, supported holds for 0.3.
_LAMBDA2: Mapping[Edge, float] = MappingProxyType({"clamped": 10.2158, "supported": 4.9351})


@method(
    name="Stiffness of a plate in bending",
    what_for="What the frequencies of a skin follow from.",
    symbols={
        "modulus_gpa": "GPa",
        "thickness_mm": "mm",
        "poisson": "Poisson's ratio",
        "result": "N m",
    },
    limits="Thin plate alike in all directions; a sandwich shears as well and is softer.",
    source="classical plate theory",
    standing="standard",
    text="read",
)
def bending_stiffness_nm(modulus_gpa: float, thickness_mm: float, poisson: float = 0.3) -> float:
    """Modulus times thickness cubed over 12 (1 - ν²).

    Args:
        modulus_gpa: GPa; above 0.
        thickness_mm: mm; above 0.
        poisson: 0 to below 1.

    Returns:
        N m.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(bending_stiffness_nm(9, 3), 3)
    22.253
    """
    if modulus_gpa <= 0 or thickness_mm <= 0 or not 0 <= poisson < 1:
        raise ValueError(
            "A plate has a modulus and a thickness above zero and a Poisson's ratio from 0 to below 1; "
            f"{modulus_gpa:g} GPa, {thickness_mm:g} mm and {poisson:g} were given."
        )
    return modulus_gpa * 1e9 * (thickness_mm / 1000) ** 3 / (12 * (1 - poisson**2))


@method(
    name="Lowest note of a disbond",
    what_for="Where the note of a loose round patch lies.",
    symbols={
        "stiffness_nm": "of the layer above the disbond, N m",
        "mass_kg_per_m2": "of that layer, kg/m²",
        "radius_mm": "mm",
        "edge": "clamped or supported",
        "result": "Hz",
    },
    limits=(
        "Round, even, air behind; the edge of a real one lies between clamped and supported, twofold apart, so a "
        "note is good within three. Water behind lowers and damps it. A size never follows from a note alone."
    ),
    source="classical plate theory: λ² of 10.2158 clamped, 4.9351 supported with a Poisson's ratio of 0.3, from the "
    "characteristic equations",
    standing="standard",
    text="read",
)
def disbond_hz(
    stiffness_nm: float, mass_kg_per_m2: float, radius_mm: float, edge: Edge = "clamped"
) -> float:
    """λ² over 2 π a², times the root of stiffness over mass.

    Args:
        stiffness_nm: N m; above 0.
        mass_kg_per_m2: Above 0.
        radius_mm: mm; above 0.
        edge: Clamped or supported.

    Returns:
        Hz.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(disbond_hz(22.253, 4.8, 50), 1)
    1400.3
    """
    _above_zero(stiffness_nm, mass_kg_per_m2, radius_mm)
    if edge not in _LAMBDA2:
        raise ValueError(f'An edge is clamped or supported, not "{edge}".')
    radius_m = radius_mm / 1000
    return _LAMBDA2[edge] / (2 * pi * radius_m**2) * sqrt(stiffness_nm / mass_kg_per_m2)


@method(
    name="Note of a panel",
    what_for="Where the notes of a sound panel lie.",
    symbols={
        "stiffness_nm": "N m",
        "mass_kg_per_m2": "kg/m²",
        "length_m": "m",
        "width_m": "m",
        "along": "half waves along the length",
        "across": "half waves across the width",
        "result": "Hz",
    },
    limits="Flat, all edges supported.",
    source="classical plate theory",
    standing="standard",
    text="read",
)
def panel_hz(
    stiffness_nm: float,
    mass_kg_per_m2: float,
    length_m: float,
    width_m: float,
    along: int = 1,
    across: int = 1,
) -> float:
    """Half of π times the sum of the squares of waves over sides, times the root of stiffness over mass.

    Args:
        stiffness_nm: N m; above 0.
        mass_kg_per_m2: Above 0.
        length_m: m; above 0.
        width_m: m; above 0.
        along: 1 or more.
        across: 1 or more.

    Returns:
        Hz.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(panel_hz(824.18, 16.0, 0.7, 0.5), 1)
    68.1
    """
    _above_zero(stiffness_nm, mass_kg_per_m2, length_m, width_m, along, across)
    waves = (along / length_m) ** 2 + (across / width_m) ** 2
    return pi / 2 * waves * sqrt(stiffness_nm / mass_kg_per_m2)


@method(
    name="Spring of a disbond",
    what_for="How soft a loose patch is under the hammer.",
    symbols={
        "stiffness_nm": "of the layer above, N m",
        "radius_mm": "mm",
        "edge": "clamped or supported",
        "poisson": "Poisson's ratio",
        "result": "N/m",
    },
    limits="Struck in the middle.",
    source="classical plate theory: point load on a round plate",
    standing="standard",
    text="read",
)
def disbond_spring_n_per_m(
    stiffness_nm: float, radius_mm: float, edge: Edge = "clamped", poisson: float = 0.3
) -> float:
    """16 π D over a², less where the edge is supported.

    Args:
        stiffness_nm: N m; above 0.
        radius_mm: mm; above 0.
        edge: Clamped or supported.
        poisson: 0 to below 1.

    Returns:
        N/m.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(disbond_spring_n_per_m(22.253, 50) / 1000)
    447
    """
    _above_zero(stiffness_nm, radius_mm)
    if edge not in _LAMBDA2 or not 0 <= poisson < 1:
        raise ValueError(
            f'An edge is clamped or supported and a Poisson\'s ratio from 0 to below 1, not "{edge}" and {poisson:g}.'
        )
    clamped = 16 * pi * stiffness_nm / (radius_mm / 1000) ** 2
    return clamped if edge == "clamped" else clamped * (1 + poisson) / (3 + poisson)


@method(
    name="Time of contact of a hammer",
    what_for="Why a soft place sounds duller: the hammer stays longer on it.",
    symbols={
        "hammer_kg": "kg",
        "contact_n_per_m": "spring of hammer on skin, N/m",
        "place_n_per_m": "spring of the place, N/m; 0 where it is rigid",
        "result": "ms",
    },
    limits="One half wave; on light skin over stiff frames a shorter contact was found once, so the sign is not sure.",
    source="a mass on two springs in series; Cawley & Adams, J. Sound Vib. 122 (1988) 299, abstract read",
    standing="guidance",
    text="second hand",
)
def contact_ms(hammer_kg: float, contact_n_per_m: float, place_n_per_m: float = 0.0) -> float:
    """π times the root of mass over the springs in series.

    Args:
        hammer_kg: Above 0.
        contact_n_per_m: Above 0.
        place_n_per_m: Above 0, or 0 for a rigid place.

    Returns:
        ms.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(contact_ms(0.03, 3e6, 447_418), 3), round(contact_ms(0.03, 3e6), 3)
    (0.872, 0.314)
    """
    _above_zero(hammer_kg, contact_n_per_m)
    if place_n_per_m < 0:
        raise ValueError(f"A spring is 0 N/m or more; {place_n_per_m:g} was given.")
    give = 1 / contact_n_per_m + (1 / place_n_per_m if place_n_per_m else 0.0)
    return 1000 * pi * sqrt(hammer_kg * give)


@method(
    name="Spectrum of a blow",
    what_for="How far up a blow of a given length can excite anything.",
    symbols={"cycles": "frequency × time of contact", "result": "share of that at 0 Hz"},
    limits="A half-sine blow.",
    source="Fourier transform of a half sine",
    standing="standard",
    text="read",
)
def blow_share(cycles: float) -> float:
    """|cos π f τ| over |1 - (2 f τ)²|.

    Args:
        cycles: 0 or more.

    Returns:
        0 to 1.

    Raises:
        ValueError: The argument is negative.

    >>> round(blow_share(1.0), 4)
    0.3333
    """
    if cycles < 0:
        raise ValueError(f"A frequency and a time are 0 or more; {cycles:g} was given.")
    if abs(cycles - 0.5) < 1e-6:
        return pi / 4
    return abs(cos(pi * cycles)) / abs(1 - (2 * cycles) ** 2)


@method(
    name="Damping from decay",
    what_for="How fast a note dies, as a share of critical damping.",
    symbols={
        "ratio": "of amplitudes, later over earlier",
        "cycles": "between them",
        "result": "ratio",
    },
    limits="One note; two close ones beat.",
    source="logarithmic decrement",
    standing="standard",
    text="read",
)
def damping_ratio(ratio: float, cycles: float) -> float:
    """δ over the root of 4 π² + δ².

    Args:
        ratio: Above 0, below 1.
        cycles: Above 0.

    Returns:
        0 to 1.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(damping_ratio(0.5335, 5), 4)
    0.02
    """
    if not 0 < ratio < 1 or cycles <= 0:
        raise ValueError(
            f"A note dies from 1 to above 0 over more than no cycles; {ratio:g} over {cycles:g} was given."
        )
    decrement = -log(ratio) / cycles
    return decrement / hypot(2 * pi, decrement)


@method(
    name="Time to a tenth",
    what_for="When the power of a note has fallen to a tenth.",
    symbols={"frequency_hz": "Hz", "damping": "share of critical", "result": "ms"},
    limits="One note.",
    source="exponential decay: ln 10 over 2 ζ ω",
    standing="standard",
    text="read",
)
def to_a_tenth_ms(frequency_hz: float, damping: float) -> float:
    """Ln 10 over twice damping and angular frequency.

    Args:
        frequency_hz: Above 0.
        damping: Above 0.

    Returns:
        ms.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(to_a_tenth_ms(1400, 0.02), 2)
    6.54
    """
    _above_zero(frequency_hz, damping)
    return 1000 * log(10) / (2 * damping * 2 * pi * frequency_hz)


def _above_zero(*values: float) -> None:
    if min(values) <= 0:
        raise ValueError(
            f"These are above zero: {', '.join(f'{each:g}' for each in values)} were given."
        )
