"""The yard at Fennick Hard: concrete, timber blocks, shores, a shed and what stands about."""

import numpy as np

from scenes.mesh import Array, Mesh, box, curve, grid, joined, lathe, moved, tube, turned
from scenes.noise import cloud, coordinates, step
from scenes.surface import (
    BRIGHT_RUST,
    DULL_STEEL,
    GREY,
    Coat,
    Colour,
    Material,
    Thing,
    painted,
)


def concrete(seed: int, shape: tuple[int, int] = (1400, 1400)) -> Coat:
    """Old yard concrete: bays, stains, damp patches, grit and moss in the joints."""
    coat = Coat(shape, (0.30, 0.29, 0.27), 0.85)
    coat.mottle(seed, 0.35, slope=1.1)
    x, y = coordinates(shape)
    stain = cloud(shape, seed + 1, slope=1.7, coarsest=6)
    coat.paint(step(stain, 0.60, 0.80) * 0.6, (0.13, 0.12, 0.11))
    damp = step(cloud(shape, seed + 2, slope=2.4, coarsest=5), 0.62, 0.66)
    coat.paint(damp * 0.75, (0.085, 0.083, 0.08), 0.10)
    wobble = (cloud(shape, seed + 3, slope=1.4) - 0.5) * 0.002
    gap = np.minimum(np.abs(((x + wobble) * 8) % 1 - 0.5), np.abs(((y + wobble) * 8) % 1 - 0.5))
    joint = step(gap, 0.006, 0.002)
    coat.paint(joint, (0.04, 0.045, 0.03), 0.9)
    drops = step(cloud(shape, seed + 4, slope=0.5, coarsest=40), 0.86, 0.92)
    return coat.paint(drops * 0.6, (0.17, 0.05, 0.035))


def ground(level_m: float, seed: int = 21, size_m: float = 44.0) -> Thing:
    """The hard standing, flat, at a height."""
    coat = concrete(seed)
    half = size_m / 2
    x, y = np.meshgrid(np.linspace(-half, half, 60), np.linspace(-half, half, 60))
    points = np.stack([x, y, np.full_like(x, level_m)], axis=-1)
    return Thing(mesh=grid(points), material=painted(coat))


def timber(seed: int, colour: Colour = (0.33, 0.22, 0.12)) -> Material:
    """Sawn, weathered softwood, grain along u."""
    shape = (160, 640)
    coat = Coat(shape, colour, 0.75)
    grain = cloud((640, 160), seed, slope=1.2, stretch=0.06).T
    coat.shade(0.55 + 0.9 * grain)
    wear = step(cloud(shape, seed + 1, slope=1.6), 0.55, 0.8)
    coat.paint(wear * 0.45, (0.26, 0.25, 0.23))
    coat.paint(step(cloud(shape, seed + 2, slope=1.3), 0.78, 0.84) * 0.7, (0.16, 0.03, 0.03))
    return painted(coat)


def shore(top: Array, normal: Array, level_m: float, seed: int) -> list[Thing]:
    """A timber shore from the ground to a padded head against the hull."""
    head = top + normal * 0.05
    foot = np.array([top[0] + normal[0] * 0.2, top[1] + np.sign(normal[1]) * 1.05, level_m + 0.04])
    run = head - foot
    length = float(np.linalg.norm(run))
    beam = box((0.10, 0.10, length), 0.006)
    z = run / length
    x = np.cross([0.0, 1.0, 0.0], z)
    x /= np.linalg.norm(x)
    matrix = np.stack([x, np.cross(z, x), z], axis=1)

    def place(mesh: Mesh, centre: Array) -> Mesh:
        return Mesh(
            vertices=mesh.vertices @ matrix.T + centre,
            normals=mesh.normals @ matrix.T,
            uv=mesh.uv,
            faces=mesh.faces,
        )

    wood = timber(seed)
    pad_z = normal / np.linalg.norm(normal)
    side = np.cross([1.0, 0.0, 0.0], pad_z)
    side /= np.linalg.norm(side)
    pad = box((0.30, 0.24, 0.05), 0.012)
    frame = np.stack([np.cross(side, pad_z), side, pad_z], axis=1)
    carpet = Material(colour=(0.10, 0.11, 0.13), rough=0.95)
    return [
        Thing(mesh=place(beam, (head + foot) / 2), material=wood),
        Thing(
            mesh=Mesh(
                vertices=pad.vertices @ frame.T + top + normal * 0.028,
                normals=pad.normals @ frame.T,
                uv=pad.uv,
                faces=pad.faces,
            ),
            material=carpet,
        ),
        Thing(
            mesh=moved(box((0.34, 0.34, 0.05), 0.006), foot - [0, 0, 0.015]),
            material=timber(seed + 3),
        ),
    ]


def blocks(
    centre: tuple[float, float, float], size: tuple[float, float, float], layers: int, seed: int
) -> list[Thing]:
    """A crib of timber blocks whose top is at the centre's height."""
    out = []
    height = size[2] / layers
    rng = np.random.default_rng(seed)
    for k in range(layers):
        for half in (-0.5, 0.5):
            along = size if k % 2 == 0 else (size[1], size[0], size[2])
            mesh = box((along[0], along[1] * 0.46, height * 0.97), 0.008)
            mesh = moved(mesh, (0, half * along[1] * 0.52, 0))
            mesh = turned(mesh, "z", (0 if k % 2 == 0 else 90) + 3 * rng.standard_normal())
            mesh = moved(mesh, (centre[0], centre[1], centre[2] - height * (k + 0.5)))
            out.append(Thing(mesh=mesh, material=timber(seed + 5 * k + int(half > 0))))
    return out


def shed(level_m: float, at: tuple[float, float], *, angle: float = 0.0, seed: int = 3) -> Thing:
    """A long building with ribbed cladding, a sliding door and a rusty foot."""
    shape = (500, 2000)
    coat = Coat(shape, (0.30, 0.36, 0.36), 0.55)
    x, y = coordinates(shape)
    ribs = 0.82 + 0.18 * np.sin(x * 2 * np.pi * 90)
    coat.shade(ribs.astype(np.float32)).mottle(seed, 0.15)
    door = ((x > 0.36) & (x < 0.58) & (y > 0.28)).astype(np.float32)
    coat.paint(door * 0.9, (0.10, 0.16, 0.20), 0.5)
    coat.paint(((x > 0.468) & (x < 0.472) & (y > 0.28)).astype(np.float32), (0.03, 0.03, 0.03))
    windows = (y > 0.34) & (y < 0.5) & ((x * 20 % 1) > 0.35) & (np.abs(x - 0.47) > 0.14)
    coat.paint(windows.astype(np.float32), (0.06, 0.075, 0.085), 0.06)
    foot = step(y + 0.12 * (cloud(shape, seed + 1, slope=1.3) - 0.5), 0.90, 1.0)
    coat.paint(foot * 0.7, BRIGHT_RUST)
    length, height = 26.0, 6.2
    u, v = np.meshgrid(np.linspace(-0.5, 0.5, 40), np.linspace(1, 0, 20))
    front = np.stack([u * length, 0 * u, v * height], axis=-1)
    mesh = turned(grid(front, flip=True), "z", angle)
    return Thing(mesh=moved(mesh, (at[0], at[1], level_m)), material=painted(coat))


def far_boat(level_m: float, at: tuple[float, float], *, angle: float, tone: Colour) -> list[Thing]:
    """Another laid-up hull, for the background only."""
    u = np.linspace(0, 1, 40)[:, None]
    t = np.linspace(0, np.pi / 2, 16)[None, :]
    beam = 1.35 * (1 - np.abs(2 * u - 0.85) ** 2.6 / 1.65).clip(0.02)
    y = beam * np.sin(t) ** 0.8
    z = 1.5 * (1 - np.cos(t)) ** 0.9 + 0.25 * (2 * u - 1) ** 2
    hull_points = np.stack([np.broadcast_to(u * 8 - 4, y.shape), y, z], axis=-1)
    other = hull_points * [1, -1, 1]
    deck = np.stack([hull_points[:, -1], other[:, -1]], axis=1)
    parts = [grid(hull_points, weld=True), grid(other, weld=True), grid(deck)]
    keel = moved(box((1.9, 0.25, 1.1), 0.1), (0, 0, -0.45))
    cabin = moved(box((3.0, 1.5, 0.45), 0.15), (0.2, 0, 1.8))
    mast = tube([(0.9, 0, 1.6), (0.9, 0, 12.0)], 0.07, 10)
    place = (at[0], at[1], level_m + 1.05)
    white = Material(colour=(0.6, 0.6, 0.58), rough=0.3)
    return [
        Thing(
            mesh=moved(turned(joined(parts), "z", angle), place),
            material=Material(colour=tone, rough=0.3),
        ),
        Thing(
            mesh=moved(turned(keel, "z", angle), place),
            material=Material(colour=(0.06, 0.06, 0.09), rough=0.8),
        ),
        Thing(mesh=moved(turned(cabin, "z", angle), place), material=white),
        Thing(mesh=moved(turned(mast, "z", angle), place), material=DULL_STEEL),
    ]


def ladder(level_m: float, at: tuple[float, float], *, top: float, angle: float) -> Thing:
    """An aluminium ladder leaning at the boat, in the x-z plane before turning."""
    lean = 0.28 * (top - level_m)
    rails = [tube([(-lean, s, level_m), (0, s, top)], 0.024, 12) for s in (-0.19, 0.19)]
    steps = int((top - level_m) / 0.28)
    rungs = [
        tube(
            [
                (-lean * (1 - k / steps), -0.19, level_m + (top - level_m) * k / steps),
                (-lean * (1 - k / steps), 0.19, level_m + (top - level_m) * k / steps),
            ],
            0.014,
            10,
        )
        for k in range(1, steps)
    ]
    mesh = turned(joined(rails + rungs), "z", angle)
    return Thing(
        mesh=moved(mesh, (at[0], at[1], 0)),
        material=Material(colour=(0.62, 0.63, 0.64), rough=0.35, metal=1.0),
    )


def oil_drum(level_m: float, at: tuple[float, float], colour: Colour) -> Thing:
    """A drum for sweepings."""
    profile = [(0.0, 0.0), (0.28, 0.0), (0.285, 0.02)]
    for ring in (0.29, 0.58):
        profile += [(0.28, ring - 0.02), (0.295, ring), (0.28, ring + 0.02)]
    profile += [(0.28, 0.86), (0.29, 0.88), (0.27, 0.88), (0.27, 0.84), (0.0, 0.84)]
    return Thing(
        mesh=moved(lathe(profile, 48), (at[0], at[1], level_m)),
        material=Material(colour=colour, rough=0.45),
    )


def hose_on_ground(level_m: float, at: tuple[float, float]) -> Thing:
    """A loose coil of yellow hose."""
    angle = np.linspace(0, 9 * np.pi, 160)
    radius = 0.42 + 0.05 * np.sin(angle * 0.37) + 0.006 * angle
    path = np.stack(
        [radius * np.cos(angle), radius * np.sin(angle), 0.02 + 0.006 * angle / np.pi], axis=1
    )
    tail = curve([path[-1], path[-1] + [0.6, 0.5, -0.05], path[-1] + [1.8, 0.4, -0.06]], 30)
    mesh = moved(tube(np.concatenate([path, tail[1:]]), 0.013, 10), (at[0], at[1], level_m))
    return Thing(mesh=mesh, material=Material(colour=(0.62, 0.42, 0.03), rough=0.5))


def backdrop(level_m: float, *, near: bool = True) -> tuple[Thing, ...]:
    """Ground, shed, neighbours and clutter around a boat lying along x."""
    things = [
        ground(level_m),
        shed(level_m, (4.0, 15.0)),
        shed(level_m, (-17.0, 2.0), angle=90, seed=8),
        *far_boat(level_m, (-2.5, 10.0), angle=14, tone=(0.03, 0.06, 0.14)),
        *far_boat(level_m, (11.5, 10.5), angle=-10, tone=(0.55, 0.55, 0.52)),
        *far_boat(level_m, (20.0, 2.5), angle=70, tone=(0.20, 0.03, 0.03)),
        *far_boat(level_m, (-10.5, -6.0), angle=100, tone=(0.50, 0.50, 0.46)),
        *far_boat(level_m, (17.0, -9.0), angle=30, tone=(0.04, 0.10, 0.08)),
    ]
    if near:
        things += [
            oil_drum(level_m, (-1.6, 4.1), (0.03, 0.10, 0.22)),
            hose_on_ground(level_m, (7.8, 3.4)),
            *blocks((10.9, 3.6, level_m + 0.55), (0.9, 0.5, 0.55), 3, 50),
        ]
    return tuple(things)


def trestle(level_m: float, at: tuple[float, float], height: float) -> list[Thing]:
    """A steel trestle."""
    legs = [
        tube(
            [
                (at[0] + sx * 0.30, at[1] + sy * 0.55, level_m),
                (at[0], at[1] + sy * 0.4, level_m + height),
            ],
            0.025,
            10,
        )
        for sx in (-1, 1)
        for sy in (-1, 1)
    ]
    top = moved(box((0.08, 1.0, 0.08), 0.006), (at[0], at[1], level_m + height))
    return [Thing(mesh=joined([*legs, top]), material=GREY)]
