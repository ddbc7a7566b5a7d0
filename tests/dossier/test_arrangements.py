"""What was settled before travelling is read from the dossier, documented, and stays with the surveyor."""

import re
from datetime import date
from pathlib import Path
from typing import get_args

from folder import SURVEY_TOML, survey

from garboard.notebook.body import Arrangement, Settled

DOCS = (Path(__file__).parents[2] / "docs" / "dossier.md").read_text()
SECTION = DOCS.partition("## Before travelling")[2].partition("\n## ")[0]


def test_the_arrangement_shown_can_be_read(tmp_path: Path) -> None:
    shown = re.search(r"```\n(.*?)```", SECTION, re.DOTALL)
    assert shown is not None

    (found,) = survey(tmp_path, survey_toml=SURVEY_TOML + shown[1]).bodies(Arrangement)

    assert (found.what, found.with_whom, found.on) == (
        "lift or slip", "Una Marrask, yard foreman", date(2026, 5, 12),
    )  # fmt: skip


def test_everything_that_can_be_settled_is_documented() -> None:
    assert [each for each in get_args(Settled) if each not in SECTION] == []
