"""What a shot is: one photograph, the camera it is taken with, and the caption and time it is filed under."""

import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from scenes.studio import Camera, Scene


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One photograph of one scene."""

    file: str
    taken: datetime
    part: str
    caption: str
    scene: Callable[[], Scene]
    camera: Camera
    side: str = ""
    number: str = ""
    samples: int = 6


def near(
    eye: tuple[float, float, float],
    target: tuple[float, float, float],
    fov: float = 42.0,
    *,
    aperture_m: float = 0.003,
    stops: float = 0.0,
    portrait: bool = False,
) -> Camera:
    """A camera close to one thing, with its short depth of field; metres and degrees."""
    return Camera(
        eye=eye, target=target, fov=fov, aperture_m=aperture_m, stops=stops, portrait=portrait
    )


def far(
    eye: tuple[float, float, float],
    target: tuple[float, float, float],
    fov: float = 60.0,
    *,
    stops: float = 0.45,
    portrait: bool = False,
) -> Camera:
    """A camera that takes in much, sharp all through and exposed brighter; metres and degrees."""
    return Camera(eye=eye, target=target, fov=fov, stops=stops, portrait=portrait)


def series(
    day: str,
    start: str,
    scene: Callable[[], Scene],
    rows: Sequence[tuple[str, str, str, str, str, Camera]],
) -> tuple[Shot, ...]:
    """Shots of one scene one after another, one or two minutes apart.

    Args:
        day: ISO date.
        start: Local time of the first, British Summer Time.
        scene: Builds the scene when it is first needed.
        rows: File stem, part, side, number, caption, camera.
    """
    taken = datetime.fromisoformat(f"{day}T{start}+01:00")
    out = []
    for stem, part, side, number, caption, camera in rows:
        out.append(
            Shot(
                file=f"{stem}.jpg",
                taken=taken,
                part=part,
                side=side,
                number=number,
                caption=caption,
                scene=scene,
                camera=camera,
            )
        )
        taken += timedelta(seconds=47 + zlib.crc32(stem.encode()) % 71)
    return tuple(out)
