"""Builds the invented surveys into finished, signed reports: build/demo/<boat>/report; what did not change stays."""

import os
import platform
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable
from hashlib import sha256
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from certificate import PASSPHRASE, key_file

ROOT = Path(__file__).parent.parent
BUILT = ROOT / "build" / "demo"
BOATS = ("quillet", "harrowmere")
# No report is made by them.
_ASIDE = ("desk", "yard", "__pycache__")


def main() -> None:
    key = key_file()
    inputs = inputs_of(ROOT, key)
    for boat in BOATS:
        if not renew(BUILT / boat, inputs, lambda dossier: build(dossier, key)):
            print(f"\n{boat.capitalize()}: its report is as it was.", flush=True)
    print("\nOpen these in a PDF reader or a browser:")
    for boat in BOATS:
        for kind in ("*.pdf", "*.html"):
            print(f"  {next((BUILT / boat / 'report').glob(kind)).as_uri()}")


def renew(built: Path, inputs: str, build: Callable[[Path], None]) -> bool:
    """Build a folder anew unless it is as it was noted; whether it was built.

    Args:
        built: The folder.
        inputs: What it is made of, in a word that changes with it.
        build: Builds the folder; only when it returns is it noted what was built, and of what.
    """
    note = built.with_suffix(".made-of")
    if note.exists() and note.read_text() == f"{inputs}\n{digest([built])}\n":
        return False
    note.unlink(missing_ok=True)
    build(built)
    note.write_text(f"{inputs}\n{digest([built])}\n")
    return True


def build(dossier: Path, key: Path) -> None:
    """The report of a boat, signed and checked."""
    print(
        f"\n{dossier.name.capitalize()}: a signed report from a folder of plain files, in about half a minute",
        flush=True,
    )
    garboard = Path(sys.executable).parent / "garboard"
    shutil.rmtree(dossier, ignore_errors=True)
    shutil.copytree(ROOT / "demo" / dossier.name, dossier)
    run(garboard, "report", dossier, "--key", key)
    run(garboard, "verify", next((dossier / "report").glob("*.pdf")))


def inputs_of(root: Path, key: Path) -> str:
    """What every report is made of: all demo dossiers, since a report is searched for the names of the others, the code, and what runs it."""
    of = ("demo", "src", "pyproject.toml", "requirements.lock")
    return f"{digest([*(root / each for each in of), key])} {platform.python_version()}"


def digest(of: Iterable[Path]) -> str:
    """SHA-256 of files and folders by name and content, without what no report is made by."""
    summed = sha256()
    for whole in of:
        files = [whole] if whole.is_file() else sorted(p for p in whole.rglob("*") if p.is_file())
        for path in files:
            name = path.relative_to(whole.parent)
            if not set(name.parts) & set(_ASIDE):
                summed.update(f"{name.as_posix()}\0{path.stat().st_size}\0".encode())
                summed.update(path.read_bytes())
    return summed.hexdigest()


def run(*words: str | Path) -> None:
    done = subprocess.run(words, env={**os.environ, "GARBOARD_PASSPHRASE": PASSPHRASE}, check=False)
    if done.returncode:
        sys.exit(done.returncode)


if __name__ == "__main__":
    main()
