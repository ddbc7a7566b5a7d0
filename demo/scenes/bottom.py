"""Close scenes below the waterline of the sloop, each about the thing that is looked at."""

from dataclasses import replace
from functools import cache

import cv2
import numpy as np

from scenes.fittings import (
    anode_pear,
    bronze_coat,
    folding_propeller,
    meter,
    skin_flange,
)
from scenes.mesh import (
    Array,
    blade,
    box,
    curve,
    foil,
    grid,
    joined,
    lathe,
    moved,
    prism,
    rounded,
    tube,
    turned,
)
from scenes.noise import Field, blur, cloud, cracks, domes, runs, step
from scenes.studio import Lamp, Scene
from scenes.surface import (
    ANTIFOULING,
    BLACK,
    BRIGHT_RUST,
    DARK_RUST,
    DULL_STEEL,
    GELCOAT,
    PRIMER,
    RUST,
    STEEL,
    Coat,
    Colour,
    Material,
    Thing,
    draped,
    letters,
    number_card,
    painted,
    scale_bar,
    sheet,
)
from scenes.yard import blocks, far_boat, ground, shed, timber

CHALK: Colour = (0.75, 0.74, 0.70)
CRAYON: Colour = (0.62, 0.50, 0.02)


def outside(*things: Thing, level_m: float = -1.3, seed: int = 1, behind: bool = True) -> Scene:
    """Things standing in the yard under a grey sky; the camera looks toward +y."""
    around = [ground(level_m, size_m=60.0)]
    if behind:
        around += [
            shed(level_m, (3.0, 14.0)),
            *far_boat(level_m, (-5.0, 8.5), angle=12, tone=(0.03, 0.06, 0.14)),
            *far_boat(level_m, (7.5, 9.5), angle=-15, tone=(0.5, 0.5, 0.47)),
        ]
    return Scene(things=(*around, *things), sky_seed=seed)


def metric(shape: tuple[int, int], width_m: float, height_m: float) -> tuple[Field, Field]:
    """x to the right and z up in metres, zero at the middle."""
    x, z = np.meshgrid(
        np.linspace(-width_m / 2, width_m / 2, shape[1], dtype=np.float32),
        np.linspace(height_m / 2, -height_m / 2, shape[0], dtype=np.float32),
    )
    return x, z


def antifouled(
    shape: tuple[int, int], width_m: float, seed: int, colour: Colour = ANTIFOULING
) -> Coat:
    """Rolled antifouling after a season: thin places, slime tracks, a few small barnacle bases."""
    scale = shape[1] / width_m
    coat = Coat(shape, colour, 0.82)
    coat.mottle(seed, 0.22, slope=1.5)
    orange = cloud(shape, seed + 1, slope=0.6, coarsest=max(3, shape[0] / 26))
    coat.relief += (orange - 0.5) * 0.00035
    track = cloud(shape, seed + 2, slope=1.2, stretch=5, coarsest=4)
    coat.paint(step(track, 0.60, 0.80) * 0.35, tuple(min(c * 1.9 + 0.03, 1) for c in colour))
    thin = step(cloud(shape, seed + 3, slope=1.4, coarsest=5), 0.72, 0.80)
    coat.paint(thin * 0.5, tuple(c * 0.45 + 0.03 for c in colour), 0.9, lift=-0.0001)
    slime = step(cloud(shape, seed + 4, slope=1.9, coarsest=3), 0.62, 0.85)
    coat.paint(slime * 0.30, (0.055, 0.060, 0.030), 0.7)
    count = int(90 * width_m * width_m * shape[0] / shape[1]) + 4
    shells = domes(
        shape, seed + 5, count=count, radius_px=(0.0012 * scale, 0.0042 * scale), power=0.6
    )
    coat.paint(np.clip(shells * 2, 0, 1) * 0.85, (0.46, 0.44, 0.38), 0.8)
    coat.relief += shells * 0.0016
    return coat


def scraped(coat: Coat, mask: Field, seed: int, *, to: Colour = GELCOAT) -> Coat:
    """Antifouling taken off by hand: feathered edge, a rim of primer, streaks left by the blade."""
    ragged = mask + 0.35 * (cloud(coat.shape, seed, slope=1.1, coarsest=5) - 0.5)
    coat.paint(step(ragged, 0.38, 0.44), PRIMER, 0.6, lift=-0.00012)
    bare = step(ragged, 0.52, 0.56)
    coat.paint(bare, to, 0.28, lift=-0.00015)
    left = step(cloud(coat.shape, seed + 1, slope=0.9, stretch=0.12, coarsest=5), 0.70, 0.78)
    return coat.paint(left * bare * 0.30, PRIMER, 0.6)


def crayon(coat: Coat, mask: Field, seed: int, colour: Colour = CRAYON) -> Coat:
    """Wax crayon or chalk drawn on, broken by the grain of the surface."""
    broken = step(cloud(coat.shape, seed, slope=0.5, coarsest=30), 0.30, 0.52)
    return coat.paint(np.clip(mask, 0, 1) * broken * 0.9, colour, 0.7)


def strokes(shape: tuple[int, int], lines: list[list[tuple[float, float]]], width_px: int) -> Field:
    """Polylines given in 0..1 as a mask."""
    image = np.zeros(shape, np.uint8)
    for line in lines:
        pts = (np.array(line) * [shape[1], shape[0]] * 16).astype(np.int32)
        cv2.polylines(image, [pts], False, 255, width_px, cv2.LINE_AA, 4)
    return (image / 255).astype(np.float32)


def on_panel(thing: Thing, x: float, z: float, *, y: float = 0.0, spin: float = 0.0) -> Thing:
    """A card or bar put on a panel that faces -y."""
    return Thing(
        mesh=moved(turned(thing.mesh, "y", spin), (x, y - 0.001, z)), material=thing.material
    )


def standing_out(things: list[Thing], x: float, z: float, *, y: float = 0.0) -> list[Thing]:
    """Fittings made along z, turned to stand out of a panel toward the viewer."""
    return [
        Thing(mesh=moved(turned(t.mesh, "x", 90), (x, y, z)), material=t.material) for t in things
    ]


@cache
def keel_joint() -> Scene:
    """Starboard side, bow to the right: seam sound aft, open at the forward end."""
    shape = (1400, 2800)
    width, keel_m, bottom_m = 2.4, 0.62, 0.58
    coat = antifouled(shape, width, 200)
    s = np.linspace(0, keel_m + bottom_m, shape[0], dtype=np.float32)[:, None]
    x = np.linspace(-width / 2, width / 2, shape[1], dtype=np.float32)[None, :]
    seam = bottom_m + 0.035 + 0.0015 * (cloud((1, shape[1]), 7, slope=1.3) - 0.5)
    fillet = np.exp(-(((s - bottom_m) / 0.035) ** 4))
    coat.paint(fillet * 0.35, (0.24, 0.07, 0.06))
    distance = np.abs(s - seam)
    opening = 0.0004 + 0.0030 * step(x, 0.10, 0.62)
    crack = step(distance, opening * 1.3, opening * 0.55) * (0.25 + 0.75 * step(x, -0.15, 0.25))
    lip = np.exp(-((distance / 0.006) ** 2)) * step(x, 0.0, 0.4)
    coat.paint(lip * 0.55, (0.42, 0.37, 0.30), 0.8, lift=0.0008)
    coat.paint(crack, (0.012, 0.010, 0.009), 0.9, lift=-0.004)
    sources = [(0.62 + 0.045 * k, (bottom_m + 0.037) / (keel_m + bottom_m)) for k in range(6)]
    weep = runs(shape, 31, sources, length=0.30, width=0.0045)
    coat.paint(np.clip(weep * 1.3, 0, 0.9), BRIGHT_RUST, 0.85)
    coat.paint(np.clip(weep * 2.2 - 1.0, 0, 0.8), DARK_RUST, 0.9)
    iron = step(cloud(shape, 41, slope=1.4, coarsest=6), 0.74, 0.80) * (s > bottom_m + 0.04)
    coat.paint(iron, RUST, 0.9, lift=0.0007)
    rows, columns = 560, 1100
    sv = np.linspace(0, keel_m + bottom_m, rows)
    path = curve(
        [
            (-0.56, 0.17),
            (-0.30, 0.085),
            (-0.07, 0.012),
            (-0.012, -0.028),
            (0.0, -0.10),
            (0.004, -0.35),
            (0.006, -0.63),
        ],
        rows,
    )
    xs = np.linspace(-width / 2, width / 2, columns)
    lead = 0.72
    over = np.clip((xs - lead + 0.30) / 0.30, 0, 1)
    back = 0.11 * (1 - np.sqrt(np.clip(1 - over**2, 0, 1)))
    on_keel = step(sv.astype(np.float32), bottom_m - 0.09, bottom_m + 0.05)
    points = np.empty((rows, columns, 3))
    shift = np.where(xs > lead, lead - xs, 0.0)
    points[..., 0] = xs[None, :] + shift[None, :] * on_keel[:, None]
    points[..., 1] = path[:, :1] + back[None, :] * on_keel[:, None]
    points[..., 2] = path[:, 1:]
    skin = Thing(mesh=draped(points, coat, flip=True), material=painted(coat))
    far_points = points * [1, -1, 1] + [0, 0.23, 0]
    other = Thing(mesh=grid(far_points), material=Material(colour=ANTIFOULING, rough=0.85))
    return outside(
        skin,
        other,
        on_panel(number_card(3), 0.34, -0.16, y=0.0),
        on_panel(scale_bar(10), -0.62, -0.085, y=0.0),
        *blocks((0.0, 0.12, -0.95), (1.6, 0.5, 0.3), 1, 61),
        level_m=-1.25,
    )


@cache
def keel_toe() -> Scene:
    """The foot of the keel at its forward end, on the blocks, iron showing."""
    shape = (1100, 2200)
    coat = antifouled(shape, 2.4, 310)
    v = np.linspace(0, 1, shape[0], dtype=np.float32)[:, None]
    u = np.linspace(0, 1, shape[1], dtype=np.float32)[None, :]
    toe = np.exp(-(((u - 0.5) / 0.13) ** 2)) * 0.5
    edge = (
        v + toe * step(v, 0.3, 1.0) * 0.5 + 0.5 * (cloud(shape, 311, slope=1.4, coarsest=4) - 0.5)
    )
    bare = step(edge, 0.90, 1.0)
    coat.paint(step(edge, 0.84, 0.92) * 0.8, (0.20, 0.14, 0.11), 0.85)
    coat.paint(bare, RUST, 0.92)
    grit = cloud(shape, 312, slope=0.9, coarsest=12)
    coat.shade(1 + bare * (grit - 0.5) * 1.5)
    coat.relief += bare * (grit - 0.4) * 0.003
    coat.paint(bare * step(cloud(shape, 313, slope=1.2), 0.55, 0.68), BRIGHT_RUST, 0.95)
    coat.paint(bare * step(cloud(shape, 314, slope=1.3), 0.62, 0.72), DARK_RUST, 0.9)
    section = foil(0.12, 200)
    share = np.linspace(0, 1, 300)[:, None]
    points = np.empty((300, len(section), 3))
    chord = 1.5 - 0.25 * share
    points[..., 0] = 0.62 - 0.25 * share - section[None, :, 0] * chord
    points[..., 1] = section[None, :, 1] * chord
    points[..., 2] = 0.75 - 1.0 * share
    half = len(section) // 2 + 1
    edge_points = points[-1]
    base = np.stack([edge_points[:half], edge_points[::-1][:half]], axis=0)
    return outside(
        Thing(mesh=draped(points, coat, weld=False), material=painted(coat)),
        Thing(mesh=grid(base), material=Material(colour=DARK_RUST, rough=0.95)),
        *blocks((-0.25, 0.0, -0.255), (1.1, 0.6, 0.27), 1, 71),
        on_panel(number_card(4), 0.08, -0.09, y=-0.085),
        level_m=-0.53,
    )


@cache
def rudder_and_skeg() -> Scene:
    """Full skeg to the right, rudder to the left, bronze heel at the foot."""
    skeg_coat = antifouled((1400, 1400), 1.2, 410)
    rudder_coat = antifouled((1400, 1400), 1.0, 420)
    line = cracks(
        (1400, 1400), 5, centre=(0.80, 0.86), count=3, length=0.045, width_px=2, wander=0.3
    )
    rudder_coat.paint(line, (0.02, 0.015, 0.012), 0.9, lift=-0.0008)
    weep = runs((1400, 1400), 8, [(0.80, 0.87), (0.77, 0.88)], length=0.09, width=0.012)
    rudder_coat.paint(np.clip(weep * 1.4, 0, 0.85), (0.20, 0.10, 0.035), 0.35)

    def wing(
        lead: tuple[float, float], tip: float, chords: tuple[float, float], thick: float
    ) -> Array:
        section = foil(thick, 120)
        share = np.linspace(0, 1, 240)[:, None]
        points = np.empty((240, len(section), 3))
        chord = chords[0] + (chords[1] - chords[0]) * share
        points[..., 0] = lead[0] + (lead[1] - lead[0]) * share - section[None, :, 0] * chord
        points[..., 1] = section[None, :, 1] * chord
        points[..., 2] = 0.75 + (tip - 0.75) * share
        return points

    skeg = wing((0.95, 0.33), -0.60, (0.93, 0.31), 0.115)
    rudder = wing((0.008, -0.002), -0.63, (0.52, 0.46), 0.115)
    out = [
        Thing(mesh=draped(skeg, skeg_coat), material=painted(skeg_coat)),
        Thing(mesh=draped(rudder, rudder_coat), material=painted(rudder_coat)),
    ]
    for points in (skeg, rudder):
        half = points.shape[1] // 2 + 1
        base = np.stack([points[-1, :half], points[-1, ::-1][:half]], axis=0)
        out.append(Thing(mesh=grid(base), material=Material(colour=ANTIFOULING, rough=0.9)))
    heel = painted(bronze_coat(430, shape=(400, 400)))
    shoe = moved(box((0.34, 0.062, 0.030), 0.012, 5), (0.10, 0, -0.622))
    cup = moved(
        lathe(
            rounded(
                [
                    (0, -0.03),
                    (0.036, -0.03),
                    (0.036, 0.004),
                    (0.030, 0.004),
                    (0.030, 0.0),
                    (0, 0.0),
                ],
                0.004,
            )
        ),
        (-0.055, 0, -0.622),
    )
    bolts = joined(
        [
            moved(turned(prism(6, 0.019, 0.010), "x", 90), (0.13 + 0.06 * k, -0.030, -0.610))
            for k in range(3)
        ]
    )
    stock = tube([(-0.055, 0, -0.64), (-0.055, 0, -0.585)], 0.017, 24)
    strap = moved(box((0.26, 0.052, 0.050), 0.01, 4), (0.16, 0, -0.59))
    out += [
        Thing(mesh=joined([shoe, cup, strap]), material=heel),
        Thing(mesh=bolts, material=DULL_STEEL),
        Thing(mesh=stock, material=STEEL),
    ]
    u, t = np.meshgrid(np.linspace(-1.6, 2.2, 60), np.linspace(-1, 1, 60))
    root = antifouled((500, 800), 3.8, 440)
    hull = np.stack([u, t * 1.4, 0.70 + 0.10 * u * -0.6 + 0.16 * t**2], axis=-1)
    out.append(Thing(mesh=grid(hull, flip=False), material=painted(root)))
    out.append(on_panel(number_card(7), -0.30, -0.335, y=-0.024))
    return outside(*out, level_m=-1.05, seed=2)


def _antifouled_ceiling(seed: int, *, size: float = 3.2, height: float = 0.33) -> Thing:
    """The bottom over the stern gear."""
    coat = antifouled((900, 900), size, seed)
    x, y = np.meshgrid(np.linspace(-size / 2, size / 2, 120), np.linspace(-size / 2, size / 2, 120))
    z = height + 0.12 * x / size + 0.10 * (y / size * 2) ** 2
    return Thing(mesh=draped(np.stack([x, y, z], axis=-1), coat, flip=True), material=painted(coat))


@cache
def stern_gear() -> Scene:
    """P-bracket, shaft, half-wasted shaft anode and folding propeller; bow to the right."""
    shaft = tube([(-0.40, 0, -0.03), (1.3, 0, 0.20)], 0.0155, 40)
    lean = np.degrees(np.arctan2(0.23, 1.70))
    boss = turned(
        lathe(
            rounded(
                [
                    (0.0185, -0.075),
                    (0.033, -0.075),
                    (0.039, -0.05),
                    (0.039, 0.05),
                    (0.033, 0.075),
                    (0.0185, 0.075),
                    (0.0185, -0.075),
                ],
                0.006,
            )
        ),
        "y",
        90 - lean,
    )
    rubber = turned(
        lathe([(0.0165, -0.073), (0.0185, -0.073), (0.0185, 0.073), (0.0165, 0.073)]),
        "y",
        90 - lean,
    )
    section = foil(0.24, 40)
    share = np.linspace(0, 1, 50)[:, None]
    arm = np.empty((50, len(section), 3))
    chord = 0.10 + 0.05 * np.exp(-share * 12) + 0.10 * np.exp(-(1 - share) * 14)
    arm[..., 0] = 0.10 - (section[None, :, 0] - 0.5) * -chord
    arm[..., 1] = section[None, :, 1] * (0.10 + 0.04 * np.exp(-(1 - share) * 14))
    arm[..., 2] = 0.06 + 0.33 * share
    bracket = painted(bronze_coat(510, shape=(500, 500)))
    zinc = Coat((500, 900), (0.40, 0.41, 0.42), 0.7, 0.5)
    zinc.mottle(520, 0.3, slope=1.1)
    hole = domes((500, 900), 521, count=240, radius_px=(8, 46), power=0.55)
    eaten = step(cloud((500, 900), 522, slope=1.6, coarsest=3), 0.42, 0.66)
    zinc.relief -= hole * 0.0045 + eaten * 0.007
    zinc.paint(np.clip(hole, 0, 1) * 0.6, (0.20, 0.21, 0.21), 0.9, 0.2)
    zinc.paint(
        step(cloud((500, 900), 523, slope=1.2), 0.60, 0.75) * 0.75, (0.66, 0.67, 0.66), 0.95, 0.0
    )
    angle = np.linspace(0, 2 * np.pi, 220)[None, :]
    profile = np.array(
        rounded(
            [
                (0.0158, -0.042),
                (0.030, -0.040),
                (0.037, -0.015),
                (0.037, 0.015),
                (0.030, 0.040),
                (0.0158, 0.042),
            ],
            0.01,
            10,
        )
    )
    profile = np.stack(
        [
            np.interp(np.linspace(0, 1, 130), np.linspace(0, 1, len(profile)), profile[:, k])
            for k in (0, 1)
        ],
        axis=1,
    )
    collar = np.stack(
        [
            profile[:, :1] * np.cos(angle),
            profile[:, :1] * np.sin(angle),
            profile[:, 1:] + 0 * angle,
        ],
        axis=-1,
    )
    body = draped(collar, zinc)
    gap = np.linalg.norm(body.vertices[:, :2], axis=1, keepdims=True)
    keep = np.maximum(gap, 0.0160)
    vertices = body.vertices.copy()
    vertices[:, :2] *= keep / np.maximum(gap, 1e-6)
    anode = grid(vertices.reshape(130, 220, 3), weld=True)
    anode = moved(turned(anode, "y", 90 - lean), (0.30, 0, 0.065))
    bolt = moved(turned(prism(6, 0.010, 0.012), "x", 90), (0.30, -0.030, 0.075))
    out = [
        Thing(mesh=shaft, material=STEEL),
        Thing(mesh=moved(boss, (0.08, 0, 0.035)), material=bracket),
        Thing(mesh=moved(rubber, (0.08, 0, 0.035)), material=BLACK),
        Thing(mesh=grid(arm, weld=True), material=bracket),
        Thing(mesh=anode, material=painted(zinc)),
        Thing(mesh=bolt, material=DULL_STEEL),
        _antifouled_ceiling(530),
    ]
    prop = painted(bronze_coat(540, shape=(500, 500)))
    for thing in folding_propeller(0.205, prop, closed=False):
        mesh = turned(turned(thing.mesh, "z", 40), "y", -90 - lean)
        out.append(
            Thing(
                mesh=moved(mesh, (-0.135, 0, 0.006)),
                material=prop if thing.material is prop else thing.material,
            )
        )
    return outside(*out, level_m=-0.95, seed=3)


@cache
def propeller(state: str) -> Scene:
    """The folding propeller from aft, bright or with pink, pitted metal at a blade root."""
    bad = state == "pink"
    bright = painted(
        bronze_coat(601, pink=1.0 if bad else 0.0, pits=90 if bad else 0, shape=(700, 700))
    )
    if not bad:
        polished = Coat((700, 700), (0.62, 0.40, 0.17), 0.20, 1.0).mottle(602, 0.25)
        polished.paint(
            step(cloud((700, 700), 603, slope=1.4), 0.62, 0.8) * 0.4, (0.25, 0.18, 0.09), 0.45
        )
        rings = cloud((700, 700), 604, slope=0.8, stretch=0.05)
        polished.rough += (rings - 0.5) * 0.2
        bright = painted(polished)
    out = []
    for thing in folding_propeller(0.205, bright, closed=False, nick=0.05 if bad else 0.0):
        mesh = turned(thing.mesh, "z", 32)
        mesh = turned(mesh, "x", 90)
        out.append(Thing(mesh=mesh, material=thing.material))
    out.append(Thing(mesh=tube([(0, 0, 0), (0, 1.4, 0.16)], 0.0155, 30), material=STEEL))
    out.append(_antifouled_ceiling(610, height=0.42))
    if bad:
        out.append(on_panel(number_card(9), 0.125, -0.105, y=-0.05))
    return outside(*out, level_m=-0.9, seed=4)


@cache
def hull_anode() -> Scene:
    """A pear anode bolted to the bottom, not eaten at all."""
    shape = (1200, 1600)
    coat = antifouled(shape, 0.8, 650)
    zinc = Coat((500, 500), (0.50, 0.51, 0.52), 0.42, 0.9).mottle(651, 0.25)
    zinc.paint(step(cloud((500, 500), 652, slope=1.5), 0.60, 0.8) * 0.5, (0.35, 0.36, 0.36), 0.7)
    anode = anode_pear(painted(zinc))
    nuts = [moved(prism(6, 0.017, 0.012), (s, 0, 0.022)) for s in (-0.055, 0.045)]
    return outside(
        Thing(mesh=sheet(coat, 0.8, 0.6, bulge=(0.1, 0.3)), material=painted(coat)),
        *standing_out([anode, Thing(mesh=joined(nuts), material=DULL_STEEL)], -0.02, 0.0, y=0.0),
        on_panel(scale_bar(10), 0.10, -0.105, y=-0.001, spin=-3),
        level_m=-1.0,
        behind=False,
    )


@cache
def thruster() -> Scene:
    """Bow thruster tunnel through the forefoot, blade and its small anode inside."""
    shape = (1400, 1800)
    coat = antifouled(shape, 1.3, 700)
    x, z = metric(shape, 1.3, 1.0)
    r = np.hypot(x, z)
    coat.paint(step(np.abs(r - 0.100), 0.008, 0.002) * 0.7, (0.30, 0.13, 0.11), 0.6)
    fray = step(r + 0.02 * (cloud(shape, 702, slope=1.2) - 0.5), 0.118, 0.108)
    coat.paint(fray * 0.7, PRIMER, 0.6)
    angle = np.linspace(0, 2 * np.pi, 160)
    ring = []
    radii = np.concatenate([np.linspace(0.0925, 0.12, 14), np.geomspace(0.125, 0.9, 60)])
    for radius in radii:
        lip = -0.010 * np.exp(-(((radius - 0.104) / 0.010) ** 2))
        ring.append(
            np.stack(
                [
                    radius * np.cos(angle),
                    0.10 * (radius * np.cos(angle)) ** 2
                    + 0.12 * (radius * np.sin(angle)) ** 2
                    + lip,
                    radius * np.sin(angle),
                ],
                axis=1,
            )
        )
    points = np.array(ring)
    surface = grid(points, flip=True)
    uv = np.stack([surface.vertices[:, 0] / 1.3 + 0.5, 0.5 - surface.vertices[:, 2] / 1.0], axis=1)
    surface = replace(surface, uv=np.clip(uv, 0, 1))
    wall = Coat((300, 800), (0.40, 0.38, 0.33), 0.5).mottle(705, 0.2)
    wall.paint(step(cloud((300, 800), 706, slope=1.5), 0.55, 0.75) * 0.7, ANTIFOULING, 0.8)
    dots = domes((300, 800), 707, count=90, radius_px=(2, 9))
    wall.paint(dots, (0.46, 0.44, 0.38), 0.8)
    depth = np.linspace(0.0, 0.75, 60)
    pipe = np.stack(
        [
            0.0935 * np.cos(angle)[None, :] + 0 * depth[:, None],
            depth[:, None] + 0 * angle[None, :],
            0.0935 * np.sin(angle)[None, :] + 0 * depth[:, None],
        ],
        axis=-1,
    )
    gear = turned(
        lathe(
            rounded(
                [
                    (0, -0.09),
                    (0.020, -0.088),
                    (0.030, -0.06),
                    (0.030, 0.06),
                    (0.018, 0.085),
                    (0, 0.086),
                ],
                0.01,
            )
        ),
        "x",
        90,
    )
    leg = tube([(0, 0, 0), (0, 0, 0.095)], 0.022, 30)
    hub = turned(
        moved(
            lathe(rounded([(0, 0), (0.028, 0), (0.028, 0.035), (0.018, 0.045), (0, 0.045)], 0.006)),
            (0, 0, 0.06),
        ),
        "x",
        90,
    )
    blades = joined(
        [
            turned(
                turned(moved(blade(0.024, 0.086, 0.055, 0.10), (0, 0, 0.08)), "z", 72 * k + 20),
                "x",
                90,
            )
            for k in range(5)
        ]
    )
    zinc = Coat((300, 300), (0.46, 0.47, 0.48), 0.6, 0.6).mottle(708, 0.4)
    zinc.paint(
        domes((300, 300), 709, count=60, radius_px=(4, 18)) * 0.7, (0.22, 0.22, 0.22), 0.9, 0.2
    )
    tip = turned(
        moved(
            lathe(
                rounded(
                    [(0.018, 0.0), (0.020, 0.002), (0.014, 0.018), (0.008, 0.020), (0, 0.018)],
                    0.004,
                )
            ),
            (0, 0, 0.105),
        ),
        "x",
        90,
    )
    at = (0, 0.20, 0)
    return Scene(
        things=(
            ground(-1.1, size_m=60.0),
            shed(-1.1, (3.0, 14.0)),
            Thing(mesh=surface, material=painted(coat)),
            Thing(mesh=grid(pipe, weld=True), material=painted(wall)),
            Thing(
                mesh=moved(joined([gear, leg]), at),
                material=Material(colour=(0.10, 0.10, 0.11), rough=0.5),
            ),
            Thing(
                mesh=moved(joined([hub, blades]), at),
                material=Material(colour=(0.035, 0.035, 0.04), rough=0.35),
            ),
            Thing(mesh=moved(tip, at), material=painted(zinc)),
            on_panel(number_card(11), 0.155, -0.10, y=-0.004),
        ),
        lamps=(
            Lamp(at=(0.12, -0.75, 0.10), toward=(0, 0.2, 0), size=(0.06, 0.06), power=(70, 66, 58)),
        ),
        sky=0.8,
        sky_seed=2,
    )


@cache
def skin_fitting(state: str) -> Scene:
    """A skin fitting from outside: sound bronze, pink bronze, or plastic."""
    shape = (1200, 1600)
    coat = antifouled(shape, 0.56, {"sound": 800, "pink": 810, "plastic": 820}[state])
    x, z = metric(shape, 0.56, 0.42)
    r = np.hypot(x, z)
    away = step(r + 0.02 * (cloud(shape, 804, slope=1.3) - 0.5), 0.072, 0.058)
    if state != "plastic":
        coat.paint(away * 0.8, PRIMER, 0.6)
    bead = np.exp(-(((r - 0.047) / 0.004) ** 2))
    coat.paint(
        np.clip(bead * 1.2, 0, 0.9),
        (0.30, 0.29, 0.26) if state != "pink" else (0.16, 0.17, 0.15),
        0.7,
        lift=0.0012,
    )
    bore = step(r, 0.0225, 0.0215)
    coat.paint(bore, (0.01, 0.01, 0.01), 0.9, lift=-0.045)
    if state == "pink":
        weep = runs(
            shape, 812, [(0.47, 0.60), (0.50, 0.61), (0.53, 0.60)], length=0.25, width=0.014
        )
        coat.paint(np.clip(weep, 0, 0.7), (0.14, 0.24, 0.19), 0.7)
    if state == "sound":
        metal = painted(bronze_coat(803, shape=(500, 700)))
    elif state == "pink":
        metal = painted(bronze_coat(813, pink=1.25, pits=150, shape=(500, 700)))
    else:
        worn = Coat((300, 500), (0.55, 0.55, 0.51), 0.45).mottle(823, 0.08)
        worn.paint(
            step(cloud((300, 500), 824, slope=1.4), 0.6, 0.75) * 0.6, (0.28, 0.10, 0.08), 0.8
        )
        metal = painted(worn)
    flange = skin_flange(0.045, metal)
    count = {"sound": 5, "pink": 6, "plastic": 8}[state]
    return outside(
        Thing(mesh=sheet(coat, 0.56, 0.42, bulge=(0.1, 0.4)), material=painted(coat)),
        *standing_out(
            [
                flange,
                Thing(mesh=moved(lathe([(0, 0), (0.024, 0)], 40), (0, 0, -0.03)), material=BLACK),
            ],
            0,
            0,
        ),
        on_panel(number_card(count), 0.115, -0.075, y=-0.001, spin=-4),
        level_m=-1.0,
        behind=False,
    )


@cache
def blister_patch() -> Scene:
    """Antifouling scraped to bare gelcoat, with small blisters standing out of it."""
    shape = (1500, 2000)
    coat = antifouled(shape, 0.72, 900)
    x, z = metric(shape, 0.72, 0.54)
    scraped(coat, step(np.maximum(np.abs(x) / 0.19, np.abs(z - 0.01) / 0.135), 1.25, 0.75), 905)
    inside = step(np.maximum(np.abs(x) / 0.17, np.abs(z - 0.01) / 0.115), 1.05, 0.9)
    px = shape[1] / 0.72
    bumps = domes(
        shape, 910, count=46, radius_px=(0.0016 * px, 0.0065 * px), where=inside, power=0.8
    )
    coat.relief += blur(bumps, 2.0) * 0.0017
    coat.paint(step(bumps, 0.02, 0.3) * 0.18, (0.55, 0.53, 0.42))
    ring = step(bumps, 0.0, 0.06) * step(bumps, 0.35, 0.12)
    coat.paint(ring * 0.35, (0.35, 0.33, 0.28))
    wet = runs(shape, 912, [(0.47, 0.50)], length=0.10, width=0.004)
    coat.paint(np.clip(wet * 1.2, 0, 0.8), (0.36, 0.27, 0.12), 0.08)
    coat.paint(
        step(np.hypot(x + 0.0216, z - 0.000), 0.0045, 0.0028),
        (0.10, 0.075, 0.04),
        0.4,
        lift=-0.0016,
    )
    circle = np.abs(np.hypot(x + 0.0216, z) - 0.021 - 0.001 * np.sin(5 * np.arctan2(z, x)))
    crayon(coat, step(circle, 0.0017, 0.0008), 915, (0.03, 0.07, 0.30))
    return outside(
        Thing(mesh=sheet(coat, 0.72, 0.54, bulge=(0.1, 0.4), columns=1000), material=painted(coat)),
        on_panel(number_card(12), 0.175, -0.135, y=-0.001, spin=-3),
        on_panel(scale_bar(10), -0.12, -0.150, y=-0.001, spin=1.5),
        level_m=-1.0,
        behind=False,
    )


@cache
def sound_patch() -> Scene:
    """A scraped reference patch without blisters, with the moisture meter beside it."""
    shape = (1400, 1900)
    coat = antifouled(shape, 0.8, 930)
    x, z = metric(shape, 0.8, 0.6)
    scraped(coat, step(np.maximum(np.abs(x + 0.02) / 0.20, np.abs(z) / 0.14), 1.25, 0.75), 935)
    label = letters(shape, "R1", at=(0.30, 0.42), size=0.075)
    crayon(coat, label, 936, (0.03, 0.07, 0.30))
    hand = [
        Thing(mesh=moved(turned(t.mesh, "y", 12), (0.03, -0.018, 0.0)), material=t.material)
        for t in meter()
    ]
    return outside(
        Thing(mesh=sheet(coat, 0.8, 0.6, bulge=(0.1, 0.4)), material=painted(coat)),
        *hand,
        on_panel(scale_bar(10), -0.10, -0.105, y=-0.001, spin=1),
        level_m=-1.0,
        behind=False,
    )


@cache
def hammer_grid() -> Scene:
    """Crayon grid on the topsides turn of bilge with D and H rings, and a small hammer."""
    shape = (1500, 2100)
    coat = antifouled(shape, 1.3, 950)
    lines = [[(0.1 + 0.16 * k, 0.06), (0.105 + 0.16 * k, 0.94)] for k in range(6)]
    lines += [[(0.05, 0.14 + 0.18 * k), (0.96, 0.135 + 0.18 * k)] for k in range(5)]
    crayon(coat, strokes(shape, lines, 5), 951, CHALK)
    marks = {(0.34, 0.41): "D", (0.50, 0.42): "D", (0.50, 0.59): "H", (0.66, 0.60): "D"}
    for (cx, cy), name in marks.items():
        ring = [[(cx + 0.036 * np.cos(a), cy + 0.054 * np.sin(a)) for a in np.linspace(0, 6.5, 40)]]
        crayon(coat, strokes(shape, ring, 7), 952)
        crayon(coat, letters(shape, name, at=(cx, cy), size=0.055), 953)
    for k in range(6):
        crayon(
            coat, letters(shape, str(k + 1), at=(0.125 + 0.16 * k, 0.075), size=0.035), 954, CHALK
        )
    for k, name in enumerate("ABCDE"):
        crayon(coat, letters(shape, name, at=(0.075, 0.165 + 0.18 * k), size=0.035), 955, CHALK)
    handle = tube(
        [(0, 0, 0), (0.10, 0, 0.004), (0.26, 0, -0.004)], np.array([0.009, 0.010, 0.013]), 24
    )
    head = turned(
        lathe(
            rounded(
                [
                    (0, -0.045),
                    (0.011, -0.045),
                    (0.012, -0.03),
                    (0.009, -0.015),
                    (0.010, 0.02),
                    (0.012, 0.04),
                    (0, 0.042),
                ],
                0.003,
            )
        ),
        "x",
        0,
    )
    at = (0.02, -0.10, -0.285)
    tilt = 0
    wood = timber(77, (0.45, 0.29, 0.13))
    tools = [
        Thing(mesh=moved(turned(handle, "y", tilt), at), material=wood),
        Thing(mesh=moved(turned(head, "y", tilt), at), material=DULL_STEEL),
    ]
    shelf = moved(box((1.9, 0.30, 0.05), 0.01), (0, -0.16, -0.335))
    return outside(
        Thing(mesh=sheet(coat, 1.3, 0.93, bulge=(0.08, 0.5)), material=painted(coat)),
        *tools,
        Thing(mesh=shelf, material=timber(78)),
        level_m=-1.0,
        behind=False,
    )
