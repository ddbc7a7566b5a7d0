"""No heading of a report stands over nothing: of the invented surveys, and of surveys with next to nothing in them."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from itertools import zip_longest
from pathlib import Path
from typing import Any, get_args

import pytest
from cast import DAY, QUILLET, entry

from garboard.dossier.read import read_dossier
from garboard.judgement.gaps import gaps
from garboard.methods.library import results_of
from garboard.notebook.body import (
    Amendment,
    Boat,
    Examination,
    Instruction,
    Place,
    Purpose,
    Sounding,
    Summary,
)
from garboard.notebook.fold import Survey, fold
from garboard.report.compose import compose
from garboard.report.document import Block, Document, Facts, Heading, Items, Pictures, Table

DEMO = Path(__file__).parent.parent.parent / "demo"
NOW = datetime(2026, 12, 1, 9, 0, tzinfo=UTC)
ASKED = Instruction(client="Tamsin Orrowby", purpose="buy", questions=("Is she sound?", "What will she cost?"))  # fmt: skip
BLOW = Sounding(
    place=Place(part="bottom-laminate", side="port", station_m=3.0, level_m=-0.4), heard="dull"
)


def composed(survey: Survey) -> Document:
    results = results_of(survey)
    return compose(survey, results, gaps(survey, results), at=DAY)


def report(instruction: Instruction, *bodies: Any, boat: Boat = QUILLET) -> Document:
    return composed(
        fold([entry(n, each) for n, each in enumerate((instruction, boat, *bodies), 1)])
    )


def is_empty(block: Block) -> bool:
    match block:
        case Items():
            return not block.items
        case Table():
            return not block.rows
        case Facts():
            return not block.pairs
        case Pictures():
            return not block.pictures
        case _:
            return False


def left_empty(of: Document) -> Iterator[str]:
    """Headings with nothing under them: no block, one that holds nothing, or a heading that is not below them."""
    for block, after in zip_longest(of.blocks, of.blocks[1:]):
        if isinstance(block, Heading):
            is_over_its_own = isinstance(after, Heading) and after.level > block.level
            if (
                after is None
                or is_empty(after)
                or (isinstance(after, Heading) and not is_over_its_own)
            ):
                yield block.text


def answers(of: Document) -> list[str]:
    return [
        "".join(span.text for span in item)
        for heading, block in zip(of.blocks, of.blocks[1:], strict=False)
        if isinstance(heading, Heading) and heading.text == "The questions you asked"
        for item in (block.items if isinstance(block, Items) else ())
    ]


@pytest.mark.parametrize("boat", ["quillet", "harrowmere"])
def test_no_heading_of_the_invented_surveys_stands_over_nothing(boat: str) -> None:
    made = composed(fold(read_dossier(DEMO / boat, NOW).entries))

    assert list(left_empty(made)) == []
    assert not [block for block in made.blocks if is_empty(block)]


@pytest.mark.parametrize("purpose", get_args(Purpose))
@pytest.mark.parametrize(
    "bodies",
    [
        (),
        (Summary(overall=""),),
        (Summary(overall="A fair boat."), Examination(place=Place(part="stem"), extent="whole", outcome="sound")),
        (BLOW,),
    ],
    ids=["nothing", "an empty summary", "one part", "one blow"],
)  # fmt: skip
def test_no_heading_of_a_survey_with_next_to_nothing_stands_over_nothing(
    purpose: Purpose, bodies: tuple[Any, ...]
) -> None:
    made = report(replace(ASKED, purpose=purpose), *bodies, boat=Boat(name="Quillet"))

    assert list(left_empty(made)) == []
    assert not [block for block in made.blocks if is_empty(block)]


def test_an_amendment_without_a_list_of_changes_leaves_no_empty_list() -> None:
    made = report(ASKED, Amendment(issue="gone", reason="A wrong name.", changes=()))

    assert not [block for block in made.blocks if is_empty(block)]


@pytest.mark.parametrize(
    ("bodies", "said"),
    [
        ((), ("Not answered in this survey.", "Not answered in this survey.")),
        ((Summary(overall="Fair."),), ("Not answered in this survey.", "Not answered in this survey.")),
        ((Summary(overall="Fair.", answers=("She is.",)),), ("She is.", "Not answered in this survey.")),
        ((Summary(overall="Fair.", answers=("", "Little.")),), ("Not answered in this survey.", "Little.")),
    ],
)  # fmt: skip
def test_each_question_of_the_client_stands_with_its_answer_or_with_none(
    bodies: tuple[Any, ...], said: tuple[str, ...]
) -> None:
    made = report(ASKED, *bodies)

    assert answers(made) == [
        f"{question} {answer}" for question, answer in zip(ASKED.questions, said, strict=True)
    ]
