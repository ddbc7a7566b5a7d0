"""The spectrum of a short sound on the standard library alone, so that the browser's Python has it as well."""

from cmath import exp, pi
from collections.abc import Sequence
from functools import cache


def spectrum(samples: Sequence[float], length: int) -> list[complex]:
    """The discrete Fourier transform of real samples, from frequency 0 to half the rate.

    Two neighbouring samples are taken as one complex number; their transform, of half the length, is then parted.

    Args:
        samples: At most `length`; silence is added up to it.
        length: A power of two, 4 or more.

    Returns:
        `(length / 2 + 1,)` lines; line k lies at k times the rate over `length`.

    Raises:
        ValueError: The length is no power of two, or there are more samples.

    Source:
        Definition; a real signal in half the length after Brigham, The Fast Fourier Transform (1974), from memory.

    >>> [round(abs(each), 9) for each in spectrum((1, 0, -1, 0), 4)]
    [0.0, 2.0, 0.0]
    """
    if length < 4 or length & (length - 1):
        raise ValueError(f"A spectrum is taken over a power of two, not over {length}.")
    if len(samples) > length:
        raise ValueError(f"{len(samples)} samples do not go into a spectrum over {length}.")
    half = length // 2
    even = [*samples, 0.0] if len(samples) % 2 else samples
    pairs = [complex(a, b) for a, b in zip(even[::2], even[1::2], strict=True)]
    lines = _transform(pairs, half)
    lines.append(lines[0])
    mirrored = [each.conjugate() for each in reversed(lines)]
    turns = (*_turns(length), -1.0)
    return [
        (a + b) / 2 - 0.5j * turn * (a - b)
        for a, b, turn in zip(lines, mirrored, turns, strict=True)
    ]


def _transform(samples: list[complex], length: int) -> list[complex]:
    """The complex transform, samples and lines both in their own order.

    Each step halves the length of what is to be transformed and doubles how many of them there are, which lie
    interwoven; as long as the latter half is silence, it is not reckoned with.

    Source:
        The ordering is known by the name of Stockham; from memory, checked against NumPy.
    """
    lines = list(samples)
    woven = 1
    while woven < length:
        former, latter = lines[: length // 2], lines[length // 2 :]
        turns = _turns_of_step(length, woven)
        if latter:
            latter += [0j] * (len(former) - len(latter))
            sums = [a + b for a, b in zip(former, latter, strict=True)]
            rests = [(a - b) * turn for a, b, turn in zip(former, latter, turns, strict=True)]
        else:
            sums = former
            rests = [a * turn for a, turn in zip(former, turns, strict=False)]
        lines = []
        for at in range(0, len(sums), woven):
            lines += sums[at : at + woven]
            lines += rests[at : at + woven]
        woven *= 2
    return lines + [0j] * (length - len(lines))


@cache
def _turns(length: int) -> tuple[complex, ...]:
    """Half a turn, clockwise, in steps of a `length`-th of a whole one."""
    return tuple(exp(-2j * pi * each / length) for each in range(length // 2))


@cache
def _turns_of_step(length: int, woven: int) -> tuple[complex, ...]:
    turns = _turns(length)
    return tuple(turns[each // woven * woven] for each in range(length // 2))
