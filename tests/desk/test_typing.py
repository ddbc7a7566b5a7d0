"""The checklist typed back: each line makes entries of its own, is kept once, and can be taken back."""

from datetime import timedelta
from html import unescape

import pytest
from cast import QUILLET, SURVEY, entry
from desk.conftest import Clock
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import Examination, Instruction, Limitation
from garboard.notebook.fold import Survey

PAGE = f"/s/{SURVEY}/schedule/typing"


@pytest.fixture(autouse=True)
def survey(desk: Desk) -> None:
    """A survey of which nothing was examined yet."""
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    desk.surveys.add([entry(1, QUILLET), entry(2, asked)])


def now(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def cells(name: str, **written: str) -> dict[str, str]:
    return {f"{cell}.{name}": text for cell, text in written.items()}


def test_a_line_is_kept_as_its_own_entries_and_answered_as_it_stands(
    browser: TestClient, desk: Desk
) -> None:
    line = cells("seacock 2", far="p60", how="lo-s", short="s", why="42", found="turns")

    answer = browser.post(f"{PAGE}/seacock%202", data=line)

    assert answer.status_code == 200
    assert "examined in part, about 60 %" in answer.text
    assert "Take it back" in answer.text
    survey = now(desk)
    (examined,), (limited,) = survey.bodies(Examination), survey.bodies(Limitation)
    assert (examined.place.number, examined.how) == (2, ("look", "operate"))
    assert (limited.how, limited.reasons) == (("sound",), ("seized",))


def test_a_line_that_does_not_read_comes_back_as_typed_and_keeps_nothing(
    browser: TestClient, desk: Desk
) -> None:
    answer = browser.post(f"{PAGE}/stem", data=cells("stem", far="w", found="sound all over"))

    assert answer.status_code == 422
    assert "In which ways?" in unescape(answer.text)
    assert 'value="sound all over"' in answer.text
    assert now(desk).of(Examination) == ()


def test_a_line_sent_twice_is_kept_once(browser: TestClient, desk: Desk) -> None:
    for _ in range(2):
        browser.post(f"{PAGE}/stem", data=cells("stem", far="w", how="."))

    assert len(now(desk).of(Examination)) == 1


def test_taking_a_line_back_withdraws_its_entries_and_opens_it_again(
    browser: TestClient, desk: Desk
) -> None:
    browser.post(f"{PAGE}/stem", data=cells("stem", far="p", how="l", why="2"))
    ids = [each.id for each in (*now(desk).of(Examination), *now(desk).of(Limitation))]

    answer = browser.post(f"{PAGE}/stem", data={"undo": " ".join(ids)})

    survey = now(desk)
    assert "data-open" in answer.text
    assert (survey.of(Examination), survey.of(Limitation)) == ((), ())
    assert {each.entry.id for each in survey.withdrawn} == set(ids)
    assert {each.by.why for each in survey.withdrawn} == {"typed by mistake"}


def test_a_line_that_was_corrected_is_taken_back_with_what_it_said_before(
    browser: TestClient, desk: Desk
) -> None:
    browser.post(f"{PAGE}/stem", data=cells("stem", far="w", how="l"))
    (typed,) = now(desk).of(Examination)
    form = {"place.part": "stem", "extent": "whole", "found": "dry", "why": "more", "of": typed.id}
    browser.post(f"/s/{SURVEY}/entry/{typed.id}", data=form)
    (anew,) = now(desk).of(Examination)

    browser.post(f"{PAGE}/stem", data={"undo": anew.id})

    assert anew.id != typed.id
    assert now(desk).of(Examination) == ()


def test_what_was_written_in_the_yard_is_not_taken_back_here(
    browser: TestClient, desk: Desk
) -> None:
    browser.post(f"{PAGE}/stem", data=cells("stem", far="w", how="l"))
    (typed,) = now(desk).of(Examination)
    yard = entry(9, typed.body)
    desk.surveys.add([yard])

    browser.post(f"{PAGE}/stem", data={"undo": f"{typed.id} {yard.id}"})

    assert now(desk).of(Examination) == (yard,)


def test_a_line_of_yesterday_is_no_longer_taken_back_here(
    browser: TestClient, desk: Desk, clock: Clock
) -> None:
    browser.post(f"{PAGE}/stem", data=cells("stem", far="w", how="l"))
    (typed,) = now(desk).of(Examination)
    clock.time += timedelta(hours=13)

    browser.post(f"{PAGE}/stem", data={"undo": typed.id})

    assert now(desk).of(Examination) == (typed,)


def test_without_its_script_the_whole_form_keeps_what_reads_and_shows_what_does_not(
    browser: TestClient, desk: Desk
) -> None:
    form = {
        **cells("stem", far="w", how="l"),
        **cells("keel-joint", far="x"),
        **cells("skeg", far="n", how="l"),
    }

    answer = browser.post(PAGE, data=form)

    assert answer.status_code == 422
    assert "1 line is to be mended; all others are kept." in answer.text
    assert "Why was it not reached?" in answer.text
    parts = {each.place.part for each in now(desk).bodies(Examination)}
    assert parts == {"stem", "skeg"}


def test_without_its_script_a_line_is_taken_back_and_the_others_stay_as_typed(
    browser: TestClient, desk: Desk
) -> None:
    browser.post(PAGE, data=cells("stem", far="w", how="l"))
    (typed,) = now(desk).of(Examination)

    answer = browser.post(PAGE, data={"undo": typed.id, **cells("skeg", found="half a line")})

    assert now(desk).of(Examination) == ()
    assert 'value="half a line"' in answer.text


def test_the_lines_come_in_the_order_of_the_paper(browser: TestClient) -> None:
    shown = browser.get(PAGE).text

    assert shown.index('id="line-1"') < shown.index('id="line-2"') < shown.index('id="line-100"')


def test_a_place_that_is_not_called_for_has_no_line(browser: TestClient) -> None:
    assert browser.post(f"{PAGE}/sterndrive-leg", data={}).status_code == 404


def test_without_its_script_a_line_taken_back_is_said_at_the_top(
    browser: TestClient, desk: Desk
) -> None:
    browser.post(PAGE, data=cells("stem", far="w", how="l", short="s", found="sound all over"))
    (made,) = now(desk).of(Examination)

    shown = unescape(browser.post(PAGE, data={"undo": made.id}).text)

    assert "Taken back: examination “" in shown
    assert now(desk).of(Examination) == ()
