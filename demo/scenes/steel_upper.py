"""Close scenes on the steel motor yacht above the waterline and below decks."""

from functools import cache

import numpy as np

from scenes.bottom import metric, on_panel, outside, standing_out
from scenes.deck import lying
from scenes.inside import by_lamp, compartment
from scenes.machinery import engine_block
from scenes.mesh import (
    box,
    curve,
    grid,
    joined,
    lathe,
    moved,
    prism,
    rounded,
    scaled,
    shifted,
    tube,
    turned,
)
from scenes.motor_yacht import TOPSIDES
from scenes.noise import blur, cloud, coordinates, domes, runs, step
from scenes.steel import CREAM, rusted
from scenes.studio import Scene
from scenes.surface import (
    BRASS,
    BRIGHT_RUST,
    DARK_RUST,
    DULL_STEEL,
    RUBBER,
    RUST,
    STEEL,
    Coat,
    Material,
    Thing,
    draped,
    number_card,
    painted,
    scale_bar,
    sheet,
)


@cache
def paint_blister() -> Scene:
    """Blisters in the topside paint, one broken to bare rusty steel."""
    shape = (1500, 2000)
    coat = Coat(shape, TOPSIDES, 0.20).mottle(3450, 0.10)
    x, z = metric(shape, 0.5, 0.375)
    px = shape[1] / 0.5
    bumps = domes(shape, 3451, count=60, radius_px=(0.002 * px, 0.014 * px), power=0.8)
    coat.relief += blur(bumps, 3) * 0.0032
    broken = step(
        np.hypot(x + 0.03, z - 0.01) + 0.03 * (cloud(shape, 3452, slope=1.3) - 0.5), 0.028, 0.025
    )
    coat.relief -= broken * 0.0012
    rusted(coat, broken, 3453, thick_m=0.0006)
    curl = step(
        np.abs(
            np.hypot(x + 0.03, z - 0.01) + 0.03 * (cloud(shape, 3452, slope=1.3) - 0.5) - 0.0285
        ),
        0.0022,
        0.0005,
    )
    coat.relief += curl * 0.0014
    coat.paint(curl * 0.8, (0.32, 0.12, 0.06), 0.6)
    weep = runs(shape, 3456, [(0.42, 0.52), (0.44, 0.53), (0.46, 0.52)], length=0.35, width=0.009)
    coat.paint(np.clip(weep, 0, 0.75), BRIGHT_RUST, 0.8)
    return outside(
        Thing(mesh=sheet(coat, 0.5, 0.375, columns=1000), material=painted(coat, clear=0.6)),
        on_panel(scale_bar(10), 0.06, -0.075, y=-0.0015, spin=-2),
        level_m=-1.6,
    )


@cache
def rubbing_strake() -> Scene:
    """Half-round steel rubbing strake along the topside, rust bleeding from its lower edge."""
    shape = (1300, 2200)
    width, girth = 1.7, 1.0
    coat = Coat(shape, TOPSIDES, 0.22).mottle(3500, 0.12)
    s = np.linspace(0, girth, shape[0], dtype=np.float32)[:, None]
    x = np.linspace(-width / 2, width / 2, shape[1], dtype=np.float32)[None, :]
    on = step(s, 0.33, 0.335) * step(s, 0.50, 0.495) * np.ones_like(x)
    coat.paint(on, (0.045, 0.043, 0.040), 0.4)
    worn = step(cloud(shape, 3501, slope=1.4, stretch=0.25), 0.58, 0.66) * on
    rusted(coat, worn, 3502, thick_m=0.0006)
    rng = np.random.default_rng(8)
    sources = [(float(v), 0.505) for v in rng.uniform(0.05, 0.95, 13)]
    weep = runs(shape, 3505, sources, length=0.33, width=0.007)
    coat.paint(np.clip(weep * 1.1, 0, 0.5), (0.20, 0.08, 0.03), 0.75)
    seam = np.exp(-(((s - 0.503) / 0.006) ** 2)) * step(
        cloud(shape, 3506, slope=1.2, coarsest=6), 0.45, 0.6
    )
    coat.paint(seam * 0.9, DARK_RUST, 0.95)
    rows = 500
    sv = np.linspace(0, girth, rows)
    angle = np.clip((sv - 0.335) / 0.16, 0, 1) * np.pi
    r = 0.16 / np.pi * 1.0
    y = np.where((sv > 0.335) & (sv < 0.495), -r * np.sin(angle), 0.0)
    z = np.where(
        sv <= 0.335,
        0.42 - sv,
        np.where(
            sv >= 0.495, 0.42 - 0.335 - 2 * r - (sv - 0.495), 0.42 - 0.335 - r * (1 - np.cos(angle))
        ),
    )
    xs = np.linspace(-width / 2, width / 2, 900)
    points = np.stack(
        [
            np.broadcast_to(xs, (rows, 900)),
            np.broadcast_to(y[:, None], (rows, 900)),
            np.broadcast_to(z[:, None], (rows, 900)),
        ],
        axis=-1,
    )
    return outside(
        Thing(mesh=draped(points, coat, flip=True), material=painted(coat, clear=0.3)),
        on_panel(number_card(12), 0.20, -0.185, y=-0.0015, spin=2),
        level_m=-1.9,
    )


@cache
def deck_edge() -> Scene:
    """Side deck meeting the bulwark: rust along the waterway, bleeding through the deck paint."""
    shape = (1400, 2000)
    coat = Coat(shape, (0.21, 0.26, 0.24), 0.75).mottle(3550, 0.15)
    coat.relief += (cloud(shape, 3551, slope=0.4, coarsest=80) - 0.5) * 0.0011
    _x, y = metric(shape, 1.5, 1.05)
    edge = step(
        np.abs(y - 0.24) + 0.14 * (cloud(shape, 3552, slope=1.4, coarsest=4) - 0.5), 0.050, 0.028
    )
    rusted(coat, edge, 3553, thick_m=0.0018)
    halo = step(np.abs(y - 0.22) + 0.22 * (cloud(shape, 3556, slope=1.5) - 0.5), 0.11, 0.03)
    coat.paint(halo * 0.45 * (1 - edge), BRIGHT_RUST, 0.85)
    spots = domes(shape, 3557, count=70, radius_px=(3, 14), where=step(np.abs(y - 0.15), 0.3, 0.0))
    coat.paint(step(spots, 0.1, 0.5), BRIGHT_RUST, 0.9, lift=0.0008)
    wall = Coat((600, 1600), CREAM, 0.35).mottle(3560, 0.05)
    u, v = coordinates((600, 1600))
    foot = step(v + 0.16 * (cloud((600, 1600), 3561, slope=1.3, coarsest=4) - 0.5), 0.93, 0.99)
    rusted(wall, foot, 3562, thick_m=0.001)
    ports = np.zeros((600, 1600), np.float32)
    for at in (0.30, 0.72):
        ports = np.maximum(
            ports, ((np.abs(u - at) < 0.05) & (np.abs(v - 0.86) < 0.07)).astype(np.float32)
        )
    wall.paint(ports, (0.03, 0.03, 0.03), 0.8)
    cap = moved(
        scaled(tube([(-1.0, 0, 0), (1.0, 0, 0)], 0.035, 24), (1, 1.2, 0.6)), (0, 0.27, 0.43)
    )
    del u
    return outside(
        Thing(mesh=lying(sheet(coat, 1.5, 1.05, columns=900)), material=painted(coat)),
        Thing(
            mesh=moved(sheet(wall, 1.9, 0.43, columns=700), (0, 0.26, 0.215)),
            material=painted(wall, clear=0.2),
        ),
        Thing(mesh=cap, material=Material(colour=CREAM, rough=0.35)),
        Thing(
            mesh=moved(turned(lying(number_card(14).mesh), "z", 6), (0.16, 0.05, 0.002)),
            material=number_card(14).material,
        ),
        level_m=-3.0,
        seed=5,
    )


@cache
def window_frame() -> Scene:
    """A deckhouse window: rust breaking out under the frame at its lower corners."""
    shape = (1500, 2000)
    coat = Coat(shape, CREAM, 0.28).mottle(3600, 0.04)
    x, z = metric(shape, 1.2, 0.9)
    d = np.maximum(np.abs(x) / 0.36, np.abs(z - 0.06) / 0.25)
    rim = step(np.abs(d - 1.07), 0.08, 0.03)
    low = step(z, -0.08, -0.16) * step(np.abs(np.abs(x) - 0.33), 0.16, 0.04)
    bloom = step(
        rim * low * 1.1 + 0.7 * (cloud(shape, 3601, slope=1.3, coarsest=4) - 0.5), 0.55, 0.65
    )
    rusted(coat, bloom, 3602, thick_m=0.0012)
    bumps = domes(shape, 3604, count=40, radius_px=(5, 22), where=step(rim * low, 0.1, 0.4))
    coat.relief += blur(bumps, 2) * 0.002
    sources = [(0.22, 0.74), (0.245, 0.735), (0.27, 0.73), (0.76, 0.735), (0.79, 0.74)]
    weep = runs(shape, 3605, sources, length=0.26, width=0.010)
    coat.paint(np.clip(weep * 1.3, 0, 0.85), BRIGHT_RUST, 0.8)
    outline = []
    for cx, cz, a0 in ((1, 1, 0), (-1, 1, 90), (-1, -1, 180), (1, -1, 270)):
        outline += [
            (cx * 0.29 + 0.07 * np.cos(a), cz * 0.18 + 0.07 * np.sin(a))
            for a in np.radians(np.linspace(a0, a0 + 90, 12))
        ]
    loop = np.array([*outline, outline[0]])
    rows = []
    for off, out_m in rounded(
        [(0.028, 0.0), (0.026, 0.010), (0.0, 0.013), (-0.016, 0.009), (-0.018, -0.01)], 0.004
    ):
        length = np.linalg.norm(loop, axis=1, keepdims=True)
        ring = loop * (1 + off / length)
        rows.append(np.stack([ring[:, 0], np.full(len(ring), -out_m), ring[:, 1] + 0.06], axis=1))
    frame = grid(np.array(rows), weld=True)
    glass = Coat((200, 300), (0.012, 0.016, 0.018), 0.04)
    glass.paint(
        step(cloud((200, 300), 3608, slope=1.2, stretch=0.3), 0.55, 0.9) * 0.10,
        (0.4, 0.4, 0.38),
        0.5,
    )
    pane = moved(sheet(glass, 0.70, 0.49, columns=40), (0, 0.004, 0.06))
    hole = step(d, 0.97, 0.95)
    coat.relief -= hole * 0.03
    screws = [
        moved(
            turned(
                lathe(rounded([(0, 0), (0.006, 0), (0.004, 0.0025), (0, 0.003)], 0.001), 24),
                "x",
                90,
            ),
            (px, -0.0125, pz + 0.06),
        )
        for px, pz in (loop[::4] * 1.012)
    ]
    return outside(
        Thing(mesh=sheet(coat, 1.2, 0.9, columns=900), material=painted(coat, clear=0.3)),
        Thing(mesh=frame, material=Material(colour=(0.55, 0.55, 0.55), rough=0.4, metal=1.0)),
        Thing(mesh=pane, material=painted(glass, clear=0.5)),
        Thing(mesh=joined(screws), material=STEEL),
        on_panel(number_card(15), 0.05, -0.285, spin=-2),
        level_m=-3.0,
        seed=6,
    )


@cache
def bollard() -> Scene:
    """Twin bollard on the side deck: paint worn by ropes, a rust ring at the weld to the deck."""
    shape = (1300, 1800)
    coat = Coat(shape, (0.21, 0.26, 0.24), 0.75).mottle(3650, 0.15)
    coat.relief += (cloud(shape, 3651, slope=0.4, coarsest=80) - 0.5) * 0.001
    x, y = metric(shape, 1.3, 0.94)
    ring = step(
        np.maximum(np.abs(x) / 0.21, np.abs(y) / 0.085)
        + 0.25 * (cloud(shape, 3652, slope=1.3) - 0.5),
        1.10,
        1.0,
    )
    rusted(coat, ring, 3653, thick_m=0.0012)
    iron = Coat((500, 700), (0.030, 0.030, 0.032), 0.4).mottle(3655, 0.2)
    _, v = coordinates((500, 700))
    worn = step(
        np.abs(v - 0.60) + 0.3 * (cloud((500, 700), 3656, slope=1.3, stretch=0.4) - 0.5), 0.16, 0.08
    )
    iron.paint(worn, (0.40, 0.38, 0.36), 0.35, 0.9)
    foot = step(v + 0.2 * (cloud((500, 700), 3657, slope=1.3) - 0.5), 0.16, 0.08)
    iron.paint(foot, RUST, 0.92, 0.0)
    iron.paint(step(cloud((500, 700), 3658, slope=1.3), 0.66, 0.72) * 0.9, BRIGHT_RUST, 0.9, 0.0)
    post = lathe(
        rounded(
            [
                (0.055, 0.0),
                (0.055, 0.22),
                (0.075, 0.235),
                (0.075, 0.255),
                (0.06, 0.265),
                (0, 0.268),
            ],
            0.008,
        ),
        72,
    )
    base = moved(box((0.40, 0.15, 0.014), 0.004), (0, 0, 0.007))
    pins = [
        moved(
            turned(
                lathe(rounded([(0, -0.10), (0.012, -0.10), (0.012, 0.10), (0, 0.10)], 0.003), 24),
                "y",
                90,
            ),
            (s * 0.12, 0, 0.15),
        )
        for s in (-1, 1)
    ]
    rope_path = [(-0.7, -0.20, 0.02)]
    rope_path += [
        (0.12 + 0.069 * np.cos(a), 0.069 * np.sin(a), 0.055 + 0.009 * (a + 1.9))
        for a in np.linspace(-1.9, 9.2, 60)
    ]
    rope_path.append((0.9, 0.24, 0.10))
    line = tube(np.array(rope_path), 0.011, 14)
    twist = Coat((40, 900), (0.52, 0.50, 0.44), 0.9)
    u, w = coordinates((40, 900))
    twist.shade(0.7 + 0.5 * np.abs(np.sin(w * 260 + u * 9)).astype(np.float32))
    return outside(
        Thing(mesh=lying(sheet(coat, 1.3, 0.94, columns=800)), material=painted(coat)),
        Thing(
            mesh=joined([moved(post, (s * 0.12, 0, 0)) for s in (-1, 1)] + pins),
            material=painted(iron),
        ),
        Thing(mesh=base, material=Material(colour=(0.035, 0.03, 0.03), rough=0.6)),
        Thing(mesh=line, material=painted(twist)),
        level_m=-3.0,
        seed=7,
    )


@cache
def shore_inlet() -> Scene:
    """Shore power inlet on the deckhouse side: lid up, one pin dark, rust at two screws."""
    shape = (1200, 1600)
    coat = Coat(shape, CREAM, 0.28).mottle(3700, 0.04)
    weep = runs(shape, 3701, [(0.415, 0.60), (0.585, 0.60)], length=0.28, width=0.010)
    coat.paint(np.clip(weep * 1.2, 0, 0.75), BRIGHT_RUST, 0.8)
    plate = moved(box((0.115, 0.115, 0.012), 0.005), (0, 0, 0.006))
    ring = lathe(
        rounded(
            [(0.030, 0.0), (0.036, 0.0), (0.036, 0.040), (0.031, 0.040), (0.030, 0.006)], 0.003
        ),
        72,
    )
    floor = moved(lathe([(0, 0), (0.0305, 0)], 48), (0, 0, 0.014))
    pins = [
        moved(
            lathe(rounded([(0.0, 0), (0.0034, 0), (0.0034, 0.022), (0, 0.024)], 0.001), 20),
            (0.0155 * np.cos(a), 0.0155 * np.sin(a), 0.014),
        )
        for a in np.radians([90, 215, 325])
    ]
    lid = lathe(
        rounded([(0, 0.0), (0.040, 0.0), (0.042, 0.006), (0.038, 0.012), (0, 0.014)], 0.003), 72
    )
    lid = moved(turned(moved(lid, (0, 0.042, 0)), "x", 78), (0, 0.042, 0.040))
    hinge = moved(tube([(-0.02, 0, 0), (0.02, 0, 0)], 0.005, 14), (0, 0.042, 0.040))
    screws = [
        moved(
            lathe(rounded([(0, 0), (0.0055, 0), (0.004, 0.0025), (0, 0.003)], 0.001), 24),
            (sx * 0.047, sy * 0.047, 0.012),
        )
        for sx in (-1, 1)
        for sy in (-1, 1)
    ]
    blue = Material(colour=(0.02, 0.10, 0.38), rough=0.4)
    grey = Material(colour=(0.45, 0.46, 0.46), rough=0.45)
    brown = Material(colour=(0.06, 0.025, 0.015), rough=0.8, metal=0.3)
    return outside(
        Thing(mesh=sheet(coat, 0.7, 0.52, columns=300), material=painted(coat, clear=0.3)),
        *standing_out(
            [
                Thing(mesh=plate, material=grey),
                Thing(mesh=joined([ring, lid, hinge]), material=blue),
                Thing(mesh=floor, material=Material(colour=(0.02, 0.06, 0.2), rough=0.5)),
                Thing(mesh=joined(pins[:2]), material=BRASS),
                Thing(mesh=pins[2], material=brown),
                Thing(mesh=joined(screws[:2]), material=STEEL),
                Thing(mesh=joined(screws[2:]), material=Material(colour=RUST, rough=0.9)),
            ],
            0,
            0,
        ),
        on_panel(scale_bar(10), 0.0, -0.10, spin=1),
        level_m=-3.0,
        seed=8,
    )


@cache
def steel_bilge() -> Scene:
    """Bilge between frames: flakes of rust lying on the plate, the foot of one frame wasted."""
    shape = (1200, 1600)
    coat = Coat(shape, (0.20, 0.20, 0.19), 0.5).mottle(3800, 0.2)
    _x, y = metric(shape, 2.8, 2.1)
    low = step(
        np.abs(y + 0.02) + 0.5 * (cloud(shape, 3801, slope=1.5, coarsest=3) - 0.5), 0.30, 0.16
    )
    rusted(coat, low, 3802, thick_m=0.002)
    damp = step(np.abs(y + 0.02) + 0.3 * (cloud(shape, 3805, slope=1.7) - 0.5), 0.08, 0.05)
    coat.paint(damp * 0.8, (0.035, 0.02, 0.012), 0.10)
    floor_points = np.stack(
        [
            *np.meshgrid(np.linspace(-1.4, 1.4, 560), np.linspace(1.05, -1.05, 420)),
            np.zeros((420, 560)),
        ],
        axis=-1,
    )
    floor_points[..., 2] = 0.28 * np.abs(floor_points[..., 1]) ** 1.3
    frames = []
    for x0, bad in ((-0.28, False), (0.30, True)):
        face = Coat((700, 1400), (0.23, 0.23, 0.22), 0.5).mottle(3810 + bad, 0.2)
        fy = np.linspace(-1.0, 1.0, 1400, dtype=np.float32)[None, :]
        fv = np.linspace(1, 0, 700, dtype=np.float32)[:, None]
        foot = step(
            fv
            + 0.30 * (cloud((700, 1400), 3812 + bad, slope=1.3, coarsest=4) - 0.5)
            + np.abs(fy) * 0.5,
            0.36 if bad else 0.16,
            0.26 if bad else 0.08,
        )
        rusted(face, foot, 3815 + bad, thick_m=0.0018)
        yy, vv = np.meshgrid(np.linspace(-1.0, 1.0, 420), np.linspace(1, 0, 160))
        base = 0.28 * np.abs(yy) ** 1.3
        gap = np.zeros_like(yy)
        if bad:
            ragged = cloud((160, 420), 3818, slope=1.5, coarsest=3)[0]
            gap = (
                0.042
                * step(np.abs(yy - 0.02).astype(np.float32), 0.17, 0.10)
                * (0.5 + 1.0 * ragged[None, :])
            )
        limber = 0.035 * step(np.abs(yy + 0.22).astype(np.float32), 0.035, 0.028)
        z = base + np.maximum(gap, limber) + vv * (0.155 - np.maximum(gap, limber))
        web = np.stack([np.full_like(yy, x0), yy, z], axis=-1)
        frames.append(Thing(mesh=draped(web, face, flip=True), material=painted(face)))
        frames.append(Thing(mesh=draped(shifted(web, (0.006, 0, 0)), face), material=painted(face)))
        flange = np.stack(
            [
                np.stack([np.full(420, x0 + s), yy[0], base[0] + 0.157], axis=-1)
                for s in (-0.03, 0.045)
            ]
        )
        top = Coat((100, 700), (0.22, 0.22, 0.21), 0.5).mottle(3820 + bad, 0.2)
        rusted(top, step(cloud((100, 700), 3822 + bad, slope=1.3), 0.66, 0.74), 3824)
        frames.append(Thing(mesh=grid(flange), material=painted(top)))
    rng = np.random.default_rng(17)
    flakes = []
    for _ in range(230):
        yy0 = 0.13 * rng.standard_normal()
        size = 0.008 + 0.030 * rng.random() ** 2
        chip = turned(
            turned(
                box((size, size * (0.5 + 0.5 * rng.random()), 0.0022), 0.0008),
                "x",
                22 * rng.standard_normal(),
            ),
            "z",
            360 * rng.random(),
        )
        flakes.append(moved(chip, (rng.uniform(-1.0, 1.0), yy0, 0.28 * abs(yy0) ** 1.3 + 0.006)))
    iron = Coat((200, 200), RUST, 0.95).mottle(3830, 0.6, slope=0.9)
    iron.paint(step(cloud((200, 200), 3831, slope=1.2), 0.5, 0.65), BRIGHT_RUST)
    return by_lamp(
        Thing(mesh=draped(floor_points, coat, flip=True), material=painted(coat)),
        *frames,
        Thing(mesh=joined(flakes), material=painted(iron)),
        Thing(
            mesh=moved(
                turned(turned(number_card(18).mesh, "x", -52), "z", 0), (0.04, -0.20, 0.055)
            ),
            material=number_card(18).material,
        ),
        lamp=(-0.35, -0.75, 0.95),
        toward=(0.1, 0, 0),
        power=24,
    )


@cache
def tank_top() -> Scene:
    """Edge of a steel tank top where it meets the frame: rust line, lid with bolts."""
    shape = (1200, 1600)
    coat = Coat(shape, (0.26, 0.28, 0.28), 0.45).mottle(3850, 0.15)
    x, y = metric(shape, 2.6, 1.95)
    edge = step(
        np.abs(y - 0.30) + 0.16 * (cloud(shape, 3851, slope=1.4, coarsest=4) - 0.5), 0.055, 0.03
    )
    rusted(coat, edge, 3852, thick_m=0.0016)
    spots = domes(shape, 3855, count=90, radius_px=(2, 9))
    coat.paint(step(spots, 0.1, 0.5), BRIGHT_RUST, 0.9, lift=0.0006)
    oil = step(
        np.hypot((x + 0.2) / 1.4, y + 0.16) + 0.1 * (cloud(shape, 3856, slope=1.7) - 0.5),
        0.20,
        0.17,
    )
    coat.paint(oil * 0.35, (0.06, 0.05, 0.03), 0.12)
    wall = Coat((500, 1600), (0.24, 0.24, 0.23), 0.5).mottle(3860, 0.15)
    _, v = coordinates((500, 1600))
    foot = step(v + 0.25 * (cloud((500, 1600), 3861, slope=1.3, coarsest=6) - 0.5), 0.94, 1.0)
    rusted(wall, foot, 3862, thick_m=0.0012)
    lid = moved(
        lathe(rounded([(0, 0), (0.19, 0), (0.19, 0.010), (0, 0.012)], 0.003), 96),
        (-0.18, -0.13, 0.002),
    )
    bolts = [
        moved(
            turned(prism(6, 0.019, 0.011), "z", 25 * k),
            (-0.18 + 0.165 * np.cos(a), -0.13 + 0.165 * np.sin(a), 0.012),
        )
        for k, a in enumerate(np.linspace(0, 2 * np.pi, 13)[:-1])
    ]
    pipe = joined(
        [
            moved(
                lathe(
                    rounded(
                        [
                            (0, 0),
                            (0.045, 0),
                            (0.045, 0.012),
                            (0.024, 0.014),
                            (0.024, 0.16),
                            (0, 0.16),
                        ],
                        0.004,
                    ),
                    48,
                ),
                (0.30, -0.10, 0.002),
            ),
            moved(prism(6, 0.06, 0.03), (0.30, -0.10, 0.12)),
        ]
    )
    hose = tube(
        curve(
            [(0.30, -0.10, 0.15), (0.30, -0.09, 0.24), (0.38, 0.05, 0.34), (0.62, 0.18, 0.36)], 50
        ),
        0.021,
        24,
    )
    return by_lamp(
        Thing(mesh=lying(sheet(coat, 2.6, 1.95, columns=800)), material=painted(coat)),
        Thing(
            mesh=moved(sheet(wall, 2.9, 0.9, columns=700), (0, 0.33, 0.45)), material=painted(wall)
        ),
        Thing(mesh=lid, material=Material(colour=(0.22, 0.24, 0.24), rough=0.45)),
        Thing(mesh=joined(bolts), material=DULL_STEEL),
        Thing(mesh=pipe, material=DULL_STEEL),
        Thing(mesh=hose, material=RUBBER),
        lamp=(0.4, -0.85, 0.95),
        toward=(0, 0.05, 0),
        power=26,
    )


@cache
def engines() -> Scene:
    """Machinery space: two diesels side by side on their beds, seen from forward."""
    coat = Coat((800, 1200), (0.45, 0.46, 0.46), 0.45).mottle(3900, 0.12)
    rusted(coat, step(cloud((800, 1200), 3901, slope=1.5), 0.80, 0.86), 3902)
    out: list[Thing] = []
    for side in (-0.62, 0.62):
        out += [
            Thing(mesh=moved(thing.mesh, (side, 0, 0)), material=thing.material)
            for thing in engine_block((0.05, 0.11, 0.17), 3910)
        ]
    beds = [
        moved(box((0.09, 1.3, 0.13), 0.01), (s + e * 0.27, 0.25, 0.065))
        for s in (-0.62, 0.62)
        for e in (-1, 1)
    ]
    foam = Coat((500, 900), (0.11, 0.11, 0.115), 0.95).mottle(3920, 0.3, slope=1.0)
    wall = moved(sheet(foam, 3.2, 1.4, columns=100), (0, 1.04, 0.6))
    plate = Coat((300, 300), (0.30, 0.31, 0.31), 0.45, 0.5).mottle(3925, 0.2)
    tread = moved(box((0.42, 1.4, 0.11), 0.006), (0, 0.1, 0.055))
    return by_lamp(
        *compartment(coat, 3.0, 2.2, 1.4),
        *out,
        Thing(mesh=joined(beds), material=Material(colour=(0.30, 0.31, 0.31), rough=0.5)),
        Thing(mesh=wall, material=painted(foam)),
        Thing(mesh=tread, material=painted(plate)),
        lamp=(0.3, -1.5, 1.5),
        toward=(0, 0.2, 0.4),
        power=60,
        room=0.34,
    )
