"""Settings of every test, and the empty store that many begin with."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings

from garboard.store.folder import open_store

# How long an example takes is a matter of the machine, and fails no test.
settings.register_profile(
    "garboard",
    deadline=None,
    suppress_health_check=(HealthCheck.too_slow,),
    phases=(Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink),
)
settings.load_profile("garboard")


@pytest.fixture(scope="session")
def empty_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store nothing was kept in, to be copied: to make its tables takes longer than most tests."""
    folder = tmp_path_factory.mktemp("empty") / "store"
    open_store(folder).close()
    return folder
