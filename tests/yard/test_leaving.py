import json
from dataclasses import replace
from typing import Any

import pytest
from cast import QUILLET, entry

from garboard.notebook.body import (
    Answer,
    Examination,
    Instruction,
    Instrument,
    InstrumentCheck,
    Limitation,
    Observation,
    Photo,
    Place,
    Reading,
    ReadingSet,
)
from garboard.notebook.fold import fold
from garboard.yard.bridge import answer
from garboard.yard.leaving import leaving_of
from garboard.yard.plan import plan_of

ASKED = Instruction(client="Tamsin Orrowby", purpose="buy")
RUDDER = Place(part="rudder-blade")
PHOTO = Photo(
    number=7, file="7.jpg", sha256="0" * 64, media_type="image/jpeg", caption="", place=RUDDER
)
LOOKED = Examination(place=RUDDER, extent="whole", how=("look",), outcome="sound")
READ = ReadingSet(
    name="bottom",
    quantity="moisture",
    unit="scale",
    instrument="capacitance meter",
    readings=(Reading(place=Place(part="bottom-laminate", side="port"), as_read="14"),),
)
METER = Instrument(name="capacitance meter", described="shallow", quantity="moisture", unit="scale")
CHECKED = InstrumentCheck(instrument="capacitance meter", on="check plate", when="before")


def leaving(*bodies: Any, boat: Any = QUILLET) -> list[dict[str, str]]:
    entries = [entry(number, body) for number, body in enumerate((boat, ASKED, *bodies), 1)]
    return leaving_of(fold(entries))


def of(found: list[dict[str, str]], sort: str, key: str = "rudder-blade") -> list[str]:
    return [each["what"] for each in found if (each["sort"], each["key"]) == (sort, key)]


def test_a_part_with_nothing_recorded_is_listed_until_it_is_examined() -> None:
    assert of(leaving(), "parts") == ["nothing is recorded of it"]
    assert of(leaving(LOOKED), "parts") == []


def test_what_is_told_to_have_nothing_recorded_is_what_the_walk_has_silent() -> None:
    boat = replace(QUILLET, speed=None, fuel=None, rig=None)
    noted = Observation(place=Place(part="keel-joint"), seen="a gap")
    answered = Answer(gap="silent danger-told", words="Nobody was in danger")
    recorded = (LOOKED, noted, answered)
    entries = [entry(n, body) for n, body in enumerate((boat, ASKED, *recorded), 1)]

    found = leaving(*recorded, boat=boat)

    silent = {
        (each["key"], each["is_place"])
        for each in plan_of(fold(entries))["places"]
        if each["state"] == "silent"
    }
    nothing = {each["key"] for each in found if each["sort"] == "parts"}
    owed = {each["key"] for each in found if each["sort"] == "duties"}
    assert nothing == {key for key, is_place in silent if is_place}
    assert owed == {key for key, is_place in silent if not is_place}
    assert of(found, "unwritten", "keel-joint") != []


def test_a_part_that_was_examined_and_not_stated_is_asked_about_and_not_called_silent() -> None:
    boat = replace(QUILLET, speed=None)
    zone = Examination(
        place=Place(part="slamming-zone", side="port"), extent="whole", how=("look",)
    )

    found = leaving(zone, boat=boat)

    assert of(found, "asked", "slamming-zone port") == ["whether this boat has it is not stated"]
    assert of(found, "parts", "slamming-zone port") == []


def test_a_duty_of_the_surveyor_is_listed_among_the_duties_alone() -> None:
    told = "danger-told"
    asked = Examination(place=Place(part=told), extent="whole", how=("ask",))

    assert {each["sort"] for each in leaving() if each["key"] == told} == {"duties"}
    assert {each["sort"] for each in leaving(asked) if each["key"] == told} == set()
    assert {each["key"] for each in leaving() if each["sort"] == "duties"} == {
        each["key"]
        for each in plan_of(fold([entry(1, QUILLET), entry(2, ASKED)]))["places"]
        if not each["is_place"]
    }


def test_a_method_called_for_and_not_used_is_listed_at_its_part() -> None:
    assert any("sounded with a hammer" in each for each in of(leaving(LOOKED), "methods"))


def test_a_limitation_that_does_not_say_what_it_could_hide_is_listed_at_its_part() -> None:
    bare = Limitation(place=RUDDER, not_reached="its foot", reasons=("mud",))

    assert len(of(leaving(bare), "limitations")) == 1
    assert of(leaving(replace(bare, could_hide="a split seam")), "limitations") == []


@pytest.mark.parametrize(
    "amiss",
    [replace(LOOKED, outcome="doubtful"), Observation(place=RUDDER, seen="crack", defect=True)],
)
def test_what_is_amiss_without_a_photograph_is_listed_until_there_is_one(amiss: Any) -> None:
    assert len(of(leaving(amiss), "photographs")) == 1
    assert of(leaving(amiss, PHOTO), "photographs") == []


def test_a_part_that_calls_for_a_photograph_is_listed_once_it_is_examined_without() -> None:
    marks = Place(part="identity-marks")

    assert of(leaving(), "photographs", "identity-marks") == []
    assert len(of(leaving(replace(LOOKED, place=marks)), "photographs", "identity-marks")) == 1


def test_an_instrument_not_checked_again_is_listed_by_itself() -> None:
    (owed,) = (each for each in leaving(METER, READ, CHECKED) if each["sort"] == "instruments")

    assert owed["key"] == ""
    assert "capacitance meter" in owed["where"]


def test_every_place_listed_is_one_of_the_walk_and_listed_once() -> None:
    boat = replace(QUILLET, fuel=None, rig=None, deck=())
    entries = [entry(1, boat), entry(2, ASKED), entry(3, LOOKED)]

    walk = {each["key"] for each in plan_of(fold(entries))["places"]}

    found = leaving(LOOKED, boat=boat)
    parts = [each["key"] for each in found if each["sort"] == "parts"]
    assert len(parts) == len(set(parts))
    assert {each["key"] for each in found} <= walk


def test_the_page_is_answered_the_same_list() -> None:
    survey = entry(1, QUILLET).survey
    lines: list[dict[str, Any]] = [
        {"id": each.id, "survey": survey, "at": each.at.isoformat(), "author": each.author,
         "device": each.device, "kind": each.kind, "body": body, "replaces": [], "why": None}
        for each, body in (
            (entry(1, QUILLET), {"name": "Quillet"}),
            (entry(2, ASKED), {"client": "Tamsin Orrowby", "purpose": "buy"}),
        )
    ]  # fmt: skip
    answer("open", json.dumps({"survey": survey, "entries": lines}))

    said = json.loads(answer("leaving", json.dumps({"survey": survey})))

    assert {"sort", "where", "what", "do", "key"} == said["value"][0].keys()
