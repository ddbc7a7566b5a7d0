"""The page for the yard as the desk serves it: open to nobody's data, whole, and under one version."""

import io
import json
from zipfile import ZipFile

import pytest
from cast import QUILLET, SURVEY, entry
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import Instruction
from garboard.yard.bundle import CORE, core


def listed(browser: TestClient) -> dict[str, list[str]]:
    found: dict[str, list[str]] = json.loads(browser.get("/yard/files.js").text.removeprefix("self.YARD = "))  # fmt: skip
    return found


def test_every_file_that_is_to_be_put_by_is_served_without_signing_in(stranger: TestClient) -> None:
    answers = {each: stranger.get(each).status_code for each in listed(stranger)["files"]}

    assert set(answers.values()) == {200}
    assert {"/yard/", "/yard/app.js", "/yard/core.zip", "/yard/python/pyodide.asm.wasm"} <= set(answers)  # fmt: skip


def test_python_may_be_compiled_there_and_nowhere_else(browser: TestClient) -> None:
    assert "'wasm-unsafe-eval'" in browser.get("/yard/").headers["content-security-policy"]
    assert "'wasm-unsafe-eval'" not in browser.get("/").headers["content-security-policy"]


def test_what_is_large_goes_out_packed(stranger: TestClient) -> None:
    answer = stranger.get("/yard/python/pyodide.asm.wasm", headers={"accept-encoding": "gzip"})

    assert answer.headers["content-encoding"] == "gzip"
    assert int(answer.headers["content-length"]) < 0.5 * len(answer.content)


@pytest.mark.parametrize("path", ["/api/me", f"/api/plan/{SURVEY}", "/api/surveys"])
def test_a_surveys_own_data_need_signing_in(stranger: TestClient, desk: Desk, path: str) -> None:
    desk.surveys.add([entry(1, QUILLET)])

    assert stranger.get(path).status_code == 401


def test_a_file_that_is_not_there_is_said_in_words(browser: TestClient) -> None:
    answer = browser.get("/yard/nothing.js")

    assert answer.status_code == 404
    assert "no such file" in answer.text


def test_the_core_is_packed_alike_from_the_same_sources() -> None:
    first = core()
    core.cache_clear()

    assert core() == first
    with ZipFile(io.BytesIO(first)) as packed:
        names = packed.namelist()
    assert {f"garboard/{each}/__init__.py" for each in CORE} <= set(names)
    assert not any("/desk/" in each or "bundle" in each for each in names)


def test_a_plan_has_the_walk_and_what_each_part_calls_for(browser: TestClient, desk: Desk) -> None:
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    desk.surveys.add([entry(1, QUILLET), entry(2, asked)])

    plan = browser.get(f"/api/plan/{SURVEY}").json()

    assert plan["boat"] == "Quillet"
    joint = next(each for each in plan["places"] if each["part"] == "keel-joint")
    assert joint["words"] == "nothing recorded"
    assert plan["parts"]["keel-joint"]["look_for"]
    assert set(plan["parts"]["keel-joint"]["how"]) <= set(plan["how"])
