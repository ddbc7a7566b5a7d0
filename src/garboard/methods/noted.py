"""What the words beside a reading say it is: those of its place, of its set's name and of its scale."""

import re

from garboard.methods.measured import Measured


def says(read: Measured, *words: str) -> bool:
    """Whether one of some words stands beside a reading, as a whole word, in any case."""
    said = re.findall(r"[a-z]+", f"{read.named} {read.scale}".casefold())
    return not set(words).isdisjoint(said)
