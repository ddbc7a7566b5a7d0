"""The report's pages while they are being written: set again after each change, and ended when nobody looks."""

from datetime import timedelta
from typing import Any

import pytest
from desk.test_findings import form_of
from desk.written import BASE, FINDING, now, put
from starlette.testclient import TestClient

from garboard.desk import preview
from garboard.desk.context import Desk
from garboard.desk.preview import Previews, as_if_kept, as_it_leaves
from garboard.desk.worked import worked
from garboard.notebook.body import Observation, Place, Remark
from garboard.notebook.fold import Survey
from garboard.report.typesetter import Standing

PAGE = f"{BASE}/finding/{FINDING.id}"


@pytest.fixture
def survey(desk: Desk, clock: Any) -> Survey:
    clock.time += timedelta(hours=1)
    return put(desk)


def test_what_is_being_written_is_shown_and_not_kept(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    form = form_of(browser.get(PAGE))

    before = browser.post(f"{PAGE}/pages", data=form).json()
    first = browser.get(f"{BASE}/printed/{before['page']}").content
    after = browser.post(f"{PAGE}/pages", data={**form, "seen": "Nothing but rust."}).json()
    second = browser.get(f"{BASE}/printed/{after['page']}").content

    assert "1. Keel joint cracked" in {each["name"] for each in before["chapters"]}
    assert after["page"] == before["page"]
    assert first.startswith(b"\xff\xd8")
    assert first != second
    assert now(desk).entries == survey.entries


def test_words_that_say_nothing_are_told_while_they_are_written(
    browser: TestClient, survey: Survey
) -> None:
    form = form_of(browser.get(PAGE))

    told = browser.post(f"{PAGE}/pages", data={**form, "seen": "The joint appears fair."}).json()

    assert any(each.startswith("“fair”") or '"fair"' in each for each in told["notes"])
    assert any('"appears"' in each for each in told["notes"])


def test_a_recommendation_sooner_than_its_finding_is_told_while_it_is_written(
    browser: TestClient, survey: Survey
) -> None:
    form = form_of(browser.get(PAGE))

    told = browser.post(f"{PAGE}/pages", data={**form, "urgency": "at the next lift-out"}).json()

    assert any("sooner than the finding is urgent" in each for each in told["notes"])


def test_a_form_that_is_not_whole_says_what_to_put_right(
    browser: TestClient, survey: Survey
) -> None:
    form = form_of(browser.get(PAGE))

    told = browser.post(f"{PAGE}/pages", data={**form, "title": ""}).json()

    assert set(told["fields"]) == {"title"}


def test_a_page_that_is_not_there_is_not_found(browser: TestClient, survey: Survey) -> None:
    nothing = browser.get(f"{BASE}/printed/1")
    browser.post(f"{BASE}/printed")

    assert nothing.status_code == 404
    assert browser.get(f"{BASE}/printed/1").status_code == 200
    assert browser.get(f"{BASE}/printed/999").status_code == 404


def test_the_pages_can_be_turned_without_a_script(browser: TestClient, survey: Survey) -> None:
    text = browser.get(f"{BASE}/printed?page=2").text

    assert "page 2 of" in text
    assert f'src="{BASE}/printed/2"' in text


def test_what_the_readings_mean_is_worked_out_once_for_all_that_is_written_of_them(
    desk: Desk, survey: Survey
) -> None:
    results = worked(desk, survey).results
    place = Place(part="stem")

    written = as_if_kept(desk, survey, [FINDING])
    seen = as_if_kept(desk, survey, [new(survey, Observation(place=place, seen="a crack"))])

    assert written.results is results
    assert not seen.has("results")


def test_what_is_private_is_not_shown(desk: Desk, survey: Survey) -> None:
    desk.surveys.add([new(survey, Remark(text="a difficult client"))])

    leaves = as_it_leaves(desk, now(desk))

    assert leaves.survey.of(Remark) == ()
    assert leaves is as_it_leaves(desk, now(desk))


def new(survey: Survey, body: Any) -> Any:
    from cast import entry

    return entry(90, body)


def test_only_so_many_typesetters_stand_ready(desk: Desk, survey: Survey) -> None:
    previews, state = Previews(), as_it_leaves(desk, survey)
    try:
        for number in range(preview.MOST_AT_ONCE + 1):
            previews.show(desk, f"surveyor {number}", state)

        assert previews.draw("surveyor 0", survey.id, 1, ppi=20) is None
        assert previews.draw("surveyor 1", survey.id, 1, ppi=20) is not None
    finally:
        previews.close()


def test_a_typesetter_ends_when_nobody_has_asked_it_for_a_while(
    desk: Desk, survey: Survey, monkeypatch: pytest.MonkeyPatch
) -> None:
    from threading import Event

    ended = Event()
    close = Standing.close

    def closed(self: Standing) -> None:
        close(self)
        ended.set()

    monkeypatch.setattr(Standing, "close", closed)
    previews = Previews(idle=timedelta(seconds=1))

    previews.show(desk, "ines", as_it_leaves(desk, survey))

    assert ended.wait(60)
    assert previews.draw("ines", survey.id, 1, ppi=20) is None
    previews.close()


def test_a_typesetter_that_ended_is_begun_anew(desk: Desk, survey: Survey) -> None:
    previews, state = Previews(), as_it_leaves(desk, survey)
    try:
        first = previews.show(desk, "ines", state)
        standing = previews._writing[f"ines {survey.id}"]._standing
        assert standing is not None
        standing._process.kill()

        with pytest.raises(Exception, match="ended before it was done"):
            previews.show(desk, "ines", state)

        assert previews.show(desk, "ines", state) == first
    finally:
        previews.close()


def test_one_that_had_to_make_room_before_its_turn_came_is_begun_anew(
    desk: Desk, survey: Survey, monkeypatch: pytest.MonkeyPatch
) -> None:
    previews, state = Previews(), as_it_leaves(desk, survey)
    of = previews._of
    found = [of("ines", survey.id)]
    previews.close()
    monkeypatch.setattr(previews, "_of", lambda *asked: found.pop() if found else of(*asked))
    try:
        previews.show(desk, "ines", state)

        assert previews.draw("ines", survey.id, 1, ppi=20) is not None
    finally:
        previews.close()
