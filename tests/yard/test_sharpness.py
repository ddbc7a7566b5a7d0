"""The page doubts a photograph by the same measure as the desk does."""

import re
from pathlib import Path

import garboard.yard
from garboard.judgement import looks
from garboard.report.looks import LOOK_PX

SCRIPT = Path(garboard.yard.__path__[0]) / "static" / "sharpness.js"


def test_its_limits_are_those_of_the_desk() -> None:
    stated = dict(re.findall(r"^const (\w+) = ([\d.]+)$", SCRIPT.read_text(), re.MULTILINE))

    assert float(stated["BLURRED"]) == looks.BLURRED
    assert float(stated["TOO_DARK"]) == looks.TOO_DARK
    assert float(stated["BURNT_OUT"]) == looks.BURNT_OUT
    assert int(stated["LOOK_PX"]) == LOOK_PX
