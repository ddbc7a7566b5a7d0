"""The steel motor yacht of the demo as a whole: invented hard-chine lines, house and gear."""

import cv2
import numpy as np
from scipy.interpolate import PchipInterpolator

from scenes.fittings import anode_pear, fixed_propeller
from scenes.mesh import (
    Array,
    aimed,
    box,
    curve,
    foil,
    grid,
    joined,
    lathe,
    moved,
    shifted,
    tube,
    turned,
)
from scenes.noise import cloud, domes, step
from scenes.surface import (
    BRIGHT_RUST,
    BRONZE,
    DARK_RUST,
    STEEL,
    Coat,
    Colour,
    Material,
    Thing,
    painted,
)
from scenes.yard import backdrop, blocks, ladder, shore

GROUND_M = -1.62
TOPSIDES: Colour = (0.012, 0.040, 0.105)
BLACKING: Colour = (0.030, 0.028, 0.028)
_SHEER_BEAM = PchipInterpolator([0, 0.2, 0.5, 0.75, 0.92, 1], [1.85, 2.0, 2.05, 1.75, 0.85, 0.06])
_SHEER_Z = PchipInterpolator([0, 0.35, 0.7, 1], [1.42, 1.36, 1.60, 2.15])
_CHINE_BEAM = PchipInterpolator([0, 0.2, 0.5, 0.75, 0.92, 1], [1.72, 1.86, 1.90, 1.45, 0.55, 0.03])
_CHINE_Z = PchipInterpolator([0, 0.4, 0.7, 0.9, 1], [-0.18, -0.22, 0.0, 0.42, 0.75])
_KEEL_Z = PchipInterpolator(
    [0, 0.15, 0.4, 0.75, 0.92, 1], [-0.40, -0.62, -0.80, -0.78, -0.45, 0.55]
)


def hull_point(u: Array | float, t: Array | float, side: int = 1) -> Array:
    """Points of the shell; t 0 at the keel, 0.5 at the chine, 1 at the deck edge."""
    u, t = np.broadcast_arrays(np.asarray(u, float), np.asarray(t, float))
    lower = np.clip(t * 2, 0, 1)
    upper = np.clip(t * 2 - 1, 0, 1)
    y = _CHINE_BEAM(u) * lower + (_SHEER_BEAM(u) - _CHINE_BEAM(u)) * upper
    z = _KEEL_Z(u) + (_CHINE_Z(u) - _KEEL_Z(u)) * lower + (_SHEER_Z(u) - _CHINE_Z(u)) * upper
    x = 13.0 * u + 0.55 * u**6 * np.clip((z + 0.2) / 2.3, 0, 1)
    return np.stack([x, side * y, z], axis=-1)


def normal_at(u: float, t: float, side: int = 1) -> Array:
    """Outward normal of the shell."""
    along = hull_point(u + 0.002, t, side) - hull_point(u - 0.002, t, side)
    up = hull_point(u, t + 0.004, side) - hull_point(u, t - 0.004, side)
    normal = np.cross(along, up)
    normal /= np.linalg.norm(normal)
    return normal if normal[1] * side > 0 else -normal


def _shell_coat(points: Array, seed: int, shape: tuple[int, int] = (1000, 3200)) -> Coat:
    big = cv2.resize(points.astype(np.float32), (shape[1], shape[0]))
    x, z = big[..., 0], big[..., 2]
    coat = Coat(shape, TOPSIDES, 0.22)
    coat.mottle(seed, 0.10)
    plates = np.minimum(np.abs(x % 2.4 - 1.2), 9)
    coat.relief += step(plates, 0.02, 0.0) * 0.001
    coat.paint(step(plates, 0.010, 0.002) * 0.25, (0.004, 0.012, 0.03))
    white = ((z > 0.155) & (z < 0.225)).astype(np.float32)
    coat.paint(white, (0.55, 0.55, 0.52), 0.35)
    below = (z < 0.14).astype(np.float32)
    coat.paint(below, BLACKING, 0.75)
    dusty = step(cloud(shape, seed + 1, slope=1.6, coarsest=5), 0.50, 0.75) * below
    coat.paint(dusty * 0.55, (0.085, 0.075, 0.065), 0.85)
    band = np.exp(-(((z - 0.08) / 0.12) ** 2))
    bloom = step(cloud(shape, seed + 2, slope=1.3, coarsest=14) + 0.16 * band, 0.78, 0.90)
    coat.paint(bloom * np.maximum(below, band * 0.7), BRIGHT_RUST, 0.9)
    coat.paint(bloom * step(cloud(shape, seed + 3, slope=1.2), 0.55, 0.7), DARK_RUST, 0.9)
    spots = domes(shape, seed + 4, count=420, radius_px=(1, 5), where=below)
    coat.paint(spots * 0.9, BRIGHT_RUST, 0.9)
    sheer = np.asarray(_SHEER_Z(np.clip(x / 13.2, 0, 1)), np.float32) - z
    rng = np.random.default_rng(seed + 5)
    streaks = np.zeros(shape, np.float32)
    for at in rng.uniform(0.4, 12.6, 22):
        wide = 0.012 + 0.02 * rng.random()
        reach = 0.15 + 0.7 * rng.random()
        line = np.exp(-(((x - at) / wide) ** 2)) * np.clip(1 - (sheer - 0.16) / reach, 0, 1)
        streaks = np.maximum(streaks, line * (sheer > 0.15))
    streaks *= 0.4 + 0.8 * cloud(shape, seed + 6, slope=1.1, stretch=0.2)
    coat.paint(np.clip(streaks, 0, 0.75), BRIGHT_RUST, 0.7)
    if seed % 2:
        cells_x = np.abs((x - 1.5) % 1.2 - 0.6)
        level = np.minimum(np.abs(z + 0.10), np.minimum(np.abs(z + 0.38), np.abs(z + 0.62)))
        ground = ((np.hypot(cells_x, level) < 0.035) & (x > 1.4) & (x < 11.6) & (z < 0.05)).astype(
            np.float32
        )
        coat.paint(ground, (0.50, 0.50, 0.49), 0.35, 0.9)
    return coat


def shell_and_gear() -> list[Thing]:
    """Hull, bar keel, twin shafts, propellers and rudders, anodes."""
    u = np.linspace(0, 1, 200)[None, :]
    t = np.concatenate([np.linspace(0, 0.5, 40), np.linspace(0.5, 1, 40)])[:, None]
    out: list[Thing] = []
    for side in (1, -1):
        points = hull_point(u, t, side)
        out.append(
            Thing(
                mesh=grid(points, flip=side < 0),
                material=painted(_shell_coat(points, 60 + (side > 0)), clear=0.15),
            )
        )
    rim = np.concatenate([hull_point(0.0, t[::-1, 0], 1), hull_point(0.0, t[1:, 0], -1)])
    centre = np.broadcast_to(np.array([0.0, 0.0, 1.42]), rim.shape)
    out.append(
        Thing(
            mesh=grid(np.stack([rim, (rim + centre) / 2, centre])),
            material=Material(colour=TOPSIDES, rough=0.25),
        )
    )
    stem = hull_point(1.0, np.linspace(0.0, 1.0, 40), 1) * [1, 0, 1]
    out.append(Thing(mesh=tube(stem, 0.055, 16), material=Material(colour=TOPSIDES, rough=0.3)))
    black = Coat((1500, 110), BLACKING, 0.8).mottle(70, 0.3)
    black.paint(step(cloud((1500, 110), 71, slope=1.3), 0.70, 0.82), BRIGHT_RUST, 0.9)
    keel_paint = painted(black)
    plate = Coat((400, 500), BLACKING, 0.8).mottle(73, 0.3)
    plate.paint(step(cloud((400, 500), 74, slope=1.4), 0.66, 0.76), BRIGHT_RUST, 0.9)
    plate_paint = painted(plate)
    out.append(
        Thing(mesh=moved(box((8.6, 0.16, 0.62), 0.03), (6.2, 0, -0.99)), material=keel_paint)
    )
    for side in (1, -1):
        y = side * 0.85
        shaft = tube([(4.0, y, -0.45), (1.45, y, -0.86)], 0.024, 20)
        out.append(Thing(mesh=shaft, material=STEEL))
        for lean in (-0.16, 0.16):
            arm = tube([(1.75, y + lean * 1.6, -0.30), (1.72, y, -0.815)], 0.028, 14)
            out.append(Thing(mesh=arm, material=keel_paint))
        boss = turned(
            lathe([(0, -0.10), (0.05, -0.10), (0.055, 0), (0.05, 0.10), (0, 0.10)], 40), "y", 81
        )
        out.append(Thing(mesh=moved(boss, (1.72, y, -0.815)), material=keel_paint))
        for thing in fixed_propeller(0.33, 4, BRONZE):
            mesh = turned(turned(thing.mesh, "z", 25 * side), "y", -99)
            out.append(Thing(mesh=moved(mesh, (1.45, y, -0.86)), material=thing.material))
        section = foil(0.10, 24)
        share = np.linspace(0, 1, 30)[:, None]
        rudder = np.empty((30, len(section), 3))
        rudder[..., 0] = 1.0 - section[None, :, 0] * (0.55 - 0.06 * share)
        rudder[..., 1] = y + section[None, :, 1] * 0.5
        rudder[..., 2] = -0.45 - 0.72 * share
        out.append(Thing(mesh=grid(rudder, weld=True), material=plate_paint))
        out.append(Thing(mesh=tube([(0.86, y, -0.2), (0.86, y, -0.5)], 0.035, 20), material=STEEL))
        anode = anode_pear().mesh
        for at in (2.6, 6.5, 9.6):
            share_u, share_t = at / 13.0, 0.28

            out.append(
                Thing(
                    mesh=moved(
                        aimed(anode, normal_at(share_u, share_t, side)),
                        hull_point(share_u, share_t, side),
                    ),
                    material=anode_pear().material,
                )
            )
    return out


def house() -> list[Thing]:
    """Deck, bulwark rail, deckhouse with windows, wheelhouse, mast and rails."""
    out: list[Thing] = []
    u = np.linspace(0, 1, 100)
    edge = hull_point(u, 1.0, 1)
    across = np.linspace(-1, 1, 21)
    deck = np.empty((21, 100, 3))
    deck[..., 0] = edge[None, :, 0]
    deck[..., 1] = across[:, None] * edge[None, :, 1]
    deck[..., 2] = edge[None, :, 2] - 0.05 + 0.05 * (1 - across[:, None] ** 2)
    out.append(Thing(mesh=grid(deck), material=Material(colour=(0.22, 0.27, 0.25), rough=0.7)))
    cream = Coat((400, 1600), (0.62, 0.60, 0.52), 0.3).mottle(75, 0.06)
    marks = step(cloud((400, 1600), 76, slope=1.3, coarsest=6), 0.86, 0.93)
    cream.paint(marks * 0.6, BRIGHT_RUST, 0.7)
    paint = painted(cream, clear=0.2)
    for side in (1, -1):
        strake = shifted(hull_point(np.linspace(0, 0.985, 60), 0.93, side), (0, side * 0.02, 0))
        out.append(
            Thing(
                mesh=tube(strake, 0.045, 14),
                material=Material(colour=(0.05, 0.045, 0.04), rough=0.5),
            )
        )
        rail = edge * [1, side, 1] + [0, 0, 0.02]
        out.append(
            Thing(
                mesh=tube(rail, 0.028, 10), material=Material(colour=(0.60, 0.58, 0.50), rough=0.4)
            )
        )
        for share in np.linspace(0.06, 0.95, 10):
            foot = shifted(hull_point(share, 1.0, side), (0, -side * 0.05, 0))
            out.append(
                Thing(mesh=tube([foot, shifted(foot, (0, 0, 0.75))], 0.016, 10), material=STEEL)
            )
        top = shifted(hull_point(np.linspace(0.06, 0.98, 40), 1.0, side), (0, -side * 0.05, 0.75))
        out.append(Thing(mesh=tube(top, 0.016, 10), material=STEEL))
    saloon = moved(box((5.0, 3.0, 1.25), 0.10, 4), (4.3, 0, 1.95))
    fore = moved(box((2.7, 2.5, 0.75), 0.12, 4), (8.7, 0, 1.85))
    wheel = box((2.3, 2.5, 2.1), 0.10, 4)
    roof = moved(box((2.9, 2.9, 0.07), 0.03, 3), (6.6, 0, 3.72))
    out.append(
        Thing(mesh=joined([saloon, fore, moved(wheel, (6.6, 0, 2.63)), roof]), material=paint)
    )
    glass = Material(colour=(0.012, 0.015, 0.017), rough=0.05)
    for side in (1, -1):
        for at, wide, z, tall, y in (
            (2.7, 0.9, 2.12, 0.5, 1.5),
            (3.9, 0.9, 2.12, 0.5, 1.5),
            (5.1, 0.9, 2.12, 0.5, 1.5),
            (6.15, 0.8, 3.25, 0.55, 1.25),
            (7.1, 0.8, 3.25, 0.55, 1.25),
        ):
            out.append(
                Thing(mesh=moved(box((wide, 0.03, tall), 0.012), (at, side * y, z)), material=glass)
            )
        for at in (8.2, 9.2):
            port = turned(lathe([(0, 0), (0.13, 0), (0.13, 0.03), (0, 0.03)], 40), "x", 90)
            out.append(Thing(mesh=moved(port, (at, side * 1.25 + 0.015, 1.9)), material=glass))
    for y in (-0.75, 0, 0.75):
        out.append(
            Thing(mesh=moved(box((0.03, 0.62, 0.55), 0.012), (7.76, y, 3.25)), material=glass)
        )
        out.append(Thing(mesh=moved(box((0.03, 0.7, 0.5), 0.012), (1.80, y, 2.12)), material=glass))
    mast = joined(
        [
            tube([(5.9, 0, 3.7), (5.7, 0, 6.0)], 0.05, 16),
            tube([(5.8, -0.6, 5.0), (5.8, 0.6, 5.0)], 0.02, 10),
        ]
    )
    out.append(Thing(mesh=mast, material=Material(colour=(0.6, 0.58, 0.5), rough=0.4)))
    bow = [
        shifted(hull_point(0.98, 1.0, 1), (0, -0.05, 0.75)),
        shifted(hull_point(1.0, 1.0, 1), (0.05, -0.05, 0.78)),
        shifted(hull_point(0.98, 1.0, -1), (0, 0.05, 0.75)),
    ]
    out.append(Thing(mesh=tube(curve(bow, 20), 0.016, 10), material=STEEL))
    return out


def whole_boat() -> tuple[Thing, ...]:
    """The motor yacht ashore on blocks and shores."""
    out = [*backdrop(GROUND_M), *shell_and_gear(), *house()]
    for k, at in enumerate((2.6, 5.2, 7.8, 10.0)):
        out += blocks((at, 0, -1.30), (0.5, 0.7, 0.32), 2, 20 + 4 * k)
    for k, (u, t) in enumerate(((0.14, 0.56), (0.42, 0.56), (0.70, 0.56))):
        for side in (1, -1):
            out += shore(
                hull_point(u, t, side), normal_at(u, t, side), GROUND_M, 120 + 7 * k + side
            )
    out.append(ladder(GROUND_M, (0.05, 0.9), top=1.9, angle=0))
    return tuple(out)
