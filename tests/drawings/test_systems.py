import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garboard.drawings.svg import text_width_mm
from garboard.drawings.systems import Opening, Rested, inflow_plot, rest_voltage_scale

SVG = "{http://www.w3.org/2000/svg}"
GREYS = {"none", "#1c1a17", "#8f8a82", "#ffffff"}

words = st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=60)
INTAKE = Opening(label="seacock 1 port, engine intake", bore_mm=38, depth_m=0.5)
OUTLET = Opening(label="exhaust outlet", bore_mm=51, depth_m=-0.2)


def drawn(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def written(svg: str) -> list[str]:
    return [each.text or "" for each in drawn(svg).iter(f"{SVG}text")]


def told(svg: str) -> str:
    return drawn(svg).findtext(f"{SVG}desc") or ""


def edges_mm(svg: str) -> Iterator[float]:
    """The left and right edges of everything on the sheet."""
    for each in drawn(svg):
        if each.tag == f"{SVG}text":
            width = text_width_mm(each.text or "", float(each.get("font-size", "0")))
            start = {"start": 0.0, "middle": 0.5, "end": 1.0}[each.get("text-anchor", "start")]
            yield float(each.get("x", "0")) - start * width
            yield float(each.get("x", "0")) + (1 - start) * width
        elif each.tag == f"{SVG}path":
            yield from (float(x) for x in re.findall(r"[ML](-?[\d.]+) ", each.get("d", "")))


def is_on_sheet(svg: str) -> bool:
    width = float((drawn(svg).get("viewBox") or "").split()[2])
    return all(-0.5 <= each <= width + 0.5 for each in edges_mm(svg))


def is_black_and_white(svg: str) -> bool:
    used = set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg))
    return all(each in GREYS or each.startswith("url(#hatch") for each in used)


def dots(svg: str) -> list[tuple[float, float]]:
    """The centres of the filled marks."""
    return [
        (float(each.get("cx", "0")), float(each.get("cy", "0")))
        for each in drawn(svg).iter(f"{SVG}circle")
        if each.get("fill") == "#1c1a17"
    ]


def test_an_opening_is_listed_with_its_depth_and_inflow() -> None:
    svg = inflow_plot("Inflow", (INTAKE,), pumps_l_per_min=30)

    assert {"seacock 1 port, engine intake", "38 mm, 0.50 m down: 128 L/min", "pumps 30"} <= set(
        written(svg)
    )
    assert "engine intake, 38 mm, 0.50 m down: 128 L/min. The pumps move 30 L/min." in told(svg)


def test_an_opening_above_the_water_is_listed_and_not_drawn() -> None:
    svg = inflow_plot("Inflow", (INTAKE, OUTLET))

    assert len(dots(svg)) == 1
    assert "51 mm, above the water as she floats upright" in written(svg)


def test_pumps_nobody_measured_are_not_drawn() -> None:
    svg = inflow_plot("Inflow", (INTAKE,))

    assert "url(#hatch" not in svg
    assert told(svg).endswith("What the pumps move was not measured.")


def test_without_openings_customary_bores_are_drawn() -> None:
    svg = inflow_plot("Inflow")

    assert {"20 mm", "25 mm", "38 mm", "50 mm"} <= set(written(svg))
    assert "A bore of 38 mm at 0.5 m: 128 L/min." in told(svg)


def test_the_deeper_opening_of_two_alike_lies_lower_on_the_boat_and_higher_on_the_plot() -> None:
    deeper = Opening(label="transducer", bore_mm=38, depth_m=0.9)

    (near_x, near_y), (far_x, far_y) = dots(inflow_plot("Inflow", (INTAKE, deeper)))

    assert far_x > near_x
    assert far_y < near_y


def test_words_too_long_for_the_sheet_are_cut_there_and_whole_in_the_description() -> None:
    label = "seacock 7 starboard, outlet of the forward heads behind the hanging locker"

    svg = inflow_plot("Inflow", (Opening(label=label, bore_mm=38, depth_m=0.5),))

    assert label not in written(svg)
    assert any(each.endswith("…") for each in written(svg))
    assert label in told(svg)


def test_openings_and_pumps_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="bore above zero"):
        inflow_plot("Inflow", (Opening(label="", bore_mm=0, depth_m=1),))
    with pytest.raises(ValueError, match="-1 was given"):
        inflow_plot("Inflow", pumps_l_per_min=-1)


@given(
    openings=st.lists(
        st.builds(Opening, label=words, bore_mm=st.floats(1, 300), depth_m=st.floats(-2, 10)),
        max_size=40,
    ),
    pumps_l_per_min=st.none() | st.floats(0, 5000),
)
def test_any_plot_stays_on_its_sheet_in_black_and_white(
    openings: list[Opening], pumps_l_per_min: float | None
) -> None:
    svg = inflow_plot("Inflow", openings, pumps_l_per_min=pumps_l_per_min)

    assert is_on_sheet(svg)
    assert is_black_and_white(svg)


def test_a_battery_is_written_with_its_voltage() -> None:
    svg = rest_voltage_scale("Batteries", (Rested(label="house", rest_v=12.31),))

    assert {"house", "12.31", "less than half full"} <= set(written(svg))
    assert told(svg) == "house: 12.31 V at rest."


def test_the_fuller_battery_lies_to_the_right() -> None:
    svg = rest_voltage_scale(
        "Batteries", (Rested(label="house", rest_v=12.1), Rested(label="start", rest_v=12.6))
    )

    (house, _), (start, _) = dots(svg)
    assert house < start


@pytest.mark.parametrize("rest_v", [9.0, 14.4])
def test_a_battery_off_the_scale_is_an_arrow_and_its_number(rest_v: float) -> None:
    svg = rest_voltage_scale("Batteries", (Rested(label="house", rest_v=rest_v),))

    assert dots(svg) == []
    assert f"{rest_v:.2f}" in written(svg)


def test_a_scale_without_batteries_or_with_a_negative_doubt_is_refused() -> None:
    with pytest.raises(ValueError, match="one or more"):
        rest_voltage_scale("Batteries", ())
    with pytest.raises(ValueError, match="0 V or more"):
        rest_voltage_scale("Batteries", (Rested(label="", rest_v=12, doubt_v=-1),))


@given(
    st.lists(
        st.builds(Rested, label=words, rest_v=st.floats(0, 20), doubt_v=st.floats(0, 1)),
        min_size=1,
        max_size=10,
    )
)
def test_any_scale_stays_on_its_sheet_in_black_and_white(batteries: list[Rested]) -> None:
    svg = rest_voltage_scale("Batteries", batteries)

    assert is_on_sheet(svg)
    assert is_black_and_white(svg)
