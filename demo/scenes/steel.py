"""Close scenes on the bottom plating and underwater gear of the steel motor yacht."""

from functools import cache

import numpy as np

from scenes.bottom import CHALK, crayon, metric, on_panel, outside, standing_out, strokes
from scenes.deck import lying
from scenes.fittings import anode_pear, bronze_coat, fixed_propeller, meter
from scenes.mesh import (
    Mesh,
    box,
    curve,
    foil,
    grid,
    joined,
    lathe,
    moved,
    prism,
    rounded,
    scaled,
    tube,
    turned,
)
from scenes.motor_yacht import BLACKING, TOPSIDES
from scenes.noise import Field, blur, cloud, coordinates, domes, runs, step
from scenes.studio import Scene
from scenes.surface import (
    BLACK,
    BRIGHT_RUST,
    DARK_RUST,
    DULL_STEEL,
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
from scenes.yard import timber

CREAM: Colour = (0.62, 0.60, 0.52)
BARE: Colour = (0.52, 0.52, 0.51)


def rusted(coat: Coat, mask: Field, seed: int, *, thick_m: float = 0.0012) -> Coat:
    """Rust where the mask says: dark and orange, gritty, standing above the plate."""
    shape = coat.shape
    coat.paint(mask, RUST, 0.92, 0.0)
    grit = cloud(shape, seed, slope=0.9, coarsest=12)
    coat.shade(1 + mask * (grit - 0.5) * 1.3)
    coat.paint(mask * step(cloud(shape, seed + 1, slope=1.3), 0.52, 0.68), BRIGHT_RUST, 0.95)
    coat.paint(mask * step(cloud(shape, seed + 2, slope=1.3), 0.60, 0.74) * 0.85, DARK_RUST, 0.9)
    coat.relief += mask * (grit - 0.35) * thick_m * 2
    return coat


def blacked(shape: tuple[int, int], width_m: float, seed: int, *, rust: float = 0.3) -> Coat:
    """Bottom plate in old black coating, washed: chalky bloom, rust spots, small shells."""
    px = shape[1] / width_m
    coat = Coat(shape, BLACKING, 0.62).mottle(seed, 0.35, slope=1.4)
    coat.relief += (cloud(shape, seed + 1, slope=0.8, coarsest=shape[0] / 30) - 0.5) * 0.0004
    chalky = step(cloud(shape, seed + 2, slope=1.4, stretch=3, coarsest=4), 0.50, 0.78)
    coat.paint(chalky * 0.5, (0.095, 0.088, 0.080), 0.85)
    bloom = step(
        cloud(shape, seed + 3, slope=1.4, coarsest=5), 0.86 - 0.4 * rust, 0.93 - 0.4 * rust
    )
    rusted(coat, bloom, seed + 4)
    spots = domes(shape, seed + 8, count=int(130 * width_m), radius_px=(0.0012 * px, 0.006 * px))
    coat.paint(step(spots, 0.1, 0.5) * 0.9, BRIGHT_RUST, 0.9, lift=0.0004)
    shells = domes(shape, seed + 9, count=int(50 * width_m), radius_px=(0.0010 * px, 0.0034 * px))
    coat.paint(np.clip(shells * 2, 0, 1) * 0.8, (0.40, 0.38, 0.33), 0.85)
    coat.relief += shells * 0.0014
    return coat


def ground_bright(coat: Coat, mask: Field, seed: int) -> Coat:
    """Ground to bright metal with a disc: arcs of scratches, a heat-free rim."""
    coat.paint(mask, BARE, 0.30, 1.0, lift=-0.0004)
    arcs = cloud(coat.shape, seed, slope=0.7, stretch=0.06)
    coat.shade(1 + mask * (arcs - 0.5) * 0.7)
    coat.rough = np.clip(coat.rough + mask * (arcs - 0.5) * 0.25, 0.08, 1)
    rim = step(np.abs(blur(mask, 5) - 0.5), 0.35, 0.05)
    return coat.paint(rim * 0.35, (0.16, 0.09, 0.06), 0.6)


@cache
def scaled_plate() -> Scene:
    """Bottom plate at the waterline aft: rust in layers, part of the scale knocked off."""
    shape = (1400, 1900)
    coat = blacked(shape, 1.1, 3000, rust=0.35)
    x, z = metric(shape, 1.1, 0.82)
    ragged = np.hypot(x / 0.34, (z - 0.02) / 0.20) + 1.0 * (
        cloud(shape, 3010, slope=1.4, coarsest=3) - 0.5
    )
    area = step(ragged, 1.0, 0.93)
    rusted(coat, area, 3011, thick_m=0.003)
    coat.relief += area * 0.003
    off = step(ragged + 0.5 * (cloud(shape, 3014, slope=1.2, coarsest=5) - 0.5), 0.55, 0.52)
    coat.relief -= off * 0.0055
    coat.paint(off * 0.8, (0.075, 0.050, 0.040), 0.6, 0.3)
    coat.paint(off * step(cloud(shape, 3015, slope=1.1), 0.55, 0.7) * 0.7, BRIGHT_RUST, 0.9)
    return outside(
        Thing(mesh=sheet(coat, 1.1, 0.82, bulge=(0.03, 0.1), columns=1000), material=painted(coat)),
        on_panel(number_card(4), 0.26, -0.225, y=-0.002, spin=-3),
        on_panel(scale_bar(20), -0.17, -0.245, y=-0.002, spin=1),
        level_m=-1.0,
        behind=False,
    )


@cache
def pits() -> Scene:
    """A cleaned area of bottom plate with pits, and a bridge gauge with a blank dial across one."""
    shape = (1500, 2000)
    coat = blacked(shape, 0.5, 3050, rust=0.2)
    x, z = metric(shape, 0.5, 0.375)
    mask = step(
        np.maximum(np.abs(x) / 0.16, np.abs(z) / 0.11)
        + 0.2 * (cloud(shape, 3051, slope=1.3) - 0.5),
        1.02,
        0.97,
    )
    ground_bright(coat, mask, 3052)
    px = shape[1] / 0.5
    holes = domes(
        shape, 3053, count=34, radius_px=(0.0016 * px, 0.0085 * px), where=mask, power=0.6
    )
    for cx, cz, radius in ((-0.055, 0.035, 0.0095), (0.045, -0.010, 0.0080)):
        pit = np.hypot((x - cx) * 1.1, z - cz) + 0.002 * (cloud(shape, 3055, slope=1.3) - 0.5)
        holes = np.maximum(holes, np.clip(1 - (pit / radius) ** 2, 0, 1) ** 0.6)
    coat.paint(step(holes, 0.0, 0.25) * 0.85, (0.10, 0.055, 0.035), 0.8, 0.3)
    coat.paint(step(holes, 0.35, 0.8) * 0.7, (0.03, 0.018, 0.012), 0.9, 0.0)
    coat.relief -= holes * 0.0035
    ring = step(np.abs(np.hypot(x + 0.055, z - 0.035) - 0.016), 0.0012, 0.0005)
    crayon(coat, ring, 3054, (0.03, 0.07, 0.30))
    bridge = joined(
        [
            moved(box((0.10, 0.012, 0.014), 0.002), (0, 0.0, 0.014)),
            moved(box((0.012, 0.014, 0.02), 0.002), (-0.042, 0, 0.006)),
            moved(box((0.012, 0.014, 0.02), 0.002), (0.042, 0, 0.006)),
        ]
    )
    stem = tube([(0, 0, 0.0), (0, 0, 0.05)], 0.0028, 16)
    dial_shape = (300, 300)
    u, v = coordinates(dial_shape)
    r, angle = np.hypot(u - 0.5, v - 0.5), np.degrees(np.arctan2(v - 0.5, u - 0.5))
    face = Coat(dial_shape, (0.72, 0.72, 0.68), 0.3)
    face.paint(
        ((np.abs(angle % 9) < 1.2) & (r > 0.36) & (r < 0.43)).astype(np.float32), (0.02, 0.02, 0.02)
    )
    face.paint(((np.abs(angle + 40) < 2.2) & (r < 0.38)).astype(np.float32), (0.4, 0.02, 0.02))
    case = turned(
        lathe(
            rounded(
                [
                    (0, -0.009),
                    (0.024, -0.009),
                    (0.026, 0.0),
                    (0.026, 0.009),
                    (0.0235, 0.010),
                    (0.0235, 0.007),
                    (0, 0.007),
                ],
                0.002,
            ),
            72,
        ),
        "x",
        90,
    )
    dial = moved(scaled(sheet(face, 1, 1, columns=60), (0.036, 1, 0.036)), (0, -0.0075, 0))
    tools = [
        Thing(mesh=joined([bridge, stem]), material=STEEL),
        Thing(
            mesh=moved(case, (0, 0, 0.070)),
            material=Material(colour=(0.12, 0.12, 0.13), rough=0.35, metal=0.6),
        ),
        Thing(mesh=moved(dial, (0, 0, 0.070)), material=painted(face)),
    ]
    gauge = [
        Thing(mesh=moved(turned(t.mesh, "x", 55), (0.045, -0.006, -0.010)), material=t.material)
        for t in tools
    ]
    return outside(
        Thing(mesh=sheet(coat, 0.5, 0.375, columns=1100), material=painted(coat)),
        *gauge,
        on_panel(scale_bar(10), -0.075, -0.085, y=-0.001, spin=1),
        level_m=-0.9,
        behind=False,
    )


@cache
def reading_grid() -> Scene:
    """Spots ground bright on a grid, with chalk frame numbers and level letters."""
    shape = (1500, 2200)
    coat = blacked(shape, 2.0, 3100, rust=0.18)
    x, z = metric(shape, 2.0, 1.36)
    rng = np.random.default_rng(31)
    spots = np.zeros(shape, np.float32)
    for k in range(5):
        for j in range(4):
            cx, cz = (
                -0.72 + 0.36 * k + 0.01 * rng.standard_normal(),
                0.44 - 0.30 * j + 0.01 * rng.standard_normal(),
            )
            radius = 0.026 + 0.008 * rng.random()
            spots = np.maximum(spots, step(np.hypot((x - cx) * 0.9, z - cz), radius, radius * 0.86))
            label = letters(
                shape,
                f"{k + 8}{'ABCD'[j]}",
                at=((cx + 0.085) / 2.0 + 0.5, 0.5 - (cz + 0.062) / 1.36),
                size=0.036,
            )
            crayon(coat, label, 3101 + k * 4 + j, CHALK)
    ground_bright(coat, spots, 3130)
    lines = [
        [(0.5 + (-0.72 + 0.36 * k) / 2.0, 0.04), (0.502 + (-0.72 + 0.36 * k) / 2.0, 0.97)]
        for k in range(5)
    ]
    marks = strokes(shape, lines, 3) * (1 - blur(spots, 6).clip(0, 1))
    crayon(coat, marks * 0.6, 3131, CHALK)
    return outside(
        Thing(mesh=sheet(coat, 2.0, 1.36, bulge=(0.03, 0.06), columns=900), material=painted(coat)),
        on_panel(scale_bar(20), 0.06, -0.31, y=-0.002, spin=-1),
        level_m=-1.1,
        behind=False,
    )


def _probe() -> Mesh:
    """The probe of an ultrasonic gauge, its face at the origin and its cable end upward."""
    outline = [
        (0, 0),
        (0.0065, 0),
        (0.0065, 0.012),
        (0.009, 0.016),
        (0.009, 0.03),
        (0.004, 0.034),
        (0.0035, 0.045),
        (0, 0.045),
    ]
    return lathe(rounded(outline, 0.002), 40)


@cache
def gauge_on_plate() -> Scene:
    """An ultrasonic thickness gauge, digits blank, its probe held on a ground spot by putty."""
    shape = (1300, 1800)
    coat = blacked(shape, 0.6, 3150, rust=0.15)
    x, z = metric(shape, 0.6, 0.43)
    spot = step(
        np.hypot(x + 0.105, z - 0.02) + 0.01 * (cloud(shape, 3151, slope=1.4) - 0.5), 0.040, 0.035
    )
    ground_bright(coat, spot, 3152)
    gel = step(
        np.hypot((x + 0.105) * 1.1, z - 0.017) + 0.008 * (cloud(shape, 3153, slope=1.6) - 0.5),
        0.021,
        0.018,
    )
    coat.paint(gel * 0.25, (0.4, 0.5, 0.5), 0.05, 0.4)
    crayon(coat, letters(shape, "10B", at=(0.34, 0.24), size=0.085), 3154, CHALK)
    body = [
        Thing(mesh=moved(turned(t.mesh, "y", -8), (0.075, -0.020, 0.0)), material=t.material)
        for t in meter(digital=True)
    ]
    probe = moved(
        turned(_probe(), "x", 90),
        (-0.105, 0.0, 0.02),
    )
    lead = tube(
        curve(
            [
                (-0.105, -0.04, 0.02),
                (-0.100, -0.085, 0.05),
                (-0.02, -0.085, 0.13),
                (0.06, -0.05, 0.125),
                (0.066, -0.03, 0.072),
            ],
            70,
        ),
        0.0022,
        10,
    )
    shelf = moved(box((1.4, 0.12, 0.03), 0.006), (0, -0.06, -0.092))
    return outside(
        Thing(mesh=sheet(coat, 0.6, 0.43, columns=800), material=painted(coat)),
        *body,
        Thing(mesh=probe, material=DULL_STEEL),
        Thing(mesh=lead, material=BLACK),
        Thing(mesh=shelf, material=timber(3155)),
        level_m=-0.9,
        behind=False,
    )


@cache
def step_block() -> Scene:
    """The gauge's step block of five known thicknesses, on a plank, with the gauge beside it."""
    steps = [
        moved(
            box((0.022, 0.030, 0.004 + 0.004 * k), 0.0006),
            (0.020 * k - 0.04, 0, (0.004 + 0.004 * k) / 2),
        )
        for k in range(5)
    ]
    brushed = Coat((200, 400), (0.60, 0.60, 0.59), 0.25, 1.0)
    brushed.rough += (cloud((200, 400), 3160, slope=0.6, stretch=0.05) - 0.5) * 0.3
    probe = moved(_probe(), (0.0, 0, 0.012))
    lead = tube(
        curve(
            [
                (0.0, 0, 0.055),
                (0.0, 0.01, 0.085),
                (0.05, 0.07, 0.07),
                (0.10, 0.09, 0.02),
                (0.13, 0.05, 0.02),
                (0.135, 0.03, 0.02),
            ],
            70,
        ),
        0.0022,
        10,
    )
    unit = [
        Thing(
            mesh=moved(turned(turned(t.mesh, "x", -90), "z", 10), (0.135, -0.045, 0.018)),
            material=t.material,
        )
        for t in meter(digital=True)
    ]
    label = Coat((120, 600), (0.70, 0.69, 0.62), 0.6)
    for k in range(5):
        label.paint(
            letters((120, 600), str(4 + 4 * k), at=(0.1 + 0.2 * k, 0.5), size=0.6),
            (0.03, 0.03, 0.05),
        )
    strip = moved(lying(sheet(label, 0.104, 0.018, columns=40)), (0, -0.030, 0.0008))
    plank = moved(box((1.6, 0.42, 0.04), 0.006), (0, 0.02, -0.02))
    return outside(
        Thing(mesh=joined(steps), material=painted(brushed)),
        Thing(mesh=probe, material=DULL_STEEL),
        Thing(mesh=lead, material=BLACK),
        *unit,
        Thing(mesh=strip, material=painted(label)),
        Thing(mesh=plank, material=timber(3161, (0.40, 0.28, 0.16))),
        level_m=-0.8,
        seed=2,
    )


def bead(x: Field, z: Field, seed: int, *, at: float = 0.0, width: float = 0.007) -> Field:
    """A weld bead along z at x = `at`, with its ripples, as relief 0..1."""
    wander = (cloud(x.shape, seed, slope=1.8) - 0.5) * 0.004
    across = (x - at + wander) / width
    crown = np.sqrt(np.clip(1 - across**2, 0, 1))
    ripple = 0.85 + 0.15 * np.sin(2 * np.pi * (z + 0.0035 * across**2) / 0.0032)
    return (crown * ripple).astype(np.float32)


@cache
def weld_seam() -> Scene:
    """A vertical plate seam in the side, paint gone along it and the weld wasted below its edges."""
    shape = (1500, 2000)
    coat = Coat(shape, TOPSIDES, 0.25).mottle(3200, 0.12)
    x, z = metric(shape, 0.5, 0.375)
    weld = bead(x, z, 3201)
    coat.relief += weld * 0.0022
    near = step(np.abs(x) + 0.03 * (cloud(shape, 3202, slope=1.4, coarsest=3) - 0.5), 0.026, 0.018)
    open_ = near * step(z + 0.10 * (cloud(shape, 3203, slope=1.3) - 0.5), 0.11, 0.07)
    coat.relief -= step(np.abs(blur(open_, 4) - 0.5), 0.5, 0.1) * 0.0002
    rusted(coat, open_, 3204, thick_m=0.0006)
    groove = np.exp(-(((np.abs(x) - 0.0085) / 0.0022) ** 2)) * open_
    coat.relief -= groove * 0.0016
    coat.paint(groove * 0.7, DARK_RUST, 0.95)
    weep = runs(shape, 3207, [(0.46, 0.62), (0.5, 0.6), (0.54, 0.63)], length=0.4, width=0.012)
    coat.paint(np.clip(weep, 0, 0.7), BRIGHT_RUST, 0.8)
    return outside(
        Thing(mesh=sheet(coat, 0.5, 0.375, columns=1100), material=painted(coat, clear=0.3)),
        on_panel(scale_bar(10), 0.09, -0.075, y=-0.0015, spin=-2),
        on_panel(number_card(9), -0.105, 0.055, y=-0.0015, spin=3),
        level_m=-1.5,
        behind=False,
    )


@cache
def chine() -> Scene:
    """The chine from outside, port side, bow to the left: weld along the knuckle, plate below it wasted."""
    shape = (1500, 2400)
    width, girth = 1.8, 1.1
    coat = blacked(shape, width, 3250, rust=0.25)
    s = np.linspace(0, girth, shape[0], dtype=np.float32)[:, None]
    x = np.linspace(-width / 2, width / 2, shape[1], dtype=np.float32)[None, :] + 0 * s
    upper = step(s, 0.305, 0.295) * np.ones_like(x)
    coat.paint(upper, TOPSIDES, 0.3)
    coat.paint(upper * step(s, 0.20, 0.205) * step(s, 0.275, 0.27), (0.55, 0.55, 0.52), 0.35)
    across = (s - 0.50) / 0.008
    crown = np.sqrt(np.clip(1 - across**2, 0, 1)) * (0.85 + 0.15 * np.sin(2 * np.pi * x / 0.0045))
    coat.relief += crown.astype(np.float32) * 0.002
    band = np.exp(-(((s - 0.55) / 0.07) ** 2)) * np.ones_like(x)
    eaten = step(band + 0.9 * (cloud(shape, 3251, slope=1.4, coarsest=4) - 0.5), 0.72, 0.80)
    rusted(coat, eaten, 3252, thick_m=0.0016)
    coat.relief -= eaten * 0.001
    rng = np.random.default_rng(5)
    spots = np.zeros(shape, np.float32)
    for k in range(6):
        cx = -0.72 + 0.29 * k
        for cs in (0.42, 0.60):
            radius = 0.024 + 0.006 * rng.random()
            spots = np.maximum(spots, step(np.hypot(x - cx, s - cs), radius, radius * 0.85))
        crayon(
            coat,
            letters(shape, str(6 + k), at=(cx / width + 0.5, 0.66 / girth), size=0.036),
            3255 + k,
            CHALK,
        )
    ground_bright(coat, spots, 3260)
    rows = 620
    sv = np.linspace(0, girth, rows)
    path = np.array(rounded([(-0.06, 0.50), (0.0, 0.0), (0.52, -0.29)], 0.012, 8))
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    y, z = (np.interp(sv, along * girth / along[-1], path[:, k]) for k in (0, 1))
    xs = np.linspace(-width / 2, width / 2, 1000)
    points = np.stack(
        [
            np.broadcast_to(xs, (rows, 1000)),
            np.broadcast_to(y[:, None], (rows, 1000)),
            np.broadcast_to(z[:, None], (rows, 1000)),
        ],
        axis=-1,
    )
    card = number_card(6)
    return outside(
        Thing(mesh=draped(points, coat, flip=True), material=painted(coat)),
        Thing(
            mesh=moved(turned(card.mesh, "x", -6), (0.33, -0.012, 0.075)), material=card.material
        ),
        level_m=-1.0,
        seed=3,
        behind=False,
    )


def _ceiling(seed: int, height: float, size: float = 4.0) -> Thing:
    coat = blacked((900, 900), size, seed, rust=0.25)
    x, y = np.meshgrid(np.linspace(-size / 2, size / 2, 100), np.linspace(-size / 2, size / 2, 100))
    points = np.stack([x, y, height + 0.05 * x / size + 0.10 * np.abs(y)], axis=-1)
    return Thing(mesh=draped(points, coat, flip=True), material=painted(coat))


@cache
def propeller_and_rudder() -> Scene:
    """Starboard shaft: A-bracket, four-bladed propeller and rudder; bow to the right."""
    prop = painted(bronze_coat(3300, shape=(700, 700)))
    out: list[Thing] = [_ceiling(3305, 0.55)]
    lean = 9.0
    for thing in fixed_propeller(0.33, 4, prop):
        mesh = turned(turned(thing.mesh, "z", 20), "y", -90 - lean)
        out.append(Thing(mesh=mesh, material=thing.material))
    out.append(Thing(mesh=tube([(-0.05, 0, 0), (2.6, 0, 0.42)], 0.024, 40), material=STEEL))
    black = blacked((500, 700), 0.8, 3310, rust=0.45)
    coated = painted(black)
    boss = turned(
        lathe(
            rounded(
                [
                    (0.027, -0.12),
                    (0.048, -0.12),
                    (0.054, -0.08),
                    (0.054, 0.08),
                    (0.048, 0.12),
                    (0.027, 0.12),
                ],
                0.008,
            ),
            64,
        ),
        "y",
        90 - lean,
    )
    section = foil(0.26, 30)
    arms = []
    for lean_y in (-0.30, 0.30):
        share = np.linspace(0, 1, 30)[:, None]
        arm = np.empty((30, len(section), 3))
        arm[..., 0] = 0.42 - section[None, :, 0] * 0.11
        arm[..., 1] = share * lean_y + section[None, :, 1] * 0.11
        arm[..., 2] = 0.07 + share * 0.60
        arms.append(grid(arm, weld=True))
    out.append(Thing(mesh=joined([moved(boss, (0.37, 0, 0.058)), *arms]), material=coated))
    zinc = Coat((300, 400), (0.44, 0.45, 0.46), 0.7, 0.5).mottle(3312, 0.35)
    zinc.paint(
        domes((300, 400), 3313, count=90, radius_px=(4, 20)) * 0.7, (0.20, 0.21, 0.21), 0.9, 0.1
    )
    collar = turned(
        lathe(
            rounded(
                [(0.0245, -0.05), (0.046, -0.045), (0.054, 0), (0.046, 0.045), (0.0245, 0.05)],
                0.012,
            ),
            64,
        ),
        "y",
        90 - lean,
    )
    out.append(Thing(mesh=moved(collar, (0.72, 0, 0.116)), material=painted(zinc)))
    plate = foil(0.11, 80)
    share = np.linspace(0, 1, 160)[:, None]
    rudder = np.empty((160, len(plate), 3))
    rudder[..., 0] = -0.42 - plate[None, :, 0] * (0.58 - 0.05 * share)
    rudder[..., 1] = plate[None, :, 1] * 0.55
    rudder[..., 2] = 0.36 - 0.80 * share
    paint = blacked((900, 900), 1.2, 3315, rust=0.35)
    out.append(Thing(mesh=draped(rudder, paint), material=painted(paint)))
    half = rudder.shape[1] // 2 + 1
    out.append(
        Thing(mesh=grid(np.stack([rudder[-1, :half], rudder[-1, ::-1][:half]])), material=coated)
    )
    out.append(Thing(mesh=tube([(-0.58, 0, 0.30), (-0.58, 0, 0.7)], 0.036, 30), material=STEEL))
    other = [Thing(mesh=moved(t.mesh, (0, 1.7, 0)), material=t.material) for t in out[1:]]
    return outside(*out, *other, level_m=-0.78, seed=4)


@cache
def anode(state: str) -> Scene:
    """A hull anode: `gone` to its steel core rod, or `untouched` and painted over."""
    shape = (1200, 1600)
    coat = blacked(
        shape, 0.8, 3350 if state == "gone" else 3370, rust=0.3 if state == "gone" else 0.12
    )
    x, z = metric(shape, 0.8, 0.6)
    out: list[Thing] = []
    if state == "gone":
        ghost = step(
            np.hypot(x / 0.17, z / 0.055) + 0.3 * (cloud(shape, 3351, slope=1.3) - 0.5), 1.0, 0.9
        )
        coat.paint(ghost * 0.7, (0.16, 0.13, 0.11), 0.85)
        rusted(coat, ghost * step(cloud(shape, 3352, slope=1.3), 0.50, 0.62), 3353)
        strap = moved(box((0.40, 0.030, 0.006), 0.002), (0, 0, 0.016))
        ends = [moved(box((0.05, 0.036, 0.018), 0.004), (s * 0.20, 0, 0.008)) for s in (-1, 1)]
        iron = Coat((200, 600), RUST, 0.9).mottle(3355, 0.5, slope=1.0)
        iron.paint(step(cloud((200, 600), 3356, slope=1.2), 0.5, 0.65), BRIGHT_RUST)
        lump = Coat((240, 400), (0.42, 0.43, 0.44), 0.8, 0.3).mottle(3357, 0.4, slope=1.0)
        lump.relief -= domes((240, 400), 3358, count=160, radius_px=(6, 26)) * 0.008
        lump.paint(
            step(cloud((240, 400), 3359, slope=1.2), 0.55, 0.7) * 0.7, (0.66, 0.67, 0.66), 0.95, 0.0
        )
        around, up = np.meshgrid(
            np.linspace(0, 2 * np.pi, 200), np.linspace(0.02, np.pi / 2 + 0.3, 120)
        )
        rest = np.stack(
            [
                0.055 * np.cos(around) * np.sin(up),
                0.026 * np.sin(around) * np.sin(up),
                0.014 + 0.016 * np.cos(up),
            ],
            axis=-1,
        )
        out += standing_out(
            [
                Thing(mesh=joined([strap, *ends]), material=painted(iron)),
                Thing(mesh=moved(draped(rest, lump), (-0.06, 0, 0)), material=painted(lump)),
            ],
            0,
            0,
        )
    else:
        over = Coat((500, 500), (0.040, 0.037, 0.036), 0.6).mottle(3371, 0.25)
        flake = step(cloud((500, 500), 3372, slope=1.3), 0.78, 0.82)
        over.paint(flake, (0.50, 0.51, 0.52), 0.5, 0.8)
        pear = scaled(anode_pear().mesh, (1.5, 1.3, 1.5))
        lugs = [moved(box((0.07, 0.034, 0.008), 0.003), (s * 0.185, 0, 0.006)) for s in (-1, 1)]
        out += standing_out([Thing(mesh=joined([pear, *lugs]), material=painted(over))], 0, 0)
    return outside(
        Thing(mesh=sheet(coat, 0.8, 0.6, bulge=(0.03, 0.1)), material=painted(coat)),
        *out,
        on_panel(number_card(2 if state == "gone" else 3), 0.165, -0.12, y=-0.0015, spin=-4),
        level_m=-0.9,
        behind=False,
    )


@cache
def sea_chest() -> Scene:
    """Sea chest grid in the bottom plate: bars with rust and shells, four bolts."""
    shape = (1300, 1700)
    coat = blacked(shape, 0.8, 3400, rust=0.3)
    x, z = metric(shape, 0.8, 0.61)
    hole = step(np.maximum(np.abs(x) / 0.135, np.abs(z) / 0.105), 1.01, 0.99)
    coat.paint(hole, (0.008, 0.007, 0.006), 0.9, lift=-0.05)
    iron = blacked((500, 700), 0.4, 3405, rust=0.9)
    paint = painted(iron)
    frame = [moved(box((0.36, 0.045, 0.012), 0.004), (0, s * 0.125, 0.006)) for s in (-1, 1)] + [
        moved(box((0.045, 0.21, 0.012), 0.004), (s * 0.157, 0, 0.006)) for s in (-1, 1)
    ]
    bars = [
        moved(box((0.012, 0.22, 0.012), 0.004), (-0.12 + 0.03 * k, 0, 0.004))
        for k in range(9)
        if k != 6
    ]
    bolts = [
        moved(turned(prism(6, 0.021, 0.012), "z", 20 * k), (sx * 0.157, sy * 0.125, 0.012))
        for k, (sx, sy) in enumerate(((-1, -1), (1, -1), (1, 1), (-1, 1)))
    ]
    rng = np.random.default_rng(9)
    shells = [
        moved(
            lathe([(0.004, 0), (0.0035, 0.002), (0.0018, 0.0035), (0.0012, 0.0028)], 14),
            (
                -0.12 + 0.03 * rng.choice([0, 1, 2, 3, 4, 5, 7, 8]) + 0.003 * rng.uniform(-1, 1),
                rng.uniform(-0.10, 0.10),
                0.0098,
            ),
        )
        for _ in range(26)
    ]
    return outside(
        Thing(mesh=sheet(coat, 0.8, 0.61, columns=900), material=painted(coat)),
        *standing_out(
            [
                Thing(mesh=joined([*frame, *bars]), material=paint),
                Thing(mesh=joined(bolts), material=DULL_STEEL),
                Thing(
                    mesh=joined(shells), material=Material(colour=(0.45, 0.43, 0.37), rough=0.85)
                ),
            ],
            0,
            0,
        ),
        on_panel(scale_bar(10), 0.07, -0.20, y=-0.002, spin=2),
        level_m=-0.9,
        behind=False,
    )


@cache
def half_cell() -> Scene:
    """A reference half-cell hung in a bucket of sea water, its lead going to a hand meter."""
    pail = lathe(
        rounded(
            [
                (0, 0.0),
                (0.105, 0.0),
                (0.135, 0.26),
                (0.142, 0.262),
                (0.142, 0.268),
                (0.132, 0.268),
                (0.103, 0.008),
                (0, 0.008),
            ],
            0.003,
        ),
        96,
    )
    water = moved(lathe([(0, 0), (0.126, 0)], 96), (0, 0, 0.20))
    handle = tube(
        [
            (0.142 * np.cos(a), -0.03 - 0.12 * np.sin(a), 0.255 - 0.05 * np.sin(a))
            for a in np.linspace(0, np.pi, 40)
        ],
        0.0035,
        10,
    )
    cell = lathe(
        rounded(
            [
                (0, -0.10),
                (0.012, -0.10),
                (0.016, -0.085),
                (0.016, 0.06),
                (0.012, 0.07),
                (0.005, 0.075),
                (0.004, 0.10),
                (0, 0.10),
            ],
            0.003,
        ),
        48,
    )
    cell = moved(turned(turned(cell, "y", 14), "x", -8), (0.02, -0.01, 0.235))
    lead = tube(
        curve(
            [
                (0.045, 0.003, 0.33),
                (0.06, -0.01, 0.38),
                (0.16, -0.03, 0.34),
                (0.24, -0.06, 0.10),
                (0.30, -0.10, 0.02),
                (0.36, -0.06, 0.02),
                (0.37, 0.0, 0.03),
            ],
            90,
        ),
        0.003,
        12,
    )
    other = tube(
        curve(
            [
                (0.40, 0.04, 0.03),
                (0.46, 0.16, 0.015),
                (0.40, 0.5, 0.01),
                (0.1, 0.9, 0.02),
                (-0.3, 1.2, 0.4),
            ],
            80,
        ),
        0.003,
        12,
    )
    hand = [
        Thing(
            mesh=moved(turned(turned(t.mesh, "x", -72), "z", 12), (0.37, 0.02, 0.045)),
            material=t.material,
        )
        for t in meter(digital=True)
    ]
    plank = moved(box((1.6, 0.7, 0.04), 0.006), (0.1, 0.05, -0.02))
    hull = blacked((900, 1200), 3.0, 3750, rust=0.3)
    panel = moved(turned(sheet(hull, 3.6, 2.4, columns=400), "x", -24), (0, 1.25, 0.75))
    return outside(
        Thing(mesh=pail, material=Material(colour=(0.03, 0.03, 0.032), rough=0.45)),
        Thing(mesh=water, material=Material(colour=(0.05, 0.07, 0.06), rough=0.03, shine=0.6)),
        Thing(mesh=handle, material=STEEL),
        Thing(mesh=cell, material=Material(colour=(0.62, 0.62, 0.58), rough=0.35)),
        Thing(mesh=lead, material=Material(colour=(0.03, 0.08, 0.35), rough=0.5)),
        Thing(mesh=other, material=Material(colour=(0.40, 0.02, 0.02), rough=0.5)),
        *hand,
        Thing(mesh=plank, material=timber(3751, (0.40, 0.28, 0.16))),
        Thing(mesh=panel, material=painted(hull)),
        level_m=-0.45,
        seed=2,
    )
