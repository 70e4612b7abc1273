"""The tables of what was issued, signed and confirmed: they only grow."""

from __future__ import annotations

import sqlalchemy as sql

from ampwright.deliver.store.tables import META

issued = sql.Table(
    "issued", META,
    sql.Column("number", sql.Integer, primary_key=True, autoincrement=False),
    sql.Column("firm", sql.String, nullable=False),
    sql.Column("year", sql.Integer, nullable=False),
    sql.Column("kind", sql.String, nullable=False),
    sql.Column("serial", sql.Integer, nullable=False),
    sql.Column("key", sql.String, nullable=False, unique=True),
    sql.Column("job", sql.ForeignKey("job.id"), nullable=False, index=True),
    sql.Column("head", sql.Integer, nullable=False),
    sql.Column("job_hash", sql.String, nullable=False),
    sql.Column("edition", sql.String, nullable=False),
    sql.Column("day", sql.String, nullable=False),
    sql.Column("at", sql.String, nullable=False),
    sql.Column("who", sql.String, nullable=False),
    sql.Column("supersedes", sql.ForeignKey("issued.number"), unique=True),
    sql.Column("paper_hash", sql.String, nullable=False),
    sql.Column("words_hash", sql.String, nullable=False),
    sql.Column("before", sql.String, nullable=False),
    sql.Column("hash", sql.String, nullable=False),
    sql.Column("words", sql.Text, nullable=False),
    sql.Column("body", sql.LargeBinary, nullable=False),
    sql.UniqueConstraint("firm", "year", "kind", "serial"),
)  # fmt: skip
signatures = sql.Table(
    "signature", META,
    sql.Column("number", sql.Integer, primary_key=True, autoincrement=True),
    sql.Column("job", sql.ForeignKey("job.id"), nullable=False, index=True),
    sql.Column("role", sql.String, nullable=False),
    sql.Column("name", sql.String, nullable=False),
    sql.Column("strokes", sql.Text, nullable=False),
    sql.Column("signed", sql.String, nullable=False),
    sql.Column("at", sql.String, nullable=False),
    sql.Column("who", sql.String, nullable=False),
    sqlite_autoincrement=True,
)  # fmt: skip
confirmations = sql.Table(
    "confirmation", META,
    sql.Column("number", sql.Integer, primary_key=True, autoincrement=True),
    sql.Column("firm", sql.String, nullable=False),
    sql.Column("what", sql.String, nullable=False),
    sql.Column("says", sql.String, nullable=False),
    sql.Column("copy", sql.String, nullable=False),
    sql.Column("at", sql.String, nullable=False),
    sql.Column("who", sql.String, nullable=False),
    sqlite_autoincrement=True,
)  # fmt: skip
TABLES = (issued, signatures, confirmations)
