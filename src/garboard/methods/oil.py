"""Used oil: where an analysis lies against customary bands, and how wear metals rise with hours.

A "concentration" in parts a million on the oil report, the engine's fluids or the gearbox names its property in the
words of its place: iron, copper, lead, chromium, aluminium, silicon, sodium and potassium, water, fuel, glycol, soot.
Of silicon the new oil's figure is the `original`. The words "120 h" of a place say how long the oil was in use.
A "viscosity" in mm²/s says in the words of its place at which temperature, 40 or 100 °C; the new oil's, at the same
temperature, is the `original`.
No verdict is given on oil: its type, hours and engine decide, and the laboratory that read it knows them.
"""

import re
from collections.abc import Sequence
from statistics import linear_regression

from garboard.catalogue.naming import capital
from garboard.methods.bounds import not_below_zero
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import Measured, above_zero, measured, unsaid
from garboard.methods.result import Criterion, Result
from garboard.methods.zone import place_words
from garboard.notebook.fold import Survey

PARTS = ("engine-oil-report", "engine-fluids", "gearbox")

PROPERTIES = (
    "iron",
    "copper",
    "lead",
    "chromium",
    "aluminium",
    "silicon",
    "sodium",
    "water",
    "fuel",
    "glycol",
    "soot",
)

CAUTION = (
    "Customary bands only tell whom to ask: the laboratory's and the engine maker's limits stand above them, and the "
    "trend of several samples beats any number."
)

_METHOD = "oil.per_100_h"
_UNIT = "ppm in 100 h"
_BAND_C = "100"
_TEMPERATURE = re.compile(r"(\d+)\s*(?:°\s*C|deg)", re.IGNORECASE)
_HOURS = re.compile(r"(\d+(?:\.\d+)?)\s*(?:h|hours)\b")


@method(
    name="Wear for a hundred hours",
    what_for="Samples of oil of different age on one footing.",
    symbols={
        "found_ppm": "in the used oil, mg/kg",
        "new_ppm": "in new oil of the kind, mg/kg",
        "hours": "on the oil, h",
        "result": "mg/kg for a hundred hours",
    },
    limits="Topping up thins the sample; fresh wear after repairs is high for a while.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def per_100_h(found_ppm: float, new_ppm: float, hours: float) -> float:
    """What the oil has taken up over its hours.

    Args:
        found_ppm: mg/kg; 0 or more.
        new_ppm: mg/kg; 0 or more.
        hours: Above 0.

    Returns:
        mg/kg for a hundred hours; negative where the used oil holds less than new.

    Raises:
        ValueError: An argument is out of its range.

    >>> per_100_h(60, 0, 120)
    50.0
    """
    not_below_zero(found_ppm=found_ppm, new_ppm=new_ppm)
    above_zero(hours=hours)
    return 100 * (found_ppm - new_ppm) / hours


@method(
    name="Trend of wear",
    what_for="Whether wear rises from sample to sample.",
    symbols={
        "hours": "of the engine at each sample, h",
        "rates": "wear for a hundred hours at each, mg/kg",
        "result": "change of the rate in a hundred hours of the engine, mg/kg",
    },
    limits="Three samples or more, one laboratory, one kind of oil.",
    source="straight line by least squares",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def trend_per_100_h(hours: Sequence[float], rates: Sequence[float]) -> float:
    """Slope of the line through the samples.

    Args:
        hours: `(n,)` hours of the engine; three or more, not all alike.
        rates: `(n,)` wear for a hundred hours, mg/kg.

    Returns:
        Change of the rate for a hundred hours, mg/kg.

    Raises:
        ValueError: Fewer than three samples, not as many rates as hours, or all at one hour.

    >>> trend_per_100_h((100, 200, 300), (20, 30, 40))
    10.0
    """
    if len(hours) < 3 or len(hours) != len(rates) or len(set(hours)) == 1:
        raise ValueError(
            "A trend needs three samples or more at different hours; "
            f"{len(hours)} hours and {len(rates)} rates were given."
        )
    return 100 * linear_regression(hours, rates).slope


@method(
    name="Change from new",
    what_for="Viscosity or base number of used oil against that of new.",
    symbols={"now": "any unit", "new": "same unit", "result": "% of new, signed"},
    limits="The new oil's figure from the same laboratory, not from the can.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def change_pct(now: float, new: float) -> float:
    """Now less new over new.

    Args:
        now: Any unit; 0 or more.
        new: Same unit; above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> change_pct(11.5, 10.0)
    15.0
    """
    not_below_zero(now=now)
    above_zero(new=new)
    return 100 * (now - new) / new


def bands(of: str) -> tuple[Criterion, Criterion]:
    """The customary bands of a property or of "viscosity": from where to watch, from where to act.

    Raises:
        ValueError: No bands are held for the property.
    """
    if of not in (*PROPERTIES, "viscosity"):
        raise ValueError(
            f'Bands are held for {", ".join(PROPERTIES)} and viscosity, not for "{of}".'
        )
    return criteria()[f"oil-{of}-watch"], criteria()[f"oil-{of}-act"]


def results(survey: Survey) -> tuple[Result, ...]:
    """One result for each property read of an oil: never a verdict, always where it lies and whom to ask."""
    return (
        *map(_of_property, measured(survey, "concentration", *PARTS, uncertainty=0.0)),
        *map(_of_viscosity, measured(survey, "viscosity", *PARTS, uncertainty=0.0)),
    )


def _of_property(read: Measured) -> Result:
    words = set(re.findall(r"[a-z]+", read.place.words.casefold()))
    of = next((each for each in PROPERTIES if each in words), None)
    what = f"{of or 'a property'} taken up by the oil, {place_words(read.place)}"
    if of is None:
        why = f"Its words name none of {', '.join(PROPERTIES)}."
        return unsaid(_METHOD, what, _UNIT, [read], why, CAUTION)
    new_ppm = read.original or 0.0
    lies = _lies(of, read.value - new_ppm)
    hours = _HOURS.search(read.place.words)
    if hours is None or float(hours[1]) <= 0 or min(read.value, new_ppm) < 0:
        why = "How many hours the oil was in use was not noted, so nothing can be compared."
        return unsaid(_METHOD, what, _UNIT, [read], why, lies, CAUTION)
    return Result(
        method=_METHOD,
        what=what,
        value=per_100_h(read.value, new_ppm, float(hours[1])),
        unit=_UNIT,
        verdict="not comparable",
        used=(read.entry,),
        uncertainty_why="the laboratory's, which its report gives",
        place=read.place,
        caveats=(lies, f"{read.value:g} ppm after {hours[1]} hours.", CAUTION),
    )


def _of_viscosity(read: Measured) -> Result:
    what = f"change of viscosity from new, {place_words(read.place)}"
    if not read.original:
        why = f"{read.value:g} mm²/s; that of the new oil was not given as the original."
        return unsaid("oil.change_pct", what, "%", [read], why, CAUTION)
    value = change_pct(read.value, read.original)
    temperature = _TEMPERATURE.search(read.place.words)
    if temperature and temperature[1] == _BAND_C:
        lies = _lies("viscosity", abs(value))
    else:
        at = f"at {temperature[1]} °C" if temperature else "where the temperature is not noted"
        lies = f"Custom has its bands at {_BAND_C} °C; none is held {at}."
    return Result(
        method="oil.change_pct",
        what=what,
        value=value,
        unit="%",
        verdict="not comparable",
        used=(read.entry,),
        uncertainty_why="the laboratory's, which its report gives",
        place=read.place,
        caveats=(
            lies,
            f"{read.value:g} mm²/s, {read.original:g} when new; fuel thins oil, soot and age thicken it, and topping "
            "up with another grade does either.",
            CAUTION,
        ),
    )


def _lies(of: str, above_new_ppm: float) -> str:
    """Where a property lies to its bands, in words."""
    watch, act = bands(of)
    for each in (act, watch):
        if above_new_ppm > each.limit:
            return f"{capital(each.say)}."
    return "Below the customary bands."
