"""SVG as text: well formed, deterministic, legible in black and white."""

from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garboard.drawings import svg

SVG = "{http://www.w3.org/2000/svg}"
finite = st.floats(-1e6, 1e6)


def parsed(*parts: str, hatches: tuple[svg.Hatch, ...] = ()) -> ElementTree.Element:
    document = svg.drawing(
        100, 50, title="A title", desc="A description", parts=parts, hatches=hatches
    )
    return ElementTree.fromstring(document)


def lightness(colour: str) -> float:
    """CIE lightness of an sRGB colour, 0 to 100."""
    linear = []
    for at in (1, 3, 5):
        share = int(colour[at : at + 2], 16) / 255
        linear.append(share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4)
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 116 * float(luminance ** (1 / 3)) - 16


def test_a_drawing_has_its_title_and_description_first_and_prints_at_true_size() -> None:
    root = parsed()

    assert [each.tag for each in root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == (
        "100mm",
        "50mm",
        "0 0 100 50",
    )


@given(st.text(max_size=40))
def test_any_words_whatever_give_well_formed_xml(words: str) -> None:
    root = parsed(svg.text((1, 1), words))

    assert root.find(f"{SVG}text") is not None


@given(finite, finite, finite, finite)
def test_any_finite_line_gives_well_formed_xml_without_nan(
    a: float, b: float, c: float, d: float
) -> None:
    document = svg.drawing(9, 9, title="t", desc="d", parts=[svg.arrow((a, b), (c, d))])

    ElementTree.fromstring(document)
    assert "nan" not in document
    assert "inf" not in document


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_not_finite_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        svg.circle((value, 0), 1)
    with pytest.raises(ValueError, match="finite"):
        svg.sequential(value)


@given(finite)
def test_a_number_is_within_half_a_thousandth_and_has_no_exponent(value: float) -> None:
    written = svg.number(value)

    assert abs(float(written) - value) <= 0.00051
    assert set(written) <= set("-.0123456789")
    assert written != "-0"


@pytest.mark.parametrize(("title", "desc"), [("", "d"), ("t", " ")])
def test_a_drawing_without_words_for_those_who_do_not_see_it_is_refused(
    title: str, desc: str
) -> None:
    with pytest.raises(ValueError, match="do not see it"):
        svg.drawing(10, 10, title=title, desc=desc, parts=[])


def test_the_scale_grows_darker_in_equal_steps() -> None:
    steps = [lightness(svg.sequential(each / 10)) for each in range(11)]

    falls = [a - b for a, b in pairwise(steps)]

    assert min(falls) > 0
    assert max(falls) - min(falls) < 1.0
    assert steps[0] > 90
    assert steps[-1] < 25


def test_what_the_hammer_said_is_told_by_shape() -> None:
    marks = {svg.sounding_mark(heard, (5, 5)) for heard in svg.HEARD_MARKS}

    assert len(marks) == 4
    assert all(svg.ACCENT not in each for each in marks)


def test_a_polygon_finds_its_hatch() -> None:
    hatch = svg.Hatch(angle_deg=30, spacing_mm=2.0)

    root = parsed(svg.polygon([(0, 0), (9, 0), (9, 9)], fill=hatch.fill), hatches=(hatch, hatch))

    patterns = root.findall(f"{SVG}defs/{SVG}pattern")
    path = root.find(f"{SVG}path")
    assert [each.get("id") for each in patterns] == [hatch.name]
    assert path is not None
    assert path.get("fill") == f"url(#{hatch.name})"


def test_what_is_cut_off_names_its_own_outline() -> None:
    root = parsed(svg.cut([[(0, 0), (9, 0), (9, 9)]], [svg.circle((5, 5), 9)]))

    clip, group = root.find(f"{SVG}clipPath"), root.find(f"{SVG}g")
    assert clip is not None
    assert group is not None
    assert group.get("clip-path") == f"url(#{clip.get('id')})"


@given(st.floats(0.01, 1000))
def test_the_scale_bar_is_of_round_length_and_as_long_as_it_says(mm_per_m: float) -> None:
    root = parsed(svg.scale_bar((10, 20), mm_per_m, longest_mm=45))

    words = [each.text or "" for each in root.findall(f"{SVG}text")]
    length_mm = sum(float(each.get("width", "0")) for each in root.findall(f"{SVG}rect"))
    stated_m = float(words[-1].removesuffix(" m"))
    assert length_mm == pytest.approx(stated_m * mm_per_m, rel=0.02, abs=0.01)
    assert length_mm <= 45.01


def test_the_same_drawing_twice_is_the_same_text() -> None:
    def draw() -> str:
        return svg.drawing(9, 9, title="t", desc="d", parts=[svg.scale_bar((1, 5), 10.0)])

    assert draw() == draw()
