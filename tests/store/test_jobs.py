"""A job is done once, or it is said why not, whatever ends in between."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from cast import DAY, OTHER_SURVEY, SURVEY

from garboard.store import jobs
from garboard.store.folder import Store
from garboard.store.jobs import Claim, Job, Lost

MINUTE = timedelta(minutes=1)


def enqueue(store: Store, kind: str = "report", survey: str | None = SURVEY) -> int:
    with store.database.writing() as connection:
        return jobs.enqueue(connection, kind, {"formats": ["pdf"]}, survey=survey, now=DAY)


def claim(store: Store, now: datetime = DAY, kinds: tuple[str, ...] = ("report",)) -> Claim | None:
    with store.database.writing() as connection:
        claimed = jobs.claim(connection, kinds, now=now, lease=MINUTE)
    return claimed[0] if claimed else None


def claimed(store: Store, now: datetime = DAY) -> Claim:
    found = claim(store, now)
    assert found is not None
    return found


def job(store: Store, number: int) -> Job:
    with store.database.reading() as connection:
        found = jobs.get(connection, number)
    assert found is not None
    return found


def act(store: Store, function: Any, *arguments: Any, **named: Any) -> None:
    with store.database.writing() as connection:
        function(connection, *arguments, **named)


def test_jobs_are_claimed_once_each_oldest_first_by_those_who_can_do_them(store: Store) -> None:
    first, copy, second = enqueue(store), enqueue(store, "copies"), enqueue(store)

    assert [claimed(store).job, claimed(store).job, claim(store)] == [first, second, None]
    assert claim(store, kinds=("copies",)) == Claim(job=copy, number=1)


def test_what_a_job_was_told_and_gave_comes_back(store: Store) -> None:
    number = enqueue(store)
    mine = claimed(store)

    act(store, jobs.progress, mine, "Setting the pages", 0.4)
    running = job(store, number)
    act(store, jobs.finish, mine, {"files": ["a.pdf"]}, DAY + MINUTE)
    done = job(store, number)

    assert (running.state, running.words, running.share) == ("running", "Setting the pages", 0.4)
    assert running.arguments == {"formats": ["pdf"]}
    assert (done.state, done.result, done.share) == ("done", {"files": ["a.pdf"]}, 1.0)
    assert (done.ended_at, done.lease_until) == (DAY + MINUTE, None)


def test_a_failure_says_why(store: Store) -> None:
    number = enqueue(store)

    act(store, jobs.fail, claimed(store), "The boat is missing.", DAY)

    assert (job(store, number).state, job(store, number).error) == ("failed", "The boat is missing.")  # fmt: skip


def test_a_job_whose_lease_ran_out_is_begun_again_and_the_first_claim_is_lost(store: Store) -> None:
    enqueue(store)
    first = claimed(store)
    assert claim(store, DAY + MINUTE) is None

    second = claimed(store, DAY + MINUTE * 1.1)

    assert (second.job, second.number) == (first.job, 2)
    with pytest.raises(Lost):
        act(store, jobs.renew, first, now=DAY)
    with pytest.raises(Lost):
        act(store, jobs.finish, first, "x", DAY)
    with pytest.raises(Lost):
        act(store, jobs.fail, first, "x", DAY)
    act(store, jobs.finish, second, None, DAY)


def test_a_lease_that_is_renewed_does_not_run_out(store: Store) -> None:
    enqueue(store)
    mine = claimed(store)

    act(store, jobs.renew, mine, now=DAY + MINUTE, lease=MINUTE)

    assert claim(store, DAY + MINUTE * 1.9) is None
    assert claim(store, DAY + MINUTE * 2.1) is not None


def test_a_job_that_ends_its_program_each_time_is_failed_in_words(store: Store) -> None:
    number = enqueue(store)
    for again in range(3):
        claimed(store, DAY + MINUTE * 2 * again)

    assert claim(store, DAY + MINUTE * 9) is None

    failed = job(store, number)
    assert failed.state == "failed"
    assert failed.error is not None
    assert failed.error.startswith("This was begun 3 times, and each time the program ended")


def test_a_job_nobody_has_begun_is_cancelled_at_once(store: Store) -> None:
    number = enqueue(store)

    act(store, jobs.ask_cancel, number, DAY)

    assert job(store, number).state == "cancelled"
    assert claim(store) is None


def test_a_running_job_is_asked_and_ends_when_it_looks(store: Store) -> None:
    number = enqueue(store)
    mine = claimed(store)

    act(store, jobs.ask_cancel, number, DAY)
    assert job(store, number).state == "running"
    with store.database.reading() as connection:
        assert jobs.is_cancel_asked(connection, mine)
    act(store, jobs.cancelled, mine, DAY)

    assert job(store, number).state == "cancelled"


def test_a_job_asked_to_end_is_not_begun_again_after_a_crash(store: Store) -> None:
    number = enqueue(store)
    claimed(store)
    act(store, jobs.ask_cancel, number, DAY)

    assert claim(store, DAY + MINUTE * 2) is None
    assert job(store, number).state == "cancelled"


def test_a_job_that_has_ended_stays_as_it_ended(store: Store) -> None:
    number = enqueue(store)
    mine = claimed(store)
    act(store, jobs.finish, mine, None, DAY)

    act(store, jobs.ask_cancel, number, DAY)

    assert job(store, number).state == "done"
    with pytest.raises(Lost):
        act(store, jobs.progress, mine, "Still at it", None)


def test_jobs_are_listed_newest_first_for_all_or_for_one_survey(store: Store) -> None:
    first, other, second = enqueue(store), enqueue(store, survey=OTHER_SURVEY), enqueue(store)

    with store.database.reading() as connection:
        assert [each.id for each in jobs.recent(connection)] == [second, other, first]
        assert [each.id for each in jobs.recent(connection, survey=SURVEY)] == [second, first]
        assert [each.id for each in jobs.recent(connection, limit=1)] == [second]
