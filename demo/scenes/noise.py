"""Fields of seeded noise in 0..1, `(height, width)`, from which the surfaces are painted."""

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Field = NDArray[np.float32]
Numbers = NDArray[np.floating[Any]]


def cloud(
    shape: tuple[int, int],
    seed: int,
    *,
    slope: float = 2.0,
    stretch: float = 1.0,
    coarsest: float = 2.0,
) -> Field:
    """Fractal noise that tiles.

    Args:
        shape: Rows and columns.
        seed: Same seed, same field.
        slope: Spectral slope; higher is smoother (1 gritty, 2 cloudy, 3 billowing).
        stretch: Above 1 draws the noise out down the rows.
        coarsest: Waves across the shorter side below which nothing is kept.

    Returns:
        Field with mean about 0.5 and standard deviation about 0.18, cut to 0..1.
    """
    rows, columns = shape
    rng = np.random.default_rng(seed)
    spectrum = np.fft.rfft2(rng.standard_normal(shape, dtype=np.float32))
    shorter = min(shape)
    fy = np.fft.fftfreq(rows)[:, None] * shorter * stretch
    fx = np.fft.rfftfreq(columns)[None, :] * shorter
    radius = np.hypot(fx, fy)
    gain = np.where(radius < coarsest, 0.0, 1.0 / np.maximum(radius, coarsest) ** slope)
    field = np.fft.irfft2(spectrum * gain, s=shape)
    field = field / max(float(field.std()), 1e-9)
    return np.asarray(np.clip(0.5 + 0.18 * field, 0, 1), np.float32)


def step(field: Numbers, low: float | Numbers, high: float | Numbers) -> Field:
    """Smooth ramp: 0 below `low`, 1 above `high` (or the reverse where low > high)."""
    t = np.clip((field - low) / (high - low), 0, 1)
    return np.asarray(t * t * (3 - 2 * t), np.float32)


def coordinates(shape: tuple[int, int]) -> tuple[Field, Field]:
    """Columns and rows as 0..1 fields (x to the right, y down)."""
    y, x = np.meshgrid(
        np.linspace(0, 1, shape[0], dtype=np.float32),
        np.linspace(0, 1, shape[1], dtype=np.float32),
        indexing="ij",
    )
    return x, y


def domes(
    shape: tuple[int, int],
    seed: int,
    *,
    count: int,
    radius_px: tuple[float, float],
    where: Field | None = None,
    power: float = 0.5,
) -> Field:
    """Scattered round bumps; each is 1 at its middle and 0 at its rim; big ones are rare."""
    rng = np.random.default_rng(seed)
    field = np.zeros(shape, np.float32)
    placed = tries = 0
    while placed < count and tries < count * 60:
        tries += 1
        cy, cx = rng.integers(0, shape[0]), rng.integers(0, shape[1])
        if where is not None and rng.random() > where[cy, cx]:
            continue
        placed += 1
        radius = radius_px[0] + (radius_px[1] - radius_px[0]) * rng.random() ** 2.5
        reach = int(radius) + 2
        y0, y1 = max(cy - reach, 0), min(cy + reach + 1, shape[0])
        x0, x1 = max(cx - reach, 0), min(cx + reach + 1, shape[1])
        yy, xx = np.mgrid[y0:y1, x0:x1]
        squash = 0.75 + 0.5 * rng.random()
        distance = ((xx - cx) * squash) ** 2 + ((yy - cy) / squash) ** 2
        bump = np.clip(1 - distance / radius**2, 0, 1) ** power
        field[y0:y1, x0:x1] = np.maximum(field[y0:y1, x0:x1], bump)
    return field


def cells(shape: tuple[int, int], seed: int, count: int) -> tuple[Field, Field]:
    """Crazy paving: distance to the nearest seed point in pixels, and a random value a cell."""
    rng = np.random.default_rng(seed)
    seeds = np.ones(shape, np.uint8)
    seeds[rng.integers(0, shape[0], count), rng.integers(0, shape[1], count)] = 0
    distance, label = cv2.distanceTransformWithLabels(
        seeds, cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL
    )
    return distance.astype(np.float32), rng.random(label.max() + 1).astype(np.float32)[label]


def cracks(
    shape: tuple[int, int],
    seed: int,
    *,
    centre: tuple[float, float],
    count: int,
    length: float,
    width_px: int = 1,
    wander: float = 0.35,
    rings: int = 0,
) -> Field:
    """Fine lines running out from a point (a star), with a few partial rings round it."""
    rng = np.random.default_rng(seed)
    image = np.zeros(shape, np.uint8)
    middle = np.array([centre[0] * shape[1], centre[1] * shape[0]])
    size = min(shape)
    for k in range(count):
        heading = 2 * np.pi * (k + 0.5 * rng.random()) / count
        reach = length * size * (0.45 + 0.55 * rng.random())
        point, line = middle.copy(), [middle.copy()]
        for _ in range(40):
            heading += wander * rng.standard_normal() * 0.3
            point = point + reach / 40 * np.array([np.cos(heading), np.sin(heading)])
            line.append(point.copy())
        pts = (np.array(line) * 16).astype(np.int32)
        cv2.polylines(image, [pts], False, 255, width_px, cv2.LINE_AA, 4)
    for k in range(rings):
        radius = length * size * (0.25 + 0.6 * k / max(rings, 1))
        start = rng.random() * 360
        sweep = 60 + 120 * rng.random()
        arc = [
            middle
            + radius
            * (1 + 0.04 * np.sin(a / 9))
            * np.array([np.cos(np.radians(a)), np.sin(np.radians(a))])
            for a in np.arange(start, start + sweep, 4)
        ]
        cv2.polylines(
            image, [(np.array(arc) * 16).astype(np.int32)], False, 255, width_px, cv2.LINE_AA, 4
        )
    return (image / 255.0).astype(np.float32)


def runs(
    shape: tuple[int, int],
    seed: int,
    sources: list[tuple[float, float]],
    *,
    length: float,
    width: float,
) -> Field:
    """Stains that run down from points (x, y in 0..1), fading and fraying."""
    rng = np.random.default_rng(seed)
    x, y = coordinates(shape)
    warp = (cloud(shape, seed + 1, slope=1.6, stretch=0.25) - 0.5) * width * 1.6
    field = np.zeros(shape, np.float32)
    for sx, sy in sources:
        for _ in range(3):
            reach = length * (0.4 + 0.6 * rng.random())
            across = (x - sx - width * 0.7 * rng.standard_normal() + warp) / (
                width * (0.35 + 0.5 * rng.random())
            )
            down = (y - sy) / reach
            fade = np.clip(1 - down, 0, 1) ** 1.3 * step(down, -0.02, 0.02)
            field = np.maximum(field, np.exp(-(across**2)) * fade * (0.5 + 0.5 * rng.random()))
    return (field * (0.5 + cloud(shape, seed + 2, slope=1.3, stretch=0.2))).clip(0, 1)


def blur(field: Field, sigma_px: float) -> Field:
    """Softened by a Gaussian."""
    return np.asarray(cv2.GaussianBlur(field, (0, 0), sigma_px), np.float32)


def edges(field: Field) -> Field:
    """1 where the field steps from one cell to the next, softened by a pixel."""
    line = np.zeros(field.shape, np.float32)
    line[:, 1:] = np.abs(np.diff(field, axis=1)) > 0
    line[1:] = np.maximum(line[1:], np.abs(np.diff(field, axis=0)) > 0)
    return np.asarray(np.clip(blur(line, 0.8) * 1.4, 0, 1), np.float32)
