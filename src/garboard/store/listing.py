"""Surveys as a list shows them: one row each, worked out when entries are added."""

from collections.abc import Collection
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Connection, Row, func, literal, select

from garboard.judgement.steps import Stage, step_of
from garboard.notebook.body import Boat
from garboard.notebook.fold import Survey
from garboard.store.tables import INSERT, surveys
from garboard.store.words import squeezed


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A survey in a list.

    `boat`, `identity_number`, `client` and `purpose` are empty while nobody has stated them. `stage`, `day`,
    `due`, `visit` and `waits_for` are those of its next step. `last_seq` is the arrival up to which this row
    speaks, `digest` that of the survey.
    """

    survey: str
    boat: str
    identity_number: str
    client: str
    purpose: str
    stage: Stage
    day: date | None
    due: date | None
    visit: date | None
    waits_for: str
    changed_at: datetime
    last_seq: int
    digest: str


_SHOWN = select(surveys).order_by(surveys.c.changed_at.desc(), surveys.c.survey.desc())
_BY_DAY = select(surveys).order_by(
    surveys.c.day.is_(None), surveys.c.day, surveys.c.changed_at.desc(), surveys.c.survey.desc()
)


def latest(connection: Connection, *, limit: int = 100, skip: int = 0) -> tuple[Listed, ...]:
    """The surveys, latest changed first."""
    return tuple(_listed(row) for row in connection.execute(_SHOWN.limit(limit).offset(skip)))


def at_stage(
    connection: Connection, stage: Stage, *, limit: int = 100, skip: int = 0
) -> tuple[Listed, ...]:
    """The surveys at a stage, those with the earliest day first, those without a day last."""
    query = _BY_DAY.where(surveys.c.stage == stage).limit(limit).offset(skip)
    return tuple(_listed(row) for row in connection.execute(query))


def counts(connection: Connection) -> dict[Stage, int]:
    """How many surveys there are at each stage where there is one."""
    query = select(surveys.c.stage, func.count().label("total")).group_by(surveys.c.stage)
    return {row.stage: row.total for row in connection.execute(query.order_by(surveys.c.stage))}


def with_a_day(connection: Connection, *, limit: int = 100) -> tuple[Listed, ...]:
    """The surveys whose next step has a day, the earliest first."""
    query = _BY_DAY.where(surveys.c.day.is_not(None)).limit(limit)
    return tuple(_listed(row) for row in connection.execute(query))


def of_boat(connection: Connection, name: str) -> tuple[Listed, ...]:
    """The surveys of boats that bear a name or number, latest changed first.

    Args:
        connection: Of any transaction.
        name: The whole of it, squeezed as `words.squeezed` gives it; not empty.
    """
    names = literal(" ") + surveys.c.names + " "
    query = _SHOWN.where(names.contains(f" {name} "))
    return tuple(_listed(row) for row in connection.execute(query))


def one(connection: Connection, survey: str) -> Listed | None:
    """A survey as a list shows it, or None where no entry of it is held."""
    row = connection.execute(_SHOWN.where(surveys.c.survey == survey)).one_or_none()
    return None if row is None else _listed(row)


def chosen(connection: Connection, ids: Collection[str]) -> tuple[Listed, ...]:
    """The surveys with these ids, few enough for a page, latest changed first."""
    return tuple(
        _listed(row) for row in connection.execute(_SHOWN.where(surveys.c.survey.in_(ids)))
    )


def order(connection: Connection) -> tuple[str, ...]:
    """The ids of all surveys, latest changed first."""
    return tuple(connection.scalars(_SHOWN.with_only_columns(surveys.c.survey)))


def named(connection: Connection, part: str) -> frozenset[str]:
    """The ids of surveys whose boat has this in her name or a number.

    Args:
        connection: Of any transaction.
        part: Squeezed, as `words.squeezed` gives it; not empty.
    """
    query = _SHOWN.with_only_columns(surveys.c.survey).where(surveys.c.names.contains(part))
    return frozenset(connection.scalars(query))


def of_survey(survey: Survey, *, changed_at: datetime, last_seq: int, digest: str) -> Listed:
    """A folded survey as a list shows it."""
    instruction, boat, step = survey.instruction, survey.boat, step_of(survey)
    return Listed(
        survey=survey.id,
        boat=boat.name if boat else "",
        identity_number=boat.identity_number if boat else "",
        client=instruction.client if instruction else "",
        purpose=instruction.purpose if instruction else "",
        stage=step.stage,
        day=step.day,
        due=step.due,
        visit=step.visit,
        waits_for=step.waits_for,
        changed_at=changed_at,
        last_seq=last_seq,
        digest=digest,
    )


def refresh(connection: Connection, row: Listed, survey: Survey) -> None:
    """Keep the row of a survey, in place of the one before; all her names that stand can be searched."""
    names = (
        squeezed(each)
        for boat in survey.bodies(Boat)
        for each in (boat.name, boat.identity_number, boat.registration)
    )
    values: dict[str, Any] = {**asdict(row), "names": " ".join(filter(None, names))}
    statement = INSERT[connection.dialect.name](surveys).values(values)
    connection.execute(statement.on_conflict_do_update(index_elements=["survey"], set_=values))


def _listed(row: Row[Any]) -> Listed:
    held = dict(row._mapping)
    del held["names"]
    return Listed(**held)
