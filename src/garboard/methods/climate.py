"""The air and the skin: dew point, and how far the surface read stood above it.

Over water throughout: below 0 °C the frost point, which lies higher, is another quantity.
"""

import math
from itertools import chain

from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.result import Result, verdict_of
from garboard.notebook.body import Conditions, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

_SLOPE = 17.625
_OFFSET_C = 243.04

# Standard uncertainties of ordinary instruments, working figures: hygrometer, air and surface thermometer.
_U_HUMIDITY_PCT = 3.0
_U_AIR_C = 0.5
_U_SURFACE_C = 1.0

# A film of sea salt draws water from air damper than this; common practice.
_SALT_DRAWS_WATER_PCT = 75.0

_SOURCE = (
    "Alduchov & Eskridge, J. Appl. Meteorol. 35 (1996) 601, equation with 17.625 and 243.04 °C"
)


@method(
    name="Dew point",
    what_for="The temperature at which the air's moisture begins to settle on a surface.",
    symbols={"air_c": "°C", "humidity_pct": "% relative humidity", "result": "°C"},
    limits="Air from -10 to 45 °C, humidity above 20 %. Over water: below 0 °C the frost point lies higher.",
    source=_SOURCE,
    standing="common practice",
    text="memory",
)
def dew_point_c(air_c: float, humidity_pct: float) -> float:
    """Dew point of the air, over water.

    Args:
        air_c: Air temperature, °C; from -40 to 60.
        humidity_pct: Relative humidity, %; above 0, up to 100.

    Returns:
        °C, never above the air's temperature.

    Raises:
        ValueError: Temperature or humidity out of range.

    Limits:
        Within 0.04 °C of a full humid-air formula from 0.5 to 45 °C, 20 to 95 %; instruments are far coarser.

    Source:
        Alduchov and Eskridge 1996; from memory.

    >>> round(dew_point_c(20, 50), 2)
    9.26
    """
    if not -40 <= air_c <= 60:
        raise ValueError(f"An air temperature lies between -40 and 60 °C here, not at {air_c} °C.")
    if not 0 < humidity_pct <= 100:
        raise ValueError(
            f"A relative humidity lies above 0 and up to 100 %, not at {humidity_pct} %."
        )
    slope = math.log(humidity_pct / 100) + _SLOPE * air_c / (_OFFSET_C + air_c)
    return _OFFSET_C * slope / (_SLOPE - slope)


@method(
    name="Margin above the dew point",
    what_for="Whether the surface read, or to be painted, could be damp from the air.",
    symbols={
        "surface_c": "°C",
        "air_c": "°C",
        "humidity_pct": "% relative humidity",
        "result": "°C",
    },
    limits="The surface measured on the spot and in the shade: a hull is often colder than the air.",
    source=_SOURCE,
    standing="common practice",
    text="memory",
    defer="A coating maker's data stand above the usual three degrees.",
)
def dew_margin_c(surface_c: float, air_c: float, humidity_pct: float) -> float:
    """How far the surface stands above the dew point of the air.

    Args:
        surface_c: Surface temperature, °C.
        air_c: Air temperature, °C; from -40 to 60.
        humidity_pct: Relative humidity, %; above 0, up to 100.

    Returns:
        °C; zero or below where water condenses.

    Raises:
        ValueError: Temperature or humidity out of range.

    >>> round(dew_margin_c(10, 12, 80), 2)
    1.34
    """
    return surface_c - dew_point_c(air_c, humidity_pct)


@method(
    name="Uncertainty of the margin",
    what_for="How well the margin above the dew point is known with ordinary instruments.",
    symbols={
        "air_c": "°C",
        "humidity_pct": "% relative humidity",
        "u_humidity_pct": "standard uncertainty of the hygrometer, %",
        "u_air_c": "standard uncertainty of the air thermometer, °C",
        "u_surface_c": "standard uncertainty of the surface thermometer, °C",
        "result": "standard uncertainty, °C",
    },
    limits="Independent errors; small beside the readings.",
    source="JCGM 100:2008, 5.1 (law of propagation), with the derivatives of the dew point formula",
    standing="guidance",
    text="second hand",
)
def dew_margin_uncertainty_c(
    air_c: float,
    humidity_pct: float,
    u_humidity_pct: float = _U_HUMIDITY_PCT,
    u_air_c: float = _U_AIR_C,
    u_surface_c: float = _U_SURFACE_C,
) -> float:
    """Standard uncertainty of the margin above the dew point.

    Args:
        air_c: Air temperature, °C; from -40 to 60.
        humidity_pct: Relative humidity, %; above 0, up to 100.
        u_humidity_pct: Standard uncertainty of the humidity, %; 0 or more.
        u_air_c: Standard uncertainty of the air temperature, °C; 0 or more.
        u_surface_c: Standard uncertainty of the surface temperature, °C; 0 or more.

    Returns:
        °C.

    Raises:
        ValueError: Temperature or humidity out of range.

    >>> round(dew_margin_uncertainty_c(20, 85), 1)
    1.2
    """
    dew_c = dew_point_c(air_c, humidity_pct)
    slope_of_dew = _SLOPE * _OFFSET_C / (_OFFSET_C + dew_c) ** 2
    per_air = _SLOPE * _OFFSET_C / (_OFFSET_C + air_c) ** 2 / slope_of_dew
    per_humidity = 1 / humidity_pct / slope_of_dew
    return math.hypot(u_surface_c, per_air * u_air_c, per_humidity * u_humidity_pct)


@method(
    name="Humidity at the skin",
    what_for="How damp the air is against a surface colder than itself.",
    symbols={
        "surface_c": "°C",
        "air_c": "°C",
        "humidity_pct": "% relative humidity",
        "result": "% relative humidity",
    },
    limits="As for the dew point; capped at 100 %, where water condenses.",
    source=_SOURCE,
    standing="common practice",
    text="memory",
)
def surface_humidity_pct(surface_c: float, air_c: float, humidity_pct: float) -> float:
    """Relative humidity of the air once it has taken the temperature of the surface.

    Args:
        surface_c: Surface temperature, °C; from -40 to 60.
        air_c: Air temperature, °C; from -40 to 60.
        humidity_pct: Relative humidity, %; above 0, up to 100.

    Returns:
        %, at most 100.

    Raises:
        ValueError: Temperature or humidity out of range.

    >>> round(surface_humidity_pct(10, 12, 80), 1)
    91.4
    """
    dew_c = dew_point_c(air_c, humidity_pct)
    exponent = _SLOPE * (dew_c / (_OFFSET_C + dew_c) - surface_c / (_OFFSET_C + surface_c))
    return min(100.0, 100 * math.exp(exponent))


def conditions_for(survey: Survey, reading: Entry[ReadingSet]) -> Entry[Conditions] | None:
    """The conditions a set was read under: the last recorded before it, else the first recorded at all."""
    recorded = sorted(survey.of(Conditions), key=survey.done_at)
    read_at = survey.done_at(reading)
    before = [each for each in recorded if survey.done_at(each) <= read_at]
    return before[-1] if before else next(iter(recorded), None)


def results(survey: Survey) -> tuple[Result, ...]:
    """Dew point and margin for each record of the conditions; what is missing where moisture was read."""
    wet_sets = survey.sets("moisture")
    needed = {found.id for each in wet_sets if (found := conditions_for(survey, each))}
    made = tuple(
        chain.from_iterable(_results_of(each, each.id in needed) for each in survey.of(Conditions))
    )
    if wet_sets and not survey.of(Conditions):
        return (_missing("No conditions were recorded", tuple(each.id for each in wet_sets)),)
    return made


def _results_of(entry: Entry[Conditions], is_needed: bool) -> tuple[Result, ...]:
    seen = entry.body
    if seen.air_c is None or not seen.humidity_pct:
        why = "Air temperature or humidity was not recorded"
        return (_missing(why, (entry.id,)),) if is_needed else ()
    try:
        dew_c = dew_point_c(seen.air_c, seen.humidity_pct)
    except ValueError as problem:
        return (_missing(str(problem).rstrip("."), (entry.id,)),)
    caveats: tuple[str, ...] = ()
    if dew_c < 0:
        caveats = (
            "Below 0 °C the frost point is the higher one; this is the dew point over water.",
        )
    dew = Result(
        method="climate.dew_point_c",
        what="dew point of the air",
        value=dew_c,
        unit="°C",
        verdict="not comparable",
        used=(entry.id,),
        uncertainty=dew_margin_uncertainty_c(seen.air_c, seen.humidity_pct, u_surface_c=0.0),
        caveats=caveats,
    )
    if seen.surface_c is None:
        why = "The temperature of the skin was not recorded"
        return (dew, _missing(why, (entry.id,))) if is_needed else (dew,)
    margin_c = dew_margin_c(seen.surface_c, seen.air_c, seen.humidity_pct)
    criterion = criteria()["skin-wet" if margin_c <= 0 else "skin-near-dew"]
    uncertainty_c = dew_margin_uncertainty_c(seen.air_c, seen.humidity_pct)
    at_skin_pct = surface_humidity_pct(seen.surface_c, seen.air_c, seen.humidity_pct)
    if at_skin_pct > _SALT_DRAWS_WATER_PCT:
        caveats = (
            *caveats,
            f"The air at the skin stood at about {at_skin_pct:.0f} % humidity; salt left on it draws water "
            f"above about {_SALT_DRAWS_WATER_PCT:.0f} %.",
        )
    return dew, Result(
        method="climate.dew_margin_c",
        what="skin above the dew point",
        value=margin_c,
        unit="°C",
        verdict=verdict_of(margin_c, uncertainty_c, criterion),
        used=(entry.id,),
        uncertainty=uncertainty_c,
        criterion=criterion,
        caveats=caveats,
    )


def _missing(why: str, used: tuple[str, ...]) -> Result:
    return Result(
        method="climate.dew_margin_c",
        what="skin above the dew point",
        value=None,
        unit="°C",
        verdict="cannot say",
        used=used,
        uncertainty_why="not computed",
        caveats=(f"{why}; note air and skin temperature and humidity beside the readings.",),
    )
