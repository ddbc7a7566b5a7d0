"""Engines and stern gear seen inside; shared by both boats."""

from functools import cache

import numpy as np

from scenes.fittings import bronze_coat, hose_clip, ribbed_hose
from scenes.inside import BILGE_PAINT, by_lamp, compartment, laminate
from scenes.mesh import (
    Array,
    Mesh,
    box,
    curve,
    grid,
    joined,
    lathe,
    moved,
    prism,
    rounded,
    tube,
    turned,
)
from scenes.noise import cloud, domes, runs, step
from scenes.studio import Scene
from scenes.surface import (
    BLACK,
    BRASS,
    DULL_STEEL,
    RUBBER,
    RUST,
    STEEL,
    Coat,
    Colour,
    Material,
    Thing,
    painted,
    sheet,
)


def engine_block(tone: Colour, seed: int) -> list[Thing]:
    """A small marine diesel seen from its belt end (facing -y), standing on z = 0."""
    skin = Coat((600, 600), tone, 0.38).mottle(seed, 0.15)
    skin.paint(step(cloud((600, 600), seed + 1, slope=1.4), 0.84, 0.90), RUST, 0.85)
    skin.paint(
        step(cloud((600, 600), seed + 2, slope=1.6), 0.60, 0.8) * 0.45, (0.05, 0.045, 0.04), 0.6
    )
    paint = painted(skin, clear=0.15)
    body = [
        moved(box((0.34, 0.52, 0.30), 0.03, 4), (0, 0.30, 0.36)),
        moved(box((0.25, 0.50, 0.12), 0.03, 4), (0, 0.30, 0.56)),
        moved(box((0.19, 0.42, 0.07), 0.025, 4), (0, 0.30, 0.645)),
        moved(box((0.27, 0.54, 0.14), 0.04, 4), (0, 0.30, 0.17)),
        moved(box((0.38, 0.04, 0.32), 0.03, 4), (0, 0.03, 0.37)),
    ]
    body += [
        moved(
            lathe(rounded([(0, 0), (0.016, 0), (0.013, 0.016), (0, 0.017)], 0.003), 24),
            (0, 0.17 + 0.13 * k, 0.678),
        )
        for k in range(3)
    ]
    bolts = [
        moved(turned(prism(6, 0.013, 0.008), "x", 90), (sx * 0.165, 0.012, z))
        for sx in (-1, 1)
        for z in (0.26, 0.34, 0.42, 0.49)
    ]
    manifold = [moved(box((0.09, 0.44, 0.09), 0.035, 4), (0.19, 0.30, 0.53))]
    tank = moved(box((0.20, 0.13, 0.12), 0.05, 5), (0.11, 0.05, 0.66))
    cap = moved(
        lathe(rounded([(0, 0), (0.030, 0), (0.030, 0.010), (0.024, 0.018), (0, 0.019)], 0.004), 12),
        (0.13, 0.05, 0.718),
    )

    def pulley(x: float, z: float, r: float, y: float = -0.045) -> Mesh:
        wheel = lathe(
            rounded(
                [
                    (0, -0.014),
                    (r, -0.014),
                    (r * 0.90, 0.0),
                    (r, 0.014),
                    (r * 0.75, 0.014),
                    (r * 0.72, 0.004),
                    (r * 0.3, 0.004),
                    (r * 0.28, 0.018),
                    (0, 0.018),
                ],
                0.003,
            ),
            72,
        )
        nut = moved(prism(6, r * 0.35, 0.012), (0, 0, 0.016))
        return moved(turned(joined([wheel, nut]), "x", 90), (x, y, z))

    places = ((0.0, 0.235, 0.085), (0.0, 0.50, 0.062), (-0.255, 0.42, 0.042))
    wheels = [pulley(*place) for place in places]
    belt = _belt([(x, z, r * 0.95) for x, z, r in places], -0.045)
    alternator = [
        moved(
            turned(
                lathe(
                    rounded(
                        [(0, -0.06), (0.068, -0.06), (0.072, 0.0), (0.068, 0.06), (0, 0.06)], 0.012
                    ),
                    64,
                ),
                "x",
                90,
            ),
            (-0.255, 0.045, 0.42),
        ),
        moved(
            turned(
                lathe([(0.068 + 0.003 * (k % 2), -0.03 + 0.006 * k) for k in range(11)], 64),
                "x",
                90,
            ),
            (-0.255, 0.045, 0.42),
        ),
    ]
    strut = tube([(-0.255, -0.02, 0.50), (-0.10, -0.015, 0.585)], 0.009, 10)
    oil = moved(
        turned(
            lathe(
                rounded(
                    [(0, 0), (0.042, 0), (0.044, 0.01), (0.044, 0.085), (0.036, 0.1), (0, 0.1)],
                    0.006,
                ),
                48,
            ),
            "y",
            90,
        ),
        (0.165, 0.18, 0.30),
    )
    fuel = moved(
        lathe(rounded([(0, 0), (0.038, 0), (0.040, 0.01), (0.040, 0.09), (0, 0.09)], 0.006), 48),
        (-0.22, 0.30, 0.50),
    )
    hoses = [
        ribbed_hose(
            [(0.02, 0.0, 0.66), (-0.05, -0.05, 0.68), (-0.08, -0.06, 0.60), (-0.03, -0.02, 0.53)],
            0.017,
        ),
        ribbed_hose(
            [
                (0.19, 0.08, 0.50),
                (0.26, 0.0, 0.46),
                (0.30, -0.02, 0.30),
                (0.31, 0.10, 0.16),
                (0.30, 0.40, 0.10),
                (0.29, 0.85, 0.10),
            ],
            0.019,
        ),
        ribbed_hose(
            [(0.20, 0.10, 0.68), (0.28, 0.16, 0.66), (0.30, 0.36, 0.64), (0.21, 0.44, 0.55)], 0.016
        ),
    ]
    pump = [
        moved(
            turned(
                lathe(
                    rounded([(0, 0), (0.045, 0), (0.045, 0.03), (0.030, 0.05), (0, 0.05)], 0.005),
                    48,
                ),
                "x",
                90,
            ),
            (0.125, -0.005, 0.24),
        )
    ]
    wires = [
        tube(
            curve(
                [
                    (-0.26, 0.10, 0.45),
                    (-0.30, 0.06, 0.58),
                    (-0.20, 0.10, 0.62),
                    (-0.16, 0.30, 0.60),
                    (-0.14, 0.48, 0.55),
                ],
                60,
            ),
            0.005,
            10,
        ),
        tube(
            curve(
                [
                    (-0.22, 0.10, 0.36),
                    (-0.30, 0.02, 0.24),
                    (-0.24, 0.06, 0.16),
                    (-0.20, 0.34, 0.14),
                ],
                50,
            ),
            0.004,
            10,
        ),
    ]
    feet = [
        moved(box((0.10, 0.12, 0.02), 0.005), (sx * 0.25, y, 0.20))
        for sx in (-1, 1)
        for y in (0.12, 0.48)
    ]
    mounts = [
        moved(
            lathe(rounded([(0, 0), (0.045, 0), (0.030, 0.045), (0, 0.05)], 0.01), 40),
            (sx * 0.27, y, 0.125),
        )
        for sx in (-1, 1)
        for y in (0.12, 0.48)
    ]
    dip = tube(
        curve([(-0.17, 0.24, 0.30), (-0.20, 0.24, 0.40), (-0.19, 0.23, 0.52)], 20), 0.004, 10
    )
    loop = tube(
        [
            (-0.19 + 0.014 * np.cos(a), 0.23, 0.534 + 0.014 * np.sin(a))
            for a in np.linspace(0, 6.3, 20)
        ],
        0.003,
        8,
    )
    dusty = Coat((100, 600), (0.015, 0.015, 0.015), 0.75).mottle(seed + 5, 0.3)
    return [
        Thing(mesh=joined([*body, *manifold, tank, *feet]), material=paint),
        Thing(mesh=joined([*bolts, strut, cap]), material=DULL_STEEL),
        Thing(
            mesh=joined(wheels), material=Material(colour=(0.10, 0.10, 0.10), rough=0.35, metal=0.6)
        ),
        Thing(mesh=belt, material=painted(dusty)),
        Thing(
            mesh=joined(alternator),
            material=Material(colour=(0.45, 0.45, 0.44), rough=0.45, metal=0.9),
        ),
        Thing(mesh=joined([oil, fuel]), material=Material(colour=(0.55, 0.55, 0.52), rough=0.35)),
        *hoses,
        Thing(mesh=joined(pump), material=painted(bronze_coat(seed + 6))),
        Thing(mesh=joined(wires), material=BLACK),
        Thing(mesh=joined(mounts), material=RUBBER),
        Thing(mesh=joined([dip, loop]), material=Material(colour=(0.6, 0.35, 0.02), rough=0.4)),
    ]


def _belt(wheels: list[tuple[float, float, float]], y: float) -> Mesh:
    """A belt round three pulleys in an x-z plane, by the hull of their circles."""
    from scipy.spatial import ConvexHull

    angle = np.linspace(0, 2 * np.pi, 90)[:-1]
    points = np.concatenate(
        [np.stack([x + r * np.cos(angle), z + r * np.sin(angle)], axis=1) for x, z, r in wheels]
    )
    loop = points[ConvexHull(points).vertices]
    loop = np.concatenate([loop, loop[:1]])
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(loop, axis=0), axis=1))])
    even = np.linspace(0, along[-1], 240)
    path = np.stack(
        [np.interp(even, along, loop[:, 0]), np.interp(even, along, loop[:, 1])], axis=1
    )
    tangent = np.gradient(path, axis=0)
    normal = np.stack([tangent[:, 1], -tangent[:, 0]], axis=1)
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    rows: list[Array] = []
    for off, dy in ((0, -0.006), (0.006, -0.007), (0.006, 0.007), (0, 0.006), (0, -0.006)):
        edge = path + normal * off
        rows.append(np.stack([edge[:, 0], np.full(len(edge), y + dy), edge[:, 1]], axis=1))
    return grid(np.array(rows))


@cache
def engine() -> Scene:
    """The sloop's diesel from its belt end, steps removed."""
    coat = laminate((800, 1000), 2300)
    bearers = [moved(box((0.09, 1.1, 0.13), 0.02), (s * 0.28, 0.2, 0.065)) for s in (-1, 1)]
    foam = Coat((600, 900), (0.10, 0.10, 0.105), 0.95).mottle(2302, 0.3, slope=1.0)
    foam.relief += domes((600, 900), 2303, count=900, radius_px=(6, 9)) * 0.006
    wall = moved(sheet(foam, 1.5, 1.0, columns=400), (0, 0.85, 0.5))
    return by_lamp(
        *compartment(coat, 1.3, 1.6, 0.9),
        Thing(mesh=wall, material=painted(foam)),
        Thing(mesh=joined(bearers), material=Material(colour=BILGE_PAINT, rough=0.4)),
        *engine_block((0.20, 0.27, 0.26), 2310),
        lamp=(0.5, -1.2, 1.1),
        toward=(0, 0.1, 0.4),
        power=34,
    )


@cache
def stern_gland() -> Scene:
    """Packed stern gland with its hose, clips and grease pipe, shaft to the right, damp below."""
    coat = laminate((900, 1200), 2400)
    damp = runs(
        (900, 1200), 2401, [(0.45, 0.45), (0.5, 0.45), (0.55, 0.45)], length=0.35, width=0.02
    )
    coat.paint(np.clip(damp * 1.4, 0, 0.9), (0.16, 0.15, 0.10), 0.10)
    bronze = painted(bronze_coat(2402))
    body = lathe(
        rounded(
            [
                (0.017, -0.06),
                (0.031, -0.06),
                (0.031, 0.0),
                (0.040, 0.006),
                (0.040, 0.030),
                (0.032, 0.034),
                (0.032, 0.06),
                (0.017, 0.06),
            ],
            0.004,
        ),
        72,
    )
    nuts = [
        moved(prism(6, 0.074, 0.024), (0, 0, 0.036)),
        moved(prism(6, 0.070, 0.014), (0, 0, 0.064)),
    ]
    gaiter = lathe(
        [(0.034 + 0.0012 * np.sin(k * 1.5), -0.22 + 0.18 * k / 60) for k in range(61)], 64
    )
    tube_end = lathe([(0.0335, -0.50), (0.0335, -0.19)], 64)
    clips = [
        moved(turned(hose_clip(0.035).mesh, "z", -60 + 50 * k), (0, 0, h))
        for k, h in enumerate((-0.205, -0.185, -0.075, -0.055))
    ]
    shaft = tube([(0, 0, -0.1), (0, 0, 1.2)], 0.0155, 40)
    coupling = moved(
        lathe(
            rounded(
                [(0, 0.0), (0.035, 0), (0.035, 0.04), (0.060, 0.045), (0.060, 0.07), (0, 0.07)],
                0.004,
            ),
            64,
        ),
        (0, 0, 0.42),
    )
    bolts = [
        moved(prism(6, 0.016, 0.010), (0.047 * np.cos(a), 0.047 * np.sin(a), 0.412))
        for a in np.radians([45, 135, 225, 315])
    ]
    along = 96.0

    def lay(mesh: Mesh) -> Mesh:
        return moved(turned(mesh, "y", along), (-0.02, 0, 0.17))

    grease = tube(
        curve([(0.0, 0.0, 0.20), (0.0, 0.03, 0.30), (0.12, 0.12, 0.36), (0.4, 0.2, 0.42)], 60),
        0.004,
        12,
    )
    drops = [
        moved(
            lathe(rounded([(0, -0.005), (0.004, -0.003), (0.004, 0.002), (0, 0.008)], 0.002), 20),
            (0.045, 0.0, z),
        )
        for z in (0.115, 0.06)
    ]
    moulded = Coat((200, 400), BILGE_PAINT, 0.4).mottle(2405, 0.2)
    fairing = moved(
        turned(
            lathe(
                rounded([(0.0336, -0.5), (0.10, -0.5), (0.07, -0.30), (0.0336, -0.26)], 0.03), 48
            ),
            "y",
            along,
        ),
        (-0.02, 0, 0.17),
    )
    return by_lamp(
        *compartment(coat, 1.3, 0.9, 0.7),
        Thing(mesh=joined([lay(body), *[lay(n) for n in nuts]]), material=bronze),
        Thing(mesh=lay(gaiter), material=RUBBER),
        Thing(mesh=lay(tube_end), material=bronze),
        Thing(mesh=fairing, material=painted(moulded)),
        Thing(mesh=joined([lay(c) for c in clips]), material=STEEL),
        Thing(mesh=lay(shaft), material=STEEL),
        Thing(
            mesh=lay(joined([coupling, *bolts])),
            material=Material(colour=(0.20, 0.25, 0.24), rough=0.4),
        ),
        Thing(mesh=grease, material=BRASS),
        Thing(mesh=joined(drops), material=Material(colour=(0.5, 0.5, 0.5), rough=0.05, shine=0.9)),
        lamp=(0.35, -0.7, 0.7),
        toward=(0.05, 0, 0.17),
        power=24,
    )
