"""Each printed photograph is looked at large beside the text before a report is issued."""

from dataclasses import replace

from cast import QUILLET, entry

from garboard.judgement.gap import Gap
from garboard.judgement.gaps import gaps
from garboard.judgement.gaps_of_photographs import looked_at, not_looked_at
from garboard.notebook.body import Answer, Instruction, Photo, Place
from garboard.notebook.entry import Entry
from garboard.notebook.fold import fold

HATCH = Photo(number=1, file="hatch.jpg", sha256="0", media_type="image/jpeg", caption="Hatch", place=Place(part="hatch"))  # fmt: skip
KEEL = replace(HATCH, number=2, file="keel.jpg", sha256="1", place=Place(part="keel-joint"))
PRIVATE = replace(HATCH, number=3, file="me.jpg", sha256="2", printed=False)


def gaps_of(*bodies: Photo | Answer) -> dict[str, Gap]:
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    entries: list[Entry[object]] = [entry(n, body) for n, body in enumerate((asked, QUILLET, *bodies), 1)]  # fmt: skip
    return {gap.id: gap for gap in gaps(fold(entries), ())}


def test_printed_photographs_not_looked_at_are_counted() -> None:
    found = gaps_of(HATCH, KEEL, PRIVATE)["photographs not looked at"]

    assert found.what == "2 of 2 printed were not looked at large beside the text"
    assert not found.blocks


def test_a_yes_settles_the_photograph_and_is_no_stray_answer() -> None:
    yes = Answer(gap=looked_at(HATCH), words="All that can be seen in it is in the text.")

    found = gaps_of(HATCH, KEEL, yes)

    assert found["photographs not looked at"].what.startswith("1 of 2")
    assert "unmentioned hatch.jpg" not in found
    assert found["unmentioned keel.jpg"].is_open
    assert not [each for each in found if each.startswith("stray")]


def test_nothing_is_asked_once_all_were_looked_at() -> None:
    yes = Answer(gap=looked_at(HATCH), words="All that can be seen in it is in the text.")
    survey = fold([entry(1, HATCH), entry(2, PRIVATE), entry(3, yes)])

    assert not_looked_at(survey) == ()
    assert "photographs not looked at" not in gaps_of(HATCH, PRIVATE, yes)
