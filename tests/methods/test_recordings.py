import numpy as np
import pytest
from recorded import TOPSIDES, Struck, wav
from struck import dull, recorded, sound

from garboard.methods.recordings import recorded_strikes, results, samples_of
from garboard.notebook.fold import fold


@pytest.fixture
def struck() -> Struck:
    return Struck()


@pytest.mark.parametrize(("width", "tolerance"), [(2, 1e-4), (3, 1e-6), (4, 1e-8)])
def test_a_recording_is_read_as_it_was_made(width: int, tolerance: float) -> None:
    made = np.sin(np.linspace(0, 50, 400)) * 0.9

    samples, rate = samples_of(wav(made, 44_100, width))

    assert rate == 44_100
    assert samples == pytest.approx(made, abs=tolerance)


def test_of_two_channels_the_first_is_read() -> None:
    made = np.linspace(-0.9, 0.9, 50)

    samples, _ = samples_of(wav(made, channels=2))

    assert samples == pytest.approx(made, abs=1e-4)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "no uncompressed WAV file"),
        (b"OggS" + bytes(100), "no uncompressed WAV file"),
        (wav(np.zeros(100), width=1), "8 bits"),
        (wav(np.zeros(61 * 8000), rate=8000), "longer than a minute"),
    ],
)
def test_what_is_no_recording_of_a_strike_is_refused_in_words(content: bytes, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        samples_of(content)


def test_a_soft_place_is_beyond_and_a_sound_one_within(struck: Struck) -> None:
    struck.references()
    struck.add(wav(recorded(sound(struck.chance), struck.chance)))
    struck.add(wav(recorded(dull(struck.chance), struck.chance)))

    one, other = struck.results()

    assert one.verdict == "within"
    assert other.verdict == "beyond"
    assert other.value is not None
    assert other.criterion is not None
    assert other.value > other.criterion.limit


def test_a_strike_rests_on_itself_and_the_references_of_its_part(struck: Struck) -> None:
    struck.references()
    struck.references(place=TOPSIDES)
    struck.add(wav(recorded(dull(struck.chance), struck.chance)))

    (found,) = recorded_strikes(fold(struck.entries), struck.sounds)

    assert found.used == tuple(each.id for each in (struck.entries[-1], *struck.entries[1:9]))


def test_references_of_another_part_do_not_count(struck: Struck) -> None:
    struck.references(place=TOPSIDES)
    struck.add(wav(recorded(dull(struck.chance), struck.chance)))

    (found,) = struck.results()

    assert found.verdict == "cannot say"
    assert "0 reference strikes" in found.caveats[0]


def test_references_sampled_otherwise_do_not_count(struck: Struck) -> None:
    struck.references(rate=44_100)
    struck.add(wav(recorded(dull(struck.chance), struck.chance)))

    (found,) = struck.results()

    assert "0 reference strikes" in found.caveats[0]


def test_a_processed_recording_is_not_judged(struck: Struck) -> None:
    struck.references()
    struck.add(wav(recorded(dull(struck.chance), struck.chance)), unprocessed=False)

    (found,) = struck.results()

    assert found.verdict == "cannot say"
    assert "processed" in found.caveats[0]


def test_a_file_that_is_no_sound_is_answered_in_words(struck: Struck) -> None:
    struck.references()
    struck.add(b"not a sound")

    (found,) = struck.results()

    assert found.verdict == "cannot say"
    assert "no uncompressed WAV file" in found.caveats[0]


def test_nothing_is_said_of_a_sound_that_is_not_at_hand(struck: Struck) -> None:
    struck.references()
    struck.add(wav(recorded(dull(struck.chance), struck.chance)))

    assert results(fold(struck.entries)) == ()
