"""The tables about firms, their people, who is signed in, their programs, whose each job is, and what was shared."""

from __future__ import annotations

import sqlalchemy as sql

from ampwright.deliver.store.tables import META

firms = sql.Table(
    "firm", META,
    sql.Column("id", sql.String, primary_key=True),
    sql.Column("name", sql.String, nullable=False, unique=True),
    sql.Column("created", sql.String, nullable=False),
)  # fmt: skip
persons = sql.Table(
    "person", META,
    sql.Column("id", sql.String, primary_key=True),
    sql.Column("firm", sql.ForeignKey("firm.id"), nullable=False, index=True),
    sql.Column("login", sql.String, nullable=False, unique=True),
    sql.Column("name", sql.String, nullable=False),
    sql.Column("role", sql.String, nullable=False),
    sql.Column("password", sql.String, nullable=False),
    sql.Column("must_change", sql.Boolean, nullable=False),
    sql.Column("created", sql.String, nullable=False),
    sql.Column("ended", sql.String),
)  # fmt: skip
sessions = sql.Table(
    "session", META,
    sql.Column("hash", sql.String, primary_key=True),
    sql.Column("person", sql.ForeignKey("person.id"), nullable=False, index=True),
    sql.Column("form_token", sql.String, nullable=False),
    sql.Column("began", sql.String, nullable=False),
    sql.Column("expires", sql.String, nullable=False),
)  # fmt: skip
tokens = sql.Table(
    "access_token", META,
    sql.Column("id", sql.String, primary_key=True),
    sql.Column("hash", sql.String, nullable=False, unique=True),
    sql.Column("person", sql.ForeignKey("person.id"), nullable=False, index=True),
    sql.Column("name", sql.String, nullable=False),
    sql.Column("role", sql.String, nullable=False),
    sql.Column("created", sql.String, nullable=False),
    sql.Column("expires", sql.String, nullable=False),
    sql.Column("ended", sql.String),
)  # fmt: skip
claims = sql.Table(
    "claim", META,
    sql.Column("operation", sql.String, primary_key=True),
    sql.Column("firm", sql.ForeignKey("firm.id"), nullable=False, index=True),
)  # fmt: skip
shares = sql.Table(
    "share", META,
    sql.Column("id", sql.String, primary_key=True),
    sql.Column("job", sql.ForeignKey("job.id"), nullable=False, index=True),
    sql.Column("firm", sql.ForeignKey("firm.id"), nullable=False),
    sql.Column("who", sql.String, nullable=False),
    sql.Column("created", sql.String, nullable=False),
    sql.Column("expires", sql.String, nullable=False),
    sql.Column("ended", sql.String),
)  # fmt: skip
keys = sql.Table(
    "signing_key", META,
    sql.Column("name", sql.String, primary_key=True),
    sql.Column("value", sql.String, nullable=False),
)  # fmt: skip
TABLES = (firms, persons, sessions, tokens, claims, shares, keys)
