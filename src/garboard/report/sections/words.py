"""How the report writes dates, amounts, measures and lists, and how Markdown becomes spans."""

from collections.abc import Sequence
from datetime import date, datetime

from markdown_it import MarkdownIt

from garboard.catalogue.parts import catalogue
from garboard.judgement.ranking import Total
from garboard.notebook.body import Cost
from garboard.notebook.money import shown
from garboard.report.document import Span, Text

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


def band(costs: Sequence[Cost]) -> str:
    """What a recommendation may cost."""
    return "; ".join(
        f"{between(cost.low_minor, cost.high_minor, cost.currency)} ({cost.basis}, {day(cost.on)})"
        for cost in costs
    )


def between(low_minor: int, high_minor: int, currency: str) -> str:
    """From one amount to another of the same currency, which is named once."""
    return f"{shown(low_minor, currency)} to {shown(high_minor, currency).split(chr(0xA0))[-1]}"


def together(total: Total) -> str:
    """What recommendations may cost together, and how many of them that leaves out."""
    if not total.bands or not total.unpriced:
        return banded(total)
    return f"{banded(total)}, without {counted(total.unpriced, 'recommendation')} that no cost is given for"


def banded(total: Total) -> str:
    """What recommendations may cost together, as far as it is known."""
    return " and ".join(between(*band) for band in total.bands) or "no cost given"


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
