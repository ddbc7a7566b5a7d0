"""What a surveyor brings along from earlier jobs: the own name and qualification, and the instruments."""

from datetime import datetime, timedelta

from garboard.desk.context import Desk
from garboard.judgement.gaps_of_job import is_surveyor
from garboard.notebook.body import Instrument, Person, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.store import entries
from garboard.store.accounts import User

SURVEYOR = "surveyor"

IN_USE = timedelta(days=2 * 365)
"""An instrument that no job named for so long is in use no more."""


def own_person(desk: Desk, user: User, survey: str = "") -> Person:
    """Somebody signed in as the surveyor of a job, qualified as in the last one."""
    found = _surveys_with(desk, user, "person", survey)
    last = desk.surveys.get(found[0]) if found else None
    people = last.bodies(Person) if last else ()
    own = [each for each in people if each.name == user.name and is_surveyor(each)]
    return own[-1] if own else Person(name=user.name, role=SURVEYOR)


def own_instruments(
    desk: Desk, user: User, survey: Survey
) -> tuple[tuple[Entry[Instrument], datetime], ...]:
    """The instruments that somebody has in use and the survey at hand does not name yet.

    Each as it was described last, with when it was used last, by that, the latest first.
    """
    described: dict[str, Entry[Instrument]] = {}
    used: dict[str, datetime] = {}
    for id_ in _surveys_with(desk, user, "instrument", survey.id):
        job = desk.surveys.get(id_)
        for entry in job.of(Instrument) if job else ():
            if job and entry.author == user.name:
                name = entry.body.name
                held = described.get(name, entry)
                described[name] = max(held, entry, key=lambda each: each.at)
                used[name] = max(used.get(name, entry.at), *_uses(job, name), job.done_at(entry))
    here = {each.name for each in survey.bodies(Instrument)}
    since = desk.now() - IN_USE
    found = [(each, used[name]) for name, each in described.items() if name not in here]
    return tuple(
        sorted((each for each in found if each[1] >= since), key=lambda each: each[1], reverse=True)
    )


def _uses(job: Survey, name: str) -> tuple[datetime, ...]:
    read = (each for each in job.of(ReadingSet) if each.body.instrument == name)
    return tuple(map(job.done_at, read))


def _surveys_with(desk: Desk, user: User, kind: str, but: str) -> tuple[str, ...]:
    """The surveys but one in which somebody wrote an entry of a kind, the latest first."""
    with desk.database.reading() as connection:
        return entries.surveys_with(connection, user.name, kind, but=but)
