"""What the survey states of an instrument: its calibration, and the checks before and after it was used."""

from datetime import date, timedelta

from cast import DAY, entry

from garboard.methods.instrument import checks_round, is_overdue, stated
from garboard.notebook.body import Instrument, InstrumentCheck, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey, fold

METER = Instrument(name="meter", described="a meter", quantity="moisture", unit="scale", due=date(2026, 5, 12))  # fmt: skip


def check(number: int, when: str, hour: float, instrument: str = "meter") -> Entry[InstrumentCheck]:
    body = InstrumentCheck(instrument=instrument, on="check plate", when=when)  # type: ignore[arg-type]
    return entry(number, body, at=DAY + timedelta(hours=hour))


def read(number: int = 50, hour: float = 2) -> Entry[ReadingSet]:
    body = ReadingSet(name="hull", quantity="moisture", unit="scale", instrument="meter", readings=())  # fmt: skip
    return entry(number, body, at=DAY + timedelta(hours=hour))


def numbers(survey: Survey, of: Entry[ReadingSet]) -> list[str | None]:
    return [each.id if each else None for each in checks_round(survey, of)]


def test_the_nearest_checks_before_and_after_are_found() -> None:
    of, first, during, last = read(), check(1, "before", 0), check(2, "during", 1), check(3, "after", 5)  # fmt: skip

    found = fold([of, first, during, last, check(4, "after", 7), check(5, "before", 1.9, "gauge")])

    assert numbers(found, of) == [during.id, last.id]


def test_a_check_noted_in_the_evening_counts_by_what_it_says() -> None:
    of, noted = read(), check(1, "before", 9)

    assert numbers(fold([of, noted]), of) == [noted.id, None]


def test_the_checks_of_another_survey_do_not_count() -> None:
    of = read()

    assert numbers(fold([of, check(1, "before", -24 * 300)]), of) == [None, None]


def test_a_correction_of_the_set_leaves_its_checks() -> None:
    of, after = read(), check(3, "after", 5)
    mended = entry(60, of.body, replaces=(50,), at=DAY + timedelta(days=3))

    assert numbers(fold([of, after, mended]), mended) == [None, after.id]


def test_calibration_is_overdue_from_the_day_after_it_was_due() -> None:
    assert not is_overdue(METER, date(2026, 5, 12))
    assert is_overdue(METER, date(2026, 5, 13))


def test_what_was_stated_last_of_an_instrument_holds() -> None:
    first, again = entry(1, METER), entry(2, METER)

    assert stated(fold([first, again]), "meter") == again
    assert stated(fold([first]), "gauge") is None
