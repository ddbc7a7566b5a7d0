"""Entries are read whole, or refused with everything that is wrong."""

import json
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from cast import DAY, OTHER_SURVEY, entry, entry_id, sounding

from garboard.notebook.body import Photo, Place, Reading, ReadingSet, Remark, Sounding, Unknown
from garboard.notebook.entry import from_json, read_lines, to_json, to_line
from garboard.notebook.problem import Refused
from garboard.notebook.vet import Known, vet

PARTS = {"bottom-laminate", "rudder-blade"}


def plate(*as_read: str, unit: str = "mm") -> ReadingSet:
    place = Place(part="rudder-blade")
    return ReadingSet(
        name="plate",
        quantity="thickness",
        unit=unit,
        instrument="gauge",
        readings=tuple(Reading(place=place, as_read=each) for each in as_read),
    )


def test_every_fault_of_an_entry_is_named_at_once() -> None:
    data = to_json(entry(1, sounding()))
    data["at"] = "2026-02-30T09:00:00+01:00"
    data["body"] = {"place": {"part": "x", "station_m": "far"}, "heard": "odd", "colour": "red"}

    with pytest.raises(Refused) as refused:
        from_json(data, "line")

    text = str(refused.value)
    assert "line at" in text
    assert '"2026-02-30T09:00:00+01:00" is not a date and time' in text
    assert 'line sounding heard: "odd" is not one of the choices. Use one of: sound' in text
    assert 'line sounding place station_m: "far" is not a number' in text
    assert "line sounding colour: there is no field 'colour'" in text


def test_a_number_out_of_the_physical_range_is_refused() -> None:
    data = to_json(entry(1, sounding()))
    data["body"]["place"]["station_m"] = 4000

    with pytest.raises(Refused, match=r"4000 m cannot be. Give a value from -5 to 150 m"):
        from_json(data, "line")


def test_a_time_without_offset_is_refused() -> None:
    data = {**to_json(entry(1, sounding())), "at": "2026-05-12T09:41:07"}

    with pytest.raises(Refused, match="not a date and time with its offset"):
        from_json(data, "line")


def test_a_kind_of_a_newer_version_is_passed_on_untouched() -> None:
    data = {**to_json(entry(1, sounding())), "kind": "hologram", "body": {"b": [1, None], "a": 1.5}}

    read = from_json(data, "line")

    assert read.body == Unknown(kind="hologram", json='{"a":1.5,"b":[1,null]}')
    assert json.loads(to_line(read)) == data


def test_digits_are_kept_as_they_were_read() -> None:
    read = from_json(json.loads(to_line(entry(1, plate("4.60")))), "line")

    assert read.body.readings[0].as_read == "4.60"
    assert read.body.readings[0].value == 4.6


def test_a_broken_line_is_named_and_its_neighbours_are_kept() -> None:
    good = to_line(entry(1, sounding())).decode()

    entries, problems = read_lines(f'{good}\n{{"id": \n\n{good}\n', "notebook.jsonl")

    assert len(entries) == 2
    assert [problem.where for problem in problems] == ["notebook.jsonl:2"]


def refusals(*entries: Any, held: tuple[Any, ...] = ()) -> str:
    vetted = vet(entries, known=Known(parts=PARTS), now=DAY + timedelta(hours=1), held=held)
    return "\n".join(map(str, vetted.problems))


def test_an_unknown_part_is_refused_and_its_neighbour_accepted() -> None:
    good = entry(1, sounding())
    bad = entry(2, Sounding(place=Place(part="mizzen-wing"), heard="dull"))

    vetted = vet([bad, good], known=Known(parts=PARTS), now=DAY + timedelta(hours=1))

    assert vetted.accepted == (good,)
    assert 'there is no part "mizzen-wing"' in str(vetted.problems[0])


def test_replacing_an_entry_of_another_survey_is_refused() -> None:
    foreign = entry(1, sounding(), survey=OTHER_SURVEY)

    assert "belongs to another survey" in refusals(
        entry(2, sounding(), replaces=(1,)), held=(foreign,)
    )


def test_an_id_used_twice_for_different_things_is_refused_the_second_time() -> None:
    text = refusals(entry(1, sounding()), entry(1, sounding(heard="dull")))

    assert f"the id {entry_id(1)} is already taken by another sounding" in text


def test_the_same_entry_twice_is_no_fault() -> None:
    assert refusals(entry(1, sounding()), entry(1, sounding())) == ""


def test_an_entry_of_another_kind_does_not_replace_a_sounding() -> None:
    text = refusals(entry(1, sounding()), entry(2, Remark(text="x"), replaces=(1,)))

    assert "a remark cannot replace a sounding" in text


def test_moisture_in_per_cent_needs_a_calibration() -> None:
    wet = replace(plate("12"), quantity="moisture", unit="%")

    assert "does not read per cent water" in refusals(entry(1, wet))
    assert refusals(entry(1, replace(wet, calibration="oven-dried cores, 2025"))) == ""


def test_a_number_no_computer_holds_is_refused_in_words() -> None:
    data = to_json(entry(1, sounding()))
    data["body"]["place"]["station_m"] = 10**400

    with pytest.raises(Refused, match="is not a number"):
        from_json(data, "line")


def test_half_a_character_is_refused_in_words() -> None:
    entries, problems = read_lines(
        to_line(entry(1, Remark(text="x"))).decode().replace('"x"', '"\\ud800"'), "notebook.jsonl"
    )

    assert entries == ()
    assert "cannot be written again" in str(problems[0])


def test_a_date_in_the_future_is_refused() -> None:
    assert "lies in the future" in refusals(entry(1, sounding(), at=DAY + timedelta(days=9)))


def test_a_photograph_taken_in_the_future_is_refused() -> None:
    photo = Photo(number=1, file="a.jpg", sha256="0", media_type="image/jpeg", caption="", taken=DAY + timedelta(days=9))  # fmt: skip

    assert "taken: 2026-05-21T09:00:00+00:00 lies in the future" in refusals(entry(1, photo))


@pytest.mark.parametrize(
    ("reading_set", "said"),
    [
        (plate("4.6", "-5.6"), "reading 2 as_read: -5.6 mm cannot be"),
        (plate("n/a"), '"n/a" is not a number. Leave the row out and add a limitation'),
        (plate("1e300"), '"1e300" is not a number'),
        (plate("4.6", unit="volts"), 'thickness is not given in "volts". Use mm'),
    ],
)
def test_a_reading_no_instrument_can_show_is_refused(reading_set: ReadingSet, said: str) -> None:
    assert said in refusals(entry(1, reading_set))
