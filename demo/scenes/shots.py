"""What a shot is: one photograph, with the caption and time it is filed under."""

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
