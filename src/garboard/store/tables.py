"""Every table of the store.

`entries` only grows: triggers of the database refuse any change. What `surveys` and `passages` hold is derived
from it and may be written again at any time. Secrets are kept as hashes alone.
"""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    JSON,
    Boolean,
    Column,
    Date,
    DateTime,
    Dialect,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)
from sqlalchemy.dialects import postgresql, sqlite

INSERT: Mapping[str, Callable[[Table], Any]] = {
    "sqlite": sqlite.insert,
    "postgresql": postgresql.insert,
}
"""The insert that knows `on_conflict`, by the name of the dialect."""


class Moment(TypeDecorator[datetime]):
    """A time with its zone, kept as UTC, so that comparing rows is comparing times."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The time in UTC; SQLite keeps no zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value.isoformat()} has no zone; the store keeps none without.")
        kept = value.astimezone(UTC)
        return kept.replace(tzinfo=None) if dialect.name == "sqlite" else kept

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The time in UTC, aware."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    }
)

# The truth

entries = Table(
    "entries",
    metadata,
    Column("seq", Integer, primary_key=True, autoincrement=True),
    Column("id", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("survey", Text, nullable=False),
    Column("at", Moment, nullable=False),
    Column("author", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("line", Text, nullable=False),
    Column("received_at", Moment, nullable=False),
    # One content under one id is one entry; two contents are two rows, and the fold shows the clash.
    UniqueConstraint("id", "sha256"),
    Index(None, "survey", "seq"),
    Index(None, "author", "kind", "seq"),
    sqlite_autoincrement=True,
)

blobs = Table(
    "blobs",
    metadata,
    Column("sha256", Text, primary_key=True),
    Column("size", Integer, nullable=False),
    Column("media_type", Text, nullable=False),
    Column("received_at", Moment, nullable=False),
)

# Derived from the entries

surveys = Table(
    "surveys",
    metadata,
    Column("survey", Text, primary_key=True),
    Column("boat", Text, nullable=False),
    Column("identity_number", Text, nullable=False),
    Column("names", Text, nullable=False),
    Column("client", Text, nullable=False),
    Column("purpose", Text, nullable=False),
    Column("stage", Text, nullable=False),
    Column("due", Date),
    Column("visit", Date),
    Column("changed_at", Moment, nullable=False, index=True),
    Column("last_seq", Integer, nullable=False),
    Column("digest", Text, nullable=False),
    Column("day", Date),
    Column("waits_for", Text, nullable=False, server_default=""),
    Index(None, "stage", "day"),
)

passages = Table(
    "passages",
    metadata,
    Column("seq", Integer, ForeignKey("entries.seq"), primary_key=True, autoincrement=False),
    Column("survey", Text, nullable=False, index=True),
    Column("text", Text, nullable=False),
)

# What surveyors write for themselves

texts = Table(
    "texts",
    metadata,
    Column("seq", Integer, primary_key=True, autoincrement=True),
    Column("kind", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("text", Text, nullable=False),
    Column("sha256", Text, nullable=False, index=True),
    Column("made_by", Text, nullable=False),
    Column("made_at", Moment, nullable=False),
    UniqueConstraint("kind", "name", "version"),
    sqlite_autoincrement=True,
)

# Who may come in

users = Table(
    "users",
    metadata,
    Column("id", Text, primary_key=True),
    Column("sign_in", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("password_hash", Text),
    Column("created_at", Moment, nullable=False),
    Column("closed_at", Moment),
)

passkeys = Table(
    "passkeys",
    metadata,
    Column("credential_id", LargeBinary, primary_key=True),
    Column("user", Text, ForeignKey("users.id"), nullable=False, index=True),
    Column("name", Text, nullable=False),
    Column("public_key", LargeBinary, nullable=False),
    Column("sign_count", Integer, nullable=False),
    Column("created_at", Moment, nullable=False),
    Column("used_at", Moment),
)

sessions = Table(
    "sessions",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("token_hash", Text, nullable=False, unique=True),
    Column("user", Text, ForeignKey("users.id"), nullable=False, index=True),
    Column("device", Text, nullable=False),
    Column("created_at", Moment, nullable=False),
    Column("seen_at", Moment, nullable=False),
    Column("revoked_at", Moment),
    sqlite_autoincrement=True,
)

one_time_links = Table(
    "one_time_links",
    metadata,
    Column("token_hash", Text, primary_key=True),
    Column("purpose", Text, nullable=False),
    Column("subject", Text, nullable=False),
    Column("created_at", Moment, nullable=False),
    Column("expires_at", Moment, nullable=False),
    Column("used_at", Moment),
)

acceptance_links = Table(
    "acceptance_links",
    metadata,
    Column("token_hash", Text, primary_key=True),
    Column("survey", Text, nullable=False, index=True),
    Column("terms_sha256", Text, nullable=False),
    Column("created_at", Moment, nullable=False),
    Column("expires_at", Moment, nullable=False),
    Column("accepted_at", Moment),
    Column("withdrawn_at", Moment),
)

attempts = Table(
    "attempts",
    metadata,
    Column("key", Text, primary_key=True),
    Column("failures", Integer, nullable=False),
    Column("last_at", Moment, nullable=False, index=True),
)

# Work that takes longer than a request

jobs = Table(
    "jobs",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("arguments", JSON, nullable=False),
    Column("survey", Text, index=True),
    Column("state", Text, nullable=False, index=True),
    Column("lease_until", Moment),
    Column("tries", Integer, nullable=False),
    Column("words", Text, nullable=False),
    Column("share", Float, nullable=False),
    Column("cancel_asked", Boolean, nullable=False),
    Column("result", JSON(none_as_null=True)),
    Column("error", Text),
    Column("created_at", Moment, nullable=False),
    Column("ended_at", Moment),
    sqlite_autoincrement=True,
)
