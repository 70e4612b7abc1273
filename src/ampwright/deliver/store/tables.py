"""The tables of the store, and the engine that keeps what it has acknowledged."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import sqlalchemy as sql

SHAPE = 1
WAIT_MS = 10_000
META = sql.MetaData()

jobs = sql.Table(
    "job", META,
    sql.Column("id", sql.String(32), primary_key=True),
    sql.Column("created", sql.String(40), nullable=False),
)  # fmt: skip
operations = sql.Table(
    "operation", META,
    sql.Column("id", sql.String(64), primary_key=True),
    sql.Column("job", sql.ForeignKey("job.id"), nullable=False, index=True),
    sql.Column("who", sql.String(200), nullable=False),
    sql.Column("at", sql.String(40), nullable=False),
    sql.Column("origin", sql.String(200), nullable=False),
    sql.Column("base", sql.Integer, nullable=False),
    sql.Column("asked", sql.Text, nullable=False),
    sql.Column("undoes", sql.ForeignKey("operation.id"), unique=True),
    sql.Column("settles", sql.Integer, sql.ForeignKey("change.seq", use_alter=True), unique=True),
)  # fmt: skip
changes = sql.Table(
    "change", META,
    sql.Column("seq", sql.Integer, primary_key=True, autoincrement=True),
    sql.Column("operation", sql.ForeignKey("operation.id"), nullable=False, index=True),
    sql.Column("job", sql.ForeignKey("job.id"), nullable=False),
    sql.Column("path", sql.String(200), nullable=False),
    sql.Column("old", sql.Text, nullable=False),
    sql.Column("new", sql.Text, nullable=False),
    sql.Column("held", sql.Boolean, nullable=False),
    sql.Index("change_in_order", "job", "seq"),
    sqlite_autoincrement=True,
)  # fmt: skip


class WrongShape(Exception):
    """The file is a store of another version of Ampwright, or no store."""


def engine(file: Path) -> sql.Engine:
    """Open the store in a file, which is made where there is none. Raises WrongShape for one of another version."""
    opened = sql.create_engine(f"sqlite:///{file}")
    sql.event.listen(opened, "connect", _settings)
    sql.event.listen(opened, "begin", _begin)
    with opened.connect().execution_options(writes=True) as link, link.begin():
        shape = link.exec_driver_sql("PRAGMA user_version").scalar_one()
        found = sql.inspect(link).get_table_names()
        if shape == 0 and not found:
            META.create_all(link, tables=[jobs, operations, changes])
            forbid_overwriting(link, jobs, operations, changes)
            link.exec_driver_sql(f"PRAGMA user_version = {SHAPE}")
        elif shape != SHAPE:
            raise WrongShape(f"{file} is not a store that this Ampwright can read; bring Ampwright up to date, "
                             "or name another file")  # fmt: skip
    return opened


def _settings(link: Any, _record: Any) -> None:
    link.isolation_level = None  # transactions are begun by _begin alone
    for setting in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", f"busy_timeout = {WAIT_MS}"):
        link.execute(f"PRAGMA {setting}")


def _begin(link: sql.Connection) -> None:
    link.exec_driver_sql("BEGIN IMMEDIATE" if link.get_execution_options().get("writes") else "BEGIN")


def forbid_overwriting(link: sql.Connection, *tables: sql.Table) -> None:
    """Refuse every UPDATE and DELETE of these tables from now on."""
    for table in tables:
        for deed in ("UPDATE", "DELETE"):
            link.exec_driver_sql(f"CREATE TRIGGER {table.name}_no_{deed.lower()} BEFORE {deed} ON \"{table.name}\" "
                                 "BEGIN SELECT RAISE(ABORT, 'the store only grows'); END")  # fmt: skip
