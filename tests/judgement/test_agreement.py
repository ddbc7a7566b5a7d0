"""Words about a finding and its recommendations that do not agree with each other."""

from typing import Any

import pytest
from cast import DAY, entry

from garboard.judgement.agreement import disagreements, out_of_step, urgency_in
from garboard.notebook.body import Cost, Finding, Place, Recommendation, Summary
from garboard.notebook.fold import fold


def said(
    *, urgency: Any = "at the next lift-out", by_when: str = "", seen: str = "", overall: str = ""
) -> list[str]:
    """What disagrees in a finding with one recommendation that costs EUR 800 to 1,500."""
    finding = Finding(
        name="joint", title="Joint", seen=seen, why="", urgency=urgency, because="",
        how_known=("seen",), places=(Place(part="keel-joint"),),
    )  # fmt: skip
    advice = Recommendation(finding=entry(1, finding).id, what="Open it.", by_whom="", by_when=by_when, verified="")  # fmt: skip
    cost = Cost(recommendation=entry(2, advice).id, low_minor=80_000, high_minor=150_000, currency="EUR", basis="", on=DAY.date())  # fmt: skip
    bodies = [finding, advice, cost, Summary(overall=overall)]
    survey = fold(entry(number, body) for number, body in enumerate(bodies, 1))
    return [each.what for each in disagreements(survey)]


@pytest.mark.parametrize(
    ("words", "urgency"),
    [
        ("Before launching", "before launching"),
        ("at once", "before launching"),
        ("within two months", "within a stated time"),
        ("by the end of the season", "within a stated time"),
        ("at the next lift-out, or by 2027", "at the next lift-out"),
        ("before she next goes to sea, and by 31 July", "before the boat next goes to sea"),
        ("when convenient", None),
    ],
)
def test_the_urgency_of_a_date_is_read_from_its_words(words: str, urgency: str | None) -> None:
    assert urgency_in(words) == urgency


def test_a_recommendation_sooner_than_its_finding_is_told() -> None:
    (told,) = said(by_when="before launching")

    assert 'it is wanted "before launching"' in told


def test_a_recommendation_later_than_its_finding_is_told() -> None:
    (told,) = said(urgency="before launching", by_when="keep under watch")

    assert 'it is wanted "keep under watch", later than the finding is urgent' in told


@pytest.mark.parametrize("in_time", ["before launching", "on 3 May"])
def test_one_recommendation_may_come_later_where_another_is_in_time(in_time: str) -> None:
    assert out_of_step("before launching", [in_time, "at the next lift-out"]) == ("", "")


@pytest.mark.parametrize("by_when", ["at the next lift-out", "when she is ashore again", ""])
def test_a_recommendation_no_sooner_than_its_finding_is_not(by_when: str) -> None:
    assert said(by_when=by_when) == []


def test_what_is_kept_under_watch_has_its_day() -> None:
    assert said(urgency="keep under watch", by_when="measured again by 31 May") == []


def test_a_sum_in_the_text_outside_its_cost_band_is_told() -> None:
    (told,) = said(seen="Made good it comes to EUR 4 000.")

    assert "stands in the text, and lies in none of the costs given" in told


@pytest.mark.parametrize(
    "text", ["about EUR 1 200", "€900.50", "40 mm of 800 mm", "ISO 10133", "GBP 4 000", ""]
)
def test_other_figures_are_left_alone(text: str) -> None:
    assert said(seen=text) == []


def test_the_summary_may_name_what_all_of_it_comes_to() -> None:
    assert said(overall="In all EUR 1 500 at most.") == []
    assert len(said(overall="In all EUR 15 000 at most.")) == 1
