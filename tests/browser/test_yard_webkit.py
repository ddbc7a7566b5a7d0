"""The page for the yard in WebKit: a day with no signal on a phone without Chromium."""

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import pytest
from browser.webkit import WebKit, webkit
from browser.yard_desk import Yard
from cast import SURVEY
from shots import shot

PART = f"#/part/{SURVEY}/keel-joint"


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    return Yard(tmp_path / "desk")


@pytest.fixture
def window(yard: Yard) -> Iterator[WebKit]:
    with webkit(yard.address) as opened:
        yield opened


def test_a_day_with_no_signal_reaches_the_desk_from_webkit(
    yard: Yard, window: WebKit, tmp_path: Path
) -> None:
    picture = tmp_path / "keel.jpg"
    picture.write_bytes(shot(7))
    with yard.served():
        window.sign_in(yard.token)
        window.open("/yard/")
        window.touch("Quillet")
        window.touch("Quillet", within="[data-surveys]")
        window.turn(f"#/pad/{SURVEY}", "Hull pad")
        # The calculations have started, and drew her.
        window.see("Touch the place")
        window.put_by()

    window.turn(PART, "keel-to-hull joint")
    window.touch("The whole")
    window.touch("looked at closely")
    window.touch("Keep the examination")
    window.see("Saved on this device. Examined whole: looked at closely")
    window.photograph(picture)
    window.see("3 not yet on the desk")
    window.open(f"/yard/{PART}")
    window.see("3 not yet on the desk")
    with yard.served():
        window.see("All safe on the desk")
        arrived = {each["kind"]: each["body"] for each in yard.entries().values()}
        file = yard.file(sha256(picture.read_bytes()).hexdigest())

    assert arrived["examination"]["place"]["part"] == "keel-joint"
    assert arrived["photo"]["place"]["part"] == "keel-joint"
    assert file == picture.read_bytes()
