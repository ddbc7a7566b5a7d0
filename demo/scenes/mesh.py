"""Shapes as vertices, faces and texture coordinates; lengths in metres."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Vector = Sequence[float] | Array
Path = Sequence[Vector] | Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """A triangle mesh: `(n, 3)` vertices and normals, `(n, 2)` coordinates, `(m, 3)` faces."""

    vertices: Array
    normals: Array
    uv: Array
    faces: NDArray[np.int64]


def _normals(vertices: Array, faces: NDArray[np.int64], *, weld: bool) -> Array:
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    face = np.cross(b - a, c - a)
    if weld:
        _, index = np.unique(np.round(vertices, 6), axis=0, return_inverse=True)
        index = index.reshape(-1)
    else:
        index = np.arange(len(vertices))
    total = np.zeros((int(index.max()) + 1, 3))
    for axis in range(3):
        for k in range(3):
            total[:, axis] += np.bincount(
                index[faces[:, k]], weights=face[:, axis], minlength=len(total)
            )
    normal = total[index]
    return np.asarray(normal / np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-12))


def made(vertices: Array, faces: NDArray[np.int64], uv: Array, *, weld: bool = False) -> Mesh:
    """A mesh with smooth normals; `weld` joins vertices that coincide."""
    return Mesh(vertices=vertices, faces=faces, uv=uv, normals=_normals(vertices, faces, weld=weld))


def grid(points: Array, *, weld: bool = False, flip: bool = False) -> Mesh:
    """A surface through `(rows, columns, 3)` points; u runs along columns, v down the rows."""
    rows, columns = points.shape[:2]
    i, j = np.meshgrid(np.arange(rows - 1), np.arange(columns - 1), indexing="ij")
    k = (i * columns + j).ravel()
    quads = np.stack([k, k + 1, k + columns + 1, k + columns], axis=1)
    faces = np.concatenate([quads[:, [0, 1, 2]], quads[:, [0, 2, 3]]])
    if flip:
        faces = faces[:, ::-1]
    v, u = np.meshgrid(np.linspace(0, 1, rows), np.linspace(0, 1, columns), indexing="ij")
    return made(points.reshape(-1, 3), faces, np.stack([u.ravel(), v.ravel()], axis=1), weld=weld)


def lathe(profile: Sequence[tuple[float, float]], sides: int = 64) -> Mesh:
    """A turned shape about z from (radius, height) pairs, drawn from the bottom up."""
    shape = np.asarray(profile, dtype=float)
    angle = np.linspace(0, 2 * np.pi, sides + 1)
    points = np.empty((len(shape), sides + 1, 3))
    points[..., 0] = shape[:, :1] * np.cos(angle)
    points[..., 1] = shape[:, :1] * np.sin(angle)
    points[..., 2] = shape[:, 1:]
    return grid(points, weld=True)


def rounded(
    profile: Sequence[tuple[float, float]], bevel: float, steps: int = 4
) -> list[tuple[float, float]]:
    """The same profile with its corners rounded by up to `bevel`."""
    points = np.asarray(profile, dtype=float)
    out = [tuple(points[0])]
    for before, here, after in zip(points[:-2], points[1:-1], points[2:], strict=True):
        back, on = before - here, after - here
        cut = min(bevel, np.linalg.norm(back) * 0.45, np.linalg.norm(on) * 0.45)
        start = here + back / np.linalg.norm(back) * cut
        end = here + on / np.linalg.norm(on) * cut
        out += [
            tuple((1 - t) ** 2 * start + 2 * t * (1 - t) * here + t**2 * end)
            for t in np.linspace(0, 1, steps + 1)
        ]
    return [*out, tuple(points[-1])]


def tube(path: Path, radius: float | Array, sides: int = 16) -> Mesh:
    """A round bar along a path, closed at both ends."""
    line = np.asarray(path, dtype=float)
    radii = np.broadcast_to(np.asarray(radius, dtype=float), (len(line),)).copy()
    tangent = np.gradient(line, axis=0)
    tangent = np.concatenate([tangent[:1], tangent, tangent[-1:]])
    line = np.concatenate([line[:1], line, line[-1:]])
    radii = np.concatenate([[1e-6], radii, [1e-6]])
    tangent /= np.maximum(np.linalg.norm(tangent, axis=1, keepdims=True), 1e-12)
    helper = np.array([0.0, 0.0, 1.0]) if abs(tangent[1, 2]) < 0.9 else np.array([1.0, 0.0, 0.0])
    angle = np.linspace(0, 2 * np.pi, sides + 1)
    points = np.empty((len(line), sides + 1, 3))
    for k in range(len(line)):
        side = np.cross(tangent[k], helper)
        side /= max(float(np.linalg.norm(side)), 1e-12)
        up = np.cross(side, tangent[k])
        helper = up
        points[k] = line[k] + radii[k] * (
            np.cos(angle)[:, None] * side + np.sin(angle)[:, None] * up
        )
    return grid(points, weld=True, flip=True)


def curve(points: Path, count: int = 40) -> Array:
    """A smooth path through a few points, `(count, 3)`."""
    from scipy.interpolate import CubicSpline

    given = np.asarray(points, dtype=float)
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(given, axis=0), axis=1))])
    return np.asarray(CubicSpline(along, given)(np.linspace(0, along[-1], count)))


def box(size: Sequence[float], bevel: float = 0.004, steps: int = 3) -> Mesh:
    """A block centred on the origin with rounded edges; each face has its own 0..1 coordinates."""
    half = np.asarray(size, dtype=float) / 2
    cut = min(bevel, float(half.min()) * 0.95)
    parts: list[Mesh] = []
    for axis in range(3):
        a, b = (axis + 1) % 3, (axis + 2) % 3
        spans = [
            np.concatenate(
                [
                    np.linspace(-h, -h + cut, steps + 1)[:-1],
                    np.linspace(-h + cut, h - cut, 3),
                    np.linspace(h - cut, h, steps + 1)[1:],
                ]
            )
            for h in (half[a], half[b])
        ]
        for sign in (-1.0, 1.0):
            p, q = np.meshgrid(spans[0], spans[1])
            points = np.empty((*p.shape, 3))
            points[..., a], points[..., b], points[..., axis] = p, q, sign * half[axis]
            inner = np.clip(points, -(half - cut), half - cut)
            out = points - inner
            points = inner + cut * out / np.linalg.norm(out, axis=-1, keepdims=True)
            part = grid(points, flip=sign < 0)
            uv = np.stack(
                [
                    (p.ravel() + half[a]) / (2 * half[a]),
                    (q.ravel() + half[b]) / (2 * half[b]),
                ],
                axis=1,
            )
            parts.append(replace(part, uv=uv))
    whole = joined(parts)
    return made(whole.vertices, whole.faces, whole.uv, weld=True)


def prism(sides: int, across: float, height: float, bevel: float = 0.0008) -> Mesh:
    """A regular bar end or nut, measured across its flats, standing on z = 0, with flat faces."""
    radius = across / 2 / np.cos(np.pi / sides)
    rings = [(0.0, 0.0), (radius - bevel, 0.0), (radius, bevel)]
    rings += [(radius, height - bevel), (radius - bevel, height), (0.0, height)]
    return flat(lathe(rings, sides))


def flat(mesh: Mesh) -> Mesh:
    """The same shape with every face shaded flat."""
    vertices = mesh.vertices[mesh.faces].reshape(-1, 3)
    uv = mesh.uv[mesh.faces].reshape(-1, 2)
    return made(vertices, np.arange(len(vertices)).reshape(-1, 3), uv)


def joined(meshes: Iterable[Mesh]) -> Mesh:
    """Several meshes as one."""
    parts = list(meshes)
    offsets = np.cumsum([0] + [len(part.vertices) for part in parts[:-1]])
    return Mesh(
        vertices=np.concatenate([part.vertices for part in parts]),
        normals=np.concatenate([part.normals for part in parts]),
        uv=np.concatenate([part.uv for part in parts]),
        faces=np.concatenate(
            [part.faces + offset for part, offset in zip(parts, offsets, strict=True)]
        ),
    )


def moved(mesh: Mesh, to: Vector) -> Mesh:
    """Shifted by a vector."""
    return replace(mesh, vertices=mesh.vertices + np.asarray(to, dtype=float))


def shifted(points: Array, by: Vector) -> Array:
    """Points moved by a vector."""
    return np.asarray(points + np.asarray(by, dtype=float))


def scaled(mesh: Mesh, by: float | Sequence[float]) -> Mesh:
    """Stretched about the origin."""
    factor = np.broadcast_to(np.asarray(by, dtype=float), (3,))
    normals = mesh.normals / factor
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-12)
    return replace(mesh, vertices=mesh.vertices * factor, normals=normals)


def turned(mesh: Mesh, axis: str, degrees: float) -> Mesh:
    """Rotated about x, y or z through the origin, right handed."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    matrix = {
        "x": np.array([[1, 0, 0], [0, c, -s], [0, s, c]]),
        "y": np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]]),
        "z": np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]),
    }[axis]
    return replace(mesh, vertices=mesh.vertices @ matrix.T, normals=mesh.normals @ matrix.T)


def aimed(mesh: Mesh, direction: Vector) -> Mesh:
    """With its z axis laid along a direction."""
    z = np.asarray(direction, dtype=float)
    z = z / np.linalg.norm(z)
    helper = np.array([0.0, 0.0, 1.0]) if abs(z[2]) < 0.9 else np.array([1.0, 0.0, 0.0])
    x = np.cross(helper, z)
    x /= np.linalg.norm(x)
    matrix = np.stack([x, np.cross(z, x), z], axis=1)
    return replace(mesh, vertices=mesh.vertices @ matrix.T, normals=mesh.normals @ matrix.T)


def bent(mesh: Mesh, how: Callable[[Array], Array]) -> Mesh:
    """Every vertex put through a function of `(n, 3)` points."""
    return made(how(mesh.vertices), mesh.faces, mesh.uv, weld=True)


def foil(thickness_ratio: float, count: int = 60) -> Array:
    """A streamlined section as `(2 count - 1, 2)` closed loop, chord 0..1, leading edge at 0."""
    x = 0.5 * (1 - np.cos(np.linspace(0, np.pi, count)))
    y = (
        5
        * thickness_ratio
        * (0.2969 * np.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4)
    )
    upper = np.stack([x[::-1], y[::-1]], axis=1)
    return np.concatenate([upper, np.stack([x[1:], -y[1:]], axis=1)])


def blade(hub_m: float, tip_m: float, width_m: float, pitch_m: float, *, nick: float = 0.0) -> Mesh:
    """One propeller blade about z, reaching along +x; `nick` deepens random bites in its edge."""
    section = foil(0.10, 24)
    radii = np.linspace(hub_m, tip_m, 40)
    share = (radii - hub_m) / (tip_m - hub_m)
    width = width_m * np.sqrt(np.clip(1 - (2 * np.clip(share, 0, 1) - 0.9) ** 2 / 1.25, 0.004, 1))
    rng = np.random.default_rng(7)
    width *= 1 - nick * rng.random(len(width)) * (share > 0.4)
    points = np.empty((len(radii), len(section), 3))
    for k, radius in enumerate(radii):
        angle = np.arctan2(pitch_m, 2 * np.pi * radius)
        along = (section[:, 0] - 0.45) * width[k]
        thick = section[:, 1] * width[k] * (1.5 - 0.9 * share[k])
        around = (along * np.cos(angle) - thick * np.sin(angle)) / radius
        points[k, :, 0] = radius * np.cos(around)
        points[k, :, 1] = radius * np.sin(around)
        points[k, :, 2] = along * np.sin(angle) + thick * np.cos(angle)
    return grid(points, weld=True)
