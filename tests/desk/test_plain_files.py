"""Surveys brought in as packed plain files, and packed to be taken away."""

import io
import time
from collections.abc import Callable
from datetime import timedelta
from functools import partial
from pathlib import Path
from zipfile import ZipFile

import pytest
from cast import QUILLET, SURVEY, entry
from desk.conftest import Clock
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.desk.pages.plain_files import BRING, bring_in
from garboard.dossier.packed import pack
from garboard.dossier.read import read_dossier
from garboard.notebook.fold import fold
from garboard.store import jobs
from garboard.store.worker import Worker

DEMO = Path(__file__).parents[2] / "demo"


@pytest.fixture(autouse=True)
def later(clock: Clock) -> None:
    clock.time += timedelta(days=60)


@pytest.fixture
def wait(desk: Desk) -> Callable[[], jobs.Job]:
    """Waits until the worker has ended the job begun last."""

    def waited() -> jobs.Job:
        until = time.monotonic() + 300
        while time.monotonic() < until:
            with desk.database.reading() as connection:
                job = jobs.recent(connection)[0]
            if job.state not in ("ready", "running"):
                return job
        raise AssertionError("the job did not end")

    return waited


def sent(browser: TestClient, content: bytes, name: str = "quillet.zip") -> str:
    return browser.post("/bring/upload", files={"file": (name, content)}).text


def test_a_packed_survey_is_brought_in_whole(
    browser: TestClient, desk: Desk, tmp_path: Path, wait: Callable[[], jobs.Job]
) -> None:
    pack(DEMO / "harrowmere", tmp_path / "harrowmere.zip")

    sent(browser, (tmp_path / "harrowmere.zip").read_bytes())
    job = wait()

    assert job.state == "done", job.error
    survey = desk.surveys.get(job.result["survey"])
    assert survey is not None
    assert f'href="/s/{survey.id}/"' in browser.get("/bring").text
    # The packed file only passed through.
    assert desk.blobs.find(job.arguments["sha256"]) is None
    assert not list((desk.folder / "at-work").iterdir())


def test_what_is_wrong_in_it_is_said_and_nothing_kept(
    browser: TestClient, desk: Desk, wait: Callable[[], jobs.Job]
) -> None:
    packed = io.BytesIO()
    with ZipFile(packed, "w") as file:
        file.writestr("quillet/survey.toml", "purpose = 'buy'\nmasts = ")

    sent(browser, packed.getvalue())
    job = wait()

    assert job.state == "failed"
    assert "survey.toml" in (job.error or "")
    assert "not kept" in browser.get("/bring").text
    assert desk.blobs.find(job.arguments["sha256"]) is None
    with desk.database.reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM entries").scalar() == 0


def test_another_kind_of_file_is_refused_at_once(browser: TestClient) -> None:
    shown = sent(browser, b"%PDF-1.7", "report.pdf")

    assert "report.pdf" in shown
    assert "no ZIP file" in shown


def test_a_survey_is_packed_and_comes_back_the_same(
    browser: TestClient, desk: Desk, tmp_path: Path, wait: Callable[[], jobs.Job]
) -> None:
    desk.surveys.add([entry(1, QUILLET)])
    at = f"/s/{SURVEY}/plain-files"
    assert browser.get(f"{at}/zip").status_code == 404

    browser.post(at)
    wait()
    answer = browser.get(f"{at}/zip")

    assert "quillet" in answer.headers["content-disposition"]
    assert "quillet" in browser.get(at).text
    with ZipFile(io.BytesIO(answer.content)) as packed:
        packed.extractall(tmp_path)
    back = read_dossier(tmp_path / "quillet", desk.now())
    before = desk.surveys.get(SURVEY)
    assert before is not None
    assert fold(back.entries).digest == before.digest


def test_what_a_crash_left_is_cleared_by_the_next(
    browser: TestClient, desk: Desk, wait: Callable[[], jobs.Job]
) -> None:
    desk.surveys.add([entry(1, QUILLET)])
    (desk.folder / "at-work" / "1" / "quillet").mkdir(parents=True)

    browser.post(f"/s/{SURVEY}/plain-files")

    assert wait().state == "done"
    assert not list((desk.folder / "at-work").iterdir())


def test_pages_lead_to_both(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET)])

    assert 'href="/bring"' in browser.get("/").text
    assert f'href="/s/{SURVEY}/plain-files"' in browser.get(f"/s/{SURVEY}/history").text


def test_one_that_was_sent_twice_is_brought_in_twice_and_then_forgotten(
    desk: Desk, tmp_path: Path
) -> None:
    pack(DEMO / "harrowmere", tmp_path / "harrowmere.zip")
    blob = desk.blobs.put([(tmp_path / "harrowmere.zip").read_bytes()])
    worker = Worker(desk.database, {BRING: partial(bring_in, desk)}, desk.clock)
    with desk.database.writing() as connection:
        for _ in range(2):
            jobs.enqueue(connection, BRING, {"sha256": blob.sha256, "name": "a.zip"}, now=desk.now())  # fmt: skip

    while worker.run_one():
        pass

    with desk.database.reading() as connection:
        assert [each.error for each in jobs.recent(connection)] == [None, None]
    assert desk.blobs.find(blob.sha256) is None
