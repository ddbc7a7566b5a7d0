"""What was filled in: what a body says comes back as it was, and what is wrong stands beside its field."""

import dataclasses
import types
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Annotated, Any, Literal, Union, get_args, get_origin
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garboard.catalogue.parts import catalogue
from garboard.desk.filled import Filled, filled, texts_of
from garboard.desk.forms import Field, fields_of
from garboard.notebook.body import (
    KINDS,
    Boat,
    Comparable,
    Conditions,
    Place,
    Range,
    Sounding,
    Value,
    Withdrawal,
)
from garboard.notebook.shape import hints

ZONE = timezone(timedelta(hours=1))
lines = st.text(st.characters(categories=("L", "N", "P")), min_size=1, max_size=12)

parts = st.sampled_from(tuple(catalogue().parts))


def of_hint(hint: Any, name: str) -> st.SearchStrategy[Any]:
    """Values of a field as somebody could fill them in."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        (mark,) = (each for each in inner[1:] if isinstance(each, Range))
        if inner[0] is int:
            return st.integers(int(mark.low), int(mark.high))
        return st.floats(mark.low, mark.high).map(lambda each: round(each, 3))
    if origin in (Union, types.UnionType):
        return st.none() | of_hint(inner[0], name)
    if origin is Literal:
        return st.sampled_from(inner)
    if origin is tuple:
        return st.lists(of_hint(inner[0], name), max_size=2).map(tuple)
    if origin is not None:
        return st.dictionaries(
            parts if name == "numbers" else lines, of_hint(inner[1], name), max_size=2
        )
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return bodies(hint)
    if name in ("part", "asked_parts", "about"):
        return parts
    if name == "currency":
        return st.sampled_from(["EUR", "JPY", "TND"])
    return {
        str: lines,
        bool: st.booleans(),
        int: st.integers(-(10**6), 10**6),
        float: st.floats(-1e6, 1e6).map(lambda each: round(each, 3)),
        date: st.dates(date(1900, 1, 1), date(2100, 1, 1)),
        datetime: st.integers(0, 4 * 10**9).map(lambda each: datetime.fromtimestamp(each, UTC)),
    }[hint]  # fmt: skip


def bodies(cls: type) -> st.SearchStrategy[Any]:
    fields = {}
    for each in dataclasses.fields(cls):
        fields[each.name] = of_hint(hints(cls)[each.name], each.name)
        if each.default is dataclasses.MISSING and each.default_factory is dataclasses.MISSING:
            # What must be filled in is not empty.
            fields[each.name] = fields[each.name].filter(lambda value: value != ())
    return st.builds(cls, **fields)


KIND = {kind: bodies(cls) for kind, cls in KINDS.items() if cls is not Withdrawal}


@pytest.mark.parametrize("kind", KIND)
@given(st.data())
def test_a_body_of_any_kind_comes_back_as_it_was(kind: str, data: st.DataObject) -> None:
    body = data.draw(KIND[kind])

    back = filled(KINDS[kind], texts_of(body, ZONE), ZONE)

    assert back.problems == {}
    assert back.body == body


def boat(**texts: str) -> Filled[Boat]:
    said = {path.replace("__", "."): text for path, text in texts.items()}
    return filled(Boat, {"name": "Quillet", **said}, ZONE)


@pytest.mark.parametrize(
    ("typed", "loa_m"),
    [("9.8", 9.8), ("9,80", 9.8), ("32 ft 2 in", 9.8044), ("9800 mm", 9.8)],
)
def test_a_length_is_read_as_people_write_it(typed: str, loa_m: float) -> None:
    body = boat(loa_m=typed).body

    assert body is not None
    assert body.loa_m == pytest.approx(loa_m, abs=1e-4)


def test_every_problem_stands_beside_its_field() -> None:
    found = boat(name=" ", beam_m="wide", year="3000", engines__0__power_kw="9999")

    assert found.body is None
    assert set(found.problems) == {"name", "beam_m", "year", "engines.0.described", "engines.0.power_kw"}  # fmt: skip
    assert "Give a value from 1700 to 2200." in found.problems["year"]


def test_a_field_left_empty_says_nothing() -> None:
    body = boat(loa_m="", notes="  ", numbers__0__key="", numbers__0__value="").body

    assert body == Boat(name="Quillet")


ENGINE = {"described": "sister", "price_minor": "40000", "currency": "EUR", "kind": "sold", "on": "2026-05-12",
          "source": "seen in writing", "adjustments.0.key": "engine", "adjustments.0.value": "100"}  # fmt: skip


@pytest.mark.parametrize("key", ["engine", " engine "])
def test_the_same_thing_in_two_rows_is_not_kept_as_one_of_them(key: str) -> None:
    again = {"adjustments.3.key": key, "adjustments.3.value": "200"}
    counted = {"name": "Quillet", "numbers.0.key": "skin-fitting", "numbers.0.value": "3", "numbers.1.key": "skin fitting", "numbers.1.value": "2"}  # fmt: skip

    prices, numbers = filled(Comparable, {**ENGINE, **again}, ZONE), filled(Boat, counted, ZONE)

    said = "It stands in two rows. Put both into one row."
    assert (prices.body, prices.problems) == (None, {"adjustments.3.key": said})
    assert (numbers.body, numbers.problems) == (None, {"numbers.1.key": said})


def test_a_figure_that_says_not_of_what_is_not_kept() -> None:
    found = filled(Comparable, {**ENGINE, "adjustments.1.value": "200"}, ZONE)

    assert found.body is None
    assert found.problems == {
        "adjustments.1.key": "It is missing. Say what it is of, or clear the row."
    }


def test_rows_keep_their_order_however_the_browser_sends_them() -> None:
    body = boat(engines__10__described="third", engines__2__described="second", engines__0__described="first").body  # fmt: skip

    assert body is not None
    assert [each.described for each in body.engines] == ["first", "second", "third"]


def test_money_is_written_in_whole_units_with_a_point_before_cents() -> None:
    texts = {"basis": "market", "low_minor": "1200", "high_minor": "1500,50", "point_minor": "x", "currency": "EUR", "on": "2026-05-13"}  # fmt: skip

    wrong = filled(Value, texts, ZONE)
    right = filled(Value, {**texts, "point_minor": "1300"}, ZONE)

    assert set(wrong.problems) == {"point_minor"}
    assert right.body is not None
    assert right.body.high_minor == 150_050


@pytest.mark.parametrize(
    ("typed", "minor"),
    [
        ("3 200", 320_000),
        ("3 200,00", 320_000),
        ("1\u202f234\u00a0567.50", 123_456_750),
        ("−3 200", -320_000),
        ("0,5", 50),
    ],
)
def test_an_amount_is_taken_as_it_is_printed(typed: str, minor: int) -> None:
    found = filled(Comparable, {**ENGINE, "adjustments.0.key": "engine", "adjustments.0.value": typed}, ZONE)  # fmt: skip

    assert found.problems == {}
    assert found.body is not None
    assert found.body.adjustments == {"engine": minor}


@pytest.mark.parametrize("typed", ["3,200", "3.200", "32 00", "3 200 000 0"])
def test_an_amount_that_can_be_read_in_two_ways_is_refused(typed: str) -> None:
    found = filled(Comparable, {**ENGINE, "price_minor": typed}, ZONE)

    assert found.body is None
    assert set(found.problems) == {"price_minor"}


def test_a_currency_of_thousandths_has_three_decimals() -> None:
    found = filled(Comparable, {**ENGINE, "price_minor": "3.200", "currency": "TND"}, ZONE)

    assert found.body is not None
    assert found.body.price_minor == 3_200


def test_a_time_typed_without_an_offset_is_that_of_the_place() -> None:
    found = filled(Conditions, {"lying": "ashore", "began": "2026-05-12T09:41"}, ZONE)

    assert found.body is not None
    assert found.body.began == datetime(2026, 5, 12, 9, 41, tzinfo=ZONE)


PARIS = ZoneInfo("Europe/Paris")


@pytest.mark.parametrize(
    "began",
    [
        # The second of the two hours that Paris calls 02:00 on that day.
        datetime(2025, 10, 26, 2, 30, tzinfo=timezone(timedelta(hours=1))),
        datetime(2025, 5, 12, 9, 41, 7, 123456, tzinfo=UTC),
    ],
)
def test_a_time_nobody_touched_stays_as_it_was(began: datetime) -> None:
    visit = Conditions(lying="ashore", began=began)

    found = filled(Conditions, {**texts_of(visit, PARIS), "notes": "Rain."}, PARIS, stands=visit)

    assert found.body is not None
    assert found.body == Conditions(lying="ashore", began=began, notes="Rain.")
    assert found.body.began.utcoffset() == began.utcoffset()


def test_a_time_that_was_touched_is_read_anew() -> None:
    visit = Conditions(lying="ashore", began=datetime(2025, 5, 12, 7, 41, 7, 500, tzinfo=UTC))

    found = filled(Conditions, {"lying": "ashore", "began": "2025-05-12T09:42"}, PARIS, stands=visit)  # fmt: skip

    assert found.body is not None
    assert found.body.began == datetime(2025, 5, 12, 7, 42, tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("2026-03-29T02:30", "The clocks go forward on that day, and pass over 02:30."),
        ("2026-03-29", '"2026-03-29" is no time of a day.'),
        ("0001-01-01T00:00", '"0001-01-01T00:00" is no time of a day.'),
    ],
)
def test_a_time_that_no_clock_showed_is_refused_in_words(typed: str, said: str) -> None:
    found = filled(Conditions, {"lying": "ashore", "began": typed}, PARIS)

    assert found.body is None
    assert found.problems == {"began": f"{said} Correct it, or leave it empty."}


def test_what_a_form_does_not_hold_can_be_added() -> None:
    found = filled(Sounding, {"heard": "dull"}, ZONE, {"place": {"part": "stem"}})

    assert found.body == Sounding(place=Place(part="stem"), heard="dull")


@pytest.mark.parametrize(("typed", "washed"), [("", None), ("no", False), ("yes", True)])
def test_what_nobody_answered_is_neither_yes_nor_no(typed: str, washed: bool | None) -> None:
    shown = {each.path: each for each in fields_of(Conditions, {"washed": typed})}["washed"]
    found = filled(Conditions, {"lying": "ashore", "began": "2026-05-12T09:41", "washed": typed}, ZONE)  # fmt: skip

    assert isinstance(shown, Field)
    assert shown.kind == "choice"
    assert found.body is not None
    assert found.body.washed is washed


def test_a_number_with_words_for_its_values_is_chosen_and_not_answered_beforehand() -> None:
    hulls = {each.path: each for each in fields_of(Boat, {})}["hulls"]

    assert isinstance(hulls, Field)
    assert (hulls.kind, hulls.value) == ("choice", "")
    assert hulls.choices[0] == ("1", "one hull")
    assert boat(hulls="2").body == Boat(name="Quillet", hulls=2)


@pytest.mark.parametrize(
    ("typed", "path", "digits"),
    [("18 hp", "engines.0.power_kw", 13.42), ("11500 lb", "displacement_kg", 5216.3)],
)  # fmt: skip
def test_what_is_typed_in_another_unit_comes_back_with_sensible_digits(
    typed: str, path: str, digits: float
) -> None:
    body = boat(**{path.replace(".", "__"): typed, "engines__0__described": "diesel"}).body

    assert body is not None
    assert texts_of(body, ZONE)[path] == str(digits)
