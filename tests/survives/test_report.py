"""A report is there whole or not at all: real processes, real kills, a real full disk."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pytest
from folder import picture, write

PDF, XLSX = (f"Quillet-condition-survey-before-purchase-draft.{each}" for each in ("pdf", "xlsx"))
BIN = Path(sys.executable).parent / "garboard"


@pytest.fixture
def dossier(tmp_path: Path) -> Path:
    rows = "".join(f"{n}.jpg,Photograph {n}\n" for n in range(12))
    photos = {f"photos__{n}_jpg": picture(size=(1600, 1200)) for n in range(12)}
    return write(tmp_path / "q", photos__photos_csv="file,caption\n" + rows, **photos)


def is_whole(path: Path) -> bool:
    with pikepdf.open(path) as pdf:
        return len(pdf.pages) > 0 and "notebook.jsonl" in pdf.attachments


def test_a_kill_at_any_moment_leaves_the_old_report_or_the_new(dossier: Path, tmp_path: Path) -> None:  # fmt: skip
    out = tmp_path / "out"
    words = [str(each) for each in (BIN, "report", dossier, "-o", out, "--formats", "pdf,xlsx")]
    started = time.monotonic()
    subprocess.run(words, capture_output=True, check=False)
    usual_s = time.monotonic() - started
    before = (out / PDF).read_bytes()

    for step in range(8):
        running = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)  # fmt: skip
        try:
            running.wait(usual_s * (step + 1) / 8)
        except subprocess.TimeoutExpired:
            os.killpg(running.pid, signal.SIGKILL)
            running.wait()

        assert is_whole(out / PDF)
        assert (out / XLSX).stat().st_size > 0
    assert before.startswith(b"%PDF")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    mount = tmp_path / "disk"
    mount.mkdir()
    as_root = [] if os.geteuid() == 0 else ["sudo"]
    subprocess.run([*as_root, "mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", mount], check=True)
    yield mount
    subprocess.run([*as_root, "umount", "-l", mount], check=True)


def test_a_disk_that_fills_is_said_and_leaves_nothing_behind(dossier: Path, small_disk: Path) -> None:  # fmt: skip
    done = subprocess.run(
        [BIN, "report", dossier, "-o", small_disk / "out", "--formats", "pdf"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert done.returncode == 5
    assert "No space left on device" in done.stderr
    assert "Traceback" not in done.stderr
    assert list((small_disk / "out").iterdir()) == []


def test_a_folder_nobody_may_write_to_is_said(dossier: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")

    done = subprocess.run(
        [BIN, "report", dossier, "-o", tmp_path / "file", "--formats", "xlsx"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert done.returncode == 1
    assert "File exists" in done.stderr
    assert "Traceback" not in done.stderr
