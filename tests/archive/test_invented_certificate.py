import runpy
from pathlib import Path

from archive.reports import ISSUED

from garboard.archive.sign import open_key

_DEMO = runpy.run_path(str(Path(__file__).parents[2] / "demo" / "certificate.py"))


def test_the_certificate_of_the_demonstration_says_that_its_owner_is_invented(
    tmp_path: Path,
) -> None:
    made = _DEMO["key_file"](tmp_path / "key.p12")

    key = open_key(made.read_bytes(), _DEMO["PASSPHRASE"], at=ISSUED)

    assert key.name == "Ines Caldervane (invented, for demonstration)"


def test_the_certificate_of_the_demonstration_is_made_once(tmp_path: Path) -> None:
    first = _DEMO["key_file"](tmp_path / "key.p12").read_bytes()

    again = _DEMO["key_file"](tmp_path / "key.p12").read_bytes()

    assert again == first
