"""Maps on the unrolled shell: every number where it was read, and nothing where nobody looked."""

from collections.abc import Iterable
from typing import Literal
from xml.etree import ElementTree

import pytest
from cast import HARROWMERE, QUILLET
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.boat.hull import hull_of
from garboard.drawings import svg
from garboard.drawings.hull import View
from garboard.drawings.lines import TONE
from garboard.drawings.maps import (
    Affected,
    Struck,
    Thickness,
    Value,
    readings_map,
    soundings_map,
    thickness_map,
)
from garboard.notebook.body import Heard, Place, Side

SVG = "{http://www.w3.org/2000/svg}"
SLOOP, MOTOR_YACHT = hull_of(QUILLET), hull_of(HARROWMERE)

# A side of the hull as one would draw it on the back of an envelope, bow to the left: every letter is a place
# half a metre from the next, the upper row a little below the boot-top.
HEARD: dict[str, Heard] = {".": "sound", "D": "dull", "H": "hollow", "_": "not sounded"}


def place(side: Side, station_m: float, level_m: float) -> Place:
    return Place(part="hull-bottom", side=side, station_m=station_m, level_m=level_m)


def struck(side: Side, rows: Iterable[str]) -> tuple[Struck, ...]:
    return tuple(
        Struck(place=place(side, 2.0 + 0.5 * column, -0.2 - 0.3 * row), heard=HEARD[letter])
        for row, letters in enumerate(rows)
        for column, letter in enumerate(letters)
        if letter in HEARD
    )


def drawn(view: View) -> ElementTree.Element:
    return ElementTree.fromstring(view.svg)


def words(view: View) -> list[str]:
    return [each.text or "" for each in drawn(view).iter(f"{SVG}text")]


def shaded(view: View) -> list[ElementTree.Element]:
    """The discs round the blows."""
    return [each for each in drawn(view).iter(f"{SVG}circle") if each.get("fill") == TONE]


def value(
    number: float, *, station_m: float = 4.0, mark: Literal["", "reference", "beyond"] = ""
) -> Value:
    return Value(
        place=place("port", station_m, -0.5), value=number, as_read=f"{number:g}", mark=mark
    )


def test_the_soundings_of_a_side_are_counted_and_said() -> None:
    blows = struck("port", ("......", "..DD..", "..DH__"))

    view = soundings_map(SLOOP, blows, radius_m=0.15)

    assert "12 sound, 3 dull, 1 hollow, 2 not sounded" in view.alt
    assert {"sound, 12", "dull, 3", "hollow, 1", "not sounded, 2"} <= set(words(view))


def test_only_what_was_struck_is_shaded() -> None:
    view = soundings_map(SLOOP, struck("port", ("...___",)), radius_m=0.15)

    assert len(shaded(view)) == 3


def test_the_shading_reaches_as_far_as_the_blow_was_heard() -> None:
    view = soundings_map(SLOOP, struck("port", (".",)), radius_m=0.3)

    assert float(shaded(view)[0].get("r", "")) == pytest.approx(0.3 * 1000 / 75, abs=0.001)


def test_a_radius_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="not above zero"):
        soundings_map(SLOOP, (), radius_m=0)


def test_each_reading_stands_beside_its_dot_with_its_digits_as_read() -> None:
    read = Value(place=place("port", 4.0, -0.5), value=12.0, as_read="12.0")

    view = readings_map(SLOOP, (read,), what="Moisture", unit="")

    assert "12.0" in words(view)


def test_the_higher_reading_is_the_darker_dot() -> None:
    view = readings_map(
        SLOOP, (value(10, station_m=3), value(20, station_m=6)), what="Moisture", unit=""
    )

    fills = {each.get("fill") for each in drawn(view).iter(f"{SVG}circle")}
    assert {svg.sequential(0), svg.sequential(1)} <= fills


def test_the_more_is_gone_the_darker_the_dot_and_an_unknown_original_stays_open() -> None:
    thin = Thickness(place=place("port", 4, -0.5), measured_mm=4.8, as_read="4.8", original_mm=6.0)
    unknown = Thickness(place=place("port", 6, -0.5), measured_mm=5.9, as_read="5.9")

    view = thickness_map(MOTOR_YACHT, (thin, unknown))

    fills = [
        each.get("fill") for each in drawn(view).iter(f"{SVG}circle") if each.get("r") == "1.3"
    ]
    assert fills[:2] == [svg.sequential(1), svg.PAPER]
    assert {"4.8", "5.9", "nothing to compare with"} <= set(words(view))


def test_an_original_of_nothing_is_refused() -> None:
    nothing = Thickness(place=place("port", 4, 0), measured_mm=4, as_read="4", original_mm=0)

    with pytest.raises(ValueError, match="above zero"):
        thickness_map(MOTOR_YACHT, (nothing,))


def test_references_are_square_and_what_is_beyond_is_ringed() -> None:
    plain = readings_map(SLOOP, (value(10),), what="Moisture", unit="")
    marked = readings_map(
        SLOOP,
        (value(10, mark="reference"), value(20, station_m=6, mark="beyond")),
        what="Moisture",
        unit="",
    )

    assert "beyond the limit" not in words(plain)
    assert {"beyond the limit", "reference, known to be good"} <= set(words(marked))


def test_an_affected_area_is_hatched_on_its_side_and_named() -> None:
    area = Affected(side="port", outline=((3, -0.2), (5, -0.2), (4, -1.0)), words="wet")

    view = readings_map(SLOOP, (value(10),), what="Moisture", unit="", affected=(area,))

    hatched = [
        each for each in drawn(view).iter(f"{SVG}path") if each.get("fill") == svg.RISING.fill
    ]
    assert len(hatched) == 2
    assert "wet" in words(view)
    assert "One area is outlined." in view.alt


def test_an_outline_inside_another_is_a_hole_in_it() -> None:
    outer = Affected(side="port", outline=((3, -0.2), (6, -0.2), (6, -1.2), (3, -1.2)))
    inner = Affected(side="port", outline=((4, -0.5), (5, -0.5), (5, -0.8)))

    view = readings_map(SLOOP, (value(10),), what="Moisture", unit="", affected=(outer, inner))

    hatched = [
        each for each in drawn(view).iter(f"{SVG}path") if each.get("fill") == svg.RISING.fill
    ]
    area = hatched[0]
    assert area.get("fill-rule") == "evenodd"
    assert (area.get("d") or "").count("M") == 2


def test_a_reading_on_deck_brings_the_deck_into_the_map() -> None:
    on_deck = Value(place=place("port", 5.0, 1.9), value=20.0, as_read="20")

    below = readings_map(SLOOP, (value(10),), what="Moisture", unit="")
    with_deck = readings_map(SLOOP, (on_deck,), what="Moisture", unit="")

    assert not any("Deck" in each for each in words(below))
    assert any("Deck" in each for each in words(with_deck))


def test_a_reading_without_a_place_is_said_to_be_missing_from_the_map() -> None:
    nowhere = Value(place=Place(part="rudder"), value=20.0, as_read="20.35")

    view = readings_map(SLOOP, (nowhere,), what="Moisture", unit="")

    assert "Without a place on the skin: 1." in view.alt
    assert "20.35" not in words(view)


def test_numbers_that_find_no_room_are_counted() -> None:
    crowd = tuple(value(10 + each / 10, station_m=4 + each / 500) for each in range(40))

    view = readings_map(SLOOP, crowd, what="Moisture", unit="")

    assert "Numbers that found no room:" in view.alt


def test_a_close_grid_on_one_side_is_drawn_larger() -> None:
    grid = tuple(value(5.0 + each / 10, station_m=11 + each * 0.15) for each in range(6))

    view = readings_map(MOTOR_YACHT, grid, what="Thickness", unit="mm")

    xs = [
        float(each.get("cx", ""))
        for each in drawn(view).iter(f"{SVG}circle")
        if each.get("r") == "1.3"
    ]
    assert xs[1] - xs[0] == pytest.approx(15, abs=0.01)
    assert "The part outlined above, 1:10 at full size" in words(view)


def test_a_value_that_is_not_a_number_is_refused() -> None:
    with pytest.raises(ValueError, match="finite"):
        readings_map(SLOOP, (value(float("nan")),), what="Moisture", unit="")


def test_digits_that_are_no_number_leave_the_range_of_the_readings_alone() -> None:
    odd = Value(place=place("port", 6.0, -0.5), value=2.0, as_read="²")

    view = readings_map(SLOOP, (value(10), value(20, station_m=5), odd), what="Moisture", unit="")

    assert "3 readings, from 10 to 20." in view.alt


@settings(deadline=None, max_examples=30)
@given(
    st.lists(
        st.builds(
            Value,
            place=st.builds(
                Place,
                part=st.just("hull"),
                side=st.sampled_from(("port", "starboard", "centre", None)),
                station_m=st.none() | st.floats(-5, 150),
                level_m=st.none() | st.floats(-20, 30),
            ),
            value=st.floats(-1e4, 1e4),
            as_read=st.text(max_size=6).filter(lambda words: "NaN" not in words),
            mark=st.sampled_from(("", "reference", "beyond")),
        ),
        max_size=20,
    )
)
def test_any_readings_give_a_well_formed_map(values: list[Value]) -> None:
    view = readings_map(SLOOP, values, what="Moisture", unit="%")

    root = drawn(view)

    assert root.findtext(f"{SVG}title") == "Quillet: Moisture on the unrolled shell"
    assert root.findtext(f"{SVG}desc")
    assert "NaN" not in view.svg
