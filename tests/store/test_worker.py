"""The worker does what waits, hears when it is told to stop, and never dies of a job."""

import threading
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from cast import DAY
from store.fakes import FakeClock

from garboard.notebook.problem import Problem, Refused
from garboard.store import jobs
from garboard.store.folder import Store
from garboard.store.jobs import Job
from garboard.store.worker import Cancelled, Function, Handle, Worker

LONG_S = 30.0


def enqueue(store: Store, kind: str, **arguments: Any) -> int:
    with store.database.writing() as connection:
        return jobs.enqueue(connection, kind, arguments, now=DAY)


def job(store: Store, number: int) -> Job:
    with store.database.reading() as connection:
        found = jobs.get(connection, number)
    assert found is not None
    return found


def cancel(store: Store, number: int) -> None:
    with store.database.writing() as connection:
        jobs.ask_cancel(connection, number, DAY)


def run(store: Store, **functions: Function) -> bool:
    return Worker(store.database, functions, FakeClock()).run_one()


def test_a_job_is_done_by_its_function_and_its_result_kept(store: Store) -> None:
    number = enqueue(store, "add", numbers=[1, 2, 3])

    assert run(store, add=lambda handle: {"sum": sum(handle.job.arguments["numbers"])})

    assert (job(store, number).state, job(store, number).result) == ("done", {"sum": 6})
    assert not run(store, add=lambda _: None)


def test_what_a_function_says_can_be_read_meanwhile(store: Store) -> None:
    seen: list[tuple[str, float]] = []
    number = enqueue(store, "speak")

    def speak(handle: Handle) -> None:
        for words, share in (("Copying", 0.25), ("Setting", None), ("Signing", 7.0)):
            handle.progress(words, share)
            seen.append((job(store, number).words, job(store, number).share))

    run(store, speak=speak)

    assert seen == [("Copying", 0.25), ("Setting", 0.25), ("Signing", 1.0)]


def test_a_refusal_is_kept_in_its_own_words(store: Store) -> None:
    number = enqueue(store, "refuse")

    def refuse(_: Handle) -> None:
        raise Refused([Problem(where="boat", what="it is missing", do="Describe her")])

    run(store, refuse=refuse)

    assert (job(store, number).state, job(store, number).error) == ("failed", "boat: it is missing. Describe her.")  # fmt: skip


@pytest.mark.parametrize("function", [lambda _: 1 / 0, lambda _: object()])
def test_a_fault_of_ours_fails_the_job_and_is_logged(
    store: Store, caplog: pytest.LogCaptureFixture, function: Callable[[Handle], Any]
) -> None:
    number = enqueue(store, "break")

    run(store, **{"break": function})

    error = job(store, number).error
    assert job(store, number).state == "failed"
    assert error is not None
    assert error.startswith("Something went wrong that should not have")
    assert "Traceback" in caplog.text


def test_a_job_asked_to_end_ends_at_its_next_word(store: Store) -> None:
    number = enqueue(store, "long")

    def long(handle: Handle) -> None:
        assert not handle.is_cancelled
        cancel(store, number)
        assert handle.is_cancelled
        handle.progress("Going on")

    run(store, long=long)

    assert (job(store, number).state, job(store, number).words) == ("cancelled", "Cancelled")


def test_a_worker_takes_jobs_as_they_come_until_it_is_stopped(store: Store) -> None:
    done = threading.Semaphore(0)

    def note(_: Handle) -> None:
        done.release()

    worker = Worker(store.database, {"note": note}, FakeClock())
    worker.start()
    for _ in range(3):
        enqueue(store, "note")
        worker.wake()
        assert done.acquire(timeout=LONG_S)
    worker.stop(LONG_S)

    last = enqueue(store, "note")
    assert job(store, last).state == "ready"
    assert [job(store, number).state for number in (1, 2, 3)] == ["done"] * 3


def test_a_worker_told_to_stop_puts_its_job_back(store: Store) -> None:
    begun = threading.Event()
    number = enqueue(store, "long")

    def long(handle: Handle) -> None:
        begun.set()
        while not handle.is_cancelled:
            pass
        raise Cancelled

    worker = Worker(store.database, {"long": long}, FakeClock())
    worker.start()
    assert begun.wait(LONG_S)
    worker.stop(LONG_S)

    assert job(store, number).state == "ready"
    assert run(store, long=lambda _: "at last")
    assert job(store, number).result == "at last"


def test_the_lease_of_a_long_job_is_renewed_while_it_is_done(store: Store, clock: FakeClock) -> None:  # fmt: skip
    number = enqueue(store, "long")
    lease = timedelta(seconds=0.03)

    def long(_: Handle) -> None:
        clock.forward(timedelta(hours=1))
        while (job(store, number).lease_until or DAY) < clock.now:
            pass

    Worker(store.database, {"long": long}, clock, lease=lease).run_one()

    assert (job(store, number).state, job(store, number).tries) == ("done", 1)


def test_a_worker_outlives_what_keeps_it_from_a_job(
    store: Store, caplog: pytest.LogCaptureFixture
) -> None:
    done = threading.Event()
    faults = [OSError("no thread can be begun")]

    def clock() -> datetime:
        if faults:
            raise faults.pop()
        return DAY

    worker = Worker(store.database, {"note": lambda _: done.set()}, clock)
    enqueue(store, "note")
    worker.start()

    assert done.wait(LONG_S)
    worker.stop(LONG_S)
    assert "no thread can be begun" in caplog.text
