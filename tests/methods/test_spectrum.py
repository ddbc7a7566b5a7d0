import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.methods.spectrum import spectrum

SAMPLES = st.floats(-1, 1).map(lambda each: 0.0 if abs(each) < 1e-9 else each)


@settings(max_examples=60)
@given(st.lists(SAMPLES, max_size=64), st.sampled_from([64, 128, 1024]))
def test_every_line_is_that_of_numpy(samples: list[float], length: int) -> None:
    lines = spectrum(samples, length)

    theirs = np.fft.rfft(samples or [0.0], length)
    assert len(lines) == length // 2 + 1
    assert np.abs(np.array(lines) - theirs).max() <= 1e-9 * np.abs(theirs).max()


@pytest.mark.parametrize(("count", "length"), [(1024, 16_384), (941, 16_384), (2048, 32_768)])
def test_the_spectrum_of_a_strike_is_that_of_numpy(count: int, length: int) -> None:
    samples = np.random.default_rng(3).standard_normal(count).tolist()

    lines = spectrum(samples, length)

    theirs = np.fft.rfft(samples, length)
    assert np.abs(np.array(lines) - theirs).max() <= 1e-9 * np.abs(theirs).max()


def test_a_length_that_cannot_be_halved_to_the_end_is_refused() -> None:
    with pytest.raises(ValueError, match="power of two, not over 15053"):
        spectrum((1.0,), 15_053)


def test_samples_that_do_not_go_in_are_refused() -> None:
    with pytest.raises(ValueError, match="9 samples do not go into a spectrum over 8"):
        spectrum([0.0] * 9, 8)
