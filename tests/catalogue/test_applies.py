"""The test of a boat: met, refused, or open until somebody says."""

import pytest

from garboard.catalogue.applies import Applies, Clause, read_applies
from garboard.catalogue.parts import catalogue
from garboard.catalogue.table import Table
from garboard.notebook.problem import Problem


def asking(**cells: object) -> Applies:
    problems: list[Problem] = []
    test = read_applies(Table("here", {"applies": cells}, problems), catalogue().vocabulary)
    assert not problems
    return test


def test_a_test_of_nothing_holds_for_every_boat() -> None:
    assert Applies().holds({})
    assert Applies().unstated({}) == ()


def test_every_key_must_hold_and_any_word_of_a_list_will_do() -> None:
    alloy_sloop = asking(rig=["sloop", "cutter"], mast=["alloy"])

    assert alloy_sloop.holds({"rig": ("cutter",), "mast": ("alloy",)})
    assert not alloy_sloop.holds({"rig": ("cutter",), "mast": ("wood",)})
    assert alloy_sloop.refusing({"rig": ("cutter",), "mast": ("wood",)}) == ("mast",)


def test_one_of_the_tables_under_any_must_hold_besides() -> None:
    test = asking(material=["grp"], any=[{"speed": ["planing"]}, {"hulls": [2, 3]}])

    assert test.holds({"material": ("grp",), "hulls": ("2",), "speed": ("displacement",)})
    assert test.holds({"material": ("grp",), "hulls": ("1",), "speed": ("planing",)})
    assert not test.holds({"material": ("grp",), "hulls": ("1",), "speed": ("displacement",)})
    assert not test.holds({"material": ("steel",), "hulls": ("2",), "speed": ("planing",)})


def test_a_group_stands_for_its_words() -> None:
    assert asking(material=["wooden"]).holds({"material": ("clinker",)})
    assert not asking(material=["wooden"]).holds({"material": ("steel",)})


def test_a_fact_with_several_answers_holds_by_any_of_them() -> None:
    assert asking(deck=["teak-over"]).holds({"deck": ("grp-sandwich", "teak-over")})


def test_an_unstated_fact_leaves_the_test_open_unless_another_decides_it() -> None:
    test = asking(rig=["any-rig"], mast=["carbon"])

    assert test.unstated({"rig": ("sloop",)}) == ("mast",)
    assert test.unstated({}) == ("rig", "mast")
    assert test.unstated({"rig": ("none",)}) == ()
    assert not test.holds({"rig": ("sloop",)})


def test_an_alternative_that_holds_leaves_nothing_to_ask() -> None:
    test = asking(any=[{"speed": ["planing"]}, {"hulls": [2, 3]}])

    assert test.unstated({"hulls": ("2",)}) == ()
    assert test.unstated({"hulls": ("1",)}) == ("speed",)


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({"colour": ["red"]}, "there is no such fact"),
        ({"keel": ["deep"]}, '"deep" is not known'),
        ({"keel": "long"}, "is not a list"),
        ({"keel": []}, "is not a list"),
        ({"keel": ["long", "long"]}, "stands twice"),
        ({"fitted": ["jacuzzi"]}, '"jacuzzi" is not known'),
        ({"any": []}, "no list of tables"),
        ({"any": ["keel"]}, "is not a table"),
        ({}, "asks nothing"),
    ],
)
def test_a_test_that_no_boat_could_answer_is_refused(cells: object, said: str) -> None:
    problems: list[Problem] = []

    read_applies(Table("here", {"applies": cells}, problems), catalogue().vocabulary)

    assert any(said in str(problem) for problem in problems)


def test_the_words_a_test_asks_of_a_fact_can_be_listed() -> None:
    two = Applies(
        alternatives=(
            (Clause(fact="fitted", among=("gas", "cabin")),),
            (Clause(fact="fitted", among=("gas",)), Clause(fact="keel", among=("long",))),
        )
    )

    assert two.asks("fitted") == ("gas", "cabin")
    assert two.asks("rig") == ()
