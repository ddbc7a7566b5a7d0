"""The first tables: entries that only grow, what is derived from them, accounts, jobs, files."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

_MOMENT = sa.DateTime(timezone=True)
_NEVER = "an entry is never changed and never removed; write a new one that replaces it"


def upgrade() -> None:
    """Make the tables and their triggers."""
    _truth()
    _derived()
    _accounts()
    _jobs()
    if op.get_bind().dialect.name == "sqlite":
        _sqlite()
    else:
        _postgresql()


def _truth() -> None:
    op.create_table(
        "entries",
        sa.Column("seq", sa.Integer, autoincrement=True),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("survey", sa.Text, nullable=False),
        sa.Column("at", _MOMENT, nullable=False),
        sa.Column("author", sa.Text, nullable=False),
        sa.Column("device", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("line", sa.Text, nullable=False),
        sa.Column("received_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("seq", name="pk_entries"),
        sa.UniqueConstraint("id", "sha256", name="uq_entries_id_sha256"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_entries_survey_seq", "entries", ["survey", "seq"])
    op.create_table(
        "blobs",
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("size", sa.Integer, nullable=False),
        sa.Column("media_type", sa.Text, nullable=False),
        sa.Column("received_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_blobs"),
    )


def _derived() -> None:
    op.create_table(
        "surveys",
        sa.Column("survey", sa.Text, nullable=False),
        sa.Column("boat", sa.Text, nullable=False),
        sa.Column("identity_number", sa.Text, nullable=False),
        sa.Column("names", sa.Text, nullable=False),
        sa.Column("client", sa.Text, nullable=False),
        sa.Column("purpose", sa.Text, nullable=False),
        sa.Column("stage", sa.Text, nullable=False),
        sa.Column("due", sa.Date),
        sa.Column("visit", sa.Date),
        sa.Column("changed_at", _MOMENT, nullable=False),
        sa.Column("last_seq", sa.Integer, nullable=False),
        sa.Column("digest", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("survey", name="pk_surveys"),
    )
    op.create_index("ix_surveys_changed_at", "surveys", ["changed_at"])
    op.create_table(
        "passages",
        sa.Column("seq", sa.Integer, autoincrement=False),
        sa.Column("survey", sa.Text, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("seq", name="pk_passages"),
        sa.ForeignKeyConstraint(["seq"], ["entries.seq"], name="fk_passages_seq"),
    )
    op.create_index("ix_passages_survey", "passages", ["survey"])


def _accounts() -> None:
    op.create_table(
        "users",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("sign_in", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("password_hash", sa.Text),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("closed_at", _MOMENT),
        sa.PrimaryKeyConstraint("id", name="pk_users"),
        sa.UniqueConstraint("sign_in", name="uq_users_sign_in"),
    )
    op.create_table(
        "passkeys",
        sa.Column("credential_id", sa.LargeBinary, nullable=False),
        sa.Column("user", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("public_key", sa.LargeBinary, nullable=False),
        sa.Column("sign_count", sa.Integer, nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("used_at", _MOMENT),
        sa.PrimaryKeyConstraint("credential_id", name="pk_passkeys"),
        sa.ForeignKeyConstraint(["user"], ["users.id"], name="fk_passkeys_user"),
    )
    op.create_index("ix_passkeys_user", "passkeys", ["user"])
    op.create_table(
        "sessions",
        sa.Column("id", sa.Integer),
        sa.Column("token_hash", sa.Text, nullable=False),
        sa.Column("user", sa.Text, nullable=False),
        sa.Column("device", sa.Text, nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("seen_at", _MOMENT, nullable=False),
        sa.Column("revoked_at", _MOMENT),
        sa.PrimaryKeyConstraint("id", name="pk_sessions"),
        sa.UniqueConstraint("token_hash", name="uq_sessions_token_hash"),
        sa.ForeignKeyConstraint(["user"], ["users.id"], name="fk_sessions_user"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_sessions_user", "sessions", ["user"])
    op.create_table(
        "one_time_links",
        sa.Column("token_hash", sa.Text, nullable=False),
        sa.Column("purpose", sa.Text, nullable=False),
        sa.Column("subject", sa.Text, nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("expires_at", _MOMENT, nullable=False),
        sa.Column("used_at", _MOMENT),
        sa.PrimaryKeyConstraint("token_hash", name="pk_one_time_links"),
    )
    op.create_table(
        "acceptance_links",
        sa.Column("token_hash", sa.Text, nullable=False),
        sa.Column("survey", sa.Text, nullable=False),
        sa.Column("terms_sha256", sa.Text, nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("expires_at", _MOMENT, nullable=False),
        sa.Column("accepted_at", _MOMENT),
        sa.Column("withdrawn_at", _MOMENT),
        sa.PrimaryKeyConstraint("token_hash", name="pk_acceptance_links"),
    )
    op.create_index("ix_acceptance_links_survey", "acceptance_links", ["survey"])
    op.create_table(
        "attempts",
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("failures", sa.Integer, nullable=False),
        sa.Column("last_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_attempts"),
    )
    op.create_index("ix_attempts_last_at", "attempts", ["last_at"])


def _jobs() -> None:
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("arguments", sa.JSON, nullable=False),
        sa.Column("survey", sa.Text),
        sa.Column("state", sa.Text, nullable=False),
        sa.Column("lease_until", _MOMENT),
        sa.Column("tries", sa.Integer, nullable=False),
        sa.Column("words", sa.Text, nullable=False),
        sa.Column("share", sa.Float, nullable=False),
        sa.Column("cancel_asked", sa.Boolean, nullable=False),
        sa.Column("result", sa.JSON),
        sa.Column("error", sa.Text),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("ended_at", _MOMENT),
        sa.PrimaryKeyConstraint("id", name="pk_jobs"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_jobs_state", "jobs", ["state"])
    op.create_index("ix_jobs_survey", "jobs", ["survey"])


def _sqlite() -> None:
    for act in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER entries_no_{act.lower()} BEFORE {act} ON entries "
            f"BEGIN SELECT RAISE(ABORT, '{_NEVER}'); END"
        )
    op.execute(
        "CREATE VIRTUAL TABLE words USING fts5(text, content='passages', content_rowid='seq', "
        "tokenize='unicode61 remove_diacritics 2')"
    )
    added = "INSERT INTO words(rowid, text) VALUES (new.seq, new.text);"
    removed = "INSERT INTO words(words, rowid, text) VALUES ('delete', old.seq, old.text);"
    for act, does in (("INSERT", added), ("DELETE", removed), ("UPDATE", removed + added)):
        op.execute(
            f"CREATE TRIGGER passages_{act.lower()} AFTER {act} ON passages BEGIN {does} END"
        )


def _postgresql() -> None:
    op.execute(
        "CREATE FUNCTION entries_only_grow() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{_NEVER}'; END $$"
    )
    op.execute(
        "CREATE TRIGGER entries_only_grow BEFORE UPDATE OR DELETE OR TRUNCATE ON entries "
        "FOR EACH STATEMENT EXECUTE FUNCTION entries_only_grow()"
    )
