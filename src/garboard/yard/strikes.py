"""One recorded strike beside the reference strikes of its part, as soon as it was heard."""

from base64 import b64decode
from collections.abc import Sequence
from typing import Any

from garboard.methods.recordings import SUGGESTS, compared_sounds
from garboard.methods.strikes import DEFER, Comparison

MANY_REFERENCES = 8
"""Reference strikes of a part from which on they are many enough."""


def suggestion(sound: str, references: Sequence[str], *, unprocessed: bool) -> dict[str, Any]:
    """What a strike is suggested to be, how far that can be relied on, or why nothing is suggested.

    Args:
        sound: The WAV file of the strike, in base 64.
        references: Likewise of the strikes on structure of the same part known to be good.
        unprocessed: Whether the device's noise suppression, echo and gain control are known to have been off.
    """
    known = [b64decode(each) for each in references]
    found = compared_sounds(b64decode(sound), known, is_unprocessed=unprocessed)
    return {
        "heard": found.heard,
        "said": found.said,
        "why": found.why,
        "facts": _facts(found),
        "confidence": _confidence(found),
        "caution": f"{SUGGESTS} {DEFER}",
    }


def _facts(of: Comparison) -> str:
    if of.strike is None:
        return ""
    return (
        f"Loudest at {of.strike.dominant_hz:.0f} Hz; a tenth of its power is left after "
        f"{of.strike.decay_ms:.0f} ms."
    )


def _confidence(of: Comparison) -> str:
    if of.distance_db is None or of.distance_limit_db is None:
        return ""
    is_near = of.distance_db <= of.distance_limit_db
    beside = f"{of.distance_db:.1f} dB from the references, against a limit of {of.distance_limit_db:.1f} dB"
    words = (
        f"Note and distance agree: {beside}."
        if is_near == (of.heard == "as reference")
        else f"Weak, because note and distance do not agree: {beside}."
    )
    count = len(of.references)
    return (
        words
        if count >= MANY_REFERENCES
        else f"{words} Only {count} references; better {MANY_REFERENCES}."
    )
