"""Recorded strikes in the report: drawn where they differ, tabled all."""

import pytest
from cast import DAY, entry
from recorded import Struck, wav
from struck import dull, hollow, recorded, sound

from garboard.judgement.gaps import gaps
from garboard.methods.library import results_of
from garboard.methods.recordings import SUGGESTS
from garboard.methods.strikes import DEFER
from garboard.notebook.body import Instruction
from garboard.notebook.fold import fold
from garboard.report.compose import compose
from garboard.report.document import Document, Drawing, Paragraph, Table


@pytest.fixture
def struck() -> Struck:
    struck = Struck()
    struck.entries.append(entry(90, Instruction(client="Tamsin Orrowby", purpose="buy")))
    struck.references()
    return struck


def composed(struck: Struck) -> Document:
    survey = fold(struck.entries)
    results = results_of(survey, struck.sounds)
    return compose(survey, results, gaps(survey, results), at=DAY, sounds=struck.sounds)


def spectra(of: Document) -> list[Drawing]:
    return [
        each
        for each in of.blocks
        if isinstance(each, Drawing) and each.label.startswith("figure-strike-")
    ]


def test_strikes_that_differ_are_drawn_the_farthest_first(struck: Struck) -> None:
    for make in (sound, dull, hollow, dull):
        struck.add(wav(recorded(make(struck.chance), struck.chance)))

    first, second = spectra(composed(struck))

    assert "rings on one note" in first.alt
    assert first.rests_on[0] == struck.entries[-2].id
    assert "darker and shorter" in second.alt


def test_every_strike_stands_in_the_table(struck: Struck) -> None:
    for make in (sound, dull):
        struck.add(wav(recorded(make(struck.chance), struck.chance)))

    (table,) = (
        each
        for each in composed(struck).blocks
        if isinstance(each, Table) and each.caption == "Recorded strikes: results"
    )

    judged = ["".join(span.text for span in row[3]) for row in table.rows]
    assert judged == ["like the references", "other; listen again"]


def test_it_is_said_that_a_comparison_only_suggests_and_why_without_uncertainty(
    struck: Struck,
) -> None:
    struck.add(wav(recorded(sound(struck.chance), struck.chance)))

    said = [
        "".join(span.text for span in each.text)
        for each in composed(struck).blocks
        if isinstance(each, Paragraph)
    ]

    assert any(f"{SUGGESTS} {DEFER}" in each for each in said)
    assert not any("entroid" in each for each in said)


def test_strikes_like_the_references_are_not_drawn(struck: Struck) -> None:
    struck.add(wav(recorded(sound(struck.chance), struck.chance)))

    assert spectra(composed(struck)) == []
