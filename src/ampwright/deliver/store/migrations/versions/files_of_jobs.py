"""The files that a job names: each stays as it was taken in, under its name."""

import sqlalchemy as sql
from alembic import op

from ampwright.deliver.store.append_only import forbid_overwriting

revision = "0009"
down_revision = "0008"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "job_file",
        sql.Column("job", sql.String, sql.ForeignKey("job.id"), primary_key=True),
        sql.Column("name", sql.String, primary_key=True),
        *(sql.Column(name, sql.String, nullable=False) for name in ("operation", "who", "at", "origin", "hash")),
        sql.Column("says", sql.Text, nullable=False),
        sql.Column("content", sql.LargeBinary, nullable=False),
    )
    forbid_overwriting(op.get_bind(), "job_file")


def downgrade() -> None:
    """Take the table away, if nothing is in it."""
    if op.get_bind().scalar(sql.text("SELECT count(*) FROM job_file")):
        raise ValueError("there are files of jobs in the store, and no shape before this one could hold them")
    op.drop_table("job_file")
