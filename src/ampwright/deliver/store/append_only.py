"""Triggers that let a table of the store grow and nothing else, in the words of each database."""

from __future__ import annotations

import sqlalchemy as sql

SAYS = "the store only grows"


def forbid_overwriting(link: sql.Connection, *tables: str) -> None:
    """From here on, no row of these tables is changed or taken away."""
    postgres = link.dialect.name == "postgresql"
    if postgres:
        link.exec_driver_sql("CREATE OR REPLACE FUNCTION ampwright_only_grows() RETURNS trigger LANGUAGE plpgsql AS "
                             f"$$ BEGIN RAISE EXCEPTION '{SAYS}' USING ERRCODE = 'integrity_constraint_violation'; "
                             "END $$")  # fmt: skip
    for table in tables:
        if postgres:
            link.exec_driver_sql(f'CREATE TRIGGER "{table}_only_grows" BEFORE UPDATE OR DELETE OR TRUNCATE '
                                 f'ON "{table}" FOR EACH STATEMENT '
                                 "EXECUTE FUNCTION ampwright_only_grows()")  # fmt: skip
            continue
        for deed in ("UPDATE", "DELETE"):
            link.exec_driver_sql(f'CREATE TRIGGER {table}_no_{deed.lower()} BEFORE {deed} ON "{table}" '
                                 f"BEGIN SELECT RAISE(ABORT, '{SAYS}'); END")  # fmt: skip


def allow_overwriting(link: sql.Connection, *tables: str) -> None:
    """Take the triggers away, inside the transaction of a migration that puts them back."""
    for table in tables:
        if link.dialect.name == "postgresql":
            link.exec_driver_sql(f'DROP TRIGGER "{table}_only_grows" ON "{table}"')
            continue
        for deed in ("update", "delete"):
            link.exec_driver_sql(f"DROP TRIGGER {table}_no_{deed}")
