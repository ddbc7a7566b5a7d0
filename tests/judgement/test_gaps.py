"""Gaps name what is missing, once each, and an answer in words closes one."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from cast import DAY, QUILLET, entry, entry_id

from garboard.judgement.gap import Gap
from garboard.judgement.gaps import gaps
from garboard.methods.library import results_of
from garboard.methods.result import Result
from garboard.notebook.body import (
    Amendment,
    Answer,
    Conditions,
    ConflictCheck,
    Consent,
    Examination,
    Finding,
    Instruction,
    InstrumentCheck,
    Limitation,
    Memo,
    Observation,
    Person,
    Photo,
    Place,
    Reading,
    ReadingSet,
    Recommendation,
    Sounding,
    Summary,
    Terms,
    Unknown,
    Value,
    Withdrawal,
)
from garboard.notebook.fold import fold

KEEL = Place(part="keel-joint")
FINDING = Finding(
    name="keel-joint-open",
    title="Keel joint open",
    seen="0.6 mm over 180 mm.",
    why="Water reaches the bolts.",
    urgency="before launching",
    because="it admits water",
    how_known=("seen", "measured"),
    places=(KEEL,),
    photos=(entry_id(50),),
)
BEGUN: tuple[Any, ...] = (
    Instruction(client="Tamsin Orrowby", purpose="buy"),
    QUILLET,
    Terms(version="1", accepted_by="T. O.", accepted_on=date(2026, 5, 4), how="by e-mail"),
    ConflictCheck(result="none", looked_at="archive"),
    Conditions(lying="ashore", began=DAY),
    Summary(overall="A sloop in the state described."),
)


def found(*bodies: Any, results: tuple[Result, ...] = (), others: tuple[str, ...] = ()) -> dict[str, Gap]:  # fmt: skip
    survey = fold([entry(n, body) for n, body in enumerate((*BEGUN, *bodies), 1)])
    return {gap.id: gap for gap in gaps(survey, results, others)}


def test_an_empty_survey_lacks_its_beginnings() -> None:
    survey = fold([entry(1, QUILLET)])

    missing = {gap.id for gap in gaps(survey, ()) if gap.id.startswith("missing")}

    assert missing == {"missing instruction", "missing terms", "missing conflict check", "missing conditions", "missing summary", "missing surveyor"}  # fmt: skip


def test_a_silent_part_blocks_and_is_on_the_list_before_leaving() -> None:
    gap = found()["silent keel-joint"]

    assert gap.is_open
    assert gap.leaving


def test_an_answer_in_words_closes_a_gap_and_stays_with_it() -> None:
    gap = found(Answer(gap="silent keel-joint", words="The keel stood in a pit."))[
        "silent keel-joint"
    ]

    assert not gap.is_open
    assert gap.answer == "The keel stood in a pit."


def test_a_limitation_that_does_not_say_what_it_could_hide_is_a_gap() -> None:
    limit = Limitation(place=KEEL, not_reached="aft end", reasons=("painted-over",))

    assert found(limit)["limitation could hide keel-joint"].is_open


def test_a_method_called_for_and_not_used_is_a_gap_that_does_not_block() -> None:
    look = Examination(place=KEEL, extent="whole", how=("look",))

    assert not found(look)["unused sound keel-joint"].is_open


def test_scraping_without_leave_is_a_gap() -> None:
    scraped = Examination(place=Place(part="bottom-gelcoat", side="port"), extent="whole", how=("scrape",))  # fmt: skip
    leave = Consent(act="scrape", given=True, by="Aldous Wickenmere", on=date(2026, 5, 12))
    refusal = replace(leave, given=False)

    assert "not recorded" in found(scraped)["consent scrape"].what
    assert "refused" in found(scraped, refusal)["consent scrape bottom-gelcoat port"].what
    assert "consent scrape" not in found(scraped, leave)


def test_what_was_done_against_a_refusal_is_answered_for_at_each_place() -> None:
    refusal = Consent(act="scrape", given=False, by="Aldous Wickenmere", on=date(2026, 5, 12))
    done = [
        Examination(place=Place(part=part, side="port"), extent="whole", how=("scrape",))
        for part in ("bottom-gelcoat", "bottom-coating")
    ]

    answered = Answer(gap="consent scrape bottom-gelcoat port", words="The owner stood by.")
    gaps_found = found(refusal, *done, answered)

    assert not gaps_found["consent scrape bottom-gelcoat port"].is_open
    assert gaps_found["consent scrape bottom-coating port"].is_open
    assert found(*done)["consent scrape"].where.endswith(" and 1 more")


def test_a_visit_that_nobody_ended_is_worth_a_second_look() -> None:
    ended = replace(BEGUN[4], ended=DAY)

    assert not found()["visit end 2026-05-12 09:00"].is_open
    assert "visit end 2026-05-13 09:00" in found(replace(ended, began=DAY + timedelta(days=1), ended=None))  # fmt: skip


@pytest.mark.parametrize(
    ("trace", "said"),
    [
        (Sounding(place=KEEL, heard="sound"), "sounded with a hammer"),
        (Photo(number=1, file="a.jpg", sha256="0", media_type="image/jpeg", caption="", place=KEEL), "photographed"),
    ],
)  # fmt: skip
def test_a_place_called_not_reached_of_which_something_is_kept_is_doubted(
    trace: Any, said: str
) -> None:
    limit = Limitation(place=KEEL, not_reached="all of it", reasons=("no-access",))
    part = Examination(place=KEEL, extent="part", how=("look",))

    assert found(limit, trace)["called unreached keel-joint"].what == f"it is called not reached, and it was {said}"  # fmt: skip
    assert "called unreached keel-joint" not in found(limit)
    assert "called unreached keel-joint" not in found(limit, trace, part)


def test_a_finding_without_evidence_advice_or_time_is_three_gaps() -> None:
    bare = replace(FINDING, photos=(), urgency="within a stated time")

    ids = {each for each in found(bare) if each.startswith("finding ")}

    assert ids == {
        "finding keel-joint-open evidence",
        "finding keel-joint-open within",
        "finding keel-joint-open advice",
    }


def test_a_recommendation_says_by_whom_by_when_and_how_verified() -> None:
    advice = Recommendation(
        finding=entry_id(7), what="Re-bed.", by_whom="", by_when="", verified=""
    )

    ids = {each for each in found(FINDING, advice) if "recommendation" in each}

    assert ids == {
        f"finding keel-joint-open recommendation 1 {each}"
        for each in ("by whom", "by when", "verified")
    }


def test_calling_a_part_sound_against_its_own_soundings_is_a_contradiction() -> None:
    place = Place(part="bottom-laminate", side="port", station_m=2.0, level_m=-0.3)
    sound = Examination(place=Place(part="bottom-laminate", side="port"), extent="whole", outcome="sound")  # fmt: skip

    gap = found(sound, Sounding(place=place, heard="hollow"))["called sound bottom-laminate port"]

    assert "sounded hollow" in gap.what
    assert gap.is_open


def test_dull_soundings_on_the_other_side_contradict_nothing() -> None:
    place = Place(part="bottom-laminate", side="starboard", station_m=2.0, level_m=-0.3)
    sound = Examination(place=Place(part="bottom-laminate", side="port"), extent="whole", outcome="sound")  # fmt: skip

    assert "called sound bottom-laminate port" not in found(
        sound, Sounding(place=place, heard="dull")
    )


MOISTURE = ReadingSet(
    name="bottom",
    quantity="moisture",
    unit="scale",
    instrument="meter",
    readings=(
        Reading(place=Place(part="bottom-laminate", side="port", station_m=2), as_read="12"),
    ),
)
UNREAD = Limitation(place=Place(part="bottom-laminate", side="port"), not_reached="not read with a moisture meter", reasons=("wet-surface",), how=("moisture",))  # fmt: skip


def test_a_method_called_not_used_whose_readings_are_kept_is_worth_a_second_look() -> None:
    gap = found(MOISTURE, UNREAD)["called unused moisture bottom-laminate port"]

    assert "not read with a moisture meter" in gap.what
    assert not gap.blocks


def test_a_method_left_out_on_the_other_side_or_at_one_spot_contradicts_nothing() -> None:
    starboard = replace(UNREAD, place=Place(part="bottom-laminate", side="starboard"))
    spot = replace(UNREAD, place=replace(UNREAD.place, words="behind the shores"))

    said = found(MOISTURE, starboard, spot)

    assert not [each for each in said if each.startswith("called unused")]


def test_a_method_that_the_examination_names_may_be_left_out_on_the_rest_of_the_part() -> None:
    partly = Examination(place=UNREAD.place, extent="part", how=("look", "moisture"))

    assert "called unused moisture bottom-laminate port" not in found(MOISTURE, UNREAD, partly)


def test_calling_a_part_sound_with_an_observed_defect_is_a_contradiction() -> None:
    sound = Examination(place=KEEL, extent="whole", outcome="sound")

    assert "called sound keel-joint" in found(
        sound, Observation(place=KEEL, seen="open", defect=True)
    )


def test_a_verdict_beyond_a_limit_that_no_finding_takes_up_is_a_gap() -> None:
    wasted = Result(
        method="x",
        what="loss of thickness",
        value=40,
        unit="%",
        verdict="beyond",
        used=(),
        place=KEEL,
    )

    assert any(each.startswith("not taken up") for each in found(results=(wasted,)))
    assert not any(each.startswith("not taken up") for each in found(FINDING, results=(wasted,)))


def test_the_name_of_another_boat_left_in_the_text_is_a_gap() -> None:
    copied = replace(FINDING, seen="The keel of Harrowmere is open.")

    assert "name finding keel-joint-open Harrowmere" in found(copied, others=("Harrowmere",))
    assert not [each for each in found(copied, others=("Quillet",)) if each.startswith("name")]


@pytest.mark.parametrize(
    ("body", "about"),
    [
        (Photo(number=1, file="a.jpg", sha256="0", media_type="image/jpeg", caption="Harrowmere's keel"), "photo a.jpg"),
        (Observation(place=KEEL, seen="As on Harrowmere."), "observed keel-joint 000007"),
        (Limitation(place=KEEL, not_reached="all", reasons=("no-access",), would_lift="As for Harrowmere"), "limited keel-joint"),
        (Amendment(issue="019e", reason="Harrowmere's figure was used", changes=()), "amendment"),
        (Value(basis="market", low_minor=1, high_minor=1, point_minor=1, currency="EUR", on=date(2026, 5, 12), reasoning="Harrowmere sold."), "value"),
    ],
)  # fmt: skip
def test_the_name_of_another_boat_is_looked_for_in_whatever_is_printed(
    body: Any, about: str
) -> None:
    named = [each for each in found(body, others=("Harrowmere",)) if each.startswith("name ")]

    assert [each.removesuffix(" Harrowmere").removeprefix("name ") for each in named] == [about]


def test_vague_words_are_named_with_what_to_write_instead() -> None:
    gap = found(replace(FINDING, seen="The joint appears adequate."))

    assert {"vague finding keel-joint-open appears", "vague finding keel-joint-open adequate"} <= set(gap)  # fmt: skip


def test_a_printed_photograph_needs_a_caption_and_a_word_in_the_text() -> None:
    photo = Photo(number=1, file="a.jpg", sha256="0", media_type="image/jpeg", caption="")
    captioned = replace(photo, caption="Propeller", place=Place(part="propeller"))

    assert found(photo)["caption a.jpg"].is_open
    assert found(captioned)["unmentioned a.jpg"].is_open
    assert "unmentioned a.jpg" not in found(
        captioned, Examination(place=Place(part="propeller"), extent="whole")
    )


def test_an_instrument_nobody_described_is_a_gap() -> None:
    read = ReadingSet(name="p", quantity="thickness", unit="mm", instrument="gauge", readings=(Reading(place=KEEL, as_read="5.1"),))  # fmt: skip

    assert found(read)["instrument gauge"].is_open


@pytest.mark.parametrize("answers", [("None seen.",), ("None seen.", " ")])
def test_questions_of_the_client_are_answered_one_by_one(answers: tuple[str, ...]) -> None:
    survey = fold(
        [
            entry(1, Instruction(client="T. O.", purpose="buy", questions=("Leaks?", "Rig?"))),
            entry(2, Summary(overall="x", answers=answers)),
        ]
    )

    gap = next(each for each in gaps(survey, results_of(survey)) if each.id == "client's questions")

    assert '"Rig?"' in gap.what


def test_evidence_that_was_withdrawn_is_named() -> None:
    seen = entry(50, Observation(place=KEEL, seen="open", defect=True))
    back = entry(51, Withdrawal(), replaces=(50,), why="other boat")
    finding = entry(52, replace(FINDING, evidence=(seen.id,), photos=()))
    survey = fold([entry(1, BEGUN[0]), entry(2, QUILLET), seen, back, finding])

    ids = {gap.id for gap in gaps(survey, ())}

    assert "finding keel-joint-open lost evidence" in ids
    assert "finding keel-joint-open evidence" in ids


def test_evidence_that_was_corrected_still_carries_its_finding() -> None:
    seen = entry(50, Observation(place=KEEL, seen="open", defect=True))
    corrected = entry(51, replace(seen.body, seen="open by 0.6 mm"), replaces=(50,))
    finding = entry(52, replace(FINDING, evidence=(seen.id,), photos=()))
    survey = fold([entry(1, BEGUN[0]), entry(2, QUILLET), seen, corrected, finding])

    assert not [
        gap.id for gap in gaps(survey, ()) if gap.id.startswith("finding") and "evidence" in gap.id
    ]


def test_a_defect_observed_without_a_finding_is_a_gap() -> None:
    seen = Observation(place=Place(part="stem"), seen="crushed", defect=True)

    assert any(each.startswith("observed stem") for each in found(seen))
    assert not any(
        each.startswith("observed") for each in found(seen, replace(FINDING, places=(seen.place,)))
    )


def test_places_off_the_boat_are_a_gap_by_part_that_says_what_they_spoil() -> None:
    bottom = [
        Sounding(place=Place(part="bottom-laminate", side="port", station_m=5.0, level_m=level), heard="sound")
        for level in (-4.0, -5.0, -0.3)
    ]  # fmt: skip
    far = ReadingSet(
        name="stem", quantity="moisture", unit="scale", instrument="meter",
        readings=(Reading(place=Place(part="stem", station_m=60.0), as_read="12"),),
    )  # fmt: skip

    open_gaps = found(*bottom, far)

    assert open_gaps["stray sounding bottom-laminate"].what == (
        "4.00 m below the boot-top is off the hull, which at 5.00 m aft of the stem goes from 2.9 m below to 1.0 m "
        "above the boot-top, and 1 more like it; coverage and areas that rest on it are wrong"
    )
    assert open_gaps["stray reading set stem"].what.startswith(
        "60.00 m aft of the stem is not on the boat: her hull is 10.20 m long"
    )


def test_a_choice_cannot_be_answered_away() -> None:
    survey = fold(
        [
            entry(1, BEGUN[0]),
            entry(2, QUILLET),
            entry(3, Sounding(place=KEEL, heard="sound")),
            entry(4, Sounding(place=KEEL, heard="dull"), replaces=(3,)),
            entry(5, Sounding(place=KEEL, heard="hollow"), replaces=(3,)),
            entry(6, Answer(gap=f"choice {entry_id(3)}", words="whatever")),
        ]
    )

    gap = next(each for each in gaps(survey, ()) if each.id.startswith("choice"))

    assert gap.is_open


def test_an_answer_to_no_gap_is_named() -> None:
    assert "stray answer silent rudder" in found(Answer(gap="silent rudder", words="x"))


def test_entries_of_a_newer_kind_are_counted_as_a_gap() -> None:
    assert found(Unknown(kind="hologram", json="{}"))["unknown hologram"].is_open


def test_a_failed_check_of_an_instrument_is_a_gap() -> None:
    failed = InstrumentCheck(instrument="gauge", on="step block", when="after", passed=False)

    assert found(failed)["failed check gauge after"].is_open


def test_an_assistant_does_not_sign() -> None:
    assert "missing surveyor" in found(Person(name="Jory Pask-Lund", role="surveyor's assistant"))
    assert "missing surveyor" not in found(Person(name="Ines Caldervane", role="surveyor, owner"))


def test_two_photographs_of_one_number_are_a_gap() -> None:
    photo = Photo(number=1, file="a.jpg", sha256="0", media_type="image/jpeg", caption="Stem")

    assert found(photo, replace(photo, file="b.jpg", sha256="1"))["photo number 1"].is_open


def test_answering_for_one_side_leaves_the_other_open() -> None:
    port, starboard = (
        Result(method="x", what="loss", value=40, unit="%", verdict="beyond", used=(), place=Place(part="bottom-plate-thickness", side=side))
        for side in ("port", "starboard")
    )  # fmt: skip

    ids = [each for each in found(results=(port, starboard)) if each.startswith("not taken up")]

    assert len(ids) == 2


DOUBTFUL = Examination(place=Place(part="chainplate", side="port", number=1), extent="whole", outcome="doubtful")  # fmt: skip


def test_a_part_found_doubtful_without_a_finding_is_a_gap() -> None:
    finding = replace(FINDING, places=(DOUBTFUL.place,))

    gap = found(DOUBTFUL)["doubtful chainplate port 1"]

    assert gap.is_open
    assert gap.what == "it was found doubtful, and no finding says so"
    assert "doubtful chainplate port 1" not in found(DOUBTFUL, finding)


def test_a_doubt_whose_facts_are_printed_asks_for_a_second_look_alone() -> None:
    told = replace(DOUBTFUL, found="Rust streak of 40 mm below it.")

    assert not found(told)["doubtful chainplate port 1"].is_open


def test_a_finding_that_rests_on_an_examination_speaks_of_it() -> None:
    elsewhere = replace(FINDING, evidence=(entry_id(7),))

    assert "doubtful chainplate port 1" not in found(DOUBTFUL, elsewhere)


def test_examined_whole_without_a_method_called_for_is_said_plainly() -> None:
    look = Examination(place=KEEL, extent="whole", how=("look",))

    said = [found(look)["unused sound keel-joint"].what]
    said += [found(replace(look, extent="part"))["unused sound keel-joint"].what]

    assert said == [
        "it is called examined whole, yet it was not sounded with a hammer",
        "it was not sounded with a hammer",
    ]


def test_a_photograph_of_another_day_than_the_visit_is_doubted() -> None:
    photo = Photo(number=1, file="a.jpg", sha256="0", media_type="image/jpeg", caption="Stem", taken=DAY)  # fmt: skip
    old = replace(photo, number=2, file="b.jpg", taken=DAY.replace(day=3))

    days = {id_: gap for id_, gap in found(photo, old).items() if id_.startswith("photo day")}

    assert list(days) == ["photo day b.jpg"]
    assert days["photo day b.jpg"].what == "it was taken on 3 May 2026, which is no day of the survey"  # fmt: skip
    assert not days["photo day b.jpg"].blocks


def test_what_is_missing_is_said_in_sentences_about_places_and_headings() -> None:
    empty = {gap.id: gap for gap in gaps(fold([entry(1, BEGUN[0])]), ())}
    vague = replace(FINDING, seen="It appears fair.")
    sound = Examination(place=KEEL, extent="whole", outcome="sound")
    crack = Observation(place=KEEL, seen="a crack", defect=True)

    said = found(vague, sound, crack)

    assert empty["missing conditions"].what == "the conditions on the day are not recorded"
    assert empty["missing boat"].what == "the particulars of the boat are not recorded"
    assert said["finding keel-joint-open advice"].where == 'finding "Keel joint open"'
    assert said["called sound keel-joint"].where == "keel-to-hull joint"
    assert {gap.where for id_, gap in said.items() if id_.startswith("vague")} == {'finding "Keel joint open"'}  # fmt: skip


def test_a_photograph_of_a_finding_that_is_not_printed_is_worth_a_second_look() -> None:
    shot = Photo(number=7, file="b.jpg", sha256="0", media_type="image/jpeg", caption="Joint")
    # Its entry is the first after the beginnings and the finding.
    shows = replace(FINDING, photos=(entry_id(len(BEGUN) + 2),))

    gap = found(shows, replace(shot, printed=False))["unprinted b.jpg"]

    assert not gap.blocks
    assert "Keel joint open" in gap.what
    assert "unprinted b.jpg" not in found(shows, shot)


def test_a_spoken_note_that_nobody_wrote_down_is_missing_wherever_it_belongs() -> None:
    heard = Memo(file="memo-1.wav", sha256="0" * 64, seconds=4.0)
    noted = Memo(file="memo-2.wav", sha256="1" * 64, seconds=4.0, words="Bolt heads rusty.")
    survey = fold([entry(1, QUILLET), entry(2, heard), entry(3, noted)])

    (gap,) = (each for each in gaps(survey, ()) if each.id.startswith("spoken "))

    assert (gap.id, gap.where, gap.blocks) == ("spoken memo-1.wav", "of no part, memo-1.wav", False)
    assert gap.what == "a spoken note is not written down"
