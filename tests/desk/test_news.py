"""What other devices wrote since a page was made is said on it."""

from cast import QUILLET, SURVEY, entry
from starlette.testclient import TestClient

from garboard.desk.context import DEVICE, Desk
from garboard.notebook.body import Remark


def news(browser: TestClient, since: int) -> str:
    return browser.get(f"/s/{SURVEY}/news?since={since}").text.strip()


def test_what_a_tablet_wrote_is_told_with_its_author(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET), entry(2, Remark(text="Rain began"), device="tablet-1")])

    said = news(browser, 1)

    assert "remark, Rain began" in said
    assert "tablet-1" in said


def test_of_many_entries_the_latest_are_told_and_the_number(browser: TestClient, desk: Desk) -> None:  # fmt: skip
    desk.surveys.add([entry(1, QUILLET)])
    desk.surveys.add(entry(2 + n, Remark(text=f"Number {n}"), device="tablet-1") for n in range(9))

    said = news(browser, 1)

    assert "9 new entries" in said
    assert "Number 8" in said
    assert "Number 6" not in said


def test_what_the_reader_wrote_at_the_desk_is_no_news(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET)])
    mine = entry(2, Remark(text="Mine"), author="Ines Caldervane", device=DEVICE)
    desk.surveys.add([mine])

    assert news(browser, 1) == ""


def test_a_page_listens_from_the_arrival_it_speaks_of(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET), entry(2, Remark(text="Rain began"))])

    shown = browser.get(f"/s/{SURVEY}/history").text

    assert f"/api/news?survey={SURVEY}&amp;since=2" in shown
