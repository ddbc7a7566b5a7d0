"""The paper of a day without a battery: a line says what was written on it, and nothing is taken for granted."""

import pytest

from garboard.catalogue.parts import catalogue
from garboard.catalogue.schedule import Called
from garboard.desk.paper import Written, codes, line_of
from garboard.notebook.body import Examination, Limitation, Place

SEACOCK = Called(
    part=catalogue().parts["seacock"], place=Place(part="seacock", number=3), why="asked for"
)


def read(**written: str) -> tuple[object, ...]:
    line = line_of(SEACOCK, Written(**written))
    assert line.problems == {}
    return line.bodies


def wrong(**written: str) -> set[str]:
    line = line_of(SEACOCK, Written(**written))
    assert line.bodies == ()
    return set(line.problems)


@pytest.mark.parametrize("vocabulary", ["how", "reasons"])
def test_every_word_that_can_be_written_has_a_code_of_its_own(vocabulary: str) -> None:
    found = codes(vocabulary)

    assert found.keys() == getattr(catalogue().vocabulary, vocabulary).keys()
    assert len(set(found.values())) == len(found)


def test_a_line_says_how_far_in_which_ways_and_what_was_found() -> None:
    (examined,) = read(far="p60", how="lo", short="d", found=" handle wasted ")

    assert examined == Examination(
        place=SEACOCK.place,
        extent="part",
        how=("look", "operate"),
        share_pct=60,
        outcome="defect",
        found="handle wasted",
    )


def test_a_point_stands_for_all_ways_that_are_called_for_and_no_others() -> None:
    (examined,) = read(far="w", how=".")

    assert isinstance(examined, Examination)
    assert examined.how == ("operate", "look", "move", "sound")


def test_a_way_behind_a_minus_was_called_for_and_not_used() -> None:
    examined, limited = read(far="w", how=".-so", why="42")

    assert isinstance(examined, Examination)
    assert examined.how == ("look", "move")
    assert isinstance(limited, Limitation)
    assert (limited.how, limited.reasons) == (("sound", "operate"), ("seized",))
    assert limited.not_reached == "Not sounded with a hammer, not worked through its full travel"


def test_what_was_not_reached_is_a_limitation_with_the_catalogues_proposals_and_no_examination() -> None:  # fmt: skip
    (limited,) = read(far="x", why="12 4", found="behind the drawers")

    assert isinstance(limited, Limitation)
    assert limited.not_reached == "behind the drawers"
    assert limited.reasons == ("stowed-gear", "lined")
    assert limited.could_hide == SEACOCK.part.could_hide
    assert limited.would_lift == SEACOCK.part.would_lift


def test_the_rest_of_a_part_is_named_by_its_share_where_nobody_named_it() -> None:
    _, limited = read(far="p60", how="l", why="12")

    assert isinstance(limited, Limitation)
    assert limited.not_reached == "The other 40 % of it"


def test_not_fitted_is_an_examination_of_its_own_kind() -> None:
    (examined,) = read(far="N", how="l")

    assert isinstance(examined, Examination)
    assert examined.extent == "not fitted"


@pytest.mark.parametrize(
    ("written", "fields"),
    [
        ({"found": "weeping"}, {"far"}),
        ({"far": "z", "how": "l"}, {"far"}),
        ({"far": "w60", "how": "l"}, {"far"}),
        ({"far": "p160", "how": "l"}, {"far"}),
        ({"far": "w"}, {"how"}),
        ({"far": "w", "how": "lj"}, {"how"}),
        ({"far": "w", "how": "l", "short": "x"}, {"short"}),
        ({"far": "x", "short": "s", "why": "3"}, {"short"}),
        ({"far": "x"}, {"why"}),
        ({"far": "x", "how": "l", "why": "3"}, {"how"}),
        ({"far": "x", "why": "3 77"}, {"why"}),
        ({"far": "w", "how": "l", "missed": "spindle"}, {"why"}),
        ({"far": "n", "why": "3"}, {"why"}),
    ],
)
def test_what_does_not_read_is_said_beside_its_cell_and_nothing_is_made(
    written: dict[str, str], fields: set[str]
) -> None:
    assert wrong(**written) == fields


def test_a_line_of_blanks_is_empty() -> None:
    assert Written(far=" ", found="").is_empty
    assert not Written(missed="x").is_empty
