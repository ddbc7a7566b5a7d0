"""Phrases: slots filled or left out, never half; wrong ones refused."""

from pathlib import Path

import pytest

from garboard.catalogue.parts import catalogue
from garboard.catalogue.phrases import Phrase, phrases, phrases_for, read_phrases
from garboard.catalogue.table import CatalogueError

PHRASE = """
[joint-open]
part = "keel-joint"
title = "Keel joint open {where}"
seen = "The seam is open {extent} {where}."
why = "Water wastes the bolts."
urgency = "before launching"
because = "the bolts cannot be seen"
what = "Ease the keel and re-bed it."
by_whom = "yard"
verified = "joint looked at before it is closed"
"""


def read(tmp_path: Path, text: str) -> Phrase:
    (tmp_path / "phrases.toml").write_text(text, "utf-8")
    return read_phrases(tmp_path, catalogue())["joint-open"]


def test_a_phrase_is_filled_in_all_its_sentences(tmp_path: Path) -> None:
    phrase = read(tmp_path, PHRASE)

    filled = phrase.filled(where="at the after end", extent="over 300 mm")

    assert phrase.slots == ("where", "extent")
    assert filled.title == "Keel joint open at the after end"
    assert filled.seen == "The seam is open over 300 mm at the after end."
    assert filled.slots == ()
    assert filled.why == phrase.why


def test_an_empty_slot_takes_the_blank_before_it_with_it(tmp_path: Path) -> None:
    filled = read(tmp_path, PHRASE).filled(where="", extent="over 300 mm")

    assert filled.title == "Keel joint open"
    assert filled.seen == "The seam is open over 300 mm."


def test_an_empty_slot_takes_the_comma_before_it_with_it(tmp_path: Path) -> None:
    phrase = read(tmp_path, PHRASE.replace("open {extent} {where}.", "open {extent}, {where}."))

    assert phrase.filled(where="", extent="over 300 mm").seen == "The seam is open over 300 mm."
    assert phrase.filled(where="aft", extent="").seen == "The seam is open, aft."


def test_a_sentence_that_begins_with_a_slot_begins_with_a_capital(tmp_path: Path) -> None:
    phrase = read(tmp_path, PHRASE.replace("The seam is", "{count} seams are"))

    assert (
        phrase.filled(count="two", where="aft", extent="wide").seen
        == "Two seams are open wide aft."
    )


def test_what_is_filled_in_is_never_taken_for_a_slot(tmp_path: Path) -> None:
    filled = read(tmp_path, PHRASE).filled(where="{extent}", extent="wide")

    assert filled.title == "Keel joint open {extent}"


def test_a_slot_not_filled_is_told_by_name(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"joint-open.*\{extent\}"):
        read(tmp_path, PHRASE).filled(where="aft")


def test_a_value_without_a_slot_is_told_by_name(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"no slot \{colour\}"):
        read(tmp_path, PHRASE).filled(where="aft", extent="wide", colour="red")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('part = "keel-joint"', 'part = "keel-hinge"', '"keel-hinge" is not known'),
        ('part = "keel-joint"', 'parts = ["keel-hinge"]', '"keel-hinge" is not known'),
        ('part = "keel-joint"', "", "one part or a list"),
        ('part = "keel-joint"', 'part = "keel-bolt"\nparts = ["keel-joint"]', "one part or a list"),
        ("{where}.", "{whereabouts}.", "no slot {whereabouts}"),
        ("{where}.", "{where.", "a brace stands alone"),
        ('urgency = "before launching"', 'urgency = "red"', '"red" is not known'),
        ('by_whom = "yard"', "", "by_whom: None is not a text"),
        ('by_whom = "yard"', 'by_whom = "yard"\nby_when = "soon"', "this key is not known"),
    ],
)
def test_a_wrong_phrase_is_refused(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert old in PHRASE

    with pytest.raises(CatalogueError) as refused:
        read(tmp_path, PHRASE.replace(old, new, 1))

    assert any(said in str(problem) for problem in refused.value.problems)
    assert "joint-open" in str(refused.value)


@pytest.mark.parametrize("phrase", phrases().values(), ids=lambda phrase: phrase.id)
def test_each_shipped_phrase_reads_with_its_slots_filled_and_empty(phrase: Phrase) -> None:
    full = phrase.filled(**dict.fromkeys(phrase.slots, "here"))
    bare = phrase.filled(**dict.fromkeys(phrase.slots, ""))

    for each in (full, bare):
        assert "{" not in "".join((each.title, each.seen, each.why, each.what, each.verified))
        assert not each.title.endswith(".")
        for sentence in (each.seen, each.why, each.what):
            assert sentence[0].isupper() or sentence[0].isdigit()
            assert sentence.endswith(".")
        assert "  " not in each.seen


def test_the_phrases_of_a_part_are_found_by_its_id() -> None:
    found = phrases_for("keel-joint")

    assert found
    assert all("keel-joint" in each.parts for each in found)
    assert phrases_for("no-such-part") == ()


def test_there_are_phrases_enough_for_the_common_findings() -> None:
    assert 60 <= len(phrases()) <= 150
