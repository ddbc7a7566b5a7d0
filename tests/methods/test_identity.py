from dataclasses import replace

import pytest
from cast import HARROWMERE, QUILLET, entry, entry_id

from garboard.methods.identity import results
from garboard.notebook.fold import fold

SOUND = replace(QUILLET, identity_number="FR-XYZ4A123C526", year=2025)


def test_a_number_that_fits_is_within_and_says_when_she_was_built() -> None:
    (found,) = results(fold([entry(1, SOUND)]))

    assert (found.verdict, found.value, found.caveats) == ("within", 0, ())
    assert found.what == "craft identity number FR-XYZ4A123C526: built March 2025, model year 2026"
    assert found.used == (entry_id(1),)


@pytest.mark.parametrize(("number", "year"), [("FR-XYZ4O123C526", 2025), ("FR-XYZ4A123C526", 1998)])
def test_what_does_not_fit_is_a_question_and_no_accusation(number: str, year: int) -> None:
    (found,) = results(fold([entry(1, replace(SOUND, identity_number=number, year=year))]))

    assert found.verdict == "cannot say"
    assert found.caveats
    assert found.criterion is not None
    assert "have this checked" in found.criterion.say


def test_a_boat_without_a_number_cannot_be_told() -> None:
    (found,) = results(fold([entry(1, HARROWMERE)]))

    assert (found.verdict, found.value) == ("cannot say", None)
