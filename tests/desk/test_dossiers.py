"""Dossiers go into a desk and come out of it as they were."""

from datetime import timedelta
from pathlib import Path

import pytest
from desk.conftest import Clock

from garboard.desk.context import Desk
from garboard.desk.dossiers import hand_out, take_in
from garboard.dossier.read import read_dossier
from garboard.notebook.problem import Refused

DEMO = Path(__file__).parents[2] / "demo"


@pytest.mark.parametrize("boat", ["quillet", "harrowmere"])
def test_a_survey_comes_out_as_it_went_in(
    desk: Desk, tmp_path: Path, clock: Clock, boat: str
) -> None:
    clock.time += timedelta(days=60)
    before = read_dossier(DEMO / boat, desk.now())

    survey = take_in(desk, DEMO / boat)
    hand_out(desk, survey, tmp_path / "out")
    after = read_dossier(tmp_path / "out", desk.now())

    assert {each.id: each for each in after.entries} == {each.id: each for each in before.entries}
    assert {sha256: path.read_bytes() for sha256, path in after.files.items()} == {
        sha256: path.read_bytes() for sha256, path in before.files.items()
    }


def test_taking_in_again_adds_nothing(desk: Desk, clock: Clock) -> None:
    clock.time += timedelta(days=60)
    survey = take_in(desk, DEMO / "quillet")
    held = desk.surveys.get(survey)

    take_in(desk, DEMO / "quillet")

    assert desk.surveys.get(survey) is held


def test_a_survey_that_is_not_here_is_refused_in_words(desk: Desk, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="no such survey"):
        hand_out(desk, "019e1b6a-1e80-7000-8000-00000000ffff", tmp_path / "out")
