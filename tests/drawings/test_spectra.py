import re
import xml.etree.ElementTree as ET
from functools import cache

import numpy as np
import pytest
from recorded import wav

from garboard.drawings import svg
from garboard.drawings.spectra import strike_spectrum
from garboard.methods.recordings import compared_sounds
from garboard.methods.strikes import Comparison

SVG = "{http://www.w3.org/2000/svg}"
RATE_HZ = 48_000


def ringing(*notes_hz: float, seed: int = 1) -> bytes:
    """The recording of decaying notes after 20 ms of silence, with a little noise."""
    time = np.arange(8192) / RATE_HZ
    tones = sum(np.exp(-150 * time) * np.sin(2 * np.pi * each * time) for each in notes_hz)
    signal = np.concatenate([np.zeros(960), 0.4 * tones / len(notes_hz)])
    return wav(signal + 0.002 * np.random.default_rng(seed).standard_normal(len(signal)), RATE_HZ)


@cache
def beside(*notes_hz: float, references: int = 8) -> Comparison:
    known = [ringing(600, 1200, 2400, seed=seed) for seed in range(references)]
    return compared_sounds(ringing(*notes_hz, seed=99), known)


def words_in(drawing: str) -> str:
    return " ".join(each.text or "" for each in ET.fromstring(drawing).iter(f"{SVG}text"))


def lines_in(drawing: str, width_mm: float, *, dashed: bool = False) -> list[list[list[float]]]:
    """The points of the open lines of one width."""
    return [
        [[float(x), float(y)] for x, y in re.findall(r"([\d.-]+) ([\d.-]+)", each.attrib["d"])]
        for each in ET.fromstring(drawing).iter(f"{SVG}path")
        if float(each.attrib.get("stroke-width", 0)) == width_mm
        and each.attrib["fill"] == "none"
        and ("stroke-dasharray" in each.attrib) == dashed
    ]


def test_the_strike_is_heavy_and_the_reference_broken() -> None:
    drawing = strike_spectrum(beside(600))

    assert len(lines_in(drawing, svg.BOLD_MM)) == 2  # the strike, and its sample in the key
    assert len(lines_in(drawing, svg.LINE_MM, dashed=True)) == 2
    assert 'fill="url(#hatch-' in drawing


def test_a_higher_note_peaks_further_to_the_right() -> None:
    def peak(notes_hz: float) -> float:
        strike = max(lines_in(strike_spectrum(beside(notes_hz)), svg.BOLD_MM), key=len)
        return min(strike, key=lambda point: point[1])[0]

    assert peak(500) < peak(1000) < peak(4000)


def test_the_highest_line_of_a_strike_touches_the_top_and_none_falls_below_the_axis() -> None:
    strike = max(lines_in(strike_spectrum(beside(900)), svg.BOLD_MM), key=len)

    assert min(y for _, y in strike) == pytest.approx(9.0)
    assert max(y for _, y in strike) <= 9.0 + (120 - 15) * 0.45 + 1e-3


def test_the_drawing_says_in_words_what_it_shows() -> None:
    words = words_in(strike_spectrum(beside(600)))

    assert "rings on one note" in words
    assert "8 reference strikes" in words
    assert "Not validated on boats" in words


def test_a_strike_that_was_not_judged_says_why() -> None:
    words = words_in(strike_spectrum(beside(600, references=3)))

    assert "was not judged" in words
    assert "3 reference strikes" in words


def test_references_alone_are_drawn_where_the_strike_could_not_be_read() -> None:
    known = [ringing(600, 1200, seed=seed) for seed in range(6)]

    drawing = strike_spectrum(compared_sounds(wav(np.zeros(9000)), known))

    assert lines_in(drawing, svg.BOLD_MM) == []
    assert "empty" in words_in(drawing)


def test_nothing_read_is_nothing_drawn() -> None:
    with pytest.raises(ValueError, match="no spectrum to draw"):
        strike_spectrum(compared_sounds(wav(np.zeros(9000)), ()))


@pytest.mark.parametrize("width_mm", [90, 120, 170])
def test_no_word_runs_off_the_sheet(width_mm: float) -> None:
    root = ET.fromstring(strike_spectrum(beside(600), width_mm))
    _, _, wide, high = map(float, root.attrib["viewBox"].split())

    for each in root.iter(f"{SVG}text"):
        across = svg.text_width_mm(each.text or "", float(each.attrib["font-size"]))
        shift = {"start": 0, "middle": 0.5, "end": 1}[each.attrib["text-anchor"]]
        start = float(each.attrib["x"]) - shift * across
        assert start >= -0.5
        assert start + across <= wide + 0.5
        assert float(each.attrib["y"]) <= high


def test_a_narrow_sheet_is_refused() -> None:
    with pytest.raises(ValueError, match="80"):
        strike_spectrum(beside(600), 80)
