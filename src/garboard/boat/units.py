"""Either unit in and out: metres or feet and inches, kilograms or pounds, litres or gallons, °C or °F.

Everything inside is metric; these functions stand at the edges. Each factor is a definition, hence exact.

Source:
    NIST Special Publication 811 (2008), Appendix B, and the international yard and pound agreement of 1959
    for foot, inch and pound; the United Kingdom's Weights and Measures Act 1985 for the imperial gallon.
    All from memory.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import isfinite
from types import MappingProxyType
from typing import Literal

FOOT_M = 0.3048
INCH_MM = 25.4
POUND_KG = 0.453_592_37
US_GALLON_L = 3.785_411_784
IMPERIAL_GALLON_L = 4.546_09
KNOT_M_PER_S = 1852 / 3600
HORSEPOWER_KW = 550 * FOOT_M * POUND_KG * 9.806_65 / 1000
METRIC_HORSEPOWER_KW = 75 * 9.806_65 / 1000

Dimension = Literal["length", "mass", "volume", "temperature", "area", "power", "speed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit as factor and offset to the base of its dimension: m, kg, l, °C, m², kW, m/s."""

    dimension: Dimension
    factor: float
    offset: float = 0.0


UNITS: Mapping[str, Unit] = MappingProxyType(
    {
        "m": Unit(dimension="length", factor=1.0),
        "cm": Unit(dimension="length", factor=0.01),
        "mm": Unit(dimension="length", factor=0.001),
        "ft": Unit(dimension="length", factor=FOOT_M),
        "in": Unit(dimension="length", factor=INCH_MM / 1000),
        "kg": Unit(dimension="mass", factor=1.0),
        "g": Unit(dimension="mass", factor=0.001),
        "t": Unit(dimension="mass", factor=1000.0),
        "lb": Unit(dimension="mass", factor=POUND_KG),
        "long ton": Unit(dimension="mass", factor=2240 * POUND_KG),
        "l": Unit(dimension="volume", factor=1.0),
        "m³": Unit(dimension="volume", factor=1000.0),
        "US gal": Unit(dimension="volume", factor=US_GALLON_L),
        "imp gal": Unit(dimension="volume", factor=IMPERIAL_GALLON_L),
        "°C": Unit(dimension="temperature", factor=1.0),
        "°F": Unit(dimension="temperature", factor=5 / 9, offset=-160 / 9),
        "m²": Unit(dimension="area", factor=1.0),
        "ft²": Unit(dimension="area", factor=FOOT_M**2),
        "kW": Unit(dimension="power", factor=1.0),
        "hp": Unit(dimension="power", factor=HORSEPOWER_KW),
        "metric hp": Unit(dimension="power", factor=METRIC_HORSEPOWER_KW),
        "m/s": Unit(dimension="speed", factor=1.0),
        "kn": Unit(dimension="speed", factor=KNOT_M_PER_S),
    }
)
"""Every unit that is read and written, by the sign it is written with."""

_OTHER_SIGNS: Mapping[str, str] = MappingProxyType(
    {
        "metre": "m", "metres": "m", "meter": "m", "meters": "m",
        "foot": "ft", "feet": "ft", "'": "ft", "’": "ft", "′": "ft",
        "inch": "in", "inches": "in", '"': "in", "”": "in", "″": "in",
        "kilogram": "kg", "kilograms": "kg", "kilo": "kg", "kilos": "kg",
        "tonne": "t", "tonnes": "t", "lbs": "lb", "pound": "lb", "pounds": "lb", "long tons": "long ton",
        "litre": "l", "litres": "l", "liter": "l", "liters": "l", "m3": "m³",
        "us gallon": "US gal", "us gallons": "US gal",
        "imperial gallon": "imp gal", "imperial gallons": "imp gal", "imp gallons": "imp gal",
        "c": "°C", "f": "°F", "degc": "°C", "degf": "°F", "sq m": "m²", "m2": "m²", "sq ft": "ft²", "ft2": "ft²",
        "ps": "metric hp", "cv": "metric hp", "bhp": "hp", "knot": "kn", "knots": "kn", "kt": "kn", "kts": "kn",
    }
)  # fmt: skip

_SIGNS: Mapping[str, str] = MappingProxyType(
    {**{sign.lower(): sign for sign in UNITS}, **_OTHER_SIGNS}
)

_AMBIGUOUS: Mapping[str, str] = MappingProxyType(
    {
        "gal": "A gallon is US or imperial: write US gal or imp gal",
        "gallon": "A gallon is US or imperial: write US gal or imp gal",
        "gallons": "A gallon is US or imperial: write US gal or imp gal",
        "ton": "A ton is metric, long or short: write t, long ton or lb",
        "tons": "A ton is metric, long or short: write t, long ton or lb",
    }
)

_TERM = re.compile(
    r"\s*(?P<whole>\d+(?:[.,]\d+)?)(?:\s+(?P<top>\d+)/(?P<bottom>[1-9]\d*)|/(?P<under>[1-9]\d*))?"
    r"[\s-]*(?P<sign>[^\d\s,;+-][^\d,;+-]*(?:(?<=[mt])[23](?=\s*$))?)?"
)


def converted(value: float, of: str, to: str) -> float:
    """A value of one unit in another of the same dimension.

    Args:
        value: In the unit `of`.
        of: A sign of `UNITS`.
        to: A sign of `UNITS`.

    Raises:
        ValueError: A unit is unknown, or the two do not measure the same thing.

    >>> converted(10.2, "m", "ft") * FOOT_M == 10.2
    True
    """
    source, target = _unit(of), _unit(to)
    if source.dimension != target.dimension:
        raise ValueError(
            f"{of} measures {source.dimension} and {to} measures {target.dimension}; "
            "one cannot become the other."
        )
    return (value * source.factor + source.offset - target.offset) / target.factor


def read(words: str, unit: str) -> float:
    """A quantity as somebody wrote it, in the unit asked for.

    A number without a unit is taken to be in `unit`. Feet and inches, fractions and a decimal comma are
    read: `33 ft 6 in`, `33' 5 1/2"`, `10,20 m`.

    Args:
        words: What was written.
        unit: A sign of `UNITS`.

    Raises:
        ValueError: It is not a quantity, or could be read in two ways.

    >>> round(read("33 ft 6 in", "m"), 4)
    10.2108
    """
    written = words.strip().replace("−", "-")
    towards = -1.0 if written.startswith("-") else 1.0
    return sum(
        converted(towards * amount, sign or unit, unit)
        for amount, sign in _terms(written.lstrip("+-"))
    )


def _terms(words: str) -> list[tuple[float, str]]:
    found: list[tuple[float, str]] = []
    at = 0
    while words[at:].strip():
        match = _TERM.match(words, at)
        if match is None:
            raise ValueError(
                f'"{words}" is not a quantity; write a number and its unit, as 10.20 m.'
            )
        found.append((_amount(match, words), _sign(match["sign"] or "")))
        at = match.end()
    signs = [sign for _, sign in found]
    if not found or (len(found) > 1 and signs != ["ft", "in"]):
        raise ValueError(
            f'"{words}" is not one quantity; write a number and its unit, as 33 ft 6 in.'
        )
    return found


def _amount(match: re.Match[str], words: str) -> float:
    whole = match["whole"]
    if re.search(r",\d{3}$", whole):
        raise ValueError(
            f'"{words}" can be read as thousands or as decimals; write it without the comma.'
        )
    value = float(whole.replace(",", "."))
    if match["under"]:
        value /= int(match["under"])
    if match["top"]:
        value += int(match["top"]) / int(match["bottom"])
    return value


def _sign(words: str) -> str:
    written = " ".join(words.strip().rstrip(".").lower().split())
    if written in _AMBIGUOUS:
        raise ValueError(f"{_AMBIGUOUS[written]}.")
    if written and written not in _SIGNS:
        raise ValueError(f'"{words.strip()}" is not a unit that is known here.')
    return _SIGNS[written] if written else ""


def _unit(sign: str) -> Unit:
    if sign not in UNITS:
        raise ValueError(
            f'"{sign}" is not a unit that is known here; known are {", ".join(UNITS)}.'
        )
    return UNITS[sign]


def feet_and_inches(length_m: float, nearest: Fraction = Fraction(1, 2)) -> str:
    """A length in feet and inches, to the nearest fraction of an inch.

    Args:
        length_m: m.
        nearest: The step, inches.

    Raises:
        ValueError: The length is not finite.

    >>> feet_and_inches(10.20)
    '33 ft 5 1/2 in'
    """
    inches = _steps(length_m * 1000 / INCH_MM, nearest)
    feet, rest = divmod(abs(inches), 12)
    return f"{'-' if inches < 0 else ''}{feet} ft {_mixed(rest)} in"


def inches(size_mm: float, nearest: Fraction = Fraction(1, 16)) -> str:
    """A small size in inches and a fraction of an inch.

    Args:
        size_mm: mm.
        nearest: The step, inches.

    Raises:
        ValueError: The size is not finite.

    >>> inches(30.0)
    '1 3/16 in'
    """
    value = _steps(size_mm / INCH_MM, nearest)
    return f"{'-' if value < 0 else ''}{_mixed(abs(value))} in"


def _steps(inches_: float, nearest: Fraction) -> Fraction:
    if not isfinite(inches_):
        raise ValueError(f"{inches_} is not a length.")
    return round(Fraction(inches_) / nearest) * nearest


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)
