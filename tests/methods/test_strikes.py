from functools import cache

import numpy as np
import pytest
from cast import QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st
from recorded import wav
from struck import (
    LENGTH,
    RATE_HZ,
    SILENCE,
    Signal,
    Synthesis,
    dull,
    hollow,
    recorded,
    sound,
)

from garboard.methods import strikes
from garboard.methods.recordings import compared_sounds
from garboard.methods.result import Result
from garboard.methods.ringing import to_a_tenth_ms
from garboard.methods.strikes import (
    centroid_hz,
    dominant_hz,
    heard_as,
    note_share,
    roll_off_hz,
    strike_of,
)
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.fold import fold


@cache
def references(above_noise_db: float = 30) -> tuple[bytes, ...]:
    chance = np.random.default_rng(7)
    return tuple(wav(recorded(sound(chance), chance, above_noise_db)) for _ in range(8))


def share_heard(make: Synthesis, above_noise_db: float, count: int = 80) -> dict[str, float]:
    chance = np.random.default_rng(11)
    known = references(above_noise_db)
    heard = [
        compared_sounds(wav(recorded(make(chance), chance, above_noise_db)), known).heard
        for _ in range(count)
    ]
    return {word: heard.count(word) / count for word in set(heard)}


def decaying(frequency_hz: float, damping: float) -> Signal:
    time = np.arange(LENGTH) / RATE_HZ
    tone = np.exp(-damping * 2 * np.pi * frequency_hz * time) * np.sin(
        2 * np.pi * frequency_hz * np.sqrt(1 - damping**2) * time
    )
    return np.concatenate([np.zeros(SILENCE), 0.5 * tone])


def one_sound(seed: int = 3) -> Signal:
    chance = np.random.default_rng(seed)
    return recorded(sound(chance), chance)


@pytest.mark.parametrize("above_noise_db", [20, 30, 40])
def test_sound_panels_are_heard_as_the_reference(above_noise_db: float) -> None:
    assert share_heard(sound, above_noise_db)["as reference"] >= 0.95


@pytest.mark.parametrize("above_noise_db", [20, 30, 40])
def test_discs_over_a_disbond_are_heard_as_tonal(above_noise_db: float) -> None:
    assert share_heard(hollow, above_noise_db)["tonal"] >= 0.95


@pytest.mark.parametrize("above_noise_db", [20, 30, 40])
def test_soft_damped_panels_are_seldom_heard_as_the_reference(above_noise_db: float) -> None:
    heard = share_heard(dull, above_noise_db)

    assert heard.get("as reference", 0) <= 0.06
    assert heard["dull"] >= 0.55


def test_a_pure_ring_is_read_as_it_was_made() -> None:
    strike = strike_of(decaying(1400, 0.02), RATE_HZ)

    assert strike.dominant_hz == pytest.approx(1400, abs=5)
    assert strike.centroid_hz == pytest.approx(1388, abs=15)
    assert strike.note_share == pytest.approx(0.900, abs=0.02)
    assert strike.decay_ms == pytest.approx(to_a_tenth_ms(1400, 0.02), abs=0.5)


@given(st.floats(0.05, 1.9))
def test_turning_the_recording_up_or_down_changes_nothing(gain: float) -> None:
    plain, turned = (strike_of(one_sound() * each, RATE_HZ) for each in (1.0, gain))

    assert turned.centroid_hz == pytest.approx(plain.centroid_hz, rel=1e-6)
    assert turned.levels_db == pytest.approx(plain.levels_db, abs=1e-6)


@given(st.integers(0, 2000))
def test_more_silence_before_the_strike_changes_little(samples: int) -> None:
    # The noise is taken from the start of the recording, so its estimate moves a little.
    quiet = 1e-6 * np.random.default_rng(1).standard_normal(SILENCE + LENGTH + samples)
    late = np.concatenate([np.zeros(samples), decaying(900, 0.03)]) + quiet

    assert strike_of(late.tolist(), RATE_HZ).dominant_hz == pytest.approx(900, abs=5)


def test_the_rate_of_sampling_does_not_matter() -> None:
    time = np.arange(2 * LENGTH) / 44_100
    tone = 0.5 * np.exp(-100 * time) * np.sin(2 * np.pi * 1400 * time)
    slower = np.concatenate([np.zeros(SILENCE), tone])

    assert strike_of(slower.tolist(), 44_100).dominant_hz == pytest.approx(1400, abs=5)


@given(st.lists(st.floats(0, 1e3), min_size=3, max_size=40).filter(lambda each: sum(each) > 1e-3))
def test_what_is_read_off_a_spectrum_lies_within_it(powers: list[float]) -> None:
    frequencies = [200.0 + 10 * each for each in range(len(powers))]

    for read in (centroid_hz, dominant_hz, roll_off_hz):
        assert frequencies[0] - 1e-6 <= read(frequencies, powers) <= frequencies[-1] + 1e-6
    assert 0 <= note_share(frequencies, powers) <= 1 + 1e-12


def test_a_spectrum_without_power_is_refused() -> None:
    with pytest.raises(ValueError, match="not all of them 0"):
        centroid_hz([100, 200], [0, 0])
    with pytest.raises(ValueError, match="2 and 1 were given"):
        roll_off_hz([100, 200], [1])


def refused(signal: Signal) -> str:
    found = compared_sounds(wav(signal), references())
    assert found.heard == "not judged"
    return found.why


def test_a_clipped_strike_is_not_judged() -> None:
    assert "clipped" in refused(np.clip(4 * one_sound(), -1, 1))


def test_a_strike_in_the_noise_is_not_judged() -> None:
    chance = np.random.default_rng(5)

    assert "above the noise" in refused(recorded(sound(chance), chance, 10))


def test_a_bouncing_hammer_is_not_judged() -> None:
    twice = one_sound() + 0.8 * np.roll(one_sound(), round(0.04 * RATE_HZ))

    assert "bounces" in refused(twice)


def test_a_recording_that_begins_with_the_strike_is_not_judged() -> None:
    assert refused(one_sound()[SILENCE:])


def test_an_empty_recording_is_not_judged() -> None:
    assert "empty" in refused(np.zeros(5000))


def test_four_reference_strikes_are_too_few() -> None:
    found = compared_sounds(wav(one_sound()), references()[:4])

    assert found.heard == "not judged"
    assert "4 reference strikes" in found.why
    assert found.strike is not None


def test_unreadable_references_are_left_out() -> None:
    silent = wav(np.zeros(5000))

    found = compared_sounds(wav(one_sound()), (*references()[:4], silent, silent))

    assert "4 reference strikes" in found.why


def test_a_recording_the_device_processed_is_not_judged() -> None:
    found = compared_sounds(wav(one_sound()), references(), is_unprocessed=False)

    assert found.heard == "not judged"
    assert "processed" in found.why


def test_no_sentence_speaks_of_delamination() -> None:
    chance = np.random.default_rng(2)
    found = [
        compared_sounds(wav(recorded(make(chance), chance)), references())
        for make in (sound, hollow, dull)
    ]

    assert all(each.said for each in found)
    assert not any("delaminat" in each.said or "hollow" in each.said for each in found)


def test_shares_and_ratios_out_of_range_are_refused() -> None:
    with pytest.raises(ValueError, match=r"1\.2 and 0\.3"):
        heard_as(1.2, 1, 1, 1, 1, 0.3, 4)
    with pytest.raises(ValueError, match="0 or more"):
        heard_as(0.2, -1, 1, 1, 1, 0.3, 4)


def centroids(
    *found: str, references: int = 8, mode: str = "strike centroid"
) -> tuple[Result, ...]:
    place = Place(part="bottom-laminate", side="port", station_m=3.2, level_m=-0.4)
    readings = [
        Reading(place=place, as_read=str(1100 + 20 * each), reference=True)
        for each in range(references)
    ]
    body = ReadingSet(
        name="strikes",
        quantity="frequency",
        unit="Hz",
        instrument="phone",
        mode=mode,
        readings=(*readings, *(Reading(place=place, as_read=each) for each in found)),
    )
    return strikes.results(fold([entry(1, QUILLET), entry(2, body)]))


def test_a_strike_of_half_the_brightness_is_beyond_and_one_as_bright_within() -> None:
    assert [each.verdict for each in centroids("580", "1170")] == ["beyond", "within"]


def test_centroids_without_reference_strikes_cannot_be_judged() -> None:
    (found,) = centroids("580", references=2)

    assert found.verdict == "cannot say"
    assert "2 reference strikes" in found.caveats[0]


def test_frequencies_of_other_things_are_left_alone() -> None:
    assert centroids("50", mode="generator") == ()
