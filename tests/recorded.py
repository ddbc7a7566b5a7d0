"""Recorded strikes for tests: a survey of them with their sounds, and WAV files of any make."""

import io
import wave
from hashlib import sha256
from typing import Any

import numpy as np
from cast import QUILLET, entry
from struck import RATE_HZ, Signal, recorded, sound

from garboard.methods.recordings import results
from garboard.methods.result import Result
from garboard.notebook.body import Place, Recording
from garboard.notebook.entry import Entry
from garboard.notebook.fold import fold

LAMINATE = Place(part="bottom-laminate", side="starboard", station_m=3.4, level_m=-0.6)
TOPSIDES = Place(part="topside-laminate", side="starboard", station_m=3.4, level_m=0.6)


def wav(signal: Signal, rate: int = RATE_HZ, width: int = 2, channels: int = 1) -> bytes:
    scaled = np.round(np.asarray(signal) * (2 ** (8 * width - 1) - 1)).astype("<i4")
    cut = np.repeat(scaled, channels).view(np.uint8).reshape(-1, 4)[:, :width]
    sound = io.BytesIO()
    with wave.open(sound, "wb") as file:
        file.setparams((channels, width, rate, 0, "NONE", ""))
        file.writeframes(cut.tobytes())
    return sound.getvalue()


class Struck:
    """A survey of recorded strikes, and their sounds."""

    def __init__(self) -> None:
        self.chance = np.random.default_rng(4)
        self.entries: list[Entry[Any]] = [entry(1, QUILLET)]
        self.sounds: dict[str, bytes] = {}

    def add(
        self,
        content: bytes,
        place: Place = LAMINATE,
        *,
        reference: bool = False,
        unprocessed: bool = True,
    ) -> None:
        digest = sha256(content).hexdigest()
        number = len(self.entries) + 1
        body = Recording(
            file=f"{number}.wav",
            sha256=digest,
            place=place,
            reference=reference,
            unprocessed=unprocessed,
        )
        self.entries.append(entry(number, body))
        self.sounds[digest] = content

    def references(self, count: int = 8, place: Place = LAMINATE, rate: int = RATE_HZ) -> None:
        for _ in range(count):
            self.add(
                wav(recorded(sound(self.chance), self.chance), rate), place=place, reference=True
            )

    def results(self) -> tuple[Result, ...]:
        return results(fold(self.entries), self.sounds)
