"""What a surveyor brings along from earlier jobs: the own name and qualification, and the instruments."""

from garboard.desk.context import Desk
from garboard.judgement.gaps import is_surveyor
from garboard.notebook.body import Instrument, Person
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.store import entries
from garboard.store.accounts import User

SURVEYOR = "surveyor"


def own_person(desk: Desk, user: User, survey: str = "") -> Person:
    """Somebody signed in as the surveyor of a job, qualified as in the last one."""
    last = _last_with(desk, user, "person", survey)
    people = last.bodies(Person) if last else ()
    own = [each for each in people if each.name == user.name and is_surveyor(each)]
    return own[-1] if own else Person(name=user.name, role=SURVEYOR)


def instruments_of_last_job(desk: Desk, user: User, survey: Survey) -> tuple[Entry[Instrument], ...]:  # fmt: skip
    """The instruments of somebody's last job that the survey at hand does not name yet."""
    last = _last_with(desk, user, "instrument", survey.id)
    here = {each.name for each in survey.bodies(Instrument)}
    return tuple(e for e in last.of(Instrument) if e.body.name not in here) if last else ()


def _last_with(desk: Desk, user: User, kind: str, but: str) -> Survey | None:
    """The last survey but one in which somebody wrote an entry of a kind."""
    with desk.database.reading() as connection:
        found = entries.last_survey_with(connection, user.name, kind, but=but)
    return desk.surveys.get(found) if found else None
