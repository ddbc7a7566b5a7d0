"""Where the words about a finding and its recommendations do not agree with each other."""

import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass

from garboard.judgement.ranking import URGENCIES, Advice, Ranked, ranked
from garboard.notebook.body import Summary, Urgency
from garboard.notebook.fold import Survey
from garboard.notebook.money import shown, to_minor

# From, to, currency.
_Band = tuple[int, int, str]

_AT_ONCE = re.compile(r"\b(at once|immediately|straight away)\b", re.IGNORECASE)
_STATED = re.compile(r"\b(within|by|before) (\d|one|two|three|four|six|twelve|a |the end|the next season)", re.IGNORECASE)  # fmt: skip
# "EUR 1 200", "€1,200.50", "1200 EUR": the currency beside the figure, on either side of it.
_CURRENCIES = {"€": "EUR", "£": "GBP", "$": "USD"}
_FIGURE = r"\d{1,3}(?:[ ,\u00a0\u202f]\d{3})+(?:\.\d\d)?|\d+(?:\.\d\d)?"
_BESIDE = re.compile(rf"(?P<before>[A-Z]{{3}}|[€£$])[ \u00a0]?(?P<figure>{_FIGURE})|(?P<alone>{_FIGURE})[ \u00a0]?(?P<after>[A-Z]{{3}}\b|[€£$])")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Disagreement:
    """Two statements that differ: where, what, and what to do about it; `id` stays the same while it lasts."""

    id: str
    where: str
    what: str
    do: str


def disagreements(survey: Survey) -> Iterator[Disagreement]:
    """Recommendations more urgent than their findings, and sums in words that no cost band holds."""
    found = ranked(survey)
    for each in found:
        yield from _sooner(each)
        yield from _other_sums(each)
    summary = survey.last(Summary)
    if summary:
        words = " ".join((summary.overall, *summary.answers, *summary.next_steps))
        yield from _sums("summary", words, _of_several(found))


def urgency_in(words: str) -> Urgency | None:
    """The urgency that a date in words comes to; None where it names none.

    >>> urgency_in("Before launching, and again in autumn"), urgency_in("within 3 months")
    ('before launching', 'within a stated time')
    """
    said = words.lower()
    if _AT_ONCE.search(said):
        return URGENCIES[0]
    for urgency in URGENCIES:
        if urgency in said:
            return urgency
    return "within a stated time" if _STATED.search(said) else None


def _sooner(of: Ranked) -> Iterator[Disagreement]:
    finding = of.entry.body
    for number, advice in enumerate(of.advice, 1):
        when = urgency_in(advice.entry.body.by_when)
        # What is kept under watch has its day to be measured again.
        is_day = when == "within a stated time" and finding.urgency != "for information"
        if when and not is_day and URGENCIES.index(when) < URGENCIES.index(finding.urgency):
            yield Disagreement(
                id=f"finding {finding.name} recommendation {number} sooner",
                where=f"finding {finding.name}, recommendation {number}",
                what=f'it is wanted "{advice.entry.body.by_when}", sooner than the finding is urgent ("{finding.urgency}")',
                do="Raise the urgency of the finding, or give the recommendation more time",
            )


def _other_sums(of: Ranked) -> Iterator[Disagreement]:
    finding = of.entry.body
    where = f"finding {finding.name}"
    costs = [cost.body for advice in of.advice for cost in advice.costs]
    bands = [(each.low_minor, each.high_minor, each.currency) for each in costs]
    texts = [finding.title, finding.seen, finding.why, finding.because]
    texts += [text for each in of.advice for text in _words_of(each)]
    if of.cost_minor:
        bands.append(of.cost_minor)
    yield from _sums(where, " ".join(texts), bands)


def _words_of(advice: Advice) -> tuple[str, ...]:
    body = advice.entry.body
    return body.what, body.why, body.verified, body.caution


def _of_several(findings: Iterable[Ranked]) -> list[_Band]:
    """In each currency from the least cost of one recommendation to all of them together."""
    bands: dict[str, tuple[int, int]] = {}
    for each in findings:
        for cost in (cost.body for advice in each.advice for cost in advice.costs):
            low, high = bands.get(cost.currency, (cost.low_minor, 0))
            bands[cost.currency] = (min(low, cost.low_minor), high + cost.high_minor)
    return [(low, high, currency) for currency, (low, high) in bands.items()]


def _sums(where: str, text: str, held: list[_Band]) -> Iterator[Disagreement]:
    """Sums named in a text that lie in no band; nothing where no band is given."""
    for minor, currency in dict.fromkeys(sums_in(text)):
        against = [(low, high) for low, high, of in held if of == currency]
        if against and not any(low <= minor <= high for low, high in against):
            said = shown(minor, currency)
            low, high = against[0]
            band = f"{shown(low, currency)} to {shown(high, currency)}"
            others = " and others" if len(against) > 1 else ""
            yield Disagreement(
                id=f"sum {where} {currency} {minor}",
                where=where,
                what=f"{said} stands in the text, and lies in none of the costs given ({band}{others})",
                do="Correct the text or the cost",
            )


def sums_in(text: str) -> Iterator[tuple[int, str]]:
    """The sums of money named in a text, in minor units with their currency.

    >>> list(sums_in("about EUR 1 200, or £85.50; not 40 mm"))
    [(120000, 'EUR'), (8550, 'GBP')]
    """
    for found in _BESIDE.finditer(text):
        sign = found["before"] or found["after"]
        figure = re.sub(r"[ ,\u00a0\u202f]", "", found["figure"] or found["alone"])
        currency = _CURRENCIES.get(sign, sign)
        # A figure with more decimals than its currency has is no sum.
        with suppress(ValueError):
            yield to_minor(figure, currency), currency
