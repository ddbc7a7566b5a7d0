import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.drawings import svg
from garboard.drawings.drying import drying_curve
from garboard.methods.drying import drying_of, in_words

SVG = "{http://www.w3.org/2000/svg}"


def words_in(drawing: str) -> str:
    return " ".join(each.text or "" for each in ET.fromstring(drawing).iter(f"{SVG}text"))


def paths_in(drawing: str) -> list[tuple[float, list[tuple[float, float]]]]:
    """Each path's width of line and its points."""
    return [
        (
            float(each.attrib.get("stroke-width", 0)),
            [(float(x), float(y)) for x, y in re.findall(r"([\d.-]+) ([\d.-]+)", each.attrib["d"])],
        )
        for each in ET.fromstring(drawing).iter(f"{SVG}path")
    ]


def test_both_ends_of_the_range_are_written_beside_the_middle() -> None:
    found = drying_of("bottom, port", 8, 12)

    words = words_in(drying_curve(found))

    for short, _, long in (found.half_days, found.most_days):
        assert in_words(short) in words
        assert in_words(long) in words
    assert "No date follows" in words
    assert "8 mm of solid laminate, one face closed" in words


def test_the_heavy_line_lies_within_its_range() -> None:
    drawn = [points for width, points in paths_in(drying_curve(drying_of("bottom", 8, 12)))]
    fast, slow, usual = (points for points in drawn if len(points) == 81)

    # y runs downward: the fastest laminate is the highest on the sheet.
    assert all(
        high[1] <= middle[1] + 1e-6 <= low[1] + 2e-6
        for high, middle, low in zip(fast, usual, slow, strict=True)
    )


def test_only_the_middle_is_drawn_bold_and_the_range_is_hatched() -> None:
    drawing = drying_curve(drying_of("bottom", 8, 12))

    bold = [points for width, points in paths_in(drawing) if width == svg.BOLD_MM]
    assert len(bold) == 1
    assert drawing.count("<pattern") == 1
    assert 'fill="url(#hatch-' in drawing


@settings(deadline=None, max_examples=25)
@given(
    thickness=st.floats(2, 30),
    laminate_c=st.floats(5, 60),
    faces=st.sampled_from([1, 2]),
    width=st.floats(90, 180),
)
def test_nothing_is_drawn_off_the_sheet(
    thickness: float, laminate_c: float, faces: int, width: float
) -> None:
    drawing = drying_curve(drying_of("bottom", thickness, laminate_c, faces), width)
    root = ET.fromstring(drawing)
    _, _, wide, high = map(float, root.attrib["viewBox"].split())

    for _, points in paths_in(drawing.replace("M0 ", "M1 ")):
        assert all(-1e-3 <= x <= wide + 200 and -1e-3 <= y <= high + 1e-3 for x, y in points)
    for each in root.iter(f"{SVG}text"):
        size = float(each.attrib["font-size"])
        across = svg.text_width_mm(each.text or "", size)
        start = (
            float(each.attrib["x"])
            - {"start": 0, "middle": 0.5, "end": 1}[each.attrib["text-anchor"]] * across
        )
        assert start >= -2
        # The words of semi-bold labels run a little wider than those of regular ones.
        assert start + across <= wide + 1.5
        assert 0 <= float(each.attrib["y"]) <= high


def test_a_time_scale_has_three_marks_at_least() -> None:
    for thickness in (2, 8, 30):
        words = words_in(drying_curve(drying_of("bottom", thickness, 20)))
        assert sum(f" {each} " in f" {words} " for each in ("1 week", "1 month", "1 year")) >= 1


def test_a_narrow_sheet_is_refused() -> None:
    with pytest.raises(ValueError, match="80"):
        drying_curve(drying_of("bottom", 8, 12), 80)
