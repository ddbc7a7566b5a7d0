"""Ventilation: the fixed openings that gas appliances and people need, and the air of petrol spaces.

An "area" on `fixed-ventilation` is the free area of an opening behind its grille, with what the rule asks of it as its
`original`. On `petrol-space` three "lengths" whose words say long, wide and high give the volume; an "area" there is
that of an opening or duct for natural ventilation, a "flow" the output of the blower at its outlet.
"""

from collections.abc import Iterator, Sequence
from math import log, prod

from garboard.boat.units import FOOT_M, INCH_MM
from garboard.methods.bounds import not_below_zero
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import Measured, above_zero, judged, measured, unsaid
from garboard.methods.noted import says
from garboard.methods.result import Result
from garboard.methods.zone import place_words
from garboard.notebook.fold import Survey

CM2_PER_IN2 = (INCH_MM / 10) ** 2
L_PER_FT3 = 1000 * FOOT_M**3

GAS_CAUTION = (
    "Too little air makes carbon monoxide, which kills asleep. Openings are never shut or covered to keep warm; the "
    "appliance makers' figures and the code in force stand above this rule, and gas work is for a registered fitter."
)
PETROL_CAUTION = (
    "Petrol vapour explodes: smell and meter the bilge low down, run the blower four minutes, smell again, and only "
    "then switch or start anything. With vapour aboard, everybody off and nothing switched."
)

_FREE_AREA_RATIO = 0.1
_BLOWER_RATIO = 0.15
_SIDES = ("long", "wide", "high")
_LAW = "33 CFR 183.610"
_LAW_NATURAL = "33 CFR 183.620 and 183.630"


@method(
    name="Fixed ventilation for gas appliances and people",
    what_for="The free area that openings which cannot be shut should have in all.",
    symbols={
        "unflued_kw": "input of unflued appliances, cookers included, kW",
        "flued_kw": "input of open-flued and closed-flued appliances, kW",
        "persons": "the space is designed for, a count",
        "result": "mm², half of it high and half of it low",
    },
    limits=(
        "Net free area behind mesh and cowl, not the cut-out. Room-sealed appliances have their own air. Written for "
        "inland boats; sea-going boats may have vents that shut, with a warning."
    ),
    source="PD 5482-3, as quoted in the 2002 standards of the United Kingdom's inland boat safety scheme",
    standing="guidance",
    text="read",
    defer=GAS_CAUTION,
)
def fixed_ventilation_mm2(unflued_kw: float, flued_kw: float, persons: int) -> float:
    """2200 for each unflued kilowatt, 440 for each flued one, 650 for each person.

    Args:
        unflued_kw: kW; 0 or more.
        flued_kw: kW; 0 or more.
        persons: 0 or more.

    Returns:
        mm² of free area.

    Raises:
        ValueError: An argument is negative.

    >>> fixed_ventilation_mm2(4.5, 3.0, 4)
    13820.0
    """
    not_below_zero(unflued_kw=unflued_kw, flued_kw=flued_kw, persons=persons)
    return 2200 * unflued_kw + 440 * flued_kw + 650 * persons


@method(
    name="Natural ventilation of a petrol space",
    what_for="The least area of each opening or duct, one letting air in and one out.",
    symbols={"volume_ft3": "net volume of the space, cubic feet", "result": "square inches"},
    limits=(
        "Each opening above 3.0 square inches whatever the volume; the exhaust from the lower third, above the bilge "
        "water. Spaces open to the atmosphere are exempt."
    ),
    source=_LAW_NATURAL,
    standing="regulation",
    text="read",
    defer=PETROL_CAUTION,
)
def petrol_opening_in2(volume_ft3: float) -> float:
    """Five times the natural logarithm of a fifth of the volume, at least 3.0.

    Args:
        volume_ft3: Cubic feet; above 0.

    Returns:
        Square inches.

    Raises:
        ValueError: The volume is not above zero.

    >>> round(petrol_opening_in2(50), 2)
    11.51
    """
    above_zero(volume_ft3=volume_ft3)
    return max(3.0, 5 * log(volume_ft3 / 5))


@method(
    name="Rated capacity of a petrol blower",
    what_for="The rating of the blower, or blowers together, of a petrol engine space.",
    symbols={
        "volume_ft3": "net volume of the space, cubic feet",
        "result": "cubic feet a minute",
    },
    limits="As rated by the blower's maker, not what it moves when fitted. The steps of the law do not quite join.",
    source=f"{_LAW}, table 1",
    standing="regulation",
    text="read",
    defer=PETROL_CAUTION,
)
def petrol_blower_ft3_per_min(volume_ft3: float) -> float:
    """The table's figure.

    Args:
        volume_ft3: Cubic feet; above 0.

    Returns:
        Cubic feet a minute.

    Raises:
        ValueError: The volume is not above zero.

    >>> petrol_blower_ft3_per_min(100)
    150.0
    """
    above_zero(volume_ft3=volume_ft3)
    if volume_ft3 < 34:
        return 50.0
    return 1.5 * volume_ft3 if volume_ft3 <= 100 else volume_ft3 / 2 + 100


@method(
    name="Output of a petrol blower as fitted",
    what_for="The air that should leave at the outlet.",
    symbols={
        "volume_ft3": "net volume of the space, cubic feet",
        "result": "cubic feet a minute",
    },
    limits="Measured at the outlet with the duct as it is, at the battery's ordinary voltage.",
    source=f"{_LAW}, table 1",
    standing="regulation",
    text="read",
    defer=PETROL_CAUTION,
)
def petrol_output_ft3_per_min(volume_ft3: float) -> float:
    """The table's figure.

    Args:
        volume_ft3: Cubic feet; above 0.

    Returns:
        Cubic feet a minute.

    Raises:
        ValueError: The volume is not above zero.

    >>> petrol_output_ft3_per_min(200)
    80.0
    """
    above_zero(volume_ft3=volume_ft3)
    if volume_ft3 < 34:
        return 20.0
    return 0.6 * volume_ft3 if volume_ft3 <= 100 else 0.2 * volume_ft3 + 40


@method(
    name="Time to change the air of a petrol space",
    what_for="How quickly the fans of a small passenger boat change the air.",
    symbols={"volume_m3": "of the space, m³", "result": "minutes for one change"},
    limits="Inspected small passenger boats of the United States; a benchmark elsewhere.",
    source="46 CFR 182.460",
    standing="regulation",
    text="read",
    defer=PETROL_CAUTION,
)
def air_change_min(volume_m3: float) -> float:
    """The table's figure.

    Args:
        volume_m3: m³; above 0.

    Returns:
        Minutes.

    Raises:
        ValueError: The volume is not above zero.

    >>> air_change_min(14), air_change_min(50)
    (2.0, 5.0)
    """
    above_zero(volume_m3=volume_m3)
    return next(
        (minutes for top, minutes in ((14.0, 2.0), (28.5, 3.0), (43.0, 4.0)) if volume_m3 <= top),
        5.0,
    )


@method(
    name="Share of the ventilation asked for",
    what_for="An opening or a flow against what a rule asks of it.",
    symbols={"found": "free area or flow", "asked": "same unit", "result": "% of what is asked"},
    limits="Free area behind mesh and cowl, to about a tenth by rule and eye.",
    source="definition",
    standing="common practice",
    text="read",
)
def asked_pct(found: float, asked: float) -> float:
    """Found over asked.

    Args:
        found: Area or flow; 0 or more.
        asked: Same unit; above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> asked_pct(45.0, 60.0)
    75.0
    """
    above_zero(asked=asked)
    not_below_zero(found=found)
    return 100 * found / asked


def results(survey: Survey) -> tuple[Result, ...]:
    """Each opening and each blower against what is asked of it."""
    fixed = measured(survey, "area", "fixed-ventilation", uncertainty=0.0)
    return (*map(_of_fixed, fixed), *_of_petrol_space(survey))


def _of_fixed(area: Measured) -> Result:
    what = f"free area of {place_words(area.place)}"
    if not area.original or area.original < 0:
        why = "What the rule asks of it, which goes by the appliances' input and the persons, was not noted."
        return unsaid("ventilation.asked_pct", what, "%", [area], why, GAS_CAUTION)
    said = [f"{area.value:g} of {area.original:g} cm² asked for.", GAS_CAUTION]
    return _judged(what, area, area.original, _FREE_AREA_RATIO, "ventilation-fixed", [], said)


def _of_petrol_space(survey: Survey) -> Iterator[Result]:
    lengths = measured(survey, "length", "petrol-space", uncertainty=0.0)
    areas = measured(survey, "area", "petrol-space", uncertainty=0.0)
    flows = measured(survey, "flow", "petrol-space", uncertainty=0.0)
    sides = [next((each for each in lengths if says(each, word)), None) for word in _SIDES]
    known = [each for each in sides if each is not None and each.value > 0]
    for read in (*areas, *flows):
        is_area = read in areas
        what = f"{'opening' if is_area else 'blower output'} of {place_words(read.place)}"
        if len(known) < len(_SIDES):
            why = "Its length, width and height, which the law goes by, were not all measured."
            yield unsaid("ventilation.asked_pct", what, "%", [read], why, PETROL_CAUTION)
            continue
        volume_m3 = prod(each.value for each in known)
        volume_ft3 = 1000 * volume_m3 / L_PER_FT3
        if is_area:
            asked, limit, unit = petrol_opening_in2(volume_ft3) * CM2_PER_IN2, "opening", "cm²"
        else:
            asked, limit, unit = (
                petrol_output_ft3_per_min(volume_ft3) * L_PER_FT3,
                "output",
                "L/min",
            )
        said = [
            f"{read.value:g} of {asked:.0f} {unit} asked for by a space of {volume_m3:.2f} m³, taken whole, engine "
            "and tank included.",
            "Binding on petrol-engined boats in the United States; a benchmark elsewhere.",
            PETROL_CAUTION,
        ]
        doubt = _FREE_AREA_RATIO if is_area else _BLOWER_RATIO
        yield _judged(what, read, asked, doubt, f"ventilation-petrol-{limit}", known, said)


def _judged(
    what: str,
    read: Measured,
    asked: float,
    doubt_ratio: float,
    limit: str,
    also: Sequence[Measured],
    said: Sequence[str],
) -> Result:
    share = asked_pct(max(0.0, read.value), asked)
    stated = 100 * read.uncertainty / asked
    doubt = stated or doubt_ratio * share
    return judged(
        "ventilation.asked_pct", what, share, doubt, criteria()[limit], [read, *also], said
    )
