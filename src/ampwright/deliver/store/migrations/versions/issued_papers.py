"""Issued papers in a chain, drawn signatures, and numbers confirmed against one's own copy: all of them only grow."""

import sqlalchemy as sql
from alembic import op

from ampwright.deliver.store.append_only import forbid_overwriting

revision = "0006"
down_revision = "0005"
TABLES = ("issued", "signature", "confirmation")


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "issued",
        sql.Column("number", sql.Integer, primary_key=True, autoincrement=False),
        *(sql.Column(name, kind, nullable=False) for name, kind in (
            ("firm", sql.String), ("year", sql.Integer), ("kind", sql.String), ("serial", sql.Integer))),
        sql.Column("key", sql.String, nullable=False, unique=True),
        sql.Column("job", sql.String, sql.ForeignKey("job.id"), nullable=False, index=True),
        *(sql.Column(name, kind, nullable=False) for name, kind in (
            ("head", sql.Integer), ("job_hash", sql.String), ("edition", sql.String), ("day", sql.String),
            ("at", sql.String), ("who", sql.String))),
        sql.Column("supersedes", sql.Integer, sql.ForeignKey("issued.number"), unique=True),
        *(sql.Column(name, kind, nullable=False) for name, kind in (
            ("paper_hash", sql.String), ("words_hash", sql.String), ("before", sql.String), ("hash", sql.String),
            ("words", sql.Text), ("body", sql.LargeBinary))),
        sql.UniqueConstraint("firm", "year", "kind", "serial"),
    )  # fmt: skip
    op.create_table(
        "signature",
        sql.Column("number", sql.Integer, primary_key=True, autoincrement=True),
        sql.Column("job", sql.String, sql.ForeignKey("job.id"), nullable=False, index=True),
        *(sql.Column(name, sql.String, nullable=False) for name in ("role", "name")),
        sql.Column("strokes", sql.Text, nullable=False),
        *(sql.Column(name, sql.String, nullable=False) for name in ("signed", "at", "who")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "confirmation",
        sql.Column("number", sql.Integer, primary_key=True, autoincrement=True),
        *(sql.Column(name, sql.String, nullable=False) for name in ("firm", "what", "says", "copy", "at", "who")),
        sqlite_autoincrement=True,
    )
    forbid_overwriting(op.get_bind(), *TABLES)


def downgrade() -> None:
    """Take the tables away, if nothing is in them: a paper may be in somebody's hands."""
    for table in TABLES:
        if op.get_bind().scalar(sql.text(f"SELECT count(*) FROM {table}")):
            raise ValueError("papers were issued, signed or confirmed, and no shape before this one could hold that")
    for table in TABLES:
        op.drop_table(table)
