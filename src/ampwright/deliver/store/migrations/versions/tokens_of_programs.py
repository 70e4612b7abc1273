"""Tokens with which a program signs in for a person."""

import sqlalchemy as sql
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "access_token",
        sql.Column("id", sql.String, primary_key=True),
        sql.Column("hash", sql.String, nullable=False, unique=True),
        sql.Column("person", sql.String, sql.ForeignKey("person.id"), nullable=False, index=True),
        *(sql.Column(name, sql.String, nullable=False) for name in ("name", "role", "created", "expires")),
        sql.Column("ended", sql.String),
    )


def downgrade() -> None:
    """Take the table away, if no token was ever made: what was ended would be forgotten, and what stands be lost."""
    if op.get_bind().scalar(sql.text("SELECT count(*) FROM access_token")):
        raise ValueError("programs have tokens in the store, and no shape before this one could hold them")
    op.drop_table("access_token")
