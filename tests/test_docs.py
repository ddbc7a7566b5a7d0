"""The documents speak of what is there."""

import re
from dataclasses import fields
from pathlib import Path
from typing import Any, get_args

import pytest
from build_methods import BY_HAND, pages, words
from folder import SURVEY_TOML, survey

from garboard.cli import app
from garboard.dossier.layout import CSV_TABLES
from garboard.notebook.body import Comparable, Finding, Quantity, Told, Urgency, Value

ROOT = Path(__file__).parent.parent
DOSSIER = (ROOT / "docs" / "dossier.md").read_text()
README = (ROOT / "README.md").read_text()


def test_every_command_is_in_the_readme() -> None:
    names = [command.name or command.callback.__name__ for command in app.registered_commands if command.callback]  # fmt: skip

    assert len(names) >= 7
    for name in names:
        assert f"garboard {name}" in README


@pytest.mark.parametrize(("name", "cls"), CSV_TABLES.items())
def test_every_column_of_a_table_is_documented(name: str, cls: Any) -> None:
    row = next(line for line in DOSSIER.splitlines() if line.startswith(f"| {name} "))

    own = {each.name for each in fields(cls)} - {"place", "sha256", "media_type", "number"}
    assert [each for each in own if f"`{each}`" not in row] == []


def test_every_quantity_and_urgency_is_documented() -> None:
    assert [each for each in get_args(Quantity) if each not in DOSSIER] == []
    assert [each for each in get_args(Urgency) if each not in DOSSIER] == []


def test_the_finding_shown_can_be_read(tmp_path: Path) -> None:
    page = re.search(r"```\n(\+\+\+\n.*?)```", DOSSIER, re.DOTALL)
    assert page is not None
    text = re.sub(r"(?m)^(evidence|photos) = .*\n", "", page[1])

    found = survey(tmp_path, findings__keel_md=text)

    assert found.bodies(Finding)[0].title == "Keel joint open at the forward end"


def test_the_readings_shown_can_be_read(tmp_path: Path) -> None:
    page = re.search(r"```\n(# quantity.*?)```", DOSSIER, re.DOTALL)
    assert page is not None

    assert survey(tmp_path, readings__bottom_csv=page[1]).standing


def test_the_pages_of_the_methods_are_those_of_the_code() -> None:
    written = {path.name: path.read_text() for path in (ROOT / "docs" / "methods").glob("*.md")}

    by_hand = {name: written[name] for name in BY_HAND}
    assert {**pages(), **by_hand} == written, "run: make docs"


def test_every_link_leads_somewhere() -> None:
    for path in (ROOT / "README.md", *(ROOT / "docs").rglob("*.md")):
        for target in re.findall(r"\]\((?!http)([^)#]+)", path.read_text()):
            assert (path.parent / target).exists(), f"{path.name}: {target}"


def test_the_page_of_words_is_that_of_the_catalogue() -> None:
    assert (ROOT / "docs" / "words.md").read_text() == words(), "run: make docs"


def test_what_is_shown_of_told_value_and_amendment_can_be_read(tmp_path: Path) -> None:
    blocks = re.findall(r"```\n(.*?)```", DOSSIER, re.DOTALL)
    told = next(each for each in blocks if each.startswith("## "))
    value = next(each for each in blocks if each.startswith("[[comparable]]"))

    found = survey(tmp_path, told_md=told, survey_toml=SURVEY_TOML + value)

    assert len(found.of(Told)) == len(found.of(Value)) == len(found.of(Comparable)) == 1
