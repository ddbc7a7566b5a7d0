"""The demo builds again what changed, and nothing else; its desk opens by the clock of its place."""

from collections.abc import Callable
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path

import pytest

from garboard.desk.context import open_desk

_demo = import_module("demo.build")
inputs_of: Callable[[Path, Path], str] = _demo.inputs_of
renew: Callable[[Path, str, Callable[[Path], None]], bool] = _demo.renew

MADE_OF = (
    "demo/quillet/boat.toml", "demo/harrowmere/boat.toml", "demo/certificate.py", "src/report/html.py",
    "pyproject.toml", "requirements.lock", "key.p12",
)  # fmt: skip
ASIDE = ("src/desk/pages.py", "src/report/__pycache__/html.pyc", "tests/test_html.py")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    for name in (*MADE_OF, *ASIDE):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("1")
    return tmp_path


@pytest.fixture
def built(tmp_path: Path) -> Path:
    """A report that is built and noted."""
    folder = tmp_path / "build" / "quillet"
    assert renew(folder, "inputs", make)
    return folder


def make(folder: Path) -> None:
    (folder / "report").mkdir(parents=True, exist_ok=True)
    for name in ("boat.toml", "report/one.pdf", "report/one.html"):
        (folder / name).write_text("made")


def never(folder: Path) -> None:
    raise AssertionError(f"{folder} was built though nothing had changed")


@pytest.mark.parametrize("name", [*MADE_OF, "src/report/new.py"])
def test_what_a_report_is_made_of_is_other_when_any_of_it_changed(root: Path, name: str) -> None:
    before = inputs_of(root, root / "key.p12")

    (root / name).write_text("2")

    assert inputs_of(root, root / "key.p12") != before


@pytest.mark.parametrize("name", ASIDE)
def test_what_makes_no_report_changes_nothing(root: Path, name: str) -> None:
    before = inputs_of(root, root / "key.p12")

    (root / name).write_text("2")

    assert inputs_of(root, root / "key.p12") == before


def test_a_report_stays_when_nothing_changed(built: Path) -> None:
    assert not renew(built, "inputs", never)


def test_a_report_made_of_something_else_is_built_anew_once(built: Path) -> None:
    assert renew(built, "other inputs", make)
    assert not renew(built, "other inputs", never)


@pytest.mark.parametrize("name", ["boat.toml", "report/one.pdf"])
def test_a_built_file_that_was_changed_is_built_anew(built: Path, name: str) -> None:
    (built / name).write_text("edited")

    assert renew(built, "inputs", make)
    assert (built / name).read_text() == "made"


@pytest.mark.parametrize("name", ["report/one.html", "report/one.pdf"])
def test_a_built_file_that_is_missing_is_built_anew(built: Path, name: str) -> None:
    (built / name).unlink()

    assert renew(built, "inputs", make)
    assert (built / name).exists()


def test_a_report_that_could_not_be_built_is_built_the_next_time(built: Path) -> None:
    def fail(folder: Path) -> None:
        raise SystemExit(1)

    with pytest.raises(SystemExit):
        renew(built, "other inputs", fail)

    assert renew(built, "inputs", make)


def test_the_desk_goes_by_the_clock_its_visits_are_written_by_until_another_is_chosen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.syspath_prepend(Path(__file__).parent.parent / "demo")
    settle = import_module("open").settle
    visited = datetime.fromisoformat("2026-05-12T08:35:00+01:00")

    desk = open_desk(tmp_path, zone=UTC)
    settle(desk)
    told = visited.astimezone(desk.zone)
    desk.zones.choose("Europe/Berlin", by="Ines Caldervane", now=desk.now())
    settle(desk)
    chosen = desk.zones.name
    desk.close()

    assert f"{told:%H:%M}" == "08:35"
    assert chosen == "Europe/Berlin"
