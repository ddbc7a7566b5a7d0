"""Fittings shared by both boats; each about the origin, with its main axis along z."""

import numpy as np

from scenes.mesh import (
    Mesh,
    blade,
    box,
    curve,
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
from scenes.noise import cloud, coordinates, domes, step
from scenes.surface import (
    BRONZE,
    DULL_STEEL,
    RUBBER,
    STEEL,
    ZINC,
    Coat,
    Colour,
    Material,
    Thing,
    letters,
    painted,
)

PINK = (0.52, 0.20, 0.13)


def bronze_coat(
    seed: int, *, pink: float = 0.0, pits: int = 0, shape: tuple[int, int] = (500, 500)
) -> Coat:
    """Bronze or brass: bright where sound, pink and pitted where the zinc has gone."""
    coat = Coat(shape, (0.50, 0.32, 0.13), 0.33, 1.0)
    coat.mottle(seed, 0.35)
    film = step(cloud(shape, seed + 1, slope=1.5), 0.56, 0.74)
    coat.paint(film * 0.5, (0.16, 0.13, 0.075), 0.55)
    green = step(cloud(shape, seed + 2, slope=1.4), 0.68, 0.78)
    coat.paint(green * 0.5, (0.13, 0.26, 0.20), 0.8, 0.1)
    if pink:
        patch = step(cloud(shape, seed + 3, slope=1.5), 0.72 - 0.34 * pink, 0.80 - 0.34 * pink)
        coat.paint(patch * 0.92, PINK, 0.62, 0.75)
        coat.relief -= patch * 0.0001
    if pits:
        hole = domes(shape, seed + 4, count=pits, radius_px=(2, 9), power=0.7)
        coat.paint(np.clip(hole * 1.4, 0, 1) * 0.75, (0.10, 0.045, 0.03), 0.8)
        coat.relief -= hole * 0.0006
    return coat


def skin_flange(radius_m: float, material: Material = BRONZE) -> Thing:
    """The outside flange of a skin fitting with its bore."""
    r = radius_m
    profile = [(r, 0.0), (r, 0.004), (r * 0.86, 0.008), (r * 0.55, 0.009), (r * 0.5, 0.007)]
    profile += [(r * 0.48, -0.05), (0.0, -0.05)]
    return Thing(mesh=lathe(rounded(profile, 0.003), 72), material=material)


def anode_pear(material: Material = ZINC) -> Thing:
    """An untouched hull anode, a flat pear with two nuts; lies on z = 0."""
    u, v = np.meshgrid(np.linspace(0, 2 * np.pi, 80), np.linspace(0, 1, 20))
    long = 0.11 * (1 - 0.25 * np.cos(u))
    r = np.sin(v * np.pi / 2) ** 0.45
    x = r * long * np.cos(u)
    y = r * 0.055 * np.sin(u) * (1 - 0.35 * np.cos(u))
    z = 0.028 * np.cos(v * np.pi / 2) ** 0.6

    return Thing(mesh=grid(np.stack([x, y, z], axis=-1), weld=True), material=material)


def folding_propeller(
    radius_m: float, material: Material, *, closed: bool, nick: float = 0.0
) -> list[Thing]:
    """A two-bladed folding propeller, hub along z (aft is up), blades open or folded."""
    r = radius_m
    hub = lathe(
        rounded(
            [
                (0, -0.30 * r),
                (0.14 * r, -0.30 * r),
                (0.17 * r, -0.1 * r),
                (0.17 * r, 0.14 * r),
                (0.10 * r, 0.26 * r),
                (0, 0.27 * r),
            ],
            0.01,
        )
    )
    pins = [
        turned(tube([(-0.175 * r, 0, 0), (0.175 * r, 0, 0)], 0.028 * r, 16), "z", 90),
    ]
    pins = [moved(pin, (s * 0.085 * r, 0, 0.10 * r)) for pin in pins for s in (-1, 1)]
    blades = []
    for k in range(2):
        one = blade(0.12 * r, r, 0.42 * r, 1.15 * r, nick=nick)
        root = scaled(
            lathe(rounded([(0, -0.1), (0.9, -0.1), (1, 0), (0.9, 0.1), (0, 0.1)], 0.1)),
            (0.16 * r, 0.10 * r, 0.8 * r),
        )
        one = joined([one, moved(root, (0.14 * r, 0, 0))])
        one = turned(one, "y", -72 if closed else -8)
        one = moved(one, (0.05 * r, 0, 0.10 * r))
        blades.append(turned(one, "z", 180 * k))
    return [
        Thing(mesh=joined([hub, *blades]), material=material),
        Thing(mesh=joined(pins), material=DULL_STEEL),
    ]


def fixed_propeller(
    radius_m: float, blades: int, material: Material, nick: float = 0.0
) -> list[Thing]:
    """A fixed propeller, hub along z, with its nut and a cotter pin."""
    r = radius_m
    hub = lathe(
        rounded(
            [
                (0, -0.22 * r),
                (0.17 * r, -0.22 * r),
                (0.19 * r, 0),
                (0.15 * r, 0.22 * r),
                (0, 0.22 * r),
            ],
            0.02 * r,
        )
    )
    parts = [hub]
    for k in range(blades):
        one = blade(0.14 * r, r, 0.62 * r, 1.25 * r, nick=nick)
        parts.append(turned(one, "z", 360 * k / blades))
    nut = moved(prism(6, 0.20 * r, 0.12 * r, 0.01 * r), (0, 0, 0.22 * r))
    stub = moved(
        lathe(rounded([(0, 0), (0.06 * r, 0), (0.06 * r, 0.12 * r), (0, 0.13 * r)], 0.005)),
        (0, 0, 0.33 * r),
    )
    return [
        Thing(mesh=joined(parts), material=material),
        Thing(mesh=joined([nut, stub]), material=DULL_STEEL),
    ]


def ribbed_hose(path: list[tuple[float, float, float]], radius_m: float) -> Thing:
    """Reinforced black hose with faint rings."""
    line = curve(path, 160)
    ripple = radius_m * (1 + 0.02 * np.sin(np.arange(160) * 1.6))
    return Thing(mesh=tube(line, ripple, 40), material=RUBBER)


def hose_clip(radius_m: float, material: Material = STEEL) -> Thing:
    """A worm-drive band about z with its screw housing."""
    r = radius_m
    band = lathe(
        rounded(
            [(r - 0.0006, -0.006), (r + 0.0010, -0.006), (r + 0.0010, 0.006), (r - 0.0006, 0.006)],
            0.0006,
        ),
        72,
    )
    case = moved(box((0.012, 0.020, 0.011), 0.003), (r + 0.005, 0, 0))
    screw = moved(
        turned(
            lathe(rounded([(0, -0.016), (0.004, -0.016), (0.004, 0.016), (0, 0.016)], 0.001), 20),
            "x",
            90,
        ),
        (r + 0.006, 0, 0),
    )
    head = moved(turned(prism(6, 0.009, 0.006), "x", 90), (r + 0.006, 0.022, 0))
    slot = moved(box((0.0012, 0.002, 0.008), 0.0002), (r + 0.006, 0.0225, 0))
    return Thing(mesh=joined([band, case, screw, head, slot]), material=material)


def ball_valve(material: Material, handle: Material) -> list[Thing]:
    """A lever ball valve on a skin fitting, standing on z = 0, tail upward, 0.2 m tall."""
    body = lathe(
        rounded(
            [
                (0.0, 0.0),
                (0.045, 0.0),
                (0.045, 0.014),
                (0.024, 0.016),
                (0.024, 0.05),
                (0.030, 0.052),
                (0.040, 0.075),
                (0.040, 0.095),
                (0.030, 0.118),
                (0.025, 0.120),
                (0.025, 0.132),
                (0.019, 0.136),
                (0.019, 0.20),
                (0.015, 0.20),
                (0.0, 0.19),
            ],
            0.004,
        ),
        72,
    )
    nut = moved(prism(6, 0.062, 0.016), (0, 0, 0.030))
    hexes = [
        moved(prism(6, 0.058, 0.014), (0, 0, 0.055)),
        moved(prism(6, 0.058, 0.014), (0, 0, 0.108)),
    ]
    stem = moved(
        turned(
            lathe(
                rounded(
                    [
                        (0, 0.03),
                        (0.013, 0.03),
                        (0.013, 0.052),
                        (0.007, 0.054),
                        (0.007, 0.066),
                        (0, 0.066),
                    ],
                    0.002,
                )
            ),
            "y",
            90,
        ),
        (0, 0, 0.085),
    )
    threads = joined(
        [
            moved(
                lathe([(0.024, 0), (0.0255, 0.001), (0.024, 0.002)], 48), (0, 0, 0.018 + 0.002 * k)
            )
            for k in range(6)
        ]
    )
    lever = joined(
        [
            moved(box((0.005, 0.026, 0.05), 0.002), (0.060, 0, 0.085)),
            moved(turned(box((0.005, 0.020, 0.12), 0.002), "y", 6), (0.066, 0, 0.150)),
        ]
    )
    bolt = moved(turned(prism(6, 0.013, 0.006), "y", 90), (0.063, 0, 0.085))
    return [
        Thing(mesh=joined([body, nut, *hexes, threads]), material=material),
        Thing(mesh=joined([stem, bolt]), material=STEEL),
        Thing(mesh=lever, material=handle),
    ]


def meter(face: Colour = (0.75, 0.74, 0.66), digital: bool = False) -> list[Thing]:
    """A hand-held instrument with no maker's marks: a box facing -y with a dial or blank panel."""
    shape = (500, 400)

    x, y = coordinates(shape)
    coat = Coat(shape, (0.06, 0.065, 0.07), 0.5)
    window = ((x > 0.12) & (x < 0.88) & (y > 0.08) & (y < 0.46)).astype(np.float32)
    if digital:
        coat.paint(window, (0.26, 0.29, 0.24), 0.12)
    else:
        coat.paint(window, face, 0.25)
        rows, columns = np.mgrid[0 : shape[0], 0 : shape[1]]
        dx, dy = (columns / 400 - 0.5) * 0.8, 0.52 - rows / 500
        radius, angle = np.hypot(dx, dy), np.degrees(np.arctan2(dy, dx))
        arc = (np.abs(radius - 0.33) < 0.004) & (angle > 45) & (angle < 135)
        ticks = (
            (np.abs((angle - 45) % 9) < 0.8)
            & (radius > 0.33)
            & (radius < 0.36)
            & (angle > 45)
            & (angle < 136)
        )
        needle = (np.abs(angle - 78) < 0.7) & (radius > 0.10) & (radius < 0.345)
        coat.paint((arc | ticks).astype(np.float32) * window, (0.02, 0.02, 0.02))
        coat.paint(needle.astype(np.float32) * window, (0.5, 0.02, 0.02))
    for cx in (0.27, 0.5, 0.73):
        button = (np.hypot(x - cx, (y - 0.66) * 1.25) < 0.07).astype(np.float32)
        coat.paint(button, (0.35, 0.08, 0.04) if cx == 0.5 else (0.25, 0.26, 0.27), 0.4)
    coat.paint(letters(shape, "0  1  2", at=(0.5, 0.82), size=0.05) * 0.6, (0.5, 0.5, 0.5))
    body = turned(box((0.085, 0.034, 0.150), 0.010), "x", 0)
    front = moved(scaled(_plate(), (0.074, 1, 0.138)), (0, -0.0175, 0))
    return [
        Thing(mesh=body, material=Material(colour=(0.55, 0.28, 0.03), rough=0.45)),
        Thing(mesh=front, material=painted(coat, shine=0.6)),
    ]


def _plate() -> Mesh:

    x, z = np.meshgrid(np.linspace(-0.5, 0.5, 8), np.linspace(0.5, -0.5, 8))
    return grid(np.stack([x, 0 * x, z], axis=-1), flip=True)
