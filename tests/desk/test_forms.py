"""Forms: the fields of a kind, with their words, choices, rows and problems."""

from garboard.desk.forms import Field, Rows, fields_of
from garboard.notebook.body import Boat, Examination, Finding, Limitation, Recommendation, Sounding


def fields(cls: type, texts: dict[str, str], problems: dict[str, str] | None = None) -> dict[str, Field | Rows]:  # fmt: skip
    return {each.path: each for each in fields_of(cls, texts, problems or {})}


def test_a_closed_vocabulary_is_offered_with_its_words() -> None:
    how = fields(Examination, {"how": "look\nsound"})["how"]

    assert isinstance(how, Field)
    assert how.kind == "several"
    assert how.chosen == {"look", "sound"}
    assert ("sound", "sounded with a hammer") in how.choices


def test_the_fields_of_a_place_stand_among_the_others_with_their_problems() -> None:
    found = fields(Sounding, {"place.part": "stem", "place.station_m": "far"}, {"place.station_m": "No number."})  # fmt: skip

    station = found["place.station_m"]
    assert isinstance(station, Field)
    assert (station.label, station.unit, station.problem) == ("Station", "m", "No number.")
    assert isinstance(found["place.part"], Field)
    assert found["place.part"].kind == "part"


def test_rows_offer_one_more_than_there_are() -> None:
    engines = fields(Boat, {"engines.0.described": "diesel"})["engines"]

    assert isinstance(engines, Rows)
    assert [row[0].value for row in engines.rows] == ["diesel", ""]


def test_a_field_can_be_left_to_something_else() -> None:
    found = fields_of(Sounding, {}, leave_out=("place.part", "hammer"))

    assert {each.path for each in found}.isdisjoint({"place.part", "hammer"})


def test_what_a_kind_needs_is_marked_and_nothing_else() -> None:
    limitation, finding = fields(Limitation, {}), fields(Finding, {})

    assert {path for path, each in limitation.items() if each.needed} == {"place.part", "not_reached", "reasons"}  # fmt: skip
    assert finding["places"].needed
    assert not finding["within"].needed


def test_a_form_may_do_without_what_the_kind_has() -> None:
    made = fields_of(Recommendation, {}, may_be_empty=("verified",))

    needed = {each.path for each in made if each.needed}
    assert "what" in needed
    assert "verified" not in needed


def test_a_row_far_down_is_one_row_and_a_strange_one_none() -> None:
    engines = fields(Boat, {"engines.99999999.described": "diesel", "engines.x.described": "y"})["engines"]  # fmt: skip

    assert isinstance(engines, Rows)
    assert [row[0].value for row in engines.rows] == ["diesel", ""]
    assert [row[0].needed for row in engines.rows] == [True, False]
