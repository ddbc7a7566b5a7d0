from typing import Any

from cast import QUILLET, entry

from garboard.notebook.body import Examination, Finding, Instruction, Limitation, Place
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


def tonight(*bodies: Any) -> dict[str, Any]:
    entries = [entry(number, body) for number, body in enumerate((QUILLET, ASKED, *bodies), 1)]
    return tonight_of(fold(entries))


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


def test_that_nothing_is_amiss_is_not_told_of_what_nobody_looked_at() -> None:
    found = tonight()

    assert lines(found, "Found") == ["Nothing amiss is written down so far."]
    assert "Nothing can be said of them." in lines(found, "Not yet looked at")[0]


def test_the_words_that_are_sent_say_that_they_are_provisional() -> None:
    found = tonight(CRACKED)

    assert PROVISIONAL in found["words"]
    assert "- Rudder blade: Cracked at its foot" in found["words"].splitlines()
