"""Texts of the surveyors' own: terms, phrases, the words about the practice."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "texts",
        sa.Column("seq", sa.Integer, autoincrement=True),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("seq", name="pk_texts"),
        sa.UniqueConstraint("kind", "name", "version", name="uq_texts_kind_name_version"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_texts_sha256", "texts", ["sha256"])
