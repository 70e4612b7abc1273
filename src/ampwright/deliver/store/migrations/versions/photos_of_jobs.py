"""Photos of a job beside its changes, each under the field that it shows, and they only come."""

import sqlalchemy as sql
from alembic import op

from ampwright.deliver.store.append_only import forbid_overwriting

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "photo",
        sql.Column("id", sql.String, primary_key=True),
        sql.Column("job", sql.String, sql.ForeignKey("job.id"), nullable=False, index=True),
        sql.Column("path", sql.String, nullable=False),
        sql.Column("who", sql.String, nullable=False),
        sql.Column("at", sql.String, nullable=False),
        sql.Column("origin", sql.String, nullable=False),
        sql.Column("sent_hash", sql.String, nullable=False),
        sql.Column("hash", sql.String, nullable=False),
        sql.Column("content", sql.LargeBinary, nullable=False),
    )
    forbid_overwriting(op.get_bind(), "photo")


def downgrade() -> None:
    """Take the table away, if nothing is in it: a photo cannot be taken again once the wall is closed."""
    if op.get_bind().scalar(sql.text("SELECT count(*) FROM photo")):
        raise ValueError("there are photos in the store, and no shape before this one could hold them")
    op.drop_table("photo")
