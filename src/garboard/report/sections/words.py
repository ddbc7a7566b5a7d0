"""How the report writes dates, amounts, measures and lists, and how Markdown becomes spans."""

from collections.abc import Sequence
from datetime import date, datetime
from math import floor, log10

from markdown_it import MarkdownIt

from garboard.catalogue.parts import catalogue
from garboard.methods.result import Criterion
from garboard.notebook.body import Cost
from garboard.notebook.money import shown
from garboard.report.document import Span, Text

_PLUS_MINUS = "\N{NO-BREAK SPACE}±\N{NO-BREAK SPACE}"
# The longest unit that is repeated beside a limit.
_SHORT = 8
_MARKDOWN = MarkdownIt("zero").enable(["emphasis", "escape"])


def day(when: date | datetime) -> str:
    """A date in full.

    >>> day(date(2026, 5, 12))
    '12 May 2026'
    """
    return f"{when.day} {when:%B %Y}"


def clock(when: datetime) -> str:
    """A time of day with its offset, as the day was lived.

    >>> clock(datetime.fromisoformat("2026-05-12T09:41:07+01:00"))
    '09:41 (UTC+01:00)'
    """
    return f"{when:%H:%M} ({when:%Z})"


def listed(items: Sequence[str]) -> str:
    """A list inside a sentence.

    >>> listed(["a", "b", "c"])
    'a, b and c'
    """
    return f"{', '.join(items[:-1])} and {items[-1]}" if len(items) > 1 else "".join(items)


def counted(number: int, singular: str, plural: str = "") -> str:
    """A number with its noun.

    >>> counted(1, "part"), counted(3, "part")
    ('1 part', '3 parts')
    """
    return f"{number} {singular if number == 1 else plural or singular + 's'}"


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


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


def trouble_lies(limit: Criterion, *, is_whole: bool = False) -> str:
    """On which side of which figure; a unit of several words only where it is to be whole.

    >>> from garboard.methods.criteria import criteria
    >>> [trouble_lies(criteria()[each]).replace(chr(0xA0), " ") for each in ("potentials-shift", "wastage-rate")]
    ['above −200 mV', 'above 0.1']
    """
    if limit.beyond == "above" and limit.limit == 0:
        return "any at all"
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


def band(costs: Sequence[Cost]) -> str:
    """What a recommendation may cost."""
    return "; ".join(
        f"{shown(cost.low_minor, cost.currency)} to {shown(cost.high_minor, cost.currency).split(chr(0xA0))[-1]} "
        f"({cost.basis}, {day(cost.on)})"
        for cost in costs
    )


def purpose_words(purpose: str) -> str:
    """A purpose in words, as the vocabulary has it."""
    return catalogue().vocabulary.purposes.get(purpose, purpose)


def marked(text: str) -> Text:
    """Text of one paragraph whose Markdown emphasis becomes spans; everything else stands as typed."""
    spans: list[Span] = []
    style = ["plain"]
    for token in _MARKDOWN.parseInline(text.replace("\n", " "))[0].children or ():
        if token.type in ("strong_open", "em_open"):
            style.append("strong" if token.type == "strong_open" else "emphatic")
        elif token.type in ("strong_close", "em_close"):
            style.pop()
        elif token.content:
            spans.append(Span(text=token.content, style=style[-1]))  # type: ignore[arg-type]
    return tuple(spans) or (Span(text=""),)


def paragraphs(text: str) -> tuple[Text, ...]:
    """The paragraphs of a text, each with its Markdown emphasis as spans."""
    return tuple(marked(each.strip()) for each in text.split("\n\n") if each.strip())
