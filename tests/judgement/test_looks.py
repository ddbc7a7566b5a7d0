"""What is doubtful about a photograph is asked for a second look; nearly the same ones are laid together."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from cast import DAY, entry

from garboard.judgement.looks import Days, Look, alike, days_of, doubts
from garboard.notebook.body import Arrangement, Conditions, Photo, Place
from garboard.notebook.entry import Entry
from garboard.notebook.fold import fold

CLEAR = Look(width_px=1000, height_px=750, sharpness=300, pattern="00ff00ff00ff00ff")
PHOTO = Photo(number=1, file="a.jpg", sha256="0", media_type="image/jpeg", caption="", taken=DAY)


def test_a_photograph_with_nothing_doubtful_is_left_alone() -> None:
    assert doubts(PHOTO, CLEAR, Days(dates=frozenset({DAY.date()}))) == ()
    assert doubts(PHOTO, None, Days()) == ()


@pytest.mark.parametrize(
    ("look", "words"),
    [
        (replace(CLEAR, sharpness=5), ("it looks out of focus or shaken",)),
        (replace(CLEAR, sharpness=5, dark_share=0.9), ("most of it is too dark to show anything",)),
        (replace(CLEAR, burnt_share=0.5), ("much of it is burnt out to white",)),
        (Look(width_px=1, height_px=1, problem="its file ends too early"), ("no copy of it can be shown: its file ends too early",)),
    ],
)  # fmt: skip
def test_what_the_picture_lacks_is_said_once(look: Look, words: tuple[str, ...]) -> None:
    assert doubts(PHOTO, look, Days()) == words


def test_a_missing_or_strange_time_is_said() -> None:
    visit = Conditions(lying="ashore", began=DAY, ended=DAY + timedelta(hours=5))
    days = days_of(fold([entry(1, visit)]))

    assert doubts(replace(PHOTO, taken=None), CLEAR, days) == ("the camera's time is missing",)
    assert doubts(replace(PHOTO, taken=DAY + timedelta(days=1)), CLEAR, days) == ("taken on 13 May 2026, which is no day of the survey",)  # fmt: skip


def test_a_survey_has_the_days_of_its_visits_as_they_were_lived_there() -> None:
    west = timezone(timedelta(hours=-8))
    late = datetime(2026, 5, 12, 20, tzinfo=west)
    visit = Conditions(lying="afloat", began=late, ended=datetime(2026, 5, 14, 9, tzinfo=UTC))

    days = days_of(fold([entry(1, visit)]))

    assert days.dates == {date(2026, 5, 12), date(2026, 5, 13), date(2026, 5, 14)}


def test_a_camera_left_on_another_clock_took_its_photographs_on_the_day_they_were_taken() -> None:
    east = timezone(timedelta(hours=12))
    morning = datetime(2026, 5, 12, 9, tzinfo=east)
    days = days_of(fold([entry(1, Conditions(lying="ashore", began=morning))]))

    # The day before, by the camera's own calendar.
    assert doubts(replace(PHOTO, taken=morning.astimezone(UTC)), CLEAR, days) == ()


def test_while_no_visit_is_recorded_the_day_agreed_is_its_day() -> None:
    agreed = Arrangement(what="visit", words="At eight.", on=DAY.date())

    assert days_of(fold([entry(1, agreed)])).dates == {DAY.date()}


def shot(number: int, pattern: str, seconds: int = 0, place: Place | None = None) -> tuple[Entry[Photo], Look]:  # fmt: skip
    photo = replace(PHOTO, number=number, taken=DAY + timedelta(seconds=seconds), place=place)
    return entry(number, photo), replace(CLEAR, pattern=pattern)


def groups(*photos: tuple[Entry[Photo], Look]) -> list[list[int]]:
    numbers = {found.id: found.body.number for found, _ in photos}
    return [[numbers[each] for each in group] for group in alike(photos)]


SAME, LIKE, OTHER = "00ff00ff00ff00ff", "00ff00ff00ff00f0", "f0f0f0f0f0f0f0f0"


def test_nearly_the_same_pictures_of_one_moment_lie_together_by_number() -> None:
    found = groups(shot(4, LIKE, 20), shot(2, SAME), shot(3, OTHER, 10), shot(5, SAME, 30), shot(6, OTHER, 40))  # fmt: skip

    assert found == [[2, 4, 5], [3, 6]]


def test_a_like_picture_of_another_time_or_part_is_another_picture() -> None:
    port, starboard = (Place(part="seacock", side=side) for side in ("port", "starboard"))

    assert groups(shot(1, SAME), shot(2, SAME, 300)) == []
    assert groups(shot(1, SAME, place=port), shot(2, SAME, place=starboard)) == []
    assert groups(shot(1, SAME, place=port), shot(2, SAME)) == [[1, 2]]


def test_only_so_many_before_are_compared() -> None:
    between = [shot(number, OTHER) for number in range(2, 20)]

    assert [1, 30] not in groups(shot(1, SAME), *between, shot(30, SAME))


def test_what_could_not_be_measured_is_like_no_other() -> None:
    assert groups(shot(1, ""), shot(2, "")) == []
