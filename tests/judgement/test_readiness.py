"""Ready to travel is said only when everything that must be settled is, and each condition says why."""

from dataclasses import replace
from datetime import date
from typing import Any, get_args

import pytest
from cast import QUILLET, entry
from settled import ASKED, CHECK, EVERYTHING, TERMS, survey

from garboard.judgement.readiness import (
    ACTS,
    Condition,
    acts_called,
    arrangement_words,
    before_travelling,
    is_ready,
)
from garboard.notebook.body import (
    Act,
    Arrangement,
    Consent,
)
from garboard.notebook.fold import fold


def found(*bodies: Any) -> dict[str, Condition]:
    return {each.id: each for each in before_travelling(survey(*bodies))}


def open_ids(*bodies: Any) -> list[str]:
    return [each.id for each in before_travelling(survey(*bodies)) if not each.is_true]


def test_with_everything_settled_she_is_ready() -> None:
    conditions = before_travelling(survey(*EVERYTHING))

    assert [each.id for each in conditions if not each.is_true] == []
    assert is_ready(conditions)


@pytest.mark.parametrize("missing", range(2, len(EVERYTHING)))
def test_whatever_one_thing_is_missing_she_is_not_ready(missing: int) -> None:
    left = (*EVERYTHING[:missing], *EVERYTHING[missing + 1 :])

    assert len(open_ids(*left)) == 1


def test_a_boat_alone_leaves_the_first_four_questions_open() -> None:
    conditions = found(QUILLET)

    assert [id_ for id_ in ("client", "asked", "use", "terms") if conditions[id_].is_true] == []
    assert conditions["client"].mend.kind == "instruction"
    assert conditions["client"].mend.entry == ""


def test_where_she_lies_and_which_boat_belong_to_what_is_asked() -> None:
    nowhere = found(replace(ASKED, place=""), QUILLET)["asked"]
    no_boat = found(ASKED)["asked"]

    assert nowhere.why == "Where she lies is not said."
    assert nowhere.mend.kind == "instruction"
    assert no_boat.why == "The boat is not recorded."
    assert no_boat.mend.kind == "boat"


def test_a_re_inspection_must_say_what_is_looked_at_again() -> None:
    again = replace(ASKED, purpose="re-inspection")

    assert not found(again, QUILLET)["asked"].is_true
    assert found(replace(again, asked_parts=("keel-joint",)), QUILLET)["asked"].is_true


def test_a_report_for_an_insurer_names_him() -> None:
    insured = replace(ASKED, purpose="insure")

    assert not found(insured)["use"].is_true
    assert found(replace(insured, may_rely=("Orrow Mutual Hulls",)))["use"].why == "For the client to rely on, and: Orrow Mutual Hulls."  # fmt: skip
    assert found(ASKED)["use"].why == "For the client alone to rely on."


def test_who_gets_a_copy_is_told_apart_from_who_may_rely() -> None:
    copied = replace(ASKED, copies=(ASKED.client, "Orrow Mutual Hulls"))

    assert found(copied)["use"].why == "For the client alone to rely on. A copy goes to: Orrow Mutual Hulls."  # fmt: skip


def test_terms_accepted_for_other_work_do_not_count() -> None:
    changed = entry(9, replace(ASKED, exclusions=("the rig",)), replaces=(1,))
    noted = entry(9, replace(ASKED, notes="Key at the gate"), replaces=(1,))
    begun = [entry(1, ASKED), entry(2, TERMS)]

    def terms(*more: Any) -> Condition:
        conditions = before_travelling(fold([*begun, *more]))
        return next(each for each in conditions if each.id == "terms")

    assert terms().is_true
    assert terms(noted).is_true
    assert not terms(changed).is_true
    assert "changed after T. Orrowby accepted" in terms(changed).why
    assert terms(changed, entry(10, TERMS)).is_true


def test_a_disclosed_interest_counts_once_somebody_accepted_it() -> None:
    disclosed = replace(CHECK, result="disclosed and accepted")

    assert not found(disclosed)["conflict"].is_true
    assert found(replace(disclosed, accepted_by="T. Orrowby"))["conflict"].is_true
    assert not found(replace(CHECK, result="declined"))["conflict"].is_true


def test_leave_is_asked_for_what_the_schedule_does() -> None:
    calls = acts_called(survey(ASKED, QUILLET))

    assert (calls["attend"], calls["photograph"]) == (0, 0)
    assert calls["scrape"] > 0
    assert calls["power up"] > 0
    assert "trial" not in calls
    assert "trial" in acts_called(survey(replace(ASKED, visits=("ashore", "trial")), QUILLET))
    assert f"in {calls['scrape']} places" in found(ASKED, QUILLET)["leave scrape"].why


def test_a_refusal_is_settled_unless_it_keeps_the_surveyor_ashore() -> None:
    refused = Consent(act="scrape", given=False, by="the seller", on=date(2026, 5, 5))

    conditions = found(ASKED, QUILLET, refused, replace(refused, act="attend"))

    assert conditions["leave scrape"].is_true
    assert "Refused by the seller" in conditions["leave scrape"].why
    assert not conditions["leave attend"].is_true


def test_the_last_word_about_leave_counts() -> None:
    given = Consent(act="attend", given=True, by="the seller", on=date(2026, 5, 5))

    assert not found(ASKED, given, replace(given, given=False))["leave attend"].is_true


def test_a_visit_needs_its_day() -> None:
    sometime = Arrangement(what="visit", words="in May")

    assert not found(ASKED, sometime)["visit"].is_true
    assert found(ASKED, sometime)["visit"].why == "in May; the day is not said."
    assert found(ASKED, replace(sometime, on=date(2026, 5, 12)))["visit"].is_true


def test_lift_and_tide_are_asked_where_the_visit_needs_them() -> None:
    ashore, afloat = found(ASKED), found(replace(ASKED, visits=("afloat",)))

    assert "lift or slip" in ashore
    assert "weather and tide" not in ashore
    assert "lift or slip" not in afloat
    assert "weather and tide" in afloat


def test_an_instruction_without_a_visit_still_gets_its_answer() -> None:
    nowhere = replace(ASKED, visits=())

    assert "leave attend" in open_ids(nowhere, QUILLET)


def test_every_act_has_words() -> None:
    assert set(ACTS) == set(get_args(Act))


def test_an_arrangement_says_its_day_and_with_whom() -> None:
    lift = Arrangement(what="lift or slip", words="at 08:30.", with_whom="the yard", on=date(2026, 5, 12))  # fmt: skip

    assert arrangement_words(lift) == "12 May 2026: at 08:30 (with the yard)"
