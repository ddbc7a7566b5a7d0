import xml.etree.ElementTree as ET
from datetime import timedelta

import pytest
from cast import DAY, QUILLET, entry
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.drawings.laminate import detectability, moisture_strips
from garboard.methods.moisture import MoistureMap, moisture_maps
from garboard.methods.sounding import Coverage, coverages
from garboard.notebook.body import Conditions, Place, Reading, ReadingSet, Sounding
from garboard.notebook.fold import fold

ASHORE = Conditions(lying="ashore", began=DAY, lifted=DAY - timedelta(days=9))
DRY = (12, 13, 12, 14, 13, 12, 15, 13, 12, 13, 14, 12)
SVG = "{http://www.w3.org/2000/svg}"


def map_of(
    *port: float, starboard: tuple[float, ...] = (), dry: tuple[float, ...] = DRY
) -> MoistureMap:
    rows = [
        Reading(
            place=Place(part="topside-laminate", side="port"), as_read=f"{each:g}", reference=True
        )
        for each in dry
    ]
    for side, values in (("port", port), ("starboard", starboard)):
        rows += [
            Reading(place=Place(part="bottom-moisture", side=side), as_read=f"{each:g}")  # type: ignore[arg-type]
            for each in values
        ]
    body = ReadingSet(
        name="bottom",
        quantity="moisture",
        unit="%",
        instrument="meter 1",
        scale="A",
        readings=tuple(rows),
    )
    (found,) = moisture_maps(fold([entry(1, QUILLET), entry(2, ASHORE), entry(3, body)]))
    return found


def coverage_of(across: int = 6) -> Coverage:
    strikes = [
        Sounding(place=Place(part="foredeck", station_m=0.3 * x, level_m=0.3 * y), heard="sound")
        for x in range(across)
        for y in range(4)
    ]
    (found,) = coverages(fold([entry(2 + n, each) for n, each in enumerate(strikes)]))
    return found


def words_in(drawing: str) -> str:
    return " ".join(each.text or "" for each in ET.fromstring(drawing).iter(f"{SVG}text"))


def marks_in(drawing: str) -> list[tuple[float, float]]:
    return [
        (float(each.attrib["cx"]), float(each.attrib["cy"]))
        for each in ET.fromstring(drawing).iter(f"{SVG}circle")
    ]


def size_of(drawing: str) -> tuple[float, float]:
    _, _, width, height = map(float, ET.fromstring(drawing).attrib["viewBox"].split())
    return width, height


def test_every_reading_is_a_mark_and_the_key_shows_each_kind_once() -> None:
    found = map_of(13, 14, 19, 20)

    # Twelve dry ones, four on the hull, and a sample each of the two kinds in the key.
    assert len(marks_in(moisture_strips(found))) == 12 + 4 + 2


def test_the_strips_say_in_words_what_they_show() -> None:
    words = words_in(moisture_strips(map_of(13, 14, 19, 20, starboard=(12, 13))))

    assert "Dry reference" in words
    assert "2 of 4 raised" in words
    assert "0 of 2 raised" in words
    assert "raised above 18.2" in words


def test_the_axis_never_says_per_cent_on_a_scale_of_the_meters_own() -> None:
    words = words_in(moisture_strips(map_of(13, 14, 19, 20)))

    assert "meter reading, scale units, scale A" in words
    assert "%" not in words


def test_without_a_dry_reference_the_strips_say_that_nothing_is_judged() -> None:
    words = words_in(moisture_strips(map_of(13, 14, 19, 20, dry=())))

    assert "4, not judged" in words
    assert "Not judged against a dry reference" in words
    assert "raised above" not in words


@settings(max_examples=40)
@given(
    st.lists(st.integers(0, 99), min_size=1, max_size=60),
    st.sampled_from([110.0, 150.0, 200.0]),
)
def test_no_mark_lies_outside_the_sheet(values: list[int], width_mm: float) -> None:
    drawing = moisture_strips(map_of(*values), width_mm)

    width, height = size_of(drawing)
    assert width == width_mm
    assert all(0 < x < width and 0 < y < height for x, y in marks_in(drawing))


@given(st.lists(st.integers(0, 40), min_size=1, max_size=15))
def test_marks_stand_beside_each_other_and_not_on_each_other(values: list[int]) -> None:
    marks = marks_in(moisture_strips(map_of(*values, dry=())))

    assert len({(round(x, 2), round(y, 2)) for x, y in marks}) == len(values)


@pytest.mark.parametrize("drawing", [moisture_strips(map_of(13, 30)), detectability(coverage_of())])
def test_a_drawing_describes_itself_to_those_who_do_not_see_it(drawing: str) -> None:
    root = ET.fromstring(drawing)

    assert root.find(f"{SVG}title") is not None
    described = root.find(f"{SVG}desc")
    assert described is not None
    assert described.text


def test_the_size_met_with_95_per_cent_is_marked_in_metres() -> None:
    found = coverage_of()

    words = words_in(detectability(found))

    assert "95 %" in words
    assert f"{found.across_m:.2f} m" in words
    assert "Met is not yet found" in words


def test_the_mark_stands_at_95_per_cent_of_the_height() -> None:
    drawing = detectability(coverage_of())
    ((_, at),) = marks_in(drawing)
    heights = {
        each.text: float(each.attrib["y"]) - 0.8
        for each in ET.fromstring(drawing).iter(f"{SVG}text")
        if each.text in ("25", "100")
    }

    share = 0.25 + 0.75 * (heights["25"] - at) / (heights["25"] - heights["100"])
    assert share == pytest.approx(0.95, abs=0.002)


@pytest.mark.parametrize("across", [4, 6, 20])
def test_nothing_of_the_curve_leaves_the_sheet(across: int) -> None:
    drawing = detectability(coverage_of(across), 60.0)

    width, height = size_of(drawing)
    numbers = [
        tuple(map(float, pair.strip("ML").split()))
        for each in ET.fromstring(drawing).iter(f"{SVG}path")
        for pair in each.attrib["d"].replace("Z", "").replace("L", "|").split("|")
    ]
    assert all(0 <= x <= width and 0 <= y <= height for x, y in numbers)


@pytest.mark.parametrize("narrow", [59.0, 20.0])
def test_a_sheet_too_narrow_is_refused(narrow: float) -> None:
    with pytest.raises(ValueError, match="too narrow"):
        detectability(coverage_of(), narrow)
    with pytest.raises(ValueError, match="too narrow"):
        moisture_strips(map_of(13), narrow)
