"""The store as one firm sees it: the one place where it is settled whose a job is."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import sqlalchemy as sql

from ampwright.deliver.store.job_files import JobFiles
from ampwright.deliver.store.people import Person
from ampwright.deliver.store.people_tables import claims, firms
from ampwright.deliver.store.photos import Photos
from ampwright.deliver.store.store import NoSuchJob, OperationReused, Store
from ampwright.deliver.store.tables import jobs, operations

_MADE = '["", %'  # how the operation that made a job begins: it names no job, every other one does


def first_firm() -> sql.ScalarSelect[str]:
    """The firm to which all belongs that was made before there were accounts, or on this machine without one."""
    return sql.select(firms.c.id).order_by(firms.c.created, firms.c.id).limit(1).scalar_subquery()


_OWNER: sql.ColumnElement[str] = sql.func.coalesce(
    sql.select(claims.c.firm).join(operations, operations.c.id == claims.c.operation)
    .where(operations.c.job == jobs.c.id, operations.c.asked.like(_MADE)).correlate(jobs).scalar_subquery(),
    first_firm(),
)  # fmt: skip


def as_its_firm(store: Store, name: str) -> Store:
    """The store as the firm sees it that a job belongs to; as it is where there are no accounts."""
    with store.engine.begin() as link:
        firm = link.scalar(sql.select(_OWNER).select_from(jobs).where(jobs.c.id == name))
    return FirmStore(store, firm) if firm else store


def firm_at(store: Store, job: str = "") -> str:
    """The firm that the store is seen by; on this machine without an account that of the job, else the first one, and
    none where there are no accounts. Raises NoSuchJob."""
    if store.firm:
        return store.firm
    wanted = sql.select(_OWNER).select_from(jobs).where(jobs.c.id == job) if job else sql.select(first_firm())
    with store.engine.begin() as link:
        return link.scalar(wanted) or ""


class FirmStore(Store):
    """A store in which the jobs of other firms are not there.

    A job that was made before there were accounts, or on this machine without one, is the first firm's. `person` is
    who is signed in.
    """

    def __init__(self, store: Store, firm: str, person: Person | None = None) -> None:
        vars(self).update(vars(store))
        self.firm, self.person = firm, person
        self.photos = Photos(self._engine, self._known)
        self.files = JobFiles(self._engine, self._known)

    def names(self) -> tuple[str, ...]:
        """The ids of the firm's jobs, the oldest first."""
        with self._engine.begin() as link:
            owned = link.execute(sql.select(jobs.c.id, _OWNER).order_by(jobs.c.created, jobs.c.id))
            return tuple(name for name, owner in owned if owner == self.firm)

    def heads(self) -> dict[str, int]:
        """The newest change of each of the firm's jobs."""
        owned = set(self.names())
        return {name: newest for name, newest in super().heads().items() if name in owned}

    def take_in(self, text: str, *, operation: str, who: str, origin: str, folder: Path | None = None) -> str:
        """Make a job of this firm. Raises BadJobFile, and OperationReused for an id that is not this firm's."""
        self._claim(operation)
        return super().take_in(text, operation=operation, who=who, origin=origin, folder=folder)

    def _claim(self, operation: str) -> None:
        """Say whose the job of an operation will be, before there is one: it never stands without its owner."""
        with self._engine.connect().execution_options(writes=True) as link, link.begin():
            firm = link.scalar(sql.select(claims.c.firm).where(claims.c.operation == operation))
            if firm == self.firm:
                return
            if firm or link.scalar(sql.select(operations.c.id).where(operations.c.id == operation)):
                raise OperationReused("this was sent before with other contents; load the page again")
            link.execute(sql.insert(claims).values(operation=operation, firm=self.firm))

    def _known(self, link: sql.Connection, name: str, **how: Any) -> str:
        name = super()._known(link, name, **how)
        if link.scalar(sql.select(_OWNER).select_from(jobs).where(jobs.c.id == name)) != self.firm:
            raise NoSuchJob(f"there is no job {name[:40]}")
        return name

    def _outcome(self, link: sql.Connection, operation: str) -> Any:
        job = link.scalar(sql.select(operations.c.job).where(operations.c.id == operation))
        self._known(link, job or "")
        return super()._outcome(link, operation)
