"""Ground tackle: how far the chain is worn, what it weighs and reaches, and what the wind pulls.

A "diameter" on the chain is that of the wire of a link where it is most worn, with the one it was made with as its
`original`. A "mass" on an anchor is set beside the customary band for the boat's length; the maker's table rules.
"""

from math import sqrt

from garboard.methods.bounds import not_below_zero
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import Measured, above_zero, judged, measured, unlimited, unsaid
from garboard.methods.result import Result
from garboard.methods.zone import place_words
from garboard.notebook.fold import Survey

ANCHOR = "anchor"
CHAIN = "anchor-rode"

CUSTOMARY_BOWERS_KG: tuple[tuple[float, float, float], ...] = (
    (8.0, 6.0, 10.0),
    (10.0, 10.0, 15.0),
    (12.0, 15.0, 20.0),
    (15.0, 20.0, 30.0),
    (18.0, 30.0, 50.0),
)
"""Up to a length over all, m: a bower anchor from and to, kg; customary, from memory, from 6 m."""

CAUTION = (
    "Hands, feet and hair clear of chain and windlass, and the windlass isolated before chain is handled. The anchor "
    "maker's table stands above custom."
)

_CALLIPER_MM = 0.1
_WORN_PCT = 1.25
_SCALE_KG = 0.2
_AIR_KG_PER_M3 = 1.225


@method(
    name="Mass of chain",
    what_for="What short-link steel chain weighs.",
    symbols={"wire_mm": "diameter of the wire, mm", "length_m": "m", "result": "kg"},
    limits="Short link steel, to a few per cent.",
    source="common practice: 0.022 kg/m for the square of each millimetre",
    standing="common practice",
    text="memory",
)
def chain_mass_kg(wire_mm: float, length_m: float = 1.0) -> float:
    """0.022 times the square of the diameter, and the length.

    Args:
        wire_mm: mm; 0 or more.
        length_m: m; 0 or more.

    Returns:
        kg.

    Raises:
        ValueError: An argument is negative.

    >>> round(chain_mass_kg(8), 2)
    1.41
    """
    not_below_zero(wire_mm=wire_mm, length_m=length_m)
    return 0.022 * wire_mm**2 * length_m


@method(
    name="Chain that just lifts at the anchor",
    what_for="How much chain lies out when a pull has straightened it down to the anchor's shank.",
    symbols={
        "pull_n": "level pull at the boat, N",
        "weight_n_per_m": "of the chain under water, N/m",
        "depth_m": "from bow roller to bed, m",
        "result": "m",
    },
    limits="Still: no swell, no sheering, level bed. A screen only, since swell snatches far harder.",
    source="catenary",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def chain_to_lift_m(pull_n: float, weight_n_per_m: float, depth_m: float) -> float:
    """Length of the hanging chain that is level at its foot.

    Args:
        pull_n: N; 0 or more.
        weight_n_per_m: N/m; above 0.
        depth_m: m; 0 or more.

    Returns:
        m, never below the depth.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(chain_to_lift_m(1000, 11.94, 6), 1)
    32.3
    """
    above_zero(weight_n_per_m=weight_n_per_m)
    not_below_zero(pull_n=pull_n, depth_m=depth_m)
    return sqrt(depth_m**2 + 2 * depth_m * pull_n / weight_n_per_m)


@method(
    name="Wind on a boat",
    what_for="The pull of the wind that the anchor holds.",
    symbols={
        "windage_m2": "area square to the wind, m²",
        "wind_m_per_s": "m/s",
        "coefficient": "of drag, about 1",
        "result": "N",
    },
    limits="The coefficient is known to about 30 %; she sheers, and shows more side than bow.",
    source="drag of a bluff body, air of 1.225 kg/m³",
    standing="common practice",
    text="read",
)
def wind_load_n(windage_m2: float, wind_m_per_s: float, coefficient: float = 1.0) -> float:
    """Half the density times coefficient, area and the square of the speed.

    Args:
        windage_m2: m²; 0 or more.
        wind_m_per_s: m/s; 0 or more.
        coefficient: 0 or more.

    Returns:
        N.

    Raises:
        ValueError: An argument is negative.

    >>> round(wind_load_n(12, 15))
    1654
    """
    not_below_zero(windage_m2=windage_m2, wind_m_per_s=wind_m_per_s, coefficient=coefficient)
    return 0.5 * _AIR_KG_PER_M3 * coefficient * windage_m2 * wind_m_per_s**2


@method(
    name="Wear of a link",
    what_for="How much of a link's wire is gone where it bears on the next.",
    symbols={
        "made_mm": "diameter of the wire as made, mm",
        "worn_mm": "where it is most worn, mm",
        "result": "% of the diameter",
    },
    limits="Rust off; the mean of two readings square to each other. Strength goes with the area, so twice as fast.",
    source="definition",
    standing="common practice",
    text="read",
)
def link_worn_pct(made_mm: float, worn_mm: float) -> float:
    """Loss over the diameter as made.

    Args:
        made_mm: mm; above 0.
        worn_mm: mm; 0 or more.

    Returns:
        Per cent; negative where it reads thicker, as galvanised chain does.

    Raises:
        ValueError: An argument is out of its range.

    >>> link_worn_pct(10.0, 8.5)
    15.0
    """
    above_zero(made_mm=made_mm)
    not_below_zero(worn_mm=worn_mm)
    return 100 * (made_mm - worn_mm) / made_mm


@method(
    name="Anchor against custom",
    what_for="A bower anchor's mass beside what boats of the length usually carry.",
    symbols={"length_m": "over all, m", "result": "kg, from and to"},
    limits="Boats of 6 to 18 m over all and ordinary windage; modern anchors of high holding power may be lighter.",
    source="common practice",
    standing="common practice",
    text="memory",
    defer=CAUTION,
)
def customary_bower_kg(length_m: float) -> tuple[float, float]:
    """The customary band for the length.

    Args:
        length_m: m; 6 to 18.

    Returns:
        From and to, kg.

    Raises:
        ValueError: The length is outside the bands.

    >>> customary_bower_kg(10.2)
    (15.0, 20.0)
    """
    if not 6 <= length_m <= CUSTOMARY_BOWERS_KG[-1][0]:
        raise ValueError(f"Custom is held for boats of 6 to 18 m; {length_m:g} m was given.")
    return next((low, high) for to, low, high in CUSTOMARY_BOWERS_KG if length_m <= to)


def results(survey: Survey) -> tuple[Result, ...]:
    """The wear of each link measured, and each anchor beside the customary band."""
    links = measured(survey, "diameter", CHAIN, uncertainty=_CALLIPER_MM)
    anchors = measured(survey, "mass", ANCHOR, uncertainty=_SCALE_KG)
    return (*map(_of_link, links), *(_of_anchor(survey, each) for each in anchors))


def _of_link(link: Measured) -> Result:
    name, what = "ground_tackle.link_worn_pct", f"wear of a link of {place_words(link.place)}"
    if not link.original or link.original < 0:
        why = "The diameter that the wire was made with was not noted."
        return unsaid(name, what, "%", [link], why, CAUTION)
    worn = link_worn_pct(link.original, max(0.0, link.value))
    doubt = max(_WORN_PCT, 100 * link.uncertainty / link.original)
    said = [f"{link.value:g} of {link.original:g} mm.", CAUTION]
    return judged(name, what, worn, doubt, criteria()["ground-tackle-link"], [link], said)


def _of_anchor(survey: Survey, anchor: Measured) -> Result:
    name, what = "ground_tackle.customary_bower_kg", f"mass of {place_words(anchor.place)}"
    length_m = survey.boat.loa_m if survey.boat else None
    if not length_m:
        return unsaid(name, what, "kg", [anchor], "The length of the boat is not known.")
    try:
        low, high = customary_bower_kg(length_m)
    except ValueError as problem:
        return unsaid(name, what, "kg", [anchor], str(problem))
    said = [
        f"Boats of {length_m:g} m customarily carry a bower of {low:g} to {high:g} kg.",
        CAUTION,
    ]
    return unlimited(name, what, anchor.value, "kg", anchor.uncertainty, [anchor], said)
