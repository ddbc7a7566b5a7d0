"""Builds the invented surveys into finished, signed reports: build/demo/<boat>/report; what did not change stays."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterable
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
    for boat in BOATS:
        made_of = digest((ROOT / "demo" / boat, ROOT / "src", ROOT / "requirements.lock", key))
        if was_made_of(boat) == made_of:
            print(f"\n{boat.capitalize()}: its report is as it was.", flush=True)
        else:
            build(boat, key, made_of)
    print("\nOpen these in a PDF reader or a browser:")
    for boat in BOATS:
        for kind in ("*.pdf", "*.html"):
            print(f"  {next((BUILT / boat / 'report').glob(kind)).as_uri()}")


def build(boat: str, key: Path, made_of: str) -> None:
    """The report of a boat, signed and checked; only then it is noted what it was made of."""
    print(
        f"\n{boat.capitalize()}: a signed report from a folder of plain files, in about half a minute",
        flush=True,
    )
    garboard = Path(sys.executable).parent / "garboard"
    dossier = BUILT / boat
    _note(boat).unlink(missing_ok=True)
    shutil.rmtree(dossier, ignore_errors=True)
    shutil.copytree(ROOT / "demo" / boat, dossier)
    run(garboard, "report", dossier, "--key", key)
    run(garboard, "verify", next((dossier / "report").glob("*.pdf")))
    _note(boat).write_text(made_of)


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


def was_made_of(boat: str) -> str:
    """The digest of what the report of a boat was made of; empty where there is no report."""
    is_there = any((BUILT / boat / "report").glob("*.pdf")) and _note(boat).exists()
    return _note(boat).read_text() if is_there else ""


def _note(boat: str) -> Path:
    return BUILT / f"{boat}.made-of"


def run(*words: str | Path) -> None:
    done = subprocess.run(words, env={**os.environ, "GARBOARD_PASSPHRASE": PASSPHRASE}, check=False)
    if done.returncode:
        sys.exit(done.returncode)


if __name__ == "__main__":
    main()
