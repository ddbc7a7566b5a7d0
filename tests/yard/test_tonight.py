from dataclasses import replace
from typing import Any

from cast import HARROWMERE, QUILLET, entry

from garboard.judgement.states import part_states
from garboard.methods.criteria import criteria
from garboard.methods.library import results_of
from garboard.methods.result import Result
from garboard.notebook.body import (
    Boat,
    Examination,
    Finding,
    Instruction,
    Issue,
    Limitation,
    Place,
    Reading,
    ReadingSet,
    Sounding,
)
from garboard.notebook.fold import fold
from garboard.yard.tonight import PROVISIONAL, tonight_of

ASKED = Instruction(client="Tamsin Orrowby", purpose="buy")
RUDDER, JOINT = Place(part="rudder-blade"), Place(part="keel-joint")
CRACKED = Examination(
    place=RUDDER, extent="whole", how=("look",), outcome="defect", found="Cracked at its foot"
)


def finding(name: str, title: str, urgency: Any, **more: Any) -> Finding:
    return Finding(
        name=name, title=title, seen="", why="", urgency=urgency, because="", how_known=("seen",),
        places=(RUDDER,), **more,
    )  # fmt: skip


def tonight(*bodies: Any, boat: Boat = QUILLET) -> dict[str, Any]:
    entries = [entry(number, body) for number, body in enumerate((boat, ASKED, *bodies), 1)]
    survey = fold(entries)
    return tonight_of(survey, results_of(survey))


def blow(heard: Any, station_m: float | None = None, level_m: float | None = None) -> Sounding:
    place = Place(part="bottom-laminate", side="port", station_m=station_m, level_m=level_m)
    return Sounding(place=place, heard=heard)


def headings(found: dict[str, Any]) -> list[str]:
    return [each["heading"] for each in found["sections"]]


def lines(found: dict[str, Any], heading: str) -> list[str]:
    (section,) = (each for each in found["sections"] if each["heading"] == heading)
    lines: list[str] = section["lines"]
    return lines


def test_what_must_be_done_first_is_told_first() -> None:
    later = finding("a", "Blade worn", "within a stated time", within="within 3 months")
    sooner = finding("b", "Blade cracked", "before launching")

    found = tonight(later, sooner)

    assert headings(found)[:2] == ["Before launching", "Within a stated time"]
    assert lines(found, "Within a stated time") == ["Blade worn (within 3 months)"]


def test_a_defect_of_which_no_finding_speaks_yet_is_told_without_an_urgency() -> None:
    found = tonight(CRACKED)

    assert lines(found, headings(found)[0]) == ["Rudder blade: Cracked at its foot"]
    assert "urgent not yet said" in headings(found)[0]


def test_what_was_not_reached_is_told_by_what_was_in_the_way() -> None:
    limits = [
        Limitation(place=each, not_reached="the foot", reasons=("mud",)) for each in (RUDDER, JOINT)
    ]

    assert lines(tonight(*limits), "Not reached, whole or in part") == [
        "It was in mud: rudder blade; keel-to-hull joint."
    ]


def test_like_places_that_were_not_reached_are_named_together() -> None:
    limits = [
        Limitation(place=Place(part="seacock", number=number), not_reached="it", reasons=("mud",))
        for number in (1, 2, 3, 5)
    ]

    assert lines(tonight(*limits), "Not reached, whole or in part") == [
        "It was in mud: seacock, 1 to 3 and 5."
    ]


def test_what_was_examined_whole_since_it_was_not_reached_is_told_no_more() -> None:
    limit = Limitation(place=RUDDER, not_reached="the whole of it", reasons=("mud",))
    unread = replace(limit, how=("moisture",))
    heading = "Not reached, whole or in part"

    assert heading in headings(tonight(CRACKED, limit))
    assert heading not in headings(tonight(limit, CRACKED))
    assert heading in headings(tonight(unread, CRACKED))


def test_of_a_survey_whose_report_was_issued_the_list_says_so() -> None:
    issued = tonight(Issue(number="Q-1", version=1, entries_sha256="0" * 64))

    assert issued["issued"].startswith("Version 1 of the report was issued on 12 May 2026.")
    assert "amendment" in issued["issued"]
    assert issued["issued"] in issued["words"].splitlines()
    assert tonight()["issued"] == ""


def test_that_nothing_is_amiss_is_not_told_of_what_nobody_looked_at() -> None:
    found = tonight()

    assert lines(found, "Found") == ["Nothing amiss is written down so far."]
    assert "Nothing can be said of them." in lines(found, "Not yet looked at")[0]


def test_a_duty_of_the_surveyor_is_no_part_of_the_boat_that_was_not_looked_at() -> None:
    duty = Place(part="coverage-check")
    undone = Limitation(place=duty, not_reached="the whole of it", reasons=("no-time-agreed",))
    places = sum(each.is_place for each in part_states(fold([entry(1, QUILLET), entry(2, ASKED)])))

    found = tonight(undone)

    assert lines(found, "Not yet looked at")[0].startswith(f"{places} parts of the boat.")
    assert "Not reached, whole or in part" not in headings(found)


def test_the_words_that_are_sent_say_that_they_are_provisional() -> None:
    found = tonight(CRACKED)

    assert PROVISIONAL in found["words"]
    assert "- Rudder blade: Cracked at its foot" in found["words"].splitlines()


HOLLOW_PATCH = (
    blow("hollow", 3.0, -0.4), blow("dull", 3.2, -0.4), blow("hollow", 3.2, -0.6),
    blow("sound", 5.0, -0.4), blow("sound", 5.2, -0.4), blow("sound", 5.2, -0.6),
)  # fmt: skip
HEARD = "Heard dull or hollow, no finding written yet"


def test_a_patch_of_which_no_finding_speaks_is_told_with_its_place_and_its_blows() -> None:
    found = tonight(*HOLLOW_PATCH)

    assert lines(found, HEARD) == [
        "Bottom laminate, port, 0.4 to 0.6 m below the boot-top: "
        "2 hollow and 1 dull over about 0.17 m², stations 3.0 to 3.2 m."
    ]
    assert "Found" not in headings(found)


def test_a_patch_that_a_finding_names_is_told_by_the_finding_alone() -> None:
    named = finding("a", "Laminate parted", "at the next lift-out")
    named = replace(named, places=(Place(part="bottom-laminate", side="port"),))

    found = tonight(*HOLLOW_PATCH, named)

    assert HEARD not in headings(found)
    assert lines(found, "At the next lift-out") == ["Laminate parted"]


def test_a_hollow_blow_whose_place_nobody_measured_is_told_all_the_same() -> None:
    found = tonight(blow("hollow"))

    assert lines(found, HEARD) == ["Bottom laminate, port, the places not measured: 1 hollow."]


def test_a_reading_beyond_a_limit_is_told_with_its_figure_until_a_finding_speaks_of_it() -> None:
    plate = Place(part="bottom-plate-thickness", side="port", station_m=4.2, level_m=-0.5)
    thin = Reading(place=plate, as_read="3.9", original="6.0")
    gauged = ReadingSet(name="plate", quantity="thickness", unit="mm", instrument="gauge", readings=(thin,))  # fmt: skip
    spoken = replace(finding("a", "Plate thin", "before launching"), places=(plate,))

    before, after = (tonight(gauged, *more, boat=HARROWMERE) for more in ((), (spoken,)))

    heading = "Read, and calling for attention, no finding written yet"
    assert any("35" in each and "of the plate is gone" in each for each in lines(before, heading))
    assert heading not in headings(after)


def test_what_a_remembered_limit_calls_for_is_told_as_remembered() -> None:
    survey = fold([entry(1, QUILLET)])
    limit = next(each for each in criteria().values() if each.text == "memory")
    beyond = Result(
        method="oil.change_pct", what="water in the oil", value=2.0, unit="%", verdict="beyond",
        used=(), uncertainty_why="none", criterion=limit,
    )  # fmt: skip

    (line,) = lines(
        tonight_of(survey, [beyond]), "Read, and calling for attention, no finding written yet"
    )

    assert "judged by a limit that is remembered, not read; " in line
    assert "checked" in line
