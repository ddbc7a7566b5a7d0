"""Low-voltage wiring: the voltage lost on the way, the size of conductors, and what may protect them.

A "voltage" on a wired part is read at the consumer while it runs, with the voltage at the battery meanwhile as its
`original`. A "current" whose place or set speaks of a fuse or breaker is the rating found, with the current its
conductor may carry (cable maker, or the table here) as its `original`. A "diameter" on a wired part is that of the
bare conductor.
"""

from collections.abc import Mapping
from math import log2, pi, sqrt
from types import MappingProxyType

from garboard.methods.bounds import not_below_zero
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import Measured, above_zero, judged, measured, unsaid
from garboard.methods.noted import says
from garboard.methods.result import Criterion, Result
from garboard.methods.zone import place_words
from garboard.notebook.fold import Survey

COPPER_OHM_MM2_PER_M = 0.017241
COPPER_PER_K = 0.00393

INSULATIONS_C = (60, 75, 80, 90, 105, 125, 200)

_TABLE_5: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {
        "18": (10, 10, 15, 20, 20, 25, 25),
        "16": (15, 15, 20, 25, 25, 30, 35),
        "14": (20, 20, 25, 30, 35, 40, 45),
        "12": (25, 25, 35, 40, 45, 50, 55),
        "10": (40, 40, 50, 55, 60, 70, 70),
        "8": (55, 65, 70, 70, 80, 90, 100),
        "6": (80, 95, 100, 100, 120, 125, 135),
        "4": (105, 125, 130, 135, 160, 170, 180),
        "3": (120, 145, 150, 155, 180, 195, 210),
        "2": (140, 170, 175, 180, 210, 225, 240),
        "1": (165, 195, 210, 210, 245, 265, 280),
        "1/0": (195, 230, 245, 245, 285, 305, 325),
        "2/0": (225, 265, 285, 285, 330, 355, 370),
        "3/0": (260, 310, 330, 330, 385, 410, 430),
        "4/0": (300, 360, 385, 385, 445, 475, 510),
    }
)
_ENGINE_SPACE: Mapping[int, float] = MappingProxyType(
    {60: 0.58, 75: 0.75, 80: 0.78, 90: 0.82, 105: 0.85, 125: 0.89, 200: 1.00}
)

SAFETY_PARTS = (
    "navigation-lights",
    "electric-bilge-pump",
    "petrol-space",
    "battery-isolator-and-fuses",
)
"""Where a loss of 3 % is the limit: lights, bilge pumps, blowers, and the feed of the panel."""

OTHER_PARTS = (
    "dc-wiring",
    "distribution-heat",
    "heavy-circuits",
    "interior-lighting",
    "trial-electrical-load",
)

CAUTION = (
    "Rings off, one hand at a time, insulated tools: a battery welds what bridges it. No hand behind a panel that "
    "mains share until they are dead; work on the installation is for a marine electrician to local rules and the "
    "makers' data."
)

_ELECTRICAL = "Ohm's law"
_METER_V = 0.02
_CALLIPER_MM = 0.05


@method(
    name="Resistivity of copper",
    what_for="What a warm conductor loses more than a cold one.",
    symbols={"temperature_c": "of the conductor, °C", "result": "ohm mm²/m"},
    limits="Annealed copper from 0 to 100 °C; tinned strand is a little higher.",
    source="IEC 60028 (0.017241 ohm mm²/m at 20 °C, 0.00393 a degree)",
    standing="standard",
    text="memory",
)
def copper_resistivity_ohm_mm2_per_m(temperature_c: float = 20.0) -> float:
    """Resistivity at 20 °C with its rise in proportion to temperature.

    Args:
        temperature_c: Of the conductor, °C; -50 to 200.

    Returns:
        ohm mm²/m.

    Raises:
        ValueError: The temperature is out of range.

    >>> round(copper_resistivity_ohm_mm2_per_m(50), 5)
    0.01927
    """
    if not -50 <= temperature_c <= 200:
        raise ValueError(
            f"A conductor is taken from -50 to 200 °C; {temperature_c:g} °C was given."
        )
    return COPPER_OHM_MM2_PER_M * (1 + COPPER_PER_K * (temperature_c - 20))


@method(
    name="Voltage drop in a cable",
    what_for="What a run of cable takes from a consumer.",
    symbols={
        "current_a": "A",
        "run_m": "out and back, m",
        "section_mm2": "of copper, mm²",
        "temperature_c": "of the conductor, °C",
        "result": "V",
    },
    limits="The cable alone: each bad joint adds 5 to 50 milli-ohm, so measure under load.",
    source=f"{_ELECTRICAL}; resistivity of annealed copper, from memory of IEC 60028",
    standing="common practice",
    text="read",
)
def drop_v(
    current_a: float, run_m: float, section_mm2: float, temperature_c: float = 20.0
) -> float:
    """Resistivity times current times length over section.

    Args:
        current_a: A; 0 or more.
        run_m: Out and back, m; 0 or more.
        section_mm2: mm²; above 0.
        temperature_c: °C; -50 to 200.

    Returns:
        V.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(drop_v(10, 16, 4), 3)
    0.69
    """
    above_zero(section_mm2=section_mm2)
    not_below_zero(current_a=current_a, run_m=run_m)
    return copper_resistivity_ohm_mm2_per_m(temperature_c) * current_a * run_m / section_mm2


@method(
    name="Share of the voltage lost",
    what_for="A voltage drop on the footing that limits use.",
    symbols={"lost_v": "V", "nominal_v": "of the system, V", "result": "% of nominal"},
    limits="Both voltages read under the same load within moments of each other.",
    source="definition",
    standing="common practice",
    text="read",
)
def drop_pct(lost_v: float, nominal_v: float) -> float:
    """Loss over nominal voltage.

    Args:
        lost_v: V; negative where a reading at the far end was the higher.
        nominal_v: 12, 24 or another, V; above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: The nominal voltage is not above zero.

    >>> round(drop_pct(0.36, 12), 1)
    3.0
    """
    above_zero(nominal_v=nominal_v)
    return 100 * lost_v / nominal_v


@method(
    name="Conductor for a voltage drop",
    what_for="The section of copper that keeps a loss to what is allowed.",
    symbols={
        "current_a": "A",
        "run_m": "out and back, m",
        "allowed_v": "V",
        "temperature_c": "of the conductor, °C",
        "result": "mm²",
    },
    limits="Take the next size up; the current it may carry is another question.",
    source=f"{_ELECTRICAL}; resistivity of annealed copper, from memory of IEC 60028",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def section_for_drop_mm2(
    current_a: float, run_m: float, allowed_v: float, temperature_c: float = 20.0
) -> float:
    """The section at which the drop is the one allowed.

    Args:
        current_a: A; 0 or more.
        run_m: Out and back, m; 0 or more.
        allowed_v: V; above 0.
        temperature_c: °C; -50 to 200.

    Returns:
        mm².

    Raises:
        ValueError: An argument is out of its range.

    >>> round(section_for_drop_mm2(10, 16, 0.36), 2)
    7.66
    """
    above_zero(allowed_v=allowed_v)
    return drop_v(current_a, run_m, 1.0, temperature_c) / allowed_v


@method(
    name="Section of an AWG size",
    what_for="The copper in a conductor marked in American wire gauge.",
    symbols={"gauge": '"18" to "1", "1/0" to "4/0"', "result": "mm²"},
    limits="Solid geometry; a stranded conductor of the size is close to it.",
    source="definition of the gauge: 0.127 mm × 92 to the power of (36 - n) / 39",
    standing="standard",
    text="read",
)
def awg_section_mm2(gauge: str) -> float:
    """Area of the circle of the gauge's diameter.

    Args:
        gauge: As marked on the cable.

    Returns:
        mm².

    Raises:
        ValueError: The gauge is not one of the table.

    >>> round(awg_section_mm2("10"), 2)
    5.26
    """
    _row(gauge)
    number = 1 - int(gauge[0]) if "/" in gauge else int(gauge)
    return round_section_mm2(0.127 * 92.0 ** ((36 - number) / 39))


@method(
    name="Section of a round conductor",
    what_for="The copper in a conductor measured across.",
    symbols={"diameter_mm": "across the bare strands, mm", "result": "mm²"},
    limits="A full circle: of stranded conductor about a quarter is air, so the figure is high.",
    source="geometry",
    standing="common practice",
    text="read",
)
def round_section_mm2(diameter_mm: float) -> float:
    """Area of a circle.

    Args:
        diameter_mm: mm; above 0.

    Returns:
        mm².

    Raises:
        ValueError: The diameter is not above zero.

    >>> round(round_section_mm2(2.588), 2)
    5.26
    """
    above_zero(diameter_mm=diameter_mm)
    return pi * diameter_mm**2 / 4


@method(
    name="Current a conductor may carry",
    what_for="The current United States law allows a stranded copper conductor in a petrol-engined boat.",
    symbols={
        "gauge": '"18" to "1", "1/0" to "4/0", AWG',
        "insulation_c": "temperature rating of the insulation, °C",
        "result": "A",
    },
    limits=(
        "Outside engine spaces, about 30 °C round the cable, fewer than three conductors bundled at 50 V and over. "
        "Never turned into metric sizes by nearest area. A benchmark on other boats."
    ),
    source="33 CFR 183.425, table 5",
    standing="regulation",
    text="read",
    defer=CAUTION,
)
def allowed_a(gauge: str, insulation_c: int) -> float:
    """The table's figure.

    Args:
        gauge: As marked on the cable.
        insulation_c: 60, 75, 80, 90, 105, 125 or 200.

    Returns:
        A.

    Raises:
        ValueError: The table has no such gauge or insulation.

    >>> allowed_a("10", 105)
    60.0
    """
    return float(_row(gauge)[INSULATIONS_C.index(_rated(insulation_c))])


@method(
    name="Current a conductor may carry in an engine space",
    what_for="The same where the air is hot.",
    symbols={"gauge": "AWG", "insulation_c": "°C", "result": "A"},
    limits="About 50 °C round the cable. Of the factors that for 105 °C is second hand, the others from memory.",
    source="33 CFR 183.425, table 5, note 1",
    standing="regulation",
    text="memory",
    defer=CAUTION,
)
def allowed_in_engine_space_a(gauge: str, insulation_c: int) -> float:
    """The table's figure times the factor of its insulation.

    Args:
        gauge: As marked on the cable.
        insulation_c: 60, 75, 80, 90, 105, 125 or 200.

    Returns:
        A.

    Raises:
        ValueError: The table has no such gauge or insulation.

    >>> round(allowed_in_engine_space_a("10", 105))
    51
    """
    return allowed_a(gauge, insulation_c) * _ENGINE_SPACE[insulation_c]


@method(
    name="Factor for bundled conductors",
    what_for="How much less conductors may carry that lie together, at 50 V and over.",
    symbols={"conductors": "carrying current in the bundle, a count", "result": "factor"},
    limits="50 V and over alone.",
    source="33 CFR 183.425, table 5, note 2",
    standing="regulation",
    text="second hand",
    defer=CAUTION,
)
def bundle_factor(conductors: int) -> float:
    """The note's factor.

    Args:
        conductors: 1 or more.

    Returns:
        Factor on the current allowed.

    Raises:
        ValueError: There is no conductor.

    >>> bundle_factor(5)
    0.6
    """
    if conductors < 1:
        raise ValueError(f"A bundle has a conductor or more; {conductors} was given.")
    steps = ((25, 0.4), (7, 0.5), (4, 0.6), (3, 0.7))
    return next((factor for least, factor in steps if conductors >= least), 1.0)


@method(
    name="Protection against what the conductor carries",
    what_for="Whether a fuse or breaker blows before its cable burns.",
    symbols={
        "rating_a": "of the fuse or breaker, A",
        "allowed_a": "that the conductor may carry, A",
        "result": "% of what the conductor may carry",
    },
    limits="Circuits below 50 V; the smallest conductor behind the fuse counts.",
    source="form of 33 CFR 183.455(c)",
    standing="regulation",
    text="read",
    defer=CAUTION,
)
def protection_pct(rating_a: float, allowed_a: float) -> float:
    """Rating over the current allowed.

    Args:
        rating_a: A; above 0.
        allowed_a: A; above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: A current is not above zero.

    >>> protection_pct(90, 60)
    150.0
    """
    above_zero(rating_a=rating_a, allowed_a=allowed_a)
    return 100 * rating_a / allowed_a


def results(survey: Survey) -> tuple[Result, ...]:
    """Voltage lost at each consumer, each fuse against its conductor, each conductor against the smallest."""
    parts = (*SAFETY_PARTS, *OTHER_PARTS)
    volts = measured(survey, "voltage", *parts, uncertainty=_METER_V)
    fuses = [
        each
        for each in measured(survey, "current", *parts, uncertainty=0.0)
        if says(each, "fuse", "fuses", "breaker", "breakers")
    ]
    across = measured(survey, "diameter", *parts, uncertainty=_CALLIPER_MM)
    return (*map(_of_drop, volts), *map(_of_fuse, fuses), *map(_of_conductor, across))


def _of_drop(volts: Measured) -> Result:
    what = f"voltage lost on the way to {place_words(volts.place)}"
    if volts.original is None or volts.original <= 0:
        why = "The voltage at the battery under the same load was not read."
        return unsaid("wiring.drop_pct", what, "%", [volts], why)
    nominal_v = _nominal_v(volts.original)
    lost = volts.original - volts.value
    said = [
        f"{lost:.2f} V of {nominal_v:g} V, from {volts.original:g} V at the battery to {volts.value:g} V.",
        "The higher voltage was read at the far end: the readings are not of one moment."
        if lost < 0
        else "",
        CAUTION,
    ]
    doubt = drop_pct(sqrt(2) * volts.uncertainty, nominal_v)
    limit = _drop_limit(volts.place.part)
    return judged("wiring.drop_pct", what, drop_pct(lost, nominal_v), doubt, limit, [volts], said)


def _drop_limit(part: str) -> Criterion:
    return criteria()["wiring-drop-safety" if part in SAFETY_PARTS else "wiring-drop-other"]


def _nominal_v(battery_v: float) -> float:
    """12 V or its multiple by two: the nominal voltage nearest in ratio to a lead-acid battery's."""
    return 12.0 * 2.0 ** max(0, round(log2(battery_v / 12.6)))


def _of_fuse(fuse: Measured) -> Result:
    what = f"protection at {place_words(fuse.place)}"
    if not fuse.original or fuse.value <= 0:
        why = "The rating, or the current that the conductor behind it may carry, is not known."
        return unsaid("wiring.protection_pct", what, "%", [fuse], why)
    said = [
        f"{fuse.value:g} A for a conductor that may carry {fuse.original:g} A.",
        "Binding on petrol-engined boats in the United States; a benchmark elsewhere.",
        CAUTION,
    ]
    share = protection_pct(fuse.value, fuse.original)
    limit = criteria()["wiring-protection"]
    return judged("wiring.protection_pct", what, share, 0.0, limit, [fuse], said)


def _of_conductor(across: Measured) -> Result:
    what = f"section of the conductor at {place_words(across.place)}"
    if across.value <= 0:
        return unsaid(
            "wiring.round_section_mm2", what, "mm²", [across], "The diameter reads nothing."
        )
    section = round_section_mm2(across.value)
    said = [
        "From the diameter over the strands, so rather high.",
        "For a single conductor over 200 mm long.",
    ]
    doubt = 2 * section * across.uncertainty / across.value
    limit = criteria()["wiring-smallest"]
    return judged("wiring.round_section_mm2", what, section, doubt, limit, [across], said)


def _row(gauge: str) -> tuple[int, ...]:
    if gauge not in _TABLE_5:
        raise ValueError(f'The table has {", ".join(_TABLE_5)} AWG, not "{gauge}".')
    return _TABLE_5[gauge]


def _rated(insulation_c: int) -> int:
    if insulation_c not in INSULATIONS_C:
        ratings = ", ".join(str(each) for each in INSULATIONS_C)
        raise ValueError(f"The table has insulation of {ratings} °C, not {insulation_c} °C.")
    return insulation_c
