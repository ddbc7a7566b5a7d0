"""An open store in a new folder, and its clock."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from store.fakes import FakeClock

from garboard.store.folder import Store, open_store


@pytest.fixture
def clock() -> FakeClock:
    return FakeClock()


@pytest.fixture
def store(tmp_path: Path, empty_store: Path, clock: FakeClock) -> Iterator[Store]:
    shutil.copytree(empty_store, tmp_path / "store")
    opened = open_store(tmp_path / "store", clock)
    yield opened
    opened.close()
