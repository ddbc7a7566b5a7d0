import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from garboard.report import clean, fonts
from garboard.report.document import Document


@given(st.text(st.characters(codec=None)))
def test_safe_text_holds_nothing_that_is_not_seen(text: str) -> None:
    kinds = {unicodedata.category(each) for each in clean.safe(text) if each != "\n"}

    assert kinds.isdisjoint({"Cc", "Cf", "Cs"})


@given(st.text(st.characters(codec=None)))
def test_printable_text_can_be_set_in_the_typefaces(text: str) -> None:
    printed = clean.printable(text, fonts.glyphs())

    assert {ord(each) for each in printed} - {0x0A} <= fonts.glyphs()


@given(st.text(st.characters(codec=None)))
def test_cleaning_twice_changes_nothing_more(text: str) -> None:
    once = clean.printable(text, fonts.glyphs())

    assert clean.printable(once, fonts.glyphs()) == once


def test_what_a_surveyor_writes_is_printed_as_typed() -> None:
    text = "Ø 12 mm × 2, −0.45 m, ≤ 4.62 mm ± 0.1 µm² Ω °C ½ “so” – naïve Łódź Ελλάδα Москва → ✓ €"

    assert clean.printable(text, fonts.glyphs()) == unicodedata.normalize("NFC", text)


def test_line_ends_of_every_kind_become_one() -> None:
    assert clean.safe("a\r\nb\rc\u2028d\u0085e") == "a\nb\nc\nd\ne"


def test_letters_with_separate_accents_are_composed() -> None:
    assert clean.safe("cafe\u0301") == "café"


def test_a_replaced_character_is_reported_once_with_its_name_and_its_surroundings() -> None:
    found = clean.warnings(["told by \u4f60 and \u4f60", "sound"], fonts.glyphs())

    assert len(found) == 1
    assert "U+4F60" in found[0].what
    assert "2 in all" in found[0].what
    assert "told by ‹U+4F60›" in found[0].where


def test_text_turned_round_is_reported() -> None:
    found = clean.warnings(["pay \u202e001\u202c now"], fonts.glyphs())

    assert ["direction" in each.what for each in found] == [True]


def test_a_document_is_cleaned_in_every_text_and_nowhere_else(document: Document) -> None:
    cleaned = clean.cleaned(document, clean.safe)

    assert not any("\u202e" in text for text in clean.texts(cleaned))
    assert any("\u202e" in text for text in clean.texts(document))
    assert cleaned.files == document.files
    assert clean.cleaned(document, lambda text: text) == document
