"""The hull as it is pointed at in the yard: its points are read as at the desk, and what is left to do is said."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from cast import HARROWMERE, QUILLET, entry, entry_id

from garboard.boat.hull import hull_of
from garboard.drawings.panels import Look, panel_for
from garboard.notebook.body import Boat, Place, Reading, ReadingSet, Side, Sounding
from garboard.notebook.fold import Survey, fold
from garboard.yard.pad import grid_of, pad_of

LOOKS: tuple[Look, ...] = (
    "port-shell", "port-shell-forward", "port-shell-after",
    "starboard-shell", "starboard-shell-forward", "starboard-shell-after",
)  # fmt: skip
BOTTOM = "bottom-laminate"
RUN = {"first_m": 3.0, "last_m": 4.0, "step_m": 0.5}
LEVELS = {"first_m": -0.2, "last_m": -0.4, "step_m": 0.2}
WALK = {"stations": RUN, "levels": LEVELS}


def survey(*bodies: Any, boat: Boat = QUILLET) -> Survey:
    return fold([entry(1, boat), *(entry(2 + at, each) for at, each in enumerate(bodies))])


def place(station_m: float, level_m: float, side: Side = "port") -> Place:
    return Place(part=BOTTOM, side=side, station_m=station_m, level_m=level_m)


def struck(*places: Place) -> list[Sounding]:
    return [Sounding(place=each, heard="sound") for each in places]


def read(places: Sequence[Place], quantity: Any = "moisture", unit: str = "scale") -> ReadingSet:
    readings = tuple(Reading(place=each, as_read="12") for each in places)
    return ReadingSet(name="port", quantity=quantity, unit=unit, instrument="meter", readings=readings)  # fmt: skip


SPREAD = tuple(place(1 + 0.7 * n, -0.2 - 0.5 * (n % 2)) for n in range(12))


def point_read(pad: dict[str, Any], x: float, y: float) -> tuple[float, float] | None:
    """Station and level under a point, as the page reads them from the frame alone."""
    away = (x - pad["zero_mm"][0]) / pad["mm_per_m"]
    station = -away if pad["bow"] == "right" else away
    level = (pad["zero_mm"][1] - y) / pad["mm_per_m"]
    reach = pad["reach"]
    after = next((n for n, each in enumerate(reach) if n and each[0] >= station), None)
    if not pad["from_m"] <= station <= pad["to_m"] or after is None:
        return None
    (start, *before), (end, *behind) = reach[after - 1], reach[after]
    share = (station - start) / (end - start)
    foot, sheer = (low + share * (high - low) for low, high in zip(before, behind, strict=True))
    return (station, level) if foot <= level <= sheer else None


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("boat", [QUILLET, HARROWMERE], ids=lambda boat: boat.name)
def test_a_point_is_read_from_the_frame_as_the_desk_reads_it(look: Look, boat: Boat) -> None:
    pad = pad_of(survey(boat=boat), look)
    hull, panel = hull_of(boat), panel_for(hull_of(boat), look)
    points = [(x / 2, y / 2) for x in range(10, 320, 7) for y in range(12, 260, 5)]

    seen = [(at, found) for at in points if (found := point_read(pad, *at))]

    assert len(seen) > 100
    for at, (station, level) in seen:
        kept = panel.place_under(hull, at, BOTTOM)
        assert kept is not None
        assert (kept.station_m, kept.level_m) == pytest.approx((station, level), abs=0.02)
        assert kept.side == pad["side"]


def test_the_boat_takes_up_the_box_that_is_shown() -> None:
    pad = pad_of(survey(), "port-shell")

    _, top, width, height = pad["holds_mm"]
    for station, foot, sheer in pad["reach"]:
        assert 0 <= pad["zero_mm"][0] + station * pad["mm_per_m"] <= width
        assert top <= pad["zero_mm"][1] - sheer * pad["mm_per_m"]
        assert pad["zero_mm"][1] - foot * pad["mm_per_m"] <= top + height


def test_the_bare_boat_is_the_same_whatever_was_struck() -> None:
    before, after = survey(), survey(*struck(*SPREAD))

    assert pad_of(before, "port-shell") == pad_of(after, "port-shell")


def test_what_was_struck_is_told_side_by_side_for_those_who_do_not_see_it() -> None:
    seen = survey(*struck(place(3, -0.2), place(4, -0.2), place(3, -0.2, "starboard")))

    assert "Soundings on this side: 2 sound." in pad_of(seen, "port-shell", "soundings")["alt"]
    assert "Soundings on this side: 1 sound." in pad_of(seen, "starboard-shell", "soundings")["alt"]


def test_it_says_how_large_a_patch_the_soundings_would_have_met() -> None:
    pad = pad_of(survey(*struck(*SPREAD)), "port-shell", "soundings", BOTTOM)

    assert "Bottom laminate, port: sounded at 12 places" in pad["said"][0]
    assert "with 95 % probability" in pad["said"][0]
    assert "Not yet sounded" in pad["left"]


def test_a_part_that_nobody_struck_is_left_whole() -> None:
    pad = pad_of(survey(), "port-shell", "soundings", BOTTOM)

    assert pad["said"] == ["Bottom laminate, port: not sounded yet."]
    assert "Not yet sounded" in pad["left"]


def test_many_blows_in_a_cluster_are_not_called_too_few() -> None:
    cluster = [place(4 + 0.1 * (n % 8), -0.2 - 0.1 * (n // 8)) for n in range(40)]

    said = pad_of(survey(*struck(*cluster)), "port-shell", "soundings", BOTTOM)["said"]

    assert said[0].startswith("Bottom laminate, port: 40 blows in")
    assert "in a line or too much to one side" in said[0]


def test_a_part_without_an_outline_on_the_shell_is_not_hatched_before_it_was_struck() -> None:
    assert pad_of(survey(), "port-shell", "soundings", "stem")["left"] == ""


def test_every_blow_takes_something_from_what_is_left() -> None:
    few = pad_of(survey(*struck(*SPREAD[:6])), "port-shell", "soundings", BOTTOM)["left"]
    more = pad_of(survey(*struck(*SPREAD)), "port-shell", "soundings", BOTTOM)["left"]

    assert more.count(" 0 1 1 ") == few.count(" 0 1 1 ") + 2 * 6


def test_moisture_says_how_closely_it_was_read_and_thickness_does_not() -> None:
    moisture = survey(read(SPREAD))
    plate = survey(read(SPREAD, "thickness", "mm"), boat=HARROWMERE)

    assert "read with a moisture meter at 12 places" in pad_of(moisture, "port-shell", entry_id(2), BOTTOM)["said"][0]  # fmt: skip
    assert pad_of(plate, "port-shell", entry_id(2), BOTTOM)["said"] == []


def test_readings_are_drawn_with_their_digits() -> None:
    pad = pad_of(survey(read([place(4, -0.3)])), "port-shell", entry_id(2))

    assert ">12</text>" in pad["svg"]


@pytest.mark.parametrize(
    ("boat", "look", "of", "said"),
    [
        (QUILLET, "port-profile", "", 'no drawing called "port-profile"'),
        (QUILLET, "port-shell", "nothing", "That set of readings is not here"),
        (replace(QUILLET, loa_m=None), "port-shell", "", "state the length of hull"),
    ],
)
def test_what_cannot_be_drawn_is_refused_in_words(
    boat: Boat, look: str, of: str, said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        pad_of(survey(boat=boat), look, of)


def test_a_grid_is_gone_on_with_where_it_was_left() -> None:
    done = struck(place(3.0, -0.2), place(3.0, -0.4))

    found = grid_of(survey(*done), {"part": BOTTOM, "side": "port"}, WALK)

    assert [(each["station_m"], each["level_m"]) for each in found["places"]] == [
        (3.0, -0.2), (3.0, -0.4), (3.5, -0.2), (3.5, -0.4), (4.0, -0.2), (4.0, -0.4),
    ]  # fmt: skip
    assert found["at"] == 2


def test_a_grid_of_readings_asks_the_set_what_it_has() -> None:
    seen = survey(read([place(3.0, -0.2)]), *struck(place(3.0, -0.4)))
    where = {"part": BOTTOM, "side": "port"}

    assert grid_of(seen, where, WALK, entry_id(2))["at"] == 1
    assert grid_of(seen, where, WALK)["at"] == 0


def test_a_grid_beside_the_boat_is_refused_in_words() -> None:
    away = {**WALK, "levels": {"first_m": -9.0, "last_m": -9.0, "step_m": 0.1}}

    with pytest.raises(ValueError, match="None of this grid lies on the hull"):
        grid_of(survey(), {"part": BOTTOM, "side": "port"}, away)


def test_a_drawing_names_the_entry_of_the_boat_it_is_of() -> None:
    longer = entry(2, replace(QUILLET, loa_m=10.6), replaces=(1,))

    first = pad_of(fold([entry(1, QUILLET)]), "port-shell")
    corrected = pad_of(fold([entry(1, QUILLET), longer]), "port-shell")

    assert (first["boat"], corrected["boat"]) == (entry_id(1), entry_id(2))
