"""What batches made of jobs: one result for a job, a step and what went in, and it only grows."""

import sqlalchemy as sql
from alembic import op

from ampwright.deliver.store.append_only import forbid_overwriting

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "result",
        sql.Column("number", sql.Integer, primary_key=True, autoincrement=True),
        sql.Column("job", sql.String, nullable=False),
        sql.Column("step", sql.String, nullable=False),
        sql.Column("input", sql.String, nullable=False),
        sql.Column("at", sql.String, nullable=False),
        sql.Column("worker", sql.String, nullable=False),
        sql.Column("refused", sql.Boolean, nullable=False),
        sql.Column("media", sql.String, nullable=False),
        sql.Column("body", sql.LargeBinary, nullable=False),
        sql.UniqueConstraint("job", "step", "input"),
        sqlite_autoincrement=True,
    )
    forbid_overwriting(op.get_bind(), "result")


def downgrade() -> None:
    """Take the table away, if nothing is in it: a result may have been issued to somebody."""
    if op.get_bind().scalar(sql.text("SELECT count(*) FROM result")):
        raise ValueError("there are results of batches in the store, and no shape before this one could hold them")
    op.drop_table("result")
