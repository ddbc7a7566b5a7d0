"""What somebody wrote last of a kind is found without looking through everything."""

from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Make the index."""
    op.create_index("ix_entries_author_kind_seq", "entries", ["author", "kind", "seq"])
