"""Where the words about a finding and its recommendations do not agree with each other."""

import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from typing import Literal

from garboard.judgement.gap import Gap
from garboard.judgement.ranking import URGENCIES, Advice, Ranked, ranked
from garboard.notebook.body import Summary, Urgency
from garboard.notebook.fold import Survey
from garboard.notebook.money import shown, to_minor

Step = Literal["sooner", "later", ""]

# From, to, currency.
_Band = tuple[int, int, str]

_AT_ONCE = re.compile(r"\b(at once|immediately|straight away)\b", re.IGNORECASE)
_TO_SEA = "next goes to sea"
_STATED = re.compile(r"\b(within|by|before) (\d|one|two|three|four|six|twelve|a |the end|the next season)", re.IGNORECASE)  # fmt: skip
# "EUR 1 200", "€1,200.50", "1200 EUR": the currency beside the figure, on either side of it.
_CURRENCIES = {"€": "EUR", "£": "GBP", "$": "USD"}
_FIGURE = r"\d{1,3}(?:[ ,\u00a0\u202f]\d{3})+(?:\.\d\d)?|\d+(?:\.\d\d)?"
_BESIDE = re.compile(rf"(?P<before>[A-Z]{{3}}|[€£$])[ \u00a0]?(?P<figure>{_FIGURE})|(?P<alone>{_FIGURE})[ \u00a0]?(?P<after>[A-Z]{{3}}\b|[€£$])")  # fmt: skip


def disagreements(survey: Survey) -> Iterator[Gap]:
    """Recommendations wanted at another time than their findings, and sums in words that no cost band holds."""
    found = ranked(survey)
    for each in found:
        yield from _at_another_time(each)
        yield from _other_sums(each)
    summary = survey.last(Summary)
    if summary:
        words = " ".join((summary.overall, *summary.answers, *summary.next_steps))
        yield from _sums("summary", "summary", words, _of_several(found))


def urgency_in(words: str) -> Urgency | None:
    """The urgency that a date in words comes to; None where it names none.

    >>> urgency_in("Before launching, and again in autumn"), urgency_in("within 3 months")
    ('before launching', 'within a stated time')
    """
    said = words.lower()
    if _AT_ONCE.search(said):
        return URGENCIES[0]
    if _TO_SEA in said:
        return "before the boat next goes to sea"
    for urgency in URGENCIES:
        if urgency in said:
            return urgency
    return "within a stated time" if _STATED.search(said) else None


def out_of_step(urgency: Urgency, times: Sequence[str]) -> tuple[Step, ...]:
    """How the times of a finding's recommendations stand beside its urgency: sooner, later, or no matter.

    Args:
        urgency: Of the finding.
        times: By when each of its recommendations is wanted, in words. One may come later where another is in
            time, or where nobody can tell what its words come to.
    """
    at = URGENCIES.index(urgency)
    wanted = [urgency_in(each) for each in times]
    is_met = any(
        words and (each is None or URGENCIES.index(each) <= at)
        for words, each in zip(times, wanted, strict=True)
    )
    return tuple(_step(urgency, each, is_met) for each in wanted)


def _step(urgency: Urgency, wanted: Urgency | None, is_met: bool) -> Step:
    # What is kept under watch has its day to be measured again.
    is_day = wanted == "within a stated time" and urgency != "for information"
    if wanted is None:
        return ""
    apart = URGENCIES.index(wanted) - URGENCIES.index(urgency)
    if apart < 0 and not is_day:
        return "sooner"
    return "later" if apart > 0 and not is_met else ""


def _at_another_time(of: Ranked) -> Iterator[Gap]:
    finding = of.entry.body
    times = [each.entry.body.by_when for each in of.advice]
    for number, step in enumerate(out_of_step(finding.urgency, times), 1):
        if step:
            yield Gap(
                id=f"finding {finding.name} recommendation {number} {step}",
                about=f"finding {finding.name}, recommendation {number}",
                where=f'finding "{finding.title}", recommendation {number}',
                what=f'it is wanted "{times[number - 1]}", {step} than the finding is urgent ("{finding.urgency}")',
                do="Raise the urgency of the finding, or give the recommendation more time"
                if step == "sooner"
                else "Say the same in both, or say in the recommendation why it may wait",
                blocks=False,
            )


def _other_sums(of: Ranked) -> Iterator[Gap]:
    finding = of.entry.body
    about = f"finding {finding.name}"
    costs = [cost.body for advice in of.advice for cost in advice.costs]
    bands = [(each.low_minor, each.high_minor, each.currency) for each in costs]
    texts = [finding.title, finding.seen, finding.why, finding.because]
    texts += [text for each in of.advice for text in _words_of(each)]
    if of.cost_minor:
        bands.append(of.cost_minor)
    yield from _sums(about, f'finding "{finding.title}"', " ".join(texts), bands)


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


def _sums(about: str, where: str, text: str, held: list[_Band]) -> Iterator[Gap]:
    """Sums named in a text that lie in no band; nothing where no band is given."""
    for minor, currency in dict.fromkeys(sums_in(text)):
        against = [(low, high) for low, high, of in held if of == currency]
        if against and not any(low <= minor <= high for low, high in against):
            said = shown(minor, currency)
            low, high = against[0]
            band = f"{shown(low, currency)} to {shown(high, currency)}"
            others = " and others" if len(against) > 1 else ""
            yield Gap(
                id=f"sum {about} {currency} {minor}",
                about=about,
                where=where,
                what=f"{said} stands in the text, and lies in none of the costs given ({band}{others})",
                do="Correct the text or the cost",
                blocks=False,
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
