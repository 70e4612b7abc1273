"""The shape of the first stores: jobs, operations, changes, which only grow."""

import sqlalchemy as sql
from alembic import op

from ampwright.deliver.store.append_only import forbid_overwriting

revision = "0001"
down_revision = None
TABLES = ("job", "operation", "change")


def upgrade() -> None:
    """Make the tables."""
    link = op.get_bind()
    settles = () if link.dialect.name == "postgresql" else (sql.ForeignKey("change.seq"),)
    op.create_table(
        "job",
        sql.Column("id", sql.String(32), primary_key=True),
        sql.Column("created", sql.String(40), nullable=False),
    )
    op.create_table(
        "operation",
        sql.Column("id", sql.String(64), primary_key=True),
        sql.Column("job", sql.String(32), sql.ForeignKey("job.id"), nullable=False, index=True),
        sql.Column("who", sql.String(200), nullable=False),
        sql.Column("at", sql.String(40), nullable=False),
        sql.Column("origin", sql.String(200), nullable=False),
        sql.Column("base", sql.Integer, nullable=False),
        sql.Column("asked", sql.Text, nullable=False),
        sql.Column("undoes", sql.String(64), sql.ForeignKey("operation.id"), unique=True),
        sql.Column("settles", sql.Integer, *settles, unique=True),
    )
    op.create_table(
        "change",
        sql.Column("seq", sql.Integer, primary_key=True, autoincrement=True),
        sql.Column("operation", sql.String(64), sql.ForeignKey("operation.id"), nullable=False, index=True),
        sql.Column("job", sql.String(32), sql.ForeignKey("job.id"), nullable=False),
        sql.Column("path", sql.String(200), nullable=False),
        sql.Column("old", sql.Text, nullable=False),
        sql.Column("new", sql.Text, nullable=False),
        sql.Column("held", sql.Boolean, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("change_in_order", "change", ["job", "seq"])
    if not settles:
        op.create_foreign_key(None, "operation", "change", ["settles"], ["seq"])
    forbid_overwriting(link, *TABLES)


def downgrade() -> None:
    """Take the tables away, if nothing is in them."""
    link = op.get_bind()
    if link.scalar(sql.text("SELECT count(*) FROM job")):
        raise ValueError("there are jobs in the store, and no shape before this one could hold them")
    if link.dialect.name == "postgresql":
        op.drop_constraint("fk_operation_settles_change", "operation")
    for table in reversed(TABLES):
        op.drop_table(table)
    if link.dialect.name == "postgresql":
        op.execute("DROP FUNCTION ampwright_only_grows()")
