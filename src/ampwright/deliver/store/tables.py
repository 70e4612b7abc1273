"""The tables of the store, as the newest migration leaves them."""

from __future__ import annotations

import sqlalchemy as sql

NEWEST = "0009"
VERSIONS = "ampwright_version"
NAMES = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
META = sql.MetaData(naming_convention=NAMES)

jobs = sql.Table(
    "job", META,
    sql.Column("id", sql.String, primary_key=True),
    sql.Column("created", sql.String, nullable=False),
)  # fmt: skip
operations = sql.Table(
    "operation", META,
    sql.Column("id", sql.String, primary_key=True),
    sql.Column("job", sql.ForeignKey("job.id"), nullable=False, index=True),
    sql.Column("who", sql.String, nullable=False),
    sql.Column("at", sql.String, nullable=False),
    sql.Column("origin", sql.String, nullable=False),
    sql.Column("base", sql.Integer, nullable=False),
    sql.Column("asked", sql.Text, nullable=False),
    sql.Column("undoes", sql.ForeignKey("operation.id"), unique=True),
    sql.Column("settles", sql.Integer, sql.ForeignKey("change.seq", use_alter=True), unique=True),
    sql.Column("number", sql.Integer, nullable=False),
    sql.UniqueConstraint("job", "number"),
)  # fmt: skip
changes = sql.Table(
    "change", META,
    sql.Column("seq", sql.Integer, primary_key=True, autoincrement=True),
    sql.Column("operation", sql.ForeignKey("operation.id"), nullable=False, index=True),
    sql.Column("job", sql.ForeignKey("job.id"), nullable=False),
    sql.Column("path", sql.String, nullable=False),
    sql.Column("old", sql.Text, nullable=False),
    sql.Column("new", sql.Text, nullable=False),
    sql.Column("held", sql.Boolean, nullable=False),
    sql.Index("change_in_order", "job", "seq"),
    sqlite_autoincrement=True,
)  # fmt: skip
results = sql.Table(
    "result", META,
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
)  # fmt: skip
photos = sql.Table(
    "photo", META,
    sql.Column("id", sql.String, primary_key=True),
    sql.Column("job", sql.ForeignKey("job.id"), nullable=False, index=True),
    sql.Column("path", sql.String, nullable=False),
    sql.Column("who", sql.String, nullable=False),
    sql.Column("at", sql.String, nullable=False),
    sql.Column("origin", sql.String, nullable=False),
    sql.Column("sent_hash", sql.String, nullable=False),
    sql.Column("hash", sql.String, nullable=False),
    sql.Column("content", sql.LargeBinary, nullable=False),
)  # fmt: skip
figures = sql.Table(
    "figures", META,
    sql.Column("number", sql.Integer, primary_key=True, autoincrement=True),
    sql.Column("firm", sql.String, nullable=False),
    sql.Column("kind", sql.String, nullable=False),
    sql.Column("text", sql.Text),
    sql.Column("operation", sql.String, nullable=False, unique=True),
    sql.Column("at", sql.String, nullable=False),
    sql.Column("who", sql.String, nullable=False),
    sql.Column("origin", sql.String, nullable=False),
    sql.Index("figures_in_order", "firm", "kind", "number"),
    sqlite_autoincrement=True,
)  # fmt: skip
job_files = sql.Table(
    "job_file", META,
    sql.Column("job", sql.ForeignKey("job.id"), primary_key=True),
    sql.Column("name", sql.String, primary_key=True),
    sql.Column("operation", sql.String, nullable=False),
    sql.Column("who", sql.String, nullable=False),
    sql.Column("at", sql.String, nullable=False),
    sql.Column("origin", sql.String, nullable=False),
    sql.Column("hash", sql.String, nullable=False),
    sql.Column("says", sql.Text, nullable=False),
    sql.Column("content", sql.LargeBinary, nullable=False),
)  # fmt: skip
