"""The invented surveys become finished reports: whole, signed, archival, accessible."""

import io
import shutil
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path

import pikepdf
import pytest
from archive.certificates import PASSPHRASE, identity
from verapdf import failures

from garboard.archive.publish import Published, published
from garboard.archive.sign import open_key
from garboard.archive.verify import verify
from garboard.desk.context import open_desk
from garboard.dossier.read import Dossier, read_dossier
from garboard.judgement.gaps import gaps
from garboard.judgement.issues import issues
from garboard.judgement.states import part_states
from garboard.judgement.steps import step_of
from garboard.methods.library import results_of
from garboard.notebook.body import Photo, ReadingSet, Sounding
from garboard.notebook.entry import to_line
from garboard.notebook.fold import fold

DEMO = Path(__file__).parent.parent / "demo"
NOW = datetime(2026, 12, 1, 9, 0, tzinfo=UTC)
BOATS = ("quillet", "harrowmere")

pytestmark = pytest.mark.xdist_group("demo")


@pytest.fixture(scope="module", params=BOATS)
def dossier(request: pytest.FixtureRequest) -> Dossier:
    return read_dossier(DEMO / request.param, NOW)


@pytest.fixture(scope="module")
def report(dossier: Dossier) -> Published:
    key = open_key(identity("Ines Caldervane (invented)").p12, PASSPHRASE)
    return published(dossier.entries, dossier.files, at=NOW, formats=("pdf",), key=key)


def pdf(of: Published) -> bytes:
    return next(content for name, content in of.files.items() if name.endswith(".pdf"))


def test_nothing_stands_in_the_way_of_issuing(dossier: Dossier) -> None:
    survey = fold(dossier.entries)

    assert [gap.id for gap in gaps(survey, results_of(survey)) if gap.is_open] == []


def test_every_called_place_has_its_record(dossier: Dossier) -> None:
    states = part_states(fold(dossier.entries))

    assert len(states) > 160
    assert not [each for each in states if each.state in ("silent", "not written up")]


def test_the_report_is_archival_accessible_and_signed(report: Published) -> None:
    content = pdf(report)

    assert not report.is_draft
    assert report.warnings == ()
    assert failures(content, "3a") == []
    assert failures(content, "ua1") == []
    assert verify(content).state == "unchanged"
    assert verify(content).follows


def test_every_photograph_is_in_the_report_and_says_it_is_invented(dossier: Dossier, report: Published) -> None:  # fmt: skip
    photos = fold(dossier.entries).bodies(Photo)

    assert len(photos) >= 60
    assert all(photo.printed and "(invented)" in photo.caption for photo in photos)
    with pikepdf.open(io.BytesIO(pdf(report))) as document:
        assert len(document.pages) > 40
        assert "notebook.jsonl" in document.attachments


def test_the_sloop_was_sounded_and_metered_as_she_should_be() -> None:
    survey = fold(read_dossier(DEMO / "quillet", NOW).entries)
    moisture = [
        r for s in survey.bodies(ReadingSet) if s.quantity == "moisture" for r in s.readings
    ]

    assert len(survey.of(Sounding)) >= 400
    assert len(moisture) >= 300


def test_the_steel_boat_was_gauged_twice_at_the_same_places() -> None:
    survey = fold(read_dossier(DEMO / "harrowmere", NOW).entries)
    gauged = [e for e in survey.of(ReadingSet) if e.body.quantity == "thickness"]

    assert sum(len(e.body.readings) for e in gauged) >= 600
    assert {e.at.year for e in gauged} == {2020, 2026}


def test_the_photographs_carry_no_location() -> None:
    from PIL import Image

    for path in sorted(DEMO.glob("*/photos/*.jpg")):
        with Image.open(path) as image:
            assert 0x8825 not in image.getexif(), path.name


def test_the_desk_opens_with_the_report_that_was_issued_and_takes_it_in_once(
    dossier: Dossier, report: Published, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.syspath_prepend(DEMO)
    boat = next(each for each in BOATS if each.capitalize() == fold(dossier.entries).boat.name)  # type: ignore[union-attr]
    built = tmp_path / "built"
    shutil.copytree(DEMO / boat, built)
    assert report.issue
    (built / "notebook.jsonl").write_bytes(to_line(report.issue) + b"\n")
    (built / "report").mkdir()
    for name, content in report.files.items():
        (built / "report" / name).write_bytes(content)
    desk = open_desk(tmp_path / "desk", clock=lambda: NOW)

    for _ in range(2):
        import_module("open").take_in_issued(desk, DEMO / boat, built)
    held = desk.surveys.get(report.issue.survey)
    desk.close()

    assert held is not None
    assert issues(held) == (report.issue,)
    assert step_of(held).stage == "out"
    assert {each.name for each in (tmp_path / "desk" / "reports" / held.id).iterdir()} == set(report.files)  # fmt: skip
