"""A firm's own figures: every version of them is kept, and the newest of a kind is in use."""

import sqlalchemy as sql
from alembic import op

from ampwright.deliver.store.append_only import forbid_overwriting

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "figures",
        sql.Column("number", sql.Integer, primary_key=True, autoincrement=True),
        *(sql.Column(name, sql.String, nullable=False) for name in ("firm", "kind")),
        sql.Column("text", sql.Text),
        sql.Column("operation", sql.String, nullable=False, unique=True),
        *(sql.Column(name, sql.String, nullable=False) for name in ("at", "who", "origin")),
        sqlite_autoincrement=True,
    )
    op.create_index("figures_in_order", "figures", ["firm", "kind", "number"])
    forbid_overwriting(op.get_bind(), "figures")


def downgrade() -> None:
    """Take the table away, if nothing is in it: papers were priced by what it holds."""
    if op.get_bind().scalar(sql.text("SELECT count(*) FROM figures")):
        raise ValueError("firms have figures of their own in the store, and no shape before this one could hold them")
    op.drop_table("figures")
