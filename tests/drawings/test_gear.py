import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.drawings.gear import (
    BearingBar,
    BladeRow,
    BoltMark,
    Limit,
    clearance_bars,
    keel_bolts,
    pitch_spread,
)

SVG = "{http://www.w3.org/2000/svg}"
LIMITS = (Limit(value=3, words="plan renewal"), Limit(value=6, words="do not run"))
BRACKET = BearingBar(label="shaft bracket", clearance_mm=0.8, shaft_mm=30, uncertainty_mm=0.05)

clearances = st.floats(0, 5)
pitches = st.lists(st.floats(100, 1200), min_size=1, max_size=4)


def words_in(drawing: str) -> str:
    return " ".join(each.text or "" for each in ET.fromstring(drawing).iter(f"{SVG}text"))


def size_of(drawing: str) -> tuple[float, float]:
    _, _, width, height = map(float, ET.fromstring(drawing).attrib["viewBox"].split())
    return width, height


def points_in(drawing: str) -> list[tuple[float, float]]:
    root = ET.fromstring(drawing)
    found = [
        (float(x), float(y))
        for each in root.findall(f"{SVG}path")
        for x, y in (
            pair.split() for pair in each.attrib["d"].replace("Z", "").replace("M", "").split("L")
        )
    ]
    found += [(float(c.attrib["cx"]), float(c.attrib["cy"])) for c in root.iter(f"{SVG}circle")]
    for each in root.findall(f"{SVG}rect"):
        x, y, width, height = (float(each.attrib[name]) for name in ("x", "y", "width", "height"))
        found += [(x, y), (x + width, y + height)]
    return found


def bars(*clearances_mm: float) -> str:
    return clearance_bars(
        "Bearings",
        [BearingBar(label="bracket", clearance_mm=each, shaft_mm=30) for each in clearances_mm],
        LIMITS,
    )


def widths_of_bars(drawing: str) -> list[float]:
    return [
        float(each.attrib["width"])
        for each in ET.fromstring(drawing).iter(f"{SVG}rect")
        if each.attrib["height"] == "3.6"
    ]


def bolt(label: str, load_kn: float, *, arm_m: float = 0.2, left: float | None = 1.0) -> BoltMark:
    return BoltMark(
        label=label, along_m=4.0 + float(label), arm_m=arm_m, load_kn=load_kn, left_ratio=left
    )


def test_a_bearing_is_told_in_millimetres_and_in_per_cent_of_its_shaft() -> None:
    drawing = clearance_bars("Bearings", [BRACKET], LIMITS)

    assert "0.80 mm, 2.7 %" in words_in(drawing)


def test_a_new_bearings_clearance_is_drawn_beneath_and_told() -> None:
    new = BearingBar(label="new", clearance_mm=0.8, shaft_mm=30, fitted_mm=(0.08, 0.18))

    drawing = clearance_bars("Bearings", [new], LIMITS)

    assert "new 0.08 to 0.18 mm" in (ET.fromstring(drawing).findtext(f"{SVG}desc") or "")
    with_it, without = (len(points_in(each)) for each in (drawing, bars(0.8)))
    assert with_it > without


def test_a_long_name_is_cut_on_the_sheet_and_whole_in_the_description() -> None:
    name = "outer bearing of the long starboard shaft, athwartships"
    row = BearingBar(label=name, clearance_mm=0.8, shaft_mm=30)

    drawing = clearance_bars("Bearings", [row], LIMITS)

    assert name not in words_in(drawing)
    assert name in (ET.fromstring(drawing).findtext(f"{SVG}desc") or "")


def test_each_limit_is_a_line_with_its_words() -> None:
    words = words_in(bars(0.8))

    assert "3 %: plan renewal" in words
    assert "6 %: do not run" in words


def test_twice_the_clearance_is_twice_the_bar() -> None:
    short, long = widths_of_bars(bars(0.4, 0.8))

    assert long == pytest.approx(2 * short, abs=0.01)


@given(st.lists(clearances, min_size=1, max_size=8))
def test_no_bar_or_limit_leaves_the_sheet(values: list[float]) -> None:
    drawing = bars(*values)

    width, height = size_of(drawing)
    assert all(0 <= x <= width and 0 <= y <= height for x, y in points_in(drawing))


def test_bars_without_a_bearing_are_refused() -> None:
    with pytest.raises(ValueError, match="a bearing or more"):
        clearance_bars("Bearings", [], LIMITS)


def test_every_reading_of_a_blade_is_a_mark_and_its_mean_a_number() -> None:
    rows = [
        BladeRow(label="blade 1", pitches=(("0.7 R", 470), ("0.9 R", 480))),
        BladeRow(label="blade 2", pitches=(("0.7 R", 460),)),
    ]

    drawing = pitch_spread("Propeller", rows, nominal_mm=480)

    # Three readings and the sample of the key.
    assert len(list(ET.fromstring(drawing).iter(f"{SVG}circle"))) == 3 + 1
    assert "475.0 mm" in words_in(drawing)


def test_without_a_nominal_pitch_the_spread_says_so_and_draws_no_tolerance() -> None:
    rows = [BladeRow(label="blade 1", pitches=(("0.7 R", 470),))]

    words = words_in(pitch_spread("Propeller", rows, tolerance_pct=1.5))

    assert "nominal pitch not known" in words
    assert "tolerance" not in words


@settings(max_examples=50)
@given(
    st.lists(pitches, min_size=1, max_size=5),
    st.one_of(st.none(), st.floats(100, 1200)),
    st.floats(0, 2),
)
def test_no_mark_of_a_blade_leaves_the_sheet(
    blades: list[list[float]], nominal: float | None, doubt: float
) -> None:
    rows = [
        BladeRow(label=f"blade {n}", pitches=tuple(("0.7 R", each) for each in read))
        for n, read in enumerate(blades, 1)
    ]

    drawing = pitch_spread(
        "Propeller", rows, nominal_mm=nominal, tolerance_pct=1.5, uncertainty_pct=doubt
    )

    width, height = size_of(drawing)
    assert all(0 <= x <= width and 0 <= y <= height for x, y in points_in(drawing))


def test_a_blade_without_a_reading_is_refused() -> None:
    with pytest.raises(ValueError, match="a blade or more"):
        pitch_spread("Propeller", [BladeRow(label="blade 1", pitches=())])


def test_a_bolt_that_was_not_measured_is_an_empty_ring() -> None:
    measured = keel_bolts("Joint", [bolt("1", 15), bolt("2", 15)], shared="equal shares")
    unmeasured = keel_bolts("Joint", [bolt("1", 15), bolt("2", 15, left=None)], shared="equal")

    def count(drawing: str) -> int:
        return len(list(ET.fromstring(drawing).iter(f"{SVG}circle")))

    assert count(measured) - count(unmeasured) == 1


def test_each_bolt_carries_its_load_in_words() -> None:
    drawing = keel_bolts(
        "Joint", [bolt("1", 17.68), bolt("2", 3.54, arm_m=0.04, left=0.64)], shared="by distance"
    )

    words = words_in(drawing)
    assert "17.7 kN" in words
    assert "2, 64 %" in words
    assert "by distance" in words


@given(
    st.lists(
        st.tuples(st.floats(3, 6), st.floats(0, 0.5), st.floats(0, 80)), min_size=1, max_size=10
    )
)
def test_no_bolt_or_load_leaves_the_sheet(values: list[tuple[float, float, float]]) -> None:
    marks = [
        BoltMark(label=str(n), along_m=along, arm_m=arm, load_kn=load)
        for n, (along, arm, load) in enumerate(values, 1)
    ]

    drawing = keel_bolts("Joint", marks, shared="equal shares")

    width, height = size_of(drawing)
    assert all(0 <= x <= width and 0 <= y <= height for x, y in points_in(drawing))


def test_a_sketch_without_bolts_is_refused() -> None:
    with pytest.raises(ValueError, match="one or more"):
        keel_bolts("Joint", [], shared="equal shares")


@pytest.mark.parametrize(
    "drawing",
    [
        bars(0.8),
        pitch_spread("Propeller", [BladeRow(label="blade 1", pitches=(("0.7 R", 470),))]),
        keel_bolts("Joint", [bolt("1", 15)], shared="equal shares"),
    ],
)
def test_a_drawing_describes_itself_to_those_who_do_not_see_it(drawing: str) -> None:
    described = ET.fromstring(drawing).find(f"{SVG}desc")

    assert described is not None
    assert described.text
