"""How a computed value, its uncertainty and its limit are written."""

from collections.abc import Mapping
from math import floor, log10
from types import MappingProxyType

from garboard.methods.result import Criterion, Result, Verdict

EXPANDED = "Of 100 figures written with ±, about 95 lie no further than that from the true value (± is the expanded uncertainty, twice the standard uncertainty)"
"""What `measure` writes behind ±, said once wherever figures stand."""


_SUGGESTED: Mapping[Verdict, str] = MappingProxyType(
    {
        "within": "like the references",
        "at the limit": "perhaps other; listen again",
        "beyond": "other; listen again",
    }
)
_PLUS_MINUS = "\N{NO-BREAK SPACE}±\N{NO-BREAK SPACE}"
# The longest unit that is repeated beside a limit.
_SHORT = 8


def measure(value: float | None, uncertainty: float | None, unit: str) -> str:
    """A value with its expanded uncertainty (twice the standard one), to its last meaningful digit.

    Without an uncertainty it has three digits, a number of years two.

    Source:
        JCGM 100:2008 (GUM), 7.2.6: at most two significant digits of the uncertainty; from memory.

    >>> measure(4.6231, 0.05, "mm").replace(chr(0xA0), " "), measure(None, None, "mm")
    ('4.62 ± 0.10 mm', 'not computed')
    >>> measure(-52043.0, 260.2, "mV").replace(chr(0xA0), " "), measure(12.0, 1.0, "°").replace(chr(0xA0), " ")
    ('−52 040 ± 520 mV', '12 ± 2°')
    """
    if value is None:
        return "not computed"
    beside = _beside(unit)
    if not uncertainty:
        figure = _number(value, _digits(value, 2 if unit == "years" else 3) if value else 0)
        return f"{figure.rstrip('0').rstrip('.') if '.' in figure else figure}{beside}"
    expanded = 2 * uncertainty
    places = _digits(expanded, 2 if expanded >= 10 or _needs_two(expanded) else 1)
    return f"{_number(value, places)}{_PLUS_MINUS}{_number(expanded, places)}{beside}"


def judged_words(result: Result) -> str:
    """What a result is judged as; recorded strikes are only compared, and judged by nobody but the surveyor."""
    is_compared = result.method.startswith("strikes.")
    return _SUGGESTED.get(result.verdict, result.judged) if is_compared else result.judged


def trouble_lies(limit: Criterion, *, is_whole: bool = False) -> str:
    """On which side of which figure; a unit of several words only where it is to be whole.

    >>> from garboard.methods.criteria import criteria
    >>> [trouble_lies(criteria()[each]).replace(chr(0xA0), " ") for each in ("potentials-shift", "wastage-rate")]
    ['above −200 mV', 'above 0.1']
    """
    if limit.allows_none:
        return "where there is any"
    unit = limit.unit if is_whole or not limit.unit.startswith("%") else "%"
    if len(unit) > _SHORT and not is_whole:
        unit = ""
    figure = f"{limit.limit:,.10g}" if abs(limit.limit) >= 10_000 else f"{limit.limit:g}"
    return f"{limit.beyond} {signed(figure).replace(',', chr(0xA0))}{_beside(unit)}"


def signed(digits: str) -> str:
    """Digits with a true minus sign.

    >>> signed("-3")
    '−3'
    """
    return digits.replace("-", "\N{MINUS SIGN}")


def _beside(unit: str) -> str:
    """A unit as it stands beside its figure."""
    return unit if unit in ("", "°") else f"\N{NO-BREAK SPACE}{unit}"


def _needs_two(expanded: float) -> bool:
    """Whether one digit of an uncertainty would say too little: it begins with 1, or with 2 and a digit that counts."""
    lead = expanded / 10.0 ** floor(log10(expanded))
    return lead < 1.95 or 2.05 <= lead < 2.95


def _digits(value: float, significant: int) -> int:
    """Decimal places that leave so many significant digits; below zero for tens and hundreds."""
    return significant - 1 - floor(log10(abs(value)))


def _number(value: float, places: int) -> str:
    """Rounded to places, with a true minus sign and its thousands apart from ten thousand on."""
    rounded = round(value, places) + 0.0
    grouped = f"{rounded:{',' if abs(rounded) >= 10_000 else ''}.{max(0, places)}f}"
    return signed(grouped.replace(",", "\N{NO-BREAK SPACE}"))
