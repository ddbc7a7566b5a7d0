"""The time zone of a desk: chosen on its page, kept, and told by the offset of each day."""

from datetime import UTC, datetime, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from cast import QUILLET, SURVEY, entry
from desk.conftest import Clock
from starlette.testclient import TestClient

from garboard.desk.context import Desk, open_desk
from garboard.desk.pictures import zone_of
from garboard.desk.zones import choices, own_zone
from garboard.notebook.body import Conditions, Photo
from garboard.notebook.fold import Survey

SHA = "0" * 64


@pytest.fixture(autouse=True)
def kept(desk: Desk) -> None:
    """A survey with a boat."""
    desk.surveys.add([entry(1, QUILLET)])


def survey_of(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def noon() -> datetime:
    return datetime(2026, 5, 12, 12, tzinfo=UTC)


def test_a_time_typed_gets_the_offset_of_its_own_day(browser: TestClient, desk: Desk) -> None:
    browser.post("/account/zone", data={"zone": "Europe/Paris"})

    for began in ("2026-01-20T10:00", "2026-04-20T10:00"):
        form = {"lying": "ashore", "began": began, "back": f"/s/{SURVEY}/"}
        assert browser.post(f"/s/{SURVEY}/add/conditions", data=form).status_code == 303

    assert [each.began.isoformat() for each in survey_of(desk).bodies(Conditions)] == [
        "2026-01-20T10:00:00+01:00",
        "2026-04-20T10:00:00+02:00",
    ]


def test_the_time_now_states_an_offset_as_entries_do(browser: TestClient, desk: Desk) -> None:
    browser.post("/account/zone", data={"zone": "America/New_York"})

    now = desk.now()

    assert now.isoformat(timespec="minutes") == "2026-05-12T05:00-04:00"
    assert isinstance(now.tzinfo, timezone)


def test_the_zone_that_was_chosen_is_kept(
    browser: TestClient, desk: Desk, tmp_path: Path, clock: Clock
) -> None:
    browser.post("/account/zone", data={"zone": "Pacific/Auckland"})

    opened = open_desk(tmp_path / "desk", clock=clock)
    opened.close()

    assert opened.zone == ZoneInfo("Pacific/Auckland")


def test_a_zone_that_is_none_is_refused_in_words(browser: TestClient, desk: Desk) -> None:
    before = desk.zone

    answer = browser.post("/account/zone", data={"zone": "../etc/passwd"})

    assert answer.status_code == 422
    assert "there is none called “../etc/passwd”. Choose one from the list" in answer.text
    assert desk.zone == before


def test_the_diary_asks_for_the_zone_until_one_is_known(browser: TestClient) -> None:
    asked = "It does not know your time zone"
    before = browser.get("/").text

    browser.post("/account/zone", data={"zone": "UTC"})

    assert asked in before
    assert asked not in browser.get("/").text


@pytest.mark.parametrize(
    ("told", "zone"),
    [
        ("Europe/Lisbon", "Europe/Lisbon"),
        (":/usr/share/zoneinfo/Asia/Tokyo", "Asia/Tokyo"),
        ("UTC", ""),
        ("Etc/UTC", ""),
        ("CET-1CEST", ""),
    ],
)
def test_what_a_computer_is_set_to_counts_where_it_stands_for_a_place(
    monkeypatch: pytest.MonkeyPatch, told: str, zone: str
) -> None:
    monkeypatch.setenv("TZ", told)

    found = own_zone(noon)

    assert (found.key if isinstance(found, ZoneInfo) else "") == zone


def test_every_zone_on_offer_tells_a_time() -> None:
    names = [name for _, some in choices() for name, _ in some]

    assert len(names) > 300
    assert all(noon().astimezone(ZoneInfo(each)) == noon() for each in names)


def test_a_photograph_of_another_season_is_told_in_the_zone_of_the_desk(
    browser: TestClient, desk: Desk
) -> None:
    browser.post("/account/zone", data={"zone": "Europe/Paris"})
    visit = {"lying": "ashore", "began": "2026-05-11T09:00", "back": f"/s/{SURVEY}/"}
    browser.post(f"/s/{SURVEY}/add/conditions", data=visit)
    taken = datetime(2026, 1, 5, 9, tzinfo=ZoneInfo("Europe/Paris"))
    photo = Photo(
        number=1, file="a.jpg", sha256=SHA, media_type="image/jpeg", caption="", taken=taken
    )

    assert zone_of(desk, survey_of(desk), photo) == ZoneInfo("Europe/Paris")
