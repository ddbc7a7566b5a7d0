"""A report composed again and again while it is written: nothing old is left in it, and no map is drawn twice."""

from dataclasses import replace
from typing import Any

import pytest
from cast import DAY, QUILLET, entry, sounding

from garboard.methods.library import results_of
from garboard.notebook.body import Examination, Finding, Instruction, Place, Remark
from garboard.notebook.fold import Survey, fold
from garboard.report.compose import compose
from garboard.report.document import Document, Drawing
from garboard.report.sections.case import Kept

SKIN = Place(part="bottom-laminate", side="port", station_m=3.2, level_m=-0.45)
FINDING = Finding(
    name="bottom", title="Dull patch", seen="Dull.", why="", urgency="before launching", because="",
    how_known=("seen",), places=(SKIN,),
)  # fmt: skip
SURVEY = fold(
    [
        entry(1, Instruction(client="Tamsin Orrowby", purpose="buy")),
        entry(2, QUILLET),
        entry(3, Examination(place=Place(part="bottom-laminate", side="port"), extent="whole")),
        *(entry(10 + n, sounding(3.0 + n / 10, "dull" if n == 2 else "sound")) for n in range(6)),
        entry(20, FINDING),
    ]
)


def composed(survey: Survey, kept: Kept, results: Any = None) -> Document:
    return compose(survey, results or results_of(survey), (), at=DAY, kept=kept)


def written(**fields: Any) -> Survey:
    return fold([*SURVEY.entries, entry(30, replace(FINDING, **fields), replaces=(20,))])


@pytest.mark.parametrize(
    "fields",
    [{"title": "Dull and hollow patch"}, {"urgency": "for information"}, {"places": ()}],
    ids=["words", "order", "no place drawn"],
)
def test_what_was_kept_gives_the_same_report_as_composing_it_afresh(fields: dict[str, Any]) -> None:
    kept = Kept()
    composed(SURVEY, kept)

    again = composed(written(**fields), kept)

    assert again == composed(written(**fields), Kept())


def test_a_map_is_not_drawn_again_while_the_evidence_stays() -> None:
    kept, results = Kept(), results_of(SURVEY)
    unread = fold([*written().entries, entry(31, Remark(text="a difficult client"))])

    first, *later = (
        soundings(composed(each, kept, results)) for each in (SURVEY, written(), unread)
    )

    assert all(each is first for each in later)


def soundings(document: Document) -> Drawing:
    """The map of soundings in a report."""
    drawings = [each for each in document.blocks if isinstance(each, Drawing)]
    return next(each for each in drawings if each.label == "figure-soundings")


def test_new_evidence_is_in_the_report_at_once() -> None:
    kept = Kept()
    before = composed(SURVEY, kept)

    after = composed(fold([*SURVEY.entries, entry(40, sounding(4.2, "hollow"))]), kept)

    assert "1 hollow" not in str(before.blocks)
    assert "1 hollow" in str(after.blocks)


def test_the_digest_of_a_notebook_that_changes_with_every_word_is_not_stated() -> None:
    in_writing = composed(SURVEY, Kept())
    finished = compose(SURVEY, results_of(SURVEY), (), at=DAY)

    assert SURVEY.digest not in str(in_writing.blocks)
    assert SURVEY.digest in str(finished.blocks)
