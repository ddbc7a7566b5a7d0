import json
from typing import Any

import pytest
from archive.reports import survey
from hypothesis import given
from strategies import notebooks

from garboard.archive.evidence import disagreement, findings_json, notebook_jsonl
from garboard.notebook.entry import Entry
from garboard.notebook.fold import fold


@given(notebooks)
def test_the_findings_can_be_made_again_from_the_notebook(notebook: list[Entry[Any]]) -> None:
    made = fold(notebook)

    assert disagreement(notebook_jsonl(made), findings_json(made)) is None


@given(notebooks)
def test_a_notebook_without_its_last_entry_does_not_give_the_same(
    notebook: list[Entry[Any]],
) -> None:
    made = fold(notebook)
    shortened = b"".join(notebook_jsonl(made).splitlines(keepends=True)[:-1])

    assert disagreement(shortened, findings_json(made)) is not None


def test_the_findings_name_the_entries_they_were_made_of() -> None:
    made = survey()

    written = json.loads(findings_json(made))

    assert written["entries_sha256"] == made.digest
    assert [each["title"] for each in written["findings"]] == ["Play in the rudder"]


def test_findings_of_another_notebook_are_told() -> None:
    told = disagreement(notebook_jsonl(survey()), findings_json(survey("No play in the rudder")))

    assert told is not None
    assert "does not give the findings" in told


@pytest.mark.parametrize(
    "rubbish",
    [
        b"",
        b"\n\n",
        b"\xff\xfe",
        b"not JSON\n",
        b"[" * 200_000,
        b"9" * 5000,
        b'{"id": 1e999}',
        b'"\\ud800"',
        b'{"kind": "\\ud800", "body": "\\ud800"}',
    ],
)
def test_a_notebook_that_cannot_be_read_is_told(rubbish: bytes) -> None:
    told = disagreement(rubbish, findings_json(survey()))

    assert told is not None
    assert told.startswith("The notebook inside cannot be read")
