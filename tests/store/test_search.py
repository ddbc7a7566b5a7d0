"""The surveyor finds whatever was ever written down, however it is typed."""

import dataclasses
from datetime import timedelta
from typing import Any

import pytest
from cast import HARROWMERE, OTHER_SURVEY, QUILLET, SURVEY, entry
from store.fakes import FakeClock

from garboard.notebook.body import (
    KINDS,
    Examination,
    Finding,
    Instruction,
    Limitation,
    Observation,
    Person,
    Place,
    Remark,
    Told,
    Unknown,
    Withdrawal,
)
from garboard.notebook.shape import hints
from garboard.store import words
from garboard.store.folder import Store
from garboard.store.search import Hit, search, snippet

KEEL = Place(part="keel-joint", words="abaft the sump")
FINDING = Finding(
    name="keel",
    title="Weeping keel joint",
    seen="Rust-stained water",
    why="The bolts may be wasting",
    urgency="before launching",
    because="It holds the ballast",
    how_known=("seen",),
    places=(KEEL,),
)
WRITTEN = [
    entry(1, QUILLET),
    entry(2, Instruction(client="Mirel Tannock", purpose="buy", notes="Key at the harbour office")),
    entry(3, Person(name="Ossian Brede", role="owner")),
    entry(4, FINDING),
    entry(5, Observation(place=KEEL, seen="Crévasse of 40 mm, wünschelrutenförmig")),
    entry(6, Told(who="the owner", said="She was grounded off the spit in 2019")),
    entry(7, Limitation(place=KEEL, not_reached="under the tanks", reasons=("lined",), could_hide="pitting")),
    entry(8, Remark(text="Owner nervous about the generator")),
    entry(9, Examination(place=KEEL, extent="whole", found="Chafed seizing")),
    entry(10, Unknown(kind="later", json='{"words":["lignum vitae"],"n":4}')),
]  # fmt: skip


def found(store: Store, asked: str) -> list[Hit]:
    with store.database.reading() as connection:
        return list(search(connection, asked))


def surveys(store: Store, asked: str) -> list[str]:
    return [hit.survey.survey for hit in found(store, asked)]


@pytest.fixture
def written(store: Store, clock: FakeClock) -> Store:
    store.surveys.add(WRITTEN)
    clock.forward(timedelta(hours=1))
    store.surveys.add(
        [
            entry(21, HARROWMERE, survey=OTHER_SURVEY),
            entry(22, Observation(place=Place(part="topsides"), seen="Rust at the rubbing strake"), survey=OTHER_SURVEY),
        ]
    )  # fmt: skip
    return store


@pytest.mark.parametrize(
    "asked",
    [
        "quillet", "Tannock", "mirel tannock", "harbour office", "Brede", "weeping", "bolts wasting", "ballast",
        "crevasse", "CRÉVASSE", "wunschelrutenformig", "grounded", "2019", "under tanks", "pitting", "nervous",
        "seizing", "lignum", "abaft the sump", "quillet generator", "weep", "bol wast",
    ],
)  # fmt: skip
def test_every_word_written_in_a_survey_finds_it(written: Store, asked: str) -> None:
    assert surveys(written, asked) == [SURVEY]


@pytest.mark.parametrize(
    "asked",
    [
        "XX-QLT00417C898", "xx-qlt00417c898", "XXQLT00417C898", "XX QLT 00417 C8 98", "QLT-00417-C898", "QLT00417C898",
        "qlt00417", "00417", "00417C", "Quil-let", "qui llet",
    ],
)  # fmt: skip
def test_a_number_or_name_is_found_however_it_is_spaced(written: Store, asked: str) -> None:
    assert surveys(written, asked) == [SURVEY]


@pytest.mark.parametrize("asked", ["", "  ", "-", "…", "zincs", "rust zincs", "keel-joint lined"])
def test_what_nobody_wrote_finds_nothing(written: Store, asked: str) -> None:
    assert found(written, asked) == []


@pytest.mark.parametrize(
    "asked",
    ['rust"', '"rust', "rust*", "(rust)", "-rust", "^rust", "+rust", "{rust} :", "rust'; --"],
)
def test_marks_of_a_search_language_are_only_marks(written: Store, asked: str) -> None:
    assert surveys(written, asked) == [OTHER_SURVEY, SURVEY]


def test_words_of_a_search_language_are_only_words(written: Store) -> None:
    assert surveys(written, "weeping OR strake") == []
    assert surveys(written, "NEAR(weeping rust)") == []


def test_the_latest_changed_survey_is_shown_first(written: Store) -> None:
    assert surveys(written, "rust") == [OTHER_SURVEY, SURVEY]


def test_a_boat_of_that_name_is_shown_before_words_about_it(written: Store) -> None:
    written.surveys.add([entry(30, Remark(text="Lay beside Quillet"), survey=OTHER_SURVEY)])

    assert surveys(written, "quillet") == [SURVEY, OTHER_SURVEY]


def test_the_entry_that_shows_it_is_named_with_its_words_marked(written: Store) -> None:
    (hit,) = found(written, "weep bolts")

    assert hit.entry_id == entry(4, FINDING).id
    assert [each.text for each in hit.snippet if each.is_found] == ["Weeping", "bolts"]


def test_what_was_replaced_or_withdrawn_is_found_no_more(written: Store) -> None:
    written.surveys.add(
        [
            entry(31, Told(who="the owner", said="She touched a sandbank"), replaces=(6,)),
            entry(32, Withdrawal(), replaces=(8,)),
        ]
    )

    assert surveys(written, "grounded") == []
    assert surveys(written, "nervous") == []
    assert surveys(written, "sandbank") == [SURVEY]


def test_a_limit_is_kept(written: Store) -> None:
    with written.database.reading() as connection:
        assert len(search(connection, "rust", limit=1)) == 1


def test_a_long_passage_is_cut_round_what_was_asked_for() -> None:
    text = " ".join([*(f"before{n}" for n in range(20)), "osmosis", *(f"after{n}" for n in range(40))])  # fmt: skip

    pieces = snippet(text, ["osmo"])

    assert [each.text for each in pieces if each.is_found] == ["osmosis"]
    assert pieces[0].text == "… "
    assert pieces[1].text.startswith("before12 ")
    assert pieces[-1].text.endswith(" after18 …")


def test_a_short_passage_is_shown_whole() -> None:
    text = "(Weeping) keel joint: rust-stained."

    assert "".join(each.text for each in snippet(text, ["keel", "rust"])) == text


def test_only_fields_that_exist_are_left_out_of_the_search() -> None:
    def names(cls: Any) -> set[str]:
        found = {each.name for each in dataclasses.fields(cls)}
        inner = [hints(cls)[name] for name in found]
        parts = [arg for hint in inner for arg in (hint, *getattr(hint, "__args__", ())) if dataclasses.is_dataclass(arg)]  # fmt: skip
        return found.union(*(names(each) for each in parts))

    assert set.union(*(names(cls) for cls in KINDS.values())) >= words._NOT_WORDS
