"""Scenes below decks, lit by a hand lamp beside the camera; shared by both boats where alike."""

from functools import cache

import numpy as np

from scenes.bottom import metric
from scenes.deck import lying
from scenes.fittings import ball_valve, bronze_coat, hose_clip, ribbed_hose
from scenes.mesh import (
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
from scenes.noise import cloud, coordinates, domes, runs, step
from scenes.studio import Lamp, Scene
from scenes.surface import (
    BLACK,
    BRASS,
    BRIGHT_RUST,
    DARK_RUST,
    RUBBER,
    RUST,
    STEEL,
    Coat,
    Colour,
    Material,
    Thing,
    draped,
    number_card,
    painted,
    scale_bar,
    sheet,
)

BILGE_PAINT: Colour = (0.52, 0.53, 0.52)


def by_lamp(
    *things: Thing,
    lamp: tuple[float, float, float],
    toward: tuple[float, float, float] = (0, 0, 0.1),
    power: float = 22.0,
    room: float = 0.30,
) -> Scene:
    """Things in a dim space with a hand lamp."""
    light = Lamp(
        at=lamp, toward=toward, size=(0.16, 0.16), power=(power, power * 0.96, power * 0.88)
    )
    return Scene(things=things, lamps=(light,), sky=0.0, room=(room, room * 1.02, room * 1.05))


def laminate(shape: tuple[int, int], seed: int, *, colour: Colour = BILGE_PAINT) -> Coat:
    """Painted hand lay-up: the weave of the last roving shows, dirt lies in it."""
    coat = Coat(shape, colour, 0.42).mottle(seed, 0.12)
    rows, columns = np.mgrid[0 : shape[0], 0 : shape[1]]
    weave = np.sin(rows * 0.19) * np.sin(columns * 0.19)
    weave = weave.astype(np.float32) * step(cloud(shape, seed + 1, slope=1.5), 0.30, 0.6)
    coat.relief += weave * 0.0006
    coat.paint(step(-weave, 0.3, 0.9) * 0.18, (0.20, 0.19, 0.17), 0.7)
    grime = step(cloud(shape, seed + 2, slope=1.7, coarsest=3), 0.52, 0.78)
    return coat.paint(grime * 0.35, (0.17, 0.155, 0.12), 0.75)


def compartment(coat: Coat, width: float, depth: float, height: float) -> list[Thing]:
    """Floor, back and two sides of a locker or bilge; open to the viewer and above."""
    floor = lying(sheet(coat, width, depth, columns=300))
    back = moved(sheet(coat, width, height, columns=300), (0, depth / 2, height / 2))
    sides = [
        moved(
            turned(sheet(coat, depth, height, columns=200), "z", -90), (width / 2, 0, height / 2)
        ),
        moved(
            turned(sheet(coat, depth, height, columns=200), "z", 90), (-width / 2, 0, height / 2)
        ),
    ]
    return [Thing(mesh=joined([floor, back, *sides]), material=painted(coat))]


def rusty_clip(radius_m: float) -> Thing:
    """A clip of plain steel gone brown."""
    coat = Coat((200, 400), RUST, 0.9).mottle(44, 0.5, slope=1.0)
    coat.paint(step(cloud((200, 400), 45, slope=1.2), 0.5, 0.65), BRIGHT_RUST)
    coat.paint(step(cloud((200, 400), 46, slope=1.2), 0.62, 0.75), DARK_RUST)
    return hose_clip(radius_m, painted(coat))


@cache
def seacock(state: str) -> Scene:
    """A ball valve inside: `sound` with two good clips, `rusted` with one brown clip, `shut` stiff."""
    coat = laminate((1000, 1300), {"sound": 2000, "rusted": 2010, "shut": 2020}[state])
    x, y = coordinates((1000, 1300))
    pad = step(np.hypot((y - 0.5) * 1.3, (x - 0.5) * 1.8), 0.20, 0.19)
    coat.paint(pad, (0.40, 0.36, 0.28), 0.6, lift=0.0)
    if state == "rusted":
        weep = step(cloud((1000, 1300), 2012, slope=1.5), 0.5, 0.7) * pad
        coat.paint(weep * 0.7, (0.22, 0.10, 0.035), 0.7)
    metal = painted(bronze_coat(2030, pink=0.55 if state == "rusted" else 0.0, shape=(500, 500)))
    grip = {"sound": (0.40, 0.03, 0.02), "rusted": (0.36, 0.04, 0.03), "shut": (0.03, 0.10, 0.30)}[
        state
    ]
    valve = ball_valve(metal, Material(colour=grip, rough=0.45))
    if state == "shut":
        last = valve[-1]
        tipped = moved(turned(moved(last.mesh, (0, 0, -0.085)), "x", 90), (0, 0, 0.085))
        valve[-1] = Thing(mesh=tipped, material=last.material)
    hose = ribbed_hose(
        [
            (0, 0, 0.145),
            (0, 0, 0.22),
            (-0.02, 0.02, 0.32),
            (-0.14, 0.10, 0.44),
            (-0.34, 0.14, 0.50),
            (-0.7, 0.14, 0.52),
        ],
        0.0255,
    )
    clips: list[Thing] = []
    for k, h in enumerate((0.158, 0.182)):
        if state == "rusted" and k == 1:
            continue
        clip = rusty_clip(0.0255) if state == "rusted" else hose_clip(0.0255)
        clips.append(
            Thing(
                mesh=moved(turned(clip.mesh, "z", -70 + 40 * k), (0, 0, h)), material=clip.material
            )
        )
    card = number_card({"sound": 5, "rusted": 6, "shut": 7}[state])
    backing = Thing(
        mesh=moved(
            lathe(rounded([(0.0, 0.0), (0.105, 0.0), (0.105, 0.014), (0.0, 0.014)], 0.004), 72),
            (0, 0, -0.012),
        ),
        material=Material(colour=(0.30, 0.20, 0.10), rough=0.6),
    )
    wire = tube(
        curve([(-0.6, 0.2, 0.03), (-0.2, 0.14, 0.02), (0.03, 0.06, 0.05), (0.034, 0.0, 0.045)], 50),
        0.0035,
        10,
    )
    return by_lamp(
        *compartment(coat, 1.1, 0.8, 0.8),
        backing,
        *valve,
        hose,
        *clips,
        Thing(mesh=wire, material=Material(colour=(0.03, 0.20, 0.06), rough=0.5)),
        Thing(
            mesh=moved(turned(card.mesh, "x", -38), (0.155, -0.05, 0.030)), material=card.material
        ),
        lamp=(0.40, -0.75, 0.75),
        power=26,
    )


@cache
def gas_locker() -> Scene:
    """Gas locker from above: cylinder, regulator, hose and the drain at the bottom."""
    coat = Coat((800, 800), (0.62, 0.62, 0.58), 0.35).mottle(2100, 0.10)
    coat.paint(step(cloud((800, 800), 2101, slope=1.7), 0.55, 0.75) * 0.4, (0.22, 0.20, 0.15), 0.8)
    cylinder = lathe(
        rounded(
            [
                (0, 0),
                (0.105, 0.0),
                (0.110, 0.02),
                (0.116, 0.03),
                (0.116, 0.26),
                (0.108, 0.31),
                (0.06, 0.355),
                (0.02, 0.365),
                (0, 0.365),
            ],
            0.03,
            6,
        ),
        96,
    )
    skin = Coat((600, 800), (0.03, 0.10, 0.34), 0.42).mottle(2102, 0.15)
    chipped = step(cloud((600, 800), 2103, slope=1.3), 0.82, 0.86)
    skin.paint(chipped, (0.16, 0.06, 0.03), 0.85)
    _u, v = coordinates((600, 800))
    skin.paint(step(v, 0.10, 0.05) * 0.7, RUST, 0.9)
    collar = tube(
        [(0.062 * np.cos(a), 0.062 * np.sin(a), 0.40) for a in np.linspace(0.6, 5.7, 50)], 0.006, 12
    )
    posts = [
        tube(
            [
                (0.062 * np.cos(a), 0.062 * np.sin(a), 0.345),
                (0.062 * np.cos(a), 0.062 * np.sin(a), 0.40),
            ],
            0.006,
            10,
        )
        for a in (0.6, 2.2, 3.9, 5.7)
    ]
    valve = moved(
        lathe(
            rounded(
                [(0, 0), (0.016, 0), (0.016, 0.03), (0.011, 0.035), (0.011, 0.05), (0, 0.05)], 0.003
            ),
            40,
        ),
        (0, 0, 0.36),
    )
    regulator = joined(
        [
            moved(
                turned(
                    lathe(
                        rounded(
                            [
                                (0, 0),
                                (0.036, 0),
                                (0.040, 0.010),
                                (0.036, 0.022),
                                (0.015, 0.028),
                                (0, 0.028),
                            ],
                            0.004,
                        ),
                        60,
                    ),
                    "y",
                    20,
                ),
                (0.035, -0.012, 0.405),
            ),
            moved(turned(lathe([(0.008, 0), (0.008, 0.06)], 20), "y", 90), (0.045, -0.012, 0.415)),
        ]
    )
    knob = moved(
        lathe(rounded([(0, 0), (0.018, 0), (0.016, 0.012), (0, 0.013)], 0.004), 10), (0, 0, 0.41)
    )
    hose = tube(
        curve(
            [
                (0.10, -0.012, 0.415),
                (0.165, -0.02, 0.40),
                (0.20, 0.03, 0.30),
                (0.19, 0.12, 0.20),
                (0.235, 0.18, 0.22),
            ],
            80,
        ),
        0.0065,
        16,
    )
    strap = lathe(
        rounded([(0.1162, 0.14), (0.1185, 0.14), (0.1185, 0.172), (0.1162, 0.172)], 0.001), 96
    )
    drain = moved(
        lathe(rounded([(0.013, -0.01), (0.013, 0.0), (0.024, 0.003), (0.026, 0.0)], 0.002), 48),
        (-0.165, -0.12, 0.002),
    )
    dark = moved(lathe([(0, 0.0), (0.0135, 0.0)], 32), (-0.165, -0.12, 0.0025))
    rng = np.random.default_rng(4)
    leaves = [
        moved(
            turned(
                lying(
                    sheet(
                        Coat((8, 8), (0.2, 0.1, 0.03), 0.8), 0.03, 0.014, bulge=(30, 10), columns=12
                    )
                ),
                "z",
                360 * rng.random(),
            ),
            (-0.19 + 0.10 * rng.random(), -0.16 + 0.09 * rng.random(), 0.006 + 0.004 * k),
        )
        for k in range(3)
    ]
    top = [moved(box((2.4, 0.9, 0.04), 0.015), (0, s * 0.71, 0.45)) for s in (-1, 1)]
    top += [moved(box((0.9, 0.56, 0.04), 0.015), (s * 0.71, 0, 0.45)) for s in (-1, 1)]
    lid = moved(turned(box((0.62, 0.03, 0.5), 0.012), "x", -14), (0, 0.36, 0.72))
    return by_lamp(
        *compartment(coat, 0.52, 0.52, 0.46),
        Thing(mesh=moved(cylinder, (0.02, 0.06, 0)), material=painted(skin)),
        Thing(
            mesh=moved(joined([collar, *posts]), (0.02, 0.06, 0)),
            material=Material(colour=(0.03, 0.10, 0.34), rough=0.4),
        ),
        Thing(mesh=moved(valve, (0.02, 0.06, 0)), material=BRASS),
        Thing(
            mesh=moved(regulator, (0.02, 0.06, 0)),
            material=Material(colour=(0.45, 0.46, 0.45), rough=0.4, metal=0.8),
        ),
        Thing(mesh=moved(knob, (0.02, 0.06, 0)), material=BLACK),
        Thing(
            mesh=moved(hose, (0.02, 0.06, 0)),
            material=Material(colour=(0.50, 0.13, 0.02), rough=0.55),
        ),
        Thing(
            mesh=moved(strap, (0.02, 0.06, 0)),
            material=Material(colour=(0.04, 0.04, 0.045), rough=0.9),
        ),
        Thing(mesh=drain, material=STEEL),
        Thing(mesh=dark, material=BLACK),
        Thing(mesh=joined(leaves), material=Material(colour=(0.17, 0.085, 0.025), rough=0.8)),
        Thing(mesh=joined(top), material=Material(colour=(0.60, 0.60, 0.56), rough=0.5)),
        Thing(mesh=lid, material=Material(colour=(0.62, 0.62, 0.58), rough=0.4)),
        lamp=(-0.5, -0.8, 1.3),
        power=18,
        room=0.55,
    )


@cache
def battery_box() -> Scene:
    """Two lead-acid batteries in a tray, one terminal white with corrosion, no strap over them."""
    coat = laminate((800, 1000), 2200)
    plastic = Material(colour=(0.03, 0.03, 0.033), rough=0.45)
    out: list[Thing] = []
    terminals, red, black, caps, handles, crust = [], [], [], [], [], []
    for _k, x0 in enumerate((-0.19, 0.19)):
        out.append(
            Thing(mesh=moved(box((0.33, 0.172, 0.20), 0.008), (x0, 0, 0.14)), material=plastic)
        )
        out.append(
            Thing(mesh=moved(box((0.335, 0.177, 0.030), 0.006), (x0, 0, 0.236)), material=plastic)
        )
        for s in (-1, 1):
            post = lathe(rounded([(0, 0), (0.0095, 0), (0.0085, 0.018), (0, 0.019)], 0.002), 32)
            terminals.append(moved(post, (x0 + s * 0.12, -0.045, 0.250)))
            terminals.append(
                moved(box((0.030, 0.034, 0.014), 0.004), (x0 + s * 0.12, -0.050, 0.259))
            )
            terminals.append(
                moved(
                    turned(prism(6, 0.010, 0.012), "y", 90), (x0 + s * 0.12 + 0.012, -0.066, 0.259)
                )
            )
        cap = lathe(rounded([(0, 0), (0.013, 0), (0.012, 0.006), (0, 0.007)], 0.002), 32)
        caps += [moved(cap, (x0 - 0.10 + 0.04 * c, 0.035, 0.250)) for c in range(6)]
        handles.append(
            tube(
                curve(
                    [(x0 - 0.165, -0.05, 0.22), (x0 - 0.185, 0, 0.19), (x0 - 0.165, 0.05, 0.22)], 30
                ),
                0.005,
                10,
            )
        )
    red.append(
        tube(
            curve(
                [
                    (-0.07, -0.07, 0.26),
                    (-0.06, -0.14, 0.27),
                    (0.06, -0.16, 0.29),
                    (0.26, -0.13, 0.29),
                    (0.31, -0.07, 0.262),
                ],
                60,
            ),
            0.008,
            16,
        )
    )
    red.append(
        tube(
            curve(
                [(-0.07, -0.06, 0.262), (-0.10, 0.1, 0.34), (-0.30, 0.2, 0.42), (-0.6, 0.22, 0.45)],
                60,
            ),
            0.008,
            16,
        )
    )
    black.append(
        tube(
            curve(
                [
                    (-0.31, -0.07, 0.26),
                    (-0.28, -0.17, 0.30),
                    (-0.05, -0.20, 0.32),
                    (0.06, -0.07, 0.262),
                ],
                60,
            ),
            0.008,
            16,
        )
    )
    black.append(
        tube(
            curve(
                [(0.07, -0.06, 0.262), (0.10, 0.10, 0.36), (0.3, 0.22, 0.42), (0.6, 0.22, 0.42)], 60
            ),
            0.008,
            16,
        )
    )
    lump = domes((120, 160), 2204, count=160, radius_px=(3, 16))
    bump = Coat((120, 160), (0.62, 0.68, 0.66), 0.95).mottle(2205, 0.15, slope=1.0)
    bump.paint(step(cloud((120, 160), 2206, slope=1.3), 0.55, 0.7) * 0.8, (0.25, 0.50, 0.48))
    bump.relief += lump * 0.006
    angle, up = np.meshgrid(np.linspace(0, 2 * np.pi, 160), np.linspace(0.02, np.pi / 2, 120))
    ball = np.stack(
        [
            0.024 * np.cos(angle) * np.sin(up),
            0.026 * np.sin(angle) * np.sin(up),
            0.021 * np.cos(up),
        ],
        axis=-1,
    )
    crust.append(moved(draped(ball, bump), (0.31, -0.048, 0.250)))
    tray = [moved(box((0.80, 0.02, 0.07), 0.005), (0, s * 0.115, 0.035)) for s in (-1, 1)] + [
        moved(box((0.80, 0.24, 0.03), 0.005), (0, 0, 0.02))
    ]
    return by_lamp(
        *compartment(coat, 1.2, 0.7, 0.6),
        *out,
        Thing(
            mesh=joined(terminals),
            material=Material(colour=(0.35, 0.35, 0.36), rough=0.5, metal=1.0),
        ),
        Thing(mesh=joined(caps), material=Material(colour=(0.05, 0.05, 0.05), rough=0.5)),
        Thing(mesh=joined(handles), material=RUBBER),
        Thing(mesh=joined(red), material=Material(colour=(0.42, 0.02, 0.015), rough=0.4)),
        Thing(mesh=joined(black), material=BLACK),
        Thing(mesh=joined(crust), material=painted(bump)),
        Thing(mesh=joined(tray), material=Material(colour=(0.42, 0.28, 0.14), rough=0.6)),
        lamp=(0.45, -0.9, 1.1),
        toward=(0, 0, 0.2),
        power=24,
    )


@cache
def bilge() -> Scene:
    """Keel sump: five keel bolts in a row with plates, one nut brown with rust, water at the low end."""
    shape, width, depth = (1300, 2200), 2.9, 1.7
    coat = laminate(shape, 2500, colour=(0.48, 0.49, 0.47))
    x, y = metric(shape, width, depth)
    tide = np.exp(-((y / 0.30) ** 6))
    coat.paint(tide * step(cloud(shape, 2502, slope=1.5), 0.35, 0.7) * 0.5, (0.16, 0.13, 0.08), 0.5)
    stain = step(
        np.hypot(x - 0.145, y) + 0.06 * (cloud(shape, 2503, slope=1.3) - 0.5),
        0.10,
        0.03,
    )
    coat.paint(stain * 0.85, BRIGHT_RUST, 0.8)
    down = runs(shape, 2504, [(0.54, 0.51), (0.55, 0.51), (0.56, 0.51)], length=0.2, width=0.012)
    coat.paint(np.clip(down * 1.2, 0, 0.8), RUST, 0.7)
    px, py = np.meshgrid(
        np.linspace(-width / 2, width / 2, 500), np.linspace(depth / 2, -depth / 2, 240)
    )
    pz = 0.9 * np.clip(np.abs(py) - 0.12, 0, None) ** 1.25 + 0.03 * px
    floor = Thing(
        mesh=draped(np.stack([px, py, pz], axis=-1), coat, flip=True), material=painted(coat)
    )
    good: list[Mesh] = []
    rusty: list[Mesh] = []
    for k, x0 in enumerate((-0.60, -0.32, -0.04, 0.145, 0.45)):
        base = 0.03 * x0
        plate = moved(box((0.085, 0.085, 0.010), 0.003), (x0, 0, base + 0.006))
        nut = moved(turned(prism(6, 0.046, 0.030, 0.003), "z", 17 * k), (x0, 0, base + 0.011))
        stud = moved(
            lathe(
                [(0.0125 + 0.0006 * (j % 2), 0.0012 * j) for j in range(24)]
                + [(0.011, 0.030), (0, 0.030)],
                40,
            ),
            (x0, 0, base + 0.038),
        )
        (rusty if k == 3 else good).extend([plate, nut, stud])
    eaten = Coat((300, 300), RUST, 0.92).mottle(2510, 0.5, slope=0.9)
    eaten.paint(step(cloud((300, 300), 2511, slope=1.2), 0.45, 0.6), BRIGHT_RUST, 0.95)
    eaten.paint(step(cloud((300, 300), 2512, slope=1.1), 0.60, 0.72), DARK_RUST, 0.95)
    rng = np.random.default_rng(12)
    scale = [
        moved(
            turned(
                turned(
                    box((0.012 + 0.012 * rng.random(), 0.008, 0.003), 0.001), "x", 40 * rng.random()
                ),
                "z",
                360 * rng.random(),
            ),
            (0.145 + 0.055 * rng.standard_normal(), 0.05 * rng.standard_normal(), 0.010),
        )
        for _ in range(26)
    ]
    ripple = Coat((300, 900), (0.030, 0.026, 0.017), 0.03)
    wx, wy = np.meshgrid(np.linspace(-1.45, 0.9, 200), np.linspace(0.3, -0.3, 80))
    water_points = np.stack([wx, wy, np.zeros_like(wx)], axis=-1)
    water_points[..., 2] = -0.006 + 0.0006 * (cloud((80, 200), 2515, slope=1.8) - 0.5)
    floors = [moved(box((0.07, 1.3, 0.20), 0.03, 4), (x0, 0, 0.10)) for x0 in (-0.46, 0.30)]
    limber = Coat((300, 600), (0.50, 0.51, 0.49), 0.4).mottle(2516, 0.15)
    pipe = tube(
        curve([(-0.80, -0.10, 0.20), (-0.70, -0.09, 0.06), (-0.72, -0.05, 0.015)], 40), 0.017, 20
    )
    return by_lamp(
        floor,
        Thing(mesh=joined(good), material=steel_dull(2520)),
        Thing(mesh=joined(rusty), material=painted(eaten)),
        Thing(mesh=joined(scale), material=painted(eaten)),
        Thing(
            mesh=grid(water_points, flip=True),
            material=Material(colour=(0.03, 0.026, 0.017), rough=0.04, shine=0.7, coat=ripple),
        ),
        Thing(mesh=joined(floors), material=painted(limber)),
        Thing(mesh=pipe, material=RUBBER),
        Thing(
            mesh=moved(turned(turned(scale_bar(10).mesh, "x", -70), "z", 0), (0.14, -0.105, 0.022)),
            material=scale_bar(10).material,
        ),
        lamp=(0.45, -0.55, 0.9),
        toward=(0.1, 0, 0),
        power=24,
    )


def steel_dull(seed: int) -> Material:
    """Stainless steel that has stood in a bilge."""
    coat = Coat((300, 300), (0.46, 0.46, 0.45), 0.38, 1.0).mottle(seed, 0.3)
    coat.paint(
        step(cloud((300, 300), seed + 1, slope=1.4), 0.62, 0.78) * 0.6, (0.20, 0.13, 0.07), 0.7, 0.3
    )
    return painted(coat)
