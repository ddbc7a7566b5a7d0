"""Builds the invented surveys into finished, signed reports: build/demo/<boat>/report."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from certificate import PASSPHRASE, key_file

ROOT = Path(__file__).parent.parent
BUILT = ROOT / "build" / "demo"
BOATS = ("quillet", "harrowmere")


def main() -> None:
    key = key_file()
    garboard = Path(sys.executable).parent / "garboard"
    for boat in BOATS:
        print(f"\n{boat.capitalize()}: a signed report from a folder of plain files", flush=True)
        dossier = BUILT / boat
        shutil.rmtree(dossier, ignore_errors=True)
        shutil.copytree(ROOT / "demo" / boat, dossier)
        run(garboard, "report", dossier, "--key", key)
        run(garboard, "verify", next((dossier / "report").glob("*.pdf")))
    print("\nOpen these in a PDF reader or a browser:")
    for boat in BOATS:
        for kind in ("*.pdf", "*.html"):
            print(f"  {next((BUILT / boat / 'report').glob(kind)).as_uri()}")


def run(*words: str | Path) -> None:
    done = subprocess.run(words, env={**os.environ, "GARBOARD_PASSPHRASE": PASSPHRASE}, check=False)
    if done.returncode:
        sys.exit(done.returncode)


if __name__ == "__main__":
    main()
