"""Results that are kept from one state of a survey to the next are those that are worked out anew."""

from datetime import UTC, datetime
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.dossier.read import read_dossier
from garboard.methods.library import Families, results_of
from garboard.notebook.fold import fold

DEMO = Path(__file__).parents[2] / "demo"
READ = datetime(2026, 11, 1, tzinfo=UTC)
TIMES = 3


@pytest.mark.parametrize("boat", ["quillet", "harrowmere"])
def test_kept_results_are_those_worked_out_anew_however_a_survey_grows(boat: str) -> None:
    entries = read_dossier(DEMO / boat, READ).entries

    @settings(max_examples=8, deadline=None)
    @given(st.randoms(use_true_random=False))
    def grown(chance: Random) -> None:
        arriving = chance.sample(entries, len(entries))
        families = Families()
        for upto in sorted(chance.randint(1, len(arriving)) for _ in range(TIMES)):
            survey = fold(arriving[:upto])

            assert families.results_of(survey) == results_of(survey)

    grown()
