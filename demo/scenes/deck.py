"""Close scenes on the sloop's deck, topsides and rig; decks lie in x-y and face up."""

from functools import cache

import numpy as np

from scenes.bottom import metric, on_panel, outside, strokes
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
    scaled,
    tube,
    turned,
)
from scenes.noise import Field, cells, cloud, coordinates, cracks, edges, runs, step
from scenes.studio import Scene
from scenes.surface import (
    BLACK,
    BRIGHT_RUST,
    DULL_STEEL,
    GELCOAT,
    RUST,
    STEEL,
    Coat,
    Material,
    Thing,
    number_card,
    painted,
    scale_bar,
    sheet,
)

ALLOY = Material(colour=(0.58, 0.58, 0.58), rough=0.38, metal=1.0)


def lying(mesh: Mesh) -> Mesh:
    """A panel made facing -y, laid down to face up."""
    return turned(mesh, "x", -90)


def laid(thing: Thing, x: float, y: float, *, z: float = 0.0, spin: float = 0.0) -> Thing:
    """A card or bar put down on a deck."""
    return Thing(
        mesh=moved(turned(lying(thing.mesh), "z", spin), (x, y, z)), material=thing.material
    )


def deck_coat(
    shape: tuple[int, int], width_m: float, seed: int, *, plain: Field | None = None
) -> Coat:
    """White deck moulding with a pale non-slip pattern, dirt in its valleys; `plain` keeps it smooth."""
    coat = Coat(shape, (0.66, 0.66, 0.62), 0.30)
    coat.mottle(seed, 0.06)
    pitch = shape[1] / width_m * 0.0075
    rows, columns = np.mgrid[0 : shape[0], 0 : shape[1]]
    a = np.sin((rows + columns) * np.pi / pitch) * np.sin((rows - columns) * np.pi / pitch)
    bump = step(np.abs(a).astype(np.float32), 0.15, 0.6)
    area = 1 - plain if plain is not None else np.ones(shape, np.float32)
    coat.paint(area, (0.52, 0.54, 0.54), 0.6)
    coat.paint(area * (1 - bump) * 0.55, (0.22, 0.22, 0.20), 0.8)
    coat.relief += area * bump * 0.0007
    grime = step(cloud(shape, seed + 1, slope=1.7, coarsest=3), 0.55, 0.8)
    return coat.paint(grime * 0.18, (0.20, 0.19, 0.14), 0.8)


def _screws(places: list[tuple[float, float]], z: float, radius: float = 0.0055) -> Mesh:
    head = lathe(
        rounded(
            [(0, 0), (radius, 0), (radius * 0.8, radius * 0.35), (0, radius * 0.4)], radius * 0.2
        ),
        32,
    )
    cross = joined(
        [
            box((radius * 1.1, radius * 0.25, radius * 0.1), 0.0001),
            box((radius * 0.25, radius * 1.1, radius * 0.1), 0.0001),
        ]
    )
    one = joined([head, moved(cross, (0, 0, radius * 0.40))])
    return joined([moved(turned(one, "z", 30 * k), (x, y, z)) for k, (x, y) in enumerate(places)])


@cache
def stanchion_base() -> Scene:
    """Stanchion socket on deck; fine cracks run out from under its forward corner."""
    shape = (1500, 2000)
    x, y = metric(shape, 1.0, 0.75)
    plain = step(np.maximum(np.abs(x), np.abs(y)), 0.145, 0.140)
    plain = np.maximum(plain, step(y, 0.205, 0.21))
    coat = deck_coat(shape, 1.0, 1000, plain=plain)
    star = cracks(shape, 1005, centre=(0.555, 0.44), count=11, length=0.135, width_px=1, rings=3)
    coat.paint(star * 0.75, (0.16, 0.14, 0.11), 0.7, lift=-0.0002)
    ring = step(np.abs(np.maximum(np.abs(x), np.abs(y)) - 0.047), 0.004, 0.001)
    coat.paint(ring * 0.7, (0.35, 0.33, 0.27), 0.7)
    weep = runs(shape, 1007, [(0.47, 0.555), (0.53, 0.555)], length=0.12, width=0.008)
    coat.paint(np.clip(weep, 0, 0.55), BRIGHT_RUST, 0.7)
    base = moved(box((0.090, 0.090, 0.007), 0.003), (0, 0, 0.0035))
    socket = lathe(
        rounded(
            [(0.021, 0.005), (0.018, 0.012), (0.0165, 0.02), (0.0165, 0.085), (0.0135, 0.085)],
            0.004,
        ),
        64,
    )
    post = tube([(0, 0, 0.03), (0, 0, 0.75)], 0.0127, 40)
    grub = moved(turned(prism(6, 0.009, 0.006), "x", 90), (0, -0.016, 0.06))
    rail = tube([(-0.6, 0.30, 0.012), (0.6, 0.30, 0.012)], 0.020, 24)
    rail = scaled(rail, (1, 1, 1.4))
    wires = [tube([(-2, 0.0, h), (2, 0.0, h)], 0.0025, 10) for h in (0.34, 0.62)]
    return outside(
        Thing(mesh=lying(sheet(coat, 1.0, 0.75, columns=1000)), material=painted(coat, clear=0.2)),
        Thing(mesh=joined([base, socket, post, grub, *wires]), material=STEEL),
        Thing(
            mesh=_screws([(s * 0.032, t * 0.032) for s in (-1, 1) for t in (-1, 1)], 0.007),
            material=DULL_STEEL,
        ),
        Thing(mesh=rail, material=ALLOY),
        laid(number_card(21), 0.155, -0.055, z=0.0022, spin=-8),
        level_m=-3.2,
    )


def _strand_rope(start: Array, end: Array, radius: float, turns: float) -> Mesh:
    """Wire of twelve outer strands laid round a core."""
    t = np.linspace(0, 1, 240)
    run = end - start
    z = run / np.linalg.norm(run)
    x = np.cross([0.0, 1.0, 0.0], z)
    x /= np.linalg.norm(x)
    y = np.cross(z, x)
    parts = [tube(start + run * t[:, None], radius * 0.72, 12)]
    for k in range(12):
        angle = 2 * np.pi * (k / 12 + turns * t)
        path = (
            start
            + run * t[:, None]
            + radius * 0.80 * (np.cos(angle)[:, None] * x + np.sin(angle)[:, None] * y)
        )
        parts.append(tube(path, radius * 0.215, 8))
    return joined(parts)


def steel_weeping(seed: int, amount: float, shape: tuple[int, int] = (400, 400)) -> Material:
    """Stainless steel with brown tea staining."""
    coat = Coat(shape, (0.58, 0.58, 0.57), 0.24, 1.0).mottle(seed, 0.15)
    stain = step(cloud(shape, seed + 1, slope=1.4), 0.72 - 0.3 * amount, 0.82 - 0.25 * amount)
    coat.paint(stain * 0.8, (0.28, 0.11, 0.035), 0.65, 0.35)
    return painted(coat)


@cache
def chainplate() -> Scene:
    """A cap shroud's chainplate through the side deck, with a brown weep from its cover plate."""
    shape = (1500, 2000)
    x, y = metric(shape, 1.1, 0.82)
    plain = step(np.maximum(np.abs(x) * 0.8, np.abs(y)), 0.125, 0.12)
    plain = np.maximum(plain, step(y, 0.235, 0.24))
    coat = deck_coat(shape, 1.1, 1020, plain=plain)
    weep = runs(
        shape,
        1022,
        [(0.47, 0.535), (0.50, 0.54), (0.525, 0.535), (0.545, 0.53)],
        length=0.26,
        width=0.010,
    )
    coat.paint(np.clip(weep * 1.25, 0, 0.85), BRIGHT_RUST, 0.6)
    coat.paint(np.clip(weep * 2 - 1, 0, 0.8), RUST, 0.7)
    seal = step(np.abs(np.maximum(np.abs(x) / 0.062, np.abs(y) / 0.040) - 1.03), 0.09, 0.02)
    gone = step(cloud(shape, 1024, slope=1.2, coarsest=9), 0.42, 0.50)
    coat.paint(seal * gone, (0.55, 0.54, 0.48), 0.6, lift=0.0015)
    coat.paint(seal * (1 - gone), (0.05, 0.04, 0.03), 0.9)
    plate = moved(box((0.120, 0.076, 0.004), 0.0018), (0, 0, 0.002))
    strap = moved(box((0.040, 0.008, 0.11), 0.003), (0, 0, 0.05))
    pin = turned(
        lathe(
            rounded(
                [
                    (0, -0.022),
                    (0.0085, -0.022),
                    (0.0085, -0.017),
                    (0.0063, -0.017),
                    (0.0063, 0.018),
                    (0, 0.018),
                ],
                0.001,
            ),
            32,
        ),
        "x",
        90,
    )
    jaw = joined(
        [moved(box((0.022, 0.004, 0.050), 0.002), (0, s * 0.010, 0.105)) for s in (-1, 1)]
        + [moved(box((0.022, 0.024, 0.012), 0.003), (0, 0, 0.132))]
    )
    stud = tube([(0, 0, 0.135), (0, 0, 0.20)], 0.0058, 24)
    body = joined(
        [tube([(s * 0.010, 0, 0.185), (s * 0.010, 0, 0.315)], 0.0045, 16) for s in (-1, 1)]
        + [
            moved(
                lathe(
                    rounded([(0, -0.012), (0.013, -0.012), (0.013, 0.012), (0, 0.012)], 0.003), 32
                ),
                (0, 0, h),
            )
            for h in (0.19, 0.31)
        ]
    )
    upper = tube([(0, 0, 0.28), (0, 0, 0.37)], 0.0058, 24)
    sleeve = moved(
        lathe(
            rounded([(0, 0.0), (0.0075, 0.0), (0.0072, 0.06), (0.0062, 0.064), (0, 0.064)], 0.001),
            32,
        ),
        (0, 0, 0.36),
    )
    rope = _strand_rope(np.array([0, 0, 0.42]), np.array([0, 0, 1.4]), 0.0035, 18)
    lean = joined([jaw, stud, body, upper, sleeve, rope])
    rail = scaled(tube([(-0.8, 0.33, 0.012), (0.8, 0.33, 0.012)], 0.020, 24), (1, 1, 1.4))
    stained = steel_weeping(1030, 0.15)
    return outside(
        Thing(mesh=lying(sheet(coat, 1.1, 0.82, columns=1000)), material=painted(coat, clear=0.2)),
        Thing(mesh=joined([plate, strap, moved(pin, (0, 0, 0.088)), lean]), material=stained),
        Thing(
            mesh=_screws(
                [(-0.048, -0.024), (0.048, -0.024), (-0.048, 0.024), (0.048, 0.024)], 0.004
            ),
            material=stained,
        ),
        Thing(mesh=rail, material=ALLOY),
        laid(number_card(22), 0.165, -0.09, z=0.0022, spin=6),
        level_m=-3.2,
    )


@cache
def terminal() -> Scene:
    """A swaged terminal close: wire, sleeve, fork; rust where the wire enters the sleeve."""
    sleeve_coat = Coat((600, 400), (0.58, 0.58, 0.57), 0.22, 1.0).mottle(1040, 0.12)
    weep = runs(
        (600, 400),
        1041,
        [(0.2, 0.02), (0.45, 0.02), (0.7, 0.02), (0.9, 0.02)],
        length=0.6,
        width=0.05,
    )
    stain = np.clip(np.flipud(weep) * 1.1, 0, 0.85)
    sleeve_coat.paint(stain, (0.26, 0.10, 0.03), 0.7, 0.2)
    line = strokes((600, 400), [[(0.40, 0.55), (0.42, 0.75), (0.41, 0.93)]], 2)
    sleeve_coat.paint(line, (0.02, 0.012, 0.01), 0.8)
    sleeve = lathe(
        [(0.0072, z) for z in np.linspace(0, 0.068, 30)] + [(0.0068, 0.071), (0.0050, 0.0725)], 96
    )
    shank = lathe(
        rounded(
            [(0, -0.055), (0.009, -0.055), (0.009, -0.012), (0.0095, -0.006), (0.0074, 0.001)],
            0.002,
        ),
        64,
    )
    flats = joined(
        [moved(box((0.014, 0.004, 0.05), 0.002), (0, s * 0.009, -0.075)) for s in (-1, 1)]
        + [moved(box((0.018, 0.023, 0.016), 0.004), (0, 0, -0.052))]
    )
    pin = moved(
        turned(
            lathe(
                rounded(
                    [
                        (0, -0.019),
                        (0.008, -0.019),
                        (0.008, -0.015),
                        (0.0058, -0.015),
                        (0.0058, 0.017),
                        (0, 0.017),
                    ],
                    0.001,
                ),
                40,
            ),
            "x",
            90,
        ),
        (0, 0, -0.090),
    )
    split = moved(
        tube(
            curve(
                [
                    (-0.004, 0.015, 0.0),
                    (0.0, 0.0155, 0.004),
                    (0.006, 0.016, 0.006),
                    (0.013, 0.017, 0.002),
                ],
                20,
            ),
            0.0009,
            8,
        ),
        (0, 0, -0.090),
    )
    tang = moved(box((0.022, 0.006, 0.09), 0.003), (0, 0, -0.125))
    rope = _strand_rope(np.array([0, 0, 0.069]), np.array([0, 0, 0.75]), 0.0042, 8)
    wire = steel_weeping(1043, 0.35)
    return outside(
        Thing(mesh=sleeve, material=painted(sleeve_coat)),
        Thing(mesh=joined([shank, flats, pin, split]), material=steel_weeping(1044, 0.2)),
        Thing(mesh=rope, material=wire),
        Thing(mesh=tang, material=DULL_STEEL),
        level_m=-3.2,
        seed=5,
    )


@cache
def mast_foot() -> Scene:
    """Mast heel in its step on the coachroof; white corrosion round a steel screw."""
    shape = (1400, 1900)
    coat = deck_coat(shape, 1.3, 1060, plain=step(np.hypot(*metric(shape, 1.3, 0.96)), 0.26, 0.25))
    angle = np.linspace(0, 2 * np.pi, 121)
    z = np.linspace(0.03, 1.6, 60)
    section = np.stack([0.092 * np.cos(angle), 0.066 * np.sin(angle)], axis=1)
    points = np.empty((60, 121, 3))
    points[..., 0] = section[None, :, 0]
    points[..., 1] = section[None, :, 1]
    points[..., 2] = z[:, None]
    alloy = Coat((1600, 900), (0.55, 0.55, 0.56), 0.42, 1.0).mottle(1062, 0.12)
    u, v = coordinates((1600, 900))
    near = np.exp(-(((u - 0.80) * 900 / 60) ** 2) - ((v - 0.052) * 1600 / 55) ** 2)
    powder = step(near + 0.5 * (cloud((1600, 900), 1063, slope=1.1) - 0.5), 0.25, 0.5)
    alloy.paint(powder * 0.9, (0.75, 0.75, 0.72), 0.95, 0.0)
    foot = step(v + 0.03 * (cloud((1600, 900), 1064, slope=1.3) - 0.5), 0.032, 0.012)
    alloy.paint(foot * 0.6, (0.60, 0.60, 0.57), 0.95, 0.1)
    step_plate = moved(box((0.28, 0.22, 0.022), 0.008), (0, 0, 0.011))
    collar = np.stack([1.12 * section[:, 0], 1.15 * section[:, 1]], axis=1)
    ring = np.stack(
        [
            np.column_stack([collar * f, np.full(121, h)])
            for f, h in ((1.08, 0.02), (1.05, 0.045), (1.0, 0.055), (0.9, 0.056))
        ]
    )
    screws = [
        moved(turned(_screws([(0, 0)], 0, 0.007), "x", 90), (0.028, -0.0635, 0.11)),
        _screws([(s * 0.115, t * 0.085) for s in (-1, 1) for t in (-1, 1)], 0.022, 0.009),
    ]
    blocks_ = []
    lines = []
    for k, x0 in enumerate((-0.32, -0.26, 0.26, 0.32)):
        y0 = -0.10 + 0.03 * (k % 2)
        wheel = lathe(
            rounded([(0, -0.008), (0.028, -0.008), (0.022, 0), (0.028, 0.008), (0, 0.008)], 0.002),
            48,
        )
        blocks_.append(moved(wheel, (x0, y0, 0.030)))
        blocks_.append(moved(box((0.050, 0.075, 0.004), 0.002), (x0, y0, 0.042)))
        lines.append(
            tube(
                curve(
                    [
                        (x0 * 0.35, -0.075, 0.9),
                        (x0 * 0.75, -0.10, 0.12),
                        (x0, y0 - 0.03, 0.032),
                        (x0 * 1.05, -0.8, 0.03),
                    ],
                    60,
                ),
                0.005,
                12,
            )
        )
    rope = Coat((60, 900), (0.60, 0.60, 0.58), 0.85)
    gu, _ = coordinates((60, 900))
    fleck = (np.sin(gu * 500) > 0.4).astype(np.float32)
    rope.paint(fleck * 0.7, (0.03, 0.08, 0.30))
    return outside(
        Thing(mesh=lying(sheet(coat, 1.3, 0.96, columns=900)), material=painted(coat, clear=0.2)),
        Thing(mesh=grid(points, weld=True, flip=True), material=painted(alloy)),
        Thing(mesh=joined([step_plate, grid(ring, weld=True)]), material=ALLOY),
        Thing(mesh=joined(screws), material=STEEL),
        Thing(mesh=joined(blocks_), material=BLACK),
        *[
            Thing(mesh=line, material=Material(colour=tone, rough=0.9))
            for line, tone in zip(
                lines,
                ((0.6, 0.6, 0.57), (0.04, 0.09, 0.3), (0.5, 0.06, 0.04), (0.55, 0.55, 0.5)),
                strict=True,
            )
        ],
        laid(scale_bar(10), 0.0, -0.20, z=0.002, spin=2),
        level_m=-3.4,
    )


@cache
def hatch() -> Scene:
    """A deck hatch: alloy frame, acrylic with a net of fine crazing toward one corner."""
    shape = (1400, 1900)
    x, y = metric(shape, 1.2, 0.9)
    plain = step(np.maximum(np.abs(x), np.abs(y)), 0.34, 0.33)
    coat = deck_coat(shape, 1.2, 1080, plain=plain)
    half = 0.26
    outline = []
    for cx, cy, a0 in ((1, 1, 0), (-1, 1, 90), (-1, -1, 180), (1, -1, 270)):
        outline += [
            (cx * (half - 0.06) + 0.06 * np.cos(a), cy * (half - 0.06) + 0.06 * np.sin(a))
            for a in np.radians(np.linspace(a0, a0 + 90, 14))
        ]
    loop = np.array([*outline, outline[0]])
    profile = np.array(
        rounded(
            [
                (0.030, 0.0),
                (0.026, 0.020),
                (0.012, 0.034),
                (-0.010, 0.034),
                (-0.014, 0.028),
                (-0.014, 0.018),
            ],
            0.006,
        )
    )
    rows = []
    for off, h in profile:
        length = np.linalg.norm(loop, axis=1, keepdims=True)
        rows.append(np.column_stack([loop * (1 + off / length * 0.98), np.full(len(loop), h)]))
    frame = grid(np.array(rows), weld=True, flip=True)
    pane_shape = (1100, 1100)
    pane = Coat(pane_shape, (0.035, 0.042, 0.048), 0.05)
    u, v = coordinates(pane_shape)
    toward = step(np.hypot(u - 0.85, v - 0.80), 0.85, 0.15)
    net = edges(cells(pane_shape, 1084, 3800)[1])
    net = net * step(cloud(pane_shape, 1086, slope=1.3), 0.40, 0.58)
    big = edges(cells(pane_shape, 1085, 420)[1])
    pane.paint(np.clip(net * toward * 0.45, 0, 1), (0.42, 0.44, 0.44), 0.5)
    pane.paint(big * toward * 0.55, (0.62, 0.63, 0.62), 0.5)
    pane.rough = np.clip(pane.rough + 0.30 * toward * cloud(pane_shape, 1087, slope=1.2), 0.03, 1)
    dust = step(cloud(pane_shape, 1088, slope=0.8), 0.6, 0.9)
    pane.paint(dust * 0.12, (0.4, 0.4, 0.36), 0.7)
    glass = moved(
        scaled(lying(sheet(pane, 1.0, 1.0, columns=200)), (2 * half - 0.02, 2 * half - 0.02, 1)),
        (0, 0, 0.024),
    )
    hinge = joined(
        [moved(box((0.075, 0.05, 0.022), 0.006), (s * 0.15, half + 0.015, 0.022)) for s in (-1, 1)]
        + [
            moved(
                tube(
                    [
                        (s * 0.15 - 0.045, half + 0.03, 0.028),
                        (s * 0.15 + 0.045, half + 0.03, 0.028),
                    ],
                    0.006,
                    16,
                ),
                (0, 0, 0),
            )
            for s in (-1, 1)
        ]
    )
    knob = moved(
        lathe(rounded([(0, 0), (0.017, 0), (0.015, 0.007), (0, 0.008)], 0.003), 40),
        (0, -half + 0.055, 0.024),
    )
    return outside(
        Thing(mesh=lying(sheet(coat, 1.2, 0.9, columns=900)), material=painted(coat, clear=0.2)),
        Thing(mesh=frame, material=ALLOY),
        Thing(mesh=hinge, material=ALLOY),
        Thing(mesh=glass, material=painted(pane, clear=0.4)),
        Thing(mesh=knob, material=BLACK),
        laid(scale_bar(10), 0.13, -0.325, z=0.003, spin=-2),
        level_m=-3.4,
        seed=6,
    )


@cache
def topside_scratch() -> Scene:
    """Topside gelcoat with a long impact scratch and a chipped start, boot-top below."""
    shape = (1500, 2000)
    coat = Coat(shape, GELCOAT, 0.14).mottle(1100, 0.03)
    x, z = metric(shape, 1.3, 0.97)
    coat.paint(step(z, -0.30, -0.302) * step(z, -0.395, -0.393), (0.012, 0.025, 0.085), 0.2)
    coat.paint(step(z, -0.43, -0.435), (0.17, 0.032, 0.027), 0.85)
    scum = np.exp(-(((z + 0.42) / 0.03) ** 2)) * cloud(shape, 1101, slope=1.2) * 1.1
    coat.paint(np.clip(scum, 0, 0.7), (0.10, 0.09, 0.045), 0.8)
    for k in range(7):
        drop = 0.008 * k - 0.02
        path = [
            (0.27 + 0.012 * k, 0.42 + drop),
            (0.45, 0.45 + drop * 1.3),
            (0.60 + 0.03 * k, 0.475 + drop * 1.1),
        ]
        coat.paint(
            strokes(shape, [path], 2 + (k % 3 == 1) * 4) * (0.9 if k % 3 == 1 else 0.5),
            (0.28, 0.30, 0.32),
            0.6,
            lift=-0.0005,
        )
    blue = strokes(shape, [[(0.30, 0.425), (0.52, 0.458), (0.63, 0.472)]], 5) * step(
        cloud(shape, 1103, slope=0.8), 0.5, 0.6
    )
    coat.paint(blue * 0.8, (0.04, 0.10, 0.30), 0.5)
    chip = step(
        np.hypot((x + 0.29) / 1.5, z - 0.075) + 0.03 * (cloud(shape, 1104, slope=1.3) - 0.5),
        0.020,
        0.017,
    )
    coat.paint(chip, (0.33, 0.30, 0.20), 0.7, lift=-0.0012)
    rim = step(np.abs(np.hypot((x + 0.29) / 1.5, z - 0.075) - 0.021), 0.006, 0.001)
    coat.paint(rim * 0.4, (0.82, 0.82, 0.80), 0.6)
    star = cracks(shape, 1105, centre=(0.277, 0.423), count=9, length=0.10, width_px=1, rings=2)
    coat.paint(star * 0.7, (0.22, 0.21, 0.18), 0.6)
    return outside(
        Thing(mesh=sheet(coat, 1.3, 0.97, bulge=(0.08, 0.25)), material=painted(coat, clear=1.0)),
        on_panel(scale_bar(10), -0.23, -0.04, spin=2),
        on_panel(number_card(14), 0.12, 0.15, spin=-3),
        level_m=-1.9,
    )


@cache
def topside_repair() -> Scene:
    """Topside seen for colour: a square of slightly different white and gloss, an old repair."""
    shape = (1300, 2600)
    coat = Coat(shape, GELCOAT, 0.12).mottle(1120, 0.02)
    x, z = metric(shape, 2.6, 1.15)
    area = step(np.maximum(np.abs(x - 0.05) / 0.34, np.abs(z - 0.02) / 0.27), 1.04, 0.96)
    coat.paint(area * 0.9, (0.73, 0.72, 0.655), 0.30)
    wave = cloud(shape, 1121, slope=2.6, coarsest=3)
    coat.relief += area * (wave - 0.5) * 0.004
    coat.paint(step(np.abs(z + 0.40), 0.015, 0.013), (0.012, 0.025, 0.085), 0.2)
    return outside(
        Thing(mesh=sheet(coat, 2.6, 1.15, bulge=(0.10, 0.25)), material=painted(coat, clear=0.8)),
        on_panel(scale_bar(20), -0.20, -0.31, spin=1),
        level_m=-1.9,
    )


def link(bar: float, length: float, width: float) -> Mesh:
    """One chain link, long along x, in the x-z plane."""
    straight, r = length / 2 - width / 2, width / 2 - bar / 2
    path = []
    for side, a0 in ((1, -90), (-1, 90)):
        path += [
            (side * straight + r * np.cos(a), 0.0, r * np.sin(a))
            for a in np.radians(np.linspace(a0, a0 + 180, 15))
        ]
    path.append(path[0])
    return tube(path, bar / 2, 14)


def chain(path: Array, bar: float, seed: int) -> Mesh:
    """Short-link chain along a path."""
    pitch = bar * 3.0
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    count = int(along[-1] / pitch)
    one = link(bar, bar * 5.0, bar * 3.4)
    rng = np.random.default_rng(seed)
    parts = []
    for k in range(count):
        s = (k + 0.5) * pitch
        at = np.array([np.interp(s, along, path[:, a]) for a in range(3)])
        ahead = np.array([np.interp(s + pitch, along, path[:, a]) for a in range(3)])
        run = ahead - at
        yaw = np.degrees(np.arctan2(run[1], run[0]))
        dive = -np.degrees(np.arctan2(run[2], np.hypot(run[0], run[1])))
        roll = (45 if k % 2 else -45) + 14 * rng.standard_normal()
        parts.append(moved(turned(turned(turned(one, "x", roll), "y", dive), "z", yaw), at))
    return joined(parts)


def galvanised(seed: int, rust: float) -> Material:
    """Zinc-coated steel with rust where the zinc has gone; texture repeats on every link."""
    coat = Coat((200, 400), (0.42, 0.43, 0.43), 0.55, 0.7).mottle(seed, 0.4, slope=1.1)
    worn = step(cloud((200, 400), seed + 1, slope=1.3), 0.66 - 0.3 * rust, 0.76 - 0.3 * rust)
    coat.paint(worn, (0.075, 0.034, 0.018), 0.95, 0.0)
    coat.paint(worn * step(cloud((200, 400), seed + 3, slope=1.0), 0.45, 0.6), (0.05, 0.02, 0.012))
    coat.paint(worn * step(cloud((200, 400), seed + 2, slope=1.1), 0.5, 0.65), BRIGHT_RUST, 0.95)
    return painted(coat)


@cache
def anchor_chain() -> Scene:
    """Chain flaked in the anchor well: galvanising good, one length rusted."""
    t = np.linspace(0, 1, 500)
    angle = t * 2 * np.pi * 5.2
    radius = 0.17 + 0.05 * np.sin(angle * 0.63 + 1) + 0.03 * np.sin(angle * 2.1)
    path = np.stack(
        [
            radius * 1.3 * np.cos(angle),
            radius * np.sin(angle) + 0.02 * np.sin(angle * 1.7),
            0.018 + 0.085 * t + 0.012 * np.sin(angle * 3.3),
        ],
        axis=1,
    )
    angle2 = t[:240] * 2 * np.pi * 4.2
    r2 = 0.13 + 0.06 * np.sin(angle2 * 0.8 + 2)
    top = np.stack(
        [
            0.03 + r2 * 1.2 * np.cos(angle2 + 1),
            r2 * np.sin(angle2 + 1),
            0.115 + 0.05 * t[:240] + 0.008 * np.sin(angle2 * 3),
        ],
        axis=1,
    )
    shape = (900, 1200)
    well = Coat(shape, (0.58, 0.58, 0.54), 0.45).mottle(1140, 0.15)
    stain = step(cloud(shape, 1141, slope=1.8, coarsest=3), 0.5, 0.75)
    well.paint(stain * 0.6, (0.30, 0.16, 0.07), 0.8)
    mud = step(cloud(shape, 1142, slope=1.5), 0.58, 0.75)
    well.paint(mud * 0.6, (0.14, 0.12, 0.09), 0.9)
    floor = lying(sheet(well, 0.95, 0.75, columns=120))
    walls = [
        moved(sheet(well, 0.95, 0.45, columns=100), (0, 0.375, 0.225)),
        moved(turned(sheet(well, 0.75, 0.45, columns=100), "z", -90), (0.475, 0, 0.225)),
        moved(turned(sheet(well, 0.75, 0.45, columns=100), "z", 90), (-0.475, 0, 0.225)),
    ]
    rim = moved(box((1.3, 0.12, 0.04), 0.015), (0, 0.44, 0.46))
    return outside(
        Thing(mesh=joined([floor, *walls]), material=painted(well)),
        Thing(mesh=rim, material=Material(colour=(0.62, 0.62, 0.58), rough=0.4)),
        Thing(mesh=chain(path, 0.008, 3), material=galvanised(1150, 0.15)),
        Thing(mesh=chain(top, 0.008, 4), material=galvanised(1160, 0.7)),
        laid(scale_bar(10), 0.28, -0.24, z=0.014, spin=20),
        level_m=-3.4,
        behind=False,
    )
