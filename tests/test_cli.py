"""The command line says in words what it did, and its exit code says how it went."""

import subprocess
import sys
from pathlib import Path

import pikepdf
import pytest
from archive.certificates import PASSPHRASE, identity
from folder import SURVEY_TOML, picture, write

# The dossier states no report number, so the end of its survey's id serves.
NUMBER = "Quillet-condition-survey-before-purchase"
BIN = Path(sys.executable).parent / "garboard"


def garboard(*words: str | Path, **environment: str) -> subprocess.CompletedProcess[str]:
    import os

    return subprocess.run(
        [BIN, *map(str, words)], capture_output=True, text=True, check=False, timeout=300,
        env={**os.environ, "COLUMNS": "200", **environment},
    )  # fmt: skip


def start(folder: Path) -> subprocess.CompletedProcess[str]:
    return garboard("start", folder, "--boat", 'Wisp "II"', "--client", "T. Orrowby", "--surveyor", "I. Caldervane")  # fmt: skip


def test_a_new_dossier_is_readable_at_once(tmp_path: Path) -> None:
    assert start(tmp_path / "wisp").returncode == 0

    done = garboard("check", tmp_path / "wisp")

    assert done.returncode == 3
    assert "nothing is recorded of it" in done.stdout


def test_a_new_dossier_never_covers_another(tmp_path: Path) -> None:
    start(tmp_path / "wisp")
    before = (tmp_path / "wisp" / "boat.toml").read_text()

    again = start(tmp_path / "wisp")

    assert again.returncode == 1
    assert "is not empty" in again.stderr
    assert (tmp_path / "wisp" / "boat.toml").read_text() == before


def test_planning_adds_each_called_place_once(tmp_path: Path) -> None:
    start(tmp_path / "wisp")

    first = garboard("plan", tmp_path / "wisp")
    rows = (tmp_path / "wisp" / "examined.csv").read_text().count("\n") - 1
    second = garboard("plan", tmp_path / "wisp")

    assert f"{rows} new rows" in first.stdout
    assert " 0 new rows" in second.stdout


def test_planning_keeps_what_is_filled_in_and_the_table_s_own_form(tmp_path: Path) -> None:
    write(tmp_path / "q", examined_csv='found;part;extent\n"open; 0,6 mm";keel-joint;whole\n')

    garboard("plan", tmp_path / "q")

    lines = (tmp_path / "q" / "examined.csv").read_text().splitlines()
    assert lines[:2] == ["found;part;extent", '"open; 0,6 mm";keel-joint;whole']
    assert ";stem;" in lines


def test_a_report_with_gaps_is_a_draft_and_exit_code_3(tmp_path: Path) -> None:
    write(tmp_path / "q", photos__a_jpg=picture(), photos__photos_csv="file,caption\na.jpg,Stem\n")

    done = garboard("report", tmp_path / "q", "-o", tmp_path / "out", "--formats", "pdf,xlsx")

    assert done.returncode == 3, done.stderr
    assert "marked DRAFT" in done.stdout
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == [
        f"{NUMBER}-draft.pdf",
        f"{NUMBER}-draft.xlsx",
    ]
    with pikepdf.open(tmp_path / "out" / f"{NUMBER}-draft.pdf") as pdf:
        assert set(pdf.attachments) == {"notebook.jsonl", "findings.json"}


def test_private_remarks_never_leave_the_house(tmp_path: Path) -> None:
    text = SURVEY_TOML + '\n[[remark]]\ntext = "seller drinks"\n'
    write(tmp_path / "q", survey_toml=text)

    garboard("report", tmp_path / "q", "-o", tmp_path / "out", "--formats", "pdf,html")

    with pikepdf.open(tmp_path / "out" / f"{NUMBER}-draft.pdf") as pdf:
        inside = pdf.attachments["notebook.jsonl"].get_file().read_bytes()
    assert b"seller drinks" not in inside
    assert b"Tamsin Orrowby" in inside
    assert "seller drinks" not in (tmp_path / "out" / f"{NUMBER}-draft.html").read_text()


def test_an_unsigned_report_is_called_so_with_exit_code_4(tmp_path: Path) -> None:
    write(tmp_path / "q")
    garboard("report", tmp_path / "q", "-o", tmp_path / "out", "--formats", "pdf")

    done = garboard("verify", tmp_path / "out" / f"{NUMBER}-draft.pdf")

    assert done.returncode == 4
    assert "carries no signature" in done.stdout


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("check", "nowhere"), 1, "nowhere: there is no such folder"),
        (("report", "nowhere", "--formats", "pdf,odt"), 1, '"pdf,odt" cannot be made. Use some of: pdf'),
        (("verify", "nowhere.pdf"), 1, "nowhere.pdf: No such file"),
        (("start", "x", "--boat", "b", "--client", "c", "--surveyor", "s", "--purpose", "fun"), 1, '"fun" is no purpose'),
        (("dance",), 2, "No such command"),
    ],
)  # fmt: skip
def test_what_goes_wrong_is_said_without_a_traceback(words: tuple[str, ...], code: int, said: str, tmp_path: Path) -> None:  # fmt: skip
    done = subprocess.run([BIN, *words], capture_output=True, text=True, check=False, cwd=tmp_path)

    assert done.returncode == code
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_a_refused_dossier_names_every_fault_and_writes_nothing(tmp_path: Path) -> None:
    write(tmp_path / "q", soundings_csv="part,heard\nstem,loud\nsten,dull\n")

    done = garboard("report", tmp_path / "q")

    assert done.returncode == 1
    assert "soundings.csv:2" in done.stderr
    assert "soundings.csv:3" in done.stderr
    assert "2 things are wrong; nothing was changed" in done.stderr
    assert not (tmp_path / "q" / "report").exists()


def test_methods_are_listed_with_source_and_standing() -> None:
    done = garboard("methods")

    assert "climate.dew_point_c" in done.stdout
    assert "Source:" in done.stdout


def test_every_published_value_is_recomputed() -> None:
    done = garboard("methods", "--prove")

    assert done.returncode == 0
    assert "check values agree" in done.stdout
    assert "DIFFERS" not in done.stdout


def test_a_key_that_is_none_is_refused_in_words(tmp_path: Path) -> None:
    write(tmp_path / "q")
    (tmp_path / "key.p12").write_bytes(b"not a key")

    done = garboard(
        "report", tmp_path / "q", "--key", tmp_path / "key.p12", GARBOARD_PASSPHRASE="x"
    )

    assert done.returncode == 1
    assert "key.p12" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.fixture
def issuable(tmp_path: Path) -> tuple[Path, Path]:
    """A dossier in whose way nothing stands, and a key."""
    signer = identity("Ines Caldervane (invented)")
    everything = "\n".join(
        f'[[answer]]\ngap = "{gap}"\nwords = "Agreed with the client."\n'
        for gap in _open_gaps(write(tmp_path / "q"))
    )
    write(tmp_path / "q", survey_toml=f"{SURVEY_TOML}\n{everything}")
    (tmp_path / "key.p12").write_bytes(signer.p12)
    return tmp_path / "q", tmp_path / "key.p12"


def _open_gaps(folder: Path) -> list[str]:
    from datetime import UTC, datetime

    from garboard.dossier.read import read_dossier
    from garboard.judgement.gaps import gaps
    from garboard.methods.library import results_of
    from garboard.notebook.fold import fold

    survey = fold(read_dossier(folder, datetime.now(UTC)).entries)
    return [gap.id for gap in gaps(survey, results_of(survey)) if gap.is_open]


def report(folder: Path, key: Path) -> subprocess.CompletedProcess[str]:
    return garboard(
        "report", folder, "--formats", "pdf", "--key", key, GARBOARD_PASSPHRASE=PASSPHRASE
    )


def test_a_signed_report_is_issued_once_and_verifies(issuable: tuple[Path, Path]) -> None:
    folder, key = issuable

    first, again = report(folder, key), report(folder, key)
    checked = garboard("verify", folder / "report" / f"{NUMBER}-v1.pdf")

    assert first.returncode == 0, first.stderr + first.stdout
    assert "version 1" in first.stdout
    assert "Issued" not in again.stdout
    assert "issued already, kept as it is" in again.stdout
    assert checked.returncode == 0, checked.stdout
    assert "exactly the findings" in checked.stdout


def test_without_a_pdf_there_is_nothing_to_sign_and_nothing_is_issued(issuable: tuple[Path, Path]) -> None:  # fmt: skip
    folder, key = issuable

    done = garboard(
        "report", folder, "--formats", "html", "--key", key, GARBOARD_PASSPHRASE=PASSPHRASE
    )

    assert done.returncode == 0
    assert not (folder / "notebook.jsonl").exists()
    page = (folder / "report" / f"{NUMBER}-unsigned.html").read_text()
    assert "This report is not signed" in page


def test_a_change_after_issuing_needs_an_amendment_that_names_the_issue(issuable: tuple[Path, Path]) -> None:  # fmt: skip
    folder, key = issuable
    report(folder, key)
    text = (folder / "survey.toml").read_text()
    (folder / "told.md").write_text("## Aldous Wickenmere, seller\n\nNever aground.\n")

    refused = report(folder, key)
    reason = '\n[[amendment]]\nreason = "The seller telephoned."\nchanges = ["What was told"]\n'
    (folder / "survey.toml").write_text(text + reason)
    amended = report(folder, key)

    assert refused.returncode == 3
    assert "no amendment says why" in refused.stdout
    assert amended.returncode == 0, amended.stdout
    assert "version 2" in amended.stdout
