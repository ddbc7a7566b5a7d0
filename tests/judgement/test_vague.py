"""Words that say too little are doubted, and the same words where they are the trade's own are not."""

import tomllib
from importlib.resources import files

import pytest
from cast import QUILLET, entry

from garboard.catalogue.parts import catalogue
from garboard.judgement.gaps import gaps
from garboard.judgement.vague import vague_words
from garboard.notebook.body import Examination, Place
from garboard.notebook.fold import fold


def words(text: str, *parts: str) -> list[str]:
    return [each.word for each in vague_words(text, parts)]


@pytest.mark.parametrize(
    "text",
    [
        "The topsides are fair.",
        "Fair under the straight edge to 2 mm.",
        "Every strake runs fair from stem to transom.",
        "Faired and painted over; fairness is spoilt at one frame.",
        "Topsides sighted from 3.5 m and fair.",
        "Fair to 2 mm under a batten.",
    ],
)
def test_fair_is_not_doubted_where_it_speaks_of_a_shape(text: str) -> None:
    assert words(text) == []


@pytest.mark.parametrize(
    "text",
    [
        "The hull appears fair.",
        "Topsides in fair condition.",
        "The topsides are fair for her age.",
        "The topsides were sighted. Engine fair.",
        "The topsides were sighted; engine fair.",
        "Surface rust only, engine fair",
        "The wiring of the switch panel is fair.",
        "Mooring lines fair.",
        "Battery leads fair.",
        "The plating is fair to good.",
        "The topsides are fair to good.",
        "Topsides fair overall.",
        "The topsides show fair wear only.",
    ],
)
def test_fair_is_doubted_where_it_stands_for_a_verdict(text: str) -> None:
    assert "fair" in words(text)


def test_fair_is_not_doubted_where_the_fairness_of_the_topsides_was_examined() -> None:
    fairness = Examination(place=Place(part="topside-fairness", side="port"), extent="whole", found="Fair all along.")  # fmt: skip
    engine = Examination(
        place=Place(part="engine-exterior"), extent="whole", found="Fair all over."
    )
    survey = fold([entry(1, QUILLET), entry(2, fairness), entry(3, engine)])

    doubted = [each.id for each in gaps(survey, ()) if each.id.startswith("vague")]

    assert doubted == ["vague examined engine-exterior fair"]


def test_the_parts_of_which_a_word_is_the_trades_own_exist() -> None:
    trades = tomllib.loads(files("garboard.judgement").joinpath("vague.toml").read_text())["trade"]

    assert all(part in catalogue().parts for trade in trades.values() for part in trade["parts"])
