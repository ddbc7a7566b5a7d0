"""Render the photographs that are missing, and write photos.csv beside them.

Run from the demo folder: `python -m scenes.render quillet` (or `harrowmere`), with file stems
after it to render only those again. `--list` writes the CSV alone.
"""

import argparse
import csv
import importlib
import time
import zlib
from pathlib import Path

from scenes.shots import Shot

DEMO = Path(__file__).resolve().parent.parent
FIELDS = ("file", "taken", "part", "side", "number", "caption")


def listed(shots: tuple[Shot, ...], folder: Path) -> int:
    """Write photos.csv for the photographs that exist; returns how many."""
    there = sorted((s for s in shots if (folder / s.file).exists()), key=lambda s: s.taken)
    part = folder / "photos.csv.part"
    with part.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(FIELDS)
        for s in there:
            writer.writerow([s.file, s.taken.isoformat(), s.part, s.side, s.number, invented(s)])
    part.replace(folder / "photos.csv")
    return len(there)


def invented(shot: Shot) -> str:
    """The caption, marked as that of a scene that does not exist."""
    return f"{shot.caption.removesuffix('.')} (invented)."


def main() -> None:
    """Read the command line and render."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("boat", choices=("quillet", "harrowmere"))
    parser.add_argument("stems", nargs="*", help="render these again, whether or not they exist")
    parser.add_argument("--list", action="store_true", help="only write photos.csv")
    parser.add_argument("--quick", action="store_true", help="small and noisy, for looking at")
    parser.add_argument("--out", type=Path, help="another folder to write to")
    wanted = parser.parse_args()
    shots: tuple[Shot, ...] = importlib.import_module(f"scenes.{wanted.boat}").SHOTS
    folder: Path = wanted.out or DEMO / wanted.boat / "photos"
    folder.mkdir(parents=True, exist_ok=True)
    if not wanted.list:
        studio = importlib.import_module("scenes.studio")
        for shot in shots:
            path = folder / shot.file
            if path.stem not in wanted.stems if wanted.stems else path.exists():
                continue
            began = time.perf_counter()
            scale, samples = (0.5, 8) if wanted.quick else (1.0, shot.samples)
            light = studio.exposed(shot.scene(), shot.camera, samples=samples, scale=scale)
            seed = zlib.crc32(shot.file.encode())
            picture = studio.developed(light, stops=shot.camera.stops, seed=seed)
            studio.kept(picture, path, shot.taken)
            seconds = time.perf_counter() - began
            print(f"{shot.file}: {path.stat().st_size // 1000} kB, {seconds:.0f} s", flush=True)
    print(f"{listed(shots, folder)} photographs in {folder.name}")


if __name__ == "__main__":
    main()
