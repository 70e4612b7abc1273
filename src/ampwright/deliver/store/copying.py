"""A whole store carried into another: a backup, its restoring, and the move from one database to the other."""

from __future__ import annotations

import hashlib
import json

import sqlalchemy as sql

from ampwright.deliver.store.databases import engine, raw, shown, writing
from ampwright.deliver.store.issued_tables import TABLES as TRUST
from ampwright.deliver.store.people_tables import TABLES, firms, shares
from ampwright.deliver.store.shape import NOTHING_YET, Place, shape_of
from ampwright.deliver.store.tables import META, changes, figures, job_files, jobs, operations, photos, results

FEW_COUNT = 50  # rows in memory at a time, for a photo is large


class CannotCopy(Exception):
    """The copy was not made, and nothing was changed; as text it says why."""


def copy_all(source: Place, target: Place) -> int:
    """Carry every job with its whole history into a store that is empty or not there yet; how many jobs there are.

    It is read back and compared before it is called done; else all of it is taken back. Raises CannotCopy, WrongShape,
    BadAddress and SQLAlchemy's DatabaseError.
    """
    _refuse_nothing(source)
    source_engine, target_engine = engine(source), engine(target)
    try:
        with source_engine.connect() as link, link.begin(), writing(target_engine, "copy") as into:
            count = sql.select(sql.func.count())
            if any(into.scalar(count.select_from(each)) for each in (jobs, results, photos, firms, figures)):
                raise CannotCopy(f"there are jobs in {shown(target)} already; a copy goes into an empty place only")
            for table in (each for each in TABLES if each is not shares):
                _copy_rows(link, into, table)
            names = list(link.scalars(sql.select(jobs.c.id).order_by(jobs.c.created, jobs.c.id)))
            for name in names:
                _copy_job(link, into, name)
            for table in (results, photos, job_files, shares, figures, *TRUST):
                _copy_rows(link, into, table)
            _go_on_from(into)
            if digest(link) != digest(into):
                raise CannotCopy(f"what was read back from {shown(target)} is not what was written")
    finally:
        source_engine.dispose()
        target_engine.dispose()
    return len(names)


def digest(link: sql.Connection) -> str:
    """SHA-256 over every row of the store in a fixed order, which is the same in every database."""
    found = hashlib.sha256()
    for table in META.sorted_tables:
        wanted = sql.select(table).execution_options(yield_per=FEW_COUNT)
        rows = sorted(_digest_of(tuple(row)) for row in link.execute(wanted))
        found.update(json.dumps([table.name, rows]).encode())
    return found.hexdigest()


def _digest_of(row: tuple[object, ...]) -> str:
    return hashlib.sha256(json.dumps(row, default=bytes.hex).encode()).hexdigest()


def _refuse_nothing(source: Place) -> None:
    """Opening makes a store where there is none; a copy of nothing is a mistake."""
    opened = raw(source)
    try:
        with opened.connect() as link, link.begin():
            if shape_of(link) == NOTHING_YET:
                raise CannotCopy(f"there are no jobs in {shown(source)}")
    finally:
        opened.dispose()


def _copy_job(link: sql.Connection, into: sql.Connection, name: str) -> None:
    """In the order it was written in, for an operation points at what was before it."""
    into.execute(sql.insert(jobs), dict(link.execute(sql.select(jobs).where(jobs.c.id == name)).mappings().one()))
    made: dict[str, list[dict[str, object]]] = {}
    for row in link.execute(sql.select(changes).where(changes.c.job == name).order_by(changes.c.seq)).mappings():
        made.setdefault(row["operation"], []).append(dict(row))
    wanted = sql.select(operations).where(operations.c.job == name).order_by(operations.c.number)
    for row in link.execute(wanted).mappings().all():
        into.execute(sql.insert(operations), dict(row))
        if row["id"] in made:
            into.execute(sql.insert(changes), made[row["id"]])


def _copy_rows(link: sql.Connection, into: sql.Connection, table: sql.Table) -> None:
    wanted = sql.select(table).order_by(*table.primary_key).execution_options(yield_per=FEW_COUNT)
    for row in link.execute(wanted).mappings():
        into.execute(sql.insert(table), dict(row))


def _go_on_from(into: sql.Connection) -> None:
    """The next row gets the next number; SQLite sees to that itself."""
    if into.dialect.name == "postgresql":
        for table, key in (("change", "seq"), ("result", "number"), ("signature", "number"),
                           ("confirmation", "number"), ("figures", "number")):
            into.execute(sql.text(f"SELECT setval(pg_get_serial_sequence('{table}', '{key}'), max({key})) FROM {table} "
                                  f"HAVING max({key}) IS NOT NULL"))  # fmt: skip


