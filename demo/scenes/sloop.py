"""The sloop of the demo as a whole: invented lines, keel, skeg, rudder, deck and rig."""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from scipy.interpolate import PchipInterpolator

from scenes.fittings import anode_pear, folding_propeller, skin_flange
from scenes.mesh import Array, aimed, box, curve, foil, grid, lathe, moved, shifted, tube, turned
from scenes.noise import Field, cloud, domes, step
from scenes.surface import (
    ANTIFOULING,
    BRONZE,
    GELCOAT,
    PRIMER,
    STEEL,
    Coat,
    Material,
    Thing,
    painted,
)
from scenes.yard import backdrop, blocks, ladder, shore

GROUND_M = -2.13
BOOT_TOP = (0.012, 0.025, 0.085)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """Curves along the boat, u from 0 at the transom to 1 at the stem."""

    half_beam: PchipInterpolator
    sheer: PchipInterpolator
    rocker: PchipInterpolator
    fullness: PchipInterpolator


LINES = Lines(
    half_beam=PchipInterpolator(
        [0, 0.15, 0.42, 0.65, 0.85, 0.95, 1], [1.08, 1.42, 1.675, 1.45, 0.78, 0.32, 0.025]
    ),
    sheer=PchipInterpolator([0, 0.3, 0.6, 1], [0.98, 0.95, 1.03, 1.27]),
    rocker=PchipInterpolator(
        [0, 0.1, 0.25, 0.5, 0.75, 0.92, 1], [0.12, -0.12, -0.38, -0.56, -0.47, -0.20, 0.05]
    ),
    fullness=PchipInterpolator([0, 0.4, 0.7, 0.9, 1], [2.5, 2.35, 1.85, 1.45, 1.3]),
)


def hull_point(u: Array | float, t: Array | float, side: int = 1) -> Array:
    """Points of the shell; t from 0 on the centreline to 1 at the deck edge."""
    u, t = np.broadcast_arrays(np.asarray(u, float), np.asarray(t, float))
    beam, sheer, keel = LINES.half_beam(u), LINES.sheer(u), LINES.rocker(u)
    power = LINES.fullness(u)
    angle = t * np.pi / 2
    y = beam * np.sin(angle) ** (2 / power)
    z = sheer - (sheer - keel) * np.clip(np.cos(angle), 0, 1) ** (2 / power)
    height = (z - keel) / (sheer - keel)
    flare = 0.06 * np.clip(u - 0.55, 0, 1) * (height - 1)
    stem = 9.30 + 0.90 * np.clip(height, 0, 1) ** 1.15
    stern = 0.02 + 0.42 * np.clip(height, 0, 1)
    x = stern + (stem - stern) * u
    return np.stack([x, side * (y + flare * beam), z], axis=-1)


def _skin(points: Array, shape: tuple[int, int]) -> tuple[Field, Field]:

    big = cv2.resize(
        points.astype(np.float32), (shape[1], shape[0]), interpolation=cv2.INTER_LINEAR
    )
    return np.asarray(big[..., 0], np.float32), np.asarray(big[..., 2], np.float32)


def hull_coat(points: Array, seed: int, shape: tuple[int, int] = (1000, 3000)) -> Coat:
    """Topsides, boot-top, scum line, worn antifouling and the patches scraped for the survey."""
    x, z = _skin(points, shape)
    coat = Coat(shape, GELCOAT, 0.16)
    coat.mottle(seed, 0.03)
    line = 0.105 + 0.02 * ((x - 5) / 5) ** 2
    coat.paint(((z > line + 0.035) & (z < line + 0.115)).astype(np.float32), BOOT_TOP, 0.2)
    rub = (z > line + 0.48) & (z < line + 0.505)
    coat.paint(rub.astype(np.float32) * 0.9, BOOT_TOP, 0.25)
    bottom = (z < line).astype(np.float32)
    coat.paint(bottom, ANTIFOULING, 0.85)
    worn = step(cloud(shape, seed + 1, slope=1.5, coarsest=6), 0.58, 0.72) * bottom
    coat.paint(worn * 0.6, (0.14, 0.035, 0.035), 0.9)
    drawn = cloud(shape, seed + 2, slope=1.1, stretch=8, coarsest=5)
    coat.paint(step(drawn, 0.60, 0.78) * bottom * 0.35, (0.33, 0.10, 0.07))
    thin = step(cloud(shape, seed + 3, slope=1.7, coarsest=8), 0.80, 0.88) * bottom
    coat.paint(thin * 0.5, PRIMER, 0.7)
    scum = np.exp(-(((z - line + 0.02) / 0.05) ** 2)) * cloud(shape, seed + 4, slope=1.2) * 1.2
    coat.paint(np.clip(scum, 0, 0.75), (0.10, 0.09, 0.045), 0.8)
    specks = domes(shape, seed + 5, count=500, radius_px=(1, 2.2), where=bottom)
    coat.paint(specks * 0.6, (0.40, 0.38, 0.33), 0.8)
    for at in (2.7, 4.25, 6.4, 7.7):
        if seed % 2 and at < 4:
            continue
        patch = (np.abs(x - at) < 0.11 + 0.02 * (cloud(shape, seed + 6, slope=1.0) - 0.5)) & (
            np.abs(z + 0.22 + 0.03 * (cloud(shape, seed + 7, slope=1.0) - 0.5)) < 0.075
        )
        coat.paint(patch.astype(np.float32), (0.62, 0.60, 0.52), 0.35)
    return coat


def _wing(
    root: tuple[float, float, float],
    tip: tuple[float, float, float],
    chords: tuple[float, float],
    thickness: float,
    rows: int = 60,
) -> Array:
    """A keel or rudder as points; root and tip are leading edges, chords run aft."""
    section = foil(thickness, 40)
    share = np.linspace(0, 1, rows)[:, None]
    chord = chords[0] + (chords[1] - chords[0]) * share
    lead = np.asarray(root) + (np.asarray(tip) - np.asarray(root)) * share
    points = np.empty((rows, len(section), 3))
    points[..., 0] = lead[:, :1] - section[None, :, 0] * chord
    points[..., 1] = section[None, :, 1] * chord
    points[..., 2] = lead[:, 2:]
    return points


def _capped(points: Array) -> list[Array]:
    """The last row closed flat."""
    edge = points[-1]
    middle = edge[::-1]
    half = len(edge) // 2 + 1
    return [np.stack([edge[:half], middle[:half]], axis=0)]


def bottom_coat(seed: int, shape: tuple[int, int] = (700, 900), *, rust: float = 0.0) -> Coat:
    """Antifouling on an appendage, with rust breaking through toward its foot."""
    coat = Coat(shape, ANTIFOULING, 0.85)
    coat.mottle(seed, 0.25)
    y = np.linspace(0, 1, shape[0], dtype=np.float32)[:, None]
    worn = step(cloud(shape, seed + 1, slope=1.6), 0.58, 0.75)
    coat.paint(worn * 0.5, (0.13, 0.035, 0.035))
    if rust:
        bleed = step(cloud(shape, seed + 2, slope=1.5) + 0.35 * rust * (y - 0.5), 0.70, 0.78)
        coat.paint(bleed, (0.15, 0.055, 0.025), 0.9)
        toe = step(y + 0.10 * (cloud(shape, seed + 3, slope=1.4) - 0.5), 0.93, 0.97) * rust
        coat.paint(toe, (0.17, 0.06, 0.025), 0.95)
    specks = domes(shape, seed + 4, count=260, radius_px=(1, 2.4))
    return coat.paint(specks * 0.6, (0.40, 0.38, 0.33), 0.8)


def hull_and_keel() -> list[Thing]:
    """The shell, both sides, with transom, keel, skeg, rudder, shaft and propeller."""
    u, t = np.linspace(0, 1, 220)[None, :], np.linspace(0, 1, 90)[:, None]
    out: list[Thing] = []
    for side in (1, -1):
        points = hull_point(u, t, side)
        coat = hull_coat(points, 30 + side)
        out.append(Thing(mesh=grid(points, flip=side < 0), material=painted(coat, clear=0.3)))
    rim = np.concatenate([hull_point(0.0, t[::-1, 0], 1), hull_point(0.0, t[1:, 0], -1)])
    centre = np.broadcast_to(np.array([0.44, 0.0, 1.06]), rim.shape)
    transom = np.stack([rim, (rim + centre) / 2, centre], axis=0)
    out.append(Thing(mesh=grid(transom), material=Material(colour=GELCOAT, rough=0.2)))
    keel = _wing((5.95, 0, -0.42), (5.45, 0, -1.85), (2.05, 1.35), 0.11)
    out.append(Thing(mesh=grid(keel, weld=True), material=painted(bottom_coat(61, rust=1.0))))
    skeg = _wing((2.15, 0, 0.0), (1.42, 0, -1.42), (0.95, 0.30), 0.12)
    out.append(Thing(mesh=grid(skeg, weld=True), material=painted(bottom_coat(71))))
    rudder = _wing((1.24, 0, -0.06), (1.10, 0, -1.42), (0.52, 0.46), 0.11)
    out.append(Thing(mesh=grid(rudder, weld=True), material=painted(bottom_coat(81))))
    for wing, colour in ((keel, (0.13, 0.06, 0.04)), (skeg, ANTIFOULING), (rudder, ANTIFOULING)):
        cap = _capped(wing)[0]
        out.append(Thing(mesh=grid(cap), material=Material(colour=colour, rough=0.9)))
    shaft = tube([(3.3, 0, -0.33), (2.42, 0, -0.56)], 0.0155, 20)
    out.append(Thing(mesh=shaft, material=STEEL))
    boss = turned(
        moved(lathe([(0, -0.07), (0.034, -0.07), (0.038, 0), (0.034, 0.07), (0, 0.07)]), (0, 0, 0)),
        "y",
        75.5,
    )
    out.append(Thing(mesh=moved(boss, (2.58, 0, -0.52)), material=BRONZE))
    arm = _wing((2.62, 0, -0.22), (2.61, 0, -0.50), (0.085, 0.085), 0.2, 8)
    out.append(Thing(mesh=grid(arm, weld=True), material=BRONZE))
    for thing in folding_propeller(0.21, BRONZE, closed=False):
        mesh = turned(turned(thing.mesh, "z", 20), "y", -104.5)
        out.append(Thing(mesh=moved(mesh, (2.40, 0, -0.565)), material=thing.material))
    out.append(
        Thing(
            mesh=moved(turned(anode_pear().mesh, "x", 62), (2.95, 0.34, -0.30)),
            material=anode_pear().material,
        )
    )
    for at, t_at in ((3.9, 0.42), (4.5, 0.36), (6.9, 0.35), (1.6, 0.6)):
        for side in (1, -1):
            share = (at - 0.2) / 9.4
            here = hull_point(share, t_at, side)
            normal = normal_at(share, t_at, side)

            out.append(
                Thing(mesh=moved(aimed(skin_flange(0.035).mesh, normal), here), material=BRONZE)
            )
    return out


def normal_at(u: float, t: float, side: int = 1) -> Array:
    """Outward normal of the shell."""
    along = hull_point(u + 0.002, t, side) - hull_point(u - 0.002, t, side)
    up = hull_point(u, min(t + 0.004, 1.0), side) - hull_point(u, t - 0.004, side)
    normal = np.cross(along, up) * -side
    normal /= np.linalg.norm(normal)
    return normal if normal[1] * side > 0 else -normal


def deck_and_rails() -> list[Thing]:
    """Deck, coachroof, cockpit coamings, guard wires, pulpit and pushpit."""
    out: list[Thing] = []
    u = np.linspace(0, 1, 120)
    edge = hull_point(u, 1.0, 1)
    across = np.linspace(-1, 1, 31)
    deck = np.empty((31, 120, 3))
    deck[..., 0] = edge[None, :, 0]
    deck[..., 1] = across[:, None] * edge[None, :, 1]
    deck[..., 2] = edge[None, :, 2] + 0.07 * (1 - across[:, None] ** 2) + 0.02
    white = Material(colour=(0.66, 0.66, 0.62), rough=0.45)
    out.append(Thing(mesh=grid(deck), material=white))
    for side in (1, -1):
        rail = edge * [1, side, 1] + [0, 0, 0.025]
        out.append(
            Thing(
                mesh=tube(rail, 0.022, 10),
                material=Material(colour=(0.45, 0.45, 0.44), rough=0.3, metal=1.0),
            )
        )
    roof = box((4.1, 1.75, 0.5), 0.16, 6)
    vertices = roof.vertices.copy()
    front = np.clip((vertices[:, 0] + 0.4) / 2.5, 0, 1)
    vertices[:, 1] *= 1 - 0.45 * front
    vertices[:, 2] -= 0.20 * front * (vertices[:, 2] > 0)

    roof = replace(roof, vertices=shifted(vertices, (5.6, 0, 1.15)))
    out.append(Thing(mesh=roof, material=Material(colour=GELCOAT, rough=0.25)))
    glass = Material(colour=(0.015, 0.018, 0.02), rough=0.05)
    for side in (1, -1):
        for at, length in ((4.3, 0.75), (5.35, 0.85), (6.3, 0.6)):
            pane = box((length, 0.02, 0.15), 0.009)
            slant = -side * (0.0 if at < 5 else 10.5)
            y = side * (0.885 if at < 5 else 0.885 - (at - 5.2) * 0.16)
            out.append(Thing(mesh=moved(turned(pane, "z", slant), (at, y, 1.21)), material=glass))
        coaming = box((2.6, 0.18, 0.34), 0.07)
        out.append(
            Thing(
                mesh=moved(turned(coaming, "z", side * 4), (2.2, side * 0.86, 1.13)), material=white
            )
        )
        for at in (0.08, 0.22, 0.37, 0.52, 0.66, 0.80):
            foot = shifted(hull_point(at, 1.0, side), (0, -side * 0.06, 0.02))
            out.append(
                Thing(mesh=tube([foot, shifted(foot, (0, 0, 0.62))], 0.0125, 12), material=STEEL)
            )
        for height in (0.33, 0.60):
            wire = [
                shifted(hull_point(s, 1.0, side), (0, -side * 0.06, height))
                for s in np.linspace(0.08, 0.9, 24)
            ]
            out.append(Thing(mesh=tube(wire, 0.004, 6), material=STEEL))
    bow = hull_point(1.0, 1.0)
    for height in (0.35, 0.64):
        points = [
            shifted(hull_point(0.88, 1.0, 1), (0, -0.06, height)),
            shifted(hull_point(0.95, 1.0, 1), (0, -0.04, height)),
            shifted(bow, (0.1, 0, height)),
            shifted(hull_point(0.95, 1.0, -1), (0, 0.04, height)),
            shifted(hull_point(0.88, 1.0, -1), (0, 0.06, height)),
        ]
        out.append(Thing(mesh=tube(curve(points), 0.0125, 12), material=STEEL))
    for share, side in ((0.88, 1), (0.88, -1), (0.955, 1), (0.955, -1)):
        foot = shifted(hull_point(share, 1.0, side), (0, -side * 0.05, 0))
        out.append(
            Thing(mesh=tube([foot, shifted(foot, (0, 0, 0.64))], 0.0125, 12), material=STEEL)
        )
    stern = [
        shifted(hull_point(0.07, 1.0, 1), (0, -0.06, 0.62)),
        shifted(hull_point(0.0, 1.0, 1), (0.05, -0.06, 0.62)),
        shifted(hull_point(0.0, 1.0, -1), (0.05, 0.06, 0.62)),
        shifted(hull_point(0.07, 1.0, -1), (0, 0.06, 0.62)),
    ]
    out.append(Thing(mesh=tube(curve(stern), 0.0125, 12), material=STEEL))
    for side in (1, -1):
        foot = shifted(hull_point(0.0, 1.0, side), (0.06, -side * 0.08, 0))
        out.append(
            Thing(mesh=tube([foot, shifted(foot, (0, 0, 0.62))], 0.0125, 12), material=STEEL)
        )
    return out


def rig() -> list[Thing]:
    """Mast, boom with its sail cover, standing rigging and the furled headsail."""
    out: list[Thing] = []
    bow = hull_point(1.0, 1.0)
    alloy = Material(colour=(0.55, 0.55, 0.55), rough=0.4, metal=1.0)
    mast = turned(tube([(0, 0, 0), (0, 0, 13.2)], 0.075, 24), "z", 0)
    out.append(Thing(mesh=moved(mast, (5.75, 0, 1.35)), material=alloy))
    out.append(Thing(mesh=tube([(5.62, 0, 2.25), (1.9, 0, 2.35)], 0.055, 20), material=alloy))
    cover = tube(
        [(5.5, 0, 2.36), (4.8, 0, 2.47), (3.2, 0, 2.45), (2.0, 0, 2.42)],
        np.array([0.12, 0.13, 0.11, 0.07]),
        20,
    )
    out.append(Thing(mesh=cover, material=Material(colour=(0.03, 0.06, 0.16), rough=0.85)))
    top = np.array([5.72, 0, 14.4])
    wires = [(shifted(bow, (-0.05, 0, 0.05)), top), (np.array([0.35, 0, 1.0]), top)]
    for side in (1, -1):
        wires.append(
            (
                shifted(hull_point(0.56, 1.0, side), (0, -side * 0.1, 0.03)),
                np.array([5.7, side * 0.75, 7.9]),
            )
        )
        wires.append((np.array([5.7, side * 0.75, 7.9]), top))
        wires.append(
            (
                shifted(hull_point(0.52, 1.0, side), (0, -side * 0.12, 0.03)),
                np.array([5.75, 0, 7.8]),
            )
        )
        out.append(
            Thing(mesh=tube([(5.75, 0, 7.8), (5.7, side * 0.75, 7.9)], 0.02, 10), material=alloy)
        )
    for start, end in wires:
        out.append(Thing(mesh=tube([start, end], 0.004, 6), material=STEEL))
    furled = np.linspace(0.02, 0.98, 30)[:, None]
    stay = wires[0][0] + (wires[0][1] - wires[0][0]) * furled
    sail = 0.03 + 0.045 * np.sin(np.pi * furled[:, 0]) ** 0.6
    out.append(
        Thing(mesh=tube(stay, sail, 14), material=Material(colour=(0.04, 0.07, 0.17), rough=0.9))
    )
    return out


def supports() -> list[Thing]:
    """Keel blocks and six shores."""
    out = [
        *blocks((5.0, 0, -1.855), (1.0, 0.55, 0.275), 1, 11),
        *blocks((4.35, 0, -1.855), (0.6, 0.6, 0.275), 1, 14),
    ]
    for k, (u, t) in enumerate(((0.20, 0.62), (0.45, 0.60), (0.76, 0.66))):
        for side in (1, -1):
            out += shore(hull_point(u, t, side), normal_at(u, t, side), GROUND_M, 90 + 7 * k + side)
    out.append(ladder(GROUND_M, (0.35, 0.75), top=1.35, angle=12))
    return out


def whole_boat() -> tuple[Thing, ...]:
    """The boat ashore in the yard."""
    return (*backdrop(GROUND_M), *hull_and_keel(), *deck_and_rails(), *rig(), *supports())
