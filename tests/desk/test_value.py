"""The value: opinions beside each other, and the boats compared with."""

from datetime import timedelta
from html import unescape
from typing import Any

import pytest
from cast import DAY, entry
from desk.written import BASE, now, put
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import Comparable, Value
from garboard.notebook.fold import Survey

OTHERS = [
    entry(
        60 + number,
        Comparable(
            described=f"sister boat {number}", price_minor=price * 100, currency="EUR", kind="sold", on=DAY.date(),
            source="seen in writing", adjustments={"engine": -200_000},
        ),
    )
    for number, price in enumerate((40_000, 42_000, 47_000))
]  # fmt: skip
GIVEN = {"basis": "market value", "low_minor": "38000", "high_minor": "45000", "point_minor": "41000",
         "currency": "EUR", "on": "2026-05-12", "condition": "as found"}  # fmt: skip


@pytest.fixture
def survey(desk: Desk, clock: Any) -> Survey:
    clock.time += timedelta(hours=1)
    put(desk)
    desk.surveys.add(OTHERS)
    return now(desk)


def test_the_comparables_stand_with_their_adjusted_prices_and_spread(
    browser: TestClient, survey: Survey
) -> None:
    text = unescape(browser.get(f"{BASE}/value").text).replace("\u202f", " ").replace("\u00a0", " ")

    assert "EUR 40 000" in text
    assert "EUR 38 000" in text
    assert "Median of 3 adjusted comparables: EUR 40 000" in text


def test_an_opinion_names_the_boats_it_compares_with(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    page = f"{BASE}/value/new"
    chosen = [each.id for each in OTHERS[:2]]

    wrong = browser.post(page, data={**GIVEN, "point_minor": "50000"})
    browser.post(page, data={**GIVEN, "comparables": chosen})

    (value,) = now(desk).of(Value)
    assert wrong.status_code == 422
    assert "does not lie within its own range" in wrong.text
    assert value.body.comparables == tuple(chosen)


def test_an_opinion_kept_as_it_was_writes_nothing_and_is_taken_back_whole(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    browser.post(f"{BASE}/value/new", data=GIVEN)
    (first,) = now(desk).of(Value)
    count = len(now(desk).entries)

    browser.post(f"{BASE}/value/{first.id}", data=GIVEN)
    unchanged = len(now(desk).entries)
    browser.post(
        f"{BASE}/value/{first.id}", data={**GIVEN, "reasoning": "three sales", "of": first.id}
    )
    browser.post(f"{BASE}/value/{first.id}/withdraw", data={"why": "not asked for"})

    assert unchanged == count
    assert now(desk).of(Value) == ()


def test_an_old_form_does_not_take_the_place_of_an_opinion_given_meanwhile(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    browser.post(f"{BASE}/value/new", data=GIVEN)
    (first,) = now(desk).of(Value)
    page = f"{BASE}/value/{first.id}"
    browser.post(page, data={**GIVEN, "reasoning": "theirs", "of": first.id})
    (theirs,) = now(desk).of(Value)

    refused = browser.post(page, data={**GIVEN, "reasoning": "mine", "of": first.id})
    unchanged = now(desk).of(Value)
    browser.post(page, data={**GIVEN, "reasoning": "mine", "of": theirs.id})

    assert refused.status_code == 422
    assert "changed it at" in refused.text
    assert ">mine</textarea>" in refused.text
    assert 'data-writing="unkept"' in refused.text
    assert f'name="of" value="{theirs.id}"' in refused.text
    assert unchanged == (theirs,)
    assert now(desk).bodies(Value)[0].reasoning == "mine"


def test_a_value_nobody_knows_is_not_found(browser: TestClient, survey: Survey) -> None:
    assert browser.get(f"{BASE}/value/{OTHERS[0].id}").status_code == 404


def test_an_opinion_is_shown_as_it_will_print_before_it_is_kept(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    shown = browser.post(f"{BASE}/value/new/pages", data=GIVEN).json()
    unwhole = browser.post(f"{BASE}/value/new/pages", data={**GIVEN, "basis": ""}).json()
    wrong = browser.post(f"{BASE}/value/new/pages", data={**GIVEN, "low_minor": "some"}).json()

    assert "Value" in {each["name"] for each in shown["chapters"]}
    assert set(unwhole["fields"]) == {"basis"}
    assert unwhole["problem"] == "Shown when what is not whole yet is filled in."
    assert wrong["problem"] == (
        'Not shown yet: "some" is not an amount of money. Correct it, or leave it empty.'
    )
    assert now(desk).of(Value) == ()
