import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garboard.drawings.metal import (
    AnodeBar,
    Gauged,
    PanelBar,
    PotentialMark,
    anode_picture,
    life_line,
    potential_scale,
    thickness_strip,
)
from garboard.drawings.svg import text_width_mm

SVG = "{http://www.w3.org/2000/svg}"
GREYS = {"none", "#1c1a17", "#8f8a82", "#ffffff"}

thicknesses = st.floats(0.5, 20)
maybe = st.none() | thicknesses
words = st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=60)


def drawn(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def written(svg: str) -> list[str]:
    return [each.text or "" for each in drawn(svg).iter(f"{SVG}text")]


def told(svg: str) -> str:
    return drawn(svg).findtext(f"{SVG}desc") or ""


def edges_mm(svg: str) -> Iterator[float]:
    """The left and right edges of everything on the sheet that is not in a shifted group."""
    for each in drawn(svg):
        if each.tag == f"{SVG}text":
            width = text_width_mm(each.text or "", float(each.get("font-size", "0")))
            start = {"start": 0.0, "middle": 0.5, "end": 1.0}[each.get("text-anchor", "start")]
            yield float(each.get("x", "0")) - start * width
            yield float(each.get("x", "0")) + (1 - start) * width
        elif each.tag == f"{SVG}path":
            yield from (float(x) for x in re.findall(r"[ML](-?[\d.]+) ", each.get("d", "")))
        elif each.tag == f"{SVG}rect":
            left = float(each.get("x", "0"))
            yield from (left, left + float(each.get("width", "0")))


def is_on_sheet(svg: str) -> bool:
    width = float((drawn(svg).get("viewBox") or "").split()[2])
    return all(-0.5 <= each <= width + 0.5 for each in edges_mm(svg))


def is_black_and_white(svg: str) -> bool:
    used = set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg))
    return all(each in GREYS or each.startswith("url(#hatch") for each in used)


PANELS = (
    PanelBar(label="0", original_mm=6.0, now_mm=5.5, least_mm=5.1, earlier_mm=5.8, limit_mm=4.8),
    PanelBar(label="1"),
    PanelBar(label="2", original_mm=6.0, now_mm=4.2, least_mm=3.9, limit_mm=4.8),
)


def test_the_strip_writes_thickness_and_loss_under_each_panel() -> None:
    svg = thickness_strip("Bottom plate, port", PANELS)

    assert {"5.5", "8", "4.2", "30"} <= set(written(svg))


def test_the_strip_tells_in_words_what_it_shows() -> None:
    svg = thickness_strip("Bottom plate, port", PANELS)

    assert drawn(svg).findtext(f"{SVG}title") == "Bottom plate, port"
    assert "0 m: mean 5.5 mm, least 5.1, earlier 5.8, original 6.0, limit 4.8." in told(svg)
    assert "2 m: mean 4.2 mm" in told(svg)
    assert told(svg).endswith("below the limit.")


def test_a_panel_not_read_stays_blank() -> None:
    all_read = thickness_strip("Bottom plate, port", (PANELS[0], PANELS[2]))
    one_unread = thickness_strip("Bottom plate, port", PANELS)

    assert one_unread.count("<rect") == all_read.count("<rect")
    assert "–" in written(one_unread)
    assert "1 m: not read." in told(one_unread)


def test_a_panel_of_unknown_original_shows_no_loss() -> None:
    svg = thickness_strip("Tank", (PanelBar(label="0", now_mm=3.7),))

    assert "3.7" in written(svg)
    assert "original" not in told(svg)


def test_a_strip_without_any_thickness_is_refused() -> None:
    with pytest.raises(ValueError, match="none has one"):
        thickness_strip("Bottom plate", (PanelBar(label="0"),))


@given(
    st.lists(
        st.builds(
            PanelBar,
            label=st.just("12"),
            original_mm=maybe,
            now_mm=thicknesses,
            least_mm=maybe,
            earlier_mm=maybe,
            limit_mm=maybe,
        ),
        min_size=1,
        max_size=24,
    )
)
def test_any_strip_stays_on_its_sheet_in_black_and_white(panels: list[PanelBar]) -> None:
    svg = thickness_strip("Bottom plate", panels)

    assert is_on_sheet(svg)
    assert is_black_and_white(svg)


MARKS = (
    PotentialMark(label="propeller", potential_mv=-905, uncertainty_mv=21, words="within"),
    PotentialMark(label="rudder", potential_mv=-655, uncertainty_mv=21, words="too little"),
)


def test_the_scale_always_names_its_electrode() -> None:
    svg = potential_scale("Potentials", MARKS, electrode="Ag/AgCl/seawater", under_mv=-800)

    assert any("mV against Ag/AgCl/seawater" in each for each in written(svg))
    assert told(svg).startswith("Potentials against Ag/AgCl/seawater")


def test_the_scale_names_its_bands_and_writes_each_potential() -> None:
    svg = potential_scale("Potentials", MARKS, electrode="SCE", under_mv=-800, over_mv=-1050)

    assert {"too little", "protected", "more than wanted", "−905", "−655", "−800", "−1050"} <= set(
        written(svg)
    )
    assert "Beyond −1050 is more than wanted." in told(svg)


def test_a_scale_without_limits_has_no_bands() -> None:
    svg = potential_scale("Potentials", MARKS, electrode="SCE")

    assert "protected" not in written(svg)
    assert "<rect" not in svg


def test_the_more_negative_lies_to_the_left() -> None:
    svg = potential_scale("Potentials", MARKS, electrode="SCE")

    propeller, rudder = (float(each.get("cx", "0")) for each in drawn(svg).iter(f"{SVG}circle"))
    assert propeller < rudder


@pytest.mark.parametrize(("marks", "electrode"), [((), "SCE"), (MARKS, " ")])
def test_a_scale_without_potentials_or_electrode_is_refused(
    marks: tuple[PotentialMark, ...], electrode: str
) -> None:
    with pytest.raises(ValueError, match="its electrode"):
        potential_scale("Potentials", marks, electrode=electrode)


def test_the_name_of_a_potential_is_written_whole_in_as_many_lines_as_it_needs() -> None:
    label = "starboard 11.0 m, hull plate, cell in the water by the propeller"
    low = PotentialMark(label=label, potential_mv=-655, uncertainty_mv=21, words="too little")

    svg = potential_scale("Potentials", (low, *MARKS), electrode="SCE")

    assert label in " ".join(written(svg))
    assert is_on_sheet(svg)


@given(
    marks=st.lists(
        st.builds(
            PotentialMark,
            label=words,
            potential_mv=st.floats(-2000, 500),
            uncertainty_mv=st.floats(0, 100),
            words=words,
        ),
        min_size=1,
        max_size=8,
    ),
    under_mv=st.none() | st.just(-800.0),
    over_mv=st.none() | st.just(-1050.0),
)
def test_any_scale_stays_on_its_sheet_in_black_and_white(
    marks: list[PotentialMark], under_mv: float | None, over_mv: float | None
) -> None:
    svg = potential_scale("Potentials", marks, electrode="SCE", under_mv=under_mv, over_mv=over_mv)

    assert is_on_sheet(svg)
    assert is_black_and_white(svg)


def test_an_anode_shows_its_share_its_meaning_and_what_was_expected() -> None:
    svg = anode_picture(
        "Anodes",
        (AnodeBar(label="shaft", eaten_pct=4, words="hardly eaten: why?", expected_pct=(20, 80)),),
    )

    assert {"shaft", "4 %", "hardly eaten: why?", "loss expected"} <= set(written(svg))
    assert told(svg) == "shaft, 4 % eaten, 20 to 80 % expected: hardly eaten: why?"


def test_the_key_holds_no_sign_that_is_not_drawn() -> None:
    anode = anode_picture("Anodes", [AnodeBar(label="shaft", eaten_pct=40.0, words="")])
    strip = thickness_strip("Bottom", [PanelBar(label="3", original_mm=6.0, now_mm=5.6)])

    assert "loss expected" not in written(anode)
    assert {"mean now", "original"} <= set(written(strip))
    assert not {"earlier survey", "limit of the mean", "least now"} & set(written(strip))


def test_an_anode_of_unknown_loss_is_a_question_mark() -> None:
    svg = anode_picture("Anodes", (AnodeBar(label="hull", eaten_pct=None, words=""),))

    assert "?" in written(svg)
    assert told(svg) == "hull, loss not known."


def test_the_more_was_eaten_the_less_is_drawn() -> None:
    def width_left(eaten_pct: float) -> float:
        svg = anode_picture("Anodes", (AnodeBar(label="", eaten_pct=eaten_pct, words=""),))
        block = [each for each in drawn(svg) if each.get("fill", "").startswith("url(")][-1]
        xs = [float(x) for x in re.findall(r"[ML](-?[\d.]+) ", block.get("d", ""))]
        return max(xs) - min(xs)

    assert width_left(10) > width_left(50) > width_left(90)


def test_words_too_long_for_the_sheet_are_cut_there_and_whole_in_the_description() -> None:
    label = "hull anode under the counter on the starboard side"

    svg = anode_picture("Anodes", (AnodeBar(label=label, eaten_pct=40, words=""),))

    assert label not in written(svg)
    assert any(each.endswith("…") for each in written(svg))
    assert label in told(svg)


def test_anodes_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="none was given"):
        anode_picture("Anodes", ())
    with pytest.raises(ValueError, match="hull has 120 %"):
        anode_picture("Anodes", (AnodeBar(label="hull", eaten_pct=120, words=""),))


@given(
    st.lists(
        st.builds(
            AnodeBar,
            label=words,
            eaten_pct=st.none() | st.floats(0, 100),
            words=words,
            expected_pct=st.none() | st.tuples(st.floats(0, 100), st.floats(0, 100)),
        ),
        min_size=1,
        max_size=12,
    )
)
def test_any_anodes_stay_on_their_sheet_in_black_and_white(anodes: list[AnodeBar]) -> None:
    svg = anode_picture("Anodes", anodes)

    assert is_on_sheet(svg)
    assert is_black_and_white(svg)


EARLIER = Gauged(year=2020.4, thickness_mm=5.80, uncertainty_mm=0.1)
NOW = Gauged(year=2026.5, thickness_mm=5.35, uncertainty_mm=0.1)


def test_a_life_is_drawn_with_its_shortest_and_its_best() -> None:
    svg = life_line("Panel 4", EARLIER, NOW, limit_mm=4.8, shortest_y=3.4, life_y=7.3)

    assert {"shortest likely 3.4 years", "best estimate 7.3 years", "limit 4.80 mm"} <= set(
        written(svg)
    )
    assert "Shortest likely life 3.4 years, best estimate 7.3 years." in told(svg)


def test_without_a_shown_loss_there_is_no_best_estimate() -> None:
    svg = life_line("Panel 4", EARLIER, NOW, limit_mm=4.8, shortest_y=12.4)

    assert not any("best estimate" in each for each in written(svg))
    assert "no best estimate can be given" in told(svg)


def test_surveys_out_of_order_and_a_negative_life_are_refused() -> None:
    with pytest.raises(ValueError, match=r"2020\.4 is not after 2026\.5"):
        life_line("Panel 4", NOW, EARLIER, limit_mm=4.8, shortest_y=1)
    with pytest.raises(ValueError, match="-1 and None"):
        life_line("Panel 4", EARLIER, NOW, limit_mm=4.8, shortest_y=-1)


@given(
    earlier_mm=thicknesses,
    now_mm=thicknesses,
    limit_mm=thicknesses,
    apart_y=st.floats(1, 40),
    doubt_mm=st.floats(0, 0.5),
    shortest_y=st.floats(0, 500),
    more_y=st.none() | st.floats(0, 500),
)
def test_any_life_stays_on_its_sheet_in_black_and_white(
    earlier_mm: float,
    now_mm: float,
    limit_mm: float,
    apart_y: float,
    doubt_mm: float,
    shortest_y: float,
    more_y: float | None,
) -> None:
    svg = life_line(
        "Panel 4",
        Gauged(year=2026.5 - apart_y, thickness_mm=earlier_mm, uncertainty_mm=doubt_mm),
        Gauged(year=2026.5, thickness_mm=now_mm, uncertainty_mm=doubt_mm),
        limit_mm=limit_mm,
        shortest_y=shortest_y,
        life_y=None if more_y is None else shortest_y + more_y,
    )

    assert is_on_sheet(svg)
    assert is_black_and_white(svg)
