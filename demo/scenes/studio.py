"""Light, camera, path tracing and development of a photograph."""

import os
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from pathlib import Path

import cv2
import mitsuba as mi
import numpy as np
import piexif
import pyoidn
from numpy.typing import NDArray
from PIL import Image

from scenes.mesh import Mesh, joined
from scenes.noise import cloud, step
from scenes.surface import Coat, Material, Thing

mi.set_variant(os.environ.get("SCENES_VARIANT", "llvm_ad_rgb"))

Image3 = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Where the photograph is taken from; metres and degrees."""

    eye: tuple[float, float, float]
    target: tuple[float, float, float]
    fov: float = 45.0
    aperture_m: float = 0.0
    focus: tuple[float, float, float] | None = None
    portrait: bool = False
    stops: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp:
    """A glowing disc or rectangle that lights the scene."""

    at: tuple[float, float, float]
    toward: tuple[float, float, float]
    size: tuple[float, float] = (0.6, 0.6)
    power: tuple[float, float, float] = (10.0, 10.0, 10.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """Things and the light on them."""

    things: tuple[Thing, ...]
    lamps: tuple[Lamp, ...] = ()
    sky: float = 1.0
    sky_seed: int = 1
    room: tuple[float, float, float] | None = None


def _texture(values: NDArray[np.float32]) -> dict[str, object]:
    data = values if values.ndim == 3 else values[..., None]
    return {
        "type": "bitmap",
        "bitmap": mi.Bitmap(np.ascontiguousarray(data, np.float32)),
        "raw": True,
        "wrap_mode": "clamp",
    }


def _bsdf(material: Material) -> dict[str, object]:
    if material.glass:
        return {"type": "thindielectric"}
    coat: Coat | None = material.coat
    if coat is None:
        colour: object = {"type": "rgb", "value": list(material.colour)}
        rough: object = material.rough
        metal: object = material.metal
    else:
        colour = _texture(np.clip(coat.colour, 0.001, 0.95))
        rough = _texture(np.clip(coat.rough, 0.04, 1.0))
        metal = float(coat.metal[0, 0])
        if float(np.ptp(coat.metal)) > 0.0:
            metal = _texture(np.clip(coat.metal, 0.0, 1.0))
    inner = {
        "type": "principled",
        "base_color": colour,
        "roughness": rough,
        "metallic": metal,
        "specular": material.shine,
        "clearcoat": material.clear,
        "clearcoat_gloss": 0.9,
    }
    return {"type": "twosided", "bsdf": inner}


def _shape(mesh: Mesh, bsdf: object) -> object:
    props = mi.Properties()
    props["bsdf"] = bsdf
    shape = mi.Mesh(
        "part",
        len(mesh.vertices),
        len(mesh.faces),
        has_vertex_normals=True,
        has_vertex_texcoords=True,
        props=props,
    )
    params = mi.traverse(shape)
    params["vertex_positions"] = mesh.vertices.astype(np.float32).ravel()
    params["vertex_normals"] = mesh.normals.astype(np.float32).ravel()
    params["vertex_texcoords"] = mesh.uv.astype(np.float32).ravel()
    params["faces"] = mesh.faces.astype(np.uint32).ravel()
    params.update()
    return shape


def overcast(seed: int) -> Image3:
    """A soft grey sky, brighter to one side, over a dark line of trees and roofs."""
    rows, columns = 512, 1024
    noise = cloud((rows, columns), seed, slope=2.0, coarsest=3)
    height = np.linspace(np.pi / 2, -np.pi / 2, rows)[:, None]
    around = np.linspace(-np.pi, np.pi, columns)[None, :]
    bright = 0.55 + 0.55 * np.sin(np.clip(height, 0, None)) + 0.35 * (noise - 0.5)
    glow = np.exp(-((height - 0.85) ** 2) / 0.18 - (np.cos(around - 1.2) - 1) ** 2 / 0.35)
    sky = (bright + 2.4 * glow)[..., None] * np.array([0.93, 0.98, 1.06]) + glow[
        ..., None
    ] * np.array([0.35, 0.2, 0.0])
    line = 0.05 + 0.05 * cloud((1, columns), seed + 5, slope=1.1, coarsest=4)[0]
    rng = np.random.default_rng(seed)
    for _ in range(6):
        start, width = rng.integers(0, columns - 90), rng.integers(30, 90)
        line[start : start + width] = 0.05 + 0.05 * rng.random()
    trees = (height < line[None, :]).astype(np.float32)[..., None]
    tone = (0.10 + 0.10 * cloud((rows, columns), seed + 9, slope=0.9))[..., None]
    sky = sky * (1 - trees) + trees * tone * np.array([0.8, 0.95, 0.85])
    ground = step(np.broadcast_to(height, (rows, columns)).astype(np.float32), 0.0, -0.02)
    sky = sky * (1 - ground[..., None]) + ground[..., None] * np.array([0.22, 0.22, 0.21])
    return np.asarray(sky, np.float32)


def _sensor(camera: Camera, size: tuple[int, int]) -> object:
    description: dict[str, object] = {
        "type": "thinlens",
        "aperture_radius": max(camera.aperture_m, 1e-5),
        "focus_distance": float(
            np.linalg.norm(np.subtract(camera.focus or camera.target, camera.eye))
        ),
        "fov": camera.fov,
        "fov_axis": "larger",
        "near_clip": 0.004,
        "far_clip": 500.0,
        "to_world": mi.ScalarTransform4f().look_at(
            origin=list(camera.eye), target=list(camera.target), up=[0, 0, 1]
        ),
        "film": {
            "type": "hdrfilm",
            "width": size[0],
            "height": size[1],
            "rfilter": {"type": "box"},
            "pixel_format": "rgb",
        },
        "sampler": {"type": "independent"},
    }
    return mi.load_dict(description)


@lru_cache(maxsize=1)
def _world(scene: Scene) -> object:
    transform = mi.ScalarTransform4f
    world: dict[str, object] = {
        "type": "scene",
        "integrator": {
            "type": "aov",
            "aovs": "albedo:albedo,normal:sh_normal",
            "image": {"type": "path", "max_depth": 4 if scene.sky else 5, "rr_depth": 3},
        },
    }
    if scene.sky:
        world["sky"] = {
            "type": "envmap",
            "bitmap": mi.Bitmap(np.clip(overcast(scene.sky_seed), 0, 6) * scene.sky),
            "to_world": transform().rotate([1, 0, 0], 90),
        }
    if scene.room:
        world["room"] = {"type": "constant", "radiance": {"type": "rgb", "value": list(scene.room)}}
    for k, lamp in enumerate(scene.lamps):
        run = np.subtract(lamp.toward, lamp.at)
        up = [0, 1, 0] if abs(run[2]) > 0.95 * np.linalg.norm(run) else [0, 0, 1]
        world[f"lamp{k}"] = {
            "type": "rectangle",
            "to_world": transform().look_at(origin=list(lamp.at), target=list(lamp.toward), up=up)
            @ transform().scale([lamp.size[0] / 2, lamp.size[1] / 2, 1]),
            "emitter": {"type": "area", "radiance": {"type": "rgb", "value": list(lamp.power)}},
        }
    made: dict[int, object] = {}
    groups: dict[int, list[Mesh]] = {}
    for thing in scene.things:
        key = id(thing.material)
        if key not in made:
            made[key] = mi.load_dict(_bsdf(thing.material))
        groups.setdefault(key, []).append(thing.mesh)
    for key, meshes in groups.items():
        world[f"thing{key}"] = _shape(joined(meshes), made[key])
    return mi.load_dict(world)


def exposed(scene: Scene, camera: Camera, *, samples: int, scale: float = 1.0) -> Image3:
    """Path trace and denoise; linear light, `(height, width, 3)`."""
    size = (720, 960) if camera.portrait else (960, 720)
    size = (int(size[0] * scale), int(size[1] * scale))
    picture = mi.render(_world(scene), sensor=_sensor(camera, size), spp=samples, seed=11)
    raw = np.array(picture)
    raw = np.nan_to_num(raw.astype(np.float32), posinf=20.0, neginf=0.0)
    light, albedo, normal = raw[..., :3], np.clip(raw[..., 3:6], 0, 1), raw[..., 6:9]
    light = np.minimum(light, np.percentile(light, 99.9) * 3)
    return np.asarray(
        pyoidn.denoise(
            np.ascontiguousarray(light),
            np.ascontiguousarray(albedo),
            np.ascontiguousarray(normal),
            hdr=True,
        )
    )


def developed(light: Image3, *, stops: float, seed: int) -> NDArray[np.uint8]:
    """Expose, curve, a little lens fall-off and grain, as an ordinary compact camera gives."""
    grey = light @ np.array([0.2126, 0.7152, 0.0722], np.float32)
    rows, columns = grey.shape
    y, x = np.mgrid[-1 : 1 : rows * 1j, -1 : 1 : columns * 1j]
    weight = np.exp(-(x**2) - (y - 0.15) ** 2 * 1.5)
    middle = float(np.exp((np.log(np.maximum(grey, 1e-4)) * weight).sum() / weight.sum()))
    gain = 0.175 / middle
    gain = min(gain, 2.2 / max(float(np.percentile(grey, 95)), 1e-4)) * 2.0**stops
    x = light * gain * (1 - 0.10 * (x**2 + y**2))[..., None].astype(np.float32)
    curve = x * (2.51 * x * 0.36 + 0.03) / (x * 0.6 * (2.43 * x * 0.6 + 0.59) + 0.14)
    linear = np.clip(curve, 0, 1)
    code = np.where(linear < 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)
    rng = np.random.default_rng(seed)
    grain = cv2.GaussianBlur(rng.standard_normal(grey.shape).astype(np.float32), (0, 0), 0.7)
    code = code + 0.011 * grain[..., None]
    blurred = cv2.GaussianBlur(code.astype(np.float32), (0, 0), 1.2)
    code = brightened(np.clip(code + 0.35 * (code - blurred), 0, 1))
    return np.asarray(code * 255 + 0.5, np.uint8)


def brightened(code: NDArray[np.floating]) -> NDArray[np.floating]:
    """Bring the bright parts of a dull picture up to where print shows them."""
    bright = float(np.percentile(code.mean(axis=2), 98))
    gain = min(1.45, max(1.0, 0.84 / max(bright, 1e-3)))
    return np.clip(code * gain, 0, 1)


def kept(picture: NDArray[np.uint8], path: Path, taken: datetime, quality: int = 82) -> None:
    """Write the JPEG with the time it was taken; no place, and an invented make."""
    offset = taken.strftime("%z")
    stamp = taken.strftime("%Y:%m:%d %H:%M:%S")
    tags = {
        "0th": {piexif.ImageIFD.Make: "Invented", piexif.ImageIFD.DateTime: stamp},
        "Exif": {
            piexif.ExifIFD.DateTimeOriginal: stamp,
            piexif.ExifIFD.DateTimeDigitized: stamp,
            piexif.ExifIFD.OffsetTimeOriginal: f"{offset[:3]}:{offset[3:]}",
        },
    }
    part = path.with_suffix(".part")
    Image.fromarray(picture).save(
        part, "JPEG", quality=quality, exif=piexif.dump(tags), optimize=True
    )
    part.replace(path)
