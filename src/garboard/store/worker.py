"""The worker: does the jobs of the queue, one after the other, in threads beside the server.

Raises:
    Cancelled: In a job's function, out of `Handle.progress`, when it shall end.
"""

import json
import logging
import threading
from collections.abc import Callable, Mapping
from concurrent.futures import Future, wait
from contextlib import suppress
from datetime import timedelta
from typing import Any

from garboard.notebook.problem import Refused
from garboard.store import jobs
from garboard.store.clock import Clock
from garboard.store.database import Database
from garboard.store.jobs import Claim, Job, Lost

_LOOKS_EVERY_S = 1.0
_UNFORESEEN = (
    "Something went wrong that should not have; what it was stands in the log of the server."
)

log = logging.getLogger(__name__)


class Cancelled(Exception):
    """A job shall end before it is done; a function lets this pass."""


class Handle:
    """What a job's function holds of its job."""

    def __init__(self, database: Database, claim: Claim, job: Job, stop: threading.Event) -> None:
        """Stand for one try of a job."""
        self.job = job
        self._database = database
        self._claim = claim
        self._stop = stop

    @property
    def is_cancelled(self) -> bool:
        """Whether the function shall end; it then raises `Cancelled`."""
        if self._stop.is_set():
            return True
        with self._database.reading() as connection:
            return jobs.is_cancel_asked(connection, self._claim)

    @property
    def is_stopped(self) -> bool:
        """Whether it shall end only because the worker does, to be begun again."""
        return self._stop.is_set()

    def progress(self, words: str, share: float | None = None) -> None:
        """Say what is being done.

        Args:
            words: As "Setting the pages".
            share: How much of the whole is done, 0 to 1; None for as much as before.

        Raises:
            Cancelled: The job shall end.
        """
        if self.is_cancelled:
            raise Cancelled
        # It is only said; that it could not be said ends no job.
        with suppress(Lost, Refused), self._database.writing() as connection:
            jobs.progress(connection, self._claim, words, share)


Function = Callable[[Handle], Any]
"""Does one kind of job and gives its result, made of JSON values; says in `Refused` why it cannot be done."""


class Worker:
    """Does jobs of the kinds it has functions for."""

    def __init__(
        self,
        database: Database,
        functions: Mapping[str, Function],
        clock: Clock,
        *,
        lease: timedelta = jobs.LEASE,
    ) -> None:
        """Stand ready; `start` begins."""
        self._database = database
        self._functions = functions
        self._clock = clock
        self._lease = lease
        self._stop = threading.Event()
        self._wake = threading.Event()
        self._thread = threading.Thread(target=self._run, name="worker", daemon=True)

    def start(self) -> None:
        """Begin to look for jobs."""
        self._thread.start()

    def wake(self) -> None:
        """Look for a job now, rather than within a second."""
        self._wake.set()

    def stop(self, within_s: float = 10.0) -> None:
        """Take no further job; the one being done is put back unless it ends, or does not listen, within a time.

        A function that does not listen is left to itself: its lease runs out, and the job is begun again.
        """
        self._stop.set()
        self._wake.set()
        self._thread.join(within_s)

    def run_one(self) -> bool:
        """Do the next job to its end, and give whether there was one."""
        with self._database.writing() as connection:
            claimed = jobs.claim(
                connection, self._functions.keys(), now=self._clock(), lease=self._lease
            )
        if claimed is None:
            return False
        claim, job = claimed
        outcome: Future[Any] = Future()
        handle = Handle(self._database, claim, job, self._stop)
        threading.Thread(
            target=self._do, args=(handle, outcome), name=f"job {job.id}", daemon=True
        ).start()
        self._attend(claim, outcome)
        with suppress(Lost):
            self._close(claim, outcome)
        return True

    def _run(self) -> None:
        while not self._stop.is_set():
            try:
                is_busy = self.run_one()
            except Exception:
                # Out of reach for a while: the jobs are still in the store, and nobody else would do them.
                log.warning("A job could not be taken or closed", exc_info=True)
                is_busy = False
            if not is_busy:
                self._wake.wait(_LOOKS_EVERY_S)
                # After the wait: who is told to stop meanwhile is not kept waiting.
                self._wake.clear()

    def _do(self, handle: Handle, outcome: "Future[Any]") -> None:
        try:
            result = self._functions[handle.job.kind](handle)
            json.dumps(result)
        except BaseException as error:  # noqa: BLE001 - whatever it was, it ends this job alone
            outcome.set_exception(error)
        else:
            outcome.set_result(result)

    def _attend(self, claim: Claim, outcome: "Future[Any]") -> None:
        """Renew the lease until the function has ended."""
        while not wait([outcome], self._lease.total_seconds() / 3).done:
            with suppress(Lost, Refused), self._database.writing() as connection:
                jobs.renew(connection, claim, now=self._clock(), lease=self._lease)

    def _close(self, claim: Claim, outcome: "Future[Any]") -> None:
        """Write down how a job ended."""
        error = outcome.exception()
        if error is not None and not isinstance(error, Cancelled | Refused):
            log.error("Job %d failed", claim.job, exc_info=error)
        now = self._clock()
        with self._database.writing() as connection:
            match error:
                case None:
                    jobs.finish(connection, claim, outcome.result(), now)
                case Cancelled() if self._stop.is_set() and not jobs.is_cancel_asked(
                    connection, claim
                ):
                    jobs.put_back(connection, claim)
                case Cancelled():
                    jobs.cancelled(connection, claim, now)
                case Refused():
                    jobs.fail(connection, claim, str(error), now)
                case _:
                    jobs.fail(connection, claim, _UNFORESEEN, now)
