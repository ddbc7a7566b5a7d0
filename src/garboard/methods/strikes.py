"""Strikes as a microphone hears them, beside strikes on structure known to be good.

A recording says that a strike differs from the boat's own reference strikes, and how (tonal, dull, unexplained); the
word for the place stays the surveyor's. It is an aid beside the ear, proved only on signals made from this same plate
theory, not on boats. A set of frequencies whose mode speaks of strikes holds the centroid of each, references marked.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import ceil, cos, floor, log, log2, log10, pi, sqrt
from statistics import fmean, median
from types import MappingProxyType
from typing import Literal

from garboard.methods.campaign import latest
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.result import Result, verdict_of
from garboard.methods.spectrum import spectrum
from garboard.methods.zone import place_words
from garboard.notebook.body import ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Heard = Literal["as reference", "tonal", "dull", "different, unexplained", "not judged"]

WINDOW = 1024
LEAD = 24
"""Samples of a strike that are read, and of them before its onset; at 48 kHz 21.3 and 0.5 ms."""

LOW_HZ, HIGH_HZ = 200.0, 10_000.0
"""What the microphone of a phone can be trusted with; common practice."""

QUIETEST_DB = 15.0
FEWEST_REFERENCES = 5
FULL_SCALE = 0.999
BOUNCE_S = 0.060

DEFER = (
    "Not validated on boats. Stringers, bulkheads, tanks, cores and thickness change the note lawfully: reference "
    "strikes are made on like structure, and another method tells what lies under a strike that differs."
)

# At 48 kHz; at other rates the next power of two.
_TRANSFORM = 16_384
_FADE = 256
_NOISE_S = 0.005
_FLOOR_DB = -40.0
_THIRD_OCTAVES_HZ = tuple(1000.0 * 2 ** (each / 3) for each in range(-6, 10))


# The spectrum of a strike


@method(
    name="Centroid of a spectrum",
    what_for="How bright a strike is.",
    symbols={
        "frequencies_hz": "Hz, rising",
        "powers": "any one unit",
        "result": "Hz, weighed by power",
    },
    limits="Within the band given; noise taken off before.",
    source="definition",
    standing="common practice",
    text="read",
)
def centroid_hz(frequencies_hz: Sequence[float], powers: Sequence[float]) -> float:
    """Mean frequency weighed by power.

    Args:
        frequencies_hz: `(n,)` Hz, rising.
        powers: `(n,)` 0 or more, not all 0.

    Returns:
        Hz.

    Raises:
        ValueError: The two do not go together, or there is no power.

    >>> centroid_hz((500, 1000, 2000), (1, 2, 1))
    1125.0
    """
    _require_spectrum(frequencies_hz, powers)
    together = zip(frequencies_hz, powers, strict=True)
    return sum(hz * power for hz, power in together) / sum(powers)


@method(
    name="Dominant frequency",
    what_for="The note that stands out.",
    symbols={
        "frequencies_hz": "Hz, rising, evenly spaced",
        "powers": "any one unit",
        "result": "Hz",
    },
    limits="The highest peak, refined by a parabola through its neighbours' logarithms.",
    source="definition; interpolation by common practice",
    standing="common practice",
    text="read",
)
def dominant_hz(frequencies_hz: Sequence[float], powers: Sequence[float]) -> float:
    """The frequency of the greatest power, between the lines of the spectrum.

    Args:
        frequencies_hz: `(n,)` Hz, rising, evenly spaced.
        powers: `(n,)` 0 or more, not all 0.

    Returns:
        Hz.

    Raises:
        ValueError: The two do not go together, or there is no power.

    >>> dominant_hz((900, 1000, 1100), (1, 4, 1))
    1000.0
    """
    _require_spectrum(frequencies_hz, powers)
    peak = powers.index(max(powers))
    if not 0 < peak < len(powers) - 1 or min(powers[peak - 1], powers[peak + 1]) <= 0:
        return frequencies_hz[peak]
    before, at, after = (log(each) for each in powers[peak - 1 : peak + 2])
    bend = before - 2 * at + after
    along = 0.0 if bend == 0 else 0.5 * (before - after) / bend
    return frequencies_hz[peak] + along * (frequencies_hz[peak + 1] - frequencies_hz[peak])


@method(
    name="Share in one note",
    what_for="Whether a strike rings on one note, as a hollow place does.",
    symbols={"frequencies_hz": "Hz, rising", "powers": "any one unit", "result": "0 to 1"},
    limits="Within 60 Hz or 12 % of the dominant frequency, whichever is more: a working choice.",
    source="definition",
    standing="working figure",
    text="read",
)
def note_share(frequencies_hz: Sequence[float], powers: Sequence[float]) -> float:
    """Power near the dominant frequency over all power.

    Args:
        frequencies_hz: `(n,)` Hz, rising.
        powers: `(n,)` 0 or more, not all 0.

    Returns:
        0 to 1.

    Raises:
        ValueError: The two do not go together, or there is no power.

    >>> note_share((500, 1000, 2000), (1, 2, 1))
    0.5
    """
    note_hz = dominant_hz(frequencies_hz, powers)
    reach_hz = max(60.0, 0.12 * note_hz)
    first = bisect_left(frequencies_hz, note_hz - reach_hz)
    after = bisect_right(frequencies_hz, note_hz + reach_hz)
    return sum(powers[first:after]) / sum(powers)


@method(
    name="Roll-off",
    what_for="Below which frequency nearly all of a strike lies.",
    symbols={"frequencies_hz": "Hz, rising", "powers": "any one unit", "result": "Hz"},
    limits="Nine tenths of the power, a working choice.",
    source="definition",
    standing="working figure",
    text="read",
)
def roll_off_hz(frequencies_hz: Sequence[float], powers: Sequence[float]) -> float:
    """The first frequency at which nine tenths of the power lie below or at it.

    Args:
        frequencies_hz: `(n,)` Hz, rising.
        powers: `(n,)` 0 or more, not all 0.

    Returns:
        Hz.

    Raises:
        ValueError: The two do not go together, or there is no power.

    >>> roll_off_hz((500, 1000, 2000, 4000), (5, 3, 1, 1))
    2000
    """
    _require_spectrum(frequencies_hz, powers)
    rising = list(accumulate(powers))
    return frequencies_hz[bisect_left(rising, 0.9 * rising[-1] * (1 - 1e-12))]


def _require_spectrum(frequencies_hz: Sequence[float], powers: Sequence[float]) -> None:
    if len(frequencies_hz) != len(powers) or not powers:
        raise ValueError(
            f"Each frequency needs its power; {len(frequencies_hz)} and {len(powers)} were given."
        )
    if min(powers) < 0 or max(powers) <= 0:
        raise ValueError("A spectrum has powers of 0 or more, and not all of them 0.")


@method(
    name="Rule for a strike",
    what_for="Whether a strike is like the reference strikes, tonal as a hollow place, or dull.",
    symbols={
        "note_share": "of the strike, 0 to 1",
        "roll_off_ratio": "strike over reference",
        "centroid_ratio": "strike over reference",
        "decay_ratio": "strike over reference",
        "distance_db": "root mean square of the third-octave differences, dB",
        "reference_share": "of the reference, 0 to 1",
        "distance_limit_db": "as far as the references lie apart, dB",
        "result": "as reference, tonal, dull, or different, unexplained",
    },
    limits=(
        "Limits set on signals made from plate theory, not validated on boats; there soft places struck in the very "
        "middle came out as different more often than as dull. It speaks of strikes, never of the chance of a "
        "delamination."
    ),
    source="rules and limits of this library",
    standing="working figure",
    text="read",
    defer=DEFER,
)
def heard_as(
    note_share: float,
    roll_off_ratio: float,
    centroid_ratio: float,
    decay_ratio: float,
    distance_db: float,
    reference_share: float,
    distance_limit_db: float,
) -> Heard:
    """The first rule that fits: tonal, dull, as reference, else different.

    Args:
        note_share: Of the strike, 0 to 1.
        roll_off_ratio: Above 0.
        centroid_ratio: Above 0.
        decay_ratio: 0 or more.
        distance_db: 0 or more.
        reference_share: 0 to 1.
        distance_limit_db: 0 or more.

    Returns:
        The rule's word.

    Raises:
        ValueError: A value is out of its range.

    >>> heard_as(0.9, 0.3, 0.5, 3.0, 12.0, 0.26, 4.0)
    'tonal'
    """
    if not (0 <= note_share <= 1 and 0 <= reference_share <= 1):
        raise ValueError(
            f"Shares lie from 0 to 1; {note_share:g} and {reference_share:g} were given."
        )
    if min(roll_off_ratio, centroid_ratio, decay_ratio, distance_db, distance_limit_db) < 0:
        raise ValueError("Ratios and distances are 0 or more.")
    if note_share >= 0.70 and note_share - reference_share >= 0.30:
        return "tonal"
    if roll_off_ratio <= 0.65 and centroid_ratio <= 0.80 and decay_ratio <= 0.80:
        return "dull"
    alike = 0.75 <= centroid_ratio <= 1.35 and 0.65 <= roll_off_ratio <= 1.5
    return "as reference" if distance_db <= distance_limit_db or alike else "different, unexplained"


@dataclass(frozen=True, slots=True, kw_only=True)
class Strike:
    """What is read off one strike.

    `levels_db` are third-octave levels from 250 Hz to 8 kHz relative to the whole; `lines` the spectrum itself, Hz and
    dB below its highest line, for drawing; `decay_ms` the time to a tenth of the power.
    """

    centroid_hz: float
    dominant_hz: float
    note_share: float
    roll_off_hz: float
    decay_ms: float
    above_noise_db: float
    levels_db: tuple[float, ...]
    lines: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """One strike beside the reference strikes.

    `why` says why it was not judged; `strike` is None where nothing could be read off it.
    """

    heard: Heard
    said: str
    strike: Strike | None
    references: tuple[Strike, ...]
    distance_db: float | None = None
    distance_limit_db: float | None = None
    why: str = ""


def strike_of(samples: Sequence[float], rate_hz: float) -> Strike:
    """Read one strike off a recording that holds it alone, with 20 ms of silence before.

    Args:
        samples: `(n,)` between -1 and 1, uncompressed, without the device's own processing.
        rate_hz: Samples a second, 32,000 to 96,000.

    Raises:
        ValueError: Too loud, too near the noise, more than one strike, or too short: with what to do about it.
    """
    if not 32_000 <= rate_hz <= 96_000:
        raise ValueError(f"A strike is recorded at 32 to 96 kHz, not at {rate_hz / 1000:g}.")
    noise, onset = _onset(samples, rate_hz)
    window = round(WINDOW * rate_hz / 48_000)
    start = onset - round(LEAD * rate_hz / 48_000)
    if start < 0 or start + window > len(samples):
        raise ValueError(
            "The recording begins or ends within the strike; leave 20 ms before it and 40 ms after."
        )
    fade = round(_FADE * rate_hz / 48_000)
    shape = [1.0] * (window - fade)
    shape += [0.5 * (1 + cos(pi * each / fade)) for each in range(1, fade + 1)]
    piece = samples[start : start + window]
    middle = fmean(piece)
    shaped = [(each - middle) * weight for each, weight in zip(piece, shape, strict=True)]
    hiss = noise**2 * sum(weight**2 for weight in shape)
    frequencies, power = _powers(shaped, hiss, rate_hz)
    if max(power) <= 0:
        raise ValueError(
            "Nothing of the strike lies between 200 Hz and 10 kHz; strike again nearer."
        )
    return Strike(
        centroid_hz=centroid_hz(frequencies, power),
        dominant_hz=dominant_hz(frequencies, power),
        note_share=note_share(frequencies, power),
        roll_off_hz=roll_off_hz(frequencies, power),
        decay_ms=_decay_ms(samples[start:], noise, rate_hz),
        above_noise_db=20 * log10(max(abs(each) for each in samples) / noise),
        levels_db=_levels_db(frequencies, power),
        lines=_lines(frequencies, power),
    )


def compared(strike: Strike, known: Sequence[Strike]) -> Comparison:
    """One strike beside the reference strikes of like structure.

    Args:
        strike: As read by `strike_of`.
        known: Strikes on structure known to be good, five or more, better eight.
    """
    if len(known) < FEWEST_REFERENCES:
        return not_judged(
            f"{len(known)} reference strikes can be read; {FEWEST_REFERENCES} or more are needed, better eight.",
            known,
            strike,
        )
    middle = [median(levels) for levels in zip(*(each.levels_db for each in known), strict=True)]
    apart = [_distance_db(each.levels_db, middle) for each in known]
    limit_db = max(2 * median(apart), 4.0)
    distance_db = _distance_db(strike.levels_db, middle)
    heard = heard_as(
        note_share=strike.note_share,
        roll_off_ratio=strike.roll_off_hz / median(each.roll_off_hz for each in known),
        centroid_ratio=strike.centroid_hz / median(each.centroid_hz for each in known),
        decay_ratio=strike.decay_ms / median(each.decay_ms for each in known),
        distance_db=distance_db,
        reference_share=median(each.note_share for each in known),
        distance_limit_db=limit_db,
    )
    return Comparison(
        heard=heard,
        said=_SAID[heard],
        strike=strike,
        references=tuple(known),
        distance_db=distance_db,
        distance_limit_db=limit_db,
    )


_SAID: Mapping[Heard, str] = MappingProxyType(
    {
        "as reference": "The strike is not told from the reference strikes.",
        "tonal": "The strike differs from the reference strikes: it rings on one note.",
        "dull": "The strike differs from the reference strikes: it is darker and shorter.",
        "different, unexplained": "The strike differs from the reference strikes, in a way not explained.",
    }
)


def not_judged(why: str, known: Sequence[Strike] = (), strike: Strike | None = None) -> Comparison:
    """A strike about which nothing is said, and why."""
    return Comparison(
        heard="not judged",
        said="The strike was not judged.",
        strike=strike,
        references=tuple(known),
        why=why,
    )


def _onset(heard: Sequence[float], rate_hz: float) -> tuple[float, int]:
    """Root mean square of the noise, and the sample at which the strike begins."""
    quiet = round(_NOISE_S * rate_hz)
    loud = [abs(each) for each in heard]
    peak = max(loud, default=0.0)
    if len(heard) < quiet + WINDOW or peak <= 0:
        raise ValueError("The recording is too short or empty; leave 20 ms before the strike.")
    if any(min(three) >= FULL_SCALE for three in zip(loud, loud[1:], loud[2:], strict=False)):
        raise ValueError(
            "The recording is too loud and clipped; strike farther off or turn it down."
        )
    noise = max(sqrt(fmean(each**2 for each in loud[:quiet])), 1e-9)
    if 20 * log10(peak / noise) < QUIETEST_DB:
        raise ValueError(
            f"The strike stands less than {QUIETEST_DB:.0f} dB above the noise; strike nearer, or where it is quieter."
        )
    risen = max(6 * noise, 0.1 * peak)
    onset = next((at for at, each in enumerate(loud) if each > risen), 0)
    if _bounced(loud, onset, rate_hz):
        raise ValueError("Two strikes lie within 60 ms, as when a hammer bounces; strike again.")
    return noise, onset


def _bounced(loud: Sequence[float], onset: int, rate_hz: float) -> bool:
    """Whether a second blow begins soon after the first: the envelope rises again by half of the peak."""
    step = round(0.002 * rate_hz)
    until = min(len(loud), onset + round(BOUNCE_S * rate_hz))
    blocks = [max(loud[at : at + step]) for at in range(onset, until - step + 1, step)]
    lowest = accumulate(blocks, min)
    return any(
        now > 0.5 * max(blocks) and now > 3 * low for now, low in zip(blocks, lowest, strict=True)
    )


def _powers(
    shaped: Sequence[float], hiss: float, rate_hz: float
) -> tuple[list[float], list[float]]:
    """The frequencies of the band, Hz, and the power at each with that of the noise taken off."""
    length = 1 << ceil(log2(_TRANSFORM * rate_hz / 48_000))
    step_hz = rate_hz / length
    first, last = ceil(LOW_HZ / step_hz), floor(HIGH_HZ / step_hz)
    lines = spectrum(shaped, length)[first : last + 1]
    power = [each.real**2 + each.imag**2 for each in lines]
    return (
        [step_hz * each for each in range(first, last + 1)],
        [0.0 if each < 4 * hiss else each - hiss for each in power],
    )


def _decay_ms(heard: Sequence[float], noise: float, rate_hz: float) -> float:
    """From the peak of the mean square over 2 ms to a tenth of it."""
    width = round(0.002 * rate_hz)
    before, after = [0.0] * (width // 2), [0.0] * ((width - 1) // 2)
    squares = [*before, *(each**2 - noise**2 for each in heard), *after]
    sums = list(accumulate(squares, initial=0.0))
    envelope = [till - since for since, till in zip(sums, sums[width:], strict=False)]
    most = max(envelope)
    peak = envelope.index(most)
    falling = range(peak, len(envelope))
    below = next((at for at in falling if envelope[at] < 0.1 * most), len(envelope))
    return 1000 * (below - peak) / rate_hz


def _levels_db(frequencies: Sequence[float], power: Sequence[float]) -> tuple[float, ...]:
    total = sum(power)
    found = []
    for centre in _THIRD_OCTAVES_HZ:
        inside = _between(frequencies, power, centre * 2 ** (-1 / 6), centre * 2 ** (1 / 6))
        share = sum(inside) / total
        found.append(max(_FLOOR_DB, 10 * log10(share)) if share > 0 else _FLOOR_DB)
    return tuple(found)


def _lines(frequencies: Sequence[float], power: Sequence[float]) -> tuple[tuple[float, float], ...]:
    """The spectrum in steps of a twenty-fourth of an octave, dB below its highest."""
    edges = [LOW_HZ * 2 ** (each / 24) for each in range(137)]
    found = [
        (sqrt(low * high), fmean(inside))
        for low, high in pairwise(edges)
        if (inside := _between(frequencies, power, low, high))
    ]
    most = max(each for _, each in found)
    return tuple(
        (hz, max(_FLOOR_DB, 10 * log10(each / most)) if each > 0 else _FLOOR_DB)
        for hz, each in found
    )


def _between(
    frequencies: Sequence[float], power: Sequence[float], low_hz: float, high_hz: float
) -> Sequence[float]:
    return power[bisect_left(frequencies, low_hz) : bisect_left(frequencies, high_hz)]


def _distance_db(one: Sequence[float], other: Sequence[float]) -> float:
    return sqrt(sum((a - b) ** 2 for a, b in zip(one, other, strict=True)) / len(one))


# From the survey


def results(survey: Survey) -> tuple[Result, ...]:
    """For each strike of a set of centroids: its brightness over that of the reference strikes."""
    return tuple(
        result
        for entry in latest(survey, "frequency")
        if "strike" in entry.body.mode.casefold()
        for result in _of_set(entry)
    )


def _of_set(entry: Entry[ReadingSet]) -> tuple[Result, ...]:
    known = [each.value for each in entry.body.readings if each.reference and each.value > 0]
    judged = [each for each in entry.body.readings if not each.reference]
    limit = criteria()["strikes-darker"]
    if len(known) < FEWEST_REFERENCES:
        return (
            Result(
                method="strikes.centroid_hz",
                what=f"brightness of {len(judged)} strikes of {entry.body.name}",
                value=None,
                unit="times the reference",
                verdict="cannot say",
                used=(entry.id,),
                caveats=(
                    f"{len(known)} reference strikes on good structure are too few; make {FEWEST_REFERENCES} or "
                    "more, better eight, on like structure.",
                ),
            ),
        )
    middle = median(known)
    doubt = _scatter(known) / middle
    return tuple(
        Result(
            method="strikes.centroid_hz",
            what=f"brightness of the strike at {place_words(reading.place)}",
            value=reading.value / middle,
            unit="times the reference",
            verdict=verdict_of(reading.value / middle, doubt, limit),
            used=(entry.id,),
            uncertainty=doubt,
            criterion=limit,
            place=reading.place,
            caveats=(
                f"The middle of its sound lies at {reading.value:.0f} Hz, that of {len(known)} reference strikes at "
                f"{middle:.0f} Hz; brightness alone does not tell hollow from dull.",
                DEFER,
            ),
        )
        for reading in judged
    )


def _scatter(known: Sequence[float]) -> float:
    """Standard uncertainty of the middle of the references, from their median deviation."""
    middle = median(known)
    return 1.4826 * median(abs(each - middle) for each in known) / sqrt(len(known))
