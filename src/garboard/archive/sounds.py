"""The sounds of recorded strikes, fetched for the methods, which read no files."""

from collections.abc import Mapping
from pathlib import Path

from garboard.notebook.body import Recording
from garboard.notebook.fold import Survey


def sounds_of(survey: Survey, originals: Mapping[str, Path]) -> Mapping[str, bytes]:
    """The bytes of the recorded strikes that are at hand, by SHA-256."""
    wanted = {each.sha256 for each in survey.bodies(Recording)}
    return {each: originals[each].read_bytes() for each in sorted(wanted & originals.keys())}
