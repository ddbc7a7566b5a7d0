"""The arrows between the packages run one way, and the core stays pure."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_the_arrows_run_one_way() -> None:
    done = subprocess.run(
        [Path(sys.executable).parent / "lint-imports", "--no-cache"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert done.returncode == 0, done.stdout
