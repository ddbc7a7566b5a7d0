"""Recorded strikes: the sounds that the notebook holds, each beside the reference strikes of the same part.

A sound comes as the bytes of a WAV file; where its bytes are not at hand, nothing is said of it.
"""

import io
import sys
import wave
from array import array
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType

from garboard.methods.criteria import criteria
from garboard.methods.result import Result, Verdict, verdict_of
from garboard.methods.strikes import DEFER, Comparison, Strike, compared, not_judged, strike_of
from garboard.methods.zone import place_words
from garboard.notebook.body import Place, Recording
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

NO_SOUNDS: Mapping[str, bytes] = MappingProxyType({})

SUGGESTS = (
    "A suggestion where to listen again, not a verdict. No uncertainty can be given with it, for it was tried only "
    "on sounds made by reckoning."
)
"""Said wherever recorded strikes are compared."""

_LONGEST_S = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedStrike:
    """A recorded strike beside the references of its part; `used` are the ids of the recordings it rests on."""

    place: Place
    found: Comparison
    used: tuple[str, ...]


def samples_of(sound: bytes) -> tuple[list[float], int]:
    """The first channel of a WAV file, from -1 to 1, and its samples a second.

    Args:
        sound: The bytes of the file: uncompressed, 16, 24 or 32 bits.

    Raises:
        ValueError: It is no such file, or longer than a minute.
    """
    try:
        with wave.open(io.BytesIO(sound)) as file:
            channels, width, rate, count = file.getparams()[:4]
            if count > _LONGEST_S * rate:
                raise ValueError("The recording is longer than a minute; cut out the strike.")
            frames = file.readframes(count)
    except (wave.Error, EOFError) as problem:
        raise ValueError(f"The recording is no uncompressed WAV file ({problem}).") from None
    if width not in (2, 3, 4):
        raise ValueError(f"The recording has {8 * width} bits; 16, 24 or 32 are read.")
    # Each sample fills the top bytes of four, so that its sign stands where it belongs.
    frames = frames[: len(frames) // (width * channels) * width * channels]
    wide = bytearray(len(frames) // width * 4)
    for each in range(width):
        wide[4 - width + each :: 4] = frames[each::width]
    samples = array("i", bytes(wide))
    if sys.byteorder == "big":
        samples.byteswap()
    return [each / 2.0**31 for each in samples[::channels]], rate


def compared_sounds(
    sound: bytes, references: Iterable[bytes], *, is_unprocessed: bool = True
) -> Comparison:
    """The sound of one strike beside those of the reference strikes of like structure.

    Args:
        sound: The bytes of a WAV file that holds the strike alone, with 20 ms of silence before.
        references: Likewise, of strikes on structure known to be good; those that cannot be read, or were sampled at
            another rate, are left out.
        is_unprocessed: Whether the device's noise suppression, echo and gain control are known to have been off.
    """
    read = [found for each in references if (found := _readable(each))]
    if not is_unprocessed:
        known = [strike for strike, _ in read]
        return not_judged("The recording was processed by the device, or may have been.", known)
    try:
        strike, rate_hz = _read(sound)
    except ValueError as problem:
        return not_judged(str(problem), [strike for strike, _ in read])
    return compared(strike, [known for known, of_hz in read if of_hz == rate_hz])


# The references of a part are heard beside each of its strikes, and all of them again on the next page.
@lru_cache(maxsize=1024)
def _read(sound: bytes) -> tuple[Strike, int]:
    samples, rate_hz = samples_of(sound)
    return strike_of(samples, rate_hz), rate_hz


def _readable(sound: bytes) -> tuple[Strike, int] | None:
    try:
        return _read(sound)
    except ValueError:
        return None


def recorded_strikes(
    survey: Survey, sounds: Mapping[str, bytes] = NO_SOUNDS
) -> tuple[RecordedStrike, ...]:
    """Each recorded strike that is no reference, in the order of the notebook.

    Args:
        survey: The survey.
        sounds: The bytes of the sounds at hand, by SHA-256.
    """
    at_hand = [each for each in survey.of(Recording) if each.body.sha256 in sounds]
    references: dict[str, list[Entry[Recording]]] = defaultdict(list)
    for entry in at_hand:
        if entry.body.reference:
            references[entry.body.place.part].append(entry)
    return tuple(
        _beside(entry, references[entry.body.place.part], sounds)
        for entry in at_hand
        if not entry.body.reference
    )


def results(survey: Survey, sounds: Mapping[str, bytes] = NO_SOUNDS) -> tuple[Result, ...]:
    """How far each recorded strike lies from its references."""
    return tuple(_result(each) for each in recorded_strikes(survey, sounds))


def _beside(
    entry: Entry[Recording], references: Sequence[Entry[Recording]], sounds: Mapping[str, bytes]
) -> RecordedStrike:
    known = [sounds[each.body.sha256] for each in references if each.body.unprocessed]
    return RecordedStrike(
        place=entry.body.place,
        found=compared_sounds(
            sounds[entry.body.sha256], known, is_unprocessed=entry.body.unprocessed
        ),
        used=(entry.id, *(each.id for each in references)),
    )


def _result(of: RecordedStrike) -> Result:
    found = of.found
    if found.distance_db is None or found.distance_limit_db is None or found.strike is None:
        return Result(
            method="strikes.heard_as",
            what=f"recorded strike at {place_words(of.place)}",
            value=None,
            unit="dB",
            verdict="cannot say",
            used=of.used,
            uncertainty_why="not computed",
            place=of.place,
            caveats=(f"{found.said} {found.why}".strip(), DEFER),
        )
    limit = replace(criteria()["strikes-apart"], limit=round(found.distance_limit_db, 1))
    by_distance = verdict_of(found.distance_db, None, limit)
    by_rule: Verdict = "within" if found.heard == "as reference" else "beyond"
    return Result(
        method="strikes.heard_as",
        what=f"recorded strike at {place_words(of.place)}, suggested: {found.heard}",
        value=found.distance_db,
        unit="dB",
        verdict=by_rule if by_rule == by_distance else "at the limit",
        used=of.used,
        uncertainty_why="the comparison was never tried on boats that were then opened up",
        criterion=limit,
        place=of.place,
        caveats=(
            f"{found.said} The middle of its sound lies at {found.strike.centroid_hz:.0f} Hz, its loudest at "
            f"{found.strike.dominant_hz:.0f} Hz; a tenth of its power is left after {found.strike.decay_ms:.0f} ms.",
            SUGGESTS,
            DEFER,
        ),
    )
