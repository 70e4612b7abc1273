"""What was done to a job, and the job that comes of it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sql

from ampwright.deliver.store.tables import changes, operations
from ampwright.deliver.store.values import Values, put
from ampwright.job.record import VERSION


@dataclass(frozen=True, slots=True)
class Change:
    """One field, from what it was to what was entered; `held` where the same field was changed elsewhere meanwhile."""

    seq: int
    path: str
    old: Any
    new: Any
    held: bool

    @classmethod
    def of(cls, row: Any) -> Change:
        """The change in a row of the table."""
        return cls(row.seq, row.path, json.loads(row.old), json.loads(row.new), row.held)


@dataclass(frozen=True, slots=True)
class Operation:
    """What one person did at one time (UTC, ISO 8601) from one place: all of it or none of it is in the store."""

    id: str
    who: str
    at: str
    origin: str
    undoes: str | None
    settles: int | None
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of an operation: what was taken, what is held back as a conflict, and the newest change now."""

    taken: tuple[Change, ...]
    held: tuple[Change, ...]
    head: int


def replayed(link: sql.Connection, job: str, upto: int | None = None) -> tuple[Values, int]:
    """The plain values of a job after its changes (up to one of them, if given), and the number of the last."""
    wanted = sql.select(changes).where(changes.c.job == job).order_by(changes.c.seq)
    values: Values = {"version": VERSION}
    head = 0
    for row in link.execute(wanted if upto is None else wanted.where(changes.c.seq <= upto)):
        head = row.seq
        if not row.held:
            put(values, row.path, json.loads(row.new))
    return values, head


def operations_of(link: sql.Connection, job: str) -> tuple[Operation, ...]:
    """Every operation on a job, the newest first."""
    found: dict[str, list[Change]] = {}
    for row in link.execute(sql.select(changes).where(changes.c.job == job).order_by(changes.c.seq)):
        found.setdefault(row.operation, []).append(Change.of(row))
    rows = link.execute(sql.select(operations).where(operations.c.job == job).order_by(operations.c.number.desc()))
    return tuple(Operation(row.id, row.who, row.at, row.origin, row.undoes, row.settles, tuple(found.get(row.id, ())))
                 for row in rows)  # fmt: skip
