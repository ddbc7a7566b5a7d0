"""Thickness of metal plating: what is lost, what may be lost, and how sure that is.

Pure arithmetic on one plate; `panels` applies it to a survey, `pits`, `gauge` and `wastage` go with it.
"""

from collections.abc import Sequence
from math import sqrt
from statistics import stdev

from garboard.methods.declaration import method

DEFER = "The class society, the flag or navigation authority, or a naval architect decides on structure."


@method(
    name="Diminution",
    what_for="How much of the plate is gone.",
    symbols={
        "original_mm": "as built, from plan, builder or sound reference, mm",
        "measured_mm": "mean of a panel, or one reading, mm",
        "result": "% of the original",
    },
    limits=(
        "Plate only; not a strength calculation. Pits never enter a mean. On doubled plate the gauge reads the "
        "outer plate alone."
    ),
    source="definition, in the form of the class societies' thickness tables",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def diminution_pct(original_mm: float, measured_mm: float) -> float:
    """Loss of thickness as a share of the original.

    Args:
        original_mm: As built, mm; above 0.
        measured_mm: Mean of a panel, or one local reading, mm; 0 or more.

    Returns:
        Per cent of the original; negative where the plate reads thicker.

    Raises:
        ValueError: The original is not above zero, or the reading is negative.

    >>> round(diminution_pct(6.00, 4.62), 1)
    23.0
    """
    _thicknesses(original_mm, measured_mm)
    return 100 * (original_mm - measured_mm) / original_mm


@method(
    name="Standard uncertainty of a diminution",
    what_for="How far the readings, and a doubtful original, move the share lost.",
    symbols={
        "original_mm": "mm",
        "original_u_mm": "standard uncertainty, mm",
        "measured_mm": "mm",
        "measured_u_mm": "standard uncertainty, mm",
        "result": "percentage points",
    },
    limits=(
        "Zero for an original that is the plan's figure by definition; rolled plate may have left the mill "
        "0.3 mm thinner (IACS UR W13, seen at second hand)."
    ),
    source="law of propagation, JCGM 100:2008, 5.1",
    standing="guidance",
    text="second hand",
)
def diminution_uncertainty_pct(
    original_mm: float, original_u_mm: float, measured_mm: float, measured_u_mm: float
) -> float:
    """Both relative uncertainties, times what remains.

    Args:
        original_mm: As built, mm; above 0.
        original_u_mm: Its standard uncertainty, mm; 0 or more.
        measured_mm: Reading or mean, mm; 0 or more.
        measured_u_mm: Its standard uncertainty, mm; 0 or more.

    Returns:
        Standard uncertainty, percentage points.

    Raises:
        ValueError: The original is not above zero, or the reading is negative.

    >>> round(diminution_uncertainty_pct(6.0, 0.0, 4.62, 0.12), 3)
    2.0
    """
    _thicknesses(original_mm, measured_mm)
    return (
        100
        / original_mm
        * sqrt(measured_u_mm**2 + (measured_mm * original_u_mm / original_mm) ** 2)
    )


@method(
    name="Renewal thickness",
    what_for="The thickness at which an allowance is used up.",
    symbols={
        "original_mm": "mm",
        "allowance_pct": "% of the original that may be lost",
        "allowance_mm": "mm that may be lost besides",
        "result": "mm",
    },
    limits="As the criterion that sets the allowance.",
    source="definition, in the form of the class societies' thickness tables",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def renewal_mm(original_mm: float, allowance_pct: float, allowance_mm: float = 0.0) -> float:
    """The original less its allowance.

    Args:
        original_mm: As built, mm; above 0.
        allowance_pct: 0 to 100 % of the original.
        allowance_mm: Allowed besides, mm; 0 or more.

    Returns:
        mm.

    Raises:
        ValueError: The original is not above zero, or an allowance is out of its range.

    >>> round(renewal_mm(8.0, 20, 1.0), 2)
    5.4
    """
    _thicknesses(original_mm, 0.0)
    if not 0 <= allowance_pct <= 100 or allowance_mm < 0:
        raise ValueError(
            "An allowance is 0 to 100 % and 0 mm or more; "
            f"{allowance_pct:g} % and {allowance_mm:g} mm were given."
        )
    return original_mm * (1 - allowance_pct / 100) - allowance_mm


@method(
    name="Share of the allowance used",
    what_for="How near a plate has come to its renewal thickness.",
    symbols={
        "original_mm": "mm",
        "measured_mm": "mm",
        "renewal_mm": "mm",
        "result": "1 at the renewal thickness",
    },
    limits="As the criterion that sets the allowance.",
    source="definition; class usage calls 0.75 to 1 substantial corrosion",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def allowance_used_ratio(original_mm: float, measured_mm: float, renewal_mm: float) -> float:
    """Loss over the loss allowed.

    Args:
        original_mm: As built, mm; above 0.
        measured_mm: Reading or mean, mm; 0 or more.
        renewal_mm: Below the original, mm.

    Returns:
        0 for a new plate, 1 at the renewal thickness; negative where it reads thicker than new.

    Raises:
        ValueError: The original is not above zero or not above the renewal thickness, or a negative reading.

    >>> round(allowance_used_ratio(8.0, 6.05, 5.40), 2)
    0.75
    """
    _thicknesses(original_mm, measured_mm)
    if renewal_mm >= original_mm:
        raise ValueError(
            f"A renewal thickness lies below the original; {renewal_mm:g} of {original_mm:g} mm does not."
        )
    return (original_mm - measured_mm) / (original_mm - renewal_mm)


@method(
    name="Standard uncertainty of a panel's mean",
    what_for="The doubt about the mean of several readings with one gauge.",
    symbols={
        "readings_mm": "mm",
        "reading_u_mm": "standard uncertainty of one reading, mm",
        "common_u_mm": "the part of it common to all readings, mm",
        "result": "mm",
    },
    limits="The places are taken as a fair sample of the panel, not picked for being thin.",
    source="law of propagation, JCGM 100:2008, 5.1",
    standing="guidance",
    text="second hand",
)
def mean_uncertainty_mm(
    readings_mm: Sequence[float], reading_u_mm: float, common_u_mm: float
) -> float:
    """Scatter, not below that of one reading, over the root of the number; and the common part.

    Args:
        readings_mm: `(n,)` readings, mm; at least one.
        reading_u_mm: Standard uncertainty of one reading, mm; 0 or more.
        common_u_mm: The part of it common to all readings, mm; 0 to `reading_u_mm`.

    Returns:
        Standard uncertainty, mm.

    Raises:
        ValueError: There is no reading.

    >>> round(mean_uncertainty_mm((5.6, 5.5, 5.7, 5.4, 5.6), 0.0, 0.0), 3)
    0.051
    """
    if not readings_mm:
        raise ValueError("A mean needs one reading or more; none was given.")
    count = len(readings_mm)
    own = max(0.0, reading_u_mm**2 - common_u_mm**2)
    scatter = stdev(readings_mm) ** 2 if count > 1 else 0.0
    return sqrt(max(own, scatter) / count + common_u_mm**2)


@method(
    name="Least thickness",
    what_for="The thinnest place read on a part, pits left out.",
    symbols={"readings_mm": "mm", "result": "mm"},
    limits="The least reading found, not the least there is.",
    source="definition",
    standing="common practice",
    text="read",
)
def least_mm(readings_mm: Sequence[float]) -> float:
    """The smallest reading.

    Args:
        readings_mm: `(n,)` readings, mm; at least one.

    Returns:
        mm.

    Raises:
        ValueError: There is no reading.

    >>> least_mm((5.6, 5.4, 5.7))
    5.4
    """
    if not readings_mm:
        raise ValueError("A least thickness needs one reading or more; none was given.")
    return min(readings_mm)


def _thicknesses(original_mm: float, measured_mm: float) -> None:
    if original_mm <= 0:
        raise ValueError(f"An original thickness is above zero; {original_mm:g} mm was given.")
    if measured_mm < 0:
        raise ValueError(f"A thickness is 0 mm or more; {measured_mm:g} mm was given.")
