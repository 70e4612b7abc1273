"""The results of batches in the store: at most one for a job, a step and what went in, by a unique key."""

from __future__ import annotations

import os
import socket
from collections.abc import Iterator
from typing import Any

import sqlalchemy as sql
from sqlalchemy.dialects import postgresql, sqlite

from ampwright.deliver.batch.steps import Made
from ampwright.deliver.store.clock import utc_now, written
from ampwright.deliver.store.databases import engine, writing
from ampwright.deliver.store.shape import Place
from ampwright.deliver.store.tables import results

Key = tuple[str, str, str]


class Results:
    """The table of results at a place."""

    def __init__(self, place: Place) -> None:
        self._engine = engine(place)

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    def keys(self) -> set[Key]:
        """Job, step and input of every result there is."""
        with self._engine.begin() as link:
            return {(row.job, row.step, row.input)
                    for row in link.execute(sql.select(results.c.job, results.c.step, results.c.input))}  # fmt: skip

    def has(self, key: Key) -> bool:
        """Whether there is a result for this."""
        with self._engine.begin() as link:
            return link.scalar(sql.select(results.c.number).where(_at(key))) is not None

    def keep(self, key: Key, made: Made) -> bool:
        """Keep a result; False where there was one, which stays."""
        insert = postgresql.insert if self._engine.dialect.name == "postgresql" else sqlite.insert
        job, step, went_in = key
        row = {"job": job, "step": step, "input": went_in, "refused": made.refused, "media": made.media,
               "body": made.body, "worker": f"{socket.gethostname()}:{os.getpid()}",
               "at": written(utc_now())}  # fmt: skip
        with writing(self._engine, f"result {key}") as link:
            wanted: Any = insert(results).values(row).on_conflict_do_nothing(index_elements=["job", "step", "input"])
            return link.scalar(wanted.returning(results.c.number)) is not None

    def read(self, keys: set[Key]) -> Iterator[tuple[Key, Made]]:
        """The results of these, one after the other."""
        with self._engine.begin() as link:
            for row in link.execute(sql.select(results).order_by(results.c.number)):
                key = (row.job, row.step, row.input)
                if key in keys:
                    yield key, Made(row.body, row.media, row.refused)


def _at(key: Key) -> Any:
    return sql.and_(results.c.job == key[0], results.c.step == key[1], results.c.input == key[2])
