"""Every called part ends as examined, not reached, not fitted, or silent; nothing is copied to the unseen."""

from dataclasses import replace
from typing import Any

from cast import HARROWMERE, QUILLET, entry

from garboard.judgement.states import PartState, part_states
from garboard.notebook.body import (
    Examination,
    Instruction,
    Limitation,
    Place,
    Reading,
    ReadingSet,
    Sounding,
)
from garboard.notebook.fold import fold

BUY = Instruction(client="Tamsin Orrowby", purpose="buy")
BOAT = replace(QUILLET, numbers={"seacock": 3})


def states(*bodies: Any) -> dict[tuple[str, str | None, int | None], PartState]:
    survey = fold([entry(n, body) for n, body in enumerate((BUY, BOAT, *bodies), 1)])
    found = part_states(survey)
    return {(s.called.place.part, s.called.place.side, s.called.place.number): s for s in found}


def only(part: str, *bodies: Any) -> set[str]:
    return {state.state for key, state in states(*bodies).items() if key[0] == part}


def test_a_part_without_any_record_is_silent() -> None:
    assert only("keel-joint") == {"silent"}


def test_a_part_examined_whole_is_examined() -> None:
    look = Examination(place=Place(part="keel-joint"), extent="whole", how=("look",))

    assert only("keel-joint", look) == {"examined"}


def test_an_examined_part_with_a_limitation_is_examined_in_part() -> None:
    look = Examination(place=Place(part="keel-joint"), extent="whole", how=("look",))
    limit = Limitation(place=Place(part="keel-joint"), not_reached="aft end", reasons=("painted-over",))  # fmt: skip

    assert only("keel-joint", look, limit) == {"examined in part"}


def test_a_limitation_alone_says_not_reached() -> None:
    limit = Limitation(place=Place(part="keel-joint"), not_reached="all", reasons=("painted-over",))

    assert only("keel-joint", limit) == {"not reached"}


def test_a_part_that_was_examined_is_there_though_the_boat_is_stated_without_it() -> None:
    bare = replace(BOAT, rig="none")
    look = Examination(place=Place(part="mast-lower"), extent="whole", how=("look",))
    absent = Examination(place=Place(part="boom"), extent="not fitted")
    survey = fold([entry(n, body) for n, body in enumerate((BUY, bare, look, absent), 1)])

    found = {each.called.part.id: each.state for each in part_states(survey)}

    assert found["mast-lower"] == "examined"
    assert "boom" not in found


def test_not_fitted_is_neither_examined_nor_unreached() -> None:
    absent = Examination(place=Place(part="seacock"), extent="not fitted")

    assert only("seacock", absent) == {"not fitted"}


def test_examining_one_of_a_row_says_nothing_of_the_others() -> None:
    one = Examination(place=Place(part="seacock", number=2), extent="whole")

    found = states(one)

    by_number = {key[2]: s.state for key, s in found.items() if key[0] == "seacock"}
    assert by_number == {1: "silent", 2: "examined", 3: "silent"}


def test_examining_a_numbered_part_without_its_number_covers_none_of_them() -> None:
    vague = Examination(place=Place(part="seacock"), extent="whole")

    assert only("seacock", vague) == {"silent"}


def test_one_side_says_nothing_of_the_other() -> None:
    port = Examination(place=Place(part="topside-gelcoat", side="port"), extent="whole")

    found = states(port)

    assert found["topside-gelcoat", "port", None].state == "examined"
    assert found["topside-gelcoat", "starboard", None].state == "silent"


def test_a_method_called_for_and_not_used_is_named() -> None:
    look = Examination(place=Place(part="keel-joint"), extent="whole", how=("look",))

    assert set(states(look)["keel-joint", None, None].unused) == {"sound"}


def test_soundings_and_readings_count_as_their_methods_used() -> None:
    place = Place(part="bottom-laminate", side="port", station_m=2.0, level_m=-0.4)
    look = Examination(place=Place(part="bottom-laminate", side="port"), extent="whole", how=("look",))  # fmt: skip
    struck = Sounding(place=place, heard="sound")
    wet = replace(place, part="bottom-moisture")
    read = ReadingSet(name="m", quantity="moisture", unit="scale", instrument="m", readings=(Reading(place=wet, as_read="12"),))  # fmt: skip
    metered = Examination(place=Place(part="bottom-moisture", side="port"), extent="whole")

    found = states(look, struck, read, metered)

    assert "sound" not in found["bottom-laminate", "port", None].unused
    assert "moisture" not in found["bottom-moisture", "port", None].unused


def test_nobody_owes_a_moisture_reading_on_a_steel_hull() -> None:
    boat = replace(HARROWMERE, numbers={})
    look = Examination(place=Place(part="transom"), extent="whole", how=("look",))
    survey = fold([entry(1, BUY), entry(2, boat), entry(3, look)])

    unused = {how for state in part_states(survey) for how in state.unused}

    assert "sound" in unused
    assert "moisture" not in unused


def test_a_part_sounded_without_an_examination_is_not_written_up() -> None:
    struck = Sounding(place=Place(part="keel-joint"), heard="sound")

    assert only("keel-joint", struck) == {"not written up"}


def test_a_side_that_a_part_does_not_have_changes_nothing() -> None:
    look = Examination(place=Place(part="keel-joint", side="port"), extent="whole")

    assert only("keel-joint", look) == {"examined"}


def test_reading_one_of_a_row_does_not_count_for_the_others() -> None:
    read = ReadingSet(name="r", quantity="resistance", unit="ohm", instrument="meter", readings=(Reading(place=Place(part="seacock", number=1), as_read="0.1"),))  # fmt: skip

    found = states(read)

    by_number = {key[2]: s.state for key, s in found.items() if key[0] == "seacock"}
    assert by_number == {1: "not written up", 2: "silent", 3: "silent"}
