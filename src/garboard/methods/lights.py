"""Navigation lights: how far the rules want them seen, and how bright that is.

No reading made aboard tells a light's range; what can be looked at is the mark of its approval, the lens, and the
voltage that reaches it. Where the lights were examined, the ranges they should be marked for are given.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, get_args

from garboard.methods.declaration import method
from garboard.methods.measured import above_zero
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Examination
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Light = Literal["masthead", "side", "stern", "all-round"]

THRESHOLD_LUX = 2e-7
TRANSMISSIVITY = 0.8
"""Of the air for a nautical mile; a meteorological visibility of about 13 miles."""

PART = "navigation-lights"

_ANNEX = "COLREG 1972, annex I, section 8"
_RULE = "COLREG 1972, rule 22"
_RANGES_NMI: Mapping[float, tuple[int, int, int, int]] = MappingProxyType(
    {
        12.0: (2, 1, 2, 2),
        20.0: (3, 2, 2, 2),
        50.0: (5, 2, 2, 2),
        float("inf"): (6, 3, 3, 3),
    }
)


@method(
    name="Luminous intensity of a light",
    what_for="How bright a light must be to be seen at a range.",
    symbols={"range_nmi": "nautical miles", "result": "cd"},
    limits="A visibility of 13 miles. No meter aboard measures it: look for the mark, the lens and the voltage.",
    source=_ANNEX,
    standing="regulation",
    text="read",
)
def intensity_cd(range_nmi: float) -> float:
    """3.43 million times the threshold, the square of the range, and the air's loss over it.

    Args:
        range_nmi: Nautical miles; above 0.

    Returns:
        cd.

    Raises:
        ValueError: The range is not above zero.

    >>> round(intensity_cd(2), 1)
    4.3
    """
    above_zero(range_nmi=range_nmi)
    return float(3.43e6 * THRESHOLD_LUX * range_nmi**2 * TRANSMISSIVITY**-range_nmi)


@method(
    name="Range of a light",
    what_for="How far a light of known intensity is seen.",
    symbols={"seen_cd": "intensity, cd", "result": "nautical miles"},
    limits="As for the intensity.",
    source=f"{_ANNEX}, solved for the range",
    standing="regulation",
    text="read",
)
def range_nmi(seen_cd: float) -> float:
    """The range whose intensity it is, by halving.

    Args:
        seen_cd: Intensity, cd; above 0.

    Returns:
        Nautical miles.

    Raises:
        ValueError: The intensity is not above zero.

    >>> round(range_nmi(12.06), 2)
    3.0
    """
    above_zero(seen_cd=seen_cd)
    low, high = 0.0, 1.0
    while intensity_cd(high) < seen_cd:
        low, high = high, 2 * high
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if intensity_cd(middle) < seen_cd else (low, middle)
    return (low + high) / 2


@method(
    name="Range asked of a navigation light",
    what_for="The least range the rules want a light seen at.",
    symbols={
        "light": "masthead, side, stern or all-round",
        "length_m": "of the boat over all, m",
        "result": "nautical miles",
    },
    limits="Power-driven and sailing vessels at sea; inland and national rules may differ, as for boats under 7 m.",
    source=_RULE,
    standing="regulation",
    text="read",
)
def asked_range_nmi(light: Light, length_m: float) -> float:
    """The rule's figure for the length.

    Args:
        light: Which light.
        length_m: m; above 0.

    Returns:
        Nautical miles.

    Raises:
        ValueError: The light is none of these, or the length not above zero.

    >>> asked_range_nmi("masthead", 13.6), asked_range_nmi("side", 10.2)
    (3.0, 1.0)
    """
    above_zero(length_m=length_m)
    if light not in get_args(Light):
        raise ValueError(f'A light is {", ".join(get_args(Light))}, not "{light}".')
    ranges = next(each for top, each in _RANGES_NMI.items() if length_m < top)
    return float(ranges[get_args(Light).index(light)])


def results(survey: Survey) -> tuple[Result, ...]:
    """The ranges asked of the boat's lights, where they were examined."""
    seen = [
        each
        for each in survey.of(Examination)
        if each.body.place.part == PART and each.body.extent in ("whole", "part")
    ]
    if not seen:
        return ()
    boats = survey.of(Boat)
    boat = boats[-1] if boats else None
    return tuple(_result(seen[-1], boat, light) for light in get_args(Light))


def _result(seen: Entry[Examination], boat: Entry[Boat] | None, light: Light) -> Result:
    what = f"range asked of {'an' if light == 'all-round' else 'a'} {light} light"
    length_m = boat.body.loa_m if boat else None
    if boat is None or not length_m:
        return Result(
            method="lights.asked_range_nmi",
            what=what,
            value=None,
            unit="nmi",
            verdict="cannot say",
            used=(seen.id,),
            uncertainty_why="not computed",
            place=seen.body.place,
            caveats=("The boat's length, which the rule goes by, is not known.",),
        )
    asked = asked_range_nmi(light, length_m)
    return Result(
        method="lights.asked_range_nmi",
        what=what,
        value=asked,
        unit="nmi",
        verdict="not comparable",
        used=(seen.id, boat.id),
        uncertainty_why="a rule's figure",
        place=seen.body.place,
        caveats=(
            f"By {_RULE}, for {length_m:g} m; {intensity_cd(asked):.1f} cd by its annex I.",
            "Compare with the mark on the light; the lens and the voltage at the lamp decide what is left of it.",
        ),
    )
