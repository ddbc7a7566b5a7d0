"""The fold keeps everything, and says what stands."""

import pytest
from cast import OTHER_SURVEY, QUILLET, entry, entry_id, sounding

from garboard.notebook.body import Boat, Remark, Sounding, Unknown, Withdrawal
from garboard.notebook.fold import fold


def test_a_correction_takes_the_place_of_what_it_replaces() -> None:
    first, corrected = (
        entry(1, sounding(heard="sound")),
        entry(2, sounding(heard="dull"), replaces=(1,)),
    )

    survey = fold([first, corrected])

    assert survey.of(Sounding) == (corrected,)
    assert survey.entries == (first, corrected)


def test_two_corrections_of_one_entry_stand_side_by_side_as_a_choice() -> None:
    first = entry(1, sounding())
    mine = entry(2, sounding(heard="dull"), replaces=(1,))
    yours = entry(3, sounding(heard="hollow"), replaces=(1,), device="tablet-2")

    survey = fold([yours, first, mine])

    assert survey.of(Sounding) == (mine, yours)
    assert [(each.of, each.between) for each in survey.choices] == [(first.id, (mine, yours))]


def test_an_entry_that_replaces_both_corrections_settles_the_choice() -> None:
    rivals = [
        entry(1, sounding()),
        entry(2, sounding(heard="dull"), replaces=(1,)),
        entry(3, sounding(heard="hollow"), replaces=(1,)),
    ]
    chosen = entry(4, sounding(heard="dull"), replaces=(2, 3))

    survey = fold([*rivals, chosen])

    assert survey.of(Sounding) == (chosen,)
    assert survey.choices == ()


def test_a_withdrawn_entry_stays_legible_with_its_reason() -> None:
    first = entry(1, sounding())
    back = entry(2, Withdrawal(), replaces=(1,), why="wrong side of the boat")

    survey = fold([first, back])

    assert survey.standing == ()
    assert [(each.entry, each.by.why) for each in survey.withdrawn] == [
        (first, "wrong side of the boat")
    ]


def test_withdrawing_a_correction_gives_back_what_it_had_replaced() -> None:
    first, wrong = entry(1, sounding()), entry(2, sounding(heard="dull"), replaces=(1,))

    survey = fold([first, wrong, entry(3, Withdrawal(), replaces=(2,))])

    assert survey.standing == (first,)


def test_withdrawing_an_older_correction_does_not_disturb_the_newest() -> None:
    chain = [
        entry(1, sounding()),
        entry(2, sounding(heard="dull"), replaces=(1,)),
        entry(3, sounding(heard="hollow"), replaces=(2,)),
    ]

    survey = fold([*chain, entry(4, Withdrawal(), replaces=(2,))])

    assert survey.standing == (chain[2],)


def test_a_withdrawn_withdrawal_has_no_force() -> None:
    first, back = entry(1, sounding()), entry(2, Withdrawal(), replaces=(1,))

    survey = fold([first, back, entry(3, Withdrawal(), replaces=(2,))])

    assert survey.standing == (first,)


def test_a_correction_made_while_another_device_withdrew_is_a_choice() -> None:
    first = entry(1, sounding())
    corrected = entry(2, sounding(heard="dull"), replaces=(1,))
    back = entry(3, Withdrawal(), replaces=(1,), device="tablet-2")

    survey = fold([first, corrected, back])

    assert [each.between for each in survey.choices] == [(corrected, back)]


def test_entries_that_replace_each_other_in_a_circle_all_stand() -> None:
    one, two = entry(1, sounding(), replaces=(2,)), entry(2, sounding(), replaces=(1,))

    survey = fold([one, two])

    assert survey.standing == (one, two)


def test_two_unrelated_particulars_of_the_boat_are_a_choice() -> None:
    first, second = entry(1, QUILLET), entry(2, Boat(name="Quillet"))

    survey = fold([second, first])

    assert [(each.of, each.between) for each in survey.choices] == [("boat", (first, second))]
    assert survey.boat == second.body


def test_one_id_with_two_contents_keeps_both_and_says_so() -> None:
    one, other = entry(1, Remark(text="damp")), entry(1, Remark(text="dry"))

    forth, back = fold([one, other]), fold([other, one])

    assert forth == back
    assert {each.body.text for each in (*forth.standing, *forth.clashes)} == {"damp", "dry"}


def test_a_correction_that_arrives_before_its_original_stands() -> None:
    corrected = entry(2, sounding(heard="dull"), replaces=(1,))

    assert fold([corrected]).standing == (corrected,)


def test_entries_of_two_surveys_are_not_folded_together() -> None:
    mixed = [entry(1, sounding()), entry(2, sounding(), survey=OTHER_SURVEY)]

    with pytest.raises(ValueError, match="belong to 2"):
        fold(mixed)


def test_a_chain_of_a_thousand_corrections_leaves_the_last() -> None:
    chain = [entry(1, sounding())]
    chain += [entry(n, sounding(), replaces=(n - 1,)) for n in range(2, 1001)]

    assert [each.id for each in fold(chain).standing] == [entry_id(1000)]


def test_a_later_entry_that_replaces_correction_and_withdrawal_settles_the_choice() -> None:
    first, corrected = entry(1, sounding()), entry(2, sounding(heard="dull"), replaces=(1,))
    back = entry(3, Withdrawal(), replaces=(1,), device="tablet-2")

    survey = fold([first, corrected, back, entry(4, sounding(heard="hollow"), replaces=(2, 3))])

    assert survey.choices == ()


def test_only_an_entry_of_the_same_kind_corrects_another() -> None:
    first = entry(1, sounding())
    odd = entry(2, Unknown(kind="hologram", json="{}"), replaces=(1,))

    assert fold([first, odd]).standing == (first, odd)


def test_what_stands_for_an_entry_is_its_correction() -> None:
    first, corrected = entry(1, sounding()), entry(2, sounding(heard="dull"), replaces=(1,))
    gone = entry(3, sounding())
    survey = fold([first, corrected, gone, entry(4, Withdrawal(), replaces=(3,))])

    assert survey.current(first.id) == (corrected,)
    assert survey.current(corrected.id) == (corrected,)
    assert survey.current(gone.id) == ()


def test_a_correction_leaves_standing_when_a_thing_was_done() -> None:
    first, once = entry(1, sounding()), entry(2, sounding(heard="dull"), replaces=(1,))
    again = entry(3, sounding(heard="hollow"), replaces=(2,))

    survey = fold([again, once, first])

    assert survey.done_at(again) == first.at
    assert survey.done_at(first) == first.at


def test_corrections_in_a_circle_have_a_time() -> None:
    one, other = entry(1, sounding(), replaces=(2,)), entry(2, sounding(), replaces=(1,))

    assert fold([one, other]).done_at(one) == other.at
