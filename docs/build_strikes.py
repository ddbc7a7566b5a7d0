"""How well recorded strikes are told apart on made-up sounds: reckons docs/strikes.md anew.

    python docs/build_strikes.py

Struck plates come from demo/struck.py; nothing here was recorded on a boat.
"""

import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "demo"))
from struck import RATE_HZ, Signal, Synthesis, dull, hollow, recorded, sound

from garboard.methods.strikes import Comparison, Strike, compared, strike_of

PAGE = Path(__file__).parent / "strikes.md"
LOUDNESS_DB = (40, 30, 20, 16)
STRIKES, REFERENCES, SEED = 300, 8, 29
WORDS = ("as reference", "different, unexplained", "dull", "tonal", "not judged")
NAMES = {"sound": "sound panel", "hollow": "hollow disc", "dull": "soft panel"}
"""What was struck, as the pages call it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Strikes of one sort at one loudness above the noise."""

    made: str
    above_noise_db: float
    found: tuple[Comparison, ...]

    def distances_db(self) -> list[float]:
        """How far each judged strike lies from the references."""
        return [each.distance_db for each in self.found if each.distance_db is not None]


def readable(signal: Signal) -> Strike | None:
    """A strike as it is read, or nothing where it cannot be."""
    try:
        return strike_of(signal.tolist(), RATE_HZ)
    except ValueError:
        return None


def run(make: Synthesis, above_noise_db: float, strikes: int, seed: int) -> Run:
    """Strike as often, beside references of the same noise."""
    chance = np.random.default_rng(seed)

    def struck(of: Synthesis) -> Strike | None:
        return readable(recorded(of(chance), chance, above_noise_db))

    known: list[Strike] = []
    while len(known) < REFERENCES:
        known += [each] if (each := struck(sound)) else []
    found = [compared(each, known) for _ in range(strikes) if (each := struck(make))]
    return Run(made=make.__name__, above_noise_db=above_noise_db, found=tuple(found))


def area(sound_db: Sequence[float], other_db: Sequence[float]) -> float:
    """The chance that another strike lies farther off than a sound one: the area under the curve of the two rates."""
    farther = sum((b > a) + 0.5 * (b == a) for a in sound_db for b in other_db)
    return farther / (len(sound_db) * len(other_db))


def found_at(share: float, sound_db: Sequence[float], other_db: Sequence[float]) -> float:
    """The share of others beyond a limit that so large a share of sound strikes would pass falsely."""
    limit = sorted(sound_db)[min(len(sound_db) - 1, int((1 - share) * len(sound_db)))]
    return sum(each > limit for each in other_db) / len(other_db)


def page(strikes: int = STRIKES, seed: int = SEED) -> str:
    """The page, as Markdown."""
    makes: tuple[Synthesis, ...] = (sound, hollow, dull)
    runs = [
        run(make, db, strikes, seed + at) for at, db in enumerate(LOUDNESS_DB) for make in makes
    ]
    return _PAGE.format(
        strikes=strikes,
        references=REFERENCES,
        seed=seed,
        words="\n".join(_words(each, strikes) for each in runs),
        curve="\n".join(_curve(runs, db) for db in LOUDNESS_DB),
    )


def _words(of: Run, strikes: int) -> str:
    counts = Counter[str](each.heard for each in of.found)
    unread = strikes - len(of.found)
    cells = [counts.get(word, 0) + (unread if word == "not judged" else 0) for word in WORDS]
    return f"| {of.above_noise_db:g} | {NAMES[of.made]} | " + " | ".join(map(str, cells)) + " |"


def _curve(runs: Sequence[Run], db: float) -> str:
    by_name = {each.made: each.distances_db() for each in runs if each.above_noise_db == db}
    cells: list[str] = []
    for other in ("hollow", "dull"):
        pair = (by_name["sound"], by_name[other])
        cells += [
            f"{area(*pair):.3f}",
            f"{found_at(0.05, *pair):.0%}",
            f"{found_at(0.01, *pair):.0%}",
        ]
    return f"| {db:g} | " + " | ".join(cells) + " |"


_PAGE = """# Recorded strikes: what the figures prove, and what they do not

Made by `python docs/build_strikes.py` from sounds that plate theory gives (`demo/struck.py`), {strikes} strikes of each
sort, {references} reference strikes, seed {seed}.
**No strike here was recorded on a boat.**
The limits were set after looking at sounds of this same generator, so the figures show that the code does what was
meant; they are no measure of how well it finds anything in a hull.

What is struck:

- a *sound panel* of 0.5 by 0.7 m, 10 mm thick, supported at its edges, struck anywhere but along them;
- a *hollow disc*: a clamped round layer of 2.5 to 5 mm and 50 to 120 mm radius over a gap, struck in its middle;
- a *soft panel*: the first with 0.6 of its stiffness, damped six to twelve times as much, and a softer contact.

## What is suggested

The peak of a strike stands so many decibels above the noise.

| dB | struck | as reference | different, unexplained | dull | tonal | not judged |
| ---: | --- | ---: | ---: | ---: | ---: | ---: |
{words}

## How far apart they lie

The distance alone, over every limit it could be given: the area under the curve of strikes found over strikes wrongly
doubted (1 is perfect, 0.5 is guessing), and the share found where 5 % and 1 % of sound strikes are wrongly doubted.

| dB | hollow: area | found at 5 % | found at 1 % | soft: area | found at 5 % | found at 1 % |
| ---: | ---: | ---: | ---: | ---: | ---: | ---: |
{curve}

## What this does not prove

- That a hollow place of a boat sounds like the disc: real edges are neither clamped nor supported, water behind makes
  a loose layer dull or silent, and a blow off the middle rings otherwise.
- That a sound place sounds like the panel: stringers, bulkheads, tanks, cores and changes of thickness alter the note
  lawfully. Reference strikes are made on like structure, of the same boat, with the same hammer and distance.
- Anything about wind, a compressor, rain on a cover, or the echo of a shed: the noise here is even hiss.
- Anything about a given microphone: one with its own noise suppression is not judged at all, where that is known.
- The size, the depth or the chance of a delamination. Another method tells what lies under a strike that differs.

So the page says that a strike *differs from the reference strikes (tonal, dull, unexplained)*, and never what a place is.
The word for the place is the surveyor's.
"""


def main() -> None:
    """Write the page."""
    PAGE.write_text(page())


if __name__ == "__main__":
    main()
