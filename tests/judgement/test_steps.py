"""A job is at one place on its way, and says what it waits for."""

from dataclasses import replace
from datetime import date
from typing import Any

from cast import DAY, QUILLET, entry, entry_id, sounding

from garboard.judgement.readiness import acts_called
from garboard.judgement.steps import Step, step_of
from garboard.notebook.body import (
    Amendment,
    Arrangement,
    Conditions,
    ConflictCheck,
    Finding,
    Instruction,
    Issue,
    Place,
    Summary,
    Terms,
    Withdrawal,
)
from garboard.notebook.fold import fold

ASKED = Instruction(client="Tamsin Orrowby", purpose="buy", place="Fennick Hard", due=date(2026, 5, 20))  # fmt: skip
TERMS = Terms(version="3", accepted_by="T. Orrowby", accepted_on=date(2026, 5, 4), how="by e-mail")
VISIT = Arrangement(what="visit", words="at nine", on=date(2026, 5, 12))
BEGUN = Conditions(lying="ashore", began=DAY)
VISITED = Conditions(lying="ashore", began=DAY, ended=DAY)
ISSUED = Issue(number="Q1", version=1, entries_sha256="0" * 64)
CALL = Arrangement(what="follow-up", words="Were the bolts drawn?", on=date(2026, 10, 1))


def step(*bodies: Any) -> Step:
    return step_of(fold([entry(number, body) for number, body in enumerate(bodies, 1)]))


def test_a_job_is_booked_by_the_acceptance_of_terms() -> None:
    assert step(ASKED, QUILLET).stage == "enquiry"
    assert step(ASKED, QUILLET, TERMS).stage == "booked"


def test_an_enquiry_waits_for_what_makes_it_a_job_alone() -> None:
    assert step(ASKED, QUILLET).in_the_way == ("terms", "conflict of interest")


def test_a_booked_job_waits_for_what_must_be_settled_before_travelling() -> None:
    acts = acts_called(fold([entry(1, ASKED), entry(2, QUILLET)]))

    waits = step(ASKED, QUILLET, TERMS, VISIT).in_the_way

    assert "day of the visit" not in waits
    assert "telephone of the yard" in waits
    assert [each for each in waits if each.startswith("leave")] == [f"leave for {len(acts)} acts"]


def test_what_it_waits_for_is_said_in_a_few_words() -> None:
    waits = step(ASKED, QUILLET, TERMS, VISIT)

    assert waits.waits_for == f"conflict of interest, lift or slip, access, {len(waits.in_the_way) - 3} more"  # fmt: skip
    assert step(ASKED, QUILLET).waits_for == "terms, conflict of interest"


def test_its_day_is_the_first_of_visit_and_report() -> None:
    assert step(ASKED).day == date(2026, 5, 20)
    assert step(ASKED, VISIT, TERMS).day == date(2026, 5, 12)
    assert step(ASKED, VISITED).day == date(2026, 5, 20)
    assert step(QUILLET).day is None


def test_a_visit_that_was_made_is_the_visit() -> None:
    later = Arrangement(what="visit", words="again", on=date(2026, 6, 1))

    assert step(ASKED, later).visit == date(2026, 6, 1)
    assert step(ASKED, later, VISITED).visit == DAY.date()


def test_a_visit_that_goes_on_is_at_the_boat_until_it_ends_or_the_summary_is_written() -> None:
    begun = (ASKED, QUILLET, TERMS, BEGUN)

    assert step(*begun).stage == "at the boat"
    assert step(*begun).day == DAY.date()
    assert step(ASKED, QUILLET, TERMS, VISITED).stage == "to write"
    assert step(*begun, Summary(overall="A sloop.")).stage == "to write"


def test_after_the_visit_it_waits_for_what_is_not_written() -> None:
    finding = Finding(name="keel", title="Keel joint open", seen="0.6 mm", why="Water.", urgency="before launching", because="it admits water", how_known=("seen",), places=(Place(part="keel-joint"),))  # fmt: skip

    waits = step(ASKED, QUILLET, TERMS, VISITED, finding)

    assert waits.stage == "to write"
    assert "1 finding without a recommendation" in waits.in_the_way
    assert "summary" in waits.in_the_way
    assert "terms" not in waits.in_the_way
    assert any(each.startswith("nothing recorded at ") for each in waits.in_the_way)


def test_an_issued_report_is_out_until_something_is_to_be_followed_up() -> None:
    begun = (ASKED, QUILLET, TERMS, VISITED, Summary(overall="A sloop."), ISSUED)
    done = Arrangement(what="follow-up", words="They were drawn; invoice seen.")

    assert step(*begun).stage == "out"
    assert step(*begun, CALL).stage == "to follow up"
    assert step(*begun, CALL).day == date(2026, 10, 1)
    assert step(*begun, CALL).in_the_way[0] == "Were the bolts drawn?"
    assert step(*begun, done).stage == "out"


def test_an_issued_report_waits_for_its_amendment_once_something_is_recorded_that_it_lacks() -> (
    None
):
    begun = fold([entry(1, ASKED), entry(2, QUILLET)])
    issued = replace(ISSUED, entries_sha256=begun.content_digest)
    out = fold([*begun.entries, entry(3, issued)])
    changed = fold([*out.entries, entry(4, sounding())])
    amended = fold(
        [*changed.entries, entry(5, Amendment(issue=entry_id(3), reason="Seen since.", changes=()))]
    )

    steps = [step_of(each) for each in (out, changed, amended)]

    assert [each.stage for each in steps] == ["out"] * 3
    assert [each.waits_for for each in steps] == [
        "",
        "amendment of version 1",
        "issue of the amendment of version 1",
    ]
    assert [each.next.startswith("Nothing") for each in steps] == [True, False, False]


def test_a_visit_that_nobody_ended_is_over_once_a_finding_is_written() -> None:
    found = Finding(
        name="blade", title="Blade cracked", seen="", why="", urgency="before launching", because="",
        how_known=("seen",), places=(Place(part="rudder-blade"),),
    )  # fmt: skip

    assert step(ASKED, QUILLET, TERMS, BEGUN).stage == "at the boat"
    assert step(ASKED, QUILLET, TERMS, BEGUN, found).stage == "to write"


def test_at_the_boat_without_a_visit_agreed_it_is_said_and_nothing_breaks() -> None:
    asked = replace(ASKED, visits=())

    assert "no visit is stated" in step(asked, QUILLET, TERMS, BEGUN).in_the_way


def test_a_job_that_came_to_nothing_is_set_aside_and_can_come_back() -> None:
    begun = [entry(1, ASKED), entry(2, Withdrawal(), replaces=(1,))]

    assert step_of(fold(begun)).stage == "not gone ahead"
    assert step_of(fold([*begun, entry(3, ASKED)])).stage == "enquiry"
    assert (
        step(ASKED, ConflictCheck(result="declined", looked_at="the seller")).stage
        == "not gone ahead"
    )


def test_what_competes_must_be_chosen_first() -> None:
    other = Instruction(client="Mirel Tannock", purpose="buy", place="Fennick Hard")

    assert step(ASKED, other).in_the_way[0] == "1 choice to make"
