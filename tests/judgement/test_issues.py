"""Issues in order, and which of them an amendment speaks of, whoever received them since."""

from dataclasses import replace

from cast import QUILLET, entry, sounding

from garboard.judgement.gaps import gaps
from garboard.judgement.issues import (
    amendments_of,
    called,
    calls_for_amendment,
    is_changed,
    issues,
)
from garboard.notebook.body import Amendment, Arrangement, Instruction, Issue, Remark
from garboard.notebook.fold import Survey, fold

FIRST = fold([entry(1, QUILLET)])
ISSUED = entry(2, Issue(number="Q-1", version=1, entries_sha256=FIRST.content_digest))
SECOND = entry(3, Issue(number="Q-1", version=2, entries_sha256="0" * 64))
SENT = entry(9, replace(ISSUED.body, delivered_to=("Tamsin Orrowby",)), replaces=(2,))
AMENDED = entry(5, Amendment(issue=ISSUED.id, reason="The seller telephoned.", changes=("Told",)))


def amendments_wanted(survey: Survey) -> int:
    return sum(gap.id.startswith("amendment of ") for gap in gaps(survey, ()))


def test_an_issue_whose_receivers_were_added_later_stays_in_its_place() -> None:
    survey = fold([*FIRST.entries, ISSUED, SECOND, SENT])

    assert [entry.body.version for entry in issues(survey)] == [1, 2]
    assert survey.done_at(issues(survey)[0]) == ISSUED.at


def test_to_record_who_received_a_report_is_no_change_of_it() -> None:
    assert not is_changed(fold([*FIRST.entries, ISSUED, SENT]))


def test_an_amendment_speaks_of_an_issue_whoever_received_it_since() -> None:
    survey = fold([*FIRST.entries, ISSUED, entry(4, sounding()), AMENDED, SENT])

    assert amendments_of(survey, issues(survey)[-1]) == (AMENDED,)
    assert amendments_wanted(survey) == 0


def test_a_change_without_an_amendment_is_missed() -> None:
    assert amendments_wanted(fold([*FIRST.entries, ISSUED, entry(4, sounding())])) == 1


def test_what_is_settled_or_noted_after_the_issue_calls_for_no_amendment_and_what_is_heard_does() -> None:  # fmt: skip
    call = entry(4, Arrangement(what="follow-up", words="Were the bolts drawn?"))
    note = entry(5, Remark(text="A pleasant client."))
    beside = fold([*FIRST.entries, ISSUED, call, note])

    assert not calls_for_amendment(beside)
    assert calls_for_amendment(fold([*beside.entries, entry(6, sounding())]))


def test_a_report_without_a_number_is_called_by_its_boat_and_asks_for_one() -> None:
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    bare = fold([*FIRST.entries, entry(4, asked)])
    numbered = fold([*FIRST.entries, entry(4, replace(asked, report_number="Q-7"))])

    wanted = [[gap.blocks for gap in gaps(each, ()) if gap.id == "report number"] for each in (bare, numbered)]  # fmt: skip

    assert (called(bare), called(numbered)) == ("of Quillet", "Q-7")
    assert wanted == [[False], []]
