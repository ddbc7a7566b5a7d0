"""Standing rigging: what a wire breaks at, what a rig asks of it, and its age.

What the entries hold: "diameter" on `wire-stay`, numbered, is the wire's. How old the rigging is no reading holds: it is
asked for, and compared by hand with the methods here; so are the loads, which need the righting arm.
"""

from collections.abc import Iterator, Mapping
from math import pi
from types import MappingProxyType
from typing import Literal

from garboard.boat.figures import GRAVITY_M_PER_S2
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import above_zero, measured, unlimited, unsaid
from garboard.methods.result import Result
from garboard.methods.zone import place_words
from garboard.notebook.fold import Survey

Strand = Literal["1x19", "compacted"]
Standing = Literal["wire", "rod"]

CAUTION = (
    "Nobody goes aloft on rigging under doubt, or without a second line; keep clear of a stay under load when it is "
    "tried. A rigger decides."
)
DEFER = "The wire's certificate, the maker's data and a rigger."

_BY_STRAND: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"1x19": (0.785, 0.711), "compacted": (1.0, 1.0)}
)
_THIN_MM = 6.5
# Standard uncertainties where no instrument states one, working figures.
_SIZE_MM = 0.05
_STRENGTH_RATIO = 0.05


@method(
    name="Breaking load of a stainless wire",
    what_for="A first figure for a stay whose certificate is not at hand.",
    symbols={"diameter_mm": "mm", "strand": "1x19 or compacted", "result": "kN"},
    limits=(
        "Type 316 stainless, new; 3 to 14 mm. Makers differ by 5 %. Other strands, rod and fibre by their makers."
    ),
    source=(
        "a curve through breaking loads that suppliers print: 3, 4 and 6 mm and compacted 3 mm seen quoted, other "
        "sizes from memory"
    ),
    standing="guidance",
    text="second hand",
    defer=DEFER,
)
def breaking_kn(diameter_mm: float, strand: Strand = "1x19") -> float:
    """A factor by construction times the square of the diameter.

    Args:
        diameter_mm: 3 to 14.
        strand: How the wire is laid.

    Returns:
        kN.

    Raises:
        ValueError: The wire is thinner or thicker, or of another strand.

    >>> round(breaking_kn(6), 1), round(breaking_kn(8), 1)
    (28.3, 45.5)
    """
    if not 3 <= diameter_mm <= 14:
        raise ValueError(f"The curve holds for 3 to 14 mm; {diameter_mm:g} mm was given.")
    if strand not in _BY_STRAND:
        raise ValueError(f'A strand is 1x19 or compacted here, not "{strand}".')
    thin, thick = _BY_STRAND[strand]
    return (thin if diameter_mm < _THIN_MM else thick) * diameter_mm**2


@method(
    name="Tension from a stretch",
    what_for="The share of the breaking load in a 1x19 stay, from how far 2 m of it stretch.",
    symbols={"stretch_mm": "in 2000 mm, mm", "result": "% of the breaking load"},
    limits="1x19 stainless only, measured from slack.",
    source="the rigger's folding rule: 1 mm in 2000 mm is 5 %",
    standing="common practice",
    text="memory",
    defer=DEFER,
)
def tension_pct(stretch_mm: float) -> float:
    """Five per cent a millimetre.

    Args:
        stretch_mm: 0 or more.

    Returns:
        Per cent of the breaking load.

    Raises:
        ValueError: The stretch is negative.

    >>> tension_pct(3)
    15
    """
    if stretch_mm < 0:
        raise ValueError(f"A stretch is 0 mm or more; {stretch_mm:g} was given.")
    return 5 * stretch_mm


@method(
    name="Righting moment from weight",
    what_for="The moment that the rig has to hold at an angle of heel.",
    symbols={"displacement_kg": "kg", "righting_arm_m": "GZ at the angle, m", "result": "kN m"},
    limits="The arm comes from a stability book or a naval architect; it is never guessed.",
    source="statics",
    standing="common practice",
    text="read",
    defer="A naval architect.",
)
def righting_moment_knm(displacement_kg: float, righting_arm_m: float) -> float:
    """Weight times arm.

    Args:
        displacement_kg: Above 0.
        righting_arm_m: Above 0.

    Returns:
        kN m.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(righting_moment_knm(6000, 0.55), 2)
    32.36
    """
    above_zero(displacement_kg=displacement_kg, righting_arm_m=righting_arm_m)
    return displacement_kg * GRAVITY_M_PER_S2 * righting_arm_m / 1000


@method(
    name="Breaking load asked of a forestay",
    what_for="Whether a forestay is plausible for the boat.",
    symbols={
        "moment_knm": "righting moment at 30°, kN m",
        "hoist_m": "foretriangle's height I, m",
        "freeboard_m": "at the mast, m",
        "masthead": "to the masthead, else inner",
        "result": "kN",
    },
    limits="A screen for usual sloops.",
    source="Nordic boat rule, as Larsson and Eliasson give its form",
    standing="guidance",
    text="memory",
    defer=DEFER,
)
def forestay_kn(
    moment_knm: float, hoist_m: float, freeboard_m: float, *, masthead: bool = True
) -> float:
    """Fifteen times the moment over the lever; twelve for an inner forestay.

    Args:
        moment_knm: Above 0.
        hoist_m: Above 0.
        freeboard_m: 0 or more.
        masthead: Whether it leads to the masthead.

    Returns:
        kN.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(forestay_kn(32.36, 14, 1.1), 1)
    32.1
    """
    above_zero(moment_knm=moment_knm, hoist_m=hoist_m)
    if freeboard_m < 0:
        raise ValueError(f"A freeboard is 0 m or more; {freeboard_m:g} was given.")
    return (15 if masthead else 12) * moment_knm / (hoist_m + freeboard_m)


@method(
    name="Working load of the shrouds",
    what_for="What all shrouds of one side carry together.",
    symbols={
        "moment_knm": "righting moment at 30°, kN m",
        "half_width_m": "centreline to chainplate, m",
        "result": "kN, a side",
    },
    limits="All shrouds of a side together; 2.5 to 3 times as much to breaking is usual.",
    source="Nordic boat rule, as Larsson and Eliasson give its form",
    standing="guidance",
    text="memory",
    defer=DEFER,
)
def shrouds_kn(moment_knm: float, half_width_m: float) -> float:
    """One and a half times the moment over half the width of the chainplates.

    Args:
        moment_knm: Above 0.
        half_width_m: Above 0.

    Returns:
        kN.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(shrouds_kn(32.36, 1.5), 1)
    32.4
    """
    above_zero(moment_knm=moment_knm, half_width_m=half_width_m)
    return 1.5 * moment_knm / half_width_m


@method(
    name="Margin of a stay or chainplate",
    what_for="How often the load goes into the strength.",
    symbols={"strength_kn": "kN", "load_kn": "kN", "result": "ratio"},
    limits=(
        "Stays usually 2.5 to 3 times the working load; chainplate and fastening 1.2 to 1.5 times what the stay breaks "
        "at. Sound, unworn metal on both sides."
    ),
    source="definition",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def margin_ratio(strength_kn: float, load_kn: float) -> float:
    """Strength over load.

    Args:
        strength_kn: 0 or more.
        load_kn: Above 0.

    Returns:
        Ratio.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(margin_ratio(34.8, 12.0), 1)
    2.9
    """
    above_zero(load_kn=load_kn)
    if strength_kn < 0:
        raise ValueError(f"A strength is 0 kN or more; {strength_kn:g} was given.")
    return strength_kn / load_kn


@method(
    name="Years past the customary age",
    what_for="Whether rigging is due by its age alone.",
    symbols={"age_y": "years since it was new", "standing": "wire or rod", "result": "years past"},
    limits=(
        "Stainless wire 10 to 15 years or some 20,000 miles; rod is looked at or re-headed at 5 to 8. No one number has "
        "a scientific ground. Galvanised wire by condition, fibre by its maker."
    ),
    source="common practice; insurers often ask for 10 years, a magazine for 5 of rod",
    standing="common practice",
    text="read",
    defer="The insurer's own words, the maker and a rigger.",
)
def past_age_y(age_y: float, standing: Standing = "wire") -> float:
    """Age less the customary one; negative before it.

    Args:
        age_y: 0 or more.
        standing: Of wire or rod.

    Returns:
        Years.

    Raises:
        ValueError: The age is negative.

    >>> past_age_y(28), past_age_y(4, "rod")
    (18.0, -1.0)
    """
    if age_y < 0:
        raise ValueError(f"An age is 0 years or more; {age_y:g} was given.")
    return age_y - criteria()[f"rig-{standing}-age"].limit


@method(
    name="Stiffness of a wire",
    what_for="What the rigger's folding rule means for the metal, as a test of that rule.",
    symbols={"diameter_mm": "mm", "breaking_kn": "kN", "result": "GPa on the full circle"},
    limits="1x19 only.",
    source="the folding rule, turned round",
    standing="common practice",
    text="memory",
)
def modulus_gpa(diameter_mm: float, breaking_kn: float) -> float:
    """Stress over strain at 1 mm in 2 m.

    Args:
        diameter_mm: Above 0.
        breaking_kn: Above 0.

    Returns:
        GPa.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(modulus_gpa(6, 28.3))
    100
    """
    above_zero(diameter_mm=diameter_mm, breaking_kn=breaking_kn)
    return tension_pct(1) / 100 * breaking_kn * 2000 / (pi * diameter_mm**2 / 4)


# Of a survey


def results(survey: Survey) -> tuple[Result, ...]:
    """Strength of the wires that were measured, and what is to be asked of their age."""
    return tuple(_of_wires(survey))


def _of_wires(survey: Survey) -> Iterator[Result]:
    wires = measured(survey, "diameter", "wire-stay", uncertainty=_SIZE_MM)
    for each in wires:
        what = f"strength of {place_words(each.place)}, new"
        try:
            load = breaking_kn(each.value)
        except ValueError as error:
            yield unsaid("rig.breaking_kn", what, "kN", [each], str(error), CAUTION)
            continue
        said = [
            f"{each.value:g} mm, taken as stainless 1x19; makers differ by 5 %, and the certificate decides.",
            "Age, a broken strand or a cracked terminal count for more than its size.",
            CAUTION,
        ]
        doubt = load * _STRENGTH_RATIO
        yield unlimited("rig.breaking_kn", what, load, "kN", doubt, [each], said)
    if wires:
        year = survey.boat.year if survey.boat else None
        built = f"The boat is of {year}; " if year else ""
        limit = criteria()["rig-wire-age"]
        yield unsaid(
            "rig.past_age_y",
            "age of the standing rigging",
            "years",
            wires,
            f"{built}no reading holds the age of the rigging. Ask for the invoice of its last renewal: insurers often ask "
            f"for it at {limit.limit:g} {limit.unit}.",
        )
