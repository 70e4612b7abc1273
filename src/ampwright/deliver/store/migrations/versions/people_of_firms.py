"""Firms, their people, who is signed in, whose each job is, and what was shared with customers."""

import sqlalchemy as sql
from alembic import op

revision = "0004"
down_revision = "0003"
TABLES = ("firm", "person", "session", "claim", "share", "signing_key")


def upgrade() -> None:
    """Make the tables."""
    _of_people()
    _of_jobs()


def _of_people() -> None:
    op.create_table(
        "firm",
        sql.Column("id", sql.String, primary_key=True),
        sql.Column("name", sql.String, nullable=False, unique=True),
        sql.Column("created", sql.String, nullable=False),
    )
    op.create_table(
        "person",
        sql.Column("id", sql.String, primary_key=True),
        sql.Column("firm", sql.String, sql.ForeignKey("firm.id"), nullable=False, index=True),
        sql.Column("login", sql.String, nullable=False, unique=True),
        sql.Column("name", sql.String, nullable=False),
        sql.Column("role", sql.String, nullable=False),
        sql.Column("password", sql.String, nullable=False),
        sql.Column("must_change", sql.Boolean, nullable=False),
        sql.Column("created", sql.String, nullable=False),
        sql.Column("ended", sql.String),
    )
    op.create_table(
        "session",
        sql.Column("hash", sql.String, primary_key=True),
        sql.Column("person", sql.String, sql.ForeignKey("person.id"), nullable=False, index=True),
        sql.Column("form_token", sql.String, nullable=False),
        sql.Column("began", sql.String, nullable=False),
        sql.Column("expires", sql.String, nullable=False),
    )


def _of_jobs() -> None:
    op.create_table(
        "claim",
        sql.Column("operation", sql.String, primary_key=True),
        sql.Column("firm", sql.String, sql.ForeignKey("firm.id"), nullable=False, index=True),
    )
    op.create_table(
        "share",
        sql.Column("id", sql.String, primary_key=True),
        sql.Column("job", sql.String, sql.ForeignKey("job.id"), nullable=False, index=True),
        sql.Column("firm", sql.String, sql.ForeignKey("firm.id"), nullable=False),
        sql.Column("who", sql.String, nullable=False),
        sql.Column("created", sql.String, nullable=False),
        sql.Column("expires", sql.String, nullable=False),
        sql.Column("ended", sql.String),
    )
    op.create_table(
        "signing_key",
        sql.Column("name", sql.String, primary_key=True),
        sql.Column("value", sql.String, nullable=False),
    )


def downgrade() -> None:
    """Take the tables away, if nobody has an account: without them whose a job is would be forgotten."""
    if op.get_bind().scalar(sql.text("SELECT count(*) FROM person")):
        raise ValueError("there are people with accounts in the store, and no shape before this one could hold them")
    for table in reversed(TABLES):
        op.drop_table(table)
