"""The ultrasonic thickness gauge: whether it reads true, and what a display means in metal.

`results` judges each gauge by the checks recorded on step blocks.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import hypot, sqrt
from statistics import linear_regression

from garboard.methods.campaign import latest
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.instrument import step_of, uncertainty_of
from garboard.methods.result import Result, verdict_of
from garboard.notebook.body import InstrumentCheck
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

USUAL_UNCERTAINTY_MM = 0.1
"""Standard uncertainty of a digital gauge on clean plate; common practice."""

STEEL_M_PER_S = 5920.0
ALUMINIUM_M_PER_S = 6370.0
PAINT_M_PER_S = 2500.0
"""Velocities of sound in common steel, aluminium and paint, m/s; read in instruments' appendices."""

PAINT_U_RATIO = 0.1
"""How far the velocity in a paint may differ from the usual one, relative standard uncertainty; a working figure."""

USUAL_RESOLUTION_MM = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeDoubt:
    """What a gauge's readings are worth, as standard uncertainties, mm.

    `reading_mm` is that of one reading; `common_mm` the part of it that all readings share, which more of them do
    not lessen.
    """

    reading_mm: float
    common_mm: float


@method(
    name="Error of a gauge on a step",
    what_for="How far a gauge is out on a block of known thickness.",
    symbols={"expected_mm": "thickness of the step, mm", "read_mm": "mm", "result": "mm"},
    limits="A smooth block flatters: it proves the gauge, not the reading on a rough plate.",
    source="definition",
    standing="common practice",
    text="read",
)
def reading_error_mm(expected_mm: float, read_mm: float) -> float:
    """What the gauge reads above the known thickness.

    Args:
        expected_mm: Thickness of the step, mm; above 0.
        read_mm: As read, mm.

    Returns:
        mm; negative where it reads thin.

    Raises:
        ValueError: The step is not above zero.

    >>> round(reading_error_mm(6.00, 6.08), 2)
    0.08
    """
    if expected_mm <= 0:
        raise ValueError(f"A step is thicker than zero; {expected_mm:g} mm was given.")
    return read_mm - expected_mm


@method(
    name="Standard uncertainty of a gauge",
    what_for="What one reading of this gauge is worth, from its checks on the day.",
    symbols={
        "errors_mm": "errors on steps, mm",
        "stated_mm": "the gauge's stated standard uncertainty, mm",
        "result": "mm, standard uncertainty",
    },
    limits=(
        "The surface, the opposite face and the operator add to it; the checks can make it worse than "
        "stated, never better."
    ),
    source="root mean square of the errors, not below the stated value; a working rule of this library",
    standing="working figure",
    text="read",
)
def gauge_uncertainty_mm(
    errors_mm: Sequence[float], stated_mm: float = USUAL_UNCERTAINTY_MM
) -> float:
    """The larger of what is stated and what the checks show.

    Args:
        errors_mm: Errors on steps, mm; may be empty.
        stated_mm: Standard uncertainty stated for the gauge, mm; 0.1 mm is usual on clean plate.

    Returns:
        Standard uncertainty, mm.

    Raises:
        ValueError: The stated uncertainty is negative.

    >>> gauge_uncertainty_mm((0.05, -0.05), 0.1)
    0.1
    """
    if stated_mm < 0:
        raise ValueError(f"An uncertainty is not negative; {stated_mm:g} mm was given.")
    if not errors_mm:
        return stated_mm
    shown = sqrt(sum(each * each for each in errors_mm) / len(errors_mm))
    return max(stated_mm, shown)


@method(
    name="Common part of a gauge's uncertainty",
    what_for="The doubt that all readings of a gauge share, as its checks show it.",
    symbols={
        "errors_mm": "errors on steps, mm",
        "reading_u_mm": "standard uncertainty of one reading, mm",
        "resolution_mm": "smallest step of the display, mm",
        "result": "mm, standard uncertainty",
    },
    limits="Without checks the whole uncertainty is taken as common. The step's own tolerance is left out.",
    source="root mean square of the errors with the resolution over √12 (JCGM 100:2008, F.2.2.1)",
    standing="working figure",
    text="second hand",
)
def common_uncertainty_mm(
    errors_mm: Sequence[float], reading_u_mm: float, resolution_mm: float = USUAL_RESOLUTION_MM
) -> float:
    """What the checks show, never more than the uncertainty of one reading.

    Args:
        errors_mm: Errors on steps, mm; may be empty.
        reading_u_mm: Standard uncertainty of one reading, mm; 0 or more.
        resolution_mm: Smallest step of the display, mm; 0 or more.

    Returns:
        Standard uncertainty, mm.

    Raises:
        ValueError: The uncertainty or the resolution is negative.

    >>> round(common_uncertainty_mm((0.03, -0.03), 0.1, 0.01), 4)
    0.0301
    """
    if reading_u_mm < 0 or resolution_mm < 0:
        raise ValueError(
            "An uncertainty and a resolution are not negative; "
            f"{reading_u_mm:g} and {resolution_mm:g} mm were given."
        )
    if not errors_mm:
        return reading_u_mm
    shown = sum(each * each for each in errors_mm) / len(errors_mm) + resolution_mm**2 / 12
    return min(reading_u_mm, sqrt(shown))


@method(
    name="Thickness with the right velocity",
    what_for="Correct a reading taken with the gauge set for another metal.",
    symbols={
        "read_mm": "mm",
        "set_m_per_s": "velocity the gauge was set to, m/s",
        "true_m_per_s": "velocity in the metal, m/s",
        "result": "mm",
    },
    limits=(
        "Velocity varies with alloy and temper: about 0.5 % in mild steel, 1 % in aluminium, 14 % in cast "
        "iron. Calibrate on the boat's own alloy where it can be done."
    ),
    source="pulse-echo relation, thickness = velocity × time / 2 (ASTM E797, 4.1 to 4.3)",
    standing="standard",
    text="read",
)
def velocity_corrected_mm(read_mm: float, set_m_per_s: float, true_m_per_s: float) -> float:
    """The reading at the metal's own velocity.

    Args:
        read_mm: As read, mm; 0 or more.
        set_m_per_s: What the gauge was set to, m/s; above 0.
        true_m_per_s: Velocity in the metal, m/s; above 0.

    Returns:
        mm.

    Raises:
        ValueError: A velocity is not above zero.

    >>> round(velocity_corrected_mm(6.00, 5920, 5740), 3)
    5.818
    """
    for velocity in (set_m_per_s, true_m_per_s):
        if velocity <= 0:
            raise ValueError(f"A velocity is above zero; {velocity:g} m/s was given.")
    return read_mm * true_m_per_s / set_m_per_s


@method(
    name="Thickness at another temperature",
    what_for="Correct a reading on plate warmer or colder than the step block.",
    symbols={
        "read_mm": "mm",
        "surface_c": "of the plate, °C",
        "calibrated_c": "of the step block, °C",
        "result": "mm",
    },
    limits="Steel, ordinary temperatures; velocity taken to fall 1 % for each 55 °C.",
    source="common practice; the coefficient of 0.00018 per kelvin is from memory",
    standing="common practice",
    text="memory",
)
def temperature_corrected_mm(read_mm: float, surface_c: float, calibrated_c: float) -> float:
    """The reading as it would be at the temperature of the block.

    Args:
        read_mm: As read, mm.
        surface_c: Of the plate, -20 to 90 °C.
        calibrated_c: Of the block, -20 to 90 °C.

    Returns:
        mm.

    Raises:
        ValueError: A temperature lies outside the range.

    >>> round(temperature_corrected_mm(6.00, 40, 20), 3)
    5.978
    """
    for temperature in (surface_c, calibrated_c):
        if not -20 <= temperature <= 90:
            raise ValueError(f"A contact gauge is used from -20 to 90 °C, not at {temperature:g}.")
    return read_mm * (1 - 1.8e-4 * (surface_c - calibrated_c))


@method(
    name="Metal under a coating",
    what_for="Take the paint out of a single-echo reading where its film was measured.",
    symbols={
        "read_mm": "mm",
        "coating_mm": "measured film, mm",
        "metal_m_per_s": "velocity in the metal, m/s",
        "coating_m_per_s": "velocity in the coating, m/s",
        "result": "mm",
    },
    limits="Single echo only; an echo-to-echo reading has left the paint out already.",
    source="pulse-echo relation; a film of paint shows as about 2.4 times its thickness in steel",
    standing="common practice",
    text="read",
)
def metal_under_coating_mm(
    read_mm: float,
    coating_mm: float,
    metal_m_per_s: float = STEEL_M_PER_S,
    coating_m_per_s: float = PAINT_M_PER_S,
) -> float:
    """What is left when the film is taken off the display.

    Args:
        read_mm: As read through the film, mm.
        coating_mm: Measured film, mm; 0 or more.
        metal_m_per_s: Velocity in the metal, m/s; above 0.
        coating_m_per_s: Velocity in the film, m/s; above 0.

    Returns:
        mm of metal.

    Raises:
        ValueError: The film is negative, a velocity is not above zero, or the film explains the whole reading.

    >>> round(6.71 - metal_under_coating_mm(6.71, 0.30), 3)
    0.71
    """
    if coating_mm < 0 or metal_m_per_s <= 0 or coating_m_per_s <= 0:
        raise ValueError(
            f"A film is 0 mm or more and a velocity above 0 m/s; {coating_mm:g} mm, "
            f"{metal_m_per_s:g} and {coating_m_per_s:g} m/s were given."
        )
    metal_mm = read_mm - coating_mm * metal_m_per_s / coating_m_per_s
    if metal_mm <= 0:
        raise ValueError(f"A film of {coating_mm:g} mm explains the whole reading of {read_mm:g}.")
    return metal_mm


@method(
    name="Standard uncertainty of paint taken off",
    what_for="What the correction for a measured film adds to the doubt of the metal under it.",
    symbols={
        "coating_mm": "measured film, mm",
        "coating_u_mm": "its standard uncertainty, mm",
        "metal_m_per_s": "velocity in the metal, m/s",
        "coating_m_per_s": "velocity in the coating, m/s",
        "result": "mm, standard uncertainty",
    },
    limits="The velocity in the paint is taken as known to a tenth, the method's own figure; few paints state theirs.",
    source="law of propagation, JCGM 100:2008, 5.1, on the pulse-echo relation",
    standing="working figure",
    text="second hand",
)
def coating_uncertainty_mm(
    coating_mm: float,
    coating_u_mm: float,
    metal_m_per_s: float = STEEL_M_PER_S,
    coating_m_per_s: float = PAINT_M_PER_S,
) -> float:
    """Doubt of the film and of the velocity in it, as the display shows them.

    Args:
        coating_mm: Measured film, mm; 0 or more.
        coating_u_mm: Its standard uncertainty, mm; 0 or more.
        metal_m_per_s: Velocity in the metal, m/s; above 0.
        coating_m_per_s: Velocity in the film, m/s; above 0.

    Returns:
        Standard uncertainty, mm of metal.

    Raises:
        ValueError: The film or its uncertainty is negative, or a velocity is not above zero.

    >>> round(coating_uncertainty_mm(0.30, 0.0), 3)
    0.071
    """
    if min(coating_mm, coating_u_mm) < 0 or min(metal_m_per_s, coating_m_per_s) <= 0:
        raise ValueError(
            "A film and its uncertainty are 0 mm or more and a velocity above 0 m/s; "
            f"{coating_mm:g} and {coating_u_mm:g} mm, {metal_m_per_s:g} and {coating_m_per_s:g} m/s were given."
        )
    return metal_m_per_s / coating_m_per_s * hypot(coating_u_mm, PAINT_U_RATIO * coating_mm)


@method(
    name="Line through the steps of a block",
    what_for="What a gauge that reads a block too long or too short must be multiplied by and given.",
    symbols={
        "read_mm": "as read on the steps, mm",
        "steps_mm": "known thickness of the same steps, mm",
        "result": "mm of metal a mm read, and mm to add",
    },
    limits="Steps that span the plate's thickness, of the plate's own metal; nothing beyond the outermost step.",
    source="straight line by least squares, known thickness on reading",
    standing="common practice",
    text="read",
)
def step_line(read_mm: Sequence[float], steps_mm: Sequence[float]) -> tuple[float, float]:
    """Gain and offset that turn what is read into what is there.

    Args:
        read_mm: `(n,)` as read, mm; two or more, not all alike.
        steps_mm: `(n,)` known, mm.

    Returns:
        Gain, and offset in mm.

    Raises:
        ValueError: Fewer than two steps, not as many readings, or all readings alike.

    >>> tuple(round(each, 4) for each in step_line((2.06, 4.03, 6.01, 8.00), (2, 4, 6, 8)))
    (1.0101, -0.0757)
    """
    _steps(read_mm, steps_mm, 2)
    gain, offset_mm = linear_regression(read_mm, steps_mm)
    return gain, offset_mm


@method(
    name="Scatter about the line of a block",
    what_for="What the correction by a line is worth.",
    symbols={
        "read_mm": "as read on the steps, mm",
        "steps_mm": "known thickness of the same steps, mm",
        "result": "mm, standard deviation",
    },
    limits="Three steps or more; the block's own tolerance comes on top.",
    source="residual standard deviation of a straight line, two degrees of freedom taken",
    standing="common practice",
    text="read",
)
def step_scatter_mm(read_mm: Sequence[float], steps_mm: Sequence[float]) -> float:
    """How far the steps lie off their own line.

    Args:
        read_mm: `(n,)` as read, mm; three or more, not all alike.
        steps_mm: `(n,)` known, mm.

    Returns:
        mm.

    Raises:
        ValueError: Fewer than three steps, not as many readings, or all readings alike.

    >>> round(step_scatter_mm((2.06, 4.03, 6.01, 8.00), (2, 4, 6, 8)), 4)
    0.0071
    """
    _steps(read_mm, steps_mm, 3)
    gain, offset_mm = step_line(read_mm, steps_mm)
    off = (
        step - on_step_line_mm(read, gain, offset_mm)
        for read, step in zip(read_mm, steps_mm, strict=True)
    )
    return sqrt(sum(each * each for each in off) / (len(steps_mm) - 2))


@method(
    name="Thickness by the line of a block",
    what_for="A reading corrected by what the gauge showed on its steps.",
    symbols={"read_mm": "mm", "gain": "mm a mm", "offset_mm": "mm", "result": "mm"},
    limits="Between the outermost steps.",
    source="straight line",
    standing="common practice",
    text="read",
)
def on_step_line_mm(read_mm: float, gain: float, offset_mm: float) -> float:
    """Gain times reading, and offset.

    Args:
        read_mm: mm.
        gain: Above 0.
        offset_mm: mm.

    Returns:
        mm of metal.

    Raises:
        ValueError: The gain is not above zero.

    >>> round(on_step_line_mm(5.0, 1.0101, -0.0808), 2)
    4.97
    """
    if gain <= 0:
        raise ValueError(
            f"A gauge that reads more on more has a gain above zero; {gain:g} has not."
        )
    return gain * read_mm + offset_mm


def doubt_in(survey: Survey, instrument: str) -> GaugeDoubt:
    """What the readings of a gauge of the survey are worth, from what is stated and its checks."""
    errors = [error for _, error in _errors(_checks_of(survey, instrument))]
    stated_mm = uncertainty_of(survey, instrument, USUAL_UNCERTAINTY_MM)
    reading_mm = gauge_uncertainty_mm(errors, stated_mm)
    step_mm = step_of(survey, instrument, USUAL_RESOLUTION_MM)
    common_mm = common_uncertainty_mm(errors, reading_mm, step_mm)
    return GaugeDoubt(reading_mm=reading_mm, common_mm=common_mm)


def results(survey: Survey) -> tuple[Result, ...]:
    """One result for each step a gauge of the latest survey was tried on; "cannot say" where it was not tried."""
    gauges = dict.fromkeys(each.body.instrument for each in latest(survey, "thickness"))
    return tuple(result for gauge in gauges for result in _of_gauge(survey, gauge))


def _of_gauge(survey: Survey, gauge: str) -> tuple[Result, ...]:
    found = _checks_of(survey, gauge)
    if not found:
        return (
            _unproved(
                gauge, (), "No check on a step block is recorded: the readings are unproved."
            ),
        )
    limit = criteria()["gauge-step-error"]
    given = _errors(found)
    figures = {entry.id for entry, _ in given}
    measured = tuple(
        Result(
            method="gauge.reading_error_mm",
            what=f"error of {gauge} on {entry.body.on}, {entry.body.when} the readings",
            value=error,
            unit="mm",
            verdict=verdict_of(abs(error), None, limit),
            used=(entry.id,),
            uncertainty_why="The step's own tolerance was not recorded.",
            criterion=limit,
            caveats=() if entry.body.passed else ("The check was noted as failed.",),
        )
        for entry, error in given
    )
    bare = tuple(
        _unproved(
            gauge,
            (entry.id,),
            f"The check on {entry.body.on} is said to have "
            f"{'passed' if entry.body.passed else 'failed'}, with no figures.",
        )
        for entry in found
        if entry.id not in figures
    )
    return measured + bare


def _unproved(gauge: str, used: tuple[str, ...], why: str) -> Result:
    return Result(
        method="gauge.reading_error_mm",
        what=f"error of {gauge}",
        value=None,
        unit="mm",
        verdict="cannot say",
        used=used,
        caveats=(why,),
    )


def _checks_of(survey: Survey, instrument: str) -> tuple[Entry[InstrumentCheck], ...]:
    return tuple(each for each in survey.of(InstrumentCheck) if each.body.instrument == instrument)


def _errors(
    found: Iterable[Entry[InstrumentCheck]],
) -> tuple[tuple[Entry[InstrumentCheck], float], ...]:
    return tuple(
        (each, reading_error_mm(each.body.expected, each.body.read))
        for each in found
        if each.body.expected is not None and each.body.expected > 0 and each.body.read is not None
    )


def _steps(read_mm: Sequence[float], steps_mm: Sequence[float], least: int) -> None:
    if len(read_mm) != len(steps_mm) or len(steps_mm) < least or len(set(read_mm)) < 2:
        raise ValueError(
            f"A line needs {least} steps or more, each with its own reading, and readings that differ; "
            f"{len(steps_mm)} steps and {len(read_mm)} readings were given."
        )
