"""Results that are kept from one state of a survey to the next are those that are worked out anew."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.dossier.read import read_dossier
from garboard.methods.library import Families, results_of
from garboard.notebook.body import Boat, Conditions, ReadingSet, Sounding, Withdrawal
from garboard.notebook.entry import Entry
from garboard.notebook.fold import fold
from garboard.notebook.ids import derived_id

DEMO = Path(__file__).parents[2] / "demo"
READ = datetime(2026, 11, 1, tzinfo=UTC)
TIMES = 3


def corrected(body: Any) -> Any:
    """A body that says something else where a method reads it; any other as it is."""
    match body:
        case ReadingSet(readings=(_, *left)) if left:
            return replace(body, readings=tuple(left))
        case Conditions():
            return replace(body, began=body.began - timedelta(hours=3), air_c=5.0)
        case Sounding():
            return replace(body, heard="hollow")
        case Boat():
            return replace(body, year=(body.year or 1990) - 7)
    return body


def second_thoughts(chance: Random, of: list[Entry[Any]]) -> Iterator[Entry[Any]]:
    """Entries that take back or correct some of those given."""
    for each in chance.sample(of, min(len(of), chance.randint(0, 3))):
        at = each.at + timedelta(seconds=chance.randint(1, 10**6))
        yield replace(
            each,
            id=derived_id(at, each.id),
            at=at,
            body=Withdrawal() if chance.random() < 0.5 else corrected(each.body),
            replaces=(each.id,),
            why="a second thought",
        )


@pytest.mark.parametrize("boat", ["quillet", "harrowmere"])
def test_kept_results_are_those_worked_out_anew_however_a_survey_grows(boat: str) -> None:
    entries = read_dossier(DEMO / boat, READ).entries

    @settings(max_examples=8, deadline=None)
    @given(st.randoms(use_true_random=False))
    def grown(chance: Random) -> None:
        arriving = chance.sample(entries, len(entries))
        thoughts: list[Entry[Any]] = []
        families = Families()
        for upto in sorted(chance.randint(1, len(arriving)) for _ in range(TIMES)):
            survey = fold([*arriving[:upto], *thoughts])
            thoughts += second_thoughts(chance, list(survey.standing))
            changed = fold([*arriving[:upto], *thoughts])

            assert families.results_of(survey) == results_of(survey)
            assert families.results_of(changed) == results_of(changed)

    grown()
