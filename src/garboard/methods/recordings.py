"""Recorded strikes: the sounds that the notebook holds, each beside the reference strikes of the same part.

A sound comes as the bytes of a WAV file; where its bytes are not at hand, nothing is said of it.
"""

import io
import wave
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from garboard.methods.criteria import criteria
from garboard.methods.result import Result, Verdict, verdict_of
from garboard.methods.strikes import DEFER, Comparison, compared
from garboard.methods.zone import place_words
from garboard.notebook.body import Place, Recording
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Samples = NDArray[Any]

NO_SOUNDS: Mapping[str, bytes] = MappingProxyType({})

_LONGEST_S = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedStrike:
    """A recorded strike beside the references of its part; `used` are the ids of the recordings it rests on."""

    place: Place
    found: Comparison
    used: tuple[str, ...]


def samples_of(sound: bytes) -> "tuple[Samples, int]":
    """The first channel of a WAV file, from -1 to 1, and its samples a second.

    Args:
        sound: The bytes of the file: uncompressed, 16, 24 or 32 bits.

    Raises:
        ValueError: It is no such file, or longer than a minute.
    """
    import numpy as np

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
    whole = len(frames) // (width * channels) * channels
    wide = np.zeros((whole, 4), np.uint8)
    wide[:, 4 - width :] = np.frombuffer(frames[: whole * width], np.uint8).reshape(whole, width)
    return wide.view("<i4").reshape(-1, channels)[:, 0] / 2.0**31, rate


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
    used = (entry.id, *(each.id for each in references))
    try:
        strike, rate = samples_of(sounds[entry.body.sha256])
    except ValueError as problem:
        found = Comparison(
            heard="not judged",
            said="The strike was not judged.",
            strike=None,
            references=(),
            why=str(problem),
        )
        return RecordedStrike(place=entry.body.place, found=found, used=used)
    known = [
        samples
        for each in references
        for samples in _at_rate(sounds[each.body.sha256], rate)
        if each.body.unprocessed
    ]
    found = compared(strike, known, rate, is_unprocessed=entry.body.unprocessed)
    return RecordedStrike(place=entry.body.place, found=found, used=used)


def _at_rate(sound: bytes, rate_hz: int) -> "tuple[Samples, ...]":
    """A reference that can be read and was sampled alike, or nothing."""
    try:
        samples, rate = samples_of(sound)
    except ValueError:
        return ()
    return (samples,) if rate == rate_hz else ()


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
        what=f"recorded strike at {place_words(of.place)}: {found.heard}",
        value=found.distance_db,
        unit="dB",
        verdict=by_rule if by_rule == by_distance else "at the limit",
        used=of.used,
        uncertainty_why="the limit is twice the middle distance of the references from each other",
        criterion=limit,
        place=of.place,
        caveats=(
            f"{found.said} Centroid {found.strike.centroid_hz:.0f} Hz, strongest at "
            f"{found.strike.dominant_hz:.0f} Hz, a tenth of its power after {found.strike.decay_ms:.0f} ms.",
            DEFER,
        ),
    )
