"""Strikes as plate theory has them: panels, panels gone soft, and discs over a disbond, struck and recorded.

    python demo/struck.py

writes the recorded strikes of the demo's sloop, of an invented laminate. The tests of the methods strike the same
plates.
"""

import csv
import wave
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from scipy.special import i0, i1, j0, j1

from garboard.methods.ringing import bending_stiffness_nm, contact_ms, disbond_spring_n_per_m

RATE_HZ = 48_000
OVERSAMPLED = 2
LENGTH = 8192
SILENCE = 960
KEPT = 5760
HAMMER_KG, CONTACT_N_PER_M = 0.03, 3e6
DENSITY, MODULUS_GPA = 1600.0, 9.0
DISC_ROOTS = np.array([3.19622, 6.30644, 9.43950, 12.57713, 15.71644])

Signal = Any
Synthesis = Callable[[np.random.Generator], Signal]


def rung(modes: Signal, weights: Signal, loss: float, contact_s: float) -> Signal:
    """The sound of a half-sine blow on a set of modes, its peak at one half, after 20 ms of silence."""
    rate = RATE_HZ * OVERSAMPLED
    length = 2 * LENGTH * OVERSAMPLED
    hertz = np.fft.rfftfreq(length, 1 / rate)
    heard = hertz < 20_000
    omega = 2 * np.pi * hertz[heard]
    time = np.arange(length) / rate
    force = np.fft.rfft(np.where(time < contact_s, np.sin(np.pi * time / contact_s), 0.0))[heard]
    own = (2 * np.pi * modes)[:, None]
    moved = (weights[:, None] * -(omega**2) / (own**2 - omega**2 + 1j * loss * own * omega)).sum(0)
    spectrum = np.zeros(len(hertz), complex)
    spectrum[heard] = moved * force
    sound = np.fft.irfft(spectrum, length)[::OVERSAMPLED][:LENGTH]
    return np.concatenate([np.zeros(SILENCE), 0.5 * sound / np.abs(sound).max()])


def panel(chance: np.random.Generator, *, modulus_gpa: float, loss: float, spring: float) -> Signal:
    """A supported panel of 0.7 by 0.5 m and 10 mm, struck anywhere but along its edges."""
    mass = DENSITY * 0.010
    root = np.sqrt(bending_stiffness_nm(modulus_gpa, 10) / mass)
    m, n = (each.ravel() for each in np.meshgrid(np.arange(1, 60), np.arange(1, 60)))
    modes = np.pi / 2 * ((m / 0.7) ** 2 + (n / 0.5) ** 2) * root
    x, y = chance.uniform(0.2, 0.8, 2)
    volume = (1 - (-1.0) ** m) * (1 - (-1.0) ** n) / (m * n)
    weights = volume * np.sin(m * np.pi * x) * np.sin(n * np.pi * y)
    kept = (modes < 15_000) & (volume > 0)
    return rung(modes[kept], weights[kept], loss, contact_ms(HAMMER_KG, spring) / 1000)


def sound(chance: np.random.Generator) -> Signal:
    loss = 0.04 * np.exp(0.2 * chance.standard_normal())
    return panel(chance, modulus_gpa=MODULUS_GPA, loss=loss, spring=CONTACT_N_PER_M)


def dull(chance: np.random.Generator) -> Signal:
    spring = CONTACT_N_PER_M / chance.uniform(4, 10)
    return panel(
        chance, modulus_gpa=0.6 * MODULUS_GPA, loss=chance.uniform(0.25, 0.5), spring=spring
    )


def hollow(chance: np.random.Generator) -> Signal:
    """A clamped disc over a disbond, struck in its middle."""
    thick_mm, radius_mm = chance.uniform(2.5, 5), chance.uniform(50, 120)
    stiffness = bending_stiffness_nm(MODULUS_GPA, thick_mm)
    mass, radius = DENSITY * thick_mm / 1000, radius_mm / 1000
    modes = DISC_ROOTS**2 / (2 * np.pi * radius**2) * np.sqrt(stiffness / mass)
    ratio = j0(DISC_ROOTS) / i0(DISC_ROOTS)
    shape, volume = 1 - ratio, 2 / DISC_ROOTS * (j1(DISC_ROOTS) - ratio * i1(DISC_ROOTS))
    spring = disbond_spring_n_per_m(stiffness, radius_mm)
    return rung(
        modes,
        volume * shape / j0(DISC_ROOTS) ** 2,
        0.03 * np.exp(0.3 * chance.standard_normal()),
        contact_ms(HAMMER_KG, CONTACT_N_PER_M, spring) / 1000,
    )


def recorded(signal: Signal, chance: np.random.Generator, above_noise_db: float = 30) -> Signal:
    noise = np.abs(signal).max() / 10 ** (above_noise_db / 20)
    return signal + noise * chance.standard_normal(len(signal))


def write_wav(path: Path, signal: Signal) -> None:
    """A recording as 16-bit WAV, one channel."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE_HZ)
        file.writeframes(np.round(signal * 32767).astype("<i2").tobytes())


def main() -> None:
    """The strikes listed for the sloop, each made as its name says."""
    folder = Path(__file__).parent / "quillet" / "strikes"
    chance = np.random.default_rng(29)
    make: dict[str, Synthesis] = {"sound": sound, "dull": dull, "hollow": hollow}
    for row in csv.DictReader((folder / "strikes.csv").open()):
        struck = make[row["file"].partition("-")[0]](chance)
        write_wav(folder / row["file"], recorded(struck, chance)[:KEPT])


if __name__ == "__main__":
    main()
