"""The time zone of a desk: chosen on its page, kept, and told by the offset of each day."""

import sys
import zoneinfo
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from cast import QUILLET, SURVEY, entry
from desk.conftest import Clock
from starlette.testclient import TestClient

from garboard.desk.app import application
from garboard.desk.context import Desk, open_desk
from garboard.desk.filled import texts_of
from garboard.desk.pictures import visit_zone
from garboard.desk.zones import _places, choices, own_zone
from garboard.notebook.body import Conditions, Photo
from garboard.notebook.fold import Survey
from garboard.store import texts

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


def offered() -> set[str]:
    return {name for name, _ in choices()}


@pytest.mark.parametrize(
    ("zone", "winter_h", "summer_h"),
    [
        ("Europe/Paris", 1, 2),
        ("America/New_York", -5, -4),
        ("Australia/Sydney", 11, 10),
        ("Asia/Kolkata", 5.5, 5.5),
        ("UTC", 0, 0),
    ],
)
def test_a_zone_on_offer_tells_winter_and_summer_as_its_place_does(
    browser: TestClient, desk: Desk, zone: str, winter_h: float, summer_h: float
) -> None:
    assert zone in offered()

    browser.post("/account/zone", data={"zone": zone})

    january, july = datetime(2026, 1, 15, 12, tzinfo=UTC), datetime(2026, 7, 15, 12, tzinfo=UTC)
    assert january.astimezone(desk.zone).utcoffset() == timedelta(hours=winter_h)
    assert july.astimezone(desk.zone).utcoffset() == timedelta(hours=summer_h)


def test_places_are_offered_under_their_continent_or_ocean_alone() -> None:
    areas = {name.partition("/")[0] for name in offered()}

    assert areas == {"UTC", "Africa", "America", "Antarctica", "Arctic", "Asia", "Atlantic", "Australia", "Europe", "Indian", "Pacific"}  # fmt: skip
    assert len(offered()) > 300


def test_places_are_listed_by_their_own_name_wherever_they_lie() -> None:
    listed = [words for _, words in choices()]

    assert listed[0] == "Universal time, UTC"
    assert listed[1:] == sorted(listed[1:])
    assert "Lisbon, Europe" in listed
    assert "Buenos Aires, Argentina, America" in listed


def test_a_zone_that_is_gone_by_and_not_offered_stays_chosen(
    browser: TestClient, desk: Desk
) -> None:
    desk.zones.name = "US/Eastern"

    assert "<option selected>US/Eastern</option>" in browser.get("/account").text


@pytest.fixture
def without_zones(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A computer that has no table of zones."""
    monkeypatch.setitem(sys.modules, "tzdata", None)
    zoneinfo.reset_tzpath(to=[])
    for cached in (_places, choices):
        cached.cache_clear()
    ZoneInfo.clear_cache()
    yield
    zoneinfo.reset_tzpath()
    for cached in (_places, choices):
        cached.cache_clear()
    ZoneInfo.clear_cache()


@pytest.mark.usefixtures("without_zones")
def test_universal_time_needs_no_table_of_zones(browser: TestClient, desk: Desk) -> None:
    answer = browser.post("/account/zone", data={"zone": "UTC"})

    opened = open_desk(desk.folder, clock=desk.clock)
    opened.close()
    assert answer.status_code == 303
    assert (opened.zone, opened.zones.name) == (UTC, "UTC")


def test_a_zone_that_was_chosen_and_is_not_known_is_named_until_one_is_chosen(
    browser: TestClient, desk: Desk
) -> None:
    with desk.database.writing() as connection:
        texts.keep(connection, "setting", "time zone", "Atlantis/Harbour", by="x", now=noon())
    opened = open_desk(desk.folder, clock=desk.clock, zone=ZoneInfo("Europe/Paris"))

    with TestClient(application(opened), base_url="https://desk", headers=dict(browser.headers), cookies=browser.cookies) as again:  # fmt: skip
        before = [again.get(each).text for each in ("/", "/account")]
        again.post("/account/zone", data={"zone": "Europe/Lisbon"})
        after = [again.get(each).text for each in ("/", "/account")]
    opened.close()

    assert all("Atlantis/Harbour" in each for each in before)
    assert "Times are written and shown in the zone Europe/Paris instead" in before[0]
    assert not any("Atlantis/Harbour" in each for each in after)


def test_a_correction_leaves_the_hour_that_nobody_touched(browser: TestClient, desk: Desk) -> None:
    # The second of the two hours that Paris calls 02:00 on that day.
    began = datetime(2025, 10, 26, 2, 30, tzinfo=timezone(timedelta(hours=1)))
    browser.post("/account/zone", data={"zone": "Europe/Paris"})
    visit = entry(2, Conditions(lying="ashore", began=began))
    desk.surveys.add([visit])
    form = {"lying": "ashore", "began": "2025-10-26T02:30:00", "notes": "Rain.", "why": "forgotten", "of": visit.id}  # fmt: skip

    answer = browser.post(f"/s/{SURVEY}/entry/{visit.id}", data=form)

    assert answer.status_code == 303
    assert survey_of(desk).last(Conditions) == Conditions(lying="ashore", began=began, notes="Rain.")  # fmt: skip


def test_a_photograph_written_up_keeps_the_time_that_nobody_touched(
    browser: TestClient, desk: Desk
) -> None:
    taken = datetime(2025, 5, 12, 9, 41, 7, 123456, tzinfo=UTC)
    photo = entry(2, Photo(number=1, file="a.jpg", sha256=SHA, media_type="image/jpeg", caption="", taken=taken))  # fmt: skip
    desk.surveys.add([photo])
    shown = texts_of(photo.body, desk.zone)["taken"]
    form = {"taken": shown, "caption": "Bow.", "of": photo.id}

    answer = browser.post(f"/s/{SURVEY}/photo/{photo.id}", data=form)

    assert answer.status_code == 303
    (kept,) = survey_of(desk).bodies(Photo)
    assert (kept.caption, kept.taken) == ("Bow.", taken)


def test_a_visit_by_the_clock_of_the_desk_has_its_zone_in_other_seasons_as_well(
    browser: TestClient, desk: Desk
) -> None:
    browser.post("/account/zone", data={"zone": "Europe/Paris"})
    visit = {"lying": "ashore", "began": "2026-05-11T09:00", "back": f"/s/{SURVEY}/"}
    browser.post(f"/s/{SURVEY}/add/conditions", data=visit)

    there = visit_zone(desk, survey_of(desk))

    assert there == ZoneInfo("Europe/Paris")
