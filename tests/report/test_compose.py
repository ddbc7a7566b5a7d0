"""What a report must say, and must not say, of a survey."""

import re
from dataclasses import replace
from datetime import UTC, date, timedelta, timezone
from itertools import pairwise
from typing import Any

import pytest
from cast import DAY, QUILLET, entry, entry_id

from garboard.catalogue.parts import catalogue
from garboard.judgement.gaps import gaps
from garboard.methods.library import results_of
from garboard.notebook.body import (
    Answer,
    Boat,
    Conditions,
    Consent,
    Cost,
    Examination,
    Finding,
    Instruction,
    Limitation,
    Observation,
    Photo,
    Place,
    Reading,
    ReadingSet,
    Recommendation,
    Summary,
    Told,
    Value,
)
from garboard.notebook.fold import fold
from garboard.notebook.problem import Refused
from garboard.report.compose import compose
from garboard.report.document import (
    Document,
    FindingBlock,
    Heading,
    Items,
    Paragraph,
    Pictures,
    SignatureBlock,
    Table,
    Text,
    labels,
)
from garboard.report.sections.front import GRAVEST, OF_PAPER
from garboard.report.sheets import sheets

BUY = Instruction(client="Tamsin Orrowby", purpose="buy", questions=("Is she sound?",))
KEEL = Place(part="keel-joint")
URGENT = Finding(name="keel", title="Keel joint open", seen="0.6 mm.", why="Water enters.", urgency="before launching", because="b", how_known=("seen",), places=(KEEL,))  # fmt: skip
LOOKED = Examination(place=KEEL, extent="whole", how=("look",), outcome="defect", found="Open.")
LATER = replace(URGENT, name="rig", title="Rig old", urgency="keep under watch", places=(Place(part="mast-lower"),))  # fmt: skip


def document(*bodies: Any, instruction: Instruction = BUY) -> Document:
    survey = fold([entry(n, body) for n, body in enumerate((instruction, QUILLET, *bodies), 1)])
    results = results_of(survey)
    return compose(survey, results, gaps(survey, results), at=DAY)


def text_of(spans: Text) -> str:
    return "".join(span.text for span in spans)


def words(of: Document) -> str:
    """Everything the document says, in order."""
    said: list[str] = []
    for block in of.blocks:
        match block:
            case Heading():
                said.append(block.text)
            case Paragraph():
                said += [span.text for span in block.text]
            case Items():
                said += [span.text for item in block.items for span in item]
            case Table():
                said += [span.text for row in block.rows for cell in row for span in cell]
            case FindingBlock():
                said += [
                    block.title,
                    block.where,
                    block.why,
                    *(r.what for r in block.recommendations),
                ]
            case _:
                pass
    return "\n".join(said)


def headings(of: Document) -> list[str]:
    return [block.text for block in of.blocks if isinstance(block, Heading) and block.level == 1]


def test_findings_stand_by_urgency_and_are_numbered_once() -> None:
    found = [b for b in document(LATER, URGENT).blocks if isinstance(b, FindingBlock)]

    assert [(b.number, b.title) for b in found] == [(1, "Keel joint open"), (2, "Rig old")]


def beside(of: Document, heading: str) -> str:
    """What stands under a heading of the summary, to the next heading."""
    at = next(n for n, b in enumerate(of.blocks) if isinstance(b, Heading) and b.text == heading)
    end = next(n for n, b in enumerate(of.blocks) if n > at and isinstance(b, Heading))
    return words(replace(of, blocks=of.blocks[at + 1 : end])).replace("\n", "")


def test_the_summary_names_what_could_sink_or_harm_before_what_could_cost_and_papers_last() -> None:
    why = {"not_reached": "all", "reasons": ("no-time-agreed",), "would_lift": "another day"}
    parts = ("engine-identity", "engine-fluids", "sail", "gas-pipe", "seacock", "rudder-stock", "keel-bolt")  # fmt: skip
    limits = [
        Limitation(place=Place(part=part), could_hide=f"<{part}>", **why)  # type: ignore[arg-type]
        for part in parts
    ]
    rests_on_papers = replace(URGENT, evidence=(entry(3, limits[0]).id,))

    said = beside(document(*limits, rests_on_papers), "What could not be seen")

    named = re.findall("<([a-z-]+)>", said)
    assert named == ["keel-bolt", "seacock", "rudder-stock", "gas-pipe"]


def test_what_is_weighed_in_the_summary_are_parts_of_the_catalogue() -> None:
    assert catalogue().parts.keys() >= GRAVEST | OF_PAPER


def test_the_summary_names_of_parts_as_grave_first_what_a_finding_could_not_see() -> None:
    joint = Limitation(place=KEEL, not_reached="all", reasons=("no-consent",), could_hide="a gap", would_lift="a lift")  # fmt: skip
    bolt = replace(joint, place=Place(part="keel-bolt"), could_hide="wasted shanks")

    made = document(joint, bolt, replace(URGENT, evidence=(entry(4, bolt).id,)))

    said = beside(made, "What could not be seen")
    assert "Keel bolt: wasted shanks." in said
    assert "a gap" not in said


def test_the_summary_says_what_could_not_be_seen_and_what_it_could_hide() -> None:
    engine = Limitation(place=Place(part="engine-cold-start"), not_reached="all", reasons=("no-consent",), could_hide="smoke", would_lift="a trial")  # fmt: skip
    bolt = replace(engine, place=Place(part="keel-bolt"), could_hide="wasted shanks")

    made = document(engine, bolt, replace(URGENT, evidence=(entry(4, bolt).id,)))

    said = beside(made, "What could not be seen")
    assert said.index("Keel bolt: wasted shanks.") < said.index("Engine on cold start: smoke.")


def test_what_every_reader_needs_stands_before_the_contents() -> None:
    made = document(URGENT)

    opening = headings(replace(made, blocks=made.blocks[: made.opening]))
    assert opening == ["Summary", "Findings at a glance"]
    assert headings(made)[2] == "What was not examined"


def test_an_answer_about_a_duty_is_not_printed_as_one_about_the_boat() -> None:
    walk = Limitation(place=Place(part="second-walk-round", side="port"), not_reached="all", reasons=("weather",), could_hide="what a second look finds")  # fmt: skip
    duties = (
        Answer(gap="silent coverage-check", words="It rained."),
        Answer(gap="limitation would lift second-walk-round port", words="It poured."),
    )
    part = Answer(gap="silent stem", words="Under a cover.")

    text = words(document(walk, *duties, part))

    assert "Under a cover." in text
    assert "It rained." not in text
    assert "It poured." not in text


def test_the_client_is_named_with_the_address_in_a_line_whatever_lines_it_was_typed_in() -> None:
    typed = replace(BUY, client_address="3 Quay Row,\n\nOrrow\n")

    made = document(instruction=typed)

    assert dict(made.front)["Client"] == f"{BUY.client}, 3 Quay Row, Orrow"


def test_what_was_not_examined_is_counted_near_the_front() -> None:
    limit = Limitation(place=KEEL, not_reached="aft end", reasons=("painted-over",), could_hide="a second opening", would_lift="paint scraped")  # fmt: skip

    made = document(limit)

    assert headings(made).index("What was not examined") < headings(made).index("The boat, zone by zone")  # fmt: skip
    text = words(made)
    assert "aft end" in text
    assert "A second opening" in text
    assert "Paint scraped" in text
    assert "1 not reached" in text


def test_a_silent_part_is_said_to_be_without_record_never_sound() -> None:
    made = document()

    (silent,) = {
        text_of(block.text)
        for block in made.blocks
        if isinstance(block, Paragraph) and "keel-to-hull joint" in text_of(block.text)
    }
    assert silent.startswith("No record: ")
    assert "sound" not in silent


def test_like_places_not_reached_for_one_reason_stand_in_one_row() -> None:
    limits = [
        Limitation(place=Place(part="skin-fitting", number=number), not_reached="The whole of it", reasons=("no-time-agreed",), could_hide="a weak fitting", would_lift="another day")
        for number in (1, 2, 3, 5)
    ]  # fmt: skip

    made = document(*limits)

    (table,) = (each for each in made.blocks if isinstance(each, Table) and each.label == "table-limitations")  # fmt: skip
    (row,) = table.rows
    assert text_of(row[1]) == "Skin fitting, 1 to 3 and 5: The whole of it"
    assert len(table.rests_on) == 4


def test_a_method_not_used_names_the_side_it_was_not_used_on() -> None:
    looked = Examination(place=Place(part="bottom-laminate", side="port"), extent="whole", how=("look",))  # fmt: skip

    made = document(looked)

    assert "bottom laminate, port." in words(made).splitlines()


def test_a_method_not_used_is_listed_as_a_limitation_by_itself() -> None:
    made = document(Examination(place=KEEL, extent="whole", how=("look",)))

    assert "Not sounded with a hammer: " in words(made)


def test_an_open_gap_makes_a_draft() -> None:
    assert document().draft


def test_an_answered_gap_is_printed_with_its_answer() -> None:
    made = document(Answer(gap="silent keel-joint", words="She stood in a pit."))

    assert "She stood in a pit." in words(made)


def test_told_is_kept_apart_from_seen() -> None:
    made = document(Told(who="Aldous Wickenmere", said="Never aground."))

    assert "What was told" in headings(made)


def test_a_photograph_is_printed_once_with_its_finding_or_in_the_gallery() -> None:
    shown = entry(50, Photo(number=1, file="a.jpg", sha256="a", media_type="image/jpeg", caption="Keel"))  # fmt: skip
    loose = entry(51, Photo(number=2, file="b.jpg", sha256="b", media_type="image/jpeg", caption="Bow"))  # fmt: skip
    private = entry(52, Photo(number=3, file="c.jpg", sha256="c", media_type="image/jpeg", caption="", printed=False))  # fmt: skip
    finding = entry(53, replace(URGENT, photos=(shown.id,)))
    survey = fold([entry(1, BUY), entry(2, QUILLET), shown, loose, private, finding])

    made = compose(survey, (), gaps(survey, ()), at=DAY)

    in_findings = [p.sha256 for b in made.blocks if isinstance(b, FindingBlock) for p in b.pictures]
    in_gallery = [p.sha256 for b in made.blocks if isinstance(b, Pictures) for p in b.pictures]
    assert (in_findings, in_gallery) == (["a"], ["b"])


def test_a_duty_left_undone_is_no_part_of_the_boat_that_was_not_reached() -> None:
    left = Limitation(place=Place(part="photograph-check"), not_reached="the whole of it", reasons=("poor-light",), could_hide="evidence lost", would_lift="a return visit")  # fmt: skip

    made = document(left)

    assert "table-limitations" not in {b.label for b in made.blocks if isinstance(b, Table)}
    assert "heck of the photographs" not in words(made)


def test_what_is_told_of_a_duty_is_printed() -> None:
    told = Examination(place=Place(part="danger-told"), extent="whole", how=("ask",), found="The client was told at noon by telephone.")  # fmt: skip

    said, without = words(document(told)), words(document())

    assert "The client was told at noon by telephone." in said
    counts = [re.search(r"called for \d+ places", each) for each in (said, without)]
    assert all(counts)
    assert len({each[0] for each in counts if each}) == 1


def test_costs_of_a_finding_add_up_at_a_glance() -> None:
    finding = entry(10, URGENT)
    one, two = (entry(n, Recommendation(finding=finding.id, what="x", by_whom="y", by_when="z", verified="v")) for n in (11, 12))  # fmt: skip
    costs = [entry(20 + n, Cost(recommendation=r.id, low_minor=100_00, high_minor=150_00, currency="EUR", basis="quote", on=date(2026, 5, 1))) for n, r in enumerate((one, two))]  # fmt: skip
    survey = fold([entry(1, BUY), entry(2, QUILLET), finding, one, two, *costs])

    made = compose(survey, (), gaps(survey, ()), at=DAY)

    table = next(b for b in made.blocks if isinstance(b, Table) and b.label == "table-glance")
    assert table.rows[0][3][0].text == "EUR\N{NO-BREAK SPACE}200 to 300"


def test_costs_are_added_up_by_urgency_and_say_what_they_leave_out() -> None:
    first, second = entry(10, URGENT), entry(11, LATER)
    priced, bare, watch = (entry(n, Recommendation(finding=of.id, what="x", by_whom="y", by_when="z", verified="v")) for n, of in ((12, first), (13, first), (14, second)))  # fmt: skip
    costs = [entry(20 + n, Cost(recommendation=r.id, low_minor=100_00, high_minor=150_00, currency="EUR", basis="quote", on=date(2026, 5, 1))) for n, r in enumerate((priced, watch))]  # fmt: skip
    survey = fold([entry(1, BUY), entry(2, QUILLET), first, second, priced, bare, watch, *costs])

    made = compose(survey, (), gaps(survey, ()), at=DAY)

    table = next(b for b in made.blocks if isinstance(b, Table) and b.label == "table-costs")
    left_out = ", without 1 recommendation that no cost is given for"
    assert [[text_of(cell) for cell in row] for row in table.rows] == [
        ["Before launching", f"EUR\N{NO-BREAK SPACE}100 to 150{left_out}"],
        ["Keep under watch", "EUR\N{NO-BREAK SPACE}100 to 150"],
        ["In all", f"EUR\N{NO-BREAK SPACE}200 to 300{left_out}"],
    ]


def test_the_summary_says_what_it_may_cost_by_urgency_and_in_all() -> None:
    first, second = entry(10, URGENT), entry(11, LATER)
    advice = [entry(12 + n, Recommendation(finding=of.id, what="x", by_whom="y", by_when="z", verified="v")) for n, of in enumerate((first, first, second))]  # fmt: skip
    costs = [entry(20 + n, Cost(recommendation=r.id, low_minor=100_00, high_minor=150_00, currency="EUR", basis="quote", on=date(2026, 5, 1))) for n, r in enumerate(advice[1:])]  # fmt: skip
    survey = fold([entry(1, BUY), entry(2, QUILLET), first, second, *advice, *costs])

    made = compose(survey, (), gaps(survey, ()), at=DAY)

    assert beside(made, "What it may cost").replace("\N{NO-BREAK SPACE}", " ") == (
        "Before launching EUR 100 to 150; keep under watch EUR 100 to 150. "
        "In all EUR 200 to 300, without 1 recommendation that no cost is given for."
    )


def test_an_insurer_gets_required_and_maintenance_as_two_lists() -> None:
    finding = entry(10, URGENT)
    required = entry(11, Recommendation(finding=finding.id, what="Renew the valve.", by_whom="yard", by_when="now", verified="photo"))  # fmt: skip
    upkeep = entry(12, replace(required.body, what="Polish.", sort="maintenance"))
    survey = fold([entry(1, replace(BUY, purpose="insure")), entry(2, QUILLET), finding, required, upkeep])  # fmt: skip

    made = compose(survey, (), gaps(survey, ()), at=DAY)

    lists = {b.caption: [row[1][0].text for row in b.rows] for b in made.blocks if isinstance(b, Table) and b.label in ("table-required", "table-maintenance")}  # fmt: skip
    assert lists == {"Required items": ["Renew the valve."], "Maintenance": ["Polish."]}


def test_a_valuation_is_a_short_letter_without_findings() -> None:
    value = Value(basis="market value", low_minor=1, high_minor=3, point_minor=2, currency="EUR", on=date(2026, 5, 13))  # fmt: skip

    made = document(value, URGENT, instruction=replace(BUY, purpose="value"))

    assert "Value" in headings(made)
    assert "Findings and recommendations" not in headings(made)


def test_the_day_of_an_earlier_survey_is_not_taken_for_this_one() -> None:
    earlier = Conditions(lying="ashore", began=DAY.replace(year=2020))
    today = Conditions(lying="ashore", began=DAY)

    made = document(earlier, today)

    assert dict(made.front)["Surveyed"] == "12 May 2026"


def test_what_a_finding_rests_on_is_told_by_the_clock_of_its_visit_whatever_a_device_went_by() -> (
    None
):
    visit = Conditions(lying="ashore", began=DAY.replace(tzinfo=timezone(timedelta(hours=1))))
    examined = Examination(place=KEEL, extent="whole", how=("look",), outcome="defect", found="Open.")  # fmt: skip
    on_a_phone = entry(4, examined, at=DAY.replace(minute=34, tzinfo=UTC) - timedelta(hours=1))
    bodies = (BUY, QUILLET, visit)
    survey = fold([*(entry(n, body) for n, body in enumerate(bodies, 1)), on_a_phone, entry(5, replace(URGENT, evidence=(on_a_phone.id,)))])  # fmt: skip

    made = compose(survey, (), gaps(survey, ()), at=DAY)

    block = next(each for each in made.blocks if isinstance(each, FindingBlock))
    assert "keel-to-hull joint examined at 09:34, whole" in map(text_of, block.evidence)


def test_moisture_is_never_printed_as_per_cent() -> None:
    readings = tuple(Reading(place=Place(part="bottom-moisture", side="port", station_m=n / 4, level_m=-0.4), as_read=str(12 + n % 3), reference=n < 12) for n in range(30))  # fmt: skip
    made = document(ReadingSet(name="bottom", quantity="moisture", unit="scale", instrument="meter", readings=readings))  # fmt: skip

    section = words(made).split("Readings and what they mean")[1].split("Methods, criteria")[0]
    assert "Moisture" in section
    assert "% moisture" not in section
    assert "% water" not in section


def test_what_stands_behind_a_figure_is_explained_once_and_for_everybody() -> None:
    readings = tuple(Reading(place=Place(part="bottom-moisture", side="port", station_m=n / 4, level_m=-0.4), as_read=str(12 + n % 3), reference=n < 12) for n in range(30))  # fmt: skip
    made = document(ReadingSet(name="bottom", quantity="moisture", unit="scale", instrument="meter", readings=readings))  # fmt: skip

    said = words(made)
    assert said.count("Of 100 figures written with ±, about 95 lie no further than that") == 1
    assert said.count("twice the standard uncertainty") == 1


def test_every_reference_in_the_text_leads_somewhere() -> None:
    made = document(URGENT, LATER, Summary(overall="x", answers=("y",)))

    known = labels(made)
    wanted = {
        span.to for block in made.blocks for text in _texts(block) for span in text if span.to
    }
    assert wanted <= known
    assert "finding-1" in wanted


def _texts(block: Any) -> list[Any]:
    match block:
        case Paragraph():
            return [block.text]
        case Items():
            return list(block.items)
        case Table():
            return [cell for row in block.rows for cell in row]
        case _:
            return []


def test_headings_never_skip_a_level() -> None:
    levels = [b.level for b in document(URGENT, Told(who="x", said="y")).blocks if isinstance(b, Heading)]  # fmt: skip

    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_without_a_boat_there_is_no_report() -> None:
    survey = fold([entry(1, BUY)])

    with pytest.raises(Refused, match="the boat is missing"):
        compose(survey, (), (), at=DAY)


def test_a_boat_of_which_only_the_name_is_known_has_a_report_all_the_same() -> None:
    survey = fold([entry(1, BUY), entry(2, Boat(name="Wisp"))])

    assert compose(survey, (), gaps(survey, ()), at=DAY).title == "Survey of Wisp"


def test_what_is_recommended_and_shown_follows_corrections() -> None:
    photo = entry(40, Photo(number=1, file="a.jpg", sha256="a", media_type="image/jpeg", caption="Keel"))  # fmt: skip
    recaptioned = entry(41, replace(photo.body, caption="Keel joint"), replaces=(40,))
    finding = entry(50, replace(URGENT, photos=(photo.id,)))
    advice = entry(51, Recommendation(finding=finding.id, what="Re-bed.", by_whom="yard", by_when="now", verified="photo"))  # fmt: skip
    cost = entry(52, Cost(recommendation=advice.id, low_minor=1, high_minor=2, currency="EUR", basis="q", on=date(2026, 5, 1)))  # fmt: skip
    retitled = entry(53, replace(finding.body, title="Keel joint wide open"), replaces=(50,))
    reworded = entry(54, replace(advice.body, what="Ease and re-bed."), replaces=(51,))
    survey = fold([entry(1, BUY), entry(2, QUILLET), photo, recaptioned, finding, advice, cost, retitled, reworded])  # fmt: skip

    made = compose(survey, (), gaps(survey, ()), at=DAY)

    (block,) = [b for b in made.blocks if isinstance(b, FindingBlock)]
    assert block.title == "Keel joint wide open"
    assert [r.what for r in block.recommendations] == ["Ease and re-bed."]
    assert block.recommendations[0].cost
    assert [p.caption for p in block.pictures] == ["Keel joint"]


def test_every_observation_is_printed_somewhere() -> None:
    made = document(
        Observation(place=KEEL, seen="Weeps at one bolt.", defect=True, length_mm=30),
        Observation(place=Place(part="crossbeam"), seen="Not on this boat's schedule."),
    )

    text = words(made)
    assert "Weeps at one bolt, 30 mm long." in text
    assert "Not on this boat's schedule." in text


def test_the_summary_counts_every_finding_that_it_does_not_name() -> None:
    urgent = [replace(URGENT, name=f"keel-{n}", title=f"Open {n}") for n in range(8)]

    made = document(LOOKED, *urgent, LATER)

    assert beside(made, "What matters most").endswith(
        "3 further findings (2 before launching and 1 keep under watch): all 9 findings."
    )


def test_the_statement_is_dated_and_claims_no_place_of_signing() -> None:
    made = document(instruction=replace(BUY, place="Fennick Hard"))

    (signed,) = (each for each in made.blocks if isinstance(each, SignatureBlock))
    assert signed.date == "12 May 2026"


def test_a_finding_rests_on_an_examination_in_part_where_the_zone_says_so() -> None:
    limited = Limitation(place=KEEL, not_reached="Aft end", reasons=("no-consent",), could_hide="A gap", would_lift="Moving a prop")  # fmt: skip
    resting = replace(URGENT, evidence=(entry_id(3),))

    whole = document(LOOKED, resting)
    limited_too = document(LOOKED, resting, limited)

    assert "examined at 09:00, whole" in " ".join(evidence(whole))
    assert "examined at 09:00, in part" in " ".join(evidence(limited_too))


def evidence(of: Document) -> list[str]:
    (block,) = (each for each in of.blocks if isinstance(each, FindingBlock))
    return [text_of(each) for each in block.evidence]


def test_what_was_not_reached_in_a_zone_is_no_fine_print() -> None:
    bolt = Limitation(place=Place(part="keel-bolt"), not_reached="all", reasons=("no-consent",), could_hide="waste", would_lift="drawing one")  # fmt: skip

    blocks = document(bolt, Examination(place=KEEL, extent="not fitted")).blocks

    kinds = {text_of(each.text).partition(":")[0]: each.kind for each in blocks if isinstance(each, Paragraph)}  # fmt: skip
    assert (kinds["Not reached"], kinds["Not fitted"]) == ("body", "small")


def test_places_of_one_part_that_nobody_reached_are_named_together_in_a_zone_wherever_they_lie() -> None:  # fmt: skip
    places = [Place(part=part, number=n) for n in (1, 2, 3) for part in ("wire-stay", "rigging-terminal")]  # fmt: skip
    limits = [
        Limitation(place=place, not_reached="all", reasons=("no-time-agreed",), could_hide="wear", would_lift="another day")
        for place in places
    ]  # fmt: skip

    zone = words(document(*limits)).partition("The boat, zone by zone")[2]

    assert "tay or shroud of wire, 1 to 3; " in zone


def test_leave_is_called_given_or_refused_as_it_was_in_the_words_of_the_desk() -> None:
    came = Consent(act="attend", given=True, by="the owner", on=DAY.date())
    power = Consent(act="power up", given=False, by="the owner", on=DAY.date())

    said = [words(document(*each)) for each in ((came,), (came, power), (power,))]

    assert "Leave given\nTo come aboard: given by the owner on 12 May 2026." in said[0]
    assert "Leave given and refused\nTo come aboard" in said[1]
    assert "Leave refused\nTo switch on her power: refused" in said[2]


def test_sources_are_told_in_a_surveyors_words() -> None:
    wet = tuple(Reading(place=Place(part="bottom-moisture", side="port", station_m=n / 4, level_m=-0.4), as_read=str(12 + n % 3), reference=n < 12) for n in range(30))  # fmt: skip
    made = document(ReadingSet(name="bottom", quantity="moisture", unit="scale", instrument="meter", readings=wet))  # fmt: skip

    text = words(made)

    assert "the method's own figure" in text
    assert not [each for each in ("working figure", "binomial tail", "false-alarm", "Source and standing") if each in text]  # fmt: skip


def test_a_doubtful_part_is_called_so() -> None:
    made = document(Examination(place=KEEL, extent="whole", outcome="doubtful", found="Filler line."))  # fmt: skip

    assert "Doubtful: Filler line." in words(made)


def test_the_statement_claims_no_examination_that_no_entry_records() -> None:
    nothing, looked = document(), document(Examination(place=KEEL, extent="whole"))

    def signed(of: Document) -> str:
        return " ".join(s for b in of.blocks if isinstance(b, SignatureBlock) for s in b.statement)

    assert "I examined" not in signed(nothing)
    assert "no interest" not in signed(looked)
    assert "I examined Quillet" in signed(looked)


def test_an_unsigned_report_does_not_call_itself_signed() -> None:
    assert "This report is not signed." in words(document())


def test_two_photographs_of_one_number_do_not_stop_the_report() -> None:
    twins = [Photo(number=1, file=f"{n}.jpg", sha256=n, media_type="image/jpeg", caption="Stem") for n in "ab"]  # fmt: skip

    assert labels(document(*twins))


def test_assumptions_of_the_schematic_hull_are_said_once_where_she_is_drawn() -> None:
    placed = replace(URGENT, places=(replace(KEEL, station_m=4.1, level_m=-0.5),))
    mapped = ReadingSet(
        name="films",
        quantity="film thickness",
        unit="µm",
        instrument="film gauge",
        readings=(
            Reading(
                place=Place(part="bottom-coating", side="port", station_m=3, level_m=-0.4),
                as_read="250",
            ),
        ),
    )

    counts = [words(document(*each)).count("Assumed for them") for each in ((), (placed,), (mapped,), (placed, mapped))]  # fmt: skip
    assert counts == [0, 1, 1, 1]


def test_views_without_a_finding_to_show_are_left_out() -> None:
    placed = replace(URGENT, places=(replace(KEEL, station_m=4.1, level_m=-0.5),))

    assert "Where the findings lie" not in headings(document(URGENT))
    assert "Where the findings lie" in headings(document(placed))


def test_the_tables_hold_every_cost_and_every_finding() -> None:
    finding, bare = entry(50, URGENT), entry(53, LATER)
    advice = entry(51, Recommendation(finding=finding.id, what="Re-bed.", by_whom="yard", by_when="now", verified="photo"))  # fmt: skip
    costs = [entry(60 + n, Cost(recommendation=advice.id, low_minor=n * 100, high_minor=n * 200, currency="EUR", basis="q", on=date(2026, 5, 1))) for n in (1, 2)]  # fmt: skip
    survey = fold([entry(1, BUY), entry(2, QUILLET), finding, bare, advice, *costs])

    _, _, recommendations = sheets(survey)

    assert [(row[0], str(row[8])) for row in recommendations.rows] == [(1, "1"), (1, "2"), (2, "None")]  # fmt: skip
