import pytest

from garboard.methods.criteria import criteria, criteria_in
from garboard.notebook.problem import Refused

SOUND = {
    "quantity": "diminution_pct",
    "limit": 25.0,
    "unit": "%",
    "beyond": "above",
    "applies": "steel plate",
    "standing": "guidance",
    "source": "a handbook, section 2",
    "text": "read",
    "say": "more than {limit:.0f} {unit} is gone",
}


def problems_of(table: dict[str, object], slug: str = "a-limit") -> str:
    with pytest.raises(Refused) as refused:
        criteria_in({slug: table}, "criteria/plating.toml")
    return str(refused.value)


def test_the_sentence_of_a_criterion_holds_its_limit() -> None:
    (criterion,) = criteria_in({"a-limit": SOUND}, "criteria/plating.toml")

    assert criterion.id == "a-limit"
    assert criterion.say == "more than 25 % is gone"


def test_an_unknown_key_is_refused_with_its_place() -> None:
    said = problems_of({**SOUND, "colour": "red"})

    assert "criteria/plating.toml a-limit colour" in said


@pytest.mark.parametrize("name", sorted(SOUND))
def test_a_criterion_without_one_of_its_fields_is_refused(name: str) -> None:
    said = problems_of({key: value for key, value in SOUND.items() if key != name})

    assert f"a-limit {name}: it is missing" in said


@pytest.mark.parametrize("name", ["quantity", "applies", "source", "say"])
def test_a_criterion_with_an_empty_field_is_refused(name: str) -> None:
    assert f"a-limit {name}: it is empty" in problems_of({**SOUND, name: " "})


def test_a_standing_nobody_knows_is_refused() -> None:
    assert "a-limit standing" in problems_of({**SOUND, "standing": "folklore"})


def test_a_limit_from_memory_may_not_pass_judgement() -> None:
    assert "have this checked" in problems_of({**SOUND, "text": "memory"})


def test_a_limit_from_memory_may_ask_to_have_this_checked() -> None:
    asking = {**SOUND, "text": "memory", "say": "more than {limit:g} % is gone: have this checked"}

    (criterion,) = criteria_in({"a-limit": asking}, "criteria/plating.toml")

    assert criterion.text == "memory"


def test_a_slot_that_stands_for_nothing_is_refused() -> None:
    assert "{value} stands for nothing" in problems_of({**SOUND, "say": "{value} is too much"})


def test_an_id_is_lower_case_words_with_hyphens() -> None:
    assert "is no id" in problems_of(SOUND, slug="A_Limit")


def test_every_problem_is_told_at_once() -> None:
    said = problems_of({**SOUND, "source": "", "limit": "much", "colour": "red"})

    assert "colour" in said
    assert "limit" in said


def test_every_criterion_of_the_library_can_be_read() -> None:
    assert all(slug == criterion.id for slug, criterion in criteria().items())
    assert criteria()
