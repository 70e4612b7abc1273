"""The tables about firms, their people, who is signed in, whose each job is, and what was shared with customers."""

from __future__ import annotations

import sqlalchemy as sql

from ampwright.deliver.store.tables import META

firms = sql.Table(
    "firm", META,
    sql.Column("id", sql.String(32), primary_key=True),
    sql.Column("name", sql.String(200), nullable=False, unique=True),
    sql.Column("created", sql.String(40), nullable=False),
)  # fmt: skip
persons = sql.Table(
    "person", META,
    sql.Column("id", sql.String(32), primary_key=True),
    sql.Column("firm", sql.ForeignKey("firm.id"), nullable=False, index=True),
    sql.Column("login", sql.String(100), nullable=False, unique=True),
    sql.Column("name", sql.String(200), nullable=False),
    sql.Column("role", sql.String(20), nullable=False),
    sql.Column("password", sql.String(200), nullable=False),
    sql.Column("must_change", sql.Boolean, nullable=False),
    sql.Column("created", sql.String(40), nullable=False),
    sql.Column("ended", sql.String(40)),
)  # fmt: skip
sessions = sql.Table(
    "session", META,
    sql.Column("hash", sql.String(64), primary_key=True),
    sql.Column("person", sql.ForeignKey("person.id"), nullable=False, index=True),
    sql.Column("form_token", sql.String(64), nullable=False),
    sql.Column("began", sql.String(40), nullable=False),
    sql.Column("expires", sql.String(40), nullable=False),
)  # fmt: skip
claims = sql.Table(
    "claim", META,
    sql.Column("operation", sql.String(64), primary_key=True),
    sql.Column("firm", sql.ForeignKey("firm.id"), nullable=False, index=True),
)  # fmt: skip
shares = sql.Table(
    "share", META,
    sql.Column("id", sql.String(32), primary_key=True),
    sql.Column("job", sql.ForeignKey("job.id"), nullable=False, index=True),
    sql.Column("firm", sql.ForeignKey("firm.id"), nullable=False),
    sql.Column("who", sql.String(200), nullable=False),
    sql.Column("created", sql.String(40), nullable=False),
    sql.Column("expires", sql.String(40), nullable=False),
    sql.Column("ended", sql.String(40)),
)  # fmt: skip
keys = sql.Table(
    "signing_key", META,
    sql.Column("name", sql.String(32), primary_key=True),
    sql.Column("value", sql.String(128), nullable=False),
)  # fmt: skip
TABLES = (firms, persons, sessions, claims, shares, keys)


def prepare(engine: sql.Engine) -> None:
    """Make those of the tables that a store does not have yet."""
    with engine.connect().execution_options(writes=True) as link, link.begin():
        META.create_all(link, tables=list(TABLES), checkfirst=True)
