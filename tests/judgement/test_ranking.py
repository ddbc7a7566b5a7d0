"""What the findings of a survey may cost together."""

from datetime import date
from typing import Any

from cast import entry

from garboard.judgement.ranking import Total, ranked, totals
from garboard.notebook.body import Cost, Finding, Place, Recommendation, Urgency
from garboard.notebook.fold import fold


def finding(number: int, urgency: Urgency, *bands: tuple[int, int, str]) -> list[Any]:
    """A finding with one recommendation, and a cost of it for each band."""
    found = entry(number, Finding(name=f"f{number}", title="T", seen="s", why="w", urgency=urgency, because="b", how_known=("seen",), places=(Place(part="mast-lower"),)))  # fmt: skip
    advice = entry(number + 1, Recommendation(finding=found.id, what="Do.", by_whom="rigger", by_when="soon", verified="seen"))  # fmt: skip
    costs = (
        Cost(
            recommendation=advice.id,
            low_minor=low,
            high_minor=high,
            currency=currency,
            basis="quotation",
            on=date(2026, 5, 1),
        )
        for low, high, currency in bands
    )
    return [found, advice, *(entry(number + 2 + n, cost) for n, cost in enumerate(costs))]


def test_costs_are_summed_by_urgency_and_in_all() -> None:
    first = finding(10, "before launching", (100, 150, "EUR"))
    second = finding(20, "before launching", (200, 300, "EUR"))
    third = finding(30, "keep under watch", (10, 20, "EUR"))

    found = totals(ranked(fold([*first, *second, *third])))

    assert found == (
        Total(urgency="before launching", bands=((300, 450, "EUR"),), unpriced=0),
        Total(urgency="keep under watch", bands=((10, 20, "EUR"),), unpriced=0),
        Total(urgency=None, bands=((310, 470, "EUR"),), unpriced=0),
    )


def test_currencies_are_summed_apart() -> None:
    survey = fold(finding(10, "before launching", (100, 150, "GBP"), (200, 300, "EUR")))

    (found,) = totals(ranked(survey))

    assert found.bands == ((200, 300, "EUR"), (100, 150, "GBP"))


def test_a_recommendation_without_a_cost_is_counted_beside_the_sum() -> None:
    priced, bare = finding(10, "before launching", (1, 2, "EUR")), finding(20, "keep under watch")

    found = totals(ranked(fold([*priced, *bare])))

    assert [each.unpriced for each in found] == [0, 1, 1]


def test_no_total_is_made_where_no_cost_is_given() -> None:
    survey = fold(finding(10, "before launching"))

    assert totals(ranked(survey)) == ()
