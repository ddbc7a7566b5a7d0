"""What a job waits for, and the day of its next step, in the list of surveys."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Add the columns; a row says what its survey waits for from its next entry on."""
    op.add_column("surveys", sa.Column("day", sa.Date))
    op.add_column(
        "surveys", sa.Column("waits_for", sa.Text, nullable=False, server_default=sa.text("''"))
    )
    for stage, before in (
        ("enquiry", ("opened", "instructed")),
        ("to write", ("visited", "written up")),
        ("out", ("issued",)),
    ):
        surveys = sa.table("surveys", sa.column("stage"))
        op.execute(sa.update(surveys).where(surveys.c.stage.in_(before)).values(stage=stage))
    op.create_index("ix_surveys_stage_day", "surveys", ["stage", "day"])
