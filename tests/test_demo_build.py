"""The demo builds again what changed, and nothing else."""

from collections.abc import Callable, Iterable
from importlib import import_module
from pathlib import Path

import pytest

digest: Callable[[Iterable[Path]], str] = import_module("demo.build").digest


@pytest.fixture
def code(tmp_path: Path) -> Path:
    for name in ("report/html.py", "desk/pages.py", "report/__pycache__/html.pyc"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("1")
    return tmp_path


@pytest.mark.parametrize(
    ("name", "is_other"),
    [("report/html.py", True), ("report/new.py", True), ("desk/pages.py", False), ("report/__pycache__/html.pyc", False)],
)  # fmt: skip
def test_a_report_is_made_anew_when_what_it_is_made_of_changed(
    code: Path, name: str, is_other: bool
) -> None:
    before = digest([code])

    (code / name).write_text("2")

    assert (digest([code]) != before) == is_other
